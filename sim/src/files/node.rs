//! A TOML document as a tree of values that know which file and where they stand, so that two files
//! can be merged. The only place that calls the TOML parser.

use crate::house::problem::{File, Found};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A stretch of text in one of the files.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Which file.
    pub file: File,
    /// Byte range.
    pub span: Range<usize>,
}

/// A value and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub place: Place,
    pub value: Value,
}

/// A key, where it stands, and its value.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub key: String,
    pub key_place: Place,
    pub node: Node,
}

#[derive(Clone, Debug)]
pub(super) enum Value {
    Text(String),
    Whole(i64),
    Real(f64),
    Truth(bool),
    List(Vec<Node>),
    Table(Vec<Entry>),
    /// A date, or a number beyond all use.
    Odd(Found),
}

impl Value {
    /// What it is.
    pub(super) fn what(&self) -> Found {
        match self {
            Value::Text(_) => Found::Text,
            Value::Whole(_) => Found::WholeNumber,
            Value::Real(_) => Found::Number,
            Value::Truth(_) => Found::Truth,
            Value::List(_) => Found::List,
            Value::Table(_) => Found::Table,
            Value::Odd(what) => *what,
        }
    }
}

/// A mistake in the TOML itself.
pub(super) struct Malformed {
    pub place: Place,
    pub says: String,
}

/// Parses a text; mistakes do not stop the rest from being read.
pub(super) fn parse(text: &str, file: File) -> (Node, Vec<Malformed>) {
    let (table, errors) = DeTable::parse_recoverable(text);
    let span = table.span();
    let value = table_value(table.into_inner(), file);
    let malformed = errors
        .into_iter()
        .map(|e| Malformed {
            place: Place { file, span: e.span().unwrap_or(0..0) },
            says: e.message().to_string(),
        })
        .collect();
    (Node { place: Place { file, span }, value }, malformed)
}

fn table_value(table: DeTable, file: File) -> Value {
    let mut entries: Vec<Entry> = table
        .into_iter()
        .map(|(key, value)| Entry {
            key_place: Place { file, span: key.span() },
            key: key.into_inner().into_owned(),
            node: node(value, file),
        })
        .collect();
    entries.sort_by_key(|e| e.key_place.span.start);
    Value::Table(entries)
}

fn node(value: Spanned<DeValue>, file: File) -> Node {
    let place = Place { file, span: value.span() };
    let value = match value.into_inner() {
        DeValue::String(s) => Value::Text(s.into_owned()),
        DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix())
            .map_or(Value::Odd(Found::TooLargeNumber), Value::Whole),
        DeValue::Float(f) => {
            f.as_str().parse().map_or(Value::Odd(Found::TooLargeNumber), Value::Real)
        }
        DeValue::Boolean(b) => Value::Truth(b),
        DeValue::Datetime(_) => Value::Odd(Found::Date),
        DeValue::Array(items) => Value::List(items.into_iter().map(|v| node(v, file)).collect()),
        DeValue::Table(table) => table_value(table, file),
    };
    Node { place, value }
}

/// Lays `over` on `base`: tables merge key by key, everything else replaces.
pub(super) fn merge(base: &mut Node, over: Node) {
    match (&mut base.value, over.value) {
        (Value::Table(entries), Value::Table(new)) => {
            for entry in new {
                match entries.iter_mut().find(|e| e.key == entry.key) {
                    Some(old) => {
                        old.key_place = entry.key_place;
                        merge(&mut old.node, entry.node);
                    }
                    None => entries.push(entry),
                }
            }
        }
        (_, value) => *base = Node { place: over.place, value },
    }
}
