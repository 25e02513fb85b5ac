//! The questions: how many guests, which arrangement, where to put it, what to change. Small
//! budgets: what is tested is that answers agree with one another and with common sense, not how
//! sure they are.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use elbowroom_tests::{Desk, Outcome, demo, run};
use serde_json::Value;

/// The row house and an evening in it with something more.
fn row_house(more: &str) -> Desk {
    let evening = std::fs::read_to_string(demo("winter-cocktails.toml")).unwrap();
    let plan = std::fs::read_to_string(demo("row-house.toml")).unwrap();
    Desk::new().with("row-house.toml", &plan).with("evening.toml", &(evening + more))
}

/// A hall with a room behind it, 12 ft by 12 ft, and an evening of a few guests.
fn one_room(evening: &str) -> Desk {
    let plan = "format = 1\nunits = \"ft\"\nroom = [\n { name = \"hall\", size = [\"5ft\", \"8ft\"] },\n { name = \"living room\", size = [\"14ft\", \"14ft\"], north_of = \"hall\", flush = \"west\" },\n]\n\
        opening = [\n { name = \"front door\", joins = [\"outside\", \"hall\"], wall = \"south\" },\n { joins = [\"hall\", \"living room\"], style = \"cased\", width = \"4ft\" },\n]\n\
        furniture = [\n { kind = \"sideboard\", room = \"living room\", north = 0, west = \"1ft\" },\n { kind = \"bar\", room = \"living room\", east = 0 },\n { kind = \"sofa\", room = \"living room\", west = 0, south = \"5ft\" },\n]\n";
    Desk::new().with("plan.toml", plan).with(
        "evening.toml",
        &format!("format = 1\nplan = \"plan.toml\"\nguests = 12\nlasts = \"1h 30min\"\n{evening}"),
    )
}

fn ask(question: &str, desk: &Desk, more: &[&str]) -> Value {
    let outcome = asked(question, desk, more);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).unwrap()
}

fn asked(question: &str, desk: &Desk, more: &[&str]) -> Outcome {
    let file = desk.at("evening.toml");
    let mut args = vec![question, file.as_str()];
    args.extend(more);
    args.extend(["--json", "--quiet"]);
    run(&args)
}

/// Value, low and high of a figure; no upper end is a very high one.
fn figure(v: &Value) -> (f64, f64, f64) {
    (
        v["value"].as_f64().unwrap(),
        v["low"].as_f64().unwrap(),
        v["high"].as_f64().unwrap_or(f64::INFINITY),
    )
}

fn agree(a: (f64, f64, f64), b: (f64, f64, f64)) -> bool {
    a.1 <= b.2 && b.1 <= a.2
}

#[test]
fn a_limit_that_fails_for_one_guest_gets_a_sentence() {
    let answer = ask("capacity", &one_room(""), &["--trials", "64", "--clear-floor", "4000 sq ft"]);
    assert!(answer["answer"].as_str().unwrap().contains("never lively"), "{}", answer["answer"]);
    assert_eq!(figure(&answer["headcount"]), (0.0, 0.0, 0.0));
}

#[test]
fn limits_that_never_fail_get_a_sentence() {
    let evening = "[limits]\njammed = \"20h\"\nseats_short = \"100%\"\ncoats_over = 500\nclear_floor = \"0.5 sq ft\"\nwait = { food = \"20h\", drinks = \"20h\", powder = \"20h\", coats = \"20h\" }\n";
    let answer = ask("capacity", &one_room(evening), &["--trials", "64"]);
    let says = answer["answer"].as_str().unwrap();
    assert!(says.contains("Nothing runs out up to"), "{says}");
    assert!(answer["headcount"]["high"].is_null());
}

#[test]
fn an_option_equal_to_the_base_changes_nothing() {
    let answer = ask(
        "compare",
        &one_room("[[option]]\nname = \"the same\"\nhosts = 2\n"),
        &["--trials", "8"],
    );
    assert!(answer["answer"].as_str().unwrap().contains("changes nothing"), "{}", answer["answer"]);
}

