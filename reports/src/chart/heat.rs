//! Heat on the house: crowding and hold-ups. One raster, one warm scale, labelled contours, the worst place marked and named.

use super::Foot;
use super::house::{Frame, floors, foot, furniture, head, key, openings, room_names, scale_bar, walls};
use super::sheet::{Anchor, At, Ink, Sheet, Undrawn, fitted, text_width};
use super::style::*;
use crate::words;
use plotters::style::RGBColor;
use sim::measure::COARSE;
use sim::units::System;
use sim::world::World;

/// A figure over the floor: per raster cell of the measures, and how it is drawn.
pub struct Field<'a> {
    /// Values by raster cell, in people or guest-minutes.
    pub cells: &'a [f64],
    /// The worst place.
    pub worst: Option<usize>,
}

/// How a kind of field is told.
struct Telling {
    title: String,
    subtitle: String,
    unit: String,
    /// Steps the top of the scale may end at, in people or guest-minutes for each unit of area.
    tops: &'static [f64],
    levels: usize,
}

/// People spread over so many metres: a body and its elbow room (24 by 18 in ellipse: Highway Capacity Manual).
const SPREAD: f64 = 0.30;

/// Crowding over the busiest half hour.
pub fn crowding(world: &World, field: &Field, when: &str, about: &Foot) -> Result<String, Undrawn> {
    let (_, unit) = words::per_unit(world.plan.system);
    let told = Telling {
        title: "Where people stand".into(),
        subtitle: format!("People by area over the busiest half hour, {when}"),
        unit: format!("people in {}", if unit == "ft" { "10 sq ft" } else { "1 m2" }),
        tops: &[0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0],
        levels: 4,
    };
    draw(world, field, &told, if unit == "ft" { 10.0 } else { 1.0 }, about)
}

/// Guest-minutes lost an evening, where they were lost.
pub fn holdups(world: &World, field: &Field, about: &Foot) -> Result<String, Undrawn> {
    let (_, unit) = words::per_unit(world.plan.system);
    let told = Telling {
        title: "Where people are held up".into(),
        subtitle: "Guest-minutes lost to others on an average evening, where they are lost".into(),
        unit: format!("guest-minutes lost in {}", if unit == "ft" { "10 sq ft" } else { "1 m2" }),
        tops: &[0.5, 1.0, 2.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 160.0, 320.0],
        levels: 4,
    };
    draw(world, field, &told, if unit == "ft" { 10.0 } else { 1.0 }, about)
}

fn draw(world: &World, field: &Field, told: &Telling, areas: f64, about: &Foot) -> Result<String, Undrawn> {
    let plan = &world.plan;
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, &told.title, &told.subtitle);
    let frame = Frame::new(plan, top, 0.0);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    let raster = Raster::new(world, field.cells, areas);
    let scale_top = told.tops.iter().copied().find(|&t| raster.highest <= t).unwrap_or(raster.highest);
    raster.paint(&mut sheet, &frame, scale_top)?;
    walls(&mut sheet, plan, &frame);
    let marked = field.worst.map(|place| (world.places[place].name.as_str(), raster.peak(world, place)));
    let mut taken: Vec<[f64; 4]> = marked.iter().flat_map(|(name, at)| worst_boxes(&frame, name, *at)).collect();
    let numbered = furniture(&mut sheet, plan, &frame, true, &taken);
    openings(&mut sheet, plan, &frame);
    raster.contours(&mut sheet, world, &frame, (scale_top, told.levels), &mut taken);
    room_names(&mut sheet, plan, &frame, &mut taken);
    if let Some((name, at)) = marked {
        worst(&mut sheet, &frame, name, at);
    }
    let y = scale_bar(&mut sheet, plan, &frame);
    let y = key(&mut sheet, y, &numbered);
    let y = legend(&mut sheet, y, scale_top, told);
    foot(&mut sheet, y, about);
    sheet.svg()
}

/// Radius of the ring round the worst place.
const RING: f64 = 17.0;

/// What the mark of the worst place covers: its ring, and its label beside it.
fn worst_boxes(frame: &Frame, name: &str, at: (f64, f64)) -> [[f64; 4]; 2] {
    let (x, y) = frame.at(at.0, at.1);
    let w = text_width(&worst_label(name), SMALL) + 18.0;
    let right = x + RING + 8.0 + w <= WIDTH - 6.0;
    let left = if right { x + RING + 8.0 } else { (x - RING - 8.0 - w).max(4.0) };
    let y_label = if left < x + RING && left + w > x - RING { y - RING - 18.0 } else { y };
    [[x - RING, y - RING, x + RING, y + RING], [left, y_label - SMALL * 0.8, left + w, y_label + SMALL * 0.8]]
}

fn worst_label(name: &str) -> String {
    fitted(&format!("worst: {name}"), SMALL, WIDTH - 60.0)
}

