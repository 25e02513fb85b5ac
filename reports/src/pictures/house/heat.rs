//! Heat on the house: crowding and hold-ups. One raster, one warm scale, labelled contours, the
//! worst place marked and named.

use crate::pictures::Mount;
use crate::pictures::draw::legend::legend;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, circle, text_width};
use crate::pictures::draw::style::*;
use crate::pictures::house::labels::{Labels, boxed};
use crate::pictures::house::marks::{Mark, Marked};
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::raster::Raster;
use crate::pictures::house::{
    Frame, explain, floors, foot, head, openings, scale_bar, tallest, walls,
};
use crate::words;
use plotters::style::RGBColor;
use sim::base::units::System;
use sim::floor::world::{PinchId, SpotId, World};
use sim::house::plan::Xy;

/// A figure over the floor: per raster cell of the measures, and how it is drawn.
pub struct Field<'a> {
    /// Values by raster cell, in people or guest-minutes.
    pub cells: &'a [f64],
    /// What is marked as the worst.
    pub worst: Option<Worst>,
    /// The highest value of all pictures that share one scale; see [`highest`].
    pub highest: f64,
    /// Where something new is put, and what it is called.
    pub new: Option<&'a (String, Xy)>,
    /// Lines that stand on the floor: a spot, and how many people.
    pub lines: &'a [(SpotId, u32)],
}

impl Field<'_> {
    fn marks(&self, world: &World) -> Vec<Mark> {
        let worst = self.worst.map(|worst| worst.mark(world)).map(|(name, at)| Mark {
            name,
            at,
            color: INK,
        });
        let new =
            self.new.map(|(name, at)| Mark { name: name.clone(), at: (at.x, at.y), color: NEW });
        worst.into_iter().chain(new).collect()
    }
}

/// What is marked as the worst.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Worst {
    /// A spot of floor that jams.
    Pinch(PinchId),
    /// A spot of floor where most time is lost, though nothing jams for long.
    Lost(PinchId),
    /// A spot, where its line begins.
    Spot(SpotId),
    /// A spot that takes no more.
    Full(SpotId),
}

impl Worst {
    /// Its name, and its point in meters.
    fn mark(self, world: &World) -> (String, (f64, f64)) {
        match self {
            Worst::Pinch(pinch) => {
                (format!("worst: {}", words::at_spot(world, pinch)), world.pinches.get(pinch).at)
            }
            Worst::Lost(pinch) => {
                (format!("slowest: {}", words::at_spot(world, pinch)), world.pinches.get(pinch).at)
            }
            Worst::Spot(spot) => {
                let s = &world.spots[spot];
                let slot = s
                    .lanes
                    .iter()
                    .find_map(|l| l.slots.first())
                    .or(s.positions.first().map(|p| &p.target));
                (
                    format!("longest wait: {}", words::spot(world, spot)),
                    slot.map_or((0.0, 0.0), |t| t.point.meters()),
                )
            }
            Worst::Full(spot) => {
                let s = &world.spots[spot];
                (
                    format!("full: {}", words::spot(world, spot)),
                    s.positions.first().map_or((0.0, 0.0), |p| p.target.point.meters()),
                )
            }
        }
    }
}

/// The highest hold-ups in a picture, for pictures that are to share one scale.
pub fn highest(world: &World, cells: &[f64]) -> f64 {
    Raster::new(world, cells, areas(world)).highest
}

/// Figures are for so many units of area: 10 sq ft, or a square meter.
pub(crate) fn areas(world: &World) -> f64 {
    if world.plan.system == System::Feet { 10.0 } else { 1.0 }
}

/// These in words.
pub(crate) fn areas_words(world: &World) -> &'static str {
    if world.plan.system == System::Feet { "10 sq ft" } else { "1 m2" }
}

/// Ends of the scale of hold-ups, in guest-minutes for each unit of area: few and far apart, so
/// that a comfortable evening stays pale and pictures of the same house can be held beside one
/// another.
const HELD_UP: [f64; 8] = [4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 256.0, 512.0];

/// Ends of the scale of crowding, in people for each unit of area.
const CROWDS: [f64; 3] = [2.0, 4.0, 8.0];

/// The end of the scale of crowding that a highest value asks for.
pub(crate) fn crowding_top(highest: f64) -> f64 {
    end_of(&CROWDS, highest)
}

