//! The distance to the nearest edge at each node, and measured again where edges moved.

use super::Grid;
use crate::base::units::UNIT;
use geo::{Coord, Line};
use std::cmp::Ordering;
use std::ops::RangeInclusive;

/// Distances are known up to this many meters.
pub(super) const FAR: f32 = 1.0;

/// Columns and rows of nodes.
type Span = (RangeInclusive<usize>, RangeInclusive<usize>);

impl Grid {
    /// The distance of every node, negative off the floor that the edges bound.
    pub(super) fn distances(&self, edges: &[Line<f64>]) -> Vec<f32> {
        let mut clear = vec![FAR; self.width * self.height];
        self.measure(&mut clear, edges, &vec![true; self.width * self.height]);
        clear
    }

    /// The same where only some edges are others than before, from the distances before.
    pub(super) fn measure_again(&self, clear: &mut [f32], old: &[Line<f64>], new: &[Line<f64>]) {
        let mut near = vec![false; clear.len()];
        for edge in moved(old, new) {
            let (columns, rows) = self.near(&edge);
            rows.for_each(|j| {
                columns.clone().for_each(|i| near[j * self.width + i] = true);
            });
        }
        self.measure(clear, new, &near);
    }

    /// Measures the distance of chosen nodes.
    fn measure(&self, clear: &mut [f32], edges: &[Line<f64>], chosen: &[bool]) {
        let Some((columns, rows)) = self.span_of(chosen) else {
            return;
        };
        let each = clear.iter_mut().zip(chosen);
        each.filter(|(_, chosen)| **chosen).for_each(|(d, _)| *d = FAR);
        for edge in edges {
            let (across, along) = self.near(edge);
            let across = *across.start().max(columns.start())..=*across.end().min(columns.end());
            let along = *along.start().max(rows.start())..=*along.end().min(rows.end());
            self.stamp(clear, edge, (across, along), chosen);
        }
        // what is inside may be so far from every edge that it was not measured
        let first = rows.start() * self.width;
        let near = &mut clear[first..(rows.end() + 1) * self.width];
        near.iter_mut().for_each(|d| *d = -d.abs());
        self.each_inside(edges, rows, |n| near[n - first] = near[n - first].abs());
    }

    /// Lowers the distance of chosen nodes near an edge.
    fn stamp(&self, clear: &mut [f32], edge: &Line<f64>, (columns, rows): Span, chosen: &[bool]) {
        let (a, (dx, dy)) = (edge.start, (edge.dx(), edge.dy()));
        let squared = dx * dx + dy * dy;
        for j in rows {
            for i in columns.clone() {
                let n = j * self.width + i;
                if !chosen[n] {
                    continue;
                }
                let Coord { x, y } = self.node_xy(n);
                let (px, py) = (x - a.x, y - a.y);
                let share = if squared > 0.0 {
                    ((px * dx + py * dy) / squared).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let (ex, ey) = (px - dx * share, py - dy * share);
                clear[n] = clear[n].min((ex * ex + ey * ey).sqrt() as f32);
            }
        }
    }

    /// The nodes an edge may be the nearest one of.
    fn near(&self, edge: &Line<f64>) -> Span {
        let far = f64::from(FAR);
        self.nodes_within([
            edge.start.x.min(edge.end.x) - far,
            edge.start.y.min(edge.end.y) - far,
            edge.start.x.max(edge.end.x) + far,
            edge.start.y.max(edge.end.y) + far,
        ])
    }

    /// Columns and rows of nodes that cover a rectangle, given its west, south, east and north end
    /// in meters.
    pub fn nodes_within(&self, [west, south, east, north]: [f64; 4]) -> Span {
        let span = |low: f64, high: f64, zero: f64, n: usize| {
            let from = ((low - zero) * self.per_meter).floor().max(0.0) as usize;
            let to = (((high - zero) * self.per_meter).ceil().max(0.0) as usize).min(n - 1);
            from..=to
        };
        (span(west, east, self.west, self.width), span(south, north, self.south, self.height))
    }

    /// Columns and rows in which chosen nodes are.
    fn span_of(&self, chosen: &[bool]) -> Option<Span> {
        let rows = || chosen.chunks(self.width).enumerate().filter(|(_, row)| row.contains(&true));
        let (first, last) = (rows().next()?.0, rows().next_back()?.0);
        let left = rows().filter_map(|(_, row)| row.iter().position(|c| *c)).min()?;
        let right = rows().filter_map(|(_, row)| row.iter().rposition(|c| *c)).max()?;
        Some((left..=right, first..=last))
    }

    /// Visits the nodes of some rows that are inside edges, by crossings along each row.
    pub(super) fn each_inside(
        &self,
        edges: &[Line<f64>],
        rows: RangeInclusive<usize>,
        mut visit: impl FnMut(usize),
    ) {
        let mut hits: Vec<f64> = vec![];
        for j in rows {
            let y = f64::from(self.origin.y + j as i32 * self.pitch) * UNIT;
            hits.clear();
            hits.extend(edges.iter().filter(|l| (l.start.y <= y) != (l.end.y <= y)).map(|l| {
                l.start.x + (l.end.x - l.start.x) * (y - l.start.y) / (l.end.y - l.start.y)
            }));
            hits.sort_by(f64::total_cmp);
            for pair in hits.chunks_exact(2) {
                let from = ((pair[0] - self.west) / self.step()).ceil().max(0.0) as usize;
                let to = ((pair[1] - self.west) / self.step()).floor();
                (from..self.width)
                    .take_while(|&i| i as f64 <= to)
                    .for_each(|i| visit(j * self.width + i));
            }
        }
    }
}

/// Edges that are only among the old or only among the new ones.
fn moved(old: &[Line<f64>], new: &[Line<f64>]) -> Vec<Line<f64>> {
    let by_place = |a: &Line<f64>, b: &Line<f64>| {
        let key = |l: &Line<f64>| [l.start.x, l.start.y, l.end.x, l.end.y];
        let each = key(a).into_iter().zip(key(b)).map(|(a, b)| a.total_cmp(&b));
        each.fold(Ordering::Equal, Ordering::then)
    };
    let sorted = |edges: &[Line<f64>]| {
        let mut edges = edges.to_vec();
        edges.sort_by(by_place);
        edges
    };
    let (old, new) = (sorted(old), sorted(new));
    let missing = |from: &[Line<f64>], among: &[Line<f64>]| {
        let gone = from.iter().filter(|e| among.binary_search_by(|o| by_place(o, e)).is_err());
        gone.copied().collect::<Vec<_>>()
    };
    [missing(&old, &new), missing(&new, &old)].concat()
}
