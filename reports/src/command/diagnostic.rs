//! Problems with their place in the text, underlined, all at once.

use crate::words::problem::told;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use sim::files::{Located, Rejected, Source, turns_text};
use sim::house::problem::File;
use std::ops::Range;

/// At most so many problems are shown.
const SHOWN: usize = 20;

/// Renders a refusal; `color` for terminals.
pub fn render(rejected: &Rejected, color: bool) -> String {
    let renderer = if color { Renderer::styled() } else { Renderer::plain() };
    let mut text = String::new();
    for located in rejected.problems.iter().take(SHOWN) {
        text.push_str(&one(rejected, located, &renderer));
        text.push_str("\n\n");
    }
    let more = rejected.problems.len().saturating_sub(SHOWN);
    if more > 0 {
        text.push_str(&format!("and {more} more\n\n"));
    }
    let n = rejected.problems.len();
    text.push_str(&format!(
        "{n} {} found; nothing was written.\n",
        if n == 1 { "problem" } else { "problems" }
    ));
    text
}

fn one(rejected: &Rejected, located: &Located, renderer: &Renderer) -> String {
    let told = told(&located.problem);
    let title = clean(&told.says);
    let hint = told.hint.as_deref().map(clean);
    let source = source_of(rejected, located);
    let mut group = Group::with_title(Level::ERROR.primary_title(title.as_str()));
    if let Some((source, span)) = &source {
        let annotation = AnnotationKind::Primary.span(span.clone());
        group = group.element(
            Snippet::source(source.text.as_str()).path(source.name.as_str()).annotation(annotation),
        );
    }
    if let Some(hint) = &hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    renderer.render(&[group]).to_string()
}

/// The file and the first line's worth of the place.
fn source_of<'a>(rejected: &'a Rejected, located: &Located) -> Option<(&'a Source, Range<usize>)> {
    let file = located.place.as_ref().map_or(located.problem.file, |p| p.file);
    let source = match file {
        File::Plan => rejected.plan.as_ref(),
        File::Scenario => rejected.scenario.as_ref(),
    }?;
    let span = located.place.as_ref().map_or(0..0, |p| p.span.clone());
    let start = floor_boundary(&source.text, span.start.min(source.text.len()));
    let end = floor_boundary(&source.text, span.end.clamp(start, source.text.len()));
    let line_end = source.text[start..end].find('\n').map_or(end, |n| start + n);
    Some((source, start..line_end))
}

fn floor_boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Text from a file, without what could steer a terminal.
fn clean(text: &str) -> String {
    text.chars().filter(|c| !turns_text(*c)).map(|c| if c.is_control() { ' ' } else { c }).collect()
}
