//! `check` reads a plan like a colleague: what is too tight, with the inches that are missing, and
//! nothing that is right.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, run};
use serde_json::Value;

const CLOSET: &str =
    r#"{ name = "closet", size = ["2ft", "4ft"], west_of = "hall", flush = "south" },"#;
const DECK: &str =
    r#"{ name = "deck", size = ["18ft", "10ft"], north_of = "living room", flush = "west" },"#;

/// A hall, a living room and a kitchen in a row, with some furniture.
fn furnished(furniture: &str) -> Desk {
    house("", "", furniture)
}

/// The same with one more room and its opening.
fn house(room: &str, opening: &str, furniture: &str) -> Desk {
    let plan = format!(
        r#"format = 1
room = [
  {{ name = "hall", size = ["5ft", "14ft"] }},
  {{ name = "living room", size = ["18ft", "14ft"], east_of = "hall", flush = "south" }},
  {{ name = "kitchen", size = ["14ft", "14ft"], east_of = "living room", flush = "south" }},
  {room}
]
opening = [
  {{ name = "front door", joins = ["outside", "hall"], wall = "south" }},
  {{ joins = ["hall", "living room"], style = "cased", width = "4ft", north = "1ft" }},
  {{ joins = ["living room", "kitchen"], style = "cased", width = "4ft" }},
  {opening}
]
furniture = [{furniture}]
"#
    );
    Desk::new().with("plan.toml", &plan)
}

