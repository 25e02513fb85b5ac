//! The house that people move on in a replay, and how meters become picture units on it.

use crate::pictures::draw::sheet::{Sheet, Undrawn};
use crate::pictures::draw::style::*;
use crate::pictures::house::labels::named;
use crate::pictures::house::levels;
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::{Frame, floors, openings, walls};
use crate::words;
use serde::Serialize;
use sim::house::plan::{Level, Plan};

/// A drawn house, and where it lies: a point is at `left + (x − west) · scale`, `top + (north − y)
/// · scale`, of a width of `width`.
#[derive(Debug, Serialize)]
pub struct Stage {
    /// The house, drawn for a page.
    pub svg: String,
    /// Metres.
    pub west: f64,
    /// Metres.
    pub north: f64,
    /// Picture units to a meter.
    pub scale: f64,
    /// Picture units.
    pub left: f64,
    /// Picture units.
    pub top: f64,
    /// Width of the picture in its units.
    pub width: f64,
    /// Levels from the lowest, if there are several.
    pub levels: Vec<StageLevel>,
}

/// A level of the house on the stage: a strip of the picture.
#[derive(Debug, Serialize)]
pub struct StageLevel {
    /// Its name.
    pub name: String,
    /// What lies north of this and south of the level before is on it, in meters.
    pub from: f64,
    /// Picture units.
    pub top: f64,
    /// Picture units.
    pub bottom: f64,
    /// Picture units.
    pub left: f64,
    /// Picture units.
    pub right: f64,
}

/// Draws the house with names and nothing else.
pub fn stage(plan: &Plan) -> Result<Stage, Undrawn> {
    let mut sheet = Sheet::new();
    let frame = Frame::new(plan, MARGIN * 0.5, OUTSIDE);
    floors(&mut sheet, plan, &frame);
    walls(&mut sheet, plan, &frame);
    pieces(&mut sheet, plan, &frame, false);
    openings(&mut sheet, plan, &frame);
    let labels = named(&mut sheet, plan, &frame, vec![]);
    let bottom = labels.key(&mut sheet, frame.bottom) + MARGIN * 0.5;
    sheet.reach(bottom);
    let levels = strips(plan, &frame, bottom);
    Ok(Stage {
        svg: sheet.svg()?,
        west: frame.west,
        north: frame.north,
        scale: frame.scale,
        left: frame.left,
        top: frame.top,
        width: WIDTH,
        levels,
    })
}

/// The strip of each level with its name, the first one's from the top of the picture and the last
/// one's to its bottom.
fn strips(plan: &Plan, frame: &Frame, bottom: f64) -> Vec<StageLevel> {
    if plan.levels.len() < 2 {
        return vec![];
    }
    let top = |k: usize| {
        plan.bounds_of_level(k)
            .map(|[_, _, _, north]| frame.at(0.0, north).1 - levels::CAPTION - MARGIN)
    };
    let sides = |k: usize| {
        let [w, _, e, _] = plan.bounds_of_level(k).unwrap_or(plan.bounds());
        [frame.at(w - CALLOUT, 0.0).0.max(0.0), frame.at(e + CALLOUT, 0.0).0.min(WIDTH)]
    };
    let strip = |(k, l): (usize, &Level)| StageLevel {
        left: sides(k)[0],
        right: sides(k)[1],
        name: words::shown(&l.name),
        from: l.from,
        top: if k == 0 { 0.0 } else { top(k).unwrap_or(0.0) },
        bottom: top(k + 1).unwrap_or(bottom),
    };
    plan.levels.iter().enumerate().map(strip).collect()
}

/// Ground shown round the house, where guests arrive, in meters.
const OUTSIDE: f64 = 1.0;
/// Ground shown beside a level alone, where names of small rooms may stand, in meters.
const CALLOUT: f64 = 2.4;
