//! Hard facts of every evening: nobody overlaps, nobody is in a wall, nobody is lost, nobody is
//! stuck.
#![allow(clippy::unwrap_used, clippy::panic)]

use elbowroom_tests::{demo, world};
use sim::base::parallel::in_order;
use sim::crowd::measure::Traces;
use sim::crowd::trial::{Keep, run};

/// The demos, with the headcounts of their questions.
const DEMOS: [&str; 4] =
    ["winter-cocktails.toml", "buffet-dinner.toml", "summer-evening.toml", "housewarming.toml"];
/// Turned bodies are 0.234 m deep; they may overlap by 1 cm.
const NEAREST: f64 = 0.234 - 0.01;
/// A turned body's middle is at least 0.117 m from a wall; the same centimeter.
const NEAREST_WALL: f64 = 0.117 - 0.01;
/// Nobody under way stays in one place for longer than this, in seconds.
const WEDGED: u32 = 120;

fn holds_over(trials: u32) {
    for name in DEMOS {
        let world = world(&demo(name), None, None);
        let numbers: Vec<u32> = (0..trials).collect();
        let tallies = in_order(
            &numbers,
            |&trial| run(&world, 11, trial, Keep { traces: Traces::None, bodies: true }).0,
            &|| (),
        );
        for t in tallies {
            assert!(
                t.nearest >= NEAREST,
                "{name}, trial {}: two bodies {:.3} m apart",
                t.trial,
                t.nearest
            );
            assert!(
                t.nearest_wall >= NEAREST_WALL,
                "{name}, trial {}: a body {:.3} m from a wall",
                t.trial,
                t.nearest_wall
            );
            assert_eq!(
                t.came, world.scenario.guests,
                "{name}, trial {}: some never came in",
                t.trial
            );
            assert_eq!(
                t.left, t.came,
                "{name}, trial {}: somebody is still there two hours after the end",
                t.trial
            );
            assert_eq!(t.stuck, 0, "{name}, trial {}: somebody was stuck", t.trial);
            assert!(
                t.wedged <= WEDGED,
                "{name}, trial {}: somebody got nowhere for {} s",
                t.trial,
                t.wedged
            );
        }
    }
}

#[test]
fn the_facts_hold_on_some_evenings() {
    holds_over(4);
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn the_facts_hold_on_two_thousand_evenings() {
    holds_over(501);
}
