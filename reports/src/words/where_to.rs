//! Where to put it, in words.

use super::capacity::{gain, takes, takes_up_to};
use super::compare::{difference, minutes, with_guests};
use super::what;
use sim::base::stats::Estimate;
use sim::evening::scenario::Serves;
use sim::study::race::contest::Standing;
use sim::study::where_to::{NoPlacing, Placing, Stands, side};

/// How it stands: "on the island", "against the north wall of the great room", "clear of the walls
/// in the kitchen, used from both sides".
pub fn stands(p: &Placing, place: usize) -> String {
    let world = &p.world;
    match &p.places[place].stands {
        Stands::Today => world.spots_for(p.serves).first().map_or(String::new(), |&s| {
            format!("at {}", super::with_article(&world.spots[s].name))
        }),
        Stands::On(name) if world.plan.piece(name).is_some() => {
            format!("on {}", super::with_article(name))
        }
        Stands::On(name) => format!("in {}", super::with_article(name)),
        Stands::At(site) => super::standing(world, site),
    }
}

/// The same with where along the wall, or on the floor: gaps to the west and south walls of the
/// room.
pub fn exactly(p: &Placing, place: usize) -> String {
    let stands = stands(p, place);
    let Stands::At(site) = &p.places[place].stands else {
        return stands;
    };
    let (x, y) = site.corner(&p.world.plan);
    let gap = |m: f64, wall: &str| {
        if m < 0.01 {
            format!("at its {wall} end")
        } else {
            format!("{} from its {wall} end", super::length(m, p.world.plan.system))
        }
    };
    match side(site.against) {
        Some("north" | "south") => format!("{stands}, {}", gap(x, "west")),
        Some(_) => format!("{stands}, {}", gap(y, "south")),
        None => {
            format!(
                "{stands}, with {} to its west wall and {} to its south wall",
                super::length(x, p.world.plan.system),
                super::length(y, p.world.plan.system)
            )
        }
    }
}

/// What is put there: "the sideboard", "a new coat rack".
pub fn piece(p: &Placing) -> String {
    if p.is_new {
        format!("a new {}", p.piece.trim_start_matches("new "))
    } else {
        super::with_article(&p.piece)
    }
}

/// The sentence that answers the question.
pub fn sentence(p: &Placing) -> String {
    let what = what(p.serves);
    let today = stands(p, 0);
    let Some(best) = p.finalists.first() else {
        return format!("There is no other place for {what} than {today}.");
    };
    let there = stands(p, p.place(best));
    if p.best().is_some() {
        return format!(
            "Put {what} {there} instead of {today}: {}.{}",
            does(p, best),
            super::still(&p.world, &best.evening)
        );
    }
    if best.against.is_clear() || best.takes_fewer() {
        return format!(
            "Leave {what} {today}. At the best other place, {there}: {}.",
            does(p, best)
        );
    }
    let seen = format!(
        "no difference we can see in {} evenings, {}",
        p.evenings,
        difference(best.against)
    );
    format!(
        "Leave {what} {today}, or put {} {there}: {}.",
        it(p.serves),
        with_guests(seen, taken(p, best))
    )
}

/// "it" or "them".
fn it(serves: Serves) -> &'static str {
    if matches!(serves, Serves::Drinks | Serves::Coats | Serves::Glasses) { "them" } else { "it" }
}

/// What the house takes with a place, if that is known.
fn taken(p: &Placing, place: &Standing) -> Option<String> {
    takes(p.guests, place.guests, place.gain, p.world.scenario.limits.grade)
}

/// What a place does: guests first, where it takes clearly more or fewer, then time.
pub fn does(p: &Placing, place: &Standing) -> String {
    super::compare::does(taken(p, place), place.gain, place.against)
}

/// The best places, then today's, each with its label on the map.
pub fn listed(p: &Placing) -> Vec<(String, String)> {
    let others = p.finalists.iter().enumerate().map(|(i, f)| {
        let gained = f.gain.map_or(String::new(), |e| format!("{}; ", gain(e)));
        (
            (i + 1).to_string(),
            format!("{}: {gained}{}", exactly(p, p.place(f)), difference(f.against)),
        )
    });
    others
        .chain([("T".to_string(), format!("today: {} min lost per guest", minutes(p.lost.value)))])
        .collect()
}

fn lost(e: Estimate) -> String {
    format!(
        "{} min lost per guest (likely {} to {})",
        minutes(e.value),
        minutes(e.low.max(0.0)),
        minutes(e.high)
    )
}

/// Today's row.
pub fn today(p: &Placing) -> String {
    let guests = p
        .guests
        .map_or(String::new(), |w| format!("{}; ", takes_up_to(w, p.world.scenario.limits.grade)));
    format!("as it is, {}: {guests}{}", stands(p, 0), lost(p.lost))
}

/// A finalist on three lines: where, guests, time.
pub fn row(p: &Placing, rank: usize) -> String {
    let f = &p.finalists[rank];
    let gained = f.gain.map_or(String::new(), |e| format!(", {}", gain(e)));
    let guests = f.guests.map_or(String::new(), |w| {
        format!("\n    {}{gained}", takes_up_to(w, p.world.scenario.limits.grade))
    });
    format!(
        "{} {}{guests}\n    {}",
        rank + 1,
        exactly(p, p.place(f)),
        super::compare::against(f.against, p.evenings as usize)
    )
}

/// What the lines to paste are for.
pub fn to_keep(p: &Placing) -> &'static str {
    if p.best().is_some() { "To keep the best" } else { "To try the first" }
}

/// The option to paste for a place.
pub fn paste(p: &Placing, place: usize) -> String {
    super::option(
        &p.world,
        &format!("{} {}", what(p.serves), exactly(p, place)),
        &p.places[place].edits,
    )
}

/// Why there is no answer.
pub fn no_answer(serves: Serves, why: &NoPlacing) -> String {
    let what = what(serves);
    match why {
        NoPlacing::NotServed => {
            format!("this evening has no {}; say where under [place]", serves.word())
        }
        NoPlacing::Fixed => {
            format!("{what} can't be put anywhere else: ask `improve` what helps there")
        }
        NoPlacing::NoFloor => format!(
            "there is no other place for {what} with 36 in of clear floor before it and off the openings"
        ),
    }
}
