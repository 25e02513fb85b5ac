//! Bodies by squares of floor, so that who looks for others looks at few.

use super::{Body, BodyId, Doing, Reach};
use crate::base::units::{Point, Tick};
use crate::floor::grid::Grid;

/// Edge of a square, in units (about 4 m).
const EDGE: i32 = 64 * 60;

/// What is asked of everybody in a square, kept together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    to: Point,
    end: Tick,
    id: u32,
    walks: bool,
}

impl Entry {
    pub(super) fn of(id: BodyId, body: &Body) -> Entry {
        Entry { to: body.to, end: body.end, id: id as u32, walks: body.doing() == Doing::Walk }
    }
}

/// The squares, each with the bodies whose step ends in it, in no order.
pub(super) struct Buckets {
    squares: Vec<Vec<Entry>>,
    across: usize,
    up: usize,
    origin: Point,
}

impl Buckets {
    pub(super) fn new(grid: &Grid) -> Buckets {
        let (width, height) = (grid.width as i32 * grid.pitch, grid.height as i32 * grid.pitch);
        let (across, up) = ((width / EDGE + 2) as usize, (height / EDGE + 2) as usize);
        Buckets { squares: vec![vec![]; across * up], across, up, origin: grid.origin }
    }

    pub(super) fn enter(&mut self, entry: Entry) {
        let square = self.square(entry.to);
        self.squares[square].push(entry);
    }

    pub(super) fn leave(&mut self, id: BodyId, at: Point) {
        let square = self.square(at);
        self.squares[square].retain(|b| b.id as usize != id);
    }

    /// Somebody whose step ended at `from` before.
    pub(super) fn moved(&mut self, from: Point, entry: Entry) {
        let (old, new) = (self.square(from), self.square(entry.to));
        if old != new {
            self.leave(entry.id as usize, from);
            self.enter(entry);
        } else if let Some(b) = self.squares[old].iter_mut().find(|b| b.id == entry.id) {
            *b = entry;
        }
    }

    /// Calls `see` for everybody whose step ends within reach of a point.
    pub(super) fn near(&self, at: Point, reach: Reach, mut see: impl FnMut(BodyId)) {
        let most = reach.walking;
        let (west, east) = (self.column(at.x - most), self.column(at.x + most));
        let (south, north) = (self.row(at.y - most), self.row(at.y + most));
        for row in south..=north {
            for square in &self.squares[row * self.across + west..=row * self.across + east] {
                for other in square {
                    let walks = other.walks || reach.now < other.end;
                    let most = if walks { reach.walking } else { reach.standing };
                    let (dx, dy) = (other.to.x - at.x, other.to.y - at.y);
                    if dx.abs() <= most && dy.abs() <= most {
                        see(other.id as usize);
                    }
                }
            }
        }
    }

    fn square(&self, at: Point) -> usize {
        self.row(at.y) * self.across + self.column(at.x)
    }

    fn column(&self, x: i32) -> usize {
        (((x - self.origin.x).max(0) / EDGE) as usize).min(self.across - 1)
    }

    fn row(&self, y: i32) -> usize {
        (((y - self.origin.y).max(0) / EDGE) as usize).min(self.up - 1)
    }
}
