//! Bad input: every problem at once, each with its place, exit 3, nothing written.

#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, Outcome, demo, run};

const HEAD: &str = "format = 1\nunits = \"ft\"\n";
const ROOMS: &str = "room = [\n  { name = \"hall\", size = [\"4ft\", \"14ft\"] },\n  { name = \"living\", size = [\"18ft\", \"14ft\"], east_of = \"hall\" },\n]\n";
const OPENINGS: &str = "opening = [\n  { joins = [\"outside\", \"hall\"], wall = \"south\" },\n  { joins = [\"hall\", \"living\"] },\n]\n";

fn refused(plan: &str) -> Outcome {
    let desk = Desk::new().with("plan.toml", plan);
    let out = desk.at("answer");
    let outcome =
        desk.run(&["run", &desk.at("plan.toml"), "--guests", "10", "--trials", "1", "--out", &out]);
    assert_eq!(outcome.code, 3, "it was accepted:\n{}{}", outcome.out, outcome.err);
    assert!(!desk.path("answer").exists(), "something was written");
    outcome
}

fn says(outcome: &Outcome, parts: &[&str]) {
    for part in parts {
        assert!(outcome.err.contains(part), "`{part}` is not in:\n{}", outcome.err);
    }
}

/// Zones are parts of a room that is there, and name where in answers.
#[test]
fn a_zone_that_fits_nowhere_is_told_with_the_nearest_room() {
    let zone = |z: &str| refused(&format!("{HEAD}{ROOMS}{OPENINGS}zone = [{z}]\n"));
    says(
        &zone("{ name = \"nook\", room = \"livng\", size = [4, 4] }"),
        &["there is no room `livng`", "did you mean `living`?"],
    );
    says(
        &zone("{ name = \"nook\", room = \"living\", at = [10, 0], size = [40, 4] }"),
        &["`nook` reaches out of `living`", "a part of one room"],
    );
    says(
        &zone("{ name = \"living\", room = \"living\", size = [4, 4] }"),
        &["the name `living` is already taken"],
    );
    says(&zone("{ name = \"nook\", size = [4, 4] }"), &["`room` is missing"]);
}

#[test]
fn an_unknown_key_is_underlined_with_the_nearest_one() {
    let plan = format!(
        "{HEAD}{ROOMS}{OPENINGS}furniture = [{{ kind = \"sofa\", room = \"living\", hieght = \"30in\" }}]\n"
    );
    says(
        &refused(&plan),
        &["unknown key `hieght`", "did you mean `height`?", "plan.toml:11:", "^^^^^^"],
    );
}

#[test]
fn all_problems_come_at_once() {
    let plan = format!(
        "{HEAD}room = [\n  {{ name = \"hall\", size = [\"wide\", \"14ft\"] }},\n  {{ name = \"living\", size = [\"18ft\", \"14ft\"], east_of = \"hal\" }},\n]\n\
         opening = [{{ joins = [\"hall\", \"kichen\"], style = \"bifold\" }}]\nfurniture = [{{ kind = \"sofaa\", room = \"living\" }}]\n"
    );
    let outcome = refused(&plan);
    says(
        &outcome,
        &[
            "cannot read `wide` as a length",
            "`bifold` is not known here",
            "`sofaa` is not known here",
            "did you mean `sofa`?",
            "problems found; nothing was written",
        ],
    );
}

#[test]
fn a_piece_of_no_size_and_one_turned_off_the_compass_are_told_with_where_they_stand() {
    let plan = format!(
        "{HEAD}{ROOMS}{OPENINGS}furniture = [\n  {{ kind = \"bar\", room = \"living\", size = [0, \"2ft\"], at = [\"17ft\", 0] }},\n  {{ kind = \"table\", room = \"living\", at = [\"6ft\", \"5ft\"], turn = 10, use_from = [\"north\"] }},\n]\n"
    );
    says(
        &refused(&plan),
        &[
            "the piece has no size",
            "`bar` stands in a wall",
            "a turned piece has no compass sides",
            "plan.toml:12:",
            "plan.toml:13:",
        ],
    );
}

