//! The page somebody else opens: one context, put together for each question, and one template.
//! What a page shows as figures it takes from the same sentences and numbers as the terminal and
//! answer.json.

mod replay;
mod template;
mod evening;
mod run;
mod check;
mod review;
mod capacity;
mod compare;
mod where_to;
mod improve;

pub use capacity::capacity;
pub use check::{Checked, check};
pub use compare::compare;
pub use improve::{Question, improve};
pub use review::review;
pub use run::run;
pub use template::html;
pub use where_to::where_to;

use crate::answer::{self, Value};
use crate::pictures::{self, CardText, Field, Foot, Mount, Undrawn};
use crate::words::{self, Number};
use serde::Serialize;
use sim::base::stats::Estimate;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::evening::Evening;

/// Everything the template needs.
#[derive(Debug, Serialize)]
pub struct Page {
    /// What the question adds.
    #[serde(flatten)]
    pub told: Told,
    /// What was chosen or assumed, with sources.
    pub assumed: Vec<String>,
    /// Why to believe it.
    pub evidence: String,
    /// What is known not to hold.
    pub not: Vec<String>,
}

/// What a question tells.
#[derive(Debug, Serialize)]
pub struct Told {
    /// House, evening, guests, option: over the answer.
    pub about: String,
    /// The sentence that answers the question.
    pub answer: String,
    /// How many guests, where it jams, what to change.
    pub facts: [Fact; 3],
    /// Three numbers with how sure they are.
    pub numbers: Vec<Figure>,
    /// The house with the worst place marked.
    pub house: Picture,
    /// Everything else, in reading order.
    pub sections: Vec<Section>,
    /// Evenings, seed, program.
    pub run: String,
    /// What it is not.
    pub caution: String,
}

/// One of the three things to know.
#[derive(Clone, Debug, Serialize)]
pub struct Fact {
    /// "Where it jams".
    pub label: &'static str,
    /// The answer in a few words, with a capital.
    pub says: String,
    /// What belongs to it.
    pub more: String,
}

impl Fact {
    fn new(label: &'static str, says: impl AsRef<str>, more: impl Into<String>) -> Fact {
        Fact { label, says: words::capital(says.as_ref()), more: more.into() }
    }
}

/// Labels of the three things to know.
const HOW_MANY: &str = "How many";
const WHERE: &str = "Where";
const CHANGE: &str = "Change";

/// A figure in words.
#[derive(Clone, Debug, Serialize)]
pub struct Figure {
    /// What it is.
    pub what: String,
    /// The figure, and what else belongs to it.
    pub cell: Cell,
    /// How sure it is, and what else belongs to it.
    pub more: String,
}

/// A heading with what stands under it.
#[derive(Debug, Serialize)]
pub struct Section {
    /// Its heading.
    pub heading: String,
    /// Under it.
    pub blocks: Vec<Block>,
    /// Whether it is folded until it is asked for.
    pub folded: bool,
}

/// A part of a section.
#[derive(Debug, Serialize)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A list.
    List(Vec<String>),
    /// A picture with its numbers.
    Picture(Picture),
    /// A table.
    Table(Table),
    /// A table behind a fold.
    Fold(Table),
    /// Lines to copy, with what they are for.
    Lines(String, String),
    /// Evenings to watch.
    Replay(Box<replay::Replay>),
}

/// A picture on the page.
#[derive(Debug, Serialize)]
pub struct Picture {
    /// SVG, drawn for a page.
    pub svg: String,
    /// What it shows, as one would say it to somebody who cannot see it.
    pub finding: String,
    /// What the colors and marks are.
    pub caption: String,
    /// Its numbers.
    pub numbers: Table,
    /// The house before and after, to be slid over each other.
    pub slide: Option<Slide>,
}

/// Two houses of one size.
#[derive(Debug, Serialize)]
pub struct Slide {
    /// Each with its name.
    pub houses: [(String, String); 2],
    /// What else is drawn in them, if anything is.
    pub says: Option<&'static str>,
}

/// A table.
#[derive(Debug, Serialize)]
pub struct Table {
    /// What it is.
    pub caption: String,
    /// Heads of columns; the first column names the row.
    pub head: Vec<String>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell: a text, and the figure of answer.json that it says.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Cell {
    /// As people read it.
    pub says: String,
    /// The figure.
    pub exact: Option<Exact>,
}

/// A figure of answer.json.
#[derive(Clone, Debug, Serialize)]
pub struct Exact {
    /// JSON pointer (RFC 6901).
    pub key: String,
    /// The figure as answer.json has it.
    pub value: f64,
}

impl Told {
    /// What the card says.
    fn card(&self, world: &World) -> CardText<'_> {
        let says = |f: &'_ Fact| [f.label, &f.says, &f.more].map(String::from);
        CardText {
            about: &self.about,
            facts: self.facts.each_ref().map(says),
            caution: words::card_caution(world.scenario.guests, world.clear_floor),
        }
    }
}

