//! What the host accepts: `[limits]` of a scenario, and limits said on the command line over it.

use super::decode::{Decoder, Table};
use super::node::{Entry, Node, Place, Value, merge};
use super::values;
use crate::evening::scenario::{Grade, Limits, MOST_INSIDE, Serves};
use crate::house::problem::{Expected, File, Problem};

/// Takes `[limits]` out of a scenario, with those asked for over them. What the file says is about
/// the grade the file asks for.
pub(super) fn decode(top: &mut Table, asked: &[(String, String)], d: &mut Decoder) -> Limits {
    let mut node = top
        .take("limits", d)
        .unwrap_or(Node { place: Place { file: d.file, span: 0..0 }, value: Value::Table(vec![]) });
    let file = Table::open(node.clone(), "limits", &mut Decoder::new(d.file))
        .map(|t| limits(t, &mut Decoder::new(d.file)));
    for (key, value) in asked {
        merge(&mut node, nested(key, value));
    }
    let mut l = Table::open(node, "limits", d).map(|t| limits(t, d)).unwrap_or_default();
    let bounds_asked = asked.iter().any(|(key, _)| key != "grade");
    if let Some(file) = file.filter(|_| !bounds_asked) {
        l.said_for = file.grade;
    }
    l
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
    let words = Grade::ALL.map(Grade::word);
    let grade = t
        .get("grade", d, |d, at, n| d.word(at, n, &words, Grade::from_word))
        .unwrap_or(Grade::Lively);
    let mut l = Limits { grade, said_for: grade, ..Limits::default() };
    l.jammed = t.get("jammed", d, Decoder::duration);
    l.seats_short = t.get("seats_short", d, Decoder::share);
    l.coats_over = t.get("coats_over", d, |d, at, n| d.count(at, n, 0, MOST_INSIDE)).map(f64::from);
    l.clear_floor =
        t.get("clear_floor", d, |d, at, n| d.worded(at, n, Expected::Area, values::area));
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
