//! Names of rooms: on floor of their own, or outside the house with a line.

use super::boxes::{along, box_of, boxed, grown, leaves, overlap};
use super::{Box4, FARTHEST, Labels, Lines, OFF, STEPS, ways};
use crate::pictures::draw::sheet::At;
use crate::pictures::draw::style::*;
use crate::words;
use sim::house::plan::{Room, RoomId, Use};

impl Labels<'_> {
    /// Names of rooms: in the room, or outside the house with a line to it; numbers, where there is
    /// a key, for what finds neither.
    pub(crate) fn rooms(&mut self, with_key: bool) {
        // the smallest first: it has the least choice
        let speaks = |r: &Room| r.usage == Use::Stairs && r.name == Use::Stairs.word();
        let mut order: Vec<RoomId> = self
            .plan
            .rooms
            .keys()
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
    pub(crate) fn text_in_room(&mut self, room: RoomId, text: &str) {
        let place = [false, true].into_iter().find_map(|upright| {
            let lines = Lines::one(text, TINY, upright);
            Some((self.in_room(room, &lines)?, lines))
        });
        if let Some((at, lines)) = place {
            self.put(lines, at, SOFT, None);
        }
    }

    /// The point of a room nearest its middle where a name is clear of everything.
    fn in_room(&self, room: RoomId, lines: &Lines) -> Option<At> {
        let own = box_of(&self.plan.rooms[room].outline, self.frame);
        let tries =
            self.points_in_room(room, lines, ((own[0] + own[2]) / 2.0, (own[1] + own[3]) / 2.0));
        tries.into_iter().find(|at| self.is_floor(room, *at, lines))
    }

    /// Points all over a room's box where a name could be, the nearest to a point first.
    pub(super) fn points_in_room(&self, room: RoomId, lines: &Lines, to: At) -> Vec<At> {
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
    pub(super) fn is_floor(&self, room: RoomId, at: At, lines: &Lines) -> bool {
        let b = boxed(at, lines.box_size(), OFF);
        self.is_clear(&b) && self.is_in_room(room, &b)
    }

    /// A place outside the walls, near a room, from which a straight line leads into it and over no
    /// other name.
    fn outside(&self, room: RoomId, name: &str) -> Option<(Lines, At, [At; 2])> {
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
}
