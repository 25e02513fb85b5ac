//! Where a piece could stand: against walls and free, clear of openings, of other furniture and of
//! the floor that is needed before both.

use crate::base::units::INCH;
use crate::floor::world::World;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Edge, Opening, PieceId, Plan, RoomId, Style, Xy};
use geo::{Area, BooleanOps, Contains, Polygon, Rect};

/// Clear floor kept before a side in use, in meters (36 in walkway: NKBA guideline 7).
pub const WALKWAY: f64 = 36.0 * INCH;
/// Least floor kept before other pieces and openings, in meters (30 in to stand up or pass: common
/// practice).
pub const KEPT: f64 = 30.0 * INCH;
/// A piece may stand so far into a wide opening's way if a walkway is left, in meters.
const ASIDE: f64 = 12.0 * INCH;
/// Places along a wall are looked at this far apart, and on open floor twice as far, in meters.
const STEP: f64 = 12.0 * INCH;
/// An overlap of less than this is none, in m2.
pub const SLIVER: f64 = 1e-3;
/// A piece stands off a wall that is not quite there by no more than this, in meters.
const HAIR: f64 = 1e-4;

/// What is to be put somewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Along its front, in meters.
    pub width: f64,
    /// Front to back, in meters.
    pub depth: f64,
    /// The piece of the plan it is, if it is moved and not new.
    pub moved: Option<PieceId>,
}

/// How a piece stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Against {
    /// Its back to the wall on this side of the room.
    North,
    /// See `North`.
    East,
    /// See `North`.
    South,
    /// See `North`.
    West,
    /// Free, with both long sides in use, its front to the south.
    FreeSouth,
    /// Free, its front to the east.
    FreeEast,
}

impl Against {
    /// Degrees counter-clockwise from facing south.
    pub fn turn(self) -> u32 {
        match self {
            Against::North | Against::FreeSouth => 0,
            Against::West | Against::FreeEast => 90,
            Against::South => 180,
            Against::East => 270,
        }
    }

    /// Whether both long sides are used.
    pub fn is_free(self) -> bool {
        matches!(self, Against::FreeSouth | Against::FreeEast)
    }

    /// Unit vector its front faces.
    fn facing(self) -> (f64, f64) {
        match self.turn() {
            0 => (0.0, -1.0),
            90 => (1.0, 0.0),
            180 => (0.0, 1.0),
            _ => (-1.0, 0.0),
        }
    }
}

/// A place for a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// The room.
    pub room: RoomId,
    /// How it stands.
    pub against: Against,
    /// The footprint.
    pub footprint: Rect<f64>,
}

impl Site {
    /// South-west corner counted from that of its room, in meters.
    pub fn corner(&self, plan: &Plan) -> (f64, f64) {
        let [w, s, ..] = plan.rooms[self.room].bounds();
        (self.footprint.min().x - w, self.footprint.min().y - s)
    }

    /// Middle of the footprint.
    pub fn middle(&self) -> Xy {
        self.footprint.center()
    }
}

/// Every place in some rooms where a piece can stand with floor before the sides in use, walls
/// first, room by room.
pub fn sites(world: &World, piece: &Piece, rooms: &[RoomId]) -> Vec<Site> {
    let plan = &world.plan;
    let tried = rooms
        .iter()
        .flat_map(|&room| walls(plan, room, piece).into_iter().chain(free(plan, room, piece)));
    tried.filter(|site| is_feasible(plan, piece, site)).collect()
}

/// Footprints with their back to a wall, from one end of it to the other.
fn walls(plan: &Plan, room: RoomId, piece: &Piece) -> Vec<Site> {
    let outline = &plan.rooms[room].outline;
    let mut found = vec![];
    for line in outline.exterior().lines() {
        let (dx, dy) = (line.end.x - line.start.x, line.end.y - line.start.y);
        // counter-clockwise: the floor is on the left
        let against = match (dx.abs() < HAIR, dy.abs() < HAIR) {
            (false, true) if dx > 0.0 => Against::South,
            (false, true) => Against::North,
            (true, false) if dy > 0.0 => Against::East,
            (true, false) => Against::West,
            _ => continue,
        };
        let (low, high) = if dx.abs() < HAIR {
            sorted(line.start.y, line.end.y)
        } else {
            sorted(line.start.x, line.end.x)
        };
        for along in steps(low, high - piece.width, STEP) {
            let (w, d) = (piece.width, piece.depth);
            let (x, y) = (line.start.x, line.start.y);
            let footprint = match against {
                Against::South => rect(along, y, w, d),
                Against::North => rect(along, y - d, w, d),
                Against::East => rect(x - d, along, d, w),
                _ => rect(x, along, d, w),
            };
            found.push(Site { room, against, footprint });
        }
    }
    found
}

