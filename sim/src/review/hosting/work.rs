//! Work zones of a kitchen: the triangle, landing space beside what is used, a stretch to prepare
//! on, and how many work without blocking one another.

use crate::base::units::{FOOT, INCH, TOLD};
use crate::floor::faults::Purpose;
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, Gap};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, PieceId, RoomId, Side};
use crate::review::places::triangle::{CORNERS, corners, first};
use crate::review::verdict::{AtLeast, AtMost, Verdict};
use crate::review::walking::gaps::{Before, For};
use crate::review::walking::ways::WIDEST;
use geo::{BooleanOps, Distance, Euclidean, Intersects, Length, Line, MultiLineString, Point};

/// The work triangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Triangle {
    /// Sink to range, range to fridge, fridge to sink, front to front, in meters.
    pub legs: [f64; 3],
    /// What a leg cuts by more than 12 in, if anything.
    pub cuts: Option<PieceId>,
    /// Its middle, in meters.
    pub at: (f64, f64),
}

/// Legs of 4 to 9 ft, 26 ft in all at most, and none cuts an island by more than 12 in (NKBA
/// guideline 3).
pub const LEG: [f64; 2] = [4.0 * FOOT, 9.0 * FOOT];
/// See [`LEG`].
pub const ALL_LEGS: f64 = 26.0 * FOOT;
/// See [`LEG`].
const CUTS: f64 = 12.0 * INCH;

impl Triangle {
    /// All legs together, in meters.
    pub fn around(&self) -> f64 {
        self.legs.iter().sum()
    }

    /// Against NKBA guideline 3.
    pub fn verdict(&self) -> Verdict {
        let each = self.legs.iter().all(|l| (LEG[0] - 0.01..=LEG[1] + 0.01).contains(l));
        let sum = Verdict::passes_if(self.around() <= ALL_LEGS + 0.01, Verdict::Fails);
        sum.and(Verdict::passes_if(each && self.cuts.is_none(), Verdict::Tight))
    }
}

/// Counter beside something that is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// The piece.
    pub piece: PieceId,
    /// Clear counter on its two sides, in meters, the shorter first.
    pub beside: [f64; 2],
    /// What is asked for, the shorter first.
    pub asked: [f64; 2],
    /// Whether a counter lies right across the aisle, which does for a fridge.
    pub across: bool,
}

impl Landing {
    /// Both sides as asked pass; one of them is tight.
    pub fn verdict(&self) -> Verdict {
        if self.across {
            return Verdict::Passes;
        }
        let [short, long] = [0, 1].map(|i| self.beside[i] >= self.asked[i] - INCH / 2.0);
        match (short, long) {
            (true, true) => Verdict::Passes,
            (_, true) | (true, _) if self.beside[1] > INCH => Verdict::Tight,
            _ => Verdict::Fails,
        }
    }

    /// What is asked for beside a kind: a fridge 15 in on its handle side or across, a range 12 and
    /// 15 in (NKBA), a sink 18 and 24 (NKBA, from memory).
    fn asked_of(kind: Kind) -> Option<[f64; 2]> {
        match kind {
            Kind::Fridge => Some([0.0, 15.0 * INCH]),
            Kind::Range => Some([12.0 * INCH, 15.0 * INCH]),
            Kind::Sink => Some([18.0 * INCH, 24.0 * INCH]),
            _ => None,
        }
    }
}

/// The narrowest floor before what is worked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aisle {
    /// Its width, in meters, [`WIDEST`] at most.
    pub clear: f64,
    /// Where, in meters.
    pub at: (f64, f64),
}

/// A kitchen at work.
#[derive(Clone, Debug, PartialEq)]
pub struct Kitchen {
    /// The room.
    pub room: RoomId,
    /// Of sink, range and fridge, those the plan does not draw.
    pub missing: Vec<Kind>,
    /// The triangle, if all three are there.
    pub triangle: Option<Triangle>,
    /// Landing space.
    pub landings: Vec<Landing>,
    /// The longest clear counter beside the sink, in meters.
    pub prepare: Option<f64>,
    /// The narrowest floor before what is worked at; none where nothing is drawn.
    pub aisle: Option<Aisle>,
    /// From the sink to the dishwasher, edge to edge, in meters.
    pub dishwasher: Option<f64>,
}

/// A stretch to prepare on, next to the sink: 36 in (NKBA).
pub const PREPARE: AtLeast = AtLeast(24.0 * INCH, 36.0 * INCH);
/// The dishwasher within 36 in of the sink (NKBA, from memory).
pub const DISHWASHER: AtMost = AtMost(36.0 * INCH, 60.0 * INCH);
/// Work aisles: several cooks 48 in (NKBA guideline 6).
pub const TWO_COOKS: f64 = 48.0 * INCH;
/// One cook works in 42 in (NKBA guideline 6), and in 36 with what opens in the way.
pub const ONE_COOK: AtLeast = AtLeast(36.0 * INCH, 42.0 * INCH);

