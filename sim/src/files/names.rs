//! Names in a scenario, held against the plan: what is there, and can be what it is said to be.

use crate::evening::scenario::{From, Scenario, Serves};
use crate::house::plan::{LEAVE, OUTSIDE, Plan, RoomId};
use crate::house::problem::{BadName, File, Named, Problem, owned};

/// Everything that is wrong with the names in a scenario, held against the plan.
pub(super) fn problems(s: &Scenario, plan: &Plan) -> Vec<Problem> {
    let places = s.place.iter().flat_map(|(&serves, names)| served(serves, names, plan));
    places
        .chain(doors(s, plan))
        .chain(way_in(s, plan))
        .chain(servings(s, plan))
        .chain(lines(s, plan))
        .chain(pulls(s, plan))
        .chain(scripts(s, plan))
        .collect()
}

/// What is named for something and isn't there, or can't be it.
fn served(serves: Serves, names: &[String], plan: &Plan) -> Vec<Problem> {
    let at = || format!("place/{}", serves.word());
    let wrong = |name: &String| {
        if plan.piece(name).is_none() && plan.room(name).is_none() {
            let (name, known) = (name.clone(), owned(&could_serve(serves, plan)));
            let wrong = if known.is_empty() {
                BadName::NothingServes { name, serves: serves.word() }
            } else {
                BadName::Nothing { name, known }
            };
            return Some(Problem::of_scenario(at(), wrong));
        }
        cannot_serve(serves, name, plan).map(|wrong| Problem::of_scenario(at(), wrong))
    };
    names.iter().filter_map(wrong).collect()
}

fn no_opening(at: String, name: &str, plan: &Plan) -> Problem {
    let known: Vec<&str> = plan.openings.iter().map(|o| o.name.as_str()).collect();
    Problem::unknown_name(File::Scenario, at, Named::Opening, name, &known)
}

fn no_room(at: String, name: &str, plan: &Plan, more: &[&str]) -> Problem {
    let rooms = plan.rooms.iter().map(|r| r.name.as_str());
    let known: Vec<&str> = rooms.chain(more.iter().copied()).collect();
    Problem::unknown_name(File::Scenario, at, Named::Room, name, &known)
}

fn nothing_called(at: String, name: &str, plan: &Plan, more: &[&str]) -> Problem {
    let known: Vec<&str> = plan.names().into_iter().chain(more.iter().copied()).collect();
    Problem::of_scenario(at, BadName::Nothing { name: name.into(), known: owned(&known) })
}

fn doors<'a>(s: &'a Scenario, plan: &'a Plan) -> impl Iterator<Item = Problem> + 'a {
    let unknown = s.doors.keys().filter(|name| plan.opening(name).is_none());
    unknown.map(|name| no_opening(format!("doors/{name}"), name, plan))
}

fn way_in(s: &Scenario, plan: &Plan) -> Option<Problem> {
    let out: Vec<&str> = plan.ways_out().map(|(_, o)| o.name.as_str()).collect();
    let name = s.through.as_ref().filter(|name| !out.contains(&name.as_str()))?;
    Some(Problem::unknown_name(File::Scenario, "arrivals/through", Named::WayIn, name, &out))
}

fn servings<'a>(s: &'a Scenario, plan: &'a Plan) -> impl Iterator<Item = Problem> + 'a {
    let is_known = |name: &str| Serves::from_word(name).is_some() || plan.names().contains(&name);
    let unknown = s.serving.keys().filter(move |name| !is_known(name));
    unknown.map(|name| {
        nothing_called(format!("serving/{name}"), name, plan, &Serves::ALL.map(Serves::word))
    })
}

fn lines<'a>(s: &'a Scenario, plan: &'a Plan) -> impl Iterator<Item = Problem> + 'a {
    s.lines.iter().flat_map(|(name, way)| {
        let at = format!("lines/{name}");
        let no_spot = plan.piece(name).is_none() && plan.room(name).is_none();
        let no_way = plan.opening(way).is_none();
        let spot = no_spot.then(|| nothing_called(at.clone(), name, plan, &[]));
        spot.into_iter().chain(no_way.then(|| no_opening(at, way, plan)))
    })
}

fn pulls<'a>(s: &'a Scenario, plan: &'a Plan) -> impl Iterator<Item = Problem> + 'a {
    let unknown = s.talk.pull.keys().filter(|name| plan.room(name).is_none());
    unknown.map(|name| no_room(format!("talk/pull/{name}"), name, plan, &[]))
}

/// Stops of scripts, and the rooms in which they begin.
fn scripts<'a>(s: &'a Scenario, plan: &'a Plan) -> impl Iterator<Item = Problem> + 'a {
    s.errands.iter().enumerate().flat_map(move |(i, errand)| {
        let unknown =
            move |name: &&String| name.as_str() != LEAVE && !plan.names().contains(&name.as_str());
        let stops = errand.stops.iter().filter(unknown);
        let stops = stops
            .map(move |stop| nothing_called(format!("errand/{i}/stops"), stop, plan, &[LEAVE]));
        let from = match &errand.from {
            From::Room(name) if plan.room(name).is_none() => {
                Some(no_room(format!("errand/{i}/from"), name, plan, &[OUTSIDE]))
            }
            _ => None,
        };
        stops.chain(from)
    })
}

/// Why something that is there cannot be what it is said to be.
fn cannot_serve(serves: Serves, named: &str, plan: &Plan) -> Option<BadName> {
    let usage = |r: RoomId| plan.rooms[r].usage;
    let (name, word) = (named.to_string(), serves.word());
    let known = || owned(&could_serve(serves, plan));
    match (serves, plan.piece(named), plan.room(named)) {
        (Serves::Powder, Some(_), _) => Some(BadName::PieceAsPowderRoom { name, known: known() }),
        (Serves::Powder, _, Some(r)) if !usage(r).is_private() => {
            Some(BadName::RoomAsPowderRoom { name, usage: usage(r).word() })
        }
        (Serves::Food | Serves::Drinks | Serves::Glasses, Some(p), _)
            if usage(plan.furniture[p].room).is_private() =>
        {
            let room = plan.rooms[plan.furniture[p].room].name.clone();
            Some(BadName::ServedInPrivate { serves: word, room, name })
        }
        (Serves::Food | Serves::Drinks | Serves::Glasses, _, Some(_)) => {
            Some(BadName::ServedInRoom { serves: word, name, known: known() })
        }
        (Serves::Door | Serves::Coats | Serves::Powder, ..)
        | (Serves::Food | Serves::Drinks | Serves::Glasses, ..) => None,
    }
}

/// Names of what could serve something.
fn could_serve(serves: Serves, plan: &Plan) -> Vec<&str> {
    let pieces = plan.furniture.iter().filter(|f| serves.may_be_on(f));
    let rooms = plan.named_rooms().iter().filter(|r| serves.may_be_in(r));
    pieces.map(|f| f.name.as_str()).chain(rooms.map(|r| r.name.as_str())).collect()
}
