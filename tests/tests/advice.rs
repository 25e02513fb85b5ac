//! What `improve` tries: what a designer would, and nothing that one would not.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, run};
use serde_json::Value;
use sim::base::units::INCH;
use sim::evening::scenario::Serves;
use sim::floor::world::World;
use sim::house::plan::RoomId;
use sim::house::plan::said::Compass;
use sim::study::improve::change::Move;
use sim::study::improve::change::What;
use sim::study::improve::tries::changes;

/// A house with a hall, a kitchen with an island, a parlor with a desk, a powder room and a second
/// bath; the door to the parlor stands open in the way.
fn house(more: &str) -> Desk {
    let plan = "format = 1\nunits = \"ft\"\nroom = [\n { name = \"hall\", size = [\"6ft\", \"14ft\"] },\n { name = \"kitchen\", size = [\"14ft\", \"14ft\"], east_of = \"hall\", flush = \"south\" },\n\
        { name = \"parlor\", use = \"living\", size = [\"16ft\", \"14ft\"], north_of = \"kitchen\", flush = \"east\" },\n { name = \"powder room\", size = [\"5ft\", \"6ft\"], west_of = \"hall\", flush = \"south\" },\n\
        { name = \"back bath\", use = \"bath\", size = [\"6ft\", \"8ft\"], east_of = \"parlor\", flush = \"north\" },\n]\n\
        opening = [\n { name = \"front door\", joins = [\"outside\", \"hall\"], wall = \"south\" },\n { joins = [\"hall\", \"kitchen\"], style = \"cased\", width = \"4ft\" },\n\
        { name = \"parlor door\", joins = [\"kitchen\", \"parlor\"], width = \"30in\", swing = { into = \"parlor\", hinge = \"west\" } },\n { joins = [\"hall\", \"powder room\"] },\n { joins = [\"parlor\", \"back bath\"] },\n]\n\
        furniture = [\n { kind = \"island\", room = \"kitchen\", at = [\"4ft\", \"5ft\"], size = [\"6ft\", \"3ft\"] },\n { kind = \"sideboard\", room = \"parlor\", west = \"9ft\", north = 0 },\n { kind = \"bar\", room = \"hall\", west = 0, north = 0 },\n\
        { kind = \"desk\", room = \"parlor\", east = 0, south = \"1ft\" },\n { kind = \"sofa\", room = \"parlor\", west = 0, south = \"6ft\" },\n]\n";
    let evening = "format = 1\nplan = \"plan.toml\"\noccasion = \"buffet\"\nguests = 12\nlasts = \"2h\"\n[place]\nfood = [\"sideboard\"]\ndrinks = [\"bar\"]\npowder = [\"powder room\"]\n";
    Desk::new().with("plan.toml", plan).with("evening.toml", &(evening.to_string() + more))
}

/// The answer of `improve`.
fn improve(desk: &Desk, more: &[&str]) -> Value {
    let outcome =
        run(&[&["improve", &desk.at("evening.toml"), "--json", "--quiet"], more].concat());
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).unwrap()
}

/// What `improve` would try.
fn tried(desk: &Desk) -> Vec<What> {
    let load = |p: &str| std::fs::read_to_string(p).map_err(|e| e.to_string());
    let loaded =
        sim::files::read(&desk.at("evening.toml"), &load, &sim::files::Asked::default()).unwrap();
    let world = World::new(loaded.plan.clone(), loaded.scenario.clone()).unwrap();
    changes(&loaded, &world).into_iter().map(|c| c.what).collect()
}

#[test]
fn what_is_there_is_tried_before_anything_is_bought() {
    let all = tried(&house(""));
    let has = |what: What| all.contains(&what);
    assert!(has(What::On(Serves::Food, "island".into())), "{all:?}");
    assert!(has(What::Also(Serves::Food, "island".into())));
    assert!(has(What::Also(Serves::Drinks, "island".into())));
    assert!(has(What::Also(Serves::Powder, "back bath".into())));
    assert!(!has(What::On(Serves::Powder, "back bath".into())), "the powder room is not given up");
}

#[test]
fn nobody_is_told_to_clear_a_desk_or_to_pour_in_the_hall() {
    let all = tried(&house(""));
    let on_the_desk =
        |w: &What| matches!(w, What::On(_, name) | What::Also(_, name) if name == "desk");
    assert!(!all.iter().any(on_the_desk), "{all:?}");
    let desk = house("");
    let hall = RoomId::FIRST;
    let in_the_hall = |w: &What| matches!(w, What::Second(Serves::Drinks, site) | What::Chairs(_, site) if site.room == hall);
    assert!(!tried(&desk).iter().any(in_the_hall));
}

#[test]
fn chairs_are_tried_where_guests_look_for_seats() {
    let chairs = |desk: &Desk| tried(desk).iter().any(|w| matches!(w, What::Chairs(..)));
    assert!(chairs(&house("")));
}

#[test]
fn a_door_is_tried_as_it_is_sold_and_hung_the_other_way() {
    let all = tried(&house(""));
    let wider = |w: &What| matches!(w, What::WiderDoor(door, from, to) if door == "parlor door" && (from / INCH).round() == 30.0 && (to / INCH).round() == 36.0);
    assert!(all.iter().any(wider), "{all:?}");
    assert!(
        all.contains(&What::Hung("parlor door".into(), "parlor".into(), Compass::East)),
        "{all:?}"
    );
    assert!(all.contains(&What::Hung("parlor door".into(), "kitchen".into(), Compass::West)));
}

