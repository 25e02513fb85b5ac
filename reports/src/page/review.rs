//! The page of `review`: the score card, the drawing with its numbers, every row with its source,
//! and the estimates with their formulas.

use super::{Album, Block, CHANGE, Cell, Fact, Figure, Picture, Section, Shown, Table, Told};
use crate::answer::{self, ReviewRow, Reviewed};
use crate::pictures::{self, Field, Foot, Numbered, Undrawn};
use crate::words;
use sim::floor::world::World;
use sim::house::plan::Xy;
use sim::review::places::hubs::{Hub, Role};
use sim::review::rooms::sight::{Outlook, STANDING};
use sim::review::verdict::Verdict;
use sim::review::{Fact as Found, Review, Row, Topic};

/// Puts it together.
pub fn review(world: &World, review: &Review, document: &Reviewed) -> Result<Shown, Undrawn> {
    let plan = &world.plan;
    let run = match (document.trials, document.seed) {
        (Some([_, n]), Some(seed)) => {
            format!("floors from {n} simulated evenings, seed {seed}, {}", answer::program())
        }
        _ => answer::program(),
    };
    let foot = Foot { title: words::shown(&plan.title), run };
    let mut album = Album::new(&foot);
    let numbered = numbered(review, document);
    let svg = album.draw("review", |mount| pictures::review(plan, &numbered, mount))?;
    let mut sections = vec![
        Section::new("Score card", vec![Block::Table(scores(document))]),
        Section::new("What to change first", vec![Block::List(changes(document))]),
    ];
    for topic in Topic::ALL {
        let of = |passes: bool| rows(review, document, topic, (&numbered, passes));
        let blocks = [(of(false), false), (of(true), true)]
            .into_iter()
            .filter(|(table, _)| !table.rows.is_empty())
            .map(|(table, folded)| if folded { Block::Fold(table) } else { Block::Table(table) });
        let blocks: Vec<Block> = blocks.collect();
        if !blocks.is_empty() {
            sections.push(Section::new(words::review::topic(topic), blocks));
        }
    }
    if let Some(kitchen) = review.hubs.iter().find(|h| h.role == Role::Kitchen) {
        sections.push(sight(world, kitchen, &mut album)?);
    }
    sections.push(Section::new("Estimated", vec![Block::Table(estimates(document))]));
    sections.push(
        Section::new(
            "The widest way between each two places",
            vec![Block::Table(ways(world, document))],
        )
        .folded(),
    );
    let first = document.change.first().map(|c| &review.rows[c.row]);
    let new = first.and_then(|row| {
        let (x, y) = row.at?;
        Some(("change this first".to_string(), Xy { x, y }))
    });
    let told = Told {
        about: foot.title.clone(),
        answer: document.answer.clone(),
        facts: facts(review, document),
        numbers: numbers(review),
        house: Picture {
            slide: None,
            svg,
            finding: format!("The plan with what the review found. {}", document.answer),
            caption: pictures::MARKS_SAY.into(),
            numbers: marked(&numbered),
        },
        sections,
        run: foot.run.clone(),
        caution: document.caution.clone(),
    };
    let field = Field { cells: &[], worst: None, highest: 0.0, new: new.as_ref(), lines: &[] };
    album.shown(told, world, &field)
}

/// Rows that fail or are tight and have a place, the worst first, numbered.
fn numbered(review: &Review, document: &Reviewed) -> Vec<Numbered> {
    let mut found: Vec<(usize, &Row)> = review
        .rows
        .iter()
        .enumerate()
        .filter(|(_, r)| matches!(r.verdict, Verdict::Fails | Verdict::Tight) && r.at.is_some())
        .collect();
    let best = |i: usize| document.change.iter().position(|c| c.row == i).unwrap_or(usize::MAX);
    found.sort_by_key(|&(i, r)| (best(i), r.verdict != Verdict::Fails, i));
    let mut numbered: Vec<Numbered> = vec![];
    for (row, r) in found {
        let Some(at) = r.at else { continue };
        let apart = |n: &Numbered| (n.at.0 - at.0).hypot(n.at.1 - at.1);
        match numbered.iter().position(|n| apart(n) < ONE_MARK) {
            Some(known) => numbered[known].rows.push(row),
            None if numbered.len() < MOST => numbered.push(Numbered {
                letter: char::from(b'A' + numbered.len() as u8),
                at,
                fails: r.verdict == Verdict::Fails,
                says: document.rows[row].says.clone(),
                between: between(&r.fact),
                rows: vec![row],
            }),
            None => {}
        }
    }
    numbered
}

