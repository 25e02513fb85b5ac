//! Names on a house. Every name has floor of its own, clear of walls, furniture and other names: in
//! its piece or beside it, in its room, or outside the house with a line to its room. Only what
//! finds no such place is a number, told below.

mod boxes;
mod pieces;
mod rooms;

pub(crate) use boxes::{Box4, boxed};

use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, circle, text_width};
use crate::pictures::draw::style::*;
use crate::pictures::house::Frame;
use crate::pictures::house::levels;
use crate::pictures::house::pieces::chairs;
use boxes::{along, around, box_of, grown, overlap};
use geo::{Contains, Polygon, Rect};
use plotters::style::RGBColor;
use sim::base::ids::TiVec;
use sim::house::plan::{Furniture, Opening, PieceId, Plan, RoomId};

/// Names keep this far from anything, in picture units.
const OFF: f64 = 2.5;
/// Height of letters with what hangs below the line, as a share of the size of a text.
const LETTERS: f64 = 0.86;
/// A name beside its piece is so far from it.
const BESIDE: f64 = 3.0;
/// A name outside the house is at most so far from its room.
const FARTHEST: f64 = 150.0;
/// Tries of a place across a room, and up it.
const STEPS: u32 = 32;

/// Names being placed on a house.
pub(crate) struct Labels<'a> {
    plan: &'a Plan,
    frame: &'a Frame,
    /// What names keep off: other names, marks, heads of arrows.
    taken: Vec<Box4>,
    /// Pieces and their chairs.
    pieces: TiVec<PieceId, Vec<Box4>>,
    /// Floor that leaves of doors sweep.
    swept: Vec<Box4>,
    placed: Vec<Placed>,
    numbered: Vec<String>,
}

/// A name with its place.
struct Placed {
    lines: Lines,
    at: At,
    color: RGBColor,
    /// A line to what it names.
    leader: Option<[At; 2]>,
}

/// How a name is written.
#[derive(Clone)]
struct Lines {
    text: Vec<String>,
    size: f64,
    upright: bool,
}

impl Lines {
    fn one(name: &str, size: f64, upright: bool) -> Lines {
        Lines { text: vec![name.to_string()], size, upright }
    }

    /// Width and height.
    fn box_size(&self) -> (f64, f64) {
        let wide = self.text.iter().map(|l| text_width(l, self.size)).fold(0.0, f64::max);
        let high = self.size * (LETTERS + 1.0 * (self.text.len() as f64 - 1.0));
        if self.upright { (high, wide) } else { (wide, high) }
    }

    fn write(&self, sheet: &mut Sheet, at: At, color: RGBColor) {
        let ink = Ink { size: self.size, anchor: Anchor::Middle, color, bold: false, halo: true };
        match (self.upright, self.text.as_slice()) {
            (true, [name, ..]) => sheet.write_up(at, name, self.size, color),
            (_, text) => {
                let first = at.1 - self.size * 0.5 * (text.len() as f64 - 1.0);
                text.iter().enumerate().for_each(|(k, line)| {
                    sheet.write((at.0, first + self.size * k as f64), line, ink)
                });
            }
        }
    }
}

/// The ways to write a name, best first: across, in two lines, upright; larger before smaller.
fn ways(name: &str, sizes: &[f64]) -> Vec<Lines> {
    let across = sizes.iter().map(|&size| Lines::one(name, size, false));
    let in_two = name.split_once(' ').map(|(a, b)| {
        sizes.iter().map(move |&size| Lines {
            text: vec![a.into(), b.into()],
            size,
            upright: false,
        })
    });
    let upright = sizes.iter().map(|&size| Lines::one(name, size, true));
    across.chain(in_two.into_iter().flatten()).chain(upright).collect()
}