/// Keys of an answer but for those of every answer.
fn own_keys(answer: &Value) -> Vec<&str> {
    const OF_EVERY: [&str; 22] = [
        "format",
        "program",
        "question",
        "inputs",
        "seed",
        "trials",
        "answer",
        "grade",
        "grade_asked",
        "fits",
        "headcount",
        "limits",
        "places",
        "rooms",
        "spots",
        "jammed_s",
        "jammed_typically_s",
        "any_jam",
        "minutes_lost",
        "assumed",
        "caution",
        "per_trial",
    ];
    let keys: Vec<&str> = answer.as_object().unwrap().keys().map(String::as_str).collect();
    for key in OF_EVERY {
        assert!(keys.contains(&key), "{key} is missing");
    }
    keys.into_iter().filter(|k| !OF_EVERY.contains(k)).collect()
}

/// What each question adds to answer.json, re-declared: a key that is missing or unknown fails.
#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn every_question_writes_the_keys_it_documents() {
    let desk = one_room("[[option]]\nname = \"one host\"\nhosts = 1\n");
    let capacity = ask("capacity", &desk, &["--trials", "64"]);
    assert_eq!(
        own_keys(&capacity),
        ["curves", "grades", "habits", "invite", "looked_up_to", "measured_at", "place"]
    );
    let compare = ask("compare", &desk, &["--trials", "4"]);
    assert_eq!(own_keys(&compare), ["arrangements"]);
    let placing = ask("where", &desk, &["food", "--trials", "4"]);
    assert_eq!(
        own_keys(&placing),
        ["best", "feasible", "guests", "looked_at", "raced_with", "serves"]
    );
    let improve = ask("improve", &desk, &["--trials", "4"]);
    assert_eq!(
        own_keys(&improve),
        ["best", "guests", "place", "refused", "together", "tried", "tried_with"]
    );
    for (answer, question) in
        [(&capacity, "capacity"), (&compare, "compare"), (&placing, "where"), (&improve, "improve")]
    {
        assert_eq!(answer["question"], question);
    }
}

/// In meters a place against a north or east wall is as good as in feet.
#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn a_plan_in_meters_has_places_against_every_wall() {
    let plan = "format = 1\nunits = \"m\"\nroom = [{ name = \"living room\", size = [6.1, 4.2] }]\nopening = [{ joins = [\"outside\", \"living room\"], wall = \"south\", west = 0.3 }]\n\
        furniture = [{ kind = \"sideboard\", room = \"living room\", north = 0 }, { kind = \"bar\", room = \"living room\", east = 0 }]\n";
    let desk = Desk::new()
        .with("plan.toml", plan)
        .with("evening.toml", "format = 1\nplan = \"plan.toml\"\nguests = 6\nlasts = \"1h\"\n");
    let found = ask("where", &desk, &["food", "--trials", "4"]);
    let stands: Vec<&str> = found["looked_at"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| l["stands"].as_str().unwrap())
        .collect();
    for wall in ["north", "west", "south"] {
        assert!(
            stands.iter().any(|s| s.contains(&format!("the {wall} wall"))),
            "{wall}: {stands:?}"
        );
    }
}

#[test]
fn names_that_nothing_has_are_told_with_the_nearest() {
    let desk = one_room("[[option]]\nname = \"one host\"\nhosts = 1\n");
    for (question, more, hint) in [
        ("capacity", vec!["--in", "living rom"], "did you mean `living room`?"),
        ("improve", vec!["--in", "hal"], "did you mean `hall`?"),
        ("compare", vec!["one hots"], "did you mean `one host`?"),
        ("where", vec!["drink"], "did you mean `drinks`?"),
        ("capacity", vec!["--wait", "fod=5min"], "did you mean `food`?"),
    ] {
        let outcome = asked(question, &desk, &more);
        assert_eq!(outcome.code, 2, "{question}: {}", outcome.err);
        assert!(outcome.err.contains(hint), "{question}: {}", outcome.err);
    }
    let none = asked("compare", &one_room(""), &[]);
    assert!(none.code == 2 && none.err.contains("[[option]]"), "{}", none.err);
}