/// A cupboard that stands where the door would swing.
#[test]
fn no_door_is_hung_to_swing_into_a_piece() {
    let desk = house("");
    let plan = std::fs::read_to_string(desk.path("plan.toml")).unwrap();
    let cupboard = " { kind = \"cabinet\", room = \"kitchen\", north = 0, west = \"7ft\", size = [\"2ft\", \"20in\"] },\n { kind = \"sideboard\"";
    let with = plan.replace(" { kind = \"sideboard\"", cupboard);
    assert_ne!(plan, with);
    let all = tried(&desk.with("plan.toml", &with));
    let into = |room: &str| all.iter().any(|w| matches!(w, What::Hung(_, into, _) if into == room));
    assert!(into("parlor") && !into("kitchen"), "{all:?}");
}

/// A dining table 28 in from the island where 38 in would do, and a sofa against a wall.
fn too_near_the_island() -> Desk {
    let plan = "format = 1\nunits = \"ft\"\nroom = [\n { name = \"entry\", size = [\"6ft\", \"6ft\"] },\n { name = \"great room\", use = \"kitchen\", size = [\"17ft\", \"20ft\"], north_of = \"entry\", flush = \"west\" },\n]\n\
        opening = [\n { joins = [\"outside\", \"entry\"], wall = \"south\" },\n { joins = [\"entry\", \"great room\"], style = \"cased\", width = \"5ft\" },\n]\n\
        furniture = [\n { kind = \"counter\", room = \"great room\", north = 0, size = [\"12ft\", \"25in\"] },\n { kind = \"island\", room = \"great room\", north = \"6ft\", west = \"4ft\", turn = 0, size = [\"7ft\", \"3ft\"] },\n \
        { kind = \"table\", name = \"dining table\", room = \"great room\", south = \"5ft 2in\", west = \"4ft\", turn = 0, size = [\"7ft\", \"42in\"] },\n { kind = \"sofa\", room = \"great room\", east = 0, south = \"3ft\" },\n]\n";
    let evening = "format = 1\nplan = \"plan.toml\"\noccasion = \"buffet\"\nguests = 20\n[place]\nfood = [\"island\"]\ndrinks = [\"counter\"]\n";
    Desk::new().with("plan.toml", plan).with("evening.toml", evening)
}

#[test]
fn a_piece_is_moved_only_where_it_leaves_floor_to_pass() {
    let all = tried(&too_near_the_island());
    let ways = |name: &str| -> Vec<(Compass, i32)> {
        let of = |w: &What| match w {
            What::Moved(piece, Move::By(way, by)) if piece == name => {
                Some((*way, (by / INCH).round() as i32))
            }
            _ => None,
        };
        all.iter().filter_map(of).collect()
    };
    let table = ways("dining table");
    for by in [6, 10, 18] {
        assert!(table.contains(&(Compass::South, by)), "{table:?}");
        assert!(!table.contains(&(Compass::North, by)), "{table:?}");
    }
    let sofa = ways("sofa");
    assert!(
        !sofa.is_empty()
            && sofa.iter().all(|(way, _)| matches!(way, Compass::North | Compass::South)),
        "{sofa:?}"
    );
}

#[test]
#[cfg_attr(debug_assertions, ignore = "minutes in a debug build")]
fn improve_moves_a_table_away_from_the_island() {
    let found = improve(&too_near_the_island(), &["--in", "great room", "--trials", "24"]);
    let best: Vec<&str> =
        found["best"].as_array().unwrap().iter().map(|b| b["change"].as_str().unwrap()).collect();
    assert!(
        best.iter().any(|b| b.starts_with("move the dining table") && b.ends_with("south")),
        "{best:?}"
    );
}

/// One room and a hall.
fn parlor() -> Desk {
    let plan = "format = 1\nunits = \"ft\"\nroom = [\n { name = \"parlor\", use = \"living\", size = [\"14ft\", \"14ft\"] },\n]\nopening = [\n { joins = [\"outside\", \"parlor\"], wall = \"south\" },\n]\n\
        furniture = [\n { kind = \"sideboard\", room = \"parlor\", north = 0 },\n { kind = \"bar\", room = \"parlor\", east = 0 },\n]\n";
    Desk::new().with("plan.toml", plan)
}

/// A late guest misses nothing at cocktails; at a dinner nobody is asked to come after the food is
/// served.
#[test]
fn arrivals_are_spread_out_only_where_no_meal_is_missed() {
    let spreads = |occasion: &str| {
        let evening = format!(
            "format = 1\nplan = \"plan.toml\"\noccasion = \"{occasion}\"\nguests = 12\nlasts = \"5h\"\n"
        );
        tried(&parlor().with("evening.toml", &evening))
            .iter()
            .any(|c| matches!(c, What::Staggered(..)))
    };
    assert!(spreads("cocktails"));
    assert!(!spreads("buffet"));
}

#[test]
fn what_is_printed_to_paste_can_be_read() {
    let desk = house("");
    let found = improve(&desk, &["--trials", "2", "--guests", "6"]);
    let evening = std::fs::read_to_string(desk.path("evening.toml")).unwrap();
    let mut options: Vec<&str> =
        found["tried"].as_array().unwrap().iter().map(|t| t["option"].as_str().unwrap()).collect();
    options.extend(found["together"]["option"].as_str());
    assert!(options.len() > 20, "{options:?}");
    for option in options {
        let pasted = house("").with("evening.toml", &format!("{evening}\n{option}"));
        let outcome = run(&["check", &pasted.at("evening.toml"), "--json", "--quiet"]);
        assert_eq!(outcome.code, 0, "{option}{}", outcome.err);
    }
}