impl Aisle {
    /// How many work without blocking one another.
    pub fn cooks(&self) -> u32 {
        match ONE_COOK.length(self.clear) {
            Verdict::Fails => 0,
            _ if self.clear < TWO_COOKS - TOLD => 1,
            _ => 2,
        }
    }

    /// One cook is enough.
    pub fn verdict(&self) -> Verdict {
        ONE_COOK.length(self.clear)
    }
}

impl Kitchen {
    /// Against NKBA.
    pub fn preparing(&self) -> Verdict {
        self.prepare.map_or(Verdict::Unknown, |p| PREPARE.length(p))
    }

    /// Against NKBA.
    pub fn washing(&self) -> Verdict {
        self.dishwasher.map_or(Verdict::Unknown, |d| DISHWASHER.of(d))
    }
}

/// Every kitchen; `befores` are the gaps that were judged.
pub fn kitchens(world: &World, gaps: &[Gap], befores: &[Before]) -> Vec<Kitchen> {
    let rooms = crate::review::places::triangle::kitchens(world).into_iter();
    rooms.map(|room| kitchen(world, room, gaps, befores)).collect()
}

fn kitchen(world: &World, room: RoomId, gaps: &[Gap], befores: &[Before]) -> Kitchen {
    let pieces: Vec<(PieceId, &Furniture)> =
        world.plan.furniture.iter_enumerated().filter(|(_, f)| f.room == room).collect();
    let landing = |&(piece, f): &(PieceId, &Furniture)| {
        let asked = Landing::asked_of(f.kind)?;
        let across = f.kind == Kind::Fridge && is_across(world, gaps, piece);
        Some(Landing { piece, beside: beside(f, &pieces), asked, across })
    };
    let landings: Vec<Landing> = pieces.iter().filter_map(landing).collect();
    let of_sink = |l: &&Landing| world.plan.furniture[l.piece].kind == Kind::Sink;
    let dishwasher = || {
        let sink = first(world, room, Kind::Sink)?;
        let machine = first(world, room, Kind::Dishwasher)?;
        Some(Euclidean.distance(&sink.outline, &machine.outline))
    };
    Kitchen {
        room,
        missing: CORNERS.into_iter().filter(|&k| first(world, room, k).is_none()).collect(),
        triangle: corners(world, room).map(|c| triangle(c, &pieces)),
        prepare: landings.iter().filter(of_sink).map(|l| l.beside[1]).reduce(f64::max),
        aisle: aisle(world, room, gaps, befores),
        dishwasher: dishwasher(),
        landings,
    }
}

fn triangle(c: [(f64, f64); 3], pieces: &[(PieceId, &Furniture)]) -> Triangle {
    let legs = [(c[0], c[1]), (c[1], c[2]), (c[2], c[0])];
    let mean = |of: fn(&(f64, f64)) -> f64| c.iter().map(of).sum::<f64>() / 3.0;
    let stands = |f: &Furniture| matches!(f.kind, Kind::Island | Kind::Table);
    let cut = |f: &Furniture| {
        let lines = legs.map(|(a, b)| Line::new(a, b).into()).to_vec();
        let inside = f.outline.clip(&MultiLineString(lines), false);
        inside.0.iter().map(|l| Euclidean.length(l)).fold(0.0, f64::max)
    };
    Triangle {
        legs: legs.map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1)),
        cuts: pieces.iter().find(|(_, f)| stands(f) && cut(f) > CUTS).map(|p| p.0),
        at: (mean(|p| p.0), mean(|p| p.1)),
    }
}

/// The narrowest floor before a side in use of what is worked at: to what faces it, or to the wall.
fn aisle(world: &World, room: RoomId, gaps: &[Gap], befores: &[Before]) -> Option<Aisle> {
    let worked = |p: PieceId| {
        let f = &world.plan.furniture[p];
        let kinds = [Kind::Counter, Kind::Range, Kind::Sink, Kind::Island];
        f.room == room && kinds.contains(&f.kind)
    };
    let between = befores.iter().filter(|b| b.of == For::Purpose(Purpose::Work));
    let between = between.map(|b| b.gap).filter(|g| worked(g.piece));
    let to_walls = gaps.iter().copied().filter(|g| {
        let f = &world.plan.furniture[g.piece];
        worked(g.piece) && f.sides.contains(&g.side) && g.to == Bound::Wall && g.clear > INCH
    });
    let all = between.chain(to_walls);
    let least = all.min_by(|a, b| a.clear.total_cmp(&b.clear))?;
    let half = least.clear / 2.0;
    Some(Aisle {
        clear: least.clear.min(WIDEST),
        at: (least.from.0 + least.out.0 * half, least.from.1 + least.out.1 * half),
    })
}