/// The end of the scale of hold-ups that a highest value asks for.
pub(crate) fn held_up_top(highest: f64) -> f64 {
    end_of(&HELD_UP, highest)
}

/// The first end that a field does not pass.
fn end_of(tops: &[f64], highest: f64) -> f64 {
    tops.iter().copied().find(|&t| highest <= t).unwrap_or(highest)
}

/// How a kind of field is told.
struct Telling {
    title: String,
    subtitle: String,
    unit: String,
    /// Steps the top of the scale may end at, in people or guest-minutes for each unit of area.
    tops: &'static [f64],
    levels: usize,
    /// Color of a share of the scale.
    color: fn(f64) -> RGBColor,
}

/// Crowding over the busiest half hour.
pub fn crowding(world: &World, field: &Field, when: &str, mount: Mount) -> Result<String, Undrawn> {
    let told = Telling {
        title: "Where people stand".into(),
        subtitle: format!("People by area over the busiest half hour, {when}"),
        unit: format!("people in {}", areas_words(world)),
        tops: &CROWDS,
        levels: 4,
        color: cool,
    };
    draw(world, field, &told, mount)
}

/// Guest-minutes lost an evening, where they were lost.
pub fn holdups(world: &World, field: &Field, mount: Mount) -> Result<String, Undrawn> {
    let told = Telling {
        title: "Where people are held up".into(),
        subtitle: "Guest-minutes lost to others on an average evening, where they are lost".into(),
        unit: format!("guest-minutes lost in {}", areas_words(world)),
        tops: &HELD_UP,
        levels: 4,
        color: warm,
    };
    draw(world, field, &told, mount)
}

fn draw(world: &World, field: &Field, told: &Telling, mount: Mount) -> Result<String, Undrawn> {
    let plan = &world.plan;
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, &told.title, &told.subtitle);
    let raster = Raster::new(world, field.cells, areas(world));
    let marks = field.marks(world);
    let waiting = waiting(world, field.lines);
    let outside: Vec<At> = waiting.iter().copied().chain(marks.iter().map(|m| m.at)).collect();
    let marked = Marked::new(
        plan,
        visited(world, &raster, &marks),
        marks,
        beyond(world, &outside),
        (top, tallest(mount)),
    );
    let frame = &marked.frame;
    let highest = raster.highest.max(field.highest);
    let scale_top = end_of(told.tops, highest);
    colored(&mut sheet, world, frame, &raster, (told.color, scale_top))?;
    let mut labels = Labels::new(plan, frame, marked.taken());
    waiting
        .iter()
        .for_each(|p| labels.take(boxed(frame.at(p.0, p.1), (2.0 * HEAD, 2.0 * HEAD), 0.0)));
    labels.pieces();
    labels.rooms(true);
    pieces(&mut sheet, plan, frame, true);
    openings(&mut sheet, plan, frame);
    contours(&raster, &mut sheet, world, frame, (scale_top, told.levels), &mut labels);
    labels.draw(&mut sheet);
    waiting.iter().for_each(|p| person(&mut sheet, frame.at(p.0, p.1)));
    marked.draw(&mut sheet);
    let y = scale_bar(&mut sheet, plan, frame, frame.bottom);
    let y = labels.key(&mut sheet, y);
    let mut y = scale(&mut sheet, y, scale_top, told);
    if !waiting.is_empty() {
        y = explain(&mut sheet, mount, y + 14.0, LINES_SAY);
    }
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// The lowest and the highest level with anything to show; all where there is nothing.
fn visited(world: &World, raster: &Raster, marks: &[Mark]) -> [usize; 2] {
    let (plan, all) = (&world.plan, [0, world.plan.levels.len() - 1]);
    let colored = (0..raster.values.len()).filter(|&c| raster.values[c] > NOTHING * raster.highest);
    let levels = colored
        .map(|c| raster.south + (c / raster.width) as f64 * raster.pitch)
        .chain(marks.iter().map(|m| m.at.1))
        .map(|y| plan.level_at(y));
    levels
        .fold(None, |span: Option<[usize; 2]>, k| {
            Some(span.map_or([k, k], |[a, b]| [a.min(k), b.max(k)]))
        })
        .unwrap_or(all)
}

/// Where nothing reaches this share of the highest value nothing is seen.
const NOTHING: f64 = 0.02;

