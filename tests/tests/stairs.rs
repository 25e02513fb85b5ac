//! Levels and stairs: guests who change floors.
#![allow(clippy::unwrap_used, clippy::panic)]

use elbowroom_tests::{
    Desk, Row, demo, group, script, two_levels, two_rooms_and_a_hall, walking_time, world,
};
use sim::crowd::bodies::Doing;
use sim::crowd::measure::{Trace, Traces};
use sim::crowd::trial::{Keep, run};

/// So many go up while others go down.
fn passing(up: u32, down: u32) -> String {
    script("")
        + &group(up, "lower room", "drawn", &["upper room"])
        + &group(down, "upper room", "drawn", &["lower room"])
}

fn desk(width: &str, up: u32, down: u32) -> Desk {
    Desk::new()
        .with("plan.toml", &two_levels(width, "3.2m", "2.7m"))
        .with("s.toml", &passing(up, down))
}

fn mean_walk(up: u32, down: u32) -> f64 {
    let traces = desk("1.2m", up, down).traces("s.toml", &["--trials", "20"]);
    traces.values().map(|rows| walking_time(rows)).sum::<f64>() / traces.len() as f64
}

#[test]
fn going_up_is_slower_than_going_down() {
    let (up, down) = (mean_walk(1, 0), mean_walk(0, 1));
    assert!(up > down + 0.5, "up {up:.1} s, down {down:.1} s");
}

#[test]
fn who_goes_up_ends_on_the_upper_level_and_never_leaps() {
    let traces = desk("36in", 3, 3).traces("s.toml", &["--trials", "5"]);
    assert_eq!(traces.len(), 30);
    for ((trial, guest), rows) in &traces {
        let (first, last) = (&rows[0], &rows[rows.len() - 1]);
        assert_ne!(
            first.level, last.level,
            "trial {trial}: guest {guest} stays on level {}",
            first.level
        );
        let leap =
            rows.windows(2).map(|w| (w[1].x - w[0].x).hypot(w[1].y - w[0].y)).fold(0.0, f64::max);
        assert!(leap < 1.4, "trial {trial}: guest {guest} leaps {leap:.2} m");
    }
}

#[test]
fn levels_change_on_the_stairs_and_nowhere_else() {
    // the flight lies from 5.1 m to 8.3 m north of the south wall
    let on_stairs = |r: &Row| (5.0..8.4).contains(&r.y);
    for rows in desk("36in", 4, 4).traces("s.toml", &["--trials", "5"]).values() {
        let changes = rows.windows(2).filter(|w| w[0].level != w[1].level);
        assert!(changes.clone().count() >= 1);
        assert!(
            changes.clone().all(|w| on_stairs(&w[0]) && on_stairs(&w[1])),
            "somebody changes level off the stairs"
        );
    }
}

/// Bodies on the two halves of a flight mind one another as on one floor.
#[test]
fn ten_against_ten_on_stairs_get_through_and_nobody_overlaps() {
    for width in ["24in", "30in", "36in", "42in"] {
        let desk = desk(width, 10, 10);
        let world = world(&desk.at("s.toml"), None, None);
        for trial in 0..50 {
            let (tally, traces) = run(&world, 5, trial, Keep { traces: Traces::All, bodies: true });
            assert_eq!(tally.stuck, 0, "{width}, trial {trial}: somebody is stuck");
            assert!(
                tally.nearest >= 0.224,
                "{width}, trial {trial}: two bodies {:.3} m apart",
                tally.nearest
            );
            assert!(
                tally.nearest_wall >= 0.107,
                "{width}, trial {trial}: a body {:.3} m from a wall",
                tally.nearest_wall
            );
            for person in 0..20 {
                let own: Vec<usize> = traces
                    .iter()
                    .filter(|t| t.person == person)
                    .map(|t| world.plan.level_at(t.y))
                    .collect();
                assert_ne!(
                    own[0],
                    own[own.len() - 1],
                    "{width}, trial {trial}: guest {person} does not arrive"
                );
            }
        }
    }
}

