//! The rows of a review as they are found, topic by topic.

use crate::floor::faults::{Fault, faults};
use crate::floor::widths::Widths;
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, Gap};
use crate::review::fact::{Fact, Row};
use crate::review::hosting::seats::Seats;
use crate::review::hosting::serving::serving;
use crate::review::hosting::work::kitchens;
use crate::review::places::groups::Group;
use crate::review::places::hubs::{Hub, Role};
use crate::review::places::triangle;
use crate::review::rooms::openness::openness;
use crate::review::rooms::powder::powders;
use crate::review::rooms::sight::{Outlook, sights};
use crate::review::verdict::Verdict;
use crate::review::walking::access::access;
use crate::review::walking::gaps::Before;
use crate::review::walking::routes::crossings;
use crate::review::walking::ways::{Narrowing, WALKWAY, Ways};

/// Rows.
#[derive(Default)]
pub(super) struct Rows(pub Vec<Row>);

impl Rows {
    pub(super) fn add(&mut self, verdict: Verdict, at: Option<(f64, f64)>, fact: Fact) {
        self.0.push(Row { fact, verdict, at, mend: None });
    }

    pub(super) fn walkways(
        &mut self,
        world: &World,
        ways: &Ways,
        gaps: &[Gap],
        befores: &[Before],
    ) {
        let doors: Vec<Fault> = faults(world, gaps)
            .into_iter()
            .filter(|f| matches!(f, Fault::Swing { .. } | Fault::Blocked { .. }))
            .collect();
        let blocks = |n: &Narrowing| {
            doors.iter().any(|d| {
                matches!(d, Fault::Blocked { piece, .. } if n.between.contains(&Bound::Piece(*piece)))
            })
        };
        let tight = ways.narrowings.iter().filter(|n| n.verdict() != Verdict::Passes && !blocks(n));
        let narrow: Vec<&Narrowing> =
            tight.filter(|n| !befores.iter().any(|b| is_told(n, b))).collect();
        if narrow.is_empty() && doors.is_empty() && !ways.ways.is_empty() {
            let least = ways.ways.iter().map(|w| w.floor).fold(f64::INFINITY, f64::min);
            if WALKWAY.length(least) == Verdict::Passes {
                self.add(Verdict::Passes, None, Fact::NoNarrowing(least));
            }
        }
        for n in narrow {
            self.add(n.verdict(), Some(n.at()), Fact::Narrowing(n.clone()));
        }
        for door in doors {
            if let Fault::Swing { opening, .. } | Fault::Blocked { opening, .. } = door {
                let c = world.plan.openings[opening].center;
                self.add(Verdict::Fails, Some((c.x, c.y)), Fact::Door(door));
            }
        }
        for d in &ways.doorways {
            let c = world.plan.openings[d.opening].center;
            self.add(d.verdict(), Some((c.x, c.y)), Fact::Doorway(d.clone()));
        }
        for b in befores {
            self.add(b.verdict(), Some(b.at()), Fact::Before(*b));
        }
    }

    pub(super) fn routes(&mut self, world: &World, hubs: &[Hub], groups: &[Group]) {
        let found = crossings(world, hubs, groups);
        let drawn = |k| triangle::corners(world, k).is_some();
        let known = triangle::kitchens(world).into_iter().any(drawn);
        if found.is_empty() {
            let verdict = Verdict::passes_if(known, Verdict::Unknown);
            self.add(verdict, None, Fact::NothingCrossed(known));
        }
        for c in found {
            self.add(c.verdict(), Some(c.at), Fact::Crossing(c));
        }
    }

    pub(super) fn sight_lines(&mut self, world: &World, hubs: &[Hub], standing: &Outlook) {
        for s in sights(world, standing, hubs) {
            self.add(s.verdict(), None, Fact::Sight(s));
        }
    }

    pub(super) fn powder_rooms(
        &mut self,
        world: &World,
        floor: &Widths,
        hubs: &[Hub],
        eyes: [&Outlook; 2],
    ) {
        if !hubs.iter().any(|h| h.role == Role::Powder) {
            self.add(Verdict::Fails, None, Fact::NoPowder);
        }
        for p in powders(world, floor, hubs, eyes) {
            let at = Some(p.at(world));
            if let Some(line) = &p.line {
                self.add(p.distance(), at, Fact::PowderAway(p.clone()));
                let last = line.stands.last().copied().or(at);
                self.add(line.verdict(), last, Fact::PowderLine(p.room, line.clone()));
            }
            self.add(p.opens_onto(world), at, Fact::PowderOnto(p.clone()));
            if !p.seen.is_empty() {
                self.add(p.view(), at, Fact::PowderSeen(p));
            }
        }
    }

