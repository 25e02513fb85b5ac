//! The table of `evidence --json`.

use super::{FORMAT, Value, program};
use crate::words::CAUTION;
use serde::Serialize;
use sim::evidence::{Expected, Finding, Kind, Row, Verdict};

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Evidence {
    /// Always 1.
    pub format: u32,
    /// Program and version.
    pub program: String,
    /// `evidence`.
    pub question: &'static str,
    /// Whether nothing failed but what is known to.
    pub passes: bool,
    /// The checks.
    pub checks: Vec<Checked>,
    /// The caution.
    pub caution: &'static str,
}

/// A check.
#[derive(Debug, Serialize)]
pub struct Checked {
    /// Short name.
    pub id: &'static str,
    /// The plain question it belongs to.
    pub question: &'static str,
    /// `gate` or `report`.
    pub kind: &'static str,
    /// What is done.
    pub title: &'static str,
    /// Where the expected values come from.
    pub source: &'static str,
    /// How they are known.
    pub known: &'static str,
    /// `holds`, `fails`, `fails as listed`, `holds though listed`, `broken`, `reported`.
    pub verdict: &'static str,
    /// Why it fails as listed, or is broken.
    pub reason: Option<String>,
    /// The figures.
    pub figures: Vec<Figure>,
}

/// One figure.
#[derive(Debug, Serialize)]
pub struct Figure {
    /// What was varied.
    pub what: String,
    /// Unit.
    pub unit: &'static str,
    /// What was expected, if anything: a value to compare with.
    pub expected: Option<f64>,
    /// The least that agrees.
    pub least: Option<f64>,
    /// The most that agrees.
    pub most: Option<f64>,
    /// What was measured, with its 95 % interval; null where there was nothing to measure.
    pub measured: Option<Value>,
}

/// The document for findings.
pub fn evidence(findings: &[Finding]) -> Evidence {
    Evidence {
        format: FORMAT,
        program: program(),
        question: "evidence",
        passes: findings.iter().all(|f| f.verdict.passes()),
        checks: findings.iter().map(checked).collect(),
        caution: CAUTION,
    }
}

fn checked(f: &Finding) -> Checked {
    let (verdict, reason) = match &f.verdict {
        Verdict::Holds => ("holds", None),
        Verdict::Fails => ("fails", None),
        Verdict::FailsAsListed(reason) => ("fails as listed", Some((*reason).to_string())),
        Verdict::HoldsThoughListed => ("holds though listed", None),
        Verdict::Broken(reason) => ("broken", Some(reason.clone())),
        Verdict::Reported => ("reported", None),
    };
    let kind = if f.check.kind == Kind::Gate { "gate" } else { "report" };
    let c = f.check;
    let figures = f.rows.iter().map(figure).collect();
    Checked {
        id: c.id,
        question: c.question.words(),
        kind,
        title: c.title,
        source: c.source,
        known: c.known.word(),
        verdict,
        reason,
        figures,
    }
}

fn figure(row: &Row) -> Figure {
    let (expected, least, most) = match row.expected {
        Expected::Near(v, below, above) => (Some(v), Some(v - below), Some(v + above)),
        Expected::Between(low, high) => (None, Some(low), Some(high)),
        Expected::AtMost(most) => (None, None, Some(most)),
        Expected::AtLeast(least) => (None, Some(least), None),
        Expected::Beside(v) => (Some(v), None, None),
        Expected::Nothing => (None, None, None),
    };
    let measured = row.measured.value.is_finite().then(|| row.measured.into());
    Figure { what: row.what.clone(), unit: row.unit, expected, least, most, measured }
}
