//! Furniture as people draw it on plans: a sofa with its cushions, a table with its chairs, a
//! toilet, a range with four burners. Drawn in the piece's own frame, so that it turns with it.

use crate::pictures::draw::sheet::{At, Sheet};
use crate::pictures::draw::style::*;
use crate::pictures::house::Frame;
use geo::{BooleanOps, Contains, Intersects, Polygon};
use sim::base::units::INCH;
use sim::floor::world::seats_along;
use sim::house::plan::catalog::Kind;
use sim::house::plan::{Edge, Furniture, Plan, Side, Use};

/// Lines inside a piece.
const FINE: f64 = 0.9;
/// A diner's chair on a plan, in meters: as wide and as deep, and how much of it is under the table
/// (common practice).
const CHAIR: [f64; 3] = [17.0 * INCH, 15.0 * INCH, 5.0 * INCH];

/// Every piece with what shows its kind.
pub(crate) fn pieces(sheet: &mut Sheet, plan: &Plan, frame: &Frame, see_through: bool) {
    let opacity = if see_through { 0.55 } else { 1.0 };
    let paint = |sheet: &mut Sheet, ring: Vec<At>| {
        sheet.fill(ring.clone(), PIECE, opacity);
        sheet.line(ring, PIECE_LINE, 1.2);
    };
    for f in plan.furniture.iter().filter(|f| frame.shows(plan, f.room)) {
        for chair in chairs(plan, f) {
            paint(sheet, frame.ring(chair.exterior()));
        }
    }
    for f in plan.furniture.iter().filter(|f| frame.shows(plan, f.room)) {
        match f.kind {
            Kind::Plant | Kind::Stool => {
                paint(sheet, Own { f, frame }.oval((0.0, 0.0), (1.0, 1.0)))
            }
            _ => paint(sheet, frame.ring(f.outline.exterior())),
        }
        Own { f, frame }.details(sheet);
    }
}

/// Whether a piece shows by itself what it is.
pub(crate) fn speaks_for_itself(kind: Kind) -> bool {
    use Kind::*;
    matches!(
        kind,
        Sofa | Armchair
            | Chair
            | Stool
            | Bed
            | Range
            | Sink
            | Plant
            | Toilet
            | Basin
            | Piano
            | Ottoman
            | Bench
            | Hearth
    )
}

/// A piece in its own frame: x from -1 to 1 along its front, y from -1 at its front to 1 at its
/// back.
struct Own<'a> {
    f: &'a Furniture,
    frame: &'a Frame,
}

