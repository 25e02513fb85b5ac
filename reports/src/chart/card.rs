//! The card for a message: enough alone, read at the width of a phone.

use super::heat::{Field, heated};
use super::sheet::{Anchor, Ink, Sheet, Undrawn};
use super::style::*;
use sim::world::World;

/// What a card says.
pub struct CardText<'a> {
    /// House and evening.
    pub about: &'a str,
    /// Label, answer in a few words, and what belongs to it: how many guests first.
    pub facts: [[String; 3]; 3],
    /// Evenings, seed, program.
    pub run: &'a str,
    /// What it is not.
    pub caution: &'a str,
}

/// Size of the headcount, and of the other answers.
const LOUD: f64 = 42.0;
const CLEAR: f64 = 25.0;
/// Tallest house on a card.
const TALLEST: f64 = 560.0;
const WIDE: f64 = WIDTH - 2.0 * MARGIN;

/// Draws it: the headcount, the house with the worst place, where it jams, what to change, the caution.
pub fn card(text: &CardText, world: &World, field: &Field) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let mut y = sheet.paragraph((MARGIN, MARGIN + 8.0), text.about, SMALL, WIDE, SOFT, false) + 14.0;
    let [first, rest @ ..] = &text.facts;
    y = sheet.paragraph((MARGIN, y + 12.0), &first[1], LOUD, WIDE, INK, true) - 12.0;
    y = sheet.paragraph((MARGIN, y), &first[2], TEXT, WIDE, INK, false);
    y = heated(&mut sheet, world, field, (y, TALLEST))? + 14.0;
    if !field.cells.is_empty() {
        y = sheet.paragraph((MARGIN, y), "Color: where guests lose time to one another (darker = more)", TINY, WIDE, SOFT, false);
    }
    y += 12.0;
    for [label, says, more] in rest {
        sheet.write((MARGIN, y), label, Ink { size: SMALL, anchor: Anchor::Left, colour: SOFT, bold: true, halo: false });
        y = sheet.paragraph((MARGIN, y + 25.0), says, CLEAR, WIDE, INK, true);
        y = sheet.paragraph((MARGIN, y - 3.0), more, TEXT, WIDE, INK, false) + 14.0;
    }
    sheet.line(vec![(MARGIN, y - 6.0), (WIDTH - MARGIN, y - 6.0)], BAND, 1.5);
    y = sheet.paragraph((MARGIN, y + 14.0), text.caution, TINY, WIDE, SOFT, false);
    y = sheet.paragraph((MARGIN, y + 4.0), text.run, TINY, WIDE, SOFT, false);
    sheet.reach(y + 6.0);
    sheet.svg()
}