/// The floor of a house with a field on it, and its walls.
fn colored(
    sheet: &mut Sheet,
    world: &World,
    frame: &Frame,
    raster: &Raster,
    (color, top): (fn(f64) -> RGBColor, f64),
) -> Result<(), Undrawn> {
    sheet.reach(frame.bottom);
    floors(sheet, &world.plan, frame);
    raster.paint(sheet, frame, |v| heat_ink(v, color, top))?;
    walls(sheet, &world.plan, frame);
    Ok(())
}

/// Two houses of one size with hold-ups and lines, and nothing else: to be laid over each other.
pub fn bare(houses: [(&World, &Field); 2]) -> Result<[String; 2], Undrawn> {
    let round = houses
        .iter()
        .map(|(world, field)| beyond(world, &waiting(world, field.lines)))
        .fold(0.0, f64::max);
    let draw = |(world, field): (&World, &Field)| {
        let plan = &world.plan;
        let mut sheet = Sheet::new();
        let frame = Frame::within(
            plan,
            [0, plan.levels.len() - 1],
            (MARGIN * 0.5, tallest(Mount::Page)),
            round,
        );
        let raster = Raster::new(world, field.cells, areas(world));
        colored(
            &mut sheet,
            world,
            &frame,
            &raster,
            (warm, held_up_top(raster.highest.max(field.highest))),
        )?;
        openings(&mut sheet, plan, &frame);
        pieces(&mut sheet, plan, &frame, true);
        waiting(world, field.lines)
            .into_iter()
            .for_each(|p| person(&mut sheet, frame.at(p.0, p.1)));
        sheet.reach(frame.bottom + MARGIN * 0.5);
        sheet.svg()
    };
    let [before, after] = houses.map(draw);
    Ok([before?, after?])
}

/// A house with hold-ups and the worst place, without scale or contours: for a card. Starts at a y,
/// at most so tall; returns the y below.
pub(crate) fn heated(
    sheet: &mut Sheet,
    world: &World,
    field: &Field,
    (top, tallest): At,
) -> Result<f64, Undrawn> {
    let raster = Raster::new(world, field.cells, areas(world));
    let marks = field.marks(world);
    let outside: Vec<At> = marks.iter().map(|m| m.at).collect();
    let marked = Marked::new(
        &world.plan,
        visited(world, &raster, &marks),
        marks,
        beyond(world, &outside),
        (top, tallest),
    );
    let frame = &marked.frame;
    colored(sheet, world, frame, &raster, (warm, held_up_top(raster.highest.max(field.highest))))?;
    openings(sheet, &world.plan, frame);
    pieces(sheet, &world.plan, frame, true);
    let mut labels = Labels::new(&world.plan, frame, marked.taken());
    labels.rooms(false);
    labels.draw(sheet);
    marked.draw(sheet);
    Ok(frame.bottom)
}

/// What the people drawn in lines are.
pub const LINES_SAY: &str =
    "Blue circles: people in line when lines are long (longer on 1 evening in 10).";
/// Radius of a person in line, in picture units.
const HEAD: f64 = 4.5;

/// Where people in line stand, in meters: shared out among the lanes of a spot, the head of each
/// first.
pub(crate) fn waiting(world: &World, lines: &[(SpotId, u32)]) -> Vec<At> {
    let of = |&(spot, people): &(SpotId, u32)| {
        let lanes = &world.spots[spot].lanes;
        let deepest = lanes.iter().map(|l| l.slots.len()).max().unwrap_or(0);
        let slots =
            (0..deepest).flat_map(move |k| lanes.iter().filter_map(move |l| l.slots.get(k)));
        slots.take(people as usize).map(|t| t.point.meters()).collect::<Vec<_>>()
    };
    lines.iter().flat_map(of).collect()
}

/// How far people in line stand outside the house at most, in meters.
pub(crate) fn beyond(world: &World, waiting: &[At]) -> f64 {
    let [w, s, e, n] = world.plan.bounds();
    waiting.iter().map(|p| (w - p.0).max(p.0 - e).max(s - p.1).max(p.1 - n)).fold(0.0, f64::max)
}

fn person(sheet: &mut Sheet, at: At) {
    sheet.fill(circle(at, HEAD), PAPER, 1.0);
    sheet.line(circle(at, HEAD), MARK, 1.8);
}

/// Color of a share of the scale: warm, light to dark, alike for the color-blind (ColorBrewer
/// YlOrRd, checked for deuteranopia and protanopia).
pub(crate) fn warm(share: f64) -> RGBColor {
    let c = colorous::YELLOW_ORANGE_RED.eval_continuous(share.clamp(0.0, 1.0));
    RGBColor(c.r, c.g, c.b)
}

