//! What a designer would point out in a plan before any guest comes: gaps too narrow for what they
//! are for, ways that narrow, doors that hit something, seats without floor. Each comes with its
//! measures; sentences are written elsewhere. Nothing is simulated.

mod swings;
mod gaps;
mod ways;
mod measures;

pub use gaps::{Judged, ONE_RUN, is_square, judged};
pub use measures::{Disagreement, disagreements};

use crate::base::units::{INCH, TOLD};
use crate::floor::world::aisles::{Bound, Gap};
use crate::floor::world::{SpotId, World};
use crate::house::plan::{Furniture, OpeningId, PieceId, Plan, RoomId};

/// What a gap is for, with the least width it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Purpose {
    /// One cook works between two runs of a kitchen: 42 in (NKBA guideline 6).
    Work,
    /// Guests walk past seated diners, to a piece that is used: 44 in (NKBA guideline 8).
    PastDiners,
    /// Diners slide back their chairs, with nobody behind: 32 in (NKBA guideline 8).
    Chair,
    /// A walkway: 36 in (NKBA guideline 7).
    Walkway,
    /// Knees between a sofa and a low table: 12 in (home-design course; designers like 14 to 18).
    Knees,
    /// The floor before a toilet: 21 in (IRC R307.1).
    Toilet,
    /// From the middle of a toilet to what stands beside it: 15 in (IRC R307.1, from memory).
    BesideToilet,
    /// The door of an appliance, opened: as deep as it is wide. The depth is the piece's own.
    ApplianceDoor,
}

impl Purpose {
    /// The least width of a walkway, in meters.
    pub const WALKWAY: f64 = 36.0 * INCH;

    /// From the middle of a toilet to what stands beside it, in meters.
    pub const MIDDLE_OF_TOILET: f64 = 15.0 * INCH;

    /// The least clear width it takes, in meters; for the door of an appliance that of its kind.
    fn least(self, piece: &Furniture) -> f64 {
        match self {
            Purpose::Work => 42.0 * INCH,
            Purpose::PastDiners => 44.0 * INCH,
            Purpose::Chair => 32.0 * INCH,
            Purpose::Walkway => Purpose::WALKWAY,
            Purpose::Knees => 12.0 * INCH,
            Purpose::Toilet => 21.0 * INCH,
            Purpose::BesideToilet => (Purpose::MIDDLE_OF_TOILET - piece.width / 2.0).max(0.0),
            Purpose::ApplianceDoor => swings::appliance_door(piece).unwrap_or(0.0),
        }
    }

    /// Where the width comes from.
    pub fn source(self) -> &'static str {
        match self {
            Purpose::Work => "NKBA guideline 6",
            Purpose::PastDiners | Purpose::Chair => "NKBA guideline 8",
            Purpose::Walkway => "NKBA guideline 7",
            Purpose::Knees => "home-design course; designers like 14 to 18 in",
            Purpose::Toilet | Purpose::BesideToilet => "IRC R307.1",
            Purpose::ApplianceDoor => "NKBA guideline 2",
        }
    }
}

/// What a leaf hits as it swings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hit {
    /// The leaf of another opening.
    Leaf(OpeningId),
    /// A piece.
    Piece(PieceId),
    /// Who sits at a piece.
    Seat(PieceId),
    /// The door of an appliance.
    Appliance(PieceId),
}

/// One thing worth changing. Lengths in meters.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// The leaf of an opening hits something: so far their floors overlap.
    Swing {
        /// The opening.
        opening: OpeningId,
        /// What it hits.
        hits: Hit,
        /// Overlap.
        by: f64,
        /// Whether the file says how the leaf swings.
        said: bool,
    },
    /// A piece stands before an opening: so much of its clear width is left free.
    Blocked {
        /// The opening.
        opening: OpeningId,
        /// The piece.
        piece: PieceId,
        /// Floor between the wall and the piece.
        before: f64,
        /// Widest free part of the clear width.
        free: f64,
    },
    /// The widest way to somewhere narrows.
    Way {
        /// Where it leads.
        to: Goal,
        /// What it narrows between.
        between: [Bound; 2],
        /// The width there.
        clear: f64,
        /// The width of a walkway.
        least: f64,
    },
    /// The gap before a piece is too narrow for what it is for.
    Gap {
        /// The gap.
        gap: Gap,
        /// What it is for.
        purpose: Purpose,
        /// The least width for that.
        least: f64,
    },
    /// A piece has fewer seats with floor to reach them than it should.
    Seats {
        /// The piece.
        piece: PieceId,
        /// Seats with floor.
        have: usize,
        /// Seats given up to guests at a spot: how many, and the spot.
        given_up: Option<(usize, SpotId)>,
    },
}