#[test]
fn what_is_not_served_or_cannot_be_moved_gets_a_sentence() {
    let glasses = asked("where", &one_room(""), &["glasses"]);
    assert!(glasses.err.contains("has no glasses"), "{}", glasses.err);
    let powder = asked("where", &row_house(""), &["powder"]);
    assert!(powder.err.contains("can't be put anywhere else"), "{}", powder.err);
}

#[test]
fn an_easier_grade_asks_for_more_floor() {
    let desk = one_room("");
    let floor = |word: &str| {
        let run = ask("run", &desk, &["--trials", "2", "--grade", word]);
        let limit = run["limits"]
            .as_array()
            .unwrap()
            .iter()
            .find(|l| l["name"] == "clear floor per guest")
            .unwrap()
            .clone();
        limit["bound"].as_f64().unwrap()
    };
    assert!(floor("packed") < floor("lively") && floor("lively") < floor("easy"));
}

/// A fuller grade takes at least as many guests, and each says what gives out.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow in debug builds")]
fn grades_come_in_order() {
    let answer = ask("capacity", &one_room(""), &["--trials", "128"]);
    let grades = answer["grades"].as_array().unwrap();
    let words: Vec<&str> = grades.iter().map(|g| g["grade"].as_str().unwrap()).collect();
    assert_eq!(words, ["easy", "lively", "packed"]);
    let takes: Vec<f64> =
        grades.iter().map(|g| g["headcount"]["value"].as_f64().unwrap()).collect();
    assert!(takes[0] <= takes[1] && takes[1] <= takes[2], "{takes:?}");
    assert!(grades.iter().all(|g| g["gives_out"].is_string()), "{grades:?}");
    assert_eq!(answer["headcount"]["value"], grades[1]["headcount"]["value"]);
}

/// A spot in a zone is told by the zone's name, and nothing else changes.
#[test]
fn a_zone_is_said_where_an_answer_says_where() {
    let plain = one_room("");
    let zoned = one_room("");
    let plan = std::fs::read_to_string(zoned.path("plan.toml")).unwrap();
    let zoned = zoned.with("plan.toml", &format!("{plan}zone = [{{ name = \"garden side\", room = \"living room\", size = [\"14ft\", \"14ft\"] }}]\n"));
    let places = |desk: &Desk| {
        ask("run", desk, &["--guests", "30", "--trials", "12"])["places"]
            .as_array()
            .unwrap()
            .clone()
    };
    let (before, after) = (places(&plain), places(&zoned));
    let named = |p: &serde_json::Value| p["name"].as_str().unwrap().contains("in the garden side");
    assert!(after.iter().any(named) && !before.iter().any(named), "{after:?}");
    assert_eq!(before.len(), after.len());
    assert!(before.iter().zip(&after).all(|(b, a)| b["jammed_s"] == a["jammed_s"]
        && b["lost_guest_minutes"] == a["lost_guest_minutes"]));
}

/// The headcount has a second range that holds the first, and each habit is a knob that is there;
/// `--habits` tells which moves it most.
#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn habits_widen_the_range() {
    let desk = one_room("");
    let asked = ["--trials", "128", "--jammed", "5s", "--in", "living room"];
    let answer = ask("capacity", &desk, &asked);
    let (value, low, high) = figure(&answer["headcount"]);
    let habits = &answer["habits"];
    assert!(
        habits["low"].as_f64().unwrap() <= low && habits["high"].as_f64().unwrap() >= high,
        "{habits} {low} {high}"
    );
    let swings = habits["swings"].as_array().unwrap();
    assert_eq!(swings.len(), 6);
    let width = |s: &serde_json::Value| {
        (s["ends"][0]["guests"].as_f64().unwrap() - s["ends"][1]["guests"].as_f64().unwrap()).abs()
    };
    assert!(
        swings.windows(2).all(|w| width(&w[0]) >= width(&w[1])),
        "the widest swing first: {swings:?}"
    );
    assert!(value > 0.0);
    let told = run(&[
        &["capacity", &desk.at("evening.toml"), "--quiet", "--habits", "--out", &desk.at("answer")],
        &asked[..],
    ]
    .concat())
    .out;
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("with other guest habits") && told.contains("(usually 12 min)"),
        "{told}"
    );
}

