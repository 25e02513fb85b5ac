//! `review`: is the plan itself sound for entertaining?

use crate::answer::Reviewed;
use crate::command::args::{Input, Review as Args};
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::write::terminal::Lines;
use crate::command::{Stop, load};
use crate::{answer, page, words};
use sim::base::parallel::{Watch, with_threads};
use sim::evening::scenario::{Scenario, Weather};
use sim::files::Loaded;
use sim::floor::world::World;
use sim::review::estimated::floors::spent;
use sim::review::verdict::Verdict;
use sim::review::{Asked, Review, Topic, review as reviewed};
use sim::study::ensemble::simulate;
use std::io::Write;

/// Evenings behind where guests spend their time: shares of many guests need few.
const EVENINGS: u32 = 8;

/// Reviews, prints, draws.
pub(crate) fn review(args: &Args, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.input.file, "review")?;
    let (loaded, world) = loaded(args)?;
    let asked = asked(args, &world)?;
    // a plan is looked at with its doors to the outdoors open, whatever the evening's weather
    let fair = Scenario { weather: Weather::Mild, rain: false, ..world.scenario.clone() };
    let world = world.beside(world.plan.clone(), fair).unwrap_or(world);
    let threads = args.draw.threads.map(usize::from);
    let review = with_threads(threads, || reviewed(&world, &asked));
    let document = answer::review(&loaded, &world, &review, &asked, (EVENINGS, args.draw.seed));
    let answered = Answered {
        text: report(&world, &review, &document, args.all),
        json: answer::text(&document)?,
        threads: args.draw.threads,
    };
    answered.tell(&args.output, folder, || page::review(&world, &review, &document), (out, err))?;
    let fails = review.rows.iter().any(|r| r.verdict == Verdict::Fails);
    if args.strict && fails { Err(Stop::Failed) } else { Ok(()) }
}

/// The plan, or the scenario beside it, which has to be about that plan.
fn loaded(args: &Args) -> Result<(Loaded, World), Stop> {
    let Some(scenario) = &args.scenario else {
        return load(&args.input);
    };
    let (loaded, world) = load(&Input { file: scenario.clone(), ..args.input.clone() })?;
    let same = |a: &str, b: &str| match (std::fs::canonicalize(a), std::fs::canonicalize(b)) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    };
    let of = &loaded.plan_source.name;
    if loaded.scenario_source.is_none() {
        return Err(Stop::Usage(format!(
            "{scenario} is a plan. Give the plan first, then a scenario: elbowroom review {} evening.toml",
            args.input.file
        )));
    }
    if !same(of, &args.input.file) {
        return Err(Stop::Usage(format!(
            "{scenario} is about {of}, not {}. Give the plan it names, or the scenario alone",
            args.input.file
        )));
    }
    Ok((loaded, world))
}

/// Guests, if anybody says how many, and where they spend their time.
fn asked(args: &Args, world: &World) -> Result<Asked, Stop> {
    let scenario = &world.scenario;
    let said = args.input.over.guests.is_some() || !scenario.unsaid.contains(&"guests");
    let weather = (!scenario.unsaid.contains(&"weather")).then_some(scenario.weather);
    let rain = scenario.rain;
    let guests = said.then_some(scenario.guests).filter(|_| !scenario.is_scripted());
    if guests.is_none() || world.too_many().is_some() {
        return Ok(Asked { guests, weather, rain, spent: None });
    }
    let progress = Progress::new(args.output.quiet);
    progress.expect(u64::from(EVENINGS));
    let evenings = with_threads(args.draw.threads.map(usize::from), || {
        simulate(world, args.draw.seed, 0..EVENINGS, &progress)
    });
    progress.finish()?;
    Ok(Asked { guests, weather, rain, spent: Some(spent(world, &evenings)) })
}

/// The answer on a terminal.
fn report(world: &World, review: &Review, document: &Reviewed, all: bool) -> String {
    let mut lines = Lines::default();
    if !document.change.is_empty() {
        let change = document
            .change
            .iter()
            .enumerate()
            .map(|(k, c)| format!("{}  {} {}", k + 1, c.says, document.rows[c.row].says));
        lines.under("Worth most", change);
    }
    for topic in Topic::ALL {
        let rows = review.rows.iter().zip(&document.rows);
        let rows: Vec<_> = rows.filter(|(r, _)| r.fact.topic() == topic).collect();
        let told = rows.iter().filter(|(r, _)| all || r.verdict != Verdict::Passes);
        let mut told: Vec<String> =
            told.map(|(_, d)| format!("{:<8} {}", d.verdict, d.says)).collect();
        let passes = rows.iter().filter(|(r, _)| r.verdict == Verdict::Passes).count();
        if !all && passes > 0 {
            told.push(format!("{:<8} {}", "passes", words::review::points(passes, rows.len())));
        }
        if !told.is_empty() {
            lines.under(words::review::topic(topic), told);
        }
    }
    let estimates = document
        .estimates
        .iter()
        .map(|e| format!("{:<8} {}: {}", e.verdict.unwrap_or(""), words::capital(e.of), e.says));
    lines.under("Estimated (formulas and sources are on the page)", estimates);
    lines.then(&document.caution);
    format!("{}\n{}\n{}", words::shown(&world.plan.title), document.answer, lines.text())
}
