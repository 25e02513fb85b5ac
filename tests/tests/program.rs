//! The program from outside: what it prints, writes and refuses to overwrite.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, run};
use serde::Deserialize;

/// answer.json of `run` as documented, re-declared: a field that is missing or unknown fails.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "declared to be checked, not read")]
struct Answer {
    format: u32,
    program: String,
    question: String,
    inputs: serde_json::Value,
    seed: u64,
    trials: [u32; 2],
    answer: String,
    grade: String,
    grade_asked: String,
    fits: bool,
    headcount: Value,
    limits: Vec<Limit>,
    places: Vec<Place>,
    rooms: Vec<Room>,
    spots: Vec<Spot>,
    jammed_s: Value,
    jammed_typically_s: Value,
    any_jam: Value,
    minutes_lost: Value,
    assumed: Vec<String>,
    caution: String,
    per_trial: Vec<serde_json::Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Value {
    value: f64,
    low: f64,
    high: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "declared to be checked, not read")]
struct Limit {
    name: String,
    bound: f64,
    bounds: [f64; 3],
    grade: String,
    value: f64,
    low: f64,
    high: f64,
    holds: bool,
    headcount: Option<Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "declared to be checked, not read")]
struct Place {
    name: String,
    room: String,
    x_m: f64,
    y_m: f64,
    level: usize,
    jam_risk: Value,
    leaving_jam_risk: Value,
    jammed_s: Value,
    jam_minutes: Value,
    lost_guest_minutes: f64,
    when: Option<[i64; 2]>,
    causes: Vec<serde_json::Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "declared to be checked, not read")]
struct Room {
    name: String,
    lost_guest_minutes: Value,
    causes: Vec<serde_json::Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "declared to be checked, not read")]
struct Spot {
    name: String,
    serves: String,
    visits: f64,
    wait_s: serde_json::Value,
    line: serde_json::Value,
    turned_away: f64,
    unserved: f64,
}

/// All keys and texts of a document; figures are no texts, whatever their digits.
fn texts(value: &serde_json::Value, found: &mut Vec<String>) {
    match value {
        serde_json::Value::String(s) => found.push(s.clone()),
        serde_json::Value::Array(all) => all.iter().for_each(|v| texts(v, found)),
        serde_json::Value::Object(all) => all.iter().for_each(|(k, v)| {
            found.push(k.clone());
            texts(v, found);
        }),
        _ => {}
    }
}

#[test]
fn answer_json_is_what_is_documented() {
    let outcome = run(&["run", &demo("buffet-dinner.toml"), "--trials", "6", "--json"]);
    let answer: Answer = serde_json::from_str(&outcome.out).unwrap();
    assert_eq!((answer.format, answer.trials, answer.question.as_str()), (1, [0, 6], "run"));
    assert!(
        answer.any_jam.low <= answer.any_jam.value && answer.any_jam.value <= answer.any_jam.high
    );
    assert!(
        answer.minutes_lost.low <= answer.minutes_lost.value
            && answer.minutes_lost.value <= answer.minutes_lost.high
    );
    assert!(answer.answer.starts_with("24 guests: ") && answer.caution.contains("egress"));
    for evening in &answer.per_trial {
        let n = |key: &str| evening[key].as_u64().unwrap();
        assert_eq!(n("came"), n("left") + n("stayed"), "{evening}");
        for (serves, wanted) in evening["wanted"].as_object().unwrap() {
            assert!(evening["served"][serves].as_u64() <= wanted.as_u64(), "{serves}: {evening}");
        }
    }
    let mut words = vec![];
    texts(&serde_json::from_str(&outcome.out).unwrap(), &mut words);
    for forbidden in ["/tmp", "/home", "thread", "2026"] {
        assert!(words.iter().all(|w| !w.contains(forbidden)), "answer.json holds `{forbidden}`");
    }
}

#[test]
fn a_run_writes_the_answer_and_its_pictures_and_never_overwrites_by_itself() {
    let desk = Desk::new();
    let (file, out) = (demo("buffet-dinner.toml"), desk.at("answer"));
    let first = desk.run(&["run", &file, "--trials", "2", "--out", &out]);
    assert_eq!(first.code, 0, "{}", first.err);
    for name in [
        "answer.json",
        "plan.svg",
        "plan.png",
        "crowding.svg",
        "crowding.png",
        "holdups.svg",
        "holdups.png",
        "lines.svg",
        "lines.png",
    ] {
        assert!(desk.path("answer").join(name).exists(), "{name} is missing");
    }
    let written = std::fs::read_dir(desk.path("answer")).unwrap().count();
    assert!(first.out.contains(&format!("Wrote {written} files to {out}/")), "{}", first.out);
    let again = desk.run(&["run", &file, "--trials", "2", "--out", &out]);
    assert_eq!(again.code, 4);
    assert!(again.err.contains("--force"));
    assert_eq!(desk.run(&["run", &file, "--trials", "2", "--out", &out, "--force"]).code, 0);
    std::fs::create_dir(desk.path("letters")).unwrap();
    let desk = desk.with("letters/dear.txt", "private");
    let foreign =
        desk.run(&["run", &file, "--trials", "2", "--out", &desk.at("letters"), "--force"]);
    assert_eq!(foreign.code, 4);
    assert_eq!(std::fs::read_to_string(desk.path("letters/dear.txt")).unwrap(), "private");
}

