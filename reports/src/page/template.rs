//! The one template. Every text goes through the escaping of the markup library, but for our own
//! style, script and pictures.

use super::replay::Replay;
use super::{Block, Cell, Fact, Figure, Page, Picture, Slide, Table, Told};
use crate::words;
use base64::Engine;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

const STYLE: &str = include_str!("../../assets/page.css");
const SCRIPT: &str =
    concat!(include_str!("../../assets/page.js"), include_str!("../../assets/replay.js"));
/// Our typeface with the letters of European languages, cut from Lato (OFL, see assets/OFL.txt).
const REGULAR: &[u8] = include_bytes!("../../assets/page-regular.woff2");
const BOLD: &[u8] = include_bytes!("../../assets/page-bold.woff2");

/// The page as one file that asks for nothing else.
pub fn html(page: &Page) -> String {
    let style = faces() + STYLE;
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy(&style));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (page.told.answer) }
                style { (PreEscaped(&style)) }
            }
            body {
                main {
                    (top(&page.told))
                    @for section in &page.told.sections {
                        @if section.folded {
                            (more(&section.heading, html! { @for block in &section.blocks { (part(block)) } }))
                        } @else {
                            section.watch[section.is_watched()] { h2 { (section.heading) } @for block in &section.blocks { (part(block)) } }
                        }
                    }
                    (more("Assumed (not in your files)", html! { ul.assumed { @for a in &page.assumed { li { (a) } } } }))
                    (more("What the words mean", html! { dl.words { @for (word, means) in words::GLOSSARY { div { dt { (word) } dd { (means) } } } } }))
                    (more("Why believe it", html! { p { (page.evidence) } (folded("Checks that fail, and why", &page.not)) }))
                }
                footer { p.caution { (page.told.caution) } p { (page.told.about) ". " (page.told.run) "." } }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
    .into_string()
}

/// A section behind a fold; printed open.
fn more(heading: &str, body: Markup) -> Markup {
    html! { details.more.kept { summary { h2 { (heading) } } (body) } }
}

/// Only our own style and script run, whatever else got into the page.
fn policy(style: &str) -> String {
    let hash = |text: &str| {
        base64::engine::general_purpose::STANDARD.encode(Sha256::digest(text.as_bytes()))
    };
    format!(
        "default-src 'none'; img-src data:; font-src data:; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(style),
        hash(SCRIPT)
    )
}

fn faces() -> String {
    let face = |weight: u32, bytes: &[u8]| {
        let data = base64::engine::general_purpose::STANDARD.encode(bytes);
        format!(
            "@font-face{{font-family:Lato;font-weight:{weight};src:url(data:font/woff2;base64,{data})format('woff2')}}\n"
        )
    };
    face(400, REGULAR) + &face(700, BOLD)
}

/// What is seen first.
fn top(told: &Told) -> Markup {
    html! {
        header {
            p.about { (told.about) }
            h1 { (told.answer) }
            (picture(&told.house))
            dl.facts { @for f in &told.facts { (fact(f)) } }
            ul.numbers { @for n in &told.numbers { (number(n)) } }
        }
    }
}

fn fact(f: &Fact) -> Markup {
    html! { div { dt { (f.label) } dd { strong { (f.says) } (joined(&f.more)) } } }
}

/// What belongs to a fact, after it.
fn joined(more: &str) -> Markup {
    match more.chars().next() {
        None => html! {},
        Some('(') => html! { " " (more) },
        Some(_) => html! { ": " (more) },
    }
}

fn number(n: &Figure) -> Markup {
    html! { li { span.what { (n.what) } " " strong { (cell(&n.cell)) } " " span.likely { (n.more.trim_start_matches([',', ' '])) } } }
}

fn part(block: &Block) -> Markup {
    match block {
        Block::Text(text) => html! { p { (text) } },
        Block::List(items) => html! { ul { @for item in items { li { (item) } } } },
        Block::Picture(p) => picture(p),
        Block::Table(t) => table(t),
        Block::Fold(t) => fold(&t.caption, t),
        Block::Lines(what, lines) => html! {
            p { (what) }
            div.paste { button.copy type="button" hidden { "Copy" } pre tabindex="0" role="group" aria-label=(what) { code { (lines) } } }
        },
        Block::Replay(r) => replay(r),
    }
}

fn picture(p: &Picture) -> Markup {
    html! {
        figure {
            div.paper { (named(&p.svg, &p.finding)) }
            figcaption { (p.caption) }
            @if let Some(slide) = &p.slide { (slid(slide)) }
            (fold("Show the data", &p.numbers))
        }
    }
}

/// Two houses of one size, the second uncovered from the right by a slider; one under the other
/// without scripts.
fn slid(slide: &Slide) -> Markup {
    let [before, after] = &slide.houses;
    let house = |(name, svg): &(String, String)| {
        named(svg, &format!("Where guests get in each other’s way: {name}."))
    };
    html! {
        div.slide {
            div.paper.pair { div.before { (house(before)) } div.after { (house(after)) } }
            p.hint { "Left: " (before.0) ". Right: " (after.0) "." @if let Some(says) = slide.says { " " (says) } }
            input type="range" aria-label=(format!("How much is seen of: {}", after.0)) min="0" max="100" value="50" hidden;
        }
    }
}

