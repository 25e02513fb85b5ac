//! Names of pieces: in the piece, beside it, or with a short line.

use super::boxes::{along, box_of, boxed, leaves, overlap};
use super::{BESIDE, Box4, FARTHEST, Labels, Lines, OFF, ways};
use crate::pictures::draw::sheet::At;
use crate::pictures::draw::style::*;
use crate::pictures::house::pieces::{is_stowed, speaks_for_itself};
use crate::words;
use sim::house::plan::PieceId;

impl Labels<'_> {
    /// Names of pieces that do not show what they are, in the piece or beside it.
    pub(crate) fn pieces(&mut self) {
        for i in self.plan.furniture.keys() {
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
    fn in_piece(&self, piece: PieceId, name: &str) -> Option<(Lines, At)> {
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
    fn beside_piece(&self, piece: PieceId, name: &str) -> Option<(Lines, At)> {
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
    fn away_from_piece(&self, piece: PieceId, name: &str) -> Option<(Lines, At, [At; 2])> {
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
}
