//! The house that people move on in a replay, and how metres become picture units on it.

use super::house::{Frame, floors, furniture, key, openings, room_names, walls};
use super::sheet::{Sheet, Undrawn};
use super::style::*;
use serde::Serialize;
use sim::plan::Plan;

/// A drawn house, and where it lies: a point is at `left + (x − west) · scale`, `top + (north − y) · scale`, of a width of `width`.
#[derive(Debug, Serialize)]
pub struct Stage {
    /// The house, drawn for a page.
    pub svg: String,
    /// Metres.
    pub west: f64,
    /// Metres.
    pub north: f64,
    /// Picture units to a metre.
    pub scale: f64,
    /// Picture units.
    pub left: f64,
    /// Picture units.
    pub top: f64,
    /// Width of the picture in its units.
    pub width: f64,
}

/// Draws the house with names and nothing else.
pub fn stage(plan: &Plan) -> Result<Stage, Undrawn> {
    let mut sheet = Sheet::new();
    let frame = Frame::new(plan, MARGIN * 0.5, OUTSIDE);
    floors(&mut sheet, plan, &frame);
    walls(&mut sheet, plan, &frame);
    let mut numbered = furniture(&mut sheet, plan, &frame, false, &[]);
    openings(&mut sheet, plan, &frame);
    room_names(&mut sheet, plan, &frame, &mut vec![], Some(&mut numbered));
    let y = key(&mut sheet, frame.bottom, &numbered);
    sheet.reach(y + MARGIN * 0.5);
    Ok(Stage { svg: sheet.svg()?, west: frame.west, north: frame.north, scale: frame.scale, left: frame.left, top: frame.top, width: WIDTH })
}

/// Ground shown round the house, where guests arrive, in metres.
const OUTSIDE: f64 = 1.0;