/// A bound in the file is that of the grade the file asks for, whatever grade is asked on the
/// command line.
#[test]
fn a_bound_in_the_file_is_that_of_the_grade_it_asks_for() {
    let desk = one_room("[limits]\ngrade = \"easy\"\njammed = \"30s\"\n");
    let bounds = |more: &[&str]| {
        let run = ask("run", &desk, &[&["--trials", "2"], more].concat());
        let limit = run["limits"]
            .as_array()
            .unwrap()
            .iter()
            .find(|l| l["name"] == "jammed")
            .unwrap()
            .clone();
        limit["bounds"].clone()
    };
    assert_eq!(bounds(&[])[0], 30.0);
    assert_eq!(bounds(&["--grade", "packed"]), bounds(&[]));
}

#[test]
fn a_piece_that_is_put_elsewhere_forgets_its_gaps() {
    let change = "[[option]]\nname = \"moved\"\nchange = { sideboard = { at = [\"8ft\", \"2ft\"], turn = 90 } }\n";
    let outcome = asked("check", &one_room(change), &["--option", "moved"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
}

#[test]
fn a_line_runs_toward_the_opening_it_is_told() {
    let told =
        asked("check", &row_house("\n[lines]\n\"powder room\" = \"hall to dinning room\"\n"), &[]);
    assert!(
        told.code == 3 && told.err.contains("did you mean `hall to dining room`?"),
        "{}",
        told.err
    );
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn the_answers_are_the_same_bytes_at_one_two_and_eight_threads() {
    let desk = one_room("");
    for (question, more) in [
        ("capacity", vec!["--trials", "128"]),
        ("where", vec!["food", "--trials", "8"]),
        ("improve", vec!["--trials", "8"]),
    ] {
        let with = |threads: &str| {
            asked(question, &desk, &[more.as_slice(), &["--threads", threads]].concat())
        };
        let one = with("1");
        assert_eq!(one.code, 0, "{}", one.err);
        for threads in ["2", "8"] {
            assert!(one.out == with(threads).out, "{question} differs at {threads} threads");
        }
    }
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn two_seeds_agree_on_the_headcount() {
    let desk = row_house("");
    let guests = |seed: &str| {
        figure(&ask("capacity", &desk, &["--trials", "640", "--seed", seed])["headcount"])
    };
    let (one, two) = (guests("1"), guests("2"));
    assert!(agree(one, two), "{one:?} {two:?}");
}

/// The hall of the row house 6 in wider, as `improve` writes it.
const WIDER_HALL: &str = "\n[[option]]\nname = \"wider hall\"\nchange = { \"hall\" = { size = [\"42in\", \"300in\"] }, \"living room\" = { size = [\"156in\", \"180in\"] }, \"dining room\" = { size = [\"156in\", \"132in\"] }, \"kitchen\" = { flush = \"east\" } }\nremove = [\"television\"]\n";

/// The row house when everybody comes within twenty minutes: then the line for coats is what fills
/// the hall.
fn all_at_once(more: &str) -> Desk {
    let desk = row_house(more);
    let evening = std::fs::read_to_string(desk.path("evening.toml")).unwrap();
    desk.with(
        "evening.toml",
        &evening.replacen("[place]", "[arrivals]\nmost_within = \"20min\"\n\n[place]", 1),
    )
}

/// Guest-minutes lost in the hall per evening, with the interval.
fn lost_in_the_hall(desk: &Desk, more: &[&str]) -> (f64, f64, f64) {
    let answer = ask("run", desk, &[&["--trials", "120"], more].concat());
    let hall =
        answer["rooms"].as_array().unwrap().iter().find(|r| r["name"] == "hall").unwrap().clone();
    figure(&hall["lost_guest_minutes"])
}

#[test]
#[cfg_attr(debug_assertions, ignore = "minutes in a debug build")]
fn less_is_lost_in_a_wider_hall_and_in_one_without_coats() {
    let desk = all_at_once(WIDER_HALL);
    let now = lost_in_the_hall(&desk, &[]);
    for option in ["wider hall", "coats on a rack in the dining room"] {
        let with = lost_in_the_hall(&desk, &["--option", option]);
        assert!(with.2 < now.1, "{option}: the intervals do not lie apart: {now:?} {with:?}");
    }
}

/// What gives out first in the hall is the line for coats; without it the hall is no limit at a
/// headcount a fifth above.
#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn coats_out_of_the_hall_raise_the_halls_headcount() {
    let desk = all_at_once("");
    let now = ask("capacity", &desk, &["--in", "hall", "--grade", "easy", "--trials", "128"]);
    assert!(now["grades"][0]["gives_out"].as_str().unwrap().contains("coats"), "{now}");
    let more = format!("{}", (1.2 * figure(&now["headcount"]).2).ceil());
    let without = ask(
        "run",
        &desk,
        &["--guests", &more, "--option", "coats on a rack in the dining room", "--trials", "120"],
    );
    let in_hall = without["places"].as_array().unwrap().iter().filter(|p| p["room"] == "hall");
    let jammed = in_hall.map(|p| figure(&p["jammed_s"]).2).fold(0.0, f64::max);
    assert!(jammed < 60.0, "the hall is jammed for {jammed} s with {more} guests");
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn improve_finds_by_itself_that_coats_should_leave_the_hall() {
    let found = ask("improve", &row_house(""), &["--in", "hall", "--trials", "24"]);
    let best = found["best"][0]["change"].as_str().unwrap();
    assert!(best.starts_with("hang coats on a"), "{best}");
}

#[test]
#[cfg_attr(debug_assertions, ignore = "minutes in a debug build")]
fn twice_the_service_waits_no_longer_there() {
    for (spot, before, after) in [("drinks", 1, 2), ("coats", 1, 2), ("food", 1, 2)] {
        let wait = |at_once: u32| {
            let desk = one_room(&format!("weather = \"cold\"\n[place]\ncoats = [\"rack\"]\n[serving.{spot}]\nat_once = {at_once}\n")).with_a_rack();
            let answer = ask("run", &desk, &["--trials", "60"]);
            let spots = answer["spots"].as_array().unwrap().clone();
            figure(&spots.iter().find(|s| s["serves"] == spot).unwrap()["wait_s"]["mean"])
        };
        let (one, two) = (wait(before), wait(after));
        assert!(two.1 <= one.2, "{spot}: {one:?} {two:?}");
    }
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn where_puts_todays_place_on_its_map_and_agrees_with_compare() {
    let plan = std::fs::read_to_string(demo("ranch.toml")).unwrap();
    let evening = std::fs::read_to_string(demo("summer-evening.toml")).unwrap();
    let desk = Desk::new().with("ranch.toml", &plan).with("evening.toml", &evening);
    let found = ask("where", &desk, &["food", "--trials", "24"]);
    assert_eq!(found["looked_at"][0]["stands"], "at the island");
    let best = &found["best"][0];
    let pasted = evening + "\n" + best["option"].as_str().unwrap();
    let desk = desk.with("evening.toml", &pasted);
    let options = ask("compare", &desk, &["--trials", "24"]);
    let last = options["arrangements"].as_array().unwrap().last().unwrap().clone();
    for figure in ["gain", "guests"] {
        assert_eq!(last[figure], best[figure], "{last}");
    }
    assert_eq!(last["against"]["minutes"], best["against"]["minutes"], "{last}");
}

/// A file of the folder changed for a test.
trait More {
    /// A rack in the hall.
    fn with_a_rack(self) -> Desk;
}

impl More for Desk {
    fn with_a_rack(self) -> Desk {
        let plan = std::fs::read_to_string(self.path("plan.toml")).unwrap();
        let rack =
            " { kind = \"rack\", room = \"living room\", south = 0, east = 0 },\n { kind = \"bar\"";
        self.with("plan.toml", &plan.replace(" { kind = \"bar\"", rack))
    }
}
