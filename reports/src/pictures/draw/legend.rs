//! The scale under a picture: a strip of its colors with what they mean.

use crate::pictures::draw::sheet::{Anchor, Sheet};
use crate::pictures::draw::style::*;
use plotters::style::RGBColor;

/// Height of the strip, and the steps it is drawn in.
const HIGH: f64 = 16.0;
const STEPS: u32 = 60;
/// Width of the strip.
const WIDE: f64 = 400.0;

/// Draws the strip of colors for shares from 0 to 1, with words at some of them; returns the y
/// below.
pub(crate) fn legend(
    sheet: &mut Sheet,
    y: f64,
    unit: &str,
    color: impl Fn(f64) -> RGBColor,
    ticks: &[(f64, String)],
) -> f64 {
    let x = |share: f64| MARGIN + WIDE * share;
    sheet.text((MARGIN, y + 14.0), unit, SMALL, Anchor::Left);
    let y = y + 28.0;
    for k in 0..STEPS {
        let (a, b) = (f64::from(k) / f64::from(STEPS), f64::from(k + 1) / f64::from(STEPS));
        sheet.fill(
            vec![(x(a), y), (x(b) + 0.6, y), (x(b) + 0.6, y + HIGH), (x(a), y + HIGH)],
            color((a + b) / 2.0),
            1.0,
        );
    }
    for (share, text) in ticks {
        sheet.line(vec![(x(*share), y + HIGH), (x(*share), y + HIGH + 5.0)], INK, 1.2);
        let anchor = if *share <= 0.0 {
            Anchor::Left
        } else if *share >= 1.0 {
            Anchor::Right
        } else {
            Anchor::Middle
        };
        sheet.text((x(*share), y + HIGH + 16.0), text, SMALL, anchor);
    }
    y + HIGH + 28.0
}