/// Color of a share of the scale of crowding: another hue than hold-ups, light to dark
/// (ColorBrewer BuPu, listed there as safe for the color-blind, from memory).
pub(crate) fn cool(share: f64) -> RGBColor {
    let c = colorous::BLUE_PURPLE.eval_continuous(share.clamp(0.0, 1.0));
    RGBColor(c.r, c.g, c.b)
}

/// A color as red, green, blue and opacity; nothing where there is nothing.
pub(crate) fn heat_ink(value: f64, color: fn(f64) -> RGBColor, top: f64) -> [u8; 4] {
    let share = if top > 0.0 { value / top } else { 0.0 };
    let c = color(share);
    [c.0, c.1, c.2, ((share * 6.0).min(1.0) * 235.0) as u8]
}

/// The scale with its levels.
fn scale(sheet: &mut Sheet, y: f64, top: f64, told: &Telling) -> f64 {
    let share = |k: usize| k as f64 / told.levels as f64;
    let ticks: Vec<(f64, String)> =
        (0..=told.levels).map(|k| (share(k), figure(top * share(k)))).collect();
    legend(sheet, y, &told.unit, told.color, &ticks)
}

fn figure(v: f64) -> String {
    let text = format!("{v:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// Labelled contours at the levels of the scale.
fn contours(
    raster: &Raster,
    sheet: &mut Sheet,
    world: &World,
    frame: &Frame,
    (top, levels): (f64, usize),
    labels: &mut Labels,
) {
    if top <= 0.0 {
        return;
    }
    let thresholds: Vec<f64> = (1..levels).map(|k| top * k as f64 / levels as f64).collect();
    let builder = contour::ContourBuilder::new(raster.width, raster.height, true);
    let Ok(lines) = builder.lines(&raster.values, &thresholds) else {
        return;
    };
    for line in lines {
        let label = figure(line.threshold());
        for path in &line.geometry().0 {
            let meters: Vec<(f64, f64)> = path
                .coords()
                .map(|c| {
                    (
                        raster.west + (c.x - 0.5) * raster.pitch,
                        raster.south + (c.y - 0.5) * raster.pitch,
                    )
                })
                .collect();
            if meters.len() > 5 {
                label_contour(sheet, world, frame, &meters, &label, labels);
                on_floor(world, &meters).for_each(|part| {
                    sheet.line(part.iter().map(|p| frame.at(p.0, p.1)).collect(), CONTOUR, 0.9)
                });
            }
        }
    }
}

/// The parts of a contour that lie on the floor: none crosses a wall.
fn on_floor<'a>(
    world: &'a World,
    meters: &'a [(f64, f64)],
) -> impl Iterator<Item = &'a [(f64, f64)]> {
    meters.split(|p| world.grid.clearance(p.0, p.1) <= 0.0).filter(|part| part.len() > 1)
}

/// Shortest contour that gets a label, in picture units.
const LABELLED: f64 = 70.0;

/// Writes a contour's level on it where the floor is clear and nothing else is written; nowhere if
/// there is no such point.
fn label_contour(
    sheet: &mut Sheet,
    world: &World,
    frame: &Frame,
    meters: &[(f64, f64)],
    label: &str,
    labels: &mut Labels,
) {
    let length: f64 =
        meters.windows(2).map(|w| frame.long((w[1].0 - w[0].0).hypot(w[1].1 - w[0].1))).sum();
    if length < LABELLED {
        return;
    }
    let (w, h) = (text_width(label, TINY), TINY);
    let box_at = |at: At| boxed(at, (w, h), 2.0);
    let half = f64::hypot(w, h) / 2.0 / frame.scale;
    let tries = [4, 6, 2, 8, 10, 0, 3, 7].map(|k| meters[(meters.len() - 1) * k / 12]);
    let on_floor = tries.into_iter().filter(|p| f64::from(world.grid.clearance(p.0, p.1)) >= half);
    let Some((at, b)) = on_floor
        .map(|p| frame.at(p.0, p.1))
        .map(|at| (at, box_at(at)))
        .find(|(_, b)| labels.is_free(b))
    else {
        return;
    };
    sheet.write(
        at,
        label,
        Ink { size: TINY, anchor: Anchor::Middle, color: INK, bold: false, halo: true },
    );
    labels.take(b);
}
