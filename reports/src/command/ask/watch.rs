//! `run --watch`: the answer again whenever a file changes, a few evenings first.

use crate::command::args::Run;
use crate::command::ask::run::{FIRST_LOOK, report, scripted_sentence};
use crate::command::write::progress::Progress;
use crate::command::write::terminal;
use crate::command::{Stop, asked, explain, from_disk, on_the_floor};
use crate::words;
use sim::base::parallel::with_threads;
use sim::files::read;
use sim::floor::world::World;
use sim::study::ensemble::{Ensemble, simulate};
use sim::study::evening::answer;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::Write;
use std::time::Duration;

/// Files are looked at this often.
const LOOKS_AGAIN: Duration = Duration::from_millis(200);
/// Evenings between two looks while an answer is sharpened.
const AT_ONCE: u32 = 64;

/// Files by path, as they were read.
type Texts = BTreeMap<String, Result<String, String>>;

/// Answers, and again with every change, until interrupted or until nobody reads.
pub(crate) fn watch(
    args: &Run,
    has_gone: &dyn Fn() -> bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    loop {
        let texts = once(args, out, err)?;
        writeln!(out, "\nWatching {}; Ctrl-C ends it.", names(&texts))?;
        out.flush()?;
        if has_gone() {
            return Ok(());
        }
        let changed = loop {
            match changed(&texts) {
                Some(name) => break name,
                None => std::thread::sleep(LOOKS_AGAIN),
            }
        };
        writeln!(out, "\n{changed} changed.")?;
        out.flush()?;
    }
}

fn names(texts: &Texts) -> String {
    texts.keys().cloned().collect::<Vec<_>>().join(" and ")
}

/// The first file that is not as it was.
fn changed(texts: &Texts) -> Option<String> {
    texts.iter().find(|(path, text)| from_disk(path) != **text).map(|(path, _)| path.clone())
}

/// One answer, or what is wrong; tells which files were read.
fn once(args: &Run, out: &mut dyn Write, err: &mut dyn Write) -> Result<Texts, Stop> {
    let texts = RefCell::new(Texts::new());
    let load = |path: &str| {
        let text = from_disk(path);
        texts.borrow_mut().insert(path.to_string(), text.clone());
        text
    };
    let asked = asked(args.input.option.clone(), &args.input.over)?;
    let laid = read(&args.input.file, &load, &asked)
        .map_err(|r| Stop::Input(Box::new(r)))
        .and_then(|loaded| on_the_floor(&loaded));
    let texts = texts.into_inner();
    match laid.and_then(|world| play(args, &world, &texts, out)) {
        Err(stop @ (Stop::Input(_) | Stop::Endless(_))) => {
            explain(&stop, err);
        }
        told => told?,
    }
    Ok(texts)
}

/// A first look, then more evenings as long as no file changes, then the answer.
fn play(args: &Run, world: &World, texts: &Texts, out: &mut dyn Write) -> Result<(), Stop> {
    let (end, seed) = (args.trials.end, args.draw.seed);
    let mut trials = Ensemble::new(seed);
    let mut next = args.trials.start;
    let mut more = FIRST_LOOK;
    while next < end {
        let range = next..end.min(next + more);
        let threads = args.draw.threads.map(usize::from);
        let progress = Progress::new(true);
        let play = || simulate(world, seed, range.clone(), &progress);
        let played = with_threads(threads, play);
        progress.finish()?;
        trials.join(played);
        if next == args.trials.start && range.end < end && !world.scenario.is_scripted() {
            let look = words::first_look(world, &answer(world, &trials), trials.len());
            writeln!(out, "{}", terminal::fold(&look))?;
            out.flush()?;
        }
        (next, more) = (range.end, AT_ONCE);
        if next < end && changed(texts).is_some() {
            return Ok(());
        }
    }
    let text = if world.scenario.is_scripted() {
        scripted_sentence(&trials)
    } else {
        report(world, &answer(world, &trials))
    };
    Ok(writeln!(out, "{}", terminal::fold(&text))?)
}
