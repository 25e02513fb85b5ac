//! `review` holds a plan against what its sources say; what the plan does not tell it does not guess.
#![allow(clippy::unwrap_used, clippy::panic)]

use elbowroom_tests::review::{review, rows, verdict};
use elbowroom_tests::{Desk, demo, run};
use serde_json::Value;
use sim::base::units::FOOT;

/// The estimate of something: its verdict, its sentence.
fn estimate(review: &Value, of: &str) -> (String, String) {
    let all = review["estimates"].as_array().unwrap();
    let e = all.iter().find(|e| e["of"] == of).unwrap_or_else(|| panic!("no {of}: {all:?}"));
    (e["verdict"].as_str().unwrap_or("").into(), e["says"].as_str().unwrap().into())
}

/// A hall, a living room, a kitchen at work and a powder room.
fn house(more: &str, furniture: &str) -> Desk {
    let plan = format!(
        r#"format = 1
{more}
room = [
  {{ name = "hall", size = ["6ft", "16ft"] }},
  {{ name = "living room", size = ["18ft", "16ft"], east_of = "hall", flush = "south" }},
  {{ name = "kitchen", size = ["14ft", "14ft"], east_of = "living room", flush = "south" }},
  {{ name = "powder room", size = ["5ft", "6ft"], west_of = "hall", flush = "south" }},
]
opening = [
  {{ name = "front door", joins = ["outside", "hall"], wall = "south" }},
  {{ joins = ["hall", "living room"], style = "cased", width = "6ft", north = "1ft" }},
  {{ joins = ["living room", "kitchen"], style = "cased", width = "5ft", south = "1ft" }},
  {{ joins = ["hall", "powder room"], width = "34in" }},
]
furniture = [{furniture}]
"#
    );
    Desk::new().with("plan.toml", &plan)
}

const KITCHEN: &str = r#"
  { name = "north counter", kind = "counter", room = "kitchen", north = 0, west = 0, size = ["14ft", "25in"] },
  { kind = "sink", room = "kitchen", north = 0, west = "3ft" },
  { kind = "range", room = "kitchen", north = 0, west = "9ft" },
  { kind = "fridge", room = "kitchen", south = 0, east = 0 },"#;

#[test]
fn a_work_triangle_is_measured_from_front_to_front() {
    let found = review(&house("", KITCHEN), &[]);
    let triangle = found["rows"]
        .as_array()
        .unwrap()
        .iter()
        .find(|r| r["says"].as_str().unwrap().starts_with("Work triangle"));
    let around = triangle.unwrap()["measured"]["value"].as_f64().unwrap() / FOOT;
    // middles of the fronts: the sink's 22 in and the range's 26 in from the north wall
    let (sink, range) = ((4.375, 14.0 - 22.0 / 12.0), (10.25, 14.0 - 26.0 / 12.0));
    let fridge = (12.5, 2.5);
    let leg = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    let by_hand = leg(sink, range) + leg(range, fridge) + leg(fridge, sink);
    assert!((around - by_hand).abs() < 0.1, "{around} ft, not {by_hand}");
}

#[test]
fn counter_is_measured_beside_what_is_set_into_it() {
    let found = review(&house("", KITCHEN), &[]);
    let says = rows(&found, "kitchen");
    // the sink is 33 in wide and begins 3 ft from the west end, the range 30 in at 9 ft
    let sink = says.iter().find(|s| s.1.contains("beside the sink")).unwrap();
    assert!(sink.1.contains("39 in on one side, 36 in on the other"), "{}", sink.1);
    let range = says.iter().find(|s| s.1.contains("beside the range")).unwrap();
    assert!(range.1.contains("39 in on one side, 30 in on the other"), "{}", range.1);
}

#[test]
fn counter_ends_where_another_run_turns_the_corner() {
    // the east counter begins at the front of the north one and is 25 in deep
    let corner = r#"
  { name = "north counter", kind = "counter", room = "kitchen", north = 0, east = 0, size = ["9ft", "25in"] },
  { name = "east counter", kind = "counter", room = "kitchen", east = 0, north = "25in", size = ["6ft", "25in"] },
  { kind = "sink", room = "kitchen", north = 0, east = "4ft" },
  { kind = "range", room = "kitchen", east = 0, north = "5ft" },"#;
    let says = rows(&review(&house("", corner), &[]), "kitchen");
    // 9 ft less 4 ft less 33 in to the west; 4 ft less 25 in to the east
    let sink = says.iter().find(|s| s.1.contains("beside the sink")).unwrap();
    assert!(sink.1.contains("27 in on one side, 23 in on the other"), "{}", sink.1);
    // 5 ft less 25 in to the north; 6 ft and 25 in less 5 ft and 30 in to the south
    let range = says.iter().find(|s| s.1.contains("beside the range")).unwrap();
    assert!(range.1.contains("35 in on one side, 7 in on the other"), "{}", range.1);
}

