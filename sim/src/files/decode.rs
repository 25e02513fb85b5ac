//! Takes typed values out of a tree, key by key, and collects everything that is wrong on the way.

use super::node::{Node, Place, Value};
use super::values;
use crate::base::units::{Length, System, Unread};
use crate::house::problem::{
    BadKey, BadValue, Bounds, Expected, File, Needed, Problem, TwoWays, Wrong, owned,
};
use std::collections::BTreeMap;

/// Where every item and key stands: (document, path) to place.
pub type Places = BTreeMap<(File, String), Place>;

/// Longest name, in characters.
pub const LONGEST_NAME: usize = 60;

/// Marks that change the direction of the text that follows (Unicode Standard Annex 9, explicit
/// formatting characters and marks).
pub fn turns_text(c: char) -> bool {
    matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Reads a value.
pub(super) type Read<T> = fn(&mut Decoder, &str, &Node) -> Option<T>;

/// What decoding leaves behind.
pub(super) struct Decoder {
    pub file: File,
    pub system: System,
    pub problems: Vec<Problem>,
    pub places: Places,
}

impl Decoder {
    pub(super) fn new(file: File) -> Self {
        Decoder { file, system: System::Feet, problems: vec![], places: Places::new() }
    }

    pub(super) fn wrong(&mut self, at: &str, wrong: impl Into<Wrong>) {
        self.problems.push(Problem::new(self.file, at, wrong));
    }

    /// Notes that something was expected and something else stands there.
    pub(super) fn expected(&mut self, at: &str, what: Expected, found: &Value) {
        self.wrong(at, BadValue::Expected { what, found: found.what() });
    }

    /// Whether anything was wrong at one of some keys.
    pub(super) fn is_wrong_at(&self, keys: &[&str]) -> bool {
        self.problems.iter().any(|p| keys.contains(&p.at.as_str()))
    }

    pub(super) fn note(&mut self, at: &str, place: &Place) {
        self.places.insert((self.file, at.to_string()), place.clone());
    }

    /// A number of any kind.
    pub(super) fn number(&mut self, at: &str, node: &Node) -> Option<f64> {
        match node.value {
            Value::Whole(n) => Some(n as f64),
            Value::Real(x) if x.is_finite() => Some(x),
            ref other => {
                self.expected(at, Expected::Number, other);
                None
            }
        }
    }

    /// A length of at least 0, in meters.
    pub(super) fn length(&mut self, at: &str, node: &Node) -> Option<f64> {
        let text = match &node.value {
            Value::Text(text) => text.clone(),
            Value::Whole(n) => n.to_string(),
            Value::Real(x) => format!("{x}"),
            other => {
                self.expected(at, Expected::Length, other);
                return None;
            }
        };
        match Length::parse(&text, self.system) {
            Ok(length) => Some(length.m()),
            Err(why) => {
                self.wrong(at, BadValue::Unread { text, as_what: Expected::Length, why });
                None
            }
        }
    }

    /// A coordinate or offset: a length that may be negative.
    pub(super) fn coordinate(&mut self, at: &str, node: &Node) -> Option<f64> {
        let flipped = match &node.value {
            Value::Text(t) => t.trim().strip_prefix('-').map(|t| Value::Text(t.to_string())),
            Value::Whole(n) if *n < 0 => Some(Value::Whole(-n)),
            Value::Real(x) if *x < 0.0 => Some(Value::Real(-x)),
            _ => None,
        };
        match flipped {
            Some(value) => self.length(at, &Node { place: node.place.clone(), value }).map(|l| -l),
            None => self.length(at, node),
        }
    }

    /// Two lengths.
    pub(super) fn pair(&mut self, at: &str, node: &Node, signed: bool) -> Option<(f64, f64)> {
        match &node.value {
            Value::List(items) if items.len() == 2 => {
                let mut read = |n: &Node| {
                    if signed { self.coordinate(at, n) } else { self.length(at, n) }
                };
                let (a, b) = (read(&items[0]), read(&items[1]));
                Some((a?, b?))
            }
            other => {
                self.expected(at, Expected::TwoLengths, other);
                None
            }
        }
    }

    /// A list of corners.
    pub(super) fn corners(&mut self, at: &str, node: &Node) -> Option<Vec<(f64, f64)>> {
        match &node.value {
            Value::List(items) => items.iter().map(|n| self.pair(at, n, true)).collect(),
            other => {
                self.expected(at, Expected::Corners, other);
                None
            }
        }
    }

    /// A text that `read` understands.
    pub(super) fn worded<T>(
        &mut self,
        at: &str,
        node: &Node,
        as_what: Expected,
        read: fn(&str) -> Result<T, Unread>,
    ) -> Option<T> {
        let Value::Text(text) = &node.value else {
            self.expected(at, as_what, &node.value);
            return None;
        };
        match read(text) {
            Ok(value) => Some(value),
            Err(why) => {
                self.wrong(at, BadValue::Unread { text: text.clone(), as_what, why });
                None
            }
        }
    }

    /// One word of a fixed set.
    pub(super) fn word<T>(
        &mut self,
        at: &str,
        node: &Node,
        known: &[&str],
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let Value::Text(text) = &node.value else {
            self.expected(at, Expected::Word, &node.value);
            return None;
        };
        let found = read(text);
        if found.is_none() {
            self.wrong(at, BadValue::UnknownWord { word: text.clone(), known: owned(known) });
        }
        found
    }

    pub(super) fn text(&mut self, at: &str, node: &Node) -> Option<String> {
        match &node.value {
            Value::Text(text) if !text.trim().is_empty() => Some(text.trim().to_string()),
            Value::Text(_) => {
                self.wrong(at, BadValue::EmptyText);
                None
            }
            other => {
                self.expected(at, Expected::Text, other);
                None
            }
        }
    }

    /// A text in one line, as it can be shown.
    pub(super) fn line(&mut self, at: &str, node: &Node) -> Option<String> {
        let text = self.text(at, node)?;
        if text.chars().any(|c| c.is_control() || turns_text(c)) {
            self.wrong(at, BadValue::Unshowable);
            return None;
        }
        Some(text)
    }

    /// A name or a title, as it can be shown: in one line, and not longer than anybody reads.
    pub(super) fn name(&mut self, at: &str, node: &Node) -> Option<String> {
        let name = self.line(at, node)?;
        if name.chars().count() > LONGEST_NAME {
            self.wrong(at, BadValue::LongName { most: LONGEST_NAME });
            return None;
        }
        Some(name)
    }

    /// One name or a list of names.
    pub(super) fn names(&mut self, at: &str, node: &Node) -> Option<Vec<String>> {
        self.list(at, node, Decoder::text)
    }

    /// One text or a list of texts, each read.
    pub(super) fn list(
        &mut self,
        at: &str,
        node: &Node,
        read: Read<String>,
    ) -> Option<Vec<String>> {
        match &node.value {
            Value::List(items) => items.iter().map(|n| read(self, at, n)).collect(),
            _ => read(self, at, node).map(|t| vec![t]),
        }
    }

    pub(super) fn truth(&mut self, at: &str, node: &Node) -> Option<bool> {
        match node.value {
            Value::Truth(b) => Some(b),
            ref other => {
                self.expected(at, Expected::Truth, other);
                None
            }
        }
    }

    /// A whole number within bounds.
    pub(super) fn count(&mut self, at: &str, node: &Node, low: u32, high: u32) -> Option<u32> {
        match node.value {
            Value::Whole(n) if (i64::from(low)..=i64::from(high)).contains(&n) => Some(n as u32),
            Value::Whole(n) => {
                self.wrong(at, BadValue::Count { found: n, low, high });
                None
            }
            ref other => {
                self.expected(at, Expected::WholeNumber, other);
                None
            }
        }
    }

    /// A figure within bounds.
    pub(super) fn within(
        &mut self,
        at: &str,
        node: &Node,
        read: Read<f64>,
        bounds: Bounds,
    ) -> Option<f64> {
        let figure = read(self, at, node)?;
        if !bounds.hold(figure) {
            let said = match &node.value {
                Value::Text(text) => text.clone(),
                Value::Whole(n) => n.to_string(),
                Value::Real(x) => x.to_string(),
                _ => figure.to_string(),
            };
            self.wrong(at, BadValue::OutOfBounds { said, bounds });
            return None;
        }
        Some(figure)
    }

    /// Seconds.
    pub(super) fn duration(&mut self, at: &str, node: &Node) -> Option<f64> {
        self.worded(at, node, Expected::Duration, values::duration)
    }

    /// A share in 0..=1.
    pub(super) fn share(&mut self, at: &str, node: &Node) -> Option<f64> {
        self.worded(at, node, Expected::Share, values::percent)
    }
}

/// A table being emptied. [`Table::finish`] complains about what is left.
pub(super) struct Table {
    entries: Vec<super::node::Entry>,
    pub path: String,
    asked: Vec<&'static str>,
}

impl Table {
    /// Opens a node as a table.
    pub(super) fn open(node: Node, path: &str, d: &mut Decoder) -> Option<Table> {
        d.note(path, &node.place);
        match node.value {
            Value::Table(entries) => Some(Table { entries, path: path.to_string(), asked: vec![] }),
            other => {
                d.expected(path, Expected::Table, &other);
                None
            }
        }
    }

    /// The path of a key.
    pub(super) fn at(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_string() } else { format!("{}/{key}", self.path) }
    }

    /// Takes a key out; its value's place is noted.
    pub(super) fn take(&mut self, key: &'static str, d: &mut Decoder) -> Option<Node> {
        self.asked.push(key);
        let index = self.entries.iter().position(|e| e.key == key)?;
        let entry = self.entries.remove(index);
        d.note(&self.at(key), &entry.node.place);
        Some(entry.node)
    }

    /// Takes a key and reads it.
    pub(super) fn get<T>(
        &mut self,
        key: &'static str,
        d: &mut Decoder,
        read: impl FnOnce(&mut Decoder, &str, &Node) -> Option<T>,
    ) -> Option<T> {
        let node = self.take(key, d)?;
        read(d, &self.at(key), &node)
    }

    /// Takes a key that must be there.
    pub(super) fn need<T>(
        &mut self,
        key: &'static str,
        d: &mut Decoder,
        needed: Needed,
        read: impl FnOnce(&mut Decoder, &str, &Node) -> Option<T>,
    ) -> Option<T> {
        match self.take(key, d) {
            Some(node) => read(d, &self.at(key), &node),
            None => {
                d.wrong(&self.path.clone(), BadKey::Missing(needed));
                None
            }
        }
    }

    /// Complains if a list has more items than can be worked with, and leaves it out.
    pub(super) fn count_of(&mut self, key: &'static str, most: usize, d: &mut Decoder) {
        let many = |n: &Node| {
            if let Value::List(items) = &n.value { items.len() } else { 0 }
        };
        let Some(count) =
            self.entries.iter().find(|e| e.key == key).map(|e| many(&e.node)).filter(|c| *c > most)
        else {
            return;
        };
        self.take(key, d);
        d.wrong(&self.at(key), BadKey::TooMany { of: key.into(), count, most });
    }

    /// Complains if two keys are there that say the same thing in two ways.
    pub(super) fn either(&self, one: &str, other: &str, ways: TwoWays, d: &mut Decoder) {
        if self.has(one) && self.has(other) {
            d.wrong(&self.at(other), BadKey::TwoWays(ways));
        }
    }

    /// Takes everything that is left, for tables keyed by names.
    pub(super) fn rest(mut self, d: &mut Decoder) -> Vec<(String, String, Node)> {
        let entries = std::mem::take(&mut self.entries);
        entries
            .into_iter()
            .map(|e| {
                let at = self.at(&e.key);
                d.note(&at, &e.node.place);
                (e.key, at, e.node)
            })
            .collect()
    }

    /// A table under a key.
    pub(super) fn table(&mut self, key: &'static str, d: &mut Decoder) -> Option<Table> {
        let node = self.take(key, d)?;
        Table::open(node, &self.at(key), d)
    }

    /// Tables under a key: `[[key]]` or `key = [{…}]`.
    pub(super) fn tables(&mut self, key: &'static str, d: &mut Decoder) -> Vec<Table> {
        let Some(node) = self.take(key, d) else {
            return vec![];
        };
        let at = self.at(key);
        match node.value {
            Value::List(items) => items
                .into_iter()
                .enumerate()
                .filter_map(|(i, n)| Table::open(n, &format!("{at}/{i}"), d))
                .collect(),
            other => {
                d.expected(&at, Expected::Tables, &other);
                vec![]
            }
        }
    }

    /// Whether a key was there and has been taken.
    pub(super) fn has_been(&self, key: &str, d: &Decoder) -> bool {
        d.places.contains_key(&(d.file, self.at(key)))
    }

    /// Whether a key is there and not yet taken.
    pub(super) fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|e| e.key == key)
    }

    /// Complains about every key nobody asked for.
    pub(super) fn finish(self, d: &mut Decoder) {
        for entry in &self.entries {
            let at = self.at(&entry.key);
            d.note(&at, &entry.key_place);
            let (key, known) = (entry.key.clone(), owned(&self.asked));
            d.wrong(&at, BadKey::Unknown { key, known });
        }
    }
}