/// The worst place: a ring and its name.
fn worst(sheet: &mut Sheet, frame: &Frame, name: &str, at: (f64, f64)) {
    let (x, y) = frame.at(at.0, at.1);
    let ring = |r: f64| -> Vec<At> {
        (0..=40)
            .map(|k| {
                let (s, c) = (f64::from(k) / 40.0 * std::f64::consts::TAU).sin_cos();
                (x + r * c, y + r * s)
            })
            .collect()
    };
    sheet.line(ring(RING + 2.0), PAPER, 5.0);
    sheet.line(ring(RING), INK, 3.0);
    let [_, b] = worst_boxes(frame, name, at);
    sheet.fill(vec![(b[0], b[1]), (b[2], b[1]), (b[2], b[3]), (b[0], b[3])], INK, 0.94);
    sheet.write(
        ((b[0] + b[2]) / 2.0, (b[1] + b[3]) / 2.0),
        &worst_label(name),
        Ink { size: SMALL, anchor: Anchor::Middle, colour: PAPER, bold: true, halo: false },
    );
}

/// Colour of a share of the scale: warm, light to dark, alike for the colour-blind (ColorBrewer YlOrRd, checked for deuteranopia and protanopia).
fn warm(share: f64) -> RGBColor {
    let c = colorous::YELLOW_ORANGE_RED.eval_continuous(share.clamp(0.0, 1.0));
    RGBColor(c.r, c.g, c.b)
}

fn legend(sheet: &mut Sheet, y: f64, top: f64, told: &Telling) -> f64 {
    let (left, wide, high) = (MARGIN, 360.0, 18.0);
    let y = y + 14.0;
    let steps = 60;
    for k in 0..steps {
        let x = |k: i32| left + wide * f64::from(k) / f64::from(steps);
        sheet.fill(vec![(x(k), y), (x(k + 1) + 0.6, y), (x(k + 1) + 0.6, y + high), (x(k), y + high)], warm(f64::from(k) / f64::from(steps)), 1.0);
    }
    for k in 0..=told.levels {
        let x = left + wide * k as f64 / told.levels as f64;
        sheet.line(vec![(x, y + high), (x, y + high + 5.0)], INK, 1.2);
        let anchor = if k == 0 { Anchor::Left } else { Anchor::Middle };
        sheet.text((x, y + high + 16.0), &figure(top * k as f64 / told.levels as f64), SMALL, anchor);
    }
    sheet.text((left + wide + 24.0, y + high / 2.0), &told.unit, SMALL, Anchor::Left);
    y + high + 28.0
}