impl Own<'_> {
    fn at(&self, (x, y): (f64, f64)) -> At {
        let (fx, fy) = self.f.facing;
        let (along, back) = (x * self.f.width / 2.0, y * self.f.depth / 2.0);
        self.frame
            .at(self.f.center.x - fy * along - fx * back, self.f.center.y + fx * along - fy * back)
    }

    fn line(&self, sheet: &mut Sheet, points: &[(f64, f64)]) {
        sheet.line(points.iter().map(|p| self.at(*p)).collect(), PIECE_LINE, FINE);
    }

    /// A rectangle from one corner to the opposite one.
    fn rectangle(&self, sheet: &mut Sheet, (a, b): (f64, f64), (c, d): (f64, f64)) {
        self.line(sheet, &[(a, b), (c, b), (c, d), (a, d), (a, b)]);
    }

    /// An oval about a middle, with its half widths as shares of the piece's.
    fn oval(&self, (x, y): (f64, f64), (rx, ry): (f64, f64)) -> Vec<At> {
        let point = |k: u32| {
            let (s, c) = (f64::from(k) / 24.0 * std::f64::consts::TAU).sin_cos();
            self.at((x + rx * c, y + ry * s))
        };
        (0..=24).map(point).collect()
    }

    /// So many meters as a share of half the width, and of half the depth.
    fn shares(&self, meters: f64) -> (f64, f64) {
        ((meters / (self.f.width / 2.0)).min(0.8), (meters / (self.f.depth / 2.0)).min(0.8))
    }

    fn details(&self, sheet: &mut Sheet) {
        match self.f.kind {
            Kind::Sofa | Kind::Armchair => self.cushions(sheet),
            Kind::Chair => self.line(sheet, &[(-1.0, 0.6), (1.0, 0.6)]),
            Kind::Ottoman => self.rectangle(sheet, (-0.75, -0.75), (0.75, 0.75)),
            Kind::Bench => {
                [-0.33, 0.33].iter().for_each(|y| self.line(sheet, &[(-1.0, *y), (1.0, *y)]))
            }
            Kind::Hearth => self.line(sheet, &[(-0.6, 1.0), (-0.45, 0.1), (0.45, 0.1), (0.6, 1.0)]),
            Kind::Bed => self.bed(sheet),
            Kind::Range => {
                for (x, y) in [(-0.5, -0.45), (0.5, -0.45), (-0.5, 0.45), (0.5, 0.45)] {
                    sheet.line(
                        self.oval((x, y), (0.3, 0.3 * self.f.width / self.f.depth)),
                        PIECE_LINE,
                        FINE,
                    );
                }
            }
            Kind::Sink => self.rectangle(sheet, (-0.8, -0.7), (0.8, 0.6)),
            Kind::Basin => sheet.line(self.oval((0.0, -0.1), (0.68, 0.62)), PIECE_LINE, FINE),
            Kind::Toilet => {
                self.line(sheet, &[(-1.0, 0.45), (1.0, 0.45)]);
                sheet.line(self.oval((0.0, -0.28), (0.72, 0.66)), PIECE_LINE, FINE);
            }
            Kind::Piano => self.line(sheet, &[(-1.0, -0.4), (1.0, -0.4)]),
            Kind::Plant => [(0.0, 1.0), (0.7, 0.7), (1.0, 0.0), (0.7, -0.7)]
                .iter()
                .for_each(|(x, y)| self.line(sheet, &[(-x * 0.8, -y * 0.8), (x * 0.8, y * 0.8)])),
            _ => {}
        }
    }

    /// Back, arms and a cushion for each seat.
    fn cushions(&self, sheet: &mut Sheet) {
        let (arm, back) = self.shares(7.0 * INCH);
        let (left, right, rear) = (arm - 1.0, 1.0 - arm, 1.0 - back);
        self.line(sheet, &[(left, -1.0), (left, rear), (right, rear), (right, -1.0)]);
        let seats = self.f.seats.clamp(1, 8);
        for k in 1..seats {
            let x = left + (right - left) * f64::from(k) / f64::from(seats);
            self.line(sheet, &[(x, -1.0), (x, rear)]);
        }
    }

    /// Two pillows at the head, and the cover's fold.
    fn bed(&self, sheet: &mut Sheet) {
        self.rectangle(sheet, (-0.85, 0.55), (-0.08, 0.9));
        self.rectangle(sheet, (0.08, 0.55), (0.85, 0.9));
        self.line(sheet, &[(-1.0, 0.3), (1.0, 0.3)]);
    }
}

/// The chairs at a table or an island that is sat at: on its sides in turn, as many as it seats and
/// as there is floor for.
pub(crate) fn chairs(plan: &Plan, f: &Furniture) -> Vec<Polygon<f64>> {
    if !f.kind.sat_at() || f.seats == 0 {
        return vec![];
    }
    let others: Vec<&Furniture> =
        plan.furniture.iter().filter(|o| o.room == f.room && !std::ptr::eq(*o, f)).collect();
    let fits = |chair: &Polygon<f64>| {
        let clear = others.iter().all(|o| !o.outline.intersects(chair));
        plan.rooms[f.room].outline.contains(&chair.difference(&f.outline)) && clear
    };
    let sides = [Side::Front, Side::Back, Side::Ends].into_iter().flat_map(|side| f.edges_of(side));
    sides.flat_map(|edge| along(&edge)).filter(fits).take(f.seats as usize).collect()
}

fn along(edge: &Edge) -> Vec<Polygon<f64>> {
    let [wide, deep, under] = CHAIR;
    let n = seats_along(edge.length);
    let (out, side) = (edge.out, (-edge.out.1, edge.out.0));
    let at = |a: f64, d: f64| {
        (edge.middle.x + side.0 * a + out.0 * d, edge.middle.y + side.1 * a + out.1 * d)
    };
    let chair = |k: u32| {
        let middle = (f64::from(k) + 0.5) * edge.length / f64::from(n) - edge.length / 2.0;
        let (from, to, near, far) =
            (middle - wide / 2.0, middle + wide / 2.0, -under, deep - under);
        Polygon::new(vec![at(from, near), at(to, near), at(to, far), at(from, far)].into(), vec![])
    };
    (0..n).map(chair).collect()
}

/// Whether a piece stands where nobody looks: in a closet.
pub(crate) fn is_stowed(plan: &Plan, f: &Furniture) -> bool {
    plan.rooms[f.room].usage == Use::Closet
}