/// Points nearer to each other than this share a mark, in meters.
const ONE_MARK: f64 = 0.9;

/// Letters on a drawing at most: more can't be told apart on a phone.
const MOST: usize = 12;

/// The points a width is measured between.
fn between(fact: &Found) -> Option<[(f64, f64); 2]> {
    match fact {
        Found::Narrowing(n) => Some(n.ends),
        Found::Before(b) => {
            let (from, out, clear) = (b.gap.from, b.gap.out, b.gap.clear);
            Some([from, (from.0 + out.0 * clear, from.1 + out.1 * clear)])
        }
        _ => None,
    }
}

fn mark(verdict: &str) -> String {
    let sign = match verdict {
        "passes" => "✓",
        "tight" => "!",
        "fails" => "✗",
        _ => "?",
    };
    format!("{sign}\u{a0}{verdict}")
}

fn scores(document: &Reviewed) -> Table {
    let heading = |key: &str| {
        let topic = Topic::ALL.into_iter().find(|t| words::review::topic_key(*t) == key);
        topic.map_or(String::new(), |t| words::review::topic(t).into())
    };
    let row = |(i, s): (usize, &answer::Score)| {
        let count = |n: usize, of: &str| {
            let says = if n == 0 { "–".to_string() } else { n.to_string() };
            Cell::plain(says, format!("/scores/{i}/{of}"), n as f64)
        };
        vec![
            Cell::text(heading(s.topic)),
            Cell::text(mark(s.verdict)),
            count(s.passes, "passes"),
            count(s.tight, "tight"),
            count(s.fails, "fails"),
            count(s.unknown, "unknown"),
        ]
    };
    Table {
        caption:
            "Topic by topic: the worst point, and how many points pass, are tight, fail or are unknown"
                .into(),
        head: ["topic", "worst", "✓", "!", "✗", "?"].map(String::from).into(),
        rows: document.scores.iter().enumerate().map(row).collect(),
    }
}

fn changes(document: &Reviewed) -> Vec<String> {
    let said = document.change.iter().map(|c| format!("{} {}", c.says, document.rows[c.row].says));
    let all: Vec<String> = said.collect();
    if all.is_empty() { vec!["Nothing stands out.".into()] } else { all }
}

/// Points of a topic: those that pass, or the others.
fn rows(
    review: &Review,
    document: &Reviewed,
    topic: Topic,
    (numbered, passes): (&[Numbered], bool),
) -> Table {
    let of_topic = review
        .rows
        .iter()
        .enumerate()
        .filter(|(_, r)| r.fact.topic() == topic && (r.verdict == Verdict::Passes) == passes);
    let row = |i: usize| {
        let r: &ReviewRow = &document.rows[i];
        let number = numbered.iter().find(|n| n.rows.contains(&i));
        let letter = number.map_or(String::new(), |n| format!("({}) ", n.letter));
        let help = r.help.as_ref().map_or(String::new(), |h| format!(" → {h}"));
        let says = format!("{letter}{}{help}", r.says);
        let found = match &r.measured {
            Some(m) => Cell::plain(says, format!("/rows/{i}/measured/value"), m.value),
            None => Cell::text(says),
        };
        vec![Cell::text(mark(r.verdict)), found, Cell::text(r.source)]
    };
    Table {
        caption: if passes { "What passes" } else { "The worst first" }.into(),
        head: ["result", "what was found → what would help", "held against"]
            .map(String::from)
            .into(),
        rows: of_topic.map(|(i, _)| row(i)).collect(),
    }
}

