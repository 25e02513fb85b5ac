//! `evidence`: the table of checks, grouped by plain question.

use crate::answer;
use crate::command::Stop;
use crate::command::args::Evidence;
use crate::words;
use crate::words::problem::nearest_or_all;
use sim::base::parallel::with_threads;
use sim::base::stats::Estimate;
use sim::evidence::{Check, Expected, Finding, Question, Row, Verdict, checks, find};
use std::io::{IsTerminal, Write};

/// What the head of the table says.
const HEAD: &str = "What was expected, what was measured, and whether it agrees. One parameter set for all rows.\n\
    Names of guidelines say where a set-up comes from; nothing here is an approval for evacuation, egress or occupant loads.\n";

pub(crate) fn evidence(
    args: &Evidence,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    let chosen = chosen(args)?;
    let shows = !args.quiet && std::io::stderr().is_terminal();
    let mut findings: Vec<Finding> = vec![];
    if !args.json {
        write!(out, "{HEAD}")?;
    }
    for question in Question::ALL {
        let asked: Vec<&'static Check> =
            chosen.iter().copied().filter(|c| c.question == question).collect();
        if !args.json && !asked.is_empty() {
            writeln!(out, "\n{}", question.words())?;
        }
        for check in asked {
            if shows {
                write!(err, "\r\x1b[K{} {}", check.id, check.title)?;
            }
            let finding = with_threads(args.threads.map(usize::from), || find(check));
            if shows {
                write!(err, "\r\x1b[K")?;
            }
            if !args.json {
                write!(out, "{}", told(&finding))?;
                out.flush()?;
            }
            findings.push(finding);
        }
    }
    let passes = findings.iter().all(|f| f.verdict.passes());
    if args.json {
        write!(out, "{}", answer::text(&answer::evidence(&findings))?)?;
    } else {
        writeln!(out, "\n{}\n{}", closing(&findings), words::CAUTION)?;
    }
    if passes { Ok(()) } else { Err(Stop::Failed) }
}

fn chosen(args: &Evidence) -> Result<Vec<&'static Check>, Stop> {
    let all = checks();
    let ids: Vec<&str> = all.iter().map(|c| c.id).collect();
    if let Some(unknown) = args.only.iter().find(|o| !ids.contains(&o.as_str())) {
        let hint = nearest_or_all(unknown, &ids);
        return Err(Stop::Usage(format!("no check is called `{unknown}`; {hint}")));
    }
    let wanted = |c: &&Check| {
        (args.only.is_empty() || args.only.iter().any(|o| o == c.id)) && !(args.fast && c.slow)
    };
    let chosen: Vec<&'static Check> = all.into_iter().filter(wanted).collect();
    if chosen.is_empty() {
        Err(Stop::Usage("nothing is left to check; leave out --fast".into()))
    } else {
        Ok(chosen)
    }
}

fn told(finding: &Finding) -> String {
    let c = finding.check;
    let kind = if c.is_arithmetic() { ", arithmetic" } else { "" };
    let mut text = format!(
        "\n  {:<4} {}\n       {} ({}{kind}): {}\n",
        c.id,
        c.title,
        c.source,
        c.known.word(),
        verdict(&finding.verdict)
    );
    for row in &finding.rows {
        text += &format!("       {}\n", figures(row));
    }
    text
}

fn figures(row: &Row) -> String {
    let mark = if row.agrees() { " " } else { "!" };
    let unit = match row.unit {
        "" | "%" => row.unit.to_string(),
        unit => format!(" {unit}"),
    };
    let deviation = row
        .expected
        .deviation(row.measured.value)
        .map_or(String::new(), |d| format!("  {:+.1} %", d * 100.0));
    format!(
        "{mark} {:<40} expected {:<22} measured {}{unit}{deviation}",
        row.what,
        expected(row.expected),
        measured(row.measured)
    )
}

fn number(v: f64) -> String {
    if v == v.round() && v.abs() < 1e6 {
        format!("{v:.0}")
    } else if v.abs() < 1.0 {
        let places = if v.abs() < 0.001 { 5 } else { 4 };
        format!("{v:.places$}").trim_end_matches('0').to_string()
    } else {
        format!("{v:.2}")
    }
}

fn expected(e: Expected) -> String {
    match e {
        Expected::Near(v, below, above) if below == above => {
            format!("{} ± {}", number(v), number(above))
        }
        Expected::Near(v, below, above) => {
            format!("{} to {}", number(v - below), number(v + above))
        }
        Expected::Between(low, high) if low == high => number(low),
        Expected::Between(low, high) => format!("{} to {}", number(low), number(high)),
        Expected::AtMost(most) => format!("at most {}", number(most)),
        Expected::AtLeast(least) => format!("at least {}", number(least)),
        Expected::Beside(v) => format!("(beside {})", number(v)),
        Expected::Nothing => "(no published value)".into(),
    }
}

fn measured(e: Estimate) -> String {
    if e.value.is_nan() {
        "nothing".into()
    } else if e.low == e.high {
        number(e.value)
    } else {
        format!("{} (likely {} to {})", number(e.value), number(e.low), number(e.high))
    }
}

fn verdict(v: &Verdict) -> String {
    match v {
        Verdict::Holds => "holds".into(),
        Verdict::Fails => "DOES NOT HOLD".into(),
        Verdict::FailsAsListed(reason) => format!("known to fail: {reason}"),
        Verdict::HoldsThoughListed => "HOLDS, but is listed as one that fails: fix the list".into(),
        Verdict::Broken(reason) => format!("COULD NOT RUN: {reason}"),
        Verdict::Reported => "printed for comparison".into(),
    }
}

fn closing(findings: &[Finding]) -> String {
    let count = |is: &dyn Fn(&Finding) -> bool| findings.iter().filter(|f| is(f)).count();
    let arithmetic = count(&|f| f.check.is_arithmetic() && f.verdict == Verdict::Holds);
    format!(
        "{} checks of behavior hold ({arithmetic} more are arithmetic and only return an input), {} known to fail, {} printed for comparison, {} fail.",
        count(&|f| f.verdict == Verdict::Holds) - arithmetic,
        count(&|f| matches!(f.verdict, Verdict::FailsAsListed(_))),
        count(&|f| f.verdict == Verdict::Reported),
        count(&|f| !f.verdict.passes())
    )
}