#[test]
fn the_end_of_an_island_across_from_a_range_leaves_an_aisle() {
    // the range stands 26 in before the east wall, the island is 6 ft long
    for (west, inches) in [(42.0, 28.0), (60.0, 10.0)] {
        let furniture = format!(
            r#"{{ kind = "range", room = "kitchen", east = 0, south = "6ft" }},
               {{ kind = "island", room = "kitchen", at = ["{west}in", "5ft"], size = ["6ft", "36in"] }}"#
        );
        let found = review(&house("", &furniture), &[]);
        let says = format!("{inches} in between the range and the island");
        assert_eq!(verdict(&found, "walkways", &says), "fails");
    }
}

#[test]
fn what_the_plan_does_not_say_is_unknown_and_told_how_to_say() {
    let sideboard = "{ kind = \"sideboard\", room = \"living room\", north = 0 }";
    let found = review(&house("", sideboard), &[]);
    for (of, key) in [
        ("noise", "ceiling"),
        ("parking", "[parking]"),
        ("dishwashing", "--guests"),
        ("children", "use = \"kids\""),
        ("air", "--guests"),
        ("floors", "finish"),
    ] {
        let (verdict, says) = estimate(&found, of);
        assert!(verdict == "unknown" && says.contains(key), "{of}: {verdict}, {says}");
    }
    assert_eq!(verdict(&found, "for_everybody", "steps = 0"), "unknown");
    assert_eq!(verdict(&found, "kitchen", "without"), "unknown");
    assert_eq!(verdict(&found, "outdoors", "use = \"outdoors\""), "unknown");
    assert_eq!(verdict(&found, "seats", "Say how many guests"), "unknown");
}

#[test]
fn what_the_plan_says_is_judged() {
    let more = "ceiling = \"9ft\"\nfinish = \"tile\"\ninside_walls = \"insulated\"\n\
                parking = { drive = [\"18ft\", \"40ft\"], street = \"23ft\" }\nowns = { plates = 100, glasses = 20 }";
    let found = review(&house(more, KITCHEN), &["--guests", "12"]);
    // two lanes of two, and one at the curb; six cars come
    assert_eq!(estimate(&found, "parking").0, "fails");
    assert!(
        estimate(&found, "parking").1.contains("5 cars; 6 come"),
        "{:?}",
        estimate(&found, "parking")
    );
    assert_eq!(estimate(&found, "noise").0, "tight");
    assert_eq!(estimate(&found, "floors").0, "passes");
    assert_eq!(estimate(&found, "plates and glasses").0, "tight");
    assert!(estimate(&found, "air").1.contains("12 guests"));
}

#[test]
fn a_powder_room_off_the_kitchen_fails_and_one_off_the_hall_passes() {
    let off_hall = review(&house("", ""), &[]);
    assert_eq!(verdict(&off_hall, "powder_room", "opens onto"), "passes");
    let plan = std::fs::read_to_string(house("", "").path("plan.toml")).unwrap();
    let plan = plan
        .replace(
            "west_of = \"hall\", flush = \"south\" },\n]",
            "east_of = \"kitchen\", flush = \"south\" },\n]",
        )
        .replace("joins = [\"hall\", \"powder room\"]", "joins = [\"kitchen\", \"powder room\"]");
    let off_kitchen = review(&Desk::new().with("plan.toml", &plan), &[]);
    assert_eq!(verdict(&off_kitchen, "powder_room", "opens onto the kitchen"), "fails");
    assert_eq!(verdict(&off_kitchen, "powder_room", "is seen from"), "fails");
}

