//! `improve`: which single change buys most, and what is the least that makes a headcount fit?

use crate::command::args;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::{Stop, load_evening};
use crate::words::problem::nearest_or_all;
use crate::{answer, page, words};
use sim::base::parallel::with_threads;
use sim::base::stats::Estimate;
use sim::floor::world::World;
use sim::study::improve::{Asked, Improvement, answer};
use sim::study::race::Effort;
use std::io::Write;

/// Tries, prints, writes.
pub(crate) fn improve(
    args: &args::Improve,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.input.file, "improve")?;
    let mut input = args.input.clone();
    input.over.guests = args.fit.or(input.over.guests);
    let (loaded, world) = load_evening(&input)?;
    if world.scenario.is_scripted() {
        return Err(Stop::Usage(
            "this file has scripts ([[errand]]); `improve` needs an evening".into(),
        ));
    }
    let asked = asked(args, &world)?;
    let progress = Progress::new(args.output.quiet);
    let effort = Effort::of(args.trials);
    let i = with_threads(args.draw.threads.map(usize::from), || {
        answer(&loaded, world, asked, args.draw.seed, effort, &progress)
    });
    progress.finish()?;
    let place = args.place.as_deref();
    let sentence = if asked == Asked::Fits {
        words::improve::fits(&i)
    } else {
        words::improve::sentence(&i, place)
    };
    let text = report(&i, &sentence, asked);
    let answered = Answered {
        text,
        json: answer::text(&answer::improve(&loaded, &i, place, sentence.clone()))?,
        threads: args.draw.threads,
    };
    answered.tell(
        &args.output,
        folder,
        || page::improve(&loaded, &i, &page::Question { asked, place, sentence: &sentence }),
        (out, err),
    )
}

fn asked(args: &args::Improve, world: &World) -> Result<Asked, Stop> {
    if args.fit.is_some() {
        return Ok(Asked::Fits);
    }
    let Some(name) = &args.place else {
        return Ok(Asked::Most(None));
    };
    let known: Vec<&str> = world.places.iter().map(|p| p.name.as_str()).collect();
    let hint = || nearest_or_all(name, &known);
    let place = world.places.position(|p| p.name == *name);
    place.map(|p| Asked::Most(Some(p))).ok_or_else(|| {
        Stop::Usage(format!("--in `{name}`: there is no room or opening of that name; {}", hint()))
    })
}

/// The answer on a terminal.
fn report(i: &Improvement, sentence: &str, asked: Asked) -> String {
    let world = &i.race.worlds[0];
    let mut text = format!("{sentence}\n");
    if !(asked == Asked::Fits && i.as_it_is.fits()) {
        text += &format!(
            "\nThe best single changes, each over the same {} fresh evenings with {} guests\n",
            i.evenings, world.scenario.guests
        );
        let as_it_is = i.guests.map(|w| {
            format!(
                "  as it is: {}\n",
                words::capacity::takes_up_to(w, world.scenario.limits.grade)
            )
        });
        let better = i.best.iter().take_while(|b| b.is_better()).count();
        for (n, best) in i.best.iter().enumerate() {
            // the house as it is stands in its place among them
            text += as_it_is.as_deref().filter(|_| n == better).unwrap_or_default();
            text += &format!("  {} {}\n", n + 1, words::improve::row(i, best));
        }
        text += as_it_is.as_deref().filter(|_| better == i.best.len()).unwrap_or_default();
        let more = [words::improve::both(i), words::improve::too_close(i)];
        more.into_iter().flatten().for_each(|says| text += &format!("  {says}\n"));
        text += &others(i);
        if let Some(best) = i.best.first() {
            text += &format!(
                "\n{}, paste this at the end of the scenario\n\n{}",
                words::improve::to_keep(i, best),
                words::improve::paste(i, best.entrant)
            );
        }
        if let Some(t) = &i.together {
            text += &format!(
                "\nTo keep both, paste this instead\n\n{}",
                words::improve::paste_both(i, t)
            );
        }
    }
    text += &format!("\n{}\n", words::caution(world.scenario.guests, world.clear_floor));
    text
}

/// Every other change, the best first, over fewer evenings.
fn others(i: &Improvement) -> String {
    let told: Vec<usize> = i.best.iter().map(|b| b.entrant).collect();
    let mut rest: Vec<usize> = (0..i.tried.len()).filter(|t| !told.contains(t)).collect();
    rest.sort_by(|&a, &b| i.tried[a].difference.total_cmp(&i.tried[b].difference));
    let left_out = match i.refused {
        0 => String::new(),
        1 => " (1 left out: it doesn't fit on the floor)".into(),
        n => format!(" ({n} left out: they don't fit on the floor)"),
    };
    let mut text = format!("\nOther changes, roughly, with {} guests{left_out}\n", i.tried_with);
    for t in rest {
        let tried = &i.tried[t];
        text += &format!(
            "  {} over {} evenings: {}\n",
            words::compare::little(Estimate::exact(tried.difference)),
            tried.evenings,
            words::improve::change(&i.race.worlds[0], &tried.change.what)
        );
    }
    text
}