#[test]
fn a_wider_flight_lets_ten_against_ten_pass_sooner() {
    let mean = |width: &str| {
        let traces = desk(width, 10, 10).traces("s.toml", &["--trials", "20"]);
        traces.values().map(|rows| walking_time(rows)).sum::<f64>() / traces.len() as f64
    };
    let [a, b, c] = ["36in", "42in", "60in"].map(mean);
    assert!(a > b && b > c, "means {a:.1}, {b:.1}, {c:.1} s");
}

/// Level stairs walked at the pace of the flat are a hall: that they lie on two levels changes
/// nothing.
#[test]
fn stairs_that_hardly_rise_are_walked_like_a_hall() {
    let mean = |plan: &str, more: &str| {
        let walk = |from: &str, to: &str| group(8, from, "1.1m/s", &[to]) + more;
        let (south, north) = if more.is_empty() {
            ("south room", "north room")
        } else {
            ("lower room", "upper room")
        };
        let desk = Desk::new()
            .with("plan.toml", plan)
            .with("s.toml", &(script("") + &walk(south, north) + &walk(north, south)));
        let batches = (0..40).flat_map(|b| {
            desk.traces("s.toml", &["--trials", &format!("{}..{}", b * 20, b * 20 + 20)])
                .into_values()
        });
        let times: Vec<f64> = batches.map(|rows| walking_time(&rows)).collect();
        times.iter().sum::<f64>() / times.len() as f64
    };
    let hall = mean(&two_rooms_and_a_hall("42in", "6m"), "");
    let stairs = mean(&two_levels("42in", "6m", "0.3m"), "stair_pace = \"1.1m/s\"\n");
    assert!((stairs / hall - 1.0).abs() < 0.03, "hall {hall:.2} s, stairs {stairs:.2} s");
}

#[test]
fn coats_upstairs_put_the_guests_on_the_stairs() {
    let world = world(&demo("housewarming.toml"), Some(12), None);
    let (_, traces) = run(&world, 1, 0, Keep { traces: Traces::All, bodies: false });
    let at_bed = |t: &&Trace| matches!(t.doing, Doing::At(s) if world.spots[s].name == "bed");
    let level = |t: &Trace| world.plan.level_at(t.y);
    assert!(
        traces.iter().filter(at_bed).all(|t| level(t) == 1),
        "a coat is hung on the wrong level"
    );
    let hung = |person: u32| traces.iter().filter(at_bed).any(|t| t.person == person);
    let came_down = |person: u32| {
        traces
            .iter()
            .filter(|t| t.person == person)
            .skip_while(|t| level(t) == 0)
            .any(|t| level(t) == 0)
    };
    let both = (0..12).filter(|&p| hung(p) && came_down(p)).count();
    assert!(both >= 10, "{both} of 12 hang a coat upstairs and come down again on a cold evening");
}

/// The doors of both levels face each other across the gap between the levels on the sheet.
#[test]
fn nobody_goes_out_at_one_level_and_in_at_another() {
    let through = |door: &str, stop: &str| {
        script(&format!("[arrivals]\nthrough = \"{door}\"")) + &group(1, "outside", "1m/s", &[stop])
    };
    for (door, stop, first) in [("lower door", "upper room", 0), ("upper door", "lower room", 1)] {
        let desk = Desk::new()
            .with("plan.toml", &two_levels("1.2m", "3.2m", "2.7m"))
            .with("s.toml", &through(door, stop));
        for rows in desk.traces("s.toml", &["--trials", "1"]).values() {
            assert_eq!(rows[0].level, first);
            let change = rows.windows(2).find(|w| w[0].level != w[1].level).unwrap();
            assert!(
                (5.0..8.4).contains(&change[0].y),
                "through the {door}, the level changes {:.1} m north",
                change[0].y
            );
        }
    }
}