#[test]
fn a_way_through_the_triangle_is_told_with_the_way_around() {
    // the door to the patio lies behind the cook
    let plan = r#"format = 1
room = [
  { name = "living room", size = ["16ft", "16ft"] },
  { name = "kitchen", size = ["10ft", "16ft"], east_of = "living room", flush = "south" },
  { name = "patio", size = ["14ft", "16ft"], east_of = "kitchen", flush = "south" },
]
opening = [
  { name = "front door", joins = ["outside", "living room"], wall = "south" },
  { joins = ["living room", "kitchen"], style = "cased", width = "4ft", south = "6ft" },
  { joins = ["kitchen", "patio"], style = "cased", width = "4ft", south = "6ft" },
]
furniture = [
  { kind = "counter", room = "kitchen", north = 0, west = 0, size = ["10ft", "25in"] },
  { kind = "sink", room = "kitchen", north = 0, west = "1ft" },
  { kind = "range", room = "kitchen", north = 0, east = "1ft" },
  { kind = "fridge", room = "kitchen", south = 0, west = "3ft" },
]
"#;
    let found = review(&Desk::new().with("plan.toml", plan), &[]);
    assert_eq!(verdict(&found, "routes", "work triangle"), "fails");
    assert!(rows(&found, "routes")[0].1.contains("no way around"), "{:?}", rows(&found, "routes"));
}

#[test]
fn tables_seat_what_tables_seat() {
    // 84 in seats 6 and 109 in 8, ends counted (Time-Saver Standards)
    for (inches, seats) in [(84, 6), (109, 8)] {
        let table = format!(
            "{{ kind = \"table\", room = \"living room\", at = [\"4ft\", \"6ft\"], size = [\"{inches}in\", \"40in\"], seats = 12 }}"
        );
        let found = review(&house("", &table), &[]);
        let says = format!("seats {seats} with elbow room");
        assert_eq!(verdict(&found, "seats", &says), "fails", "{inches} in");
    }
}

