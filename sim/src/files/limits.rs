//! What the host accepts: `[limits]` of a scenario, and limits said on the command line over it.

use super::decode::{Decoder, Table};
use super::node::{Entry, Node, Place, Value, merge};
use super::values;
use crate::evening::scenario::limits::Unit;
use crate::evening::scenario::{Grade, Limit, Limits, MOST_INSIDE};
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
    let mut waits = t.table("wait", d);
    let said = |limit: Limit| {
        let bound = match limit {
            Limit::Wait(serves) => waits.as_mut()?.get(serves.word(), d, bound_in(limit)),
            _ => t.get(limit.key(), d, bound_in(limit)),
        };
        Some((limit, bound?))
    };
    let said = Limit::all().filter_map(said).collect();
    if let Some(waits) = waits {
        waits.finish(d);
    }
    t.finish(d);
    Limits { grade, said_for: grade, said }
}

/// Reads a bound in the unit of its limit.
fn bound_in(limit: Limit) -> impl Fn(&mut Decoder, &str, &Node) -> Option<f64> {
    move |d, at, n| match limit.unit() {
        Unit::Time => d.duration(at, n),
        Unit::Share => d.share(at, n),
        Unit::Count => d.count(at, n, 0, MOST_INSIDE).map(f64::from),
        Unit::Area => d.worded(at, n, Expected::Area, values::area),
    }
}
