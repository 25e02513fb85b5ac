//! `compare`: which arrangement is better, and by how much?

use crate::command::args;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::{Stop, load_file};
use crate::words::problem::nearest_or_all;
use crate::{answer, page, words};
use sim::base::parallel::with_threads;
use sim::files::{Loaded, Variant};
use sim::study::compare::{Case, Comparison, answer};
use std::io::Write;

/// What the first arrangement is called where the others are its options.
const AS_IT_IS: &str = "as it is";

/// Plays, prints, writes.
pub(crate) fn compare(
    args: &args::Compare,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.file, "compare")?;
    let loaded = load_file(&args.file, None, &args.over)?;
    let (cases, files) = cases(args, &loaded)?;
    let names: Vec<String> = cases.iter().map(|c| c.name.clone()).collect();
    let progress = Progress::new(args.output.quiet);
    let compared = with_threads(args.draw.threads.map(usize::from), || {
        answer(cases, args.draw.seed, args.trials, &progress)
    });
    progress.finish()?;
    let c = compared.map_err(|(case, mut problems)| {
        problems.iter_mut().for_each(|p| p.arrangement = Some(names[case].clone()));
        Stop::Input(Box::new(files.get(case).unwrap_or(&loaded).reject(problems)))
    })?;
    let answered = Answered {
        text: report(&c),
        json: answer::text(&answer::compare(&loaded, &c))?,
        threads: args.draw.threads,
    };
    answered.tell(&args.output, folder, || page::compare(&loaded, &c), (out, err))
}

/// The arrangements to compare, and the file each is from.
fn cases(args: &args::Compare, loaded: &Loaded) -> Result<(Vec<Case>, Vec<Loaded>), Stop> {
    if loaded.scenario.is_scripted() {
        return Err(Stop::Usage(
            "this file has scripts ([[errand]]); `compare` needs an evening".into(),
        ));
    }
    let is_file = |name: &&String| name.ends_with(".toml");
    let (others, names): (Vec<&String>, Vec<&String>) = args.others.iter().partition(is_file);
    let options = if args.others.is_empty() {
        loaded.options.iter().collect()
    } else {
        named(loaded, &names)?
    };
    if options.is_empty() && others.is_empty() {
        return Err(Stop::Usage(format!(
            "{} has no [[option]] to compare; write one, or name a second scenario",
            args.file
        )));
    }
    let first =
        if others.is_empty() { AS_IT_IS.to_string() } else { loaded.scenario.title.clone() };
    let mut cases = vec![Case {
        name: first,
        cost: None,
        plan: loaded.plan.clone(),
        scenario: loaded.scenario.clone(),
    }];
    let mut files = vec![loaded.clone()];
    for Variant { name, cost, plan, scenario } in options.into_iter().cloned() {
        cases.push(Case { name, cost, plan, scenario });
        files.push(loaded.clone());
    }
    for file in others {
        let other = load_file(file, None, &args.over)?;
        let taken = cases.iter().any(|c| c.name == other.scenario.title);
        let name = if taken { file.clone() } else { other.scenario.title.clone() };
        cases.push(Case {
            name,
            cost: None,
            plan: other.plan.clone(),
            scenario: other.scenario.clone(),
        });
        files.push(other);
    }
    same_guests(&cases)?;
    Ok((cases, files))
}

/// Fewer guests lose less time in any house: that would tell nothing of the houses.
fn same_guests(cases: &[Case]) -> Result<(), Stop> {
    let guests = |c: &Case| c.scenario.guests;
    let Some(other) = cases.iter().find(|c| guests(c) != guests(&cases[0])) else {
        return Ok(());
    };
    Err(Stop::Usage(format!(
        "\"{}\" has {} and \"{}\" {}; arrangements are compared with the same guests: add --guests {}",
        words::shown(&cases[0].name),
        words::guests(guests(&cases[0])),
        words::shown(&other.name),
        guests(other),
        guests(&cases[0])
    )))
}

/// The options of some names.
fn named<'a>(loaded: &'a Loaded, names: &[&String]) -> Result<Vec<&'a Variant>, Stop> {
    let known: Vec<&str> = loaded.options.iter().map(|o| o.name.as_str()).collect();
    let find = |name: &&String| {
        loaded.options.iter().find(|o| o.name == **name).ok_or_else(|| {
            let hint = nearest_or_all(name, &known);
            Stop::Usage(format!(
                "there is no option `{name}`; {hint}; a scenario's name ends with .toml"
            ))
        })
    };
    names.iter().map(find).collect()
}

/// The answer on a terminal.
fn report(c: &Comparison) -> String {
    let evenings = c.race.trials[0].len();
    let mut text = format!(
        "{}\n\nThe same {evenings} evenings in each arrangement, the best first\n",
        words::compare::sentence(c)
    );
    for case in c.in_order() {
        text += &format!("  {}\n", words::compare::row(c, case));
        text += &words::compare::over_limit(c, case)
            .map_or(String::new(), |over| format!("    {over}\n"));
    }
    let world = &c.race.worlds[0];
    text += &format!("{}\n", words::compare::REDRAW);
    text += &format!("\n{}\n", words::caution(world.scenario.guests, world.clear_floor));
    text
}