impl Section {
    fn new(heading: impl Into<String>, blocks: Vec<Block>) -> Section {
        Section { heading: heading.into(), blocks, folded: false }
    }

    /// The same behind a fold.
    fn folded(self) -> Section {
        Section { folded: true, ..self }
    }

    /// Whether it is there to be watched, which paper cannot do.
    fn is_watched(&self) -> bool {
        self.blocks.iter().any(|b| matches!(b, Block::Replay(_)))
    }

    /// The same under another heading.
    fn headed(self, heading: impl Into<String>) -> Section {
        Section { heading: heading.into(), ..self }
    }
}

impl Table {
    /// The same without the figures behind it, where answer.json has none.
    fn unkeyed(mut self) -> Table {
        self.rows.iter_mut().flatten().for_each(|c| c.exact = None);
        self
    }
}

impl Cell {
    /// A text alone.
    fn text(says: impl Into<String>) -> Cell {
        Cell { says: says.into(), exact: None }
    }

    /// A figure that stands alone under its key.
    fn plain(says: impl Into<String>, key: impl Into<String>, value: f64) -> Cell {
        Cell {
            says: says.into(),
            exact: Some(Exact { key: key.into(), value: answer::round(value) }),
        }
    }

    /// A figure with an interval: its own key is that of its value.
    fn figure(says: impl Into<String>, key: impl AsRef<str>, e: Estimate) -> Cell {
        Cell {
            says: says.into(),
            exact: Some(Exact {
                key: format!("{}/value", key.as_ref()),
                value: Value::from(e).value,
            }),
        }
    }
}

impl From<Number> for Figure {
    fn from(n: Number) -> Figure {
        let cell = if n.key.is_empty() {
            Cell::text(n.says)
        } else {
            Cell::figure(n.says, &n.key, n.value)
        };
        Figure { what: n.what, cell, more: format!("{}{}", n.likely, n.more) }
    }
}

/// A page with its pictures of record and its card.
pub struct Shown {
    /// The page.
    pub page: Page,
    /// Pictures: name and SVG.
    pub records: Vec<(String, String)>,
}

/// Pictures of record as they are drawn for the page.
struct Album<'a> {
    foot: &'a Foot,
    records: Vec<(String, String)>,
}

impl<'a> Album<'a> {
    fn new(foot: &'a Foot) -> Album<'a> {
        Album { foot, records: vec![] }
    }

    /// Draws a picture twice: of record under a name, and for the page.
    fn draw(
        &mut self,
        name: &str,
        draw: impl Fn(Mount) -> Result<String, Undrawn>,
    ) -> Result<String, Undrawn> {
        self.draw_about(name, self.foot, draw)
    }

    /// The same with a foot of its own.
    fn draw_about(
        &mut self,
        name: &str,
        foot: &Foot,
        draw: impl Fn(Mount) -> Result<String, Undrawn>,
    ) -> Result<String, Undrawn> {
        self.keep(name, draw(Mount::Alone(foot))?);
        draw(Mount::Page)
    }

    /// Keeps a picture of record that the page does not show.
    fn keep(&mut self, name: &str, svg: String) {
        self.records.push((name.into(), svg));
    }

    /// Adds the card and closes the album.
    fn shown(mut self, told: Told, world: &World, field: &Field) -> Result<Shown, Undrawn> {
        self.keep("card", pictures::card(&told.card(world), world, field)?);
        let page = Page {
            told,
            assumed: answer::assumed(world),
            evidence: words::evidence(),
            not: words::known_not_to_hold(),
        };
        Ok(Shown { page, records: self.records })
    }
}

/// Three numbers: those of the question, and of the evening where it has fewer.
fn three(own: Vec<Figure>, world: &World, evening: &Evening) -> Vec<Figure> {
    let spare = [
        words::wait_number(world, evening),
        words::jam_number(evening),
        words::lost_number(evening),
    ]
    .map(Figure::from);
    let mut all = own;
    for figure in spare {
        let told = all.iter().any(|f| {
            f.cell.exact.as_ref().map(|e| &e.key) == figure.cell.exact.as_ref().map(|e| &e.key)
        });
        if all.len() < 3 && !told {
            all.push(figure);
        }
    }
    all
}

/// House, evening, option.
fn titled(loaded: &Loaded) -> String {
    let option = loaded
        .scenario
        .option
        .as_ref()
        .map_or(String::new(), |o| format!(", option “{}”", words::shown(o)));
    format!(
        "{}: {}{option}",
        words::shown(&loaded.plan.title),
        words::shown(&loaded.scenario.title)
    )
}

/// House, evening, option, guests.
fn about(loaded: &Loaded, guests: u32) -> String {
    format!("{}, {}", titled(loaded), words::guests(guests))
}
