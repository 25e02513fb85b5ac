//! `review` measures widths as a tape does, at any angle, and sight as a count of lines does.
#![allow(clippy::unwrap_used, clippy::panic)]

use elbowroom_tests::review::review;
use elbowroom_tests::{Desk, demo, run, world};
use geo::{Buffer, Contains, Intersects, Line, MultiPolygon, Point};
use serde_json::Value;
use sim::base::units::{FOOT, INCH};
use sim::review::places::hubs::{Role, hubs};
use sim::review::rooms::sight::{Outlook, STANDING, standing_points};

/// Inches of floor on the widest way from the front door to the kitchen.
fn way_to_kitchen(review: &Value) -> f64 {
    let ways = review["ways"].as_array().unwrap();
    let way = ways.iter().find(|w| w["from"] == "the front door" && w["to"] == "the kitchen");
    way.unwrap_or_else(|| panic!("{ways:?}"))["clear_m"].as_f64().unwrap() / INCH
}

/// A room south and a kitchen north, 8 ft apart, joined by a passage so many inches wide that leads
/// off to the east by so many degrees: one floor, drawn by its corners.
fn passage(inches: f64, degrees: f64) -> Desk {
    let across = inches / 12.0 / degrees.to_radians().cos();
    let off = 8.0 * degrees.to_radians().tan();
    let corners = [
        (0.0, 0.0),
        (26.0, 0.0),
        (26.0, 10.0),
        (2.0 + across, 10.0),
        (2.0 + across + off, 18.0),
        (24.0, 18.0),
        (24.0, 28.0),
        (0.0, 28.0),
        (0.0, 18.0),
        (2.0 + off, 18.0),
        (2.0, 10.0),
        (0.0, 10.0),
    ];
    let outline: Vec<String> = corners.iter().map(|(x, y)| format!("[{x:.6}, {y:.6}]")).collect();
    open_room(
        &format!("outline = [{}]", outline.join(", ")),
        "at = [\"1ft\", \"19ft\"], size = [\"22ft\", \"8ft\"]",
        "",
    )
}

/// One room with a front door to the south, a kitchen somewhere in it, and furniture.
fn open_room(shape: &str, kitchen: &str, furniture: &str) -> Desk {
    let plan = format!(
        "format = 1\nroom = [{{ name = \"great room\", {shape} }}]\n\
         opening = [{{ name = \"front door\", joins = [\"outside\", \"great room\"], wall = \"south\", style = \"cased\", width = \"6ft\" }}]\n\
         zone = [{{ name = \"kitchen\", room = \"great room\", {kitchen} }}]\n\
         furniture = [{furniture}]\n"
    );
    Desk::new().with("plan.toml", &plan)
}

/// A room of 12 by 24 ft with the kitchen at its north end.
fn furnished(furniture: &str) -> Desk {
    open_room(
        "size = [\"12ft\", \"24ft\"]",
        "at = [\"1ft\", \"17ft\"], size = [\"10ft\", \"6ft\"]",
        furniture,
    )
}

