//! Stretches of wall: where doors and windows can be.

use super::Xy;
use super::room::Room;
use super::said::Compass;
use crate::base::units::INCH;
use geo::Polygon;

/// A stretch of wall an opening can be in: the first room's face from `start` along `along`.
pub(super) struct Stretch {
    pub start: Xy,
    pub along: (f64, f64),
    pub through: (f64, f64),
    pub length: f64,
    pub depth: f64,
}

/// The widest gap between two rooms that still counts as one wall, in meters (double studs with a
/// pipe chase: common practice).
pub const THICKEST_WALL: f64 = 16.0 * INCH;

impl Stretch {
    /// The point so far along it, half way through the wall.
    pub(super) fn inside(&self, along: f64) -> Xy {
        let through = self.depth / 2.0;
        Xy {
            x: self.start.x + self.along.0 * along + self.through.0 * through,
            y: self.start.y + self.along.1 * along + self.through.1 * through,
        }
    }
}

/// The longest stretch of wall of `room` that faces `other` (or, for outside, that faces the named
/// side).
pub(super) fn stretch(
    room: &Room,
    other: Option<&Room>,
    wall: Option<Compass>,
    walls: f64,
) -> Option<Stretch> {
    let edges = edges(&room.outline).filter(|e| wall.is_none_or(|w| faces(e.through, w)));
    let candidates: Vec<Stretch> = match other {
        None => edges.filter(|_| wall.is_some()).map(|e| Stretch { depth: walls, ..e }).collect(),
        Some(other) => edges.flat_map(|e| edges_facing(&e, other)).collect(),
    };
    candidates.into_iter().reduce(|best, s| if s.length > best.length + 1e-9 { s } else { best })
}

fn faces(normal: (f64, f64), side: Compass) -> bool {
    let v = side.vector();
    normal.0 * v.0 + normal.1 * v.1 > 0.7072
}

/// Edges of a counter-clockwise outline with outward normals.
fn edges(outline: &Polygon<f64>) -> impl Iterator<Item = Stretch> + '_ {
    outline.exterior().lines().filter_map(|l| {
        let (dx, dy) = (l.end.x - l.start.x, l.end.y - l.start.y);
        let length = (dx * dx + dy * dy).sqrt();
        (length > 1e-6).then(|| Stretch {
            start: l.start,
            along: (dx / length, dy / length),
            through: (dy / length, -dx / length),
            length,
            depth: 0.0,
        })
    })
}

fn edges_facing(e: &Stretch, other: &Room) -> Vec<Stretch> {
    let (start, along, through, length) = (e.start, e.along, e.through, e.length);
    edges(&other.outline)
        .filter(|f| f.through.0 * through.0 + f.through.1 * through.1 < -0.9999)
        .filter_map(|f| {
            let offset = |p: Xy| {
                (
                    (p.x - start.x) * along.0 + (p.y - start.y) * along.1,
                    (p.x - start.x) * through.0 + (p.y - start.y) * through.1,
                )
            };
            let (from, depth) = offset(f.start);
            let (to, _) = offset(Xy {
                x: f.start.x + f.along.0 * f.length,
                y: f.start.y + f.along.1 * f.length,
            });
            let (low, high) = (from.min(to).max(0.0), from.max(to).min(length));
            let near = (-0.002..=THICKEST_WALL).contains(&depth) && high - low > 6.0 * INCH;
            let begin = Xy { x: start.x + along.0 * low, y: start.y + along.1 * low };
            near.then_some(Stretch {
                start: begin,
                along,
                through,
                length: high - low,
                depth: depth.max(0.0),
            })
        })
        .collect()
}

/// Where along the stretch the middle of what is so wide is; `None` if it does not fit.
pub(super) fn middle_on(wall: &Stretch, gap: Option<(Compass, f64)>, width: f64) -> Option<f64> {
    let middle = match gap {
        None => wall.length / 2.0,
        Some((end, gap)) => {
            let v = end.vector();
            let toward = wall.along.0 * v.0 + wall.along.1 * v.1;
            if toward > 0.0 { wall.length - gap - width / 2.0 } else { gap + width / 2.0 }
        }
    };
    let slack = 1e-6;
    (middle - width / 2.0 >= -slack && middle + width / 2.0 <= wall.length + slack)
        .then_some(middle)
}

/// The compass direction nearest a direction along a wall.
pub(super) fn end_of(along: (f64, f64)) -> Compass {
    if along.0.abs() > along.1.abs() {
        if along.0 > 0.0 { Compass::East } else { Compass::West }
    } else if along.1 > 0.0 {
        Compass::North
    } else {
        Compass::South
    }
}
