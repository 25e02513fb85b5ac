//! What `review` says of a plan on a desk.
#![allow(clippy::unwrap_used, clippy::panic)]

use crate::{Desk, run};
use serde_json::Value;

/// What `review` says of a plan.
pub fn review(desk: &Desk, more: &[&str]) -> Value {
    let file = desk.at("plan.toml");
    let outcome = run(&[&["review", &file, "--json"], more].concat());
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).unwrap()
}

/// Sentences of a topic with their verdicts.
pub fn rows(review: &Value, topic: &str) -> Vec<(String, String)> {
    let text = |v: &Value| v.as_str().unwrap().to_string();
    let rows = review["rows"].as_array().unwrap().iter().filter(|r| r["topic"] == topic);
    rows.map(|r| (text(&r["verdict"]), text(&r["says"]))).collect()
}

/// The verdict of the first row of a topic whose sentence has some words.
pub fn verdict(review: &Value, topic: &str, words: &str) -> String {
    let rows = rows(review, topic);
    let found = rows.iter().find(|(_, says)| says.contains(words));
    found.unwrap_or_else(|| panic!("nothing says `{words}` among {rows:?}")).0.clone()
}
