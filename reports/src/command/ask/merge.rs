//! `merge`: parts of a run, in any order, joined to the answer of the whole run.

use crate::command::args::Merge;
use crate::command::ask::run::Told;
use crate::command::part::{Common, Part, evenings};
use crate::command::write::folder::choose;
use crate::command::{Stop, on_the_floor};
use sim::base::parallel::{in_order, with_threads};
use sim::crowd::trial::{Keep, run};
use sim::files::read;
use sim::floor::world::World;
use sim::study::ensemble::Ensemble;
use std::io::Write;
use std::path::PathBuf;

/// Reads the parts, joins them, tells the answer.
pub(crate) fn merge(args: &Merge, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let parts = in_turn(&args.parts)?;
    let common = parts[0].1.common.clone();
    let folder = choose(&args.output, &common.file, "run")?;
    let load = |path: &str| {
        let found = common.texts.iter().find(|(name, _)| name == path);
        found.map(|(_, text)| text.clone()).ok_or("no part holds it".to_string())
    };
    let loaded =
        read(&common.file, &load, &common.asked.asked()).map_err(|r| Stop::Input(Box::new(r)))?;
    let world = on_the_floor(&loaded)?;
    let threads = args.threads.map(usize::from);
    let others = with_threads(threads, || from_other_builds(&world, &parts));
    if !others.is_empty() {
        return Err(Stop::Parts(others));
    }
    let range = parts[0].1.trials.start..parts[parts.len() - 1].1.trials.end;
    if !args.output.quiet {
        writeln!(err, "Merging {} of seed {}.", evenings(range.clone()), common.seed)?;
    }
    let mut trials = Ensemble::new(common.seed);
    parts.into_iter().for_each(|(_, part)| trials.join(part.evenings));
    Told { loaded: &loaded, world: &world, trials: &trials, range, threads: args.threads }.tell(
        &args.output,
        args.strict,
        folder,
        (out, err),
    )
}

/// The parts in the order of their evenings, if they are parts of one run, whole; or everything
/// that is wrong with them.
fn in_turn(paths: &[PathBuf]) -> Result<Vec<(PathBuf, Part)>, Stop> {
    let mut problems = vec![];
    let mut parts: Vec<(PathBuf, Part)> = vec![];
    for path in paths {
        match Part::read(path) {
            Ok(part) => parts.push((path.clone(), part)),
            Err(why) => problems.push(format!("{}: {why}", path.display())),
        }
    }
    let one = parts.first().map(|(path, part)| (path.clone(), part.common.clone()));
    parts.retain(|(path, part)| {
        let differs = one.as_ref().and_then(|(first, one)| {
            let how = difference(one, &part.common)?;
            Some(format!("{}: {how} {}", path.display(), first.display()))
        });
        let is_of_one_run = differs.is_none();
        problems.extend(differs);
        is_of_one_run
    });
    parts.sort_by_key(|(_, part)| (part.trials.start, part.trials.end));
    problems.extend(gaps(&parts));
    if problems.is_empty() && !parts.is_empty() { Ok(parts) } else { Err(Stop::Parts(problems)) }
}

/// Evenings that are in two parts, or in none though there are some before and after.
fn gaps(parts: &[(PathBuf, Part)]) -> Vec<String> {
    let mut problems = vec![];
    let mut so_far: Option<&(PathBuf, Part)> = None;
    for next in parts {
        let (from, after) = (next.1.trials.start, next.0.display());
        if let Some((before, part)) = so_far {
            let (end, before) = (part.trials.end, before.display());
            if from < end {
                problems
                    .push(format!("{after}: evening {from} is also in {before}; leave one out"));
            } else if from > end {
                problems.push(format!(
                    "{} missing between {before} and {after}; play what is missing with --trials {end}..{from}",
                    are(end, from)
                ));
            }
        }
        so_far = so_far.filter(|s| s.1.trials.end > next.1.trials.end).or(Some(next));
    }
    problems
}

/// "evening 3 is", "evenings 3 to 5 are".
fn are(from: u32, end: u32) -> String {
    let verb = if end - from == 1 { "is" } else { "are" };
    format!("{} {verb}", evenings(from..end))
}

/// How two parts are not of one run.
fn difference(a: &Common, b: &Common) -> Option<&'static str> {
    let texts = |c: &Common| c.texts.iter().map(|t| t.1.clone()).collect::<Vec<_>>();
    match () {
        _ if a.version != b.version => Some("it was played with a different version than"),
        _ if texts(a) != texts(b) => Some("it was played from different files than"),
        _ if a.asked != b.asked => Some("it was played with different options than"),
        _ if a.seed != b.seed => Some("it was played with a different seed than"),
        _ => None,
    }
}

/// Parts that this program would not have written: their first or last evening is another one when
/// it is played here, or what they hold is not of this house.
fn from_other_builds(world: &World, parts: &[(PathBuf, Part)]) -> Vec<String> {
    let problem = |(path, part): &(PathBuf, Part)| {
        let ends = [part.trials.start, part.trials.end - 1];
        let ends = &ends[..part.trials.len().min(2)];
        let is_of_here = part.is_of(world);
        let differs = ends.iter().find(|&&trial| !is_of_here || !is_same(world, part, trial))?;
        Some(format!(
            "{}: this program plays a different evening {differs}; use the same build for all parts",
            path.display()
        ))
    };
    in_order(parts, problem, &|| ()).into_iter().flatten().collect()
}

/// Whether an evening of a part is the same when it is played here.
fn is_same(world: &World, part: &Part, trial: u32) -> bool {
    let (tally, _) = run(world, part.common.seed, trial, Keep::default());
    let mut here = Ensemble::new(part.common.seed);
    here.add(tally);
    let there = part.evenings.trials.get((trial - part.trials.start) as usize);
    here.trials.first().map(postcard::to_allocvec) == there.map(postcard::to_allocvec)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::command::part::AskedOver;
    use sim::files::Asked;
    use sim::study::ensemble::simulate;

    const PLAN: &str = r#"format = 1
room = [{ name = "hall", size = [12, 9] }]
opening = [{ joins = ["outside", "hall"], wall = "south" }]
furniture = [{ kind = "bar", room = "hall", north = 0 }]
"#;

    /// Evenings of one seed in a part that says they are of another.
    fn part(world: &World, said: u64, played: u64) -> (PathBuf, Part) {
        let common = Common {
            version: String::new(),
            file: String::new(),
            texts: vec![],
            asked: AskedOver::of(&Asked::default()),
            seed: said,
        };
        let evenings = simulate(world, played, 3..5, &());
        (PathBuf::from("part"), Part { common, trials: 3..5, evenings })
    }

    #[test]
    fn evenings_that_this_program_plays_otherwise_are_told() {
        let asked = Asked { guests: Some(4), ..Asked::default() };
        let loaded = read("plan.toml", &|_| Ok(PLAN.into()), &asked).unwrap();
        let world = World::new(loaded.plan, loaded.scenario).unwrap();
        assert_eq!(from_other_builds(&world, &[part(&world, 1, 1)]), Vec::<String>::new());
        let told = from_other_builds(&world, &[part(&world, 1, 2)]);
        assert!(told.len() == 1 && told[0].contains("a different evening 3"), "{told:?}");
    }
}
