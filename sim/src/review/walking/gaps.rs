//! The floor before furniture, held against what it is for.

use crate::base::units::INCH;
use crate::floor::faults::{Judged, ONE_RUN, Purpose, is_square, judged};
use crate::floor::widths::Widths;
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, Gap, bound_off};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, PieceId, Side, Use};
use crate::review::verdict::{AtLeast, Verdict};
use crate::review::walking::ways::WIDEST;
use geo::{Closest, ClosestPoint, Distance, Euclidean, Intersects, Point, Polygon};

/// What the floor before furniture is for, in a review.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// What `check` knows of.
    Purpose(Purpose),
    /// People get about between two seats.
    BetweenSeats,
    /// Somebody stands before a sink, a range, a fridge or a dishwasher.
    StandBefore,
}

/// Floor before furniture that is for something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Before {
    /// The gap.
    pub gap: Gap,
    /// What it is for.
    pub of: For,
    /// What it is held against, in meters.
    pub asked: AtLeast,
}

impl Before {
    /// Against what it is for.
    pub fn verdict(&self) -> Verdict {
        self.asked.length(self.gap.clear)
    }

    /// What a tape is held to, in meters: the gap, for a toilet from its middle.
    pub fn measured(&self) -> f64 {
        match self.of {
            For::Purpose(Purpose::BesideToilet) => {
                self.gap.clear + Purpose::MIDDLE_OF_TOILET - self.asked.0
            }
            _ => self.gap.clear,
        }
    }

    /// Its middle, in meters.
    pub fn at(&self) -> (f64, f64) {
        let half = self.gap.clear / 2.0;
        (self.gap.from.0 + self.gap.out.0 * half, self.gap.from.1 + self.gap.out.1 * half)
    }
}

/// Wider floor between seats is a room, in meters (60 in: HUD 1973 in Time-Saver Standards has
/// facing seats that far apart).
const FACING: f64 = 60.0 * INCH;
/// Between furniture where people get about: 24 in (HUD 1973 in Time-Saver Standards), never less
/// than 18 (designers).
const BETWEEN_SEATS: AtLeast = AtLeast(18.0 * INCH, 24.0 * INCH);

/// Everything that is for something, the narrowest against what it is for first.
pub fn befores(world: &World, floor: &Widths, gaps: &[Gap]) -> Vec<Before> {
    let known = judged(world, gaps).into_iter().map(|j| Before {
        gap: j.gap,
        of: For::Purpose(j.purpose),
        asked: asked(&j),
    });
    let mut all: Vec<Before> = known.filter(|b| b.gap.clear < WIDEST).collect();
    let seats = gaps.iter().filter(|gap| is_between_seats(world, gap));
    for gap in seats {
        let known = all.iter().any(|b| is_twin(&b.gap, gap));
        if !known {
            all.push(Before { gap: *gap, of: For::BetweenSeats, asked: BETWEEN_SEATS });
        }
    }
    all.extend(turned_aisles(world, &all));
    all.extend(shut_in(world, floor, &all));
    let room = |b: &Before| b.gap.clear / b.asked.1;
    all.sort_by(|a, b| room(a).total_cmp(&room(b)));
    all
}

/// Room to stand and work before one piece: 36 in, and no less than 30 (common practice).
const STAND: AtLeast = AtLeast(30.0 * INCH, 36.0 * INCH);

/// Pieces that somebody works at with little floor to stand on, told nowhere else. What is set into a
/// counter is worked at from the floor before that.
fn shut_in(world: &World, floor: &Widths, known: &[Before]) -> Vec<Before> {
    let plan = &world.plan;
    let kinds = [Kind::Range, Kind::Sink, Kind::Fridge, Kind::Dishwasher];
    let worked = plan
        .furniture
        .iter_enumerated()
        .filter(|(_, f)| kinds.contains(&f.kind) && plan.rooms[f.room].usage != Use::Outdoors);
    let alone = worked.filter(|(p, f)| {
        let mut others = plan.furniture.iter_enumerated().filter(|(o, _)| o != p);
        !others.any(|(_, o)| o.kind == Kind::Counter && o.outline.intersects(&f.outline))
    });
    let before = |(piece, f): (PieceId, &Furniture)| {
        let edge = f.edges_of(Side::Front).into_iter().next()?;
        let (ux, uy) = (-edge.out.1 * edge.length / 4.0, edge.out.0 * edge.length / 4.0);
        let m = edge.middle;
        // a corner that juts a little into one end shuts nobody in
        let rays = [-1.0, 0.0, 1.0].map(|k| {
            let from = (m.x + k * ux, m.y + k * uy);
            (floor.ahead(from, edge.out), from)
        });
        let (clear, from) = rays.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let end = (from.0 + edge.out.0 * clear, from.1 + edge.out.1 * clear);
        let to = bound_off(world, end, Some(piece));
        let gap = Gap { piece, side: Side::Front, out: edge.out, from, clear, to };
        let told = known.iter().any(|k| is_twin(&k.gap, &gap));
        (clear < STAND.1 && !told).then_some(Before { gap, of: For::StandBefore, asked: STAND })
    };
    alone.filter_map(before).collect()
}