/// Footprints on open floor.
fn free(plan: &Plan, room: RoomId, piece: &Piece) -> Vec<Site> {
    let [west, south, east, north] = plan.rooms[room].bounds();
    let mut found = vec![];
    for (against, w, d) in [
        (Against::FreeSouth, piece.width, piece.depth),
        (Against::FreeEast, piece.depth, piece.width),
    ] {
        for y in steps(south, north - d, 2.0 * STEP) {
            for x in steps(west, east - w, 2.0 * STEP) {
                found.push(Site { room, against, footprint: rect(x, y, w, d) });
            }
        }
    }
    found
}

fn sorted(a: f64, b: f64) -> (f64, f64) {
    (a.min(b), a.max(b))
}

/// From one end in equal steps, and the other end itself.
fn steps(low: f64, high: f64, step: f64) -> Vec<f64> {
    if high < low - HAIR {
        return vec![];
    }
    let mut all: Vec<f64> =
        (0..).map(|k| low + f64::from(k) * step).take_while(|at| *at < high - step / 4.0).collect();
    all.push(high);
    all
}

fn rect(x: f64, y: f64, w: f64, d: f64) -> Rect<f64> {
    Rect::new(Xy { x, y }, Xy { x: x + w, y: y + d })
}

fn is_feasible(plan: &Plan, piece: &Piece, site: &Site) -> bool {
    let outline = &plan.rooms[site.room].outline;
    let shrunk = rect(
        site.footprint.min().x + HAIR,
        site.footprint.min().y + HAIR,
        site.footprint.width() - 2.0 * HAIR,
        site.footprint.height() - 2.0 * HAIR,
    );
    let body = shrunk.to_polygon();
    if !outline.contains(&body) {
        return false;
    }
    let others = || {
        plan.furniture
            .iter_enumerated()
            .filter(|(i, f)| f.room == site.room && Some(*i) != piece.moved)
            .map(|(_, f)| f)
    };
    let clear = |zone: &Polygon<f64>| others().all(|f| !meets(&f.outline, zone));
    let ways = plan.openings.iter().filter(|o| o.joins(site.room));
    let off_ways = ways.into_iter().all(|o| !meets(&before_opening(o), &body));
    let kept = others()
        .filter(|f| f.kind != Kind::Ottoman)
        .flat_map(|f| f.edges())
        .all(|e| !meets(&e.floor_before(KEPT), &body));
    let sides = used(site);
    off_ways
        && clear(&body)
        && kept
        && sides.iter().all(|e| {
            let zone = e.floor_before(WALKWAY);
            outline.contains(&inner(&zone)) && clear(&zone)
        })
}

/// The sides in use of a site.
fn used(site: &Site) -> Vec<Edge> {
    let c = site.middle();
    let front = site.against.facing();
    let sign: &[f64] = if site.against.is_free() { &[1.0, -1.0] } else { &[1.0] };
    let edge = |s: &f64| {
        let out = (front.0 * s, front.1 * s);
        let (reach, length) = if out.0 == 0.0 {
            (site.footprint.height() / 2.0, site.footprint.width())
        } else {
            (site.footprint.width() / 2.0, site.footprint.height())
        };
        Edge { out, middle: Xy { x: c.x + out.0 * reach, y: c.y + out.1 * reach }, length }
    };
    sign.iter().map(edge).collect()
}

/// A zone without its very edge, which may lie in a wall.
pub fn inner(zone: &Polygon<f64>) -> Polygon<f64> {
    use geo::Scale;
    zone.scale(1.0 - 1e-3)
}

/// The floor an opening needs on either side: before a cased one floor to pass, all but a little of
/// its width; before panels and their glass a walkway.
pub fn before_opening(o: &Opening) -> Polygon<f64> {
    match o.style {
        Style::Cased => {
            o.box_of(((o.clear - 2.0 * ASIDE).max(o.clear.min(WALKWAY))).max(0.0), KEPT)
        }
        _ => o.frame_box(WALKWAY),
    }
}

/// Overlap of more than a sliver.
pub fn meets(a: &Polygon<f64>, b: &Polygon<f64>) -> bool {
    a.intersection(b).unsigned_area() > SLIVER
}

/// Sites farther apart than this stand for each other only if few may be kept, in meters (10 ft):
/// then whatever wall or room they are in.
const FAR: f64 = 120.0 * INCH;

/// Keeps at most so many sites (at least 1), spread as evenly as can be: one that stands within a
/// distance of one kept before is left out, and the distance grows until few enough are left.
pub fn thinned(sites: Vec<Site>, most: usize) -> Vec<Site> {
    let mut apart = 0.0;
    loop {
        let kept = sites.iter().fold(vec![], |mut kept: Vec<Site>, s| {
            let same = |k: &Site| apart > FAR || (k.room == s.room && k.against == s.against);
            let near = |k: &Site| {
                same(k) && (k.middle().x - s.middle().x).hypot(k.middle().y - s.middle().y) < apart
            };
            if !kept.iter().any(near) {
                kept.push(*s);
            }
            kept
        });
        if kept.len() <= most.max(1) {
            return kept;
        }
        apart += STEP;
    }
}