/// A counter across the aisle is no farther than this, in meters (48 in: NKBA).
const ACROSS: f64 = 48.0 * INCH;

/// Whether a counter lies across the aisle from the front of a piece.
fn is_across(world: &World, gaps: &[Gap], piece: PieceId) -> bool {
    gaps.iter().any(|g| {
        let Bound::Piece(other) = g.to else { return false };
        let kind = world.plan.furniture[other].kind;
        g.piece == piece
            && g.side == Side::Front
            && g.clear <= ACROSS + TOLD
            && matches!(kind, Kind::Counter | Kind::Island)
    })
}

/// A counter stands beside a piece if it is no farther from its side than this, in meters.
const BESIDE: f64 = 2.0 * INCH;

/// Clear counter on the two sides of a piece, in meters, the shorter first: counters and islands in
/// its own run, up to whatever else is set into them, ends them or turns a corner before them (NKBA
/// measures along the front).
fn beside(f: &Furniture, pieces: &[(PieceId, &Furniture)]) -> [f64; 2] {
    let along = (-f.facing.1, f.facing.0);
    let spans = |kinds: &[Kind]| {
        let of = pieces.iter().filter(|(_, c)| kinds.contains(&c.kind) && !std::ptr::eq(*c, f));
        of.filter_map(|(_, c)| span(f, c, along)).collect::<Vec<[f64; 2]>>()
    };
    let counters = spans(&[Kind::Counter, Kind::Island]);
    let mut taken = spans(&[Kind::Sink, Kind::Range, Kind::Fridge]);
    taken.extend(pieces.iter().filter_map(|(_, c)| around_corner(f, c, along)));
    let half = f.width / 2.0;
    let side = |sign: f64| {
        let turned = |s: &[f64; 2]| if sign > 0.0 { *s } else { [-s[1], -s[0]] };
        let stops = taken.iter().map(turned).map(|[from, _]| from).filter(|&from| from > 0.0);
        let stop = stops.fold(f64::INFINITY, f64::min);
        let (mut end, mut counter) = (half, 0.0);
        for [from, to] in sorted(counters.iter().map(turned)) {
            if from <= end + BESIDE && to > end {
                // a filler between is no counter
                counter += (to.min(stop) - from.max(end)).max(0.0);
                end = to;
            }
        }
        counter
    };
    let mut both = [side(1.0), side(-1.0)];
    both.sort_by(f64::total_cmp);
    both
}

fn sorted(spans: impl Iterator<Item = [f64; 2]>) -> Vec<[f64; 2]> {
    let mut spans: Vec<[f64; 2]> = spans.collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    spans
}

/// Fronts of one run differ by less, in meters.
const ONE_FRONT: f64 = 6.0 * INCH;

/// How far a piece reaches in a direction from the middle of another, from and to, in meters.
fn reach(f: &Furniture, c: &Furniture, v: (f64, f64)) -> [f64; 2] {
    use geo::CoordsIter;
    let at = c.outline.exterior().coords_iter();
    let at = at.map(|p| (p.x - f.center.x) * v.0 + (p.y - f.center.y) * v.1);
    at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], a| [low.min(a), high.max(a)])
}

/// What a piece takes along the run of another, counted from the middle of that one; `None` if it
/// stands in another run.
fn span(f: &Furniture, c: &Furniture, along: (f64, f64)) -> Option<[f64; 2]> {
    let deep = reach(f, c, f.facing);
    let shared = deep[1].min(f.depth / 2.0) - deep[0].max(-f.depth / 2.0);
    let holds = c.outline.intersects(&Point::new(f.center.x, f.center.y));
    let one_front = holds || deep[1] <= f.depth / 2.0 + ONE_FRONT;
    (one_front && shared > f.depth.min(c.depth) / 2.0).then(|| reach(f, c, along))
}

/// What a run that turns a corner takes of the front of another, counted along that from the middle
/// of a piece in it.
fn around_corner(f: &Furniture, c: &Furniture, along: (f64, f64)) -> Option<[f64; 2]> {
    let kinds = [Kind::Counter, Kind::Fridge, Kind::Cabinet];
    let deep = reach(f, c, f.facing);
    let front = f.depth / 2.0 + ONE_FRONT;
    let holds = c.outline.intersects(&Point::new(f.center.x, f.center.y));
    (kinds.contains(&c.kind) && !holds && deep[0] < front && deep[1] > front)
        .then(|| reach(f, c, along))
}
