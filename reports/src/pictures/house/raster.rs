//! A figure over the floor on the lattice of the measures, as one image.

use crate::pictures::draw::sheet::{Sheet, Undrawn};
use crate::pictures::house::Frame;
use sim::base::units::System;
use sim::crowd::measure::COARSE;
use sim::floor::world::World;

/// People spread over so many meters: a body and its elbow room (24 by 18 in ellipse: Highway
/// Capacity Manual).
const SPREAD: f64 = 0.30;

/// The field on the lattice of the measures, spread by a body's elbow room.
pub(crate) struct Raster {
    pub width: usize,
    pub height: usize,
    /// Metres between cells.
    pub pitch: f64,
    /// Middle of the first cell, in meters.
    pub west: f64,
    /// See `west`.
    pub south: f64,
    /// By cell, from the south-west, rows eastwards.
    pub values: Vec<f64>,
    /// The highest value.
    pub highest: f64,
}

impl Raster {
    /// People or guest-minutes by cell of the measures, as so much in each unit of area, spread by
    /// a body's elbow room.
    pub(crate) fn new(world: &World, cells: &[f64], areas: f64) -> Raster {
        let grid = &world.grid;
        let (width, height) = (grid.width.div_ceil(COARSE), grid.height.div_ceil(COARSE));
        let pitch = grid.step() * COARSE as f64;
        let unit =
            if world.plan.system == System::Feet { sim::base::units::SQUARE_FOOT } else { 1.0 }
                * areas;
        let inside: Vec<bool> = (0..width * height)
            .map(|c| {
                let (i, j) = ((c % width) * COARSE, (c / width) * COARSE);
                let nodes = (0..COARSE * COARSE).map(|k| {
                    ((i + k % COARSE).min(grid.width - 1), (j + k / COARSE).min(grid.height - 1))
                });
                nodes.into_iter().any(|(i, j)| {
                    grid.clear_at_node(j * grid.width + i) > -0.02
                        && !matches!(
                            grid.area_at_node(j * grid.width + i),
                            sim::floor::grid::Area::Outside(_)
                        )
                })
            })
            .collect();
        let mut values: Vec<f64> = if cells.len() == width * height {
            cells.iter().map(|v| v / (pitch * pitch) * unit).collect()
        } else {
            vec![0.0; width * height]
        };
        values.iter_mut().zip(&inside).filter(|(_, i)| !**i).for_each(|(v, _)| *v = 0.0);
        let values = spread(&values, &inside, width, height, SPREAD / pitch);
        let highest = values.iter().copied().fold(0.0, f64::max);
        let first = grid.node_xy(0);
        let shift = grid.step() * (COARSE as f64 - 1.0) / 2.0;
        Raster {
            width,
            height,
            pitch,
            west: first.x + shift,
            south: first.y + shift,
            values,
            highest,
        }
    }

    /// The value at a point in meters; 0 off the lattice.
    pub(crate) fn at(&self, x: f64, y: f64) -> f64 {
        let (i, j) =
            (((x - self.west) / self.pitch).round(), ((y - self.south) / self.pitch).round());
        let on = i >= 0.0 && j >= 0.0 && (i as usize) < self.width && (j as usize) < self.height;
        if on { self.values[j as usize * self.width + i as usize] } else { 0.0 }
    }

    /// Paints it: `ink` gives red, green, blue and opacity of a value.
    pub(crate) fn paint(
        &self,
        sheet: &mut Sheet,
        frame: &Frame,
        ink: impl Fn(f64) -> [u8; 4],
    ) -> Result<(), Undrawn> {
        let mut rgba = Vec::with_capacity(self.values.len() * 4);
        for j in (0..self.height).rev() {
            for i in 0..self.width {
                rgba.extend(ink(self.values[j * self.width + i]));
            }
        }
        let half = self.pitch / 2.0;
        let at = frame.at(self.west - half, self.south + self.pitch * self.height as f64 - half);
        let size = (
            frame.long(self.pitch * self.width as f64),
            frame.long(self.pitch * self.height as f64),
        );
        sheet.raster(at, size, (self.width, self.height), &rgba)
    }
}

/// Spreads values with a bell of so many cells, keeping what lies on the floor there: walls take
/// nothing.
fn spread(values: &[f64], inside: &[bool], width: usize, height: usize, cells: f64) -> Vec<f64> {
    let reach = (cells * 2.0).ceil() as isize;
    let bell: Vec<f64> =
        (-reach..=reach).map(|d| (-0.5 * (d as f64 / cells).powi(2)).exp()).collect();
    let pass = |from: &[f64], dx: isize, dy: isize| -> Vec<f64> {
        let at = |i: isize, j: isize| {
            (i >= 0 && j >= 0 && (i as usize) < width && (j as usize) < height)
                .then(|| j as usize * width + i as usize)
        };
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
