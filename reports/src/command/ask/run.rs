//! `run`: what does this evening look like?

use crate::command::args::Run;
use crate::command::write::folder::{Folder, choose};
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::write::traces::TraceFile;
use crate::command::{Stop, load_evening};
use crate::{answer, page, words};
use sim::base::parallel::{Watch, with_threads};
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::ensemble::{Ensemble, simulate};
use sim::study::evening::{Evening, answer};
use std::io::Write;

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
    let mut text =
        format!("{}\n{}\n", words::sentence(world, evening), words::fits(world, evening));
    text += &words::better(world, evening).map_or(String::new(), |b| format!("{b}\n"));
    text += "\n";
    for number in words::three_numbers(world, evening) {
        text += &format!("  {}\n", number.line());
    }
    text += &format!(
        "\nEach limit with the grade it keeps, the most strained first (limits are those for {})\n",
        world.scenario.limits.grade.word()
    );
    for v in &evening.limits {
        text += &format!("  {}\n", words::verdict(world, evening, v));
    }
    text += "\nLines\n";
    for s in evening.spots.iter().filter(|s| s.visits.value > 0.0) {
        text += &format!(
            "  {}: {:.0} visits per evening; half wait less than {}, 9 in 10 less than {}{}; {}{}{}\n",
            words::spot(world, s.spot),
            s.visits.value,
            words::bound(s.p50.value),
            words::bound(s.p90.value),
            words::likely(s.p90, words::duration),
            words::longest_line(s.longest_line),
            if s.turned_away.value >= 0.1 {
                format!(
                    "; about {:.1} guests per evening find it full and come back",
                    s.turned_away.value
                )
            } else {
                String::new()
            },
            if s.unserved.value >= 0.1 {
                format!("; about {:.1} per evening never get it", s.unserved.value)
            } else {
                String::new()
            }
        );
    }
    text += "\nWhere it jams\n";
    let long: Vec<_> = evening.jams.iter().filter(|j| words::is_long(j)).collect();
    for j in &long {
        let leaving = if j.leaving_risk.value >= 0.05 {
            format!("; while leaving on {}", words::evenings(j.leaving_risk.value))
        } else {
            String::new()
        };
        text += &format!(
            "  {}: jammed for less than {} on 9 evenings in 10{}{}{leaving}\n",
            words::at_spot(world, j.pinch),
            words::bound(j.jammed.value),
            words::when(world, j),
            words::because(world, j)
        );
    }
    if long.is_empty() {
        text += &format!("  nowhere for {}\n", words::LONG);
    }
    text += "\nWhere guests lose time to one another\n";
    for p in evening.places.iter().take(6) {
        text += &format!(
            "  {}: {:.1} guest-minutes per evening{}\n",
            words::shown(&world.places[p.place].name),
            p.lost_minutes.value,
            words::likely(p.lost_minutes, |x| format!("{:.1}", x.max(0.0)))
        );
    }
    text += "\nAssumed (not in your files; `elbowroom check` lists every figure)\n";
    for chosen in &world.chosen {
        text += &format!("  {}\n", words::assumed::choice(world, chosen));
    }
    text += &format!(
        "\n{}\n{}\n",
        words::next_step(evening),
        words::caution(world.scenario.guests, world.clear_floor)
    );
    text
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
