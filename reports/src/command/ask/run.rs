//! `run`: what does this evening look like?

use crate::command::args::{Output, Run};
use crate::command::part::{AskedOver, Common, Part, PartFile};
use crate::command::write::folder::{Folder, choose};
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::write::terminal::Lines;
use crate::command::write::traces::TraceFile;
use crate::command::{Stop, asked, load_evening};
use crate::{answer, page, words};
use sim::base::parallel::{Watch, with_threads};
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::ensemble::{Ensemble, simulate};
use sim::study::evening::{Evening, answer};
use std::io::Write;
use std::ops::Range;

/// Places where guests lose time that are listed, the worst first.
const PLACES: usize = 6;
/// Traces are written for at most so many trials.
const MOST_TRACED: u32 = 20;

/// Evenings of a first look, told while the others are played.
pub(crate) const FIRST_LOOK: u32 = 24;

/// Simulates, prints, writes.
pub(crate) fn run(args: &Run, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let range = args.trials.clone();
    if args.traces.is_some() && range.len() > MOST_TRACED as usize {
        return Err(Stop::Usage(format!(
            "--traces takes at most {MOST_TRACED} trials; add --trials {MOST_TRACED}"
        )));
    }
    let traces = args.traces.as_deref().map(TraceFile::at).transpose()?;
    let part = args.part.as_deref().map(PartFile::at).transpose()?;
    let folder = if part.is_some() { None } else { choose(&args.output, &args.input.file, "run")? };
    let (loaded, world) = load_evening(&args.input)?;
    let trials = played(args, &world)?;
    if let Some(file) = traces {
        file.write(&world, args.draw.seed, range.clone())?;
    }
    if let Some(file) = part {
        let common = common(args, &loaded)?;
        let told = file.write(&Part { common, trials: range, evenings: trials })?;
        return Ok(writeln!(out, "{told}")?);
    }
    let told =
        Told { loaded: &loaded, world: &world, trials: &trials, range, threads: args.draw.threads };
    told.tell(&args.output, args.strict, folder, (out, err))
}

/// Plays the evenings; who waits at a terminal hears of the first ones.
fn played(args: &Run, world: &World) -> Result<Ensemble, Stop> {
    let (range, seed) = (args.trials.clone(), args.draw.seed);
    let progress = Progress::new(args.output.quiet);
    progress.expect(range.len() as u64);
    let first = range.start..range.end.min(range.start + FIRST_LOOK);
    with_threads(args.draw.threads.map(usize::from), || {
        let mut trials = simulate(world, seed, first.clone(), &progress);
        if first.end < range.end {
            if !world.scenario.is_scripted() {
                progress.say(|| words::first_look(world, &answer(world, &trials), trials.len()));
            }
            trials.join(simulate(world, seed, first.end..range.end, &progress));
        }
        progress.finish().map(|()| trials)
    })
}

/// What this run has in common with all others on the same files.
fn common(args: &Run, loaded: &Loaded) -> Result<Common, Stop> {
    let sources = loaded.scenario_source.iter().chain([&loaded.plan_source]);
    Ok(Common {
        version: env!("CARGO_PKG_VERSION").into(),
        file: args.input.file.clone(),
        texts: sources.map(|s| (s.name.clone(), s.text.clone())).collect(),
        asked: AskedOver::of(&asked(args.input.option.clone(), &args.input.over)?),
        seed: args.draw.seed,
    })
}

/// A run that has been played, wherever it was.
pub(crate) struct Told<'a> {
    pub loaded: &'a Loaded,
    pub world: &'a World,
    pub trials: &'a Ensemble,
    pub range: Range<u32>,
    /// Threads to draw on.
    pub threads: Option<u16>,
}

impl Told<'_> {
    /// Tells the answer; with `strict`, a limit that does not hold is a failure.
    pub(crate) fn tell(
        self,
        output: &Output,
        strict: bool,
        folder: Option<Folder>,
        (out, err): (&mut dyn Write, &mut dyn Write),
    ) -> Result<(), Stop> {
        let Told { loaded, world, trials, range, threads } = self;
        let evening = answer(world, trials);
        let range = [range.start, range.end];
        if world.scenario.is_scripted() {
            return scripted(output, (loaded, world), (trials, &evening), range, (folder, out));
        }
        let document = answer::run(loaded, world, trials, &evening, range);
        let text = answer::text(&document)?;
        let answered = Answered { text: report(world, &evening), json: text, threads };
        let show = || page::run(loaded, world, trials, &evening);
        answered.tell(output, folder, show, (out, err))?;
        if strict && !evening.fits() { Err(Stop::Failed) } else { Ok(()) }
    }
}

/// The answer on a terminal.
pub(crate) fn report(world: &World, evening: &Evening) -> String {
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
    output: &Output,
    (loaded, world): (&Loaded, &World),
    (trials, evening): (&Ensemble, &Evening),
    range: [u32; 2],
    (folder, out): (Option<Folder>, &mut dyn Write),
) -> Result<(), Stop> {
    let sentence = scripted_sentence(trials);
    let document = answer::scripted(loaded, world, trials, evening, range, sentence.clone());
    let text = answer::text(&document)?;
    if output.json {
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
        if !output.json {
            writeln!(out, "{written}")?;
        }
    }
    Ok(())
}

/// How many scripted guests came and left.
pub(crate) fn scripted_sentence(trials: &Ensemble) -> String {
    let came: u32 = trials.trials.iter().map(|s| s.tally.came).sum();
    let left: u32 = trials.trials.iter().map(|s| s.tally.left).sum();
    format!("{came} scripted guests in {} trials; {left} of them left the house.", trials.len())
}