/// The picture of waits says that a red mark is the limit: each line with a limit has one, said in
/// the file or not. The door is not in it.
#[test]
fn every_line_with_a_limit_has_its_red_mark() {
    let desk = Desk::new();
    let out = desk.at("answer");
    let outcome = desk.run(&[
        "run",
        &demo("winter-cocktails.toml"),
        "--trials",
        "4",
        "--quiet",
        "--out",
        &out,
    ]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    let read = |name: &str| std::fs::read_to_string(desk.path("answer").join(name)).unwrap();
    let answer: serde_json::Value = serde_json::from_str(&read("answer.json")).unwrap();
    let limited = answer["limits"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|l| {
            let name = l["name"].as_str().unwrap();
            name.starts_with("wait") && !name.starts_with("wait: door")
        })
        .count();
    let marks = read("lines.svg").to_lowercase().matches("stroke=\"#a33b20\"").count();
    assert!(limited >= 3 && marks == limited, "{marks} marks for {limited} limits");
}

#[test]
fn what_new_writes_runs_at_once() {
    let desk = Desk::new();
    let dir = desk.at("house");
    assert_eq!(desk.run(&["new", &dir]).code, 0);
    let check = desk.run(&["check", &desk.at("house/plan.toml"), "--json"]);
    assert_eq!(check.code, 0, "{}", check.err);
    let ran = desk.run(&["run", &desk.at("house/evening.toml"), "--trials", "3", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let option = desk.run(&[
        "run",
        &desk.at("house/evening.toml"),
        "--trials",
        "1",
        "--json",
        "--option",
        "food outside",
    ]);
    assert_eq!(option.code, 0, "{}", option.err);
    assert_eq!(desk.run(&["new", &dir]).code, 4, "a second time it must not overwrite");
}

#[test]
fn a_plan_alone_is_enough() {
    let outcome = run(&[
        "run",
        &demo("ranch.toml"),
        "--guests",
        "12",
        "--occasion",
        "cocktails",
        "--trials",
        "2",
        "--json",
    ]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
}

#[test]
fn strict_fails_when_a_limit_does_not_hold() {
    let file = demo("buffet-dinner.toml");
    assert_eq!(
        run(&["run", &file, "--trials", "4", "--json", "--strict", "--guests", "60"]).code,
        1
    );
}

#[test]
fn check_reports_true_clear_widths() {
    let outcome = run(&["check", &demo("row-house.toml"), "--json"]);
    let understood: serde_json::Value = serde_json::from_str(&outcome.out).unwrap();
    let clear = |name: &str| {
        understood["openings"]
            .as_array()
            .unwrap()
            .iter()
            .find(|o| o["name"] == name)
            .unwrap()["clear_m"]
            .as_f64()
            .unwrap()
            / 0.0254
    };
    assert!((clear("front door") - 34.0).abs() < 0.1);
    assert!((clear("dining room to kitchen") - 42.0).abs() < 0.1);
    let aisle = |name: &str, side: &str| {
        let found = understood["aisles"]
            .as_array()
            .unwrap()
            .iter()
            .find(|a| a["before"] == name && a["side"] == side);
        found.unwrap()["clear_m"].as_f64().unwrap() / 0.0254
    };
    // 13 ft less 4 ft 3 in, the island's 28 in and the fridge's 30 in
    assert!((aisle("island", "back") - 47.0).abs() < 0.1, "{}", aisle("island", "back"));
}

#[test]
fn help_carries_the_caution_and_wrong_use_exits_with_two() {
    let help = run(&["--help"]);
    assert_eq!(help.code, 0);
    assert!(help.out.contains("not an occupant load"));
    assert_eq!(run(&["run"]).code, 2);
    assert_eq!(run(&["run", &demo("ranch.toml"), "--trials", "5..2"]).code, 2);
    assert_eq!(run(&["run", &demo("ranch.toml"), "--traces", "x.csv", "--trials", "50"]).code, 2);
    assert_eq!(run(&["run", &demo("ranch.toml"), "--occasion", "coctails"]).code, 2);
}

#[test]
fn a_script_is_answered_in_json_too() {
    let plan = "format = 1\nroom = [{ name = \"hall\", size = [20, 12] }]\nopening = [{ joins = [\"outside\", \"hall\"], wall = \"south\" }]\n\
                furniture = [{ kind = \"bar\", room = \"hall\", north = 0 }]\n";
    let script = "format = 1\nplan = \"plan.toml\"\n[serving.bar]\ntime = \"10min\"\nshape = \"fixed\"\n[[errand]]\nguests = 5\n\
                  arrive = { shape = \"fixed\", every = \"5min\" }\npace = \"1.2m/s\"\nstops = [\"bar\", \"leave\"]\n";
    let desk = Desk::new().with("plan.toml", plan).with("s.toml", script);
    let outcome = desk.run(&["run", &desk.at("s.toml"), "--trials", "1", "--json"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    let answer: serde_json::Value = serde_json::from_str(&outcome.out).unwrap();
    let wait = answer["spots"][0]["wait_s"]["mean"]["value"].as_f64().unwrap();
    // arrivals every 5 min, service of 10: waits of 0, 5, 10, 15 and 20 min, and the seconds of
    // stepping up
    assert!((wait - 600.0).abs() < 15.0, "mean wait {wait}");
    assert_eq!(answer["per_trial"][0]["left"], 5);
}
