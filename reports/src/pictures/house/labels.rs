//! Names on a house. Every name has floor of its own, clear of walls, furniture and other names: in
//! its piece or beside it, in its room, or outside the house with a line to its room. Only what
//! finds no such place is a number, told below.

use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, circle, text_width};
use crate::pictures::draw::style::*;
use crate::pictures::house::Frame;
use crate::pictures::house::levels;
use crate::pictures::house::pieces::{chairs, is_stowed, speaks_for_itself};
use crate::words;
use geo::{BoundingRect, Contains, Polygon, Rect};
use plotters::style::RGBColor;
use sim::house::plan::{Furniture, Opening, Plan, Room, Use};

/// A box on the sheet: left, top, right, bottom.
pub(crate) type Box4 = [f64; 4];

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
    pieces: Vec<Vec<Box4>>,
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
        let area = |r: Option<usize>| r.map_or(f64::INFINITY, |r| self.plan.rooms[r].area());
        let larger = if area(o.rooms[1]) > area(o.rooms[0]) { 1.0 } else { -1.0 };
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
            let inside = o.rooms.iter().flatten().any(|&r| self.is_in_room(r, &b));
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
        room: usize,
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

    /// Names of pieces that do not show what they are, in the piece or beside it.
    pub(crate) fn pieces(&mut self) {
        for i in 0..self.plan.furniture.len() {
            let f = &self.plan.furniture[i];
            let is_kind = words::shown(&f.name) == f.kind.word();
            if !self.frame.shows(self.plan, f.room)
                || is_stowed(self.plan, f)
                || (speaks_for_itself(f.kind) && is_kind)
            {
                continue;
            }
            let name = words::shown(&f.name);
            if let Some((lines, at)) =
                self.in_piece(i, &name).or_else(|| self.beside_piece(i, &name))
            {
                self.put(lines, at, SOFT, None);
            } else if speaks_for_itself(f.kind) {
                // without a name rather than with a number
            } else if let Some((lines, at, leader)) = self.away_from_piece(i, &name) {
                self.put(lines, at, SOFT, Some(leader));
            } else if let Some((lines, at)) =
                self.in_piece(i, &(self.numbered.len() + 1).to_string())
            {
                self.next_number(&name);
                self.put(lines, at, SOFT, None);
            }
        }
    }

    /// In the piece, clear of what stands in it.
    fn in_piece(&self, piece: usize, name: &str) -> Option<(Lines, At)> {
        let f = &self.plan.furniture[piece];
        if speaks_for_itself(f.kind) {
            return None;
        }
        let own = box_of(&f.outline, self.frame);
        let chairs = &self.pieces[piece][1..];
        let inside: Vec<Box4> =
            self.others(piece).chain(chairs.iter().copied()).filter(|b| overlap(b, &own)).collect();
        let middle = ((own[0] + own[2]) / 2.0, (own[1] + own[3]) / 2.0);
        // beside what stands in its middle
        let spots = [0.0, -0.25, 0.25, -0.35, 0.35]
            .map(|k| (middle.0 + k * (own[2] - own[0]), middle.1 + k * (own[3] - own[1])));
        let spots = spots.into_iter().flat_map(|(x, y)| [(x, middle.1), (middle.0, y)]);
        ways(name, &[TINY]).into_iter().find_map(|lines| {
            let fits = |at: &At| {
                let b = boxed(*at, lines.box_size(), 0.0);
                let within = b[0] - OFF >= own[0]
                    && b[1] - 0.5 >= own[1]
                    && b[2] + OFF <= own[2]
                    && b[3] + 0.5 <= own[3];
                within
                    && self.is_free(&b)
                    && inside.iter().all(|o| !overlap(o, &b))
                    && self.outline_holds(&f.outline, &b)
            };
            spots.clone().find(fits).map(|at| (lines.clone(), at))
        })
    }

    /// On floor that touches the piece.
    fn beside_piece(&self, piece: usize, name: &str) -> Option<(Lines, At)> {
        let f = &self.plan.furniture[piece];
        let own = self.pieces[piece].iter().fold(self.pieces[piece][0], |a, b| {
            [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])]
        });
        let middle = ((own[0] + own[2]) / 2.0, (own[1] + own[3]) / 2.0);
        let each = ways(name, &[TINY]).into_iter().flat_map(|lines| {
            let (w, h) = lines.box_size();
            let off = BESIDE + OFF;
            let (left, right, top, bottom) = (
                own[0] - off - w / 2.0,
                own[2] + off + w / 2.0,
                own[1] - off - h / 2.0,
                own[3] + off + h / 2.0,
            );
            let (first, last) = (own[0] + w / 2.0, own[2] - w / 2.0);
            let (high, low) = (own[1] + h / 2.0, own[3] - h / 2.0);
            let across = [
                (middle.0, bottom),
                (middle.0, top),
                (first, bottom),
                (last, bottom),
                (first, top),
                (last, top),
            ];
            let aside = [
                (right, middle.1),
                (left, middle.1),
                (right, high),
                (right, low),
                (left, high),
                (left, low),
            ];
            across.into_iter().chain(aside).map(move |at| (lines.clone(), at))
        });
        let free = |(lines, at): &(Lines, At)| {
            let b = boxed(*at, lines.box_size(), OFF);
            self.is_clear(&b) && self.is_in_room(f.room, &b)
        };
        each.into_iter().find(free)
    }

    /// On free floor of its room, with a line to the piece that crosses nothing.
    fn away_from_piece(&self, piece: usize, name: &str) -> Option<(Lines, At, [At; 2])> {
        let f = &self.plan.furniture[piece];
        let target = self.frame.xy(f.center);
        ways(name, &[TINY]).into_iter().filter(|l| !l.upright).find_map(|lines| {
            let clear = |at: At| {
                let line = along(at, target);
                line.iter().all(|p| self.is_free(p) && self.others(piece).all(|o| !overlap(&o, p)))
            };
            let near = |at: &At| (at.0 - target.0).hypot(at.1 - target.1) < FARTHEST;
            let at = self
                .points_in_room(f.room, &lines, target)
                .into_iter()
                .filter(near)
                .find(|at| self.is_floor(f.room, *at, &lines) && clear(*at))?;
            let from = leaves(boxed(at, lines.box_size(), OFF), at, target);
            Some((lines, at, [from, target]))
        })
    }

    /// Names of rooms: in the room, or outside the house with a line to it; numbers, where there is
    /// a key, for what finds neither.
    pub(crate) fn rooms(&mut self, with_key: bool) {
        // the smallest first: it has the least choice
        let speaks = |r: &Room| r.usage == Use::Stairs && r.name == Use::Stairs.word();
        let mut order: Vec<usize> = (0..self.plan.rooms.len())
            .filter(|&r| !speaks(&self.plan.rooms[r]) && self.frame.shows(self.plan, r))
            .collect();
        order.sort_by(|&a, &b| self.plan.rooms[a].area().total_cmp(&self.plan.rooms[b].area()));
        let mut outside = vec![];
        for room in order {
            let name = words::shown(&self.plan.rooms[room].name);
            match ways(&name, &[TEXT, SMALL, TINY])
                .into_iter()
                .find_map(|lines| Some((self.in_room(room, &lines)?, lines)))
            {
                Some((at, lines)) => self.put(lines, at, INK, None),
                None => outside.push((room, name)),
            }
        }
        for (room, name) in outside {
            if let Some((lines, at, leader)) = self.outside(room, &name) {
                self.put(lines, at, INK, Some(leader));
            } else if with_key {
                let number = Lines::one(&(self.numbered.len() + 1).to_string(), TINY, false);
                if let Some(at) = self.in_room(room, &number) {
                    self.next_number(&name);
                    self.put(number, at, INK, None);
                }
            }
        }
    }

    /// A text on free floor of a room, across or upright; nothing if there is none.
    pub(crate) fn text_in_room(&mut self, room: usize, text: &str) {
        let place = [false, true].into_iter().find_map(|upright| {
            let lines = Lines::one(text, TINY, upright);
            Some((self.in_room(room, &lines)?, lines))
        });
        if let Some((at, lines)) = place {
            self.put(lines, at, SOFT, None);
        }
    }

    /// The point of a room nearest its middle where a name is clear of everything.
    fn in_room(&self, room: usize, lines: &Lines) -> Option<At> {
        let own = box_of(&self.plan.rooms[room].outline, self.frame);
        let tries =
            self.points_in_room(room, lines, ((own[0] + own[2]) / 2.0, (own[1] + own[3]) / 2.0));
        tries.into_iter().find(|at| self.is_floor(room, *at, lines))
    }

    /// Points all over a room's box where a name could be, the nearest to a point first.
    fn points_in_room(&self, room: usize, lines: &Lines, to: At) -> Vec<At> {
        let own = box_of(&self.plan.rooms[room].outline, self.frame);
        let (w, h) = lines.box_size();
        let spare = (own[2] - own[0] - w - 2.0 * OFF, own[3] - own[1] - h - 2.0 * OFF);
        if spare.0 < 0.0 || spare.1 < 0.0 {
            return vec![];
        }
        let shares = (0..=STEPS).flat_map(|i| {
            (0..=STEPS)
                .map(move |j| (f64::from(i) / f64::from(STEPS), f64::from(j) / f64::from(STEPS)))
        });
        let mut points: Vec<At> = shares
            .map(|(i, j)| {
                (own[0] + w / 2.0 + OFF + spare.0 * i, own[1] + h / 2.0 + OFF + spare.1 * j)
            })
            .collect();
        let away = |p: &At| (p.0 - to.0).powi(2) + (p.1 - to.1).powi(2);
        points.sort_by(|a, b| away(a).total_cmp(&away(b)));
        points
    }

    /// Whether a name about a point lies on free floor of a room.
    fn is_floor(&self, room: usize, at: At, lines: &Lines) -> bool {
        let b = boxed(at, lines.box_size(), OFF);
        self.is_clear(&b) && self.is_in_room(room, &b)
    }

    /// Whether a box is clear of names, furniture and the floor that doors sweep.
    fn is_clear(&self, b: &Box4) -> bool {
        self.is_free(b) && self.pieces.iter().flatten().chain(&self.swept).all(|o| !overlap(o, b))
    }

    /// A place outside the walls, near a room, from which a straight line leads into it and over no
    /// other name.
    fn outside(&self, room: usize, name: &str) -> Option<(Lines, At, [At; 2])> {
        let own = box_of(&self.plan.rooms[room].outline, self.frame);
        let middle = ((own[0] + own[2]) / 2.0, (own[1] + own[3]) / 2.0);
        // lines end in the middle of the room, or where its own figures leave floor for them
        let (aside, up) = ((own[2] - own[0]) * 0.3, (own[3] - own[1]) * 0.3);
        let targets = [
            (0.0, 0.0),
            (-1.0, 0.0),
            (1.0, 0.0),
            (0.0, -1.0),
            (0.0, 1.0),
            (-1.0, -1.0),
            (1.0, -1.0),
            (-1.0, 1.0),
            (1.0, 1.0),
        ];
        let targets: Vec<At> = targets
            .into_iter()
            .map(|(i, j)| (middle.0 + aside * i, middle.1 + up * j))
            .filter(|at| self.is_in_room(room, &boxed(*at, (4.0, 4.0), 0.0)))
            .collect();
        let wall = self.frame.long(self.plan.walls);
        let rooms: Vec<Box4> = self
            .plan
            .rooms
            .iter()
            .map(|r| grown(&box_of(&r.outline, self.frame), wall + OFF))
            .collect();
        let mut best: Option<(f64, Lines, [At; 2])> = None;
        for lines in ways(name, &[SMALL, TINY]).into_iter().filter(|l| !l.upright) {
            let size = lines.box_size();
            let reach = (own[2] - own[0] + size.0) / 2.0 + FARTHEST;
            let drop = (own[3] - own[1] + size.1) / 2.0 + FARTHEST;
            for i in -12..=12 {
                for j in -12..=12 {
                    let at = (
                        middle.0 + reach * f64::from(i) / 12.0,
                        middle.1 + drop * f64::from(j) / 12.0,
                    );
                    let b = boxed(at, size, OFF);
                    let on_sheet = b[0] >= 4.0
                        && b[2] <= WIDTH - 4.0
                        && b[1] >= self.frame.top
                        && b[3] <= self.frame.bottom;
                    if !on_sheet || !self.is_free(&b) || rooms.iter().any(|r| overlap(r, &b)) {
                        continue;
                    }
                    let length = |to: &At| (at.0 - to.0).hypot(at.1 - to.1);
                    for to in
                        targets.iter().filter(|to| along(at, **to).iter().all(|p| self.is_free(p)))
                    {
                        if best.as_ref().is_none_or(|(l, ..)| length(to) < *l) {
                            best = Some((length(to), lines.clone(), [at, *to]));
                        }
                    }
                }
            }
            if best.is_some() {
                break;
            }
        }
        let (_, lines, [at, target]) = best?;
        let from = leaves(boxed(at, lines.box_size(), OFF), at, target);
        Some((lines, at, [from, target]))
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

    fn others(&self, piece: usize) -> impl Iterator<Item = Box4> + '_ {
        self.pieces
            .iter()
            .enumerate()
            .filter(move |(i, _)| *i != piece)
            .flat_map(|(_, b)| b.iter().copied())
    }

    fn is_in_room(&self, room: usize, b: &Box4) -> bool {
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

/// Where a line from the middle of a box leaves it.
fn leaves(b: Box4, from: At, to: At) -> At {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let reach = |d: f64, half: f64| {
        if d.abs() < 1e-9 { f64::INFINITY } else { half / d.abs() }
    };
    let share = reach(dx, (b[2] - b[0]) / 2.0).min(reach(dy, (b[3] - b[1]) / 2.0)).min(1.0);
    (from.0 + dx * share, from.1 + dy * share)
}

/// Small boxes along a line.
fn along(from: At, to: At) -> Vec<Box4> {
    let steps = ((to.0 - from.0).hypot(to.1 - from.1) / 6.0).ceil().max(1.0) as u32;
    (0..=steps)
        .map(|k| f64::from(k) / f64::from(steps))
        .map(|s| {
            boxed((from.0 + (to.0 - from.0) * s, from.1 + (to.1 - from.1) * s), (3.0, 3.0), 0.0)
        })
        .collect()
}

/// The box of a size about a point, with some more all round.
pub(crate) fn boxed(at: At, (w, h): (f64, f64), more: f64) -> Box4 {
    [at.0 - w / 2.0 - more, at.1 - h / 2.0 - more, at.0 + w / 2.0 + more, at.1 + h / 2.0 + more]
}

fn grown(b: &Box4, by: f64) -> Box4 {
    [b[0] - by, b[1] - by, b[2] + by, b[3] + by]
}

fn around(points: &[At]) -> Box4 {
    points
        .iter()
        .fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |b, p| {
            [b[0].min(p.0), b[1].min(p.1), b[2].max(p.0), b[3].max(p.1)]
        })
}

/// Whether two boxes share anything.
fn overlap(a: &Box4, b: &Box4) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The box of an outline on the sheet.
fn box_of(outline: &Polygon<f64>, frame: &Frame) -> Box4 {
    outline.bounding_rect().map_or([0.0; 4], |r| {
        let (a, b) = (frame.at(r.min().x, r.max().y), frame.at(r.max().x, r.min().y));
        [a.0, a.1, b.0, b.1]
    })
}