fn estimates(document: &Reviewed) -> Table {
    let row = |(i, e): (usize, &answer::EstimateRow)| {
        let says = match &e.estimated {
            Some(m) => {
                Cell::plain(e.says.clone(), format!("/estimates/{i}/estimated/value"), m.value)
            }
            None => Cell::text(e.says.clone()),
        };
        vec![
            Cell::text(e.of),
            Cell::text(e.verdict.map_or(String::new(), mark)),
            says,
            Cell::text(e.formula),
            Cell::text(format!("{}. {}.", words::capital(e.source), words::capital(e.worth))),
        ]
    };
    Table {
        caption:
            "What a drawing cannot show, each with its formula, its source and what it is worth"
                .into(),
        head: ["of", "result", "estimate", "formula", "source, and what it is worth"]
            .map(String::from)
            .into(),
        rows: document.estimates.iter().enumerate().map(row).collect(),
    }
}

fn ways(world: &World, document: &Reviewed) -> Table {
    let system = world.plan.system;
    let row = |(i, w): (usize, &answer::WayWidth)| {
        vec![
            Cell::text(format!("{} to {}", w.from, w.to)),
            Cell::plain(words::width(w.clear_m, system), format!("/ways/{i}/clear_m"), w.clear_m),
            Cell::plain(words::width(w.floor_m, system), format!("/ways/{i}/floor_m"), w.floor_m),
            Cell::text(w.door.as_deref().map(words::shown).unwrap_or_default()),
            Cell::plain(
                words::length(w.length_m, system),
                format!("/ways/{i}/length_m"),
                w.length_m,
            ),
        ]
    };
    Table {
        caption: "The widest way between each two places; 72 in stands for that and more".into(),
        head: ["way", "least clear width", "of its floor", "narrowest opening", "length"]
            .map(String::from)
            .into(),
        rows: document.ways.iter().enumerate().map(row).collect(),
    }
}

/// What the cook sees.
fn sight(world: &World, kitchen: &Hub, album: &mut Album) -> Result<Section, Undrawn> {
    let outlook = Outlook::new(world, STANDING);
    let title = format!("Seen from {}", words::review::hub(world, kitchen));
    let svg =
        album.draw("sight", |mount| pictures::sight(world, &outlook, kitchen, &title, mount))?;
    let picture = Picture {
        slide: None,
        svg,
        finding: format!("{title}: floor that people there see."),
        caption: "Darker = seen from more of it, by people who stand.".into(),
        numbers: Table { caption: title.clone(), head: vec![], rows: vec![] },
    };
    Ok(Section::new(title, vec![Block::Picture(picture)]))
}

fn marked(numbered: &[Numbered]) -> Table {
    Table {
        caption: "Letters on the drawing".into(),
        head: ["letter", "what was found"].map(String::from).into(),
        rows: numbered
            .iter()
            .map(|n| vec![Cell::text(n.letter.to_string()), Cell::text(n.says.clone())])
            .collect(),
    }
}

fn facts(review: &Review, document: &Reviewed) -> [Fact; 3] {
    let stands = words::review::counts(review.rows.iter().map(|r| &r.verdict));
    let worst: Vec<&str> = Topic::ALL
        .into_iter()
        .filter(|t| review.rows.iter().any(|r| r.fact.topic() == *t && r.verdict == Verdict::Fails))
        .map(words::review::topic)
        .collect();
    let weak = match worst.split_first() {
        None => "nothing fails".to_string(),
        Some((first, [])) => (*first).to_string(),
        Some((first, [second])) => format!("{first}, {}", second.to_lowercase()),
        Some((first, [second, others @ ..])) => {
            format!("{first}, {} and {} more", second.to_lowercase(), others.len())
        }
    };
    let change = document.change.first();
    let why = change.map_or(String::new(), |c| document.rows[c.row].says.clone());
    [
        Fact::new("The plan", stands, format!("of {} points for entertaining", review.rows.len())),
        Fact::new("What fails", weak, ""),
        Fact::new(
            CHANGE,
            change.map_or("nothing stands out", |c| c.says.trim_end_matches('.')),
            why,
        ),
    ]
}

fn numbers(review: &Review) -> Vec<Figure> {
    let of = |v: Verdict, what: &str| {
        let n = review.rows.iter().filter(|r| r.verdict == v).count();
        Figure { what: what.into(), cell: Cell::text(n.to_string()), more: String::new() }
    };
    vec![of(Verdict::Passes, "pass"), of(Verdict::Tight, "tight"), of(Verdict::Fails, "fail")]
}