/// Where a way leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Through an opening.
    Opening(OpeningId),
    /// To a spot.
    Spot(SpotId),
}

impl Fault {
    /// Metres missing, as far as that can be told.
    pub fn missing(&self) -> Option<f64> {
        match self {
            Fault::Swing { by, .. } => Some(*by),
            Fault::Way { clear, least, .. } => Some(least - clear),
            Fault::Gap { gap, least, .. } => Some(least - gap.clear),
            Fault::Blocked { .. } | Fault::Seats { .. } => None,
        }
    }

    /// What comes first: doors that cannot open, then ways, then gaps, then seats; each by what is
    /// missing.
    fn rank(&self) -> u8 {
        match self {
            Fault::Blocked { .. } => 0,
            Fault::Swing { .. } => 1,
            Fault::Way { .. } => 2,
            Fault::Gap { .. } => 3,
            Fault::Seats { .. } => 4,
        }
    }
}

/// Everything worth changing, the worst first.
pub fn faults(world: &World, all_gaps: &[Gap]) -> Vec<Fault> {
    let gaps = gaps::faults(world, all_gaps);
    let doors = swings::faults(world);
    let ways = ways::faults(world)
        .into_iter()
        .filter(|w| !gaps.iter().chain(&doors).any(|told| is_same(w, told)));
    let mut found: Vec<Fault> = ways.collect();
    found.extend(gaps.iter().filter(|g| !doors.iter().any(|told| is_same(g, told))).cloned());
    found.extend(doors);
    found.extend(world.plan.furniture.keys().filter_map(|piece| seats_short(world, piece)));
    found.sort_by(|a, b| {
        a.rank()
            .cmp(&b.rank())
            .then(b.missing().unwrap_or(0.0).total_cmp(&a.missing().unwrap_or(0.0)))
    });
    found
}

/// Whether two faults are of the same two things: a way or a gap of one already told as a gap, or
/// at a door.
fn is_same(fault: &Fault, told: &Fault) -> bool {
    let between = |a: [Bound; 2], b: [Bound; 2]| {
        a.iter().all(|x| b.contains(x)) && b.iter().all(|x| a.contains(x))
    };
    match (ends(fault), told) {
        (Some(ends), Fault::Gap { gap, .. }) => between(ends, [Bound::Piece(gap.piece), gap.to]),
        (Some(ends), Fault::Swing { opening, hits: Hit::Piece(piece), .. }) => {
            between(ends, [Bound::Piece(*piece), Bound::Leaf(*opening)])
        }
        // what stands before an opening has to move, and then narrows no way beside it
        (Some(ends), Fault::Blocked { piece, .. }) => {
            matches!(fault, Fault::Way { .. }) && ends.contains(&Bound::Piece(*piece))
        }
        _ => false,
    }
}

/// What a way or a gap narrows between.
fn ends(fault: &Fault) -> Option<[Bound; 2]> {
    match fault {
        Fault::Way { between, .. } => Some(*between),
        Fault::Gap { gap, .. } => Some([Bound::Piece(gap.piece), gap.to]),
        _ => None,
    }
}

fn seats_short(world: &World, piece: PieceId) -> Option<Fault> {
    let have = world.seats.iter().filter(|s| s.piece == piece).count();
    let given_up: Vec<SpotId> =
        world.seats_given_up.iter().filter(|g| g.0 == piece).map(|g| g.1).collect();
    let short = have < world.plan.furniture[piece].seats as usize;
    short.then(|| Fault::Seats {
        piece,
        have,
        given_up: given_up.first().map(|spot| (given_up.len(), *spot)),
    })
}

/// Clear width a wheelchair takes, in meters (32 in: ADA 404.2.3).
pub const WHEELCHAIR: f64 = 32.0 * INCH;

/// Doors that are too narrow for a wheelchair, on ways guests use.
pub fn narrow_for_wheelchairs(plan: &Plan) -> Vec<OpeningId> {
    let is_closet = |r: RoomId| plan.rooms[r].usage == crate::house::plan::Use::Closet;
    let ways = plan.openings.iter_enumerated().filter(|(_, o)| !o.rooms().any(is_closet));
    ways.filter(|(_, o)| o.clear < WHEELCHAIR - TOLD).map(|(i, _)| i).collect()
}