#[test]
fn rooms_that_overlap_and_openings_without_a_wall() {
    let overlap = format!(
        "{HEAD}room = [\n  {{ name = \"a\", size = [10, 10] }},\n  {{ name = \"b\", size = [10, 10], at = [5, 5] }},\n]\nopening = [{{ joins = [\"outside\", \"a\"], wall = \"south\" }}]\n"
    );
    says(&refused(&overlap), &["`b` overlaps `a`"]);
    let apart = format!(
        "{HEAD}room = [\n  {{ name = \"a\", size = [10, 10] }},\n  {{ name = \"b\", size = [10, 10], at = [15, 0] }},\n]\nopening = [{{ joins = [\"outside\", \"a\"], wall = \"south\" }}, {{ joins = [\"a\", \"b\"] }}]\n"
    );
    says(&refused(&apart), &["`a` and `b` share no wall", "plan.toml:7:"]);
}

#[test]
fn furniture_in_a_wall_and_rooms_nobody_can_reach() {
    let wall = format!(
        "{HEAD}{ROOMS}{OPENINGS}furniture = [{{ kind = \"sofa\", room = \"living\", at = [\"14ft\", 0] }}]\n"
    );
    says(&refused(&wall), &["`sofa` stands in a wall"]);
    let alone = format!(
        "{HEAD}room = [\n  {{ name = \"hall\", size = [10, 10] }},\n  {{ name = \"den\", size = [10, 10], east_of = \"hall\" }},\n]\nopening = [{{ joins = [\"outside\", \"hall\"], wall = \"south\" }}]\n"
    );
    says(&refused(&alone), &["nobody can reach `den`"]);
}

#[test]
fn both_spellings_of_rooms_at_once() {
    let plan = format!(
        "{HEAD}room = [{{ name = \"a\", size = [10, 10] }}]\n[[room]]\nname = \"b\"\nsize = [10, 10]\n"
    );
    says(&refused(&plan), &["either [[room]] blocks or one room = [...] list"]);
}

#[test]
fn a_spot_that_no_plan_has_or_that_nobody_can_reach() {
    let scenario =
        |place: &str| format!("format = 1\nplan = \"plan.toml\"\nguests = 10\n[place]\n{place}\n");
    let plan = format!(
        "{HEAD}{ROOMS}{OPENINGS}furniture = [\n  {{ kind = \"sideboard\", room = \"living\", north = 0, use_from = \"front\" }},\n  {{ kind = \"table\", room = \"living\", north = \"18in\", size = [\"60in\", \"48in\"] }},\n]\n"
    );
    let desk =
        Desk::new().with("plan.toml", &plan).with("s.toml", &scenario("food = [\"sidebord\"]"));
    let outcome = desk.run(&["check", &desk.at("s.toml"), "--json"]);
    assert_eq!(outcome.code, 3);
    says(
        &outcome,
        &["the plan has nothing called `sidebord`", "did you mean `sideboard`?", "s.toml:5:"],
    );
    let desk = desk.with("s.toml", &scenario("food = [\"sideboard\"]"));
    let outcome = desk.run(&["check", &desk.at("s.toml"), "--json"]);
    assert_eq!(outcome.code, 3, "{}", outcome.out);
    says(&outcome, &["nobody can get food at `sideboard`", "s.toml:5:"]);
}

#[test]
fn headcounts_out_of_range() {
    for guests in ["0", "100000", "-3"] {
        let outcome =
            run(&["run", &demo("winter-cocktails.toml"), &format!("--guests={guests}"), "--json"]);
        assert_eq!(outcome.code, 2, "{guests}");
        says(&outcome, &["from 1 to 1000"]);
    }
    let desk = Desk::new()
        .with("plan.toml", &format!("{HEAD}{ROOMS}{OPENINGS}"))
        .with("s.toml", "format = 1\nplan = \"plan.toml\"\nguests = 100000\n");
    let outcome = desk.run(&["run", &desk.at("s.toml"), "--json"]);
    assert_eq!(outcome.code, 3);
    says(&outcome, &["100000 is out of range", "from 1 to 1000", "s.toml:3:10"]);
}

#[test]
fn a_mistake_in_an_option_is_told_even_when_the_option_is_not_in_force() {
    let desk = Desk::new()
        .with("plan.toml", &format!("{HEAD}{ROOMS}{OPENINGS}"))
        .with("s.toml", "format = 1\nplan = \"plan.toml\"\nguests = 10\n[[option]]\nname = \"wider\"\nchange = { \"hall to livin\" = { width = \"42in\" } }\n");
    let outcome = desk.run(&["run", &desk.at("s.toml"), "--json"]);
    assert_eq!(outcome.code, 3);
    says(&outcome, &["nothing called `hall to livin` to change", "s.toml:6:"]);
}