impl<'a> Labels<'a> {
    /// None yet; they keep off the boxes taken.
    pub(crate) fn new(plan: &'a Plan, frame: &'a Frame, mut taken: Vec<Box4>) -> Labels<'a> {
        taken.extend(levels::heads(plan, frame).into_iter().chain(levels::named(plan, frame)));
        let boxes = |f: &Furniture| {
            std::iter::once(box_of(&f.outline, frame))
                .chain(chairs(plan, f).iter().map(|c| box_of(c, frame)))
                .collect()
        };
        let leaves = plan.openings.iter().flat_map(|o| &o.leaves);
        let swept = leaves
            .map(|l| around(&[frame.xy(l.hinge), frame.xy(l.shut), frame.xy(l.open)]))
            .collect();
        Labels {
            plan,
            frame,
            taken,
            pieces: plan.furniture.iter().map(boxes).collect(),
            swept,
            placed: vec![],
            numbered: vec![],
        }
    }

    /// A figure beside an opening: before its middle or along it, on the side of the larger room
    /// first; nothing if neither has room.
    pub(crate) fn beside_opening(&mut self, o: &Opening, text: &str) {
        let area = |r: Option<RoomId>| r.map_or(f64::INFINITY, |r| self.plan.rooms[r].area());
        let larger = if area(o.outer) > area(Some(o.inner)) { 1.0 } else { -1.0 };
        let middle = self.frame.xy(o.center);
        let lines = Lines::one(text, TINY, false);
        let (w, h) = lines.box_size();
        let vertical = o.along.0.abs() < 0.5;
        let (out, half) = if vertical { (w / 2.0, h) } else { (h / 2.0, w) };
        let off = self.frame.long(o.depth / 2.0) + out + 2.0 * OFF;
        let slack = (self.frame.long(o.clear) - half).max(0.0) / 2.0;
        let tries = [larger, -larger]
            .into_iter()
            .flat_map(|sign| [0.0, -1.0, 1.0].map(|k| (sign, k * slack)));
        let at = |(sign, aside): (f64, f64)| {
            (
                middle.0 + o.through.0 * off * sign + o.along.0 * aside,
                middle.1 - o.through.1 * off * sign - o.along.1 * aside,
            )
        };
        let free = |at: &At| {
            let b = boxed(*at, (w, h), OFF);
            let inside = o.rooms().any(|r| self.is_in_room(r, &b));
            let on_floor = inside
                || (o.to_outside()
                    && self
                        .plan
                        .rooms
                        .iter()
                        .all(|r| !overlap(&grown(&box_of(&r.outline, self.frame), 3.0), &b)));
            self.is_clear(&b) && on_floor
        };
        if let Some(at) = tries.map(at).find(free) {
            self.put(lines, at, MARK, None);
        }
    }

    /// The figure of a dimension string, beside its middle; whether there is room for string and
    /// figure.
    pub(crate) fn string_beside(
        &mut self,
        room: RoomId,
        ends: [At; 2],
        middle: At,
        text: &str,
    ) -> bool {
        let lines = Lines::one(text, TINY, false);
        let (w, h) = lines.box_size();
        let across = (ends[0].0 - ends[1].0).abs() < (ends[0].1 - ends[1].1).abs();
        let tries = [1.0, -1.0].map(|sign| {
            if across {
                (middle.0 + sign * (w / 2.0 + 2.0 * OFF), middle.1)
            } else {
                (middle.0, middle.1 + sign * (h / 2.0 + 2.0 * OFF))
            }
        });
        let free = |at: &At| {
            let b = boxed(*at, (w, h), OFF);
            self.is_clear(&b) && self.is_in_room(room, &b)
        };
        let string = along(ends[0], ends[1]);
        let found = tries.into_iter().find(free).filter(|_| string.iter().all(|p| self.is_free(p)));
        if let Some(at) = found {
            self.put(lines, at, MARK, None);
            self.taken.extend(string);
        }
        found.is_some()
    }

    /// Whether a box is clear of everything taken.
    pub(crate) fn is_free(&self, b: &Box4) -> bool {
        self.taken.iter().all(|t| !overlap(t, b))
    }

    /// Takes a box.
    pub(crate) fn take(&mut self, b: Box4) {
        self.taken.push(b);
    }

    /// Whether a box is clear of names, furniture and the floor that doors sweep.
    fn is_clear(&self, b: &Box4) -> bool {
        self.is_free(b) && self.pieces.iter().flatten().chain(&self.swept).all(|o| !overlap(o, b))
    }

    fn put(&mut self, lines: Lines, at: At, color: RGBColor, leader: Option<[At; 2]>) {
        self.taken.push(boxed(at, lines.box_size(), 1.0));
        if let Some([from, to]) = leader {
            self.taken.extend(along(from, to));
        }
        self.placed.push(Placed { lines, at, color, leader });
    }

    fn next_number(&mut self, name: &str) -> String {
        let number = (self.numbered.len() + 1).to_string();
        self.numbered.push(format!("{number} {name}"));
        number
    }

    fn others(&self, piece: PieceId) -> impl Iterator<Item = Box4> + '_ {
        self.pieces
            .iter_enumerated()
            .filter(move |(i, _)| *i != piece)
            .flat_map(|(_, b)| b.iter().copied())
    }

    fn is_in_room(&self, room: RoomId, b: &Box4) -> bool {
        self.outline_holds(&self.plan.rooms[room].outline, b)
    }

    /// Whether an outline on the floor holds a box of the sheet.
    fn outline_holds(&self, outline: &Polygon<f64>, b: &Box4) -> bool {
        let (a, c) = (self.frame.meters((b[0], b[3])), self.frame.meters((b[2], b[1])));
        outline.contains(&Rect::new(a, c).to_polygon())
    }

    /// Draws them, and the names of levels: lines first, so that no name is crossed.
    pub(crate) fn draw(&self, sheet: &mut Sheet) {
        levels::names(sheet, self.plan, self.frame);
        for [from, to] in self.placed.iter().filter_map(|p| p.leader) {
            sheet.line(vec![from, to], PAPER, 3.5);
            sheet.line(vec![from, to], LEADER, 1.2);
            sheet.fill(circle(to, 3.2), LEADER, 1.0);
        }
        self.placed.iter().for_each(|p| p.lines.write(sheet, p.at, p.color));
    }

    /// What numbers stand for, under the house; returns the y below.
    pub(crate) fn key(&self, sheet: &mut Sheet, y: f64) -> f64 {
        if self.numbered.is_empty() {
            return y;
        }
        sheet.paragraph(
            (MARGIN, y + 8.0),
            &self.numbered.join(", "),
            TINY,
            WIDTH - 2.0 * MARGIN,
            SOFT,
            false,
        )
    }
}

/// Names of pieces and rooms, placed clear of the boxes taken and drawn.
pub(crate) fn named<'a>(
    sheet: &mut Sheet,
    plan: &'a Plan,
    frame: &'a Frame,
    taken: Vec<Box4>,
) -> Labels<'a> {
    let mut labels = Labels::new(plan, frame, taken);
    labels.pieces();
    labels.rooms(true);
    labels.draw(sheet);
    labels
}