#[test]
fn a_move_that_is_proposed_gives_the_width_and_takes_none() {
    // a table 30 in from a sideboard, with floor to spare on its other side
    let plan = |west: f64| {
        let table = format!(
            "{{ kind = \"table\", room = \"living room\", at = [\"{west}in\", \"4ft\"], size = [\"6ft\", \"40in\"], turn = 90 }},
             {{ kind = \"sideboard\", room = \"living room\", east = 0, south = \"4ft 6in\" }}"
        );
        house("", &table)
    };
    let west = 18.0 * 12.0 - 18.0 - 30.0 - 40.0;
    let before = review(&plan(west), &[]);
    let all = before["rows"].as_array().unwrap();
    let row =
        all.iter().find(|r| r["says"].as_str().unwrap().starts_with("30 in between")).unwrap();
    assert_eq!(row["verdict"], "fails", "{row}");
    let help = row["help"].as_str().unwrap();
    let moved = help.strip_prefix("Move the table ").and_then(|h| h.strip_suffix(" in west."));
    let moved: f64 = moved.unwrap_or_else(|| panic!("{help}")).parse().unwrap();
    let after = review(&plan(west - moved), &[]);
    let fails = |r: &Value| r["scores"].as_array().unwrap()[0]["fails"].as_u64().unwrap();
    assert_eq!(verdict(&after, "walkways", "between the table and the sideboard"), "passes");
    assert_eq!((fails(&before), fails(&after)), (1, 0));
}

#[test]
fn the_caution_stands_on_every_review_and_is_louder_for_many_or_little_floor() {
    let small = Desk::new().with(
        "plan.toml",
        "format = 1\nroom = [{ name = \"living\", size = [\"14ft\", \"12ft\"] }]\nopening = [{ joins = [\"outside\", \"living\"], wall = \"south\" }]\n",
    );
    let large = house("", "");
    // 168 sq ft for 20 and 30 guests; 580 for 49 and 50
    for (desk, guests, loud) in [
        (&large, None, false),
        (&large, Some("49"), false),
        (&large, Some("50"), true),
        (&small, Some("20"), false),
        (&small, Some("30"), true),
    ] {
        let (file, folder) = (desk.at("plan.toml"), desk.at("answer"));
        let mut args = vec!["review", &file, "--quiet", "--force", "--out", &folder];
        args.extend(guests.iter().flat_map(|n| ["--guests", n]));
        let out = desk.run(&args).out;
        assert!(out.contains("not an occupant load, egress, fire, acoustic"), "{out}");
        assert_eq!(out.contains("RULES FOR ASSEMBLIES"), loud, "{guests:?} guests");
        let page = std::fs::read_to_string(desk.path("answer/report.html")).unwrap();
        assert!(page.contains("licensed professionals decide those"));
        assert_eq!(page.contains("RULES FOR ASSEMBLIES"), loud, "{guests:?} guests, page");
        // occupant load is not reported
        assert!(!out.to_lowercase().replace("not an occupant load", "").contains("occupant"));
    }
}

#[test]
fn a_pinch_that_can_be_walked_around_is_none() {
    // 32 in on the west, over 10 ft on the east; the powder room's own door is narrower than both
    let plan = r#"format = 1
room = [
  { name = "living room", size = ["24ft", "20ft"] },
  { name = "powder room", size = ["6ft", "8ft"], north_of = "living room", flush = "west" },
]
opening = [
  { name = "front door", joins = ["outside", "living room"], wall = "south", west = "2ft" },
  { joins = ["living room", "powder room"], width = "28in" },
]
furniture = [
  { name = "bookcase", kind = "shelf", room = "living room", west = 0, south = "9ft", size = ["24in", "24in"], turn = 0 },
  { name = "case", kind = "other", room = "living room", at = ["56in", "9ft"], size = ["9ft", "24in"] },
]
"#;
    let found = review(&Desk::new().with("plan.toml", plan), &[]);
    assert!(!rows(&found, "walkways").iter().any(|r| r.1.contains("bookcase")), "{found}");
}

#[test]
fn an_island_in_the_bend_of_a_counter_has_its_aisles() {
    let plan = r#"format = 1
room = [{ name = "kitchen", size = ["18ft", "16ft"] }]
opening = [{ name = "front door", joins = ["outside", "kitchen"], wall = "south" }]
furniture = [
  { name = "L counter", kind = "counter", room = "kitchen", north = 0, west = 0, outline = [[0, 0], ["25in", 0], ["25in", "7ft 11in"], ["14ft", "7ft 11in"], ["14ft", "10ft"], [0, "10ft"]] },
  { kind = "island", room = "kitchen", at = ["6ft 1in", "6ft 11in"], size = ["7ft", "3ft"] },
]
"#;
    let found = review(&Desk::new().with("plan.toml", plan), &[]);
    let says = rows(&found, "kitchen");
    // 13 ft 11 in from the south wall to the counter, less 9 ft 11 in to the island's north side
    let aisle = says.iter().find(|s| s.1.contains("narrowest floor")).unwrap();
    assert!(aisle.1.contains("48 in"), "{}", aisle.1);
    assert!(!rows(&found, "walkways").iter().any(|r| r.1.starts_with("0 in")), "{found}");
}

#[test]
fn a_turned_islands_corner_is_measured() {
    // 84 by 39 in turned by 45 degrees is 87 in across: from 4 ft 9 in to 12 ft, 34.6 in from the range
    let across = (84.0 + 39.0) / 2.0_f64.sqrt();
    let plan = format!(
        r#"format = 1
room = [{{ name = "kitchen", size = ["18ft", "16ft"] }}]
opening = [{{ name = "front door", joins = ["outside", "kitchen"], wall = "south" }}]
furniture = [
  {{ kind = "range", room = "kitchen", east = 0, south = "7ft 6in", size = ["30in", "26in"] }},
  {{ kind = "island", room = "kitchen", at = ["{:.2}in", "4ft"], turn = 45 }},
]
"#,
        18.0 * 12.0 - 26.0 - 34.6 - across
    );
    let found = review(&Desk::new().with("plan.toml", &plan), &[]);
    let row = rows(&found, "walkways").into_iter().find(|r| r.1.contains("range and the island"));
    let (verdict, says) = row.unwrap_or_else(|| panic!("{found}"));
    assert!(verdict == "fails" && says.starts_with("34 1/2 in"), "{verdict}: {says}");
}

#[test]
fn a_house_on_two_levels_in_meters_and_of_one_room_is_reviewed() {
    let upstairs = run(&["review", &demo("corner-house.toml"), "--json"]);
    let found: Value = serde_json::from_str(&upstairs.out).unwrap();
    assert_eq!(verdict(&found, "walkways", "The stairs are 36 in wide"), "tight");
    let studio = r#"format = 1
units = "m"
ceiling = "2.5m"
room = [{ name = "studio", size = [7, 5] }, { name = "bath", size = [2, 2], east_of = "studio", flush = "south" }]
opening = [{ joins = ["outside", "studio"], wall = "south" }, { joins = ["studio", "bath"], width = 0.9 }]
furniture = [{ kind = "sofa", room = "studio", north = 0 }]
"#;
    let found = review(&Desk::new().with("plan.toml", studio), &["--guests", "6"]);
    assert_eq!(verdict(&found, "powder_room", "The bath opens onto the studio"), "tight");
    let (_, air) = estimate(&found, "air");
    assert!(air.starts_with("6 guests bring the air to about 1,"), "{air}");
    for row in found["rows"].as_array().unwrap() {
        let words = format!("{} {}", row["says"], row["help"]);
        let inches =
            words.match_indices(" in ").any(|(i, _)| words[..i].ends_with(char::is_numeric));
        assert!(!inches && !words.contains(" ft"), "{words}");
    }
}

#[test]
fn a_plan_and_a_scenario_on_it_are_reviewed_together() {
    let desk = house("", KITCHEN)
        .with(
            "evening.toml",
            "format = 1\nplan = \"plan.toml\"\noccasion = \"buffet\"\nguests = 20\n",
        )
        .with("other.toml", "format = 1\nplan = \"elsewhere.toml\"\nguests = 20\n")
        .with("elsewhere.toml", &std::fs::read_to_string(house("", "").path("plan.toml")).unwrap());
    let (plan, evening, other) =
        (desk.at("plan.toml"), desk.at("evening.toml"), desk.at("other.toml"));
    let both = run(&["review", &plan, &evening, "--json"]);
    let alone = run(&["review", &evening, "--json", "--threads", "1"]);
    assert_eq!((both.code, &both.out), (0, &alone.out));
    let wrong = run(&["review", &plan, &other, "--json"]);
    assert!(wrong.code == 2 && wrong.err.contains("is about"), "{}", wrong.err);
    let no_scenario = run(&["review", &plan, &plan, "--json"]);
    assert!(no_scenario.code == 2 && no_scenario.err.contains("is a plan"), "{}", no_scenario.err);
}

#[test]
fn strict_fails_where_a_point_fails() {
    // 25 in between two bookcases on the only way
    let narrow = "{ name = \"one\", kind = \"shelf\", room = \"hall\", at = [0, \"8ft\"], size = [\"20in\", \"2ft\"] },
        { name = \"other\", kind = \"shelf\", room = \"hall\", at = [\"45in\", \"8ft\"], size = [\"27in\", \"2ft\"] }";
    let desk = house("", narrow);
    let file = desk.at("plan.toml");
    assert_eq!(verdict(&review(&desk, &[]), "walkways", "25 in between"), "fails");
    assert_eq!(run(&["review", &file, "--strict", "--json"]).code, 1);
    assert_eq!(run(&["review", &file, "--json"]).code, 0);
}

#[test]
fn keys_of_a_review_are_read_like_any_other() {
    let more = "ceiling = \"3ft\"\nfinish = \"marbel\"\ninside_walls = \"thick\"\nparking = { drive = 3, lawn = 2 }\nowns = { plates = -1 }";
    let out = run(&["review", &house(more, "").at("plan.toml"), "--json"]);
    assert_eq!(out.code, 3);
    for word in ["a ceiling between 5 ft and 40 ft", "marbel", "thick", "lawn", "6 problems found"]
    {
        assert!(out.err.contains(word), "{word}: {}", out.err);
    }
}

#[test]
fn three_thousand_square_feet_are_reviewed_whole() {
    let desk = Desk::new();
    let folder = desk.at("answer");
    let out = run(&[
        "review",
        &demo("orchard-house.toml"),
        "--guests",
        "30",
        "--out",
        &folder,
        "--quiet",
    ]);
    assert_eq!(out.code, 0, "{}", out.err);
    let answer: Value = serde_json::from_str(
        &std::fs::read_to_string(desk.path("answer").join("answer.json")).unwrap(),
    )
    .unwrap();
    let topics: Vec<&str> =
        answer["scores"].as_array().unwrap().iter().map(|s| s["topic"].as_str().unwrap()).collect();
    assert_eq!(
        topics,
        [
            "walkways",
            "routes",
            "sight_lines",
            "powder_room",
            "outdoors",
            "food_and_drinks",
            "seats",
            "kitchen",
            "coats",
            "for_everybody"
        ]
    );
    assert_eq!(answer["change"].as_array().unwrap().len(), 3);
    let understood = run(&["check", &demo("orchard-house.toml"), "--json"]).out;
    let understood: Value = serde_json::from_str(&understood).unwrap();
    let rooms = understood["rooms"].as_array().unwrap().iter();
    let inside = rooms.filter(|r| r["use"] != "outdoors").map(|r| r["area_m2"].as_f64().unwrap());
    // the walls take the rest
    assert!(inside.sum::<f64>() / FOOT.powi(2) > 2_850.0);
    for file in ["report.html", "card.png", "review.svg", "review.png", "sight.svg"] {
        assert!(desk.path("answer").join(file).exists(), "{file}");
    }
}
