//! Where to put it, in words.

use super::compare::{difference, gain_than, minutes};
use super::what;
use sim::question::placing::{NoPlacing, Placing, Stands, side};
use sim::scenario::Serves;

/// How it stands: "on the island", "against the north wall of the great room", "clear of the walls in the kitchen, used from both sides".
pub fn stands(p: &Placing, place: usize) -> String {
    let world = &p.world;
    match &p.places[place].stands {
        Stands::Today => world.spots_for(p.serves).first().map_or(String::new(), |&s| format!("at {}", super::with_article(&world.spots[s].name))),
        Stands::On(name) if world.plan.piece(name).is_some() => format!("on {}", super::with_article(name)),
        Stands::On(name) => format!("in {}", super::with_article(name)),
        Stands::At(site) => super::standing(world, site),
    }
}

/// The same with where along the wall, or on the floor: gaps to the west and south walls of the room.
pub fn exactly(p: &Placing, place: usize) -> String {
    let stands = stands(p, place);
    let Stands::At(site) = &p.places[place].stands else {
        return stands;
    };
    let (x, y) = site.corner(&p.world.plan);
    let gap =
        |m: f64, wall: &str| if m < 0.01 { format!("at its {wall} end") } else { format!("{} from its {wall} end", super::length(m, p.world.plan.system)) };
    match side(site.against) {
        Some("north" | "south") => format!("{stands}, {}", gap(x, "west")),
        Some(_) => format!("{stands}, {}", gap(y, "south")),
        None => {
            format!("{stands}, with {} to its west wall and {} to its south wall", super::length(x, p.world.plan.system), super::length(y, p.world.plan.system))
        }
    }
}

/// What is put there: "the sideboard", "a new coat rack".
pub fn piece(p: &Placing) -> String {
    if p.is_new { format!("a new {}", p.piece) } else { super::with_article(&p.piece) }
}

/// The sentence that answers the question.
pub fn sentence(p: &Placing) -> String {
    let what = what(p.serves);
    let today = stands(p, 0);
    match p.finalists.get(1) {
        None => format!("There is no other place for {what} than {today}."),
        Some(best) if best.against.is_clear() && best.against.difference.value < 0.0 => {
            let gain = gain_than(best.against, &format!("than {today}, as today"));
            format!("Put {what} {}: {gain}.{}", stands(p, best.place), super::still(&p.world, &best.evening))
        }
        Some(best) if best.against.is_clear() => {
            format!("Leave {what} {today}: at the best other place, {}, {}.", stands(p, best.place), gain_than(best.against, ""))
        }
        Some(best) => format!(
            "Leave {what} {today}, or put it {}: no difference we can see in {} evenings, {}.",
            stands(p, best.place),
            p.evenings,
            difference(best.against)
        ),
    }
}

/// A finalist's row.
pub fn row(p: &Placing, rank: usize) -> String {
    let f = &p.finalists[rank];
    let lost = format!("{} min lost per guest (likely {} to {})", minutes(f.lost.value), minutes(f.lost.low.max(0.0)), minutes(f.lost.high));
    match rank {
        0 => format!("today  {}: {lost}", stands(p, f.place)),
        n => format!("{n}      {}: {lost}; {}", exactly(p, f.place), super::compare::against(f.against, p.evenings as usize)),
    }
}

/// The option to paste for a place.
pub fn paste(p: &Placing, place: usize) -> String {
    super::option(&p.world, &format!("{} {}", what(p.serves), exactly(p, place)), &p.places[place].lines)
}

/// Why there is no answer.
pub fn no_answer(serves: Serves, why: &NoPlacing) -> String {
    let what = what(serves);
    match why {
        NoPlacing::NotServed => format!("this evening serves no {}; say where under [place]", serves.word()),
        NoPlacing::Fixed => format!("{what} cannot be put elsewhere, and there is no other room for it: `improve` looks for what helps there"),
        NoPlacing::NoFloor => format!("there is no other place for {what} with 36 in of clear floor before it and off the openings"),
    }
}