fn figure(v: f64) -> String {
    let text = format!("{v:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The field on the lattice of the measures, spread by a body's elbow room.
struct Raster {
    width: usize,
    height: usize,
    pitch: f64,
    west: f64,
    south: f64,
    values: Vec<f64>,
    inside: Vec<bool>,
    highest: f64,
}

impl Raster {
    fn new(world: &World, cells: &[f64], areas: f64) -> Raster {
        let grid = &world.grid;
        let (width, height) = (grid.width.div_ceil(COARSE), grid.height.div_ceil(COARSE));
        let pitch = grid.step() * COARSE as f64;
        let unit = if world.plan.system == System::Feet { sim::units::SQUARE_FOOT } else { 1.0 } * areas;
        let inside: Vec<bool> = (0..width * height)
            .map(|c| {
                let (i, j) = ((c % width) * COARSE, (c / width) * COARSE);
                let nodes = (0..COARSE * COARSE).map(|k| ((i + k % COARSE).min(grid.width - 1), (j + k / COARSE).min(grid.height - 1)));
                nodes.into_iter().any(|(i, j)| {
                    grid.clear_at_node(j * grid.width + i) > -0.02 && !matches!(grid.area_at_node(j * grid.width + i), sim::grid::Area::Outside(_))
                })
            })
            .collect();
        let mut values: Vec<f64> =
            if cells.len() == width * height { cells.iter().map(|v| v / (pitch * pitch) * unit).collect() } else { vec![0.0; width * height] };
        values.iter_mut().zip(&inside).filter(|(_, i)| !**i).for_each(|(v, _)| *v = 0.0);
        let values = spread(&values, &inside, width, height, SPREAD / pitch);
        let highest = values.iter().copied().fold(0.0, f64::max);
        let first = grid.node_xy(0);
        let shift = grid.step() * (COARSE as f64 - 1.0) / 2.0;
        Raster { width, height, pitch, west: first.x + shift, south: first.y + shift, values, inside, highest }
    }

    /// The point of a place where the field is highest, in metres.
    fn peak(&self, world: &World, place: usize) -> (f64, f64) {
        let at = |c: usize| (self.west + (c % self.width) as f64 * self.pitch, self.south + (c / self.width) as f64 * self.pitch);
        let own = (0..self.values.len()).filter(|&c| {
            let (x, y) = at(c);
            self.inside[c] && world.place_at(x, y) == Some(place)
        });
        own.max_by(|a, b| self.values[*a].total_cmp(&self.values[*b])).map_or((self.west, self.south), at)
    }

    fn paint(&self, sheet: &mut Sheet, frame: &Frame, top: f64) -> Result<(), Undrawn> {
        let mut rgba = Vec::with_capacity(self.values.len() * 4);
        for j in (0..self.height).rev() {
            for i in 0..self.width {
                let share = if top > 0.0 { self.values[j * self.width + i] / top } else { 0.0 };
                let c = warm(share);
                let alpha = (share * 6.0).min(1.0) * 235.0;
                rgba.extend([c.0, c.1, c.2, alpha as u8]);
            }
        }
        let half = self.pitch / 2.0;
        let at = frame.at(self.west - half, self.south + self.pitch * self.height as f64 - half);
        let size = (frame.long(self.pitch * self.width as f64), frame.long(self.pitch * self.height as f64));
        sheet.raster(at, size, (self.width, self.height), &rgba)
    }

    /// Labelled contours at the levels of the scale.
    fn contours(&self, sheet: &mut Sheet, world: &World, frame: &Frame, (top, levels): (f64, usize), taken: &mut Vec<[f64; 4]>) {
        if top <= 0.0 {
            return;
        }
        let thresholds: Vec<f64> = (1..levels).map(|k| top * k as f64 / levels as f64).collect();
        let builder = contour::ContourBuilder::new(self.width, self.height, true);
        let Ok(lines) = builder.lines(&self.values, &thresholds) else {
            return;
        };
        for line in lines {
            let label = figure(line.threshold());
            for path in &line.geometry().0 {
                let metres: Vec<(f64, f64)> = path.coords().map(|c| (self.west + (c.x - 0.5) * self.pitch, self.south + (c.y - 0.5) * self.pitch)).collect();
                if metres.len() > 5 {
                    label_contour(sheet, world, frame, &metres, &label, taken);
                    sheet.line(metres.iter().map(|p| frame.at(p.0, p.1)).collect(), INK, 0.9);
                }
            }
        }
    }
}

/// Shortest contour that gets a label, in picture units.
const LABELLED: f64 = 70.0;
/// Labels of contours keep this far from walls and furniture, in metres.
const LABEL_CLEAR: f32 = 0.10;

/// Writes a contour's level on it where the floor is clear and nothing else is written; nowhere if there is no such point.
fn label_contour(sheet: &mut Sheet, world: &World, frame: &Frame, metres: &[(f64, f64)], label: &str, taken: &mut Vec<[f64; 4]>) {
    let length: f64 = metres.windows(2).map(|w| frame.long((w[1].0 - w[0].0).hypot(w[1].1 - w[0].1))).sum();
    if length < LABELLED {
        return;
    }
    let (w, h) = (text_width(label, TINY), TINY);
    let box_at = |at: At| [at.0 - w / 2.0, at.1 - h / 2.0, at.0 + w / 2.0, at.1 + h / 2.0];
    let free = |b: &[f64; 4]| taken.iter().all(|t| b[2] < t[0] || b[0] > t[2] || b[3] < t[1] || b[1] > t[3]);
    let tries = [4, 6, 2, 8, 10, 0, 3, 7].map(|k| metres[(metres.len() - 1) * k / 12]);
    let on_floor = tries.into_iter().filter(|p| world.grid.clearance(p.0, p.1) >= LABEL_CLEAR);
    let Some((at, b)) = on_floor.map(|p| frame.at(p.0, p.1)).map(|at| (at, box_at(at))).find(|(_, b)| free(b)) else {
        return;
    };
    sheet.write(at, label, Ink { size: TINY, anchor: Anchor::Middle, colour: INK, bold: false, halo: true });
    taken.push(b);
}

/// Spreads values with a bell of so many cells, keeping what lies on the floor there: walls take nothing.
fn spread(values: &[f64], inside: &[bool], width: usize, height: usize, cells: f64) -> Vec<f64> {
    let reach = (cells * 2.0).ceil() as isize;
    let bell: Vec<f64> = (-reach..=reach).map(|d| (-0.5 * (d as f64 / cells).powi(2)).exp()).collect();
    let pass = |from: &[f64], dx: isize, dy: isize| -> Vec<f64> {
        let at = |i: isize, j: isize| (i >= 0 && j >= 0 && (i as usize) < width && (j as usize) < height).then(|| j as usize * width + i as usize);
        let mut to = vec![0.0; from.len()];
        for c in (0..from.len()).filter(|&c| from[c] != 0.0) {
            let (i, j) = ((c % width) as isize, (c / width) as isize);
            let mut near = vec![];
            for side in [1isize, -1] {
                for d in if side == 1 { 0..=reach } else { 1..=reach } {
                    match at(i + dx * d * side, j + dy * d * side).filter(|&n| inside[n]) {
                        Some(n) => near.push((n, bell[(d * side + reach) as usize])),
                        None => break,
                    }
                }
            }
            let total: f64 = near.iter().map(|n| n.1).sum();
            if total > 0.0 {
                near.iter().for_each(|&(n, w)| to[n] += from[c] * w / total);
            } else {
                to[c] += from[c];
            }
        }
        to
    };
    pass(&pass(values, 1, 0), 0, 1)
}