/// What `check` says is worth changing.
fn faults(desk: &Desk) -> Vec<String> {
    let file = desk.at("plan.toml");
    let outcome = run(&["check", &file, "--json"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    let answer: Value = serde_json::from_str(&outcome.out).unwrap();
    answer["faults"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["says"].as_str().unwrap().to_string())
        .collect()
}

fn one(faults: Vec<String>) -> String {
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults.into_iter().next().unwrap()
}

#[test]
fn a_work_aisle_tells_the_inches_that_are_missing() {
    let kitchen = |gap: &str| {
        let island = format!(
            r#"{{ kind = "counter", room = "kitchen", north = 0, size = ["10ft", "25in"] }}, {{ kind = "island", room = "kitchen", north = "{gap}", size = ["5ft", "36in"] }}"#
        );
        faults(&furnished(&island))
    };
    assert_eq!(
        one(kitchen("63in")),
        "38 in between the counter and the island: 4 in short of the 42 in one cook needs (NKBA guideline 6)."
    );
    assert!(kitchen("67in").is_empty(), "{:?}", kitchen("67in"));
}

#[test]
fn chairs_near_an_island_and_near_a_wall_have_their_own_inches() {
    let near_island = r#"{ kind = "island", room = "kitchen", at = ["5ft", "4ft"], size = ["5ft", "36in"] }, { kind = "table", room = "kitchen", at = ["5ft", "122in"], size = ["60in", "34in"], turn = 0, seats = 2 }"#;
    let all = faults(&furnished(near_island));
    assert!(
        all.iter()
            .any(|f| f
                .starts_with("38 in between the table and the island: 6 in short of the 44 in")),
        "{all:?}"
    );
    let near_wall = |gap: &str| {
        faults(&furnished(&format!(
            r#"{{ kind = "table", room = "living room", south = "{gap}", turn = 0, size = ["72in", "36in"], seats = 6 }}, {{ kind = "bar", room = "kitchen", north = 0 }}, {{ kind = "sideboard", room = "kitchen", south = 0 }}"#
        )))
    };
    assert_eq!(
        one(near_wall("30in")),
        "30 in from the front of the table to the wall: 2 in short of the 32 in a diner needs to push back a chair (NKBA guideline 8)."
    );
    assert!(near_wall("36in").is_empty(), "{:?}", near_wall("36in"));
}

#[test]
fn a_coffee_table_before_a_sofa_is_right_and_seats_nobody() {
    let table = |gap: u32| {
        let north = 36 + gap;
        faults(&furnished(&format!(
            r#"{{ kind = "sofa", room = "living room", north = 0, west = "6ft" }}, {{ name = "coffee table", kind = "table", room = "living room", north = "{north}in", west = "7ft", size = ["48in", "24in"] }}"#
        )))
    };
    assert!(table(16).is_empty(), "{:?}", table(16));
    assert!(
        table(8)[0].starts_with(
            "8 in between the sofa and the coffee table: 4 in short of the 12 in that knees need"
        ),
        "{:?}",
        table(8)
    );
}

#[test]
fn a_run_of_counters_round_a_corner_is_no_narrow_gap() {
    let run = r#"{ name = "north counter", kind = "counter", room = "kitchen", north = 0, west = 0, size = ["14ft", "25in"] }, { name = "east counter", kind = "counter", room = "kitchen", east = 0, north = "26in", size = ["6ft", "25in"] }, { kind = "range", room = "kitchen", north = 0, west = "3ft" }"#;
    assert!(faults(&furnished(run)).is_empty(), "{:?}", faults(&furnished(run)));
}

#[test]
fn doors_that_hit_each_other_or_a_piece_are_told_with_inches() {
    let closet = |swing: &str| {
        faults(&house(
            CLOSET,
            &format!(r#"{{ joins = ["hall", "closet"], width = "30in", south = 0{swing} }},"#),
            "",
        ))
    };
    let both = one(closet(""));
    assert!(both.starts_with("The front door and the door between the hall and the closet hit each other: their swings overlap by "), "{both}");
    assert!(both.contains("If yours swings another way"), "{both}");
    let door = r#"{ name = "deck door", joins = ["living room", "deck"], width = "36in", swing = { into = "living room", hinge = "west" } },"#;
    let piano = |north: u32| {
        faults(&house(
            DECK,
            door,
            &format!(
                r#"{{ kind = "piano", room = "living room", north = "{north}in", turn = 0 }}"#
            ),
        ))
    };
    assert!(piano(37).is_empty(), "{:?}", piano(37));
    assert_eq!(
        piano(30)[0],
        "The deck door swings 6 in into the piano. Hang it the other way, or make it a pocket door."
    );
}

#[test]
fn the_widest_way_narrows_between_two_pieces() {
    let way = |gap: u32| {
        let sofas = format!(
            r#"{{ kind = "shelf", room = "living room", at = ["8ft", "0ft"], size = ["12in", "{}in"] }}, {{ name = "bookcase", kind = "shelf", room = "living room", at = ["8ft", "{}in"], size = ["12in", "{}in"] }}"#,
            60,
            60 + gap,
            168 - 60 - gap
        );
        faults(&furnished(&sofas))
    };
    assert_eq!(
        one(way(30)),
        "The widest way to the opening between the living room and the kitchen is 30 in between the bookcase and the shelf: 6 in short of a 36 in walkway (NKBA guideline 7)."
    );
    assert!(way(36).is_empty(), "{:?}", way(36));
}

#[test]
fn a_slider_opens_at_the_end_that_is_said() {
    let blocked = |opens: &str| {
        faults(&house(
            DECK,
            &format!(
                r#"{{ name = "deck door", joins = ["living room", "deck"], style = "sliding", width = "8ft", opens = "{opens}" }},"#
            ),
            r#"{ kind = "piano", room = "living room", at = ["5ft 2in", "10ft"], size = ["26in", "36in"], turn = 0 }"#,
        ))
    };
    assert!(blocked("east").is_empty(), "{:?}", blocked("east"));
    assert!(
        one(blocked("west")).starts_with("The piano stands 12 in from the deck door: only "),
        "{:?}",
        blocked("west")
    );
    let wrong = run(&[
        "check",
        &house(
            DECK,
            r#"{ joins = ["living room", "deck"], style = "sliding", opens = "north" },"#,
            "",
        )
        .at("plan.toml"),
    ]);
    assert_eq!(wrong.code, 3);
    assert!(
        wrong.err.contains("the door has no north end")
            && wrong.err.contains("`east`")
            && wrong.err.contains("`west`"),
        "{}",
        wrong.err
    );
}

#[test]
fn every_assumption_of_house_and_evening_is_listed_with_its_source() {
    let outcome = run(&["check", &demo("winter-cocktails.toml"), "--json"]);
    let answer: Value = serde_json::from_str(&outcome.out).unwrap();
    let assumed: Vec<&str> =
        answer["assumed"].as_array().unwrap().iter().map(|a| a.as_str().unwrap()).collect();
    for part in [
        "Sofa: 84 in by 36 in (",
        "It lasts 3 h (",
        "powder room 0.45 times an hour (",
        "95% of guests bring a coat",
        "Hickey 2014",
    ] {
        assert!(assumed.iter().any(|a| a.contains(part)), "{part}: {assumed:#?}");
    }
    assert!(!assumed.iter().any(|a| a.contains("guests come and")), "{assumed:#?}");
}

#[test]
fn words_people_use_for_pieces_and_keys_are_understood_in_hints() {
    let desk = furnished(r#"{ kind = "couch", room = "living room" }"#);
    let outcome = run(&["check", &desk.at("plan.toml")]);
    assert!(
        outcome.err.contains("did you mean `sofa`?") && outcome.err.contains("`armchair`"),
        "{}",
        outcome.err
    );
    let named = Desk::new().with(
        "plan.toml",
        "format = 1\nname = \"Our house\"\nroom = [{ name = \"hall\", size = [8, 8] }]\nopening = [{ joins = [\"outside\", \"hall\"], wall = \"south\" }]\n",
    );
    let outcome = run(&["check", &named.at("plan.toml")]);
    assert!(outcome.err.contains("did you mean `title`?"), "{}", outcome.err);
}

#[test]
fn what_is_printed_keeps_to_80_columns() {
    let folder = tempfile::tempdir().unwrap();
    for (question, file) in
        [("check", "ranch.toml"), ("check", "buffet-dinner.toml"), ("run", "winter-cocktails.toml")]
    {
        let dir = folder.path().join(question).join(file);
        std::fs::create_dir_all(dir.parent().unwrap()).unwrap();
        let dir = dir.display().to_string();
        let file = demo(file);
        let trials: &[&str] = if question == "run" { &["--trials", "3"] } else { &[] };
        let args = [&[question, file.as_str(), "--out", dir.as_str(), "--quiet"], trials].concat();
        let outcome = run(&args);
        assert_eq!(outcome.code, 0, "{}", outcome.err);
        let wide: Vec<&str> =
            outcome.out.lines().filter(|l| l.chars().count() > 80 && !l.contains(&dir)).collect();
        assert!(wide.is_empty(), "{wide:#?}");
    }
}

#[test]
fn a_window_is_drawn_in_its_wall_and_told_where_it_does_not_fit() {
    let windows = |width: &str| {
        let desk = furnished("");
        let plan = std::fs::read_to_string(desk.path("plan.toml")).unwrap()
            + &format!(
                "\nwindow = [{{ room = \"kitchen\", wall = \"north\", width = \"{width}\", east = \"1ft\" }}]\n"
            );
        let desk = desk.with("plan.toml", &plan);
        let (file, out) = (desk.at("plan.toml"), desk.at("out"));
        let outcome = run(&["check", &file, "--out", &out]);
        (outcome, std::fs::read_to_string(desk.path("out").join("plan.svg")).ok())
    };
    let (_, three) = windows("3ft");
    let (_, four) = windows("4ft");
    assert!(three.is_some() && three != four, "the window is not drawn");
    let (wrong, none) = windows("15ft");
    assert!(
        wrong.code == 3
            && none.is_none()
            && wrong.err.contains("the window is wider than the north wall of `kitchen`"),
        "{}",
        wrong.err
    );
}

#[test]
fn a_piece_before_an_opening_is_told_once() {
    let chair = r#"{ kind = "armchair", room = "living room", west = "20in", north = "1.6ft" }"#;
    let says = one(faults(&furnished(chair)));
    assert!(says.starts_with("The armchair stands"), "{says}");
}

#[test]
fn a_toilet_keeps_its_elbows() {
    let bath =
        r#"{ name = "powder room", size = ["5ft", "5ft"], north_of = "hall", flush = "west" },"#;
    let door = r#"{ joins = ["hall", "powder room"], style = "pocket", width = "30in" },"#;
    let with = |gap: &str| {
        let toilet =
            format!(r#"{{ kind = "toilet", room = "powder room", north = 0, west = "{gap}" }}"#);
        faults(&house(bath, door, &toilet))
    };
    assert_eq!(
        one(with("3in")),
        "13 in from the middle of the toilet to the wall: 2 in short of the 15 in that codes ask for (IRC R307.1)."
    );
    assert!(with("5in").is_empty(), "{:?}", with("5in"));
}