/// An SVG of ours with what it shows as its name.
fn named(svg: &str, finding: &str) -> Markup {
    let label = html! { (finding) }.into_string();
    PreEscaped(svg.replacen("role=\"img\"", &format!("role=\"img\" aria-label=\"{label}\""), 1))
}

fn fold(summary: &str, t: &Table) -> Markup {
    html! { details { summary { (summary) } (table(t)) } }
}

fn table(t: &Table) -> Markup {
    html! {
        p.title { (t.caption) }
        div.scroll tabindex="0" role="group" aria-label=(t.caption) {
            table aria-label=(t.caption) {
                thead { tr { @for h in &t.head { th scope="col" { (h) } } } }
                tbody { @for row in &t.rows { (line(row)) } }
            }
        }
    }
}

fn line(row: &[Cell]) -> Markup {
    html! {
        tr {
            @for (i, c) in row.iter().enumerate() {
                @if i == 0 { th scope="row" { (cell(c)) } } @else { td { (cell(c)) } }
            }
        }
    }
}

/// A figure carries what answer.json has for it.
fn cell(c: &Cell) -> Markup {
    match &c.exact {
        Some(e) => html! { data value=(e.value) data-key=(e.key) { (c.says) } },
        None => html! { (c.says) },
    }
}

fn folded(summary: &str, all: &[String]) -> Markup {
    html! { details.kept { summary { (summary) } ul.assumed { @for a in all { li { (a) } } } } }
}

fn replay(r: &Replay) -> Markup {
    html! {
        p { (r.rule) }
        noscript { p { "Watching needs JavaScript; the rest of the page works without it." } }
        div.player hidden data-west=(r.stage.west) data-north=(r.stage.north) data-scale=(r.stage.scale) data-left=(r.stage.left) data-top=(r.stage.top) data-width=(r.stage.width) {
            fieldset { legend { "Evening" }
                @for (i, e) in r.evenings.iter().enumerate() {
                    label { input type="radio" name="evening" value=(i) checked[i == 0]; " " (e.name) }
                }
            }
            @if !r.stage.levels.is_empty() {
                fieldset { legend { "Level" }
                    label { input type="radio" name="level" value="" checked; " all" }
                    @for l in &r.stage.levels {
                        label { input type="radio" name="level" value=(l.name) data-from=(l.from) data-top=(l.top) data-bottom=(l.bottom) data-left=(l.left) data-right=(l.right); " " (l.name) }
                    }
                }
            }
            div.stage.paper { div.floors { (named(&r.stage.svg, "The house from above, on which guests move.")) canvas aria-hidden="true" {} } }
            div.scrub { input type="range" aria-label="Time of the evening" min="0" step="1" value="0"; canvas.jams aria-hidden="true" {} p.hint { "Dark marks: jams." } }
            div.controls {
                p.clock {}
                div.buttons {
                    button.play type="button" { "Play" }
                    button.next type="button" { "Next jam" }
                    @for (by, says) in JUMPS { button.jump type="button" data-jump=(by) aria-label=(format!("{} {}", if by < 0 { "back" } else { "on" }, words::duration(f64::from(by.abs())))) { (says) } }
                }
            }
            label.speed { "Speed " select { @for (value, says) in SPEEDS { option value=(value) selected[value == 60] { (says) } } } }
            ul.key { @for (state, says) in STATES { li { canvas.sign data-state=(state) width="44" height="44" aria-hidden="true" {} " " (says) } } }
        }
        script.evenings type="application/json" { (PreEscaped(&r.data)) }
        (jams(r))
    }
}

/// Seconds to go back or on, and what the button says.
const JUMPS: [(i32, &str); 4] =
    [(-600, "−10 min"), (-60, "−1 min"), (60, "+1 min"), (600, "+10 min")];
/// Seconds of the evening to a second of watching.
const SPEEDS: [(u32, &str); 5] = [
    (10, "10 times"),
    (30, "half a minute a second"),
    (60, "a minute a second"),
    (120, "2 minutes a second"),
    (300, "5 minutes a second"),
];
/// What people do, as the script draws it.
const STATES: [(u8, &str); 7] = [
    (1, "walking"),
    (2, "held up"),
    (3, "in line"),
    (4, "being served"),
    (5, "talking"),
    (6, "sitting"),
    (7, "hosting"),
];

/// Jams of the evenings as a table, for those who do not watch.
fn jams(r: &Replay) -> Markup {
    let rows = r
        .evenings
        .iter()
        .flat_map(|e| e.jams.iter().map(move |(from, to, place, ..)| (e, from, to, place)));
    let clock = |e: &super::replay::Watched, second: u32| {
        words::clock(0, (e.clock * 60.0) as i64 + i64::from(second))
    };
    let row = |(e, from, to, place): (&super::replay::Watched, &u32, &u32, &String)| {
        [
            e.name.to_string(),
            place.clone(),
            clock(e, *from),
            words::duration(f64::from(to - from + 1)),
        ]
        .map(Cell::text)
        .into()
    };
    let head = ["evening", "where", "from", "for"].map(String::from).into();
    if r.evenings.iter().all(|e| e.jams.is_empty()) {
        return html! { p { "Nothing jams on these evenings." } };
    }
    fold(
        "The jams of these evenings",
        &Table {
            caption: "Jams of the evenings to watch".into(),
            head,
            rows: rows.map(row).collect(),
        },
    )
}