#[test]
fn files_that_are_not_there_or_no_plan_at_all() {
    let outcome = run(&["run", "nowhere/at-all.toml"]);
    assert_eq!(outcome.code, 3);
    says(&outcome, &["cannot read `nowhere/at-all.toml`"]);
    let desk = Desk::new().with("plan.toml", "this is = = no plan [\n");
    let outcome = desk.run(&["check", &desk.at("plan.toml"), "--json"]);
    assert_eq!(outcome.code, 3);
    says(&outcome, &["plan.toml:1:"]);
}

#[test]
fn a_newer_format_is_refused_by_number() {
    says(&refused("format = 9\nroom = []\n"), &["this file is format 9", "reads format 1"]);
}

#[test]
fn a_piece_that_cannot_be_read_does_not_hide_what_else_is_wrong() {
    let plan = format!(
        "{HEAD}{ROOMS}opening = [\n  {{ joins = [\"outside\", \"hall\"], wall = \"south\" }},\n  {{ joins = [\"hall\", \"livng\"] }},\n]\n\
         furniture = [\n  {{ kind = \"soffa\", room = \"living\" }},\n  {{ kind = \"sofa\", room = \"living\", at = [\"14ft\", 0] }},\n]\n"
    );
    let desk = Desk::new().with("plan.toml", &plan);
    let outcome = desk.run(&["check", &desk.at("plan.toml")]);
    assert_eq!(outcome.code, 3);
    for told in
        ["did you mean `sofa`", "did you mean `living`", "stands in a wall", "3 problems found"]
    {
        assert!(outcome.err.contains(told), "{told}: {}", outcome.err);
    }
    assert!(
        outcome.err.contains("14ft"),
        "the second piece is shown, not the first: {}",
        outcome.err
    );
}

/// What an option replaces stands elsewhere in the file than the mistake it hides.
#[test]
fn a_mistake_under_an_option_is_underlined_where_it_stands() {
    let plan = std::fs::read_to_string(elbowroom_tests::demo("row-house.toml")).unwrap();
    let evening = std::fs::read_to_string(elbowroom_tests::demo("winter-cocktails.toml")).unwrap();
    let slips = evening
        .replace("guests   = 40", "guests   = 4000")
        .replace("[\"coat closet\"]", "[\"coat clost\"]");
    let line = 1 + slips.lines().position(|l| l.contains("coat clost")).unwrap();
    let desk = Desk::new().with("row-house.toml", &plan).with("evening.toml", &slips);
    let outcome = desk.run(&["check", &desk.at("evening.toml"), "--json"]);
    assert_eq!(outcome.code, 3);
    assert!(
        outcome.err.contains(&format!("evening.toml:{line}:"))
            && outcome.err.contains("2 problems found"),
        "{}",
        outcome.err
    );
}

/// A hall below, a landing above, stairs between; `stairs` and `openings` as given.
fn two_floors(levels: &str, stairs: &str, landing: &str, openings: &str) -> String {
    format!(
        "{HEAD}{levels}room = [\n  {{ name = \"hall\", size = [8, 10] }},\n  {{ name = \"stairs\", size = [3, 11], at = [0, 10.5]{stairs} }},\n  {{ name = \"landing\", size = [8, 5], at = [0, 22]{landing} }},\n]\n\
         opening = [\n  {{ joins = [\"outside\", \"hall\"], wall = \"south\" }},\n{openings}]\n"
    )
}

const LEVELS: &str = "levels = [\"below\", \"above\"]\n";
const FLIGHT: &str = ", up = \"north\"";
const ABOVE: &str = ", level = \"above\"";
const BOTH_ENDS: &str = "  { joins = [\"hall\", \"stairs\"], style = \"cased\", width = 3 },\n  { joins = [\"stairs\", \"landing\"], style = \"cased\", width = 3 },\n";

#[test]
fn two_floors_and_stairs_are_understood() {
    let desk = Desk::new().with("plan.toml", &two_floors(LEVELS, FLIGHT, ABOVE, BOTH_ENDS));
    let checked = desk.run(&["check", &desk.at("plan.toml"), "--out", &desk.at("answer")]);
    assert_eq!(checked.code, 0, "{}", checked.err);
    assert!(
        checked.out.contains("stairs, below to above")
            && checked.out.contains("14 risers of 7 3/4 in"),
        "{}",
        checked.out
    );
}

