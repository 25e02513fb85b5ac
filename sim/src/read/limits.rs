//! What the host accepts: `[limits]` of a scenario, and limits said on the command line over it.

use super::decode::{Decoder, Table};
use super::node::{Entry, Node, Place, Value, merge};
use super::values;
use crate::problem::{File, Problem};
use crate::scenario::{Limits, MOST_INSIDE, Serves, Strictness};

/// Takes `[limits]` out of a scenario, with those asked for over them.
pub(super) fn decode(top: &mut Table, asked: &[(String, String)], d: &mut Decoder) -> Limits {
    let said = top.take("limits", d);
    let nowhere = Node { place: Place { file: d.file, span: 0..0 }, value: Value::Table(vec![]) };
    // all limits at once means all of them, whatever the file says of each
    let all_anew = asked.iter().any(|(key, _)| key == "strictness");
    let mut node = said.filter(|_| !all_anew).unwrap_or(nowhere);
    for (key, value) in asked {
        merge(&mut node, nested(key, value));
    }
    Table::open(node, "limits", d).map(|t| limits(t, d)).unwrap_or_default()
}

/// What is wrong with limits said on the command line.
pub fn check_limits(asked: &[(String, String)]) -> Vec<Problem> {
    let mut d = Decoder::new(File::Scenario);
    for (key, value) in asked {
        let table = Table::open(nested(key, value), "limits", &mut d);
        table.map(|t| limits(t, &mut d));
    }
    d.problems
}

/// `wait/food` and `5min` as the table a file would have.
fn nested(path: &str, value: &str) -> Node {
    let place = Place { file: File::Scenario, span: 0..0 };
    let value = value.trim().parse().map_or_else(|_| Value::Text(value.to_string()), Value::Whole);
    path.rsplit('/').fold(Node { place: place.clone(), value }, |node, key| Node {
        place: place.clone(),
        value: Value::Table(vec![Entry { key: key.to_string(), key_place: place.clone(), node }]),
    })
}

fn limits(mut t: Table, d: &mut Decoder) -> Limits {
    let words = Strictness::ALL.map(Strictness::word);
    let strictness = t.get("strictness", d, |d, at, n| d.word(at, n, &words, Strictness::from_word));
    let mut l = strictness.unwrap_or(Strictness::Usual).limits();
    l.jam_risk = t.get("jam_risk", d, Decoder::share).unwrap_or(l.jam_risk);
    l.seats_short = t.get("seats_short", d, Decoder::share).unwrap_or(l.seats_short);
    l.coats_over = t.get("coats_over", d, |d, at, n| d.count(at, n, 0, MOST_INSIDE)).map_or(l.coats_over, f64::from);
    l.clear_floor = t.get("clear_floor", d, |d, at, n| d.worded(at, n, "an area such as \"7 sq ft\" or \"0.65 m2\"", values::area)).unwrap_or(l.clear_floor);
    if let Some(mut waits) = t.table("wait", d) {
        for serves in Serves::ALL {
            if let Some(seconds) = waits.get(serves.word(), d, Decoder::duration) {
                l.wait.insert(serves, seconds);
            }
        }
        waits.finish(d);
    }
    t.finish(d);
    l
}
