//! `where`: where is the best place for the food, the drinks, the coats?

use crate::command::args;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::{Stop, load_evening};
use crate::words::problem::nearest_or_all;
use crate::{answer, page, words};
use sim::base::parallel::with_threads;
use sim::evening::scenario::Serves;
use sim::study::race::Effort;
use sim::study::where_to::{Placing, answer};
use std::io::Write;

/// Races, prints, writes.
pub(crate) fn where_to(
    args: &args::Where,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    let serves = spot(&args.spot)?;
    let folder = choose(&args.output, &args.input.file, "where")?;
    let (loaded, world) = load_evening(&args.input)?;
    if world.scenario.is_scripted() {
        return Err(Stop::Usage(
            "this file has scripts ([[errand]]); `where` needs an evening".into(),
        ));
    }
    let progress = Progress::new(args.output.quiet);
    let effort = Effort::of(args.trials);
    let found = with_threads(args.draw.threads.map(usize::from), || {
        answer(&loaded, world, serves, args.draw.seed, effort, &progress)
    });
    progress.finish()?;
    let p = found.map_err(|why| Stop::Usage(words::where_to::no_answer(serves, &why)))?;
    let answered = Answered {
        text: report(&p),
        json: answer::text(&answer::where_to(&loaded, &p))?,
        threads: args.draw.threads,
    };
    answered.tell(&args.output, folder, || page::where_to(&loaded, &p), (out, err))
}

fn spot(word: &str) -> Result<Serves, Stop> {
    let placed = || Serves::ALL.into_iter().filter(|s| *s != Serves::Door);
    placed().find(|s| s.word() == word).ok_or_else(|| {
        let known: Vec<&str> = placed().map(Serves::word).collect();
        let hint = nearest_or_all(word, &known);
        Stop::Usage(format!("`{word}` can't be placed; {hint}"))
    })
}

/// The answer on a terminal.
fn report(p: &Placing) -> String {
    let mut text = format!(
        "{}\n\nThe best places, each over the same {} fresh evenings with {} guests\n",
        words::where_to::sentence(p),
        p.evenings,
        p.world.scenario.guests
    );
    let better = p.finalists.iter().take_while(|f| f.is_better()).count();
    // today's stands in its place among them
    for rank in 0..=p.finalists.len() {
        if rank == better {
            text += &format!("  {}\n", words::where_to::today(p));
        }
        if rank < p.finalists.len() {
            text += &format!("  {}\n", words::where_to::row(p, rank));
        }
    }
    text += &format!(
        "\nLooked at {} of {} places there is floor for, for {}.\n",
        p.places.len() - 1,
        p.feasible,
        words::where_to::piece(p)
    );
    if let Some(best) = p.finalists.first() {
        text += &format!(
            "\n{}, paste this at the end of the scenario (then `compare` shows it beside the others)\n\n{}",
            words::where_to::to_keep(p),
            words::where_to::paste(p, p.place(best))
        );
    }
    text += &format!("\n{}\n", words::caution(p.world.scenario.guests, p.world.clear_floor));
    text
}
