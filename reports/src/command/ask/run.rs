//! `run`: what does this evening look like?

use crate::command::args::Run;
use crate::command::write::folder::{Folder, choose};
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::write::terminal::Lines;
use crate::command::write::traces::TraceFile;
use crate::command::{Stop, load_evening};
use crate::{answer, page, words};
use sim::base::parallel::{Watch, with_threads};
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::ensemble::{Ensemble, simulate};
use sim::study::evening::{Evening, answer};
use std::io::Write;

/// Places where guests lose time that are listed, the worst first.
const PLACES: usize = 6;
/// Traces are written for at most so many trials.
const MOST_TRACED: u32 = 20;

/// Simulates, prints, writes.
pub(crate) fn run(args: &Run, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let range = args.trials.clone();
    if args.traces.is_some() && range.len() > MOST_TRACED as usize {
        return Err(Stop::Usage(format!(
            "--traces takes at most {MOST_TRACED} trials; add --trials {MOST_TRACED}"
        )));
    }
    let traces = args.traces.as_deref().map(TraceFile::at).transpose()?;
    let folder = choose(&args.output, &args.input.file, "run")?;
    let (loaded, world) = load_evening(&args.input)?;
    let threads = args.draw.threads.map(usize::from);
    let progress = Progress::new(args.output.quiet);
    progress.expect(range.len() as u64);
    let trials =
        with_threads(threads, || simulate(&world, args.draw.seed, range.clone(), &progress));
    progress.finish()?;
    if let Some(file) = traces {
        file.write(&world, args.draw.seed, range.clone())?;
    }
    let evening = answer(&world, &trials);
    if world.scenario.is_scripted() {
        return scripted(args, &loaded, &world, &trials, &evening, folder, out);
    }
    let document = answer::run(&loaded, &world, &trials, &evening, [range.start, range.end]);
    let text = answer::text(&document)?;
    let answered =
        Answered { text: report(&world, &evening), json: text, threads: args.draw.threads };
    answered.tell(
        &args.output,
        folder,
        || page::run(&loaded, &world, &trials, &evening),
        (out, err),
    )?;
    if args.strict && !evening.fits() { Err(Stop::Failed) } else { Ok(()) }
}

/// The answer on a terminal.
fn report(world: &World, evening: &Evening) -> String {
    let mut lines = Lines::default();
    lines.say(words::sentence(world, evening));
    lines.say(words::fits(world, evening));
    words::better(world, evening).into_iter().for_each(|better| lines.say(better));
    lines.say("");
    lines.rows(words::three_numbers(world, evening).map(|number| number.line()));
    let limits = format!(
        "Each limit with the grade it keeps, the most strained first (limits are those for {})",
        world.scenario.limits.grade.word()
    );
    lines.under(&limits, evening.limits.iter().map(|v| words::verdict(world, evening, v)));
    let visited = evening.spots.iter().filter(|s| s.visits.value > 0.0);
    lines.under("Lines", visited.map(|s| words::line_at(world, s)));
    lines.under("Where it jams", jams(world, evening));
    let lost = evening.places.iter().take(PLACES);
    lines.under("Where guests lose time to one another", lost.map(|p| words::lost_at(world, p)));
    lines.under(
        "Assumed (not in your files; `elbowroom check` lists every figure)",
        world.chosen.iter().map(|chosen| words::assumed::choice(world, chosen)),
    );
    lines.then(words::next_step(evening));
    lines.say(words::caution(world.scenario.guests, world.clear_floor));
    lines.text()
}

fn jams(world: &World, evening: &Evening) -> Vec<String> {
    let long = evening.jams.iter().filter(|j| words::is_long(j));
    let rows: Vec<String> = long.map(|j| words::jammed_at(world, j)).collect();
    if rows.is_empty() { vec![format!("nowhere for {}", words::LONG)] } else { rows }
}

/// Scripts: who came and left, and every line; no limits and no pictures.
fn scripted(
    args: &Run,
    loaded: &Loaded,
    world: &World,
    trials: &Ensemble,
    evening: &Evening,
    folder: Option<Folder>,
    out: &mut dyn Write,
) -> Result<(), Stop> {
    let came: u32 = trials.trials.iter().map(|s| s.tally.came).sum();
    let left: u32 = trials.trials.iter().map(|s| s.tally.left).sum();
    let sentence = format!(
        "{came} scripted guests in {} trials; {left} of them left the house.",
        trials.len()
    );
    let document = answer::scripted(
        loaded,
        world,
        trials,
        evening,
        [args.trials.start, args.trials.end],
        sentence.clone(),
    );
    let text = answer::text(&document)?;
    if args.output.json {
        out.write_all(text.as_bytes())?;
    } else {
        writeln!(out, "{sentence}")?;
        for s in evening.spots.iter().filter(|s| s.visits.value > 0.0) {
            writeln!(
                out,
                "{}: {:.0} visits a trial, mean wait {}{}",
                words::spot(world, s.spot),
                s.visits.value,
                words::duration(s.mean.value),
                words::likely(s.mean, words::duration)
            )?;
        }
        writeln!(out, "{}", words::CAUTION)?;
    }
    if let Some(folder) = folder {
        let written = folder.write(&[("answer.json".into(), text.into_bytes())])?;
        if !args.output.json {
            writeln!(out, "{written}")?;
        }
    }
    Ok(())
}