/// A walkway and a work aisle: 36 in at least, good from 42 (NKBA guidelines 6 and 7; builders).
const AISLE: AtLeast = AtLeast(36.0 * INCH, 42.0 * INCH);

/// Aisles between pieces that are worked at and stand askew: nearest corner to nearest side.
fn turned_aisles(world: &World, known: &[Before]) -> Vec<Before> {
    let plan = &world.plan;
    let worked: Vec<PieceId> = plan
        .furniture
        .iter_enumerated()
        .filter(|(_, f)| f.kind.is_worked_at() && plan.rooms[f.room].usage != Use::Outdoors)
        .map(|(p, _)| p)
        .collect();
    let mut found = vec![];
    for (i, &a) in worked.iter().enumerate() {
        for &b in &worked[i + 1..] {
            let (one, other) = (&plan.furniture[a], &plan.furniture[b]);
            let told = known.iter().any(|k| {
                (k.gap.piece == a && k.gap.to == Bound::Piece(b))
                    || (k.gap.piece == b && k.gap.to == Bound::Piece(a))
            });
            if one.room != other.room || is_square(one, other) || told {
                continue;
            }
            let Some((from, to)) = nearest(&one.outline, &other.outline) else { continue };
            let clear = (to.0 - from.0).hypot(to.1 - from.1);
            if clear > 1e-6 && (clear >= ONE_RUN || !along_one_run(one, other)) && clear < WIDEST {
                let out = ((to.0 - from.0) / clear, (to.1 - from.1) / clear);
                let gap =
                    Gap { piece: a, side: Side::Front, out, from, clear, to: Bound::Piece(b) };
                found.push(Before { gap, of: For::Purpose(Purpose::Work), asked: AISLE });
            }
        }
    }
    found
}

/// Whether one of two pieces may stand in the other, as a sink does in a counter.
fn along_one_run(a: &Furniture, b: &Furniture) -> bool {
    a.kind.may_share_floor() || b.kind.may_share_floor()
}

/// The nearest points of two footprints that lie apart: a corner of one is always among them.
fn nearest(a: &Polygon<f64>, b: &Polygon<f64>) -> Option<((f64, f64), (f64, f64))> {
    let from_corners = |a: &Polygon<f64>, b: &Polygon<f64>| {
        let near = a.exterior().points().filter_map(|p| match b.exterior().closest_point(&p) {
            Closest::SinglePoint(q) | Closest::Intersection(q) => Some((p, q)),
            Closest::Indeterminate => None,
        });
        let far = |(p, q): &(Point<f64>, Point<f64>)| Euclidean.distance(p, q);
        near.min_by(|x, y| far(x).total_cmp(&far(y)))
    };
    let (one, other) = (from_corners(a, b)?, from_corners(b, a)?);
    let apart = |(p, q): (Point<f64>, Point<f64>)| Euclidean.distance(&p, &q);
    let (p, q) = if apart(other) < apart(one) { (other.1, other.0) } else { one };
    Some(((p.x(), p.y()), (q.x(), q.y())))
}

fn is_twin(a: &Gap, b: &Gap) -> bool {
    (a.piece == b.piece && a.to == b.to)
        || (a.to == Bound::Piece(b.piece) && b.to == Bound::Piece(a.piece))
}

fn is_between_seats(world: &World, gap: &Gap) -> bool {
    let is_seat = |kind: Kind| {
        matches!(kind, Kind::Sofa | Kind::Armchair | Kind::Bench | Kind::Hearth | Kind::Ottoman)
    };
    let Bound::Piece(other) = gap.to else { return false };
    let (a, b) = (&world.plan.furniture[gap.piece], &world.plan.furniture[other]);
    let touch = 2.0 * INCH;
    is_seat(a.kind) && is_seat(b.kind) && (touch..FACING).contains(&gap.clear)
}

/// Below which width floor fails its purpose, and from which it passes.
///
/// Walkways and work aisles: 36 in, 42 (NKBA guidelines 6 and 7; two cooks like 48). Past seated
/// diners: edge past in 36, walk past in 44; a chair alone 32 (guideline 8). Knees 12 to 14 in
/// (home-design course; designers). Toilet: 21 in code (IRC R307.1), 30 NKBA; beside it 15 in code,
/// 18 NKBA, from its middle.
fn asked(j: &Judged) -> AtLeast {
    let least = j.least;
    match j.purpose {
        Purpose::Work | Purpose::Walkway => AISLE,
        Purpose::PastDiners => AtLeast(36.0 * INCH, least),
        Purpose::Knees => AtLeast(least, 14.0 * INCH),
        Purpose::Toilet => AtLeast(least, 30.0 * INCH),
        Purpose::BesideToilet => AtLeast(least, least + 3.0 * INCH),
        Purpose::Chair | Purpose::ApplianceDoor => AtLeast(least, least),
    }
}