#[test]
fn a_door_that_leads_outside_into_another_room_is_told() {
    let side = "  { name = \"side door\", joins = [\"outside\", \"hall\"], wall = \"east\", north = 1, width = 3 },\n";
    let cased = "  { joins = [\"hall\", \"living\"], style = \"cased\", width = 3, south = 1 },\n";
    let south = "  { joins = [\"outside\", \"hall\"], wall = \"south\", width = 3 },\n";
    says(
        &refused(&format!("{HEAD}{ROOMS}opening = [\n{south}{side}{cased}]\n")),
        &[
            "`side door` leads outside, but behind that wall of `hall` is `living`",
            "join it to `living`, or take a wall with nothing behind it",
        ],
    );
}

#[test]
fn levels_and_stairs_that_do_not_fit_together_are_told() {
    let cases = [
        (
            two_floors("", FLIGHT, ABOVE, BOTH_ENDS),
            &["the plan has no levels", "name them at the top"][..],
        ),
        (
            two_floors(LEVELS, "", ABOVE, BOTH_ENDS),
            &["`stairs` doesn't say which way it goes up", "add up ="],
        ),
        (
            two_floors(LEVELS, FLIGHT, ", level = \"abov\"", BOTH_ENDS),
            &["there is no level `abov`", "did you mean `above`?"],
        ),
        (
            two_floors(LEVELS, FLIGHT, ", up = \"north\"", BOTH_ENDS),
            &["`landing` isn't a flight of stairs"],
        ),
        (
            two_floors(LEVELS, ", up = \"south\"", ABOVE, BOTH_ENDS),
            &[
                "going up to the south, `stairs` can only meet `hall` at the north end, where they share no wall",
                "turn the stairs with up",
            ],
        ),
        (
            two_floors(
                LEVELS,
                FLIGHT,
                ABOVE,
                &BOTH_ENDS.replacen("width = 3", "width = 3, wall = \"south\"", 1),
            ),
            &[
                "going up to the north, `stairs` can only meet `hall` at the south end",
                "leave wall out",
            ],
        ),
        (
            two_floors(LEVELS, ", up = \"north\", rise = \"40ft\"", ABOVE, BOTH_ENDS),
            &["`stairs` rises less than 1 ft or more than 26 ft"],
        ),
        (
            two_floors(
                LEVELS,
                FLIGHT,
                ABOVE,
                "  { joins = [\"hall\", \"stairs\"], style = \"cased\", width = 3 },\n",
            ),
            &["`stairs` has no opening at its upper end"],
        ),
        (
            two_floors(LEVELS, FLIGHT, ABOVE, "  { joins = [\"hall\", \"landing\"] },\n"),
            &["`hall` and `landing` are on different levels", "join them by stairs"],
        ),
        (
            two_floors("levels = [\"a\", \"a\"]\n", FLIGHT, "", BOTH_ENDS),
            &["there are two levels called `a`"],
        ),
        (
            two_floors("levels = [\"below\", \"above\", \"attic\"]\n", FLIGHT, ABOVE, BOTH_ENDS),
            &["`stairs` doesn't say which levels it joins"],
        ),
        (
            two_floors(
                "levels = [\"below\", \"above\", \"attic\"]\n",
                ", up = \"north\", levels = [\"below\", \"above\"]",
                ABOVE,
                BOTH_ENDS,
            ),
            &["no room is on level `attic`"],
        ),
        (
            two_floors(LEVELS, FLIGHT, ABOVE, BOTH_ENDS)
                + "furniture = [{ kind = \"plant\", room = \"stairs\" }]\n",
            &["`plant` stands on stairs"],
        ),
        (
            two_floors("levels = [\"below\"]\n", FLIGHT, "", BOTH_ENDS),
            &["the plan names one level, and stairs join two"],
        ),
        (
            two_floors(LEVELS, FLIGHT, ABOVE, BOTH_ENDS)
                .replace("size = [3, 11], at = [0, 10.5]", "size = [3, 1], at = [0, 20.5]")
                .replace("size = [8, 10]", "size = [8, 20]"),
            &["`stairs` is less than 18 in long"],
        ),
        (
            two_floors(
                LEVELS,
                FLIGHT,
                ABOVE,
                "  { joins = [\"outside\", \"stairs\"], wall = \"west\" },\n",
            ),
            &["`stairs` leads outside"],
        ),
    ];
    for (plan, parts) in cases {
        says(&refused(&plan), parts);
    }
}
