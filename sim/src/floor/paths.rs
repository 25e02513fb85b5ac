//! The shortest way over some of the floor, pulled straight: to be drawn and measured. Guests do not
//! walk by it.

use crate::base::units::CELL;
use crate::floor::grid::Grid;
use crate::floor::routes::WALL;
use crate::floor::widths::neighbors;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A way over the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Its corners, in meters; where it changes level on stairs, the next one is the same point on
    /// the other level.
    pub corners: Vec<(f64, f64)>,
    /// Its length, in meters.
    pub length: f64,
    /// The nodes it was found along.
    pub nodes: Vec<usize>,
}

impl Path {
    /// The way back.
    pub fn back(mut self) -> Path {
        self.corners.reverse();
        self.nodes.reverse();
        self
    }
}

/// The shortest way from one node to another over nodes that are allowed; `None` if there is none.
/// Its length is that of the straight pieces, within a hand of the shortest there is.
pub fn shortest(
    grid: &Grid,
    from: usize,
    to: usize,
    allowed: &dyn Fn(usize) -> bool,
) -> Option<Path> {
    let nodes = nodes(grid, from, to, allowed)?;
    let corners = pulled(grid, &nodes, allowed);
    let is_level = |w: &&[usize]| grid.twin(w[0]) != Some(w[1]);
    let length = corners.windows(2).filter(is_level).map(|w| apart(grid, w[0], w[1])).sum();
    let corners = corners.into_iter().map(|n| at(grid, n)).collect();
    Some(Path { corners, length, nodes })
}

fn at(grid: &Grid, node: usize) -> (f64, f64) {
    let p = grid.node_xy(node);
    (p.x, p.y)
}

fn apart(grid: &Grid, a: usize, b: usize) -> f64 {
    let ((ax, ay), (bx, by)) = (at(grid, a), at(grid, b));
    (ax - bx).hypot(ay - by)
}

/// A step to a node beside, and one across a corner, as whole numbers in the ratio of their lengths.
const STEPS: [u64; 2] = [985, 1393];

fn nodes(
    grid: &Grid,
    from: usize,
    to: usize,
    allowed: &dyn Fn(usize) -> bool,
) -> Option<Vec<usize>> {
    let mut best: Vec<Option<(u64, usize)>> = vec![None; grid.len()];
    best[from] = Some((0, from));
    let mut heap = BinaryHeap::from([(Reverse(0u64), from)]);
    while let Some((Reverse(gone), node)) = heap.pop() {
        if node == to {
            break;
        }
        if best[node].is_some_and(|b| b.0 < gone) {
            continue;
        }
        for (next, step) in steps(grid, node) {
            let then = gone + step;
            if allowed(next) && best[next].is_none_or(|b| then < b.0) {
                best[next] = Some((then, node));
                heap.push((Reverse(then), next));
            }
        }
    }
    best[to]?;
    let back =
        std::iter::successors(Some(to), |&n| best[n].map(|b| b.1).filter(|&before| before != n));
    let mut nodes: Vec<usize> = back.collect();
    nodes.reverse();
    Some(nodes)
}

/// Nodes one step away, and what the step costs; the same point of stairs on their other level is no
/// step at all.
fn steps(grid: &Grid, node: usize) -> impl Iterator<Item = (usize, u64)> + '_ {
    let (i, j) = ((node % grid.width) as isize, (node / grid.width) as isize);
    let across = [(-1, -1), (-1, 1), (1, -1), (1, 1)].into_iter().map(move |(a, b)| (i + a, j + b));
    let on = across.filter(|&(a, b)| {
        a >= 0 && b >= 0 && (a as usize) < grid.width && (b as usize) < grid.height
    });
    let across = on.map(|(a, b)| (b as usize * grid.width + a as usize, STEPS[1]));
    let beside = neighbors(grid, node)
        .map(move |n| (n, if grid.twin(node) == Some(n) { 0 } else { STEPS[0] }));
    beside.chain(across)
}

/// The nodes that are left where a straight line replaces those between.
fn pulled(grid: &Grid, nodes: &[usize], allowed: &dyn Fn(usize) -> bool) -> Vec<usize> {
    let mut kept: Vec<usize> = nodes.first().copied().into_iter().collect();
    let mut from = 0;
    while from + 1 < nodes.len() {
        let mut to = from + 1;
        while to + 1 < nodes.len() && is_straight(grid, nodes[from], nodes[to + 1], allowed) {
            to += 1;
        }
        kept.push(nodes[to]);
        from = to;
    }
    kept
}

/// Whether the straight line between two nodes of one level is over allowed floor, clear of walls.
fn is_straight(grid: &Grid, a: usize, b: usize, allowed: &dyn Fn(usize) -> bool) -> bool {
    let ((ax, ay), (bx, by)) = (at(grid, a), at(grid, b));
    let steps = (apart(grid, a, b) / (CELL / 2.0)).ceil().max(1.0);
    grid.is_clear_line((ax, ay), (bx, by), WALL - 0.01)
        && (0..=steps as u32).all(|k| {
            let share = f64::from(k) / steps;
            allowed(grid.nearest_node(ax + (bx - ax) * share, ay + (by - ay) * share))
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::FOOT;
    use crate::floor::small_house::{house, point};

    fn way(from: (f64, f64), to: (f64, f64)) -> Option<f64> {
        let world = house("");
        let node = |feet| {
            let (x, y) = point(feet).meters();
            world.grid.nearest_node(x, y)
        };
        let walked = |n: usize| world.grid.clear_at_node(n) >= WALL;
        shortest(&world.grid, node(from), node(to), &walked).map(|p| p.length / FOOT)
    }

    #[test]
    fn over_open_floor_a_way_is_straight() {
        let length = way((14.0, 3.0), (22.0, 16.0)).unwrap_or_default();
        assert!((length - 8.0_f64.hypot(13.0)).abs() < 0.3, "{length} ft");
    }

    #[test]
    fn a_way_goes_round_a_table() {
        // 8 ft by 30 in at (3, 6), walked past half a foot from its edges
        let length = way((7.0, 4.0), (7.0, 11.0)).unwrap_or_default();
        let round = 4.5_f64.hypot(1.5) + 3.5 + 4.5_f64.hypot(2.0);
        assert!((length - round).abs() < 0.5, "{length} ft, not {round}");
    }

    #[test]
    fn nobody_gets_where_nothing_leads() {
        assert_eq!(way((14.0, 3.0), (7.0, 7.0)), None);
    }
}