    pub(super) fn outdoors(&mut self, world: &World) {
        match openness(&world.plan) {
            Some(o) => {
                let at = o.doors.first().map(|&d| world.plan.openings[d].center);
                self.add(o.verdict(), at.map(|c| (c.x, c.y)), Fact::Openness(o));
            }
            None => self.add(Verdict::Unknown, None, Fact::NoOutdoors),
        }
    }

    pub(super) fn food_and_drinks(
        &mut self,
        world: &World,
        hubs: &[Hub],
        gaps: &[Gap],
        guests: Option<u32>,
    ) {
        let found = serving(world, hubs, gaps, guests);
        for f in found.food {
            let at = world.spots[f.spot].positions.first().map(|p| p.target.point.meters());
            self.add(f.verdict(), at, Fact::Food(f));
        }
        for a in found.apart {
            self.add(a.verdict(), Some(a.at), Fact::Apart(a));
        }
        if let Some(g) = found.glasses {
            self.add(g.verdict(), None, Fact::Glasses(g));
        }
        if let Some(s) = found.storage {
            self.add(s.verdict(), None, Fact::Storage(s));
        }
    }

    pub(super) fn seats(&mut self, world: &World, seats: &Seats) {
        self.add(seats.count.verdict(), None, Fact::SeatCount(seats.count));
        for t in &seats.tables {
            let c = world.plan.furniture[t.piece].center;
            self.add(t.verdict(), Some((c.x, c.y)), Fact::Table(*t));
        }
        for c in &seats.circles {
            self.add(c.verdict(), Some(c.at), Fact::Circle(c.clone()));
        }
        self.add(seats.two(), None, Fact::ForTwo(seats.for_two));
        self.add(seats.perch(), None, Fact::Perches(seats.perches.0, seats.perches.1));
        self.add(seats.door(), None, Fact::SeatNearDoor(seats.near_door));
    }

    pub(super) fn kitchens(&mut self, world: &World, gaps: &[Gap], befores: &[Before]) {
        for k in kitchens(world, gaps, befores) {
            match k.triangle {
                Some(t) => self.add(t.verdict(), Some(t.at), Fact::Triangle(t)),
                None => {
                    let fact = Fact::NotDrawn(k.room, k.missing.clone());
                    self.add(Verdict::Unknown, None, fact)
                }
            }
            for l in &k.landings {
                let c = world.plan.furniture[l.piece].center;
                self.add(l.verdict(), Some((c.x, c.y)), Fact::Landing(*l));
            }
            if let Some(p) = k.prepare {
                self.add(k.preparing(), None, Fact::Preparing(p));
            }
            if let Some(d) = k.dishwasher {
                self.add(k.washing(), None, Fact::Washing(d));
            }
            if let Some(aisle) = k.aisle {
                self.add(aisle.verdict(), Some(aisle.at), Fact::Cooks(k.room, aisle));
            }
        }
    }

    pub(super) fn for_everybody(&mut self, world: &World, floor: &Widths, hubs: &[Hub]) {
        let found = access(world, floor, hubs);
        let c = world.plan.openings[found.entrance.opening].center;
        self.add(found.entrance.verdict(), Some((c.x, c.y)), Fact::Entrance(found.entrance));
        for r in found.reaches {
            self.add(r.verdict(), r.barrier.map(|_| r.at), Fact::Reach(r));
        }
        for t in found.turnings {
            self.add(t.verdict(), Some(t.at), Fact::Turning(t));
        }
    }
}

/// Whether a narrow place on a way is the floor before furniture that is told anyway, and as badly.
fn is_told(n: &Narrowing, b: &Before) -> bool {
    let ends = [Bound::Piece(b.gap.piece), b.gap.to];
    // floor enough for knees is no walkway
    b.verdict().and(n.verdict()) == b.verdict()
        && n.between.iter().all(|x| ends.contains(x))
        && ends.iter().all(|x| n.between.contains(x))
}
