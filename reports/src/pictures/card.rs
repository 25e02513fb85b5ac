//! The card for a message, four wide and five high: the headcount, the house with the one spot, the
//! one change, what it is not.

use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, fitted, text_width, wrap};
use crate::pictures::draw::style::*;
use crate::pictures::house::heat::{Field, heated};
use plotters::style::RGBColor;
use sim::floor::world::World;

/// What a card says.
pub struct CardText<'a> {
    /// House and evening.
    pub about: &'a str,
    /// Label, answer in a few words, and what belongs to it: how many guests first, what to change
    /// last.
    pub facts: [[String; 3]; 3],
    /// What it is not.
    pub caution: String,
}

/// Height of a card.
const HIGH: f64 = WIDTH * 5.0 / 4.0;
/// Sizes of the headcount, the largest first.
const LOUD: [f64; 5] = [58.0, 52.0, 46.0, 40.0, 35.0];
/// Size of the change.
const CLEAR: f64 = 30.0;
const WIDE: f64 = WIDTH - 2.0 * MARGIN;
/// From one line of text to the next, as a share of its size.
const LEAD: f64 = 1.12;
/// Room between the house and what is written above and below it.
const ROUND: f64 = 10.0;

/// Draws it.
pub fn card(text: &CardText, world: &World, field: &Field) -> Result<String, Undrawn> {
    let [first, _, change] = &text.facts;
    let mut above = Lines::default();
    above.add(&fitted(text.about, TINY, WIDE), TINY, SOFT, false, 1);
    above.skip(8.0);
    above.add(
        &first[1],
        LOUD.into_iter().find(|s| text_width(&first[1], *s) * BOLDER <= WIDE).unwrap_or(LOUD[4]),
        INK,
        true,
        2,
    );
    above.skip(2.0);
    above.add(&first[2], TEXT, INK, false, 2);
    let mut below = Lines::default();
    below.add(&change[0], SMALL, SOFT, true, 1);
    below.add(&change[1], CLEAR, INK, true, 3);
    below.add(change[2].trim_start_matches([',', ' ']), SMALL, INK, false, 3);
    below.skip(10.0);
    below.add(&text.caution, TINY, SOFT, false, 5);
    let mut sheet = Sheet::new();
    let top = above.write(&mut sheet, MARGIN) + ROUND;
    let bottom = HIGH - MARGIN * 0.6 - below.high();
    below.write(&mut sheet, bottom);
    let tallest = bottom - ROUND - top;
    // drawn once for its height, so that it can stand in the middle
    let taken = heated(&mut Sheet::new(), world, field, (top, tallest))? - top;
    heated(&mut sheet, world, field, (top + (tallest - taken).max(0.0) / 2.0, tallest))?;
    sheet.reach(HIGH);
    sheet.svg()
}

/// Bold letters are so much wider at most.
const BOLDER: f64 = 1.06;

/// Lines of text one under the other.
#[derive(Default)]
struct Lines {
    /// Text, size, color, boldness, and room above.
    all: Vec<(String, f64, RGBColor, bool, f64)>,
    skipped: f64,
}

impl Lines {
    /// A text in at most so many lines, the last one cut if it does not end there.
    fn add(&mut self, text: &str, size: f64, color: RGBColor, bold: bool, most: usize) {
        let lines = wrap(text, size, if bold { WIDE / BOLDER } else { WIDE });
        let (kept, cut) = (lines.iter().take(most), lines.len() > most);
        for (k, line) in kept.enumerate() {
            let line = if cut && k + 1 == most {
                fitted(&format!("{line} {}", lines[k + 1]), size, WIDE / BOLDER)
            } else {
                line.clone()
            };
            self.all.push((line, size, color, bold, std::mem::take(&mut self.skipped)));
        }
    }

    fn skip(&mut self, room: f64) {
        self.skipped += room;
    }

    fn high(&self) -> f64 {
        self.all.iter().map(|(_, size, _, _, room)| size * LEAD + room).sum()
    }

    /// Writes them from a y; returns the y below.
    fn write(&self, sheet: &mut Sheet, y: f64) -> f64 {
        self.all.iter().fold(y, |y, (text, size, color, bold, room)| {
            let at: At = (MARGIN, y + room + size * LEAD / 2.0);
            sheet.write(
                at,
                text,
                Ink { size: *size, anchor: Anchor::Left, color: *color, bold: *bold, halo: false },
            );
            y + room + size * LEAD
        })
    }
}
