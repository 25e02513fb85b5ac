//! What every command does with its answer: prints it, draws its pictures, writes its folder.

use crate::command::Stop;
use crate::command::args::Output;
use crate::command::write::folder::Folder;
use crate::command::write::terminal;
use crate::page::{self, Shown};
use crate::pictures;
use sim::base::parallel::{in_order, with_threads};
use std::io::Write;

/// A page with its pictures as files: each picture as SVG and as a crisp PNG.
fn files(json: String, shown: &Shown) -> Result<Vec<(String, Vec<u8>)>, Stop> {
    let mut files = vec![
        ("answer.json".to_string(), json.into_bytes()),
        ("report.html".to_string(), page::html(&shown.page).into_bytes()),
    ];
    let crisp = in_order(&shown.records, |(_, svg)| pictures::png(svg), &|| ());
    for ((name, svg), png) in shown.records.iter().zip(crisp) {
        files.push((format!("{name}.png"), png?));
        files.push((format!("{name}.svg"), svg.clone().into_bytes()));
    }
    Ok(files)
}

/// Prints an answer, or its JSON, and writes its files.
pub(crate) struct Answered {
    /// For a terminal.
    pub text: String,
    /// answer.json.
    pub json: String,
    /// Threads to draw on; all if `None`.
    pub threads: Option<u16>,
}

impl Answered {
    /// Tells it; `show` makes the page and its pictures, if there is a folder for them.
    pub(crate) fn tell(
        self,
        output: &Output,
        folder: Option<Folder>,
        show: impl FnOnce() -> Result<Shown, pictures::Undrawn> + Send,
        (out, err): (&mut dyn Write, &mut dyn Write),
    ) -> Result<(), Stop> {
        let said = if output.json {
            out.write_all(self.json.as_bytes())
        } else {
            let text = terminal::fold(&self.text);
            out.write_all(if output.terminal { terminal::styled(&text) } else { text }.as_bytes())
        };
        let said = said.and_then(|()| out.flush());
        let Some(folder) = folder else {
            return Ok(said?);
        };
        let drawn = with_threads(self.threads.map(usize::from), || files(self.json, &show()?));
        let written = folder.write(&drawn?)?;
        let to: &mut dyn Write = if output.json { err } else { out };
        // the files are worth having even where nothing can be said
        said?;
        writeln!(to, "\n{written}")?;
        let report = folder.path().join("report.html");
        writeln!(
            to,
            "Next: open {}. To share it, send that file, or card.png beside it.",
            report.display()
        )?;
        Ok(())
    }
}