/// Small plans with their narrowest width in inches, as a tape measures it.
fn measured_by_hand() -> Vec<(&'static str, Desk, f64)> {
    let two_rooms = "format = 1\nroom = [{ name = \"living\", size = [\"14ft\", \"12ft\"] }, { name = \"kitchen\", size = [\"14ft\", \"12ft\"], north_of = \"living\", flush = \"west\" }]\n\
         opening = [{ name = \"front door\", joins = [\"outside\", \"living\"], wall = \"south\", width = \"42in\" }, { joins = [\"living\", \"kitchen\"], style = \"cased\", width = \"31in\" }]\n";
    // corners 2 ft 6 in apart east-west and 1 ft north-south
    let corner_to_corner = "{ kind = \"other\", room = \"great room\", at = [0, \"9ft\"], size = [\"4ft 6in\", \"2ft\"] },
        { name = \"second\", kind = \"other\", room = \"great room\", at = [\"7ft\", \"12ft\"], size = [\"5ft\", \"2ft\"] }";
    // 9 ft by 2 ft turned by 30 degrees is 9 cos 30 + 2 sin 30 = 8.794 ft wide
    let turned = "{ kind = \"other\", room = \"great room\", at = [0, \"8ft\"], size = [\"9ft\", \"2ft\"], turn = 30 }";
    let beside = "{ kind = \"other\", room = \"great room\", at = [0, \"10ft\"], size = [\"8ft 9in\", \"3ft\"] }";
    vec![
        ("straight", passage(36.0, 0.0), 36.0),
        ("off by 5 degrees", passage(42.0, 5.0), 42.0),
        ("off by 15 degrees", passage(30.5, 15.0), 30.5),
        ("off by 22.5 degrees", passage(48.0, 22.5), 48.0),
        ("off by 30 degrees", passage(27.0, 30.0), 27.0),
        ("off by 45 degrees", passage(39.25, 45.0), 39.25),
        ("from corner to corner", furnished(corner_to_corner), 30.0_f64.hypot(12.0)),
        ("a turned piece and a wall", furnished(turned), (12.0 - 8.794) * 12.0),
        ("a piece and a wall", furnished(beside), 39.0),
        ("an opening", Desk::new().with("plan.toml", two_rooms), 31.0),
    ]
}

#[test]
fn ways_are_as_wide_as_a_tape_says_at_any_angle() {
    for (name, desk, inches) in measured_by_hand() {
        let found = way_to_kitchen(&review(&desk, &[]));
        assert!((found - inches).abs() <= 0.5, "{name}: {found:.2} in, not {inches:.2}");
    }
}

#[test]
fn a_geometry_librarys_offset_agrees() {
    // floor taken off by half a width all around falls apart where the way is narrower
    for (name, desk, inches) in measured_by_hand() {
        let world = world(&desk.at("plan.toml"), None, None);
        let (from, to) = (Point::new(6.0 * FOOT, 3.0 * FOOT), Point::new(6.0 * FOOT, 21.0 * FOOT));
        let joined = |width: f64| {
            let left: MultiPolygon<f64> = world.grid.floor.buffer(-width * INCH / 2.0);
            left.iter().any(|p| p.intersects(&from) && p.intersects(&to))
        };
        assert!(joined(inches - 0.5), "{name}: shut at {:.2} in", inches - 0.5);
        assert!(!joined(inches + 0.5), "{name}: open at {:.2} in", inches + 0.5);
    }
}

#[test]
fn a_walkway_of_36_in_is_tight_and_one_of_42_is_good() {
    for (inches, stands) in [(34.0, "fails"), (36.0, "tight"), (41.0, "tight"), (42.0, "passes")] {
        let found = review(&passage(inches, 0.0), &[]);
        let score = found["scores"].as_array().unwrap().iter().find(|s| s["topic"] == "walkways");
        assert_eq!(score.unwrap()["verdict"], stands, "{inches} in");
    }
}

#[test]
fn sight_shares_agree_with_a_count_by_a_geometry_library() {
    for house in ["row-house.toml", "ranch.toml", "orchard-house.toml"] {
        let world = world(&demo(house), None, None);
        let outlook = Outlook::new(&world, STANDING);
        let hubs = hubs(&world);
        let points = |role: Role| {
            let hub = hubs.iter().find(|h| h.role == role).unwrap();
            // every seventh: a count takes its time
            standing_points(&world, hub).into_iter().step_by(7).collect::<Vec<_>>()
        };
        let rooms = [Role::Kitchen, Role::Dining, Role::Living].map(points);
        for (a, b) in [(0, 1), (0, 2), (1, 2)] {
            let pairs =
                rooms[a].iter().flat_map(|p| rooms[b].iter().map(move |q| Line::new(*p, *q)));
            let sees = |line: &Line<f64>| {
                outlook.open.contains(line) && !outlook.tall.iter().any(|t| t.intersects(line))
            };
            let (seen, all) =
                pairs.fold((0, 0), |(seen, all), line| (seen + usize::from(sees(&line)), all + 1));
            let counted = f64::from(seen as u32) / f64::from(all);
            let found = outlook.share(&rooms[a], &rooms[b]);
            assert!((found - counted).abs() < 0.005, "{house}: {found}, counted {counted}");
        }
    }
}

#[test]
fn nobody_goes_around_by_the_patio_from_room_to_room() {
    let plan = r#"format = 1
room = [
  { name = "living room", size = ["16ft", "14ft"] },
  { name = "kitchen", size = ["14ft", "14ft"], east_of = "living room", flush = "south" },
  { name = "patio", size = ["30ft", "12ft"], north_of = "living room", flush = "west", use = "outdoors" },
]
opening = [
  { name = "front door", joins = ["outside", "living room"], wall = "south" },
  { joins = ["living room", "kitchen"], style = "cased", width = "30in" },
  { joins = ["living room", "patio"], style = "folding", width = "9ft" },
  { joins = ["kitchen", "patio"], style = "folding", width = "9ft" },
]
"#;
    let inside = way_to_kitchen(&review(&Desk::new().with("plan.toml", plan), &[]));
    assert!((inside - 30.0).abs() <= 0.5, "{inside} in");
    // without an opening that is the only way
    let shut: String = plan.lines().filter(|l| !l.contains("30in")).collect::<Vec<_>>().join("\n");
    let around = way_to_kitchen(&review(&Desk::new().with("plan.toml", &shut), &[]));
    assert!(around > 33.0, "{around} in");
}

/// Shares of sight of a plan, by sentence.
fn sees(plan: &str, from: &str) -> f64 {
    let found = review(&Desk::new().with("plan.toml", plan), &[]);
    let rows = found["rows"].as_array().unwrap();
    let row = rows
        .iter()
        .find(|r| r["topic"] == "sight_lines" && r["says"].as_str().unwrap().contains(from));
    row.unwrap_or_else(|| panic!("{rows:?}"))["measured"]["value"].as_f64().unwrap()
}

#[test]
fn sight_is_what_one_would_see() {
    let open = |more: &str| {
        format!(
            "format = 1\nroom = [{{ name = \"great room\", size = [\"12ft\", \"24ft\"] }}]
             opening = [{{ joins = [\"outside\", \"great room\"], wall = \"south\" }}]
             zone = [{{ name = \"kitchen\", room = \"great room\", at = [0, \"16ft\"], size = [\"12ft\", \"8ft\"] }}, {{ name = \"living\", room = \"great room\", size = [\"12ft\", \"8ft\"] }}]
             furniture = [{more}]"
        )
    };
    // nothing between, counters between, cabinets of 72 in with a way past them
    assert_eq!(sees(&open(""), "kitchen"), 1.0);
    let row = |kind: &str| {
        format!(
            "{{ kind = \"{kind}\", room = \"great room\", at = [0, \"11ft\"], size = [\"9ft\", \"2ft\"] }}"
        )
    };
    assert_eq!(sees(&open(&row("counter")), "kitchen"), 1.0);
    let past = sees(&open(&row("cabinet")), "kitchen");
    assert!((0.05..0.35).contains(&past), "{past}");
    // a glass door to the patio is seen through when shut, a solid one is not
    let patio = |style: &str| {
        format!(
            "format = 1\nroom = [{{ name = \"living\", size = [\"12ft\", \"12ft\"] }}, {{ name = \"patio\", size = [\"12ft\", \"12ft\"], north_of = \"living\", flush = \"west\" }}]
             opening = [{{ joins = [\"outside\", \"living\"], wall = \"south\" }}, {{ name = \"patio door\", joins = [\"living\", \"patio\"], style = \"{style}\", width = \"6ft\" }}]"
        )
    };
    assert!(sees(&patio("sliding"), "patio") > 0.3);
    let shut =
        "format = 1\nplan = \"plan.toml\"\nguests = 8\ndoors = { \"patio door\" = \"closed\" }\n";
    let share = |style: &str| {
        let desk = Desk::new().with("plan.toml", &patio(style)).with("evening.toml", shut);
        let out = run(&["review", &desk.at("evening.toml"), "--json"]);
        let found: Value = serde_json::from_str(&out.out).unwrap();
        let rows = found["rows"].as_array().unwrap().clone();
        rows.iter()
            .find(|r| r["topic"] == "sight_lines")
            .map(|r| r["measured"]["value"].as_f64().unwrap())
    };
    // nobody gets to a patio whose door is shut, so nothing is said of it
    assert_eq!(share("hinged"), None);
}
