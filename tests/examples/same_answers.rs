//! Asks two builds of the program the same questions about every demo, and prints where their
//! answers differ: what is meant to change no figure is held to that.
//!
//! `cargo run -p elbowroom-tests --example same_answers -- OLD NEW [TRIALS]`, both the path of a
//! program.

use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, ExitCode};

const DEMOS: [&str; 4] = ["buffet-dinner", "housewarming", "summer-evening", "winter-cocktails"];
const QUESTIONS: [&[&str]; 8] = [
    &["run"],
    &["capacity"],
    &["improve"],
    &["improve", "--for", "30"],
    &["where", "food"],
    &["where", "coats"],
    &["compare"],
    &["check"],
];
/// What says which build it was.
const OF_THE_BUILD: [&str; 2] = ["/version", "/program"];

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [old, new, rest @ ..] = args.as_slice() else {
        eprintln!("say which two programs: same_answers OLD NEW [TRIALS]");
        return ExitCode::from(2);
    };
    let trials = rest.first().map_or("24", String::as_str);
    let mut differ = 0;
    for demo in DEMOS {
        for question in QUESTIONS {
            let [a, b] = [old, new].map(|program| answer(program, question, demo, trials));
            let found = match (&a, &b) {
                (Ok(a), Ok(b)) => differences("", a, b),
                (Err(why), Err(_)) => vec![format!("neither answers: {why}")],
                _ => vec![format!("{a:?} before, {b:?} now").chars().take(300).collect()],
            };
            let same = if found.is_empty() { "the same" } else { "different" };
            println!("{demo} {}: {same}", question.join(" "));
            found.iter().take(12).for_each(|line| println!("    {line}"));
            differ += found.len();
        }
    }
    println!("{differ} figures and words differ");
    ExitCode::from(u8::from(differ > 0))
}

/// The answer of a program as JSON, or what it said instead.
fn answer(program: &str, question: &[&str], demo: &str, trials: &str) -> Result<Value, String> {
    let scenarios = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let mut command = Command::new(program);
    command.args(&question[..1]).arg(scenarios.join(format!("{demo}.toml"))).args(&question[1..]);
    if question[0] != "check" {
        command.args(["--trials", trials]);
    }
    let output = command.args(["--json", "--quiet"]).output().map_err(|e| e.to_string())?;
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    serde_json::from_slice(&output.stdout).map_err(|_| said)
}

/// Pointers at which two documents differ, with both values.
fn differences(at: &str, a: &Value, b: &Value) -> Vec<String> {
    match (a, b) {
        _ if a == b || OF_THE_BUILD.contains(&at) => vec![],
        (Value::Object(a), Value::Object(b)) => {
            let keys = a.keys().chain(b.keys().filter(|k| !a.contains_key(*k)));
            let of = |map: &serde_json::Map<String, Value>, key: &String| {
                map.get(key).cloned().unwrap_or(Value::Null)
            };
            keys.flat_map(|k| differences(&format!("{at}/{k}"), &of(a, k), &of(b, k))).collect()
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            let pairs = a.iter().zip(b).enumerate();
            pairs.flat_map(|(i, (a, b))| differences(&format!("{at}/{i}"), a, b)).collect()
        }
        (Value::String(a), Value::String(b)) if says_the_same(a, b) => vec![],
        _ => vec![format!("{at}: {a} before, {b} now")],
    }
}

/// Whether two texts are lines to paste that say the same.
fn says_the_same(a: &str, b: &str) -> bool {
    let read = |text: &str| text.parse::<toml::Table>().ok();
    read(a).is_some_and(|table| Some(table) == read(b))
}
