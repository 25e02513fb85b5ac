//! Plans and evenings with mistakes in them, many thousands: each is read or refused with a
//! sentence, and nothing breaks or goes on for ever.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Dice, demo};
use reports::words::problem::told;
use sim::crowd::trial::{Keep, run};
use sim::files::{Asked, Loaded, read};
use sim::floor::world::World;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

/// Files read; more with `ELBOWROOM_MUTANTS=1000000`.
const MUTANTS: u64 = 20_000;
/// Of those that are put on the floor, one in so many is played for an evening.
const PLAYED: u64 = 50;
/// Nothing takes longer than this, on the slowest machine.
const LONGEST: Duration = Duration::from_secs(60);

const PAIRS: [(&str, &str); 4] = [
    ("row-house.toml", "winter-cocktails.toml"),
    ("row-house.toml", "buffet-dinner.toml"),
    ("corner-house.toml", "housewarming.toml"),
    ("ranch.toml", "summer-evening.toml"),
];

/// What people and their editors write where it does not belong.
const SLIPS: [&str; 40] = [
    "0",
    "-1",
    "1e9",
    "1e-9",
    "nan",
    "inf",
    "-0.0",
    "99999999999999999999",
    "\"\"",
    "\" \"",
    "\"0in\"",
    "\"-3ft\"",
    "\"199m\"",
    "\"5ft 99in\"",
    "\"1/0in\"",
    "\"hall\"",
    "\"outside\"",
    "\"leave\"",
    "\"living\"",
    "\"powder room\"",
    "\"table\"",
    "[]",
    "[[]]",
    "{}",
    "true",
    "\"north\"",
    "\"open\"",
    "\"100%\"",
    "\"0s\"",
    "\"48h\"",
    "\"3am\"",
    "\"buffet\"",
    "1979-05-27",
    "\"\\u0007\"",
    "\"\\u202e\"",
    "'''\na\n'''",
    "\"é\"",
    "[1, 2]",
    "[\"1ft\", \"1ft\"]",
    "\"6in\"",
];

/// A file with up to three mistakes.
fn mutant(text: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    for _ in 0..=dice.below(3) {
        let (at, other) = (dice.below(lines.len()), dice.below(lines.len()));
        match dice.below(8) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(at, lines[other].clone()),
            2 => lines.swap(at, other),
            3 => lines[at] = cut(&lines[at], dice),
            4 | 5 => lines[at] = with_value(&lines[at], SLIPS[dice.below(SLIPS.len())], dice),
            6 => lines[at] = with_number(&lines[at], dice),
            _ => {
                lines[at] =
                    lines[at].replace(['"', ']', '}', ','], ["", "]]", "\"", "\n"][dice.below(4)])
            }
        }
        if lines.is_empty() {
            lines.push(String::new());
        }
    }
    lines.join("\n")
}

fn cut(line: &str, dice: &mut Dice) -> String {
    line.chars().take(dice.below(line.chars().count() + 1)).collect()
}

/// The value behind one of a line's equals signs is another.
fn with_value(line: &str, value: &str, dice: &mut Dice) -> String {
    let signs: Vec<usize> = line.match_indices('=').map(|m| m.0).collect();
    if signs.is_empty() {
        return format!("{line} {value}");
    }
    let from = signs[dice.below(signs.len())] + 1;
    let end = line[from..].find([',', '}']).map_or(line.len(), |n| from + n);
    format!("{} {value}{}", &line[..from], &line[end..])
}

/// One of a line's numbers is another.
fn with_number(line: &str, dice: &mut Dice) -> String {
    let digits: Vec<usize> =
        line.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
    if digits.is_empty() {
        return line.to_string();
    }
    let at = digits[dice.below(digits.len())];
    format!(
        "{}{}{}",
        &line[..at],
        ["0", "00", "9", "999", "-1", "0.001"][dice.below(6)],
        &line[at + 1..]
    )
}

/// Reads a pair, puts it on the floor, and now and then plays an evening of few guests.
fn try_it(plan: &str, scenario: &str, number: u64) {
    let load = |path: &str| {
        if path.ends_with("plan.toml") { Ok(plan.to_string()) } else { Ok(scenario.to_string()) }
    };
    match read("evening.toml", &load, &Asked::default()) {
        Err(rejected) => {
            assert!(!rejected.problems.is_empty(), "refused without a reason");
            assert!(
                rejected.problems.iter().all(|p| !told(&p.problem).says.trim().is_empty()),
                "refused without a sentence"
            );
        }
        Ok(loaded) => on_the_floor(&loaded, number),
    }
}

fn on_the_floor(loaded: &Loaded, number: u64) {
    let Ok(world) = World::new(loaded.plan.clone(), loaded.scenario.clone()) else {
        return;
    };
    if number.is_multiple_of(PLAYED) && world.too_many().is_none() && world.scenario.guests <= 30 {
        let (tally, _) = run(&world, 1, 0, Keep::default());
        assert!(
            tally.came <= world.scenario.guests && tally.left <= tally.came,
            "{} came, {} left",
            tally.came,
            tally.left
        );
    }
}

#[test]
#[cfg_attr(debug_assertions, ignore = "minutes in a debug build")]
fn whatever_is_in_a_file_it_is_read_or_refused() {
    let many =
        std::env::var("ELBOWROOM_MUTANTS").ok().and_then(|n| n.parse().ok()).unwrap_or(MUTANTS);
    let text = |name: &str| std::fs::read_to_string(demo(name)).unwrap();
    let texts =
        PAIRS.map(|(plan, scenario)| [text(plan), text(scenario).replace(plan, "plan.toml")]);
    let workers = std::thread::available_parallelism().map_or(1, |n| n.get().min(4) as u64);
    std::thread::scope(|scope| {
        for worker in 0..workers {
            let texts = &texts;
            scope.spawn(move || {
                (worker..many).step_by(workers as usize).for_each(|number| one(number, texts))
            });
        }
    });
}

fn one(number: u64, texts: &[[String; 2]]) {
    let mut dice = Dice::new(number);
    let [plan, scenario] = &texts[dice.below(texts.len())];
    let (plan, scenario) = match dice.below(3) {
        0 => (mutant(plan, &mut dice), mutant(scenario, &mut dice)),
        1 => (mutant(plan, &mut dice), scenario.clone()),
        _ => (plan.clone(), mutant(scenario, &mut dice)),
    };
    let since = Instant::now();
    let done = catch_unwind(AssertUnwindSafe(|| try_it(&plan, &scenario, number)));
    assert!(
        done.is_ok() && since.elapsed() < LONGEST,
        "mutant {number}, after {:?}:\n{plan}\n----\n{scenario}",
        since.elapsed()
    );
}
