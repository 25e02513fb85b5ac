//! The same seed gives the same bytes, and changing one thing changes only what depends on it.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, run, world};
use sim::crowd::measure::Traces;
use sim::crowd::trial::{Keep, run as run_trial};
use sim::evening::guests::draw;
use sim::evidence::lab::drawings::House;

fn answer(more: &[&str]) -> String {
    let file = demo("winter-cocktails.toml");
    let mut args = vec!["run", file.as_str(), "--json", "--quiet", "--guests", "25"];
    args.extend(more);
    let outcome = run(&args);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    outcome.out
}

#[test]
fn the_answer_is_the_same_bytes_at_one_two_and_eight_threads() {
    let one = answer(&["--trials", "12", "--threads", "1"]);
    assert_eq!(one, answer(&["--trials", "12", "--threads", "2"]));
    assert_eq!(one, answer(&["--trials", "12", "--threads", "8"]));
}

#[test]
fn a_house_on_two_levels_is_the_same_bytes_at_any_thread_count() {
    let file = demo("housewarming.toml");
    let at = |threads: &str| {
        run(&[
            "run",
            &file,
            "--json",
            "--quiet",
            "--guests",
            "20",
            "--trials",
            "8",
            "--threads",
            threads,
        ])
        .out
    };
    assert_eq!(at("1"), at("3"));
}

#[test]
fn another_seed_is_another_answer() {
    assert_ne!(answer(&["--trials", "4"]), answer(&["--trials", "4", "--seed", "2"]));
}

#[test]
fn trial_seven_alone_is_trial_seven_of_many() {
    let of = |text: &str, trial: u64| -> serde_json::Value {
        let all: serde_json::Value = serde_json::from_str(text).unwrap();
        all["per_trial"].as_array().unwrap().iter().find(|t| t["trial"] == trial).unwrap().clone()
    };
    assert_eq!(of(&answer(&["--trials", "7..8"]), 7), of(&answer(&["--trials", "12"]), 7));
}

#[test]
fn an_option_that_moves_furniture_changes_nobodys_arrival_pace_or_coat() {
    let base = world(&demo("winter-cocktails.toml"), None, None);
    let moved =
        world(&demo("winter-cocktails.toml"), None, Some("coats on a rack in the dining room"));
    for trial in 0..20 {
        assert_eq!(draw(&base.scenario, 5, trial), draw(&moved.scenario, 5, trial));
    }
}

#[test]
fn watching_an_evening_changes_nothing_in_it() {
    let house = world(&demo("winter-cocktails.toml"), Some(30), None);
    let played =
        |traces: Traces| format!("{:?}", run_trial(&house, 5, 3, Keep { traces, bodies: false }).0);
    let unwatched = played(Traces::None);
    assert_eq!(unwatched, played(Traces::Changes));
    assert_eq!(unwatched, played(Traces::All));
}

#[test]
fn the_guests_of_thirty_are_the_first_thirty_of_thirty_one() {
    let (thirty, more) = (
        world(&demo("winter-cocktails.toml"), Some(30), None),
        world(&demo("winter-cocktails.toml"), Some(31), None),
    );
    for trial in 0..20 {
        assert_eq!(draw(&thirty.scenario, 5, trial)[..], draw(&more.scenario, 5, trial)[..30]);
    }
}

/// The way across an open floor is as long and goes the same way whether it is drawn as one room or
/// as two with an opening of full width.
#[test]
fn the_way_through_an_open_plan_does_not_depend_on_where_rooms_end() {
    let drawn = |house: House| {
        let desk =
            Desk::new().with("plan.toml", &house.plan()).with("evening.toml", &house.evening(20));
        world(&desk.at("evening.toml"), None, None)
    };
    let (one, two) = (drawn(House::default()), drawn(House { split: true, ..House::default() }));
    // from the west part to the east part, slanting, with nothing between
    for (from, to) in [((1.5, 1.2), (8.2, 5.5)), ((2.0, 6.2), (8.0, 1.0)), ((7.8, 6.3), (1.4, 0.9))]
    {
        let lead = |w: &sim::floor::world::World| {
            w.routes.lead(&w.grid, from.0, from.1, &w.reachable(to.0, to.1).unwrap()).unwrap()
        };
        let (a, b) = (lead(&one), lead(&two));
        assert!(
            (a.togo - b.togo).abs() < 0.03 * a.togo,
            "{from:?} to {to:?}: {:.2} s in one room, {:.2} s in two",
            a.togo,
            b.togo
        );
        assert!(
            a.way.0 * b.way.0 + a.way.1 * b.way.1 > 0.98,
            "{from:?} to {to:?}: {:?} in one room, {:?} in two",
            a.way,
            b.way
        );
    }
}
