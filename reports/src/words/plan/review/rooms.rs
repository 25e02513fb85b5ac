//! Rooms against one another: sight, the powder room, the outdoors.

use super::{hub, many, room};
use crate::words::{area, length, list, width};
use sim::floor::world::World;
use sim::house::plan::{RoomId, Style};
use sim::review::Review;
use sim::review::places::hubs::HubOf;
use sim::review::rooms::openness::Openness;
use sim::review::rooms::powder::{From, Line, Powder, Seen, WALKWAY_AND_LINE};
use sim::review::rooms::sight::Sight;
use sim::review::verdict::Verdict;

pub(super) fn sight(world: &World, review: &Review, s: &Sight) -> String {
    let [a, b] = s.between.map(|h| hub(world, &review.hubs[h]));
    // nobody stands in a table
    let at = if let HubOf::Table(_) = review.hubs[s.between[0]].of { "at" } else { "in" };
    match (s.share * 100.0).round() {
        0.0 => format!("nobody {at} {a} sees {b}."),
        s if s >= 95.0 => format!("{a} and {b} are in full view of each other."),
        s => format!("people {at} {a} see {s:.0}% of {b} from where they stand, on average."),
    }
}

pub(super) fn away(world: &World, p: &Powder) -> String {
    let room = room(&world.plan, p.room);
    match p.away {
        Some(away) if p.same_level => {
            format!("{room} is a walk of {} from the main room.", feet(world, away))
        }
        Some(away) => format!(
            "{room} is on another level, a walk of {} from the main room.",
            feet(world, away)
        ),
        None => format!("no way leads from the main room to {room}."),
    }
}

/// A distance on foot, in whole feet or tenths of a meter.
pub(super) fn feet(world: &World, meters: f64) -> String {
    let foot = sim::base::units::FOOT;
    match world.plan.system {
        sim::base::units::System::Feet => format!("{:.0} ft", (meters / foot).max(1.0)),
        sim::base::units::System::Metres => format!("{meters:.1} m"),
    }
}

pub(super) fn onto(world: &World, p: &Powder) -> String {
    let onto = p.onto.map_or("the outdoors".into(), |r| room(&world.plan, r));
    format!("{} opens onto {onto}.", room(&world.plan, p.room))
}

fn watcher(s: &Seen) -> Option<String> {
    if s.seeing == 0 {
        return None;
    }
    Some(match s.from {
        From::Seats => format!("{} of {}", s.seeing, many(s.of as u32, "seat", "seats")),
        From::Kitchen => "part of the kitchen".into(),
        From::WayIn => "the front door".into(),
    })
}

pub(super) fn seen(world: &World, p: &Powder) -> String {
    let room = room(&world.plan, p.room);
    let from: Vec<String> = p.seen.iter().filter_map(watcher).collect();
    if from.is_empty() {
        format!("the door of {room} is out of sight from seats, kitchen and front door.")
    } else {
        format!("the door of {room} is seen from {}.", list(&from))
    }
}

pub(super) fn screen(world: &World, p: &Powder) -> Option<String> {
    let room = room(&world.plan, p.room);
    let from = p.seen.iter().filter_map(watcher).next()?;
    Some(format!("Screen the door of {room} from {from} with a tall shelf or a short wall."))
}

pub(super) fn line(world: &World, powder: RoomId, line: &Line) -> String {
    let plan = &world.plan;
    let name = room(plan, powder);
    let rooms: Vec<String> = line.rooms.iter().map(|&r| room(plan, r)).collect();
    match line.stands.len() {
        0 => format!("there is no floor for a line at {name}."),
        n @ 1..=2 => format!("there is floor for {n} in line at {name}, not for 3."),
        _ => {
            let stands = if rooms.is_empty() { "a doorway".into() } else { list(&rooms) };
            if line.verdict() == Verdict::Passes {
                return format!("a line of 3 stands in {stands}, with a walkway beside it.");
            }
            format!(
                "a line of 3 stands in {stands}, where the floor is {} wide: a walkway and a line take {}.",
                width(line.floor, plan.system),
                width(WALKWAY_AND_LINE, plan.system)
            )
        }
    }
}

pub(super) fn wait_elsewhere(world: &World, powder: RoomId) -> Option<String> {
    let name = room(&world.plan, powder);
    Some(format!("Leave floor beside the way for people who wait at {name}."))
}

/// What opens the house wider.
pub(super) fn open_wider(world: &World, o: &Openness) -> String {
    let slides = o.doors.iter().any(|&d| world.plan.openings[d].style == Style::Sliding);
    if slides {
        "Take folding or double doors instead of a slider: they open nearly all of their width."
            .into()
    } else {
        "Build a wider door to the outdoors, or a second one.".into()
    }
}

pub(super) fn openness(world: &World, o: &Openness) -> String {
    let plan = &world.plan;
    let outdoors = area(o.outdoors, plan.system);
    let more = (o.outdoors / o.inside.max(1e-6) * 100.0).round();
    if o.doors.is_empty() {
        return format!("no door leads from kitchen, dining or living to the {outdoors} outdoors.");
    }
    let doors = many(o.doors.len() as u32, "door", "doors");
    format!(
        "{} of the {} of wall to the outdoors opens ({:.0}%). Outdoors adds {outdoors} behind {doors}, {more:.0}% of the rooms guests gather in; from these, {} out.",
        length(o.opens, plan.system),
        length(o.wall, plan.system),
        o.share() * 100.0,
        if o.ways_out == 1 { "1 way leads".into() } else { format!("{} ways lead", o.ways_out) }
    )
}
