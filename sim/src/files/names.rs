//! Names in a scenario, held against the plan: what is there, and can be what it is said to be.

use super::decode::Decoder;
use crate::evening::scenario::{From, Scenario, Serves};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{LEAVE, OUTSIDE, Plan, Use};
use crate::house::problem::{File, Problem, suggest};

/// Everything that is wrong with the names in a scenario, held against the plan.
pub(super) fn problems(s: &Scenario, plan: &Plan) -> Vec<Problem> {
    let mut d = Decoder::new(File::Scenario);
    check(s, plan, &mut d);
    d.problems
}

fn check(s: &Scenario, plan: &Plan, d: &mut Decoder) {
    for (serves, names) in &s.place {
        for name in names {
            if plan.piece(name).is_none() && plan.room(name).is_none() {
                let known = could_serve(*serves, plan);
                let hint = if known.is_empty() {
                    format!("the plan has nothing that could serve {}", serves.word())
                } else {
                    suggest(name, &known)
                };
                d.wrong(
                    &format!("place/{}", serves.word()),
                    format!("the plan has nothing called `{name}`"),
                    hint,
                );
            } else if let Some((why, hint)) = cannot_serve(*serves, name, plan) {
                d.wrong(&format!("place/{}", serves.word()), why, hint);
            }
        }
    }
    let openings: Vec<&str> = plan.openings.iter().map(|o| o.name.as_str()).collect();
    for name in s.doors.keys().filter(|n| plan.opening(n).is_none()) {
        d.problems.push(Problem::unknown_name(
            d.file,
            format!("doors/{name}"),
            "opening",
            name,
            &openings,
        ));
    }
    if let Some(name) = s.through.as_ref().filter(|n| !plan.ways_out().any(|(_, o)| o.name == **n))
    {
        let out: Vec<&str> = plan.ways_out().map(|(_, o)| o.name.as_str()).collect();
        d.problems.push(Problem::unknown_name(
            d.file,
            "arrivals/through",
            "way in from outside called",
            name,
            &out,
        ));
    }
    for name in s
        .serving
        .keys()
        .filter(|n| Serves::from_word(n).is_none() && !plan.names().contains(&n.as_str()))
    {
        unknown(plan, d, &format!("serving/{name}"), name, &Serves::ALL.map(Serves::word));
    }
    for (name, way) in &s.lines {
        if plan.piece(name).is_none() && plan.room(name).is_none() {
            unknown(plan, d, &format!("lines/{name}"), name, &[]);
        }
        if plan.opening(way).is_none() {
            d.problems.push(Problem::unknown_name(
                d.file,
                format!("lines/{name}"),
                "opening",
                way,
                &openings,
            ));
        }
    }
    for name in s.talk.pull.keys().filter(|n| plan.room(n).is_none()) {
        let rooms: Vec<&str> = plan.rooms.iter().map(|r| r.name.as_str()).collect();
        d.problems.push(Problem::unknown_name(
            d.file,
            format!("talk/pull/{name}"),
            "room",
            name,
            &rooms,
        ));
    }
    for (i, errand) in s.errands.iter().enumerate() {
        for stop in errand
            .stops
            .iter()
            .filter(|n| n.as_str() != LEAVE && !plan.names().contains(&n.as_str()))
        {
            unknown(plan, d, &format!("errand/{i}/stops"), stop, &[LEAVE]);
        }
        if let From::Room(name) = &errand.from
            && plan.room(name).is_none()
        {
            let rooms: Vec<&str> =
                plan.rooms.iter().map(|r| r.name.as_str()).chain([OUTSIDE]).collect();
            d.problems.push(Problem::unknown_name(
                d.file,
                format!("errand/{i}/from"),
                "room",
                name,
                &rooms,
            ));
        }
    }
}

/// Why something that is there cannot be what it is said to be, and what to do.
fn cannot_serve(serves: Serves, name: &str, plan: &Plan) -> Option<(String, String)> {
    let usage = |r: usize| plan.rooms[r].usage;
    match (serves, plan.piece(name), plan.room(name)) {
        (Serves::Powder, Some(_), _) => Some((
            format!("`{name}` is a piece of furniture, not a powder room"),
            suggest(name, &could_serve(serves, plan)),
        )),
        (Serves::Powder, _, Some(r)) if !usage(r).is_private() => {
            let says = format!("`{name}` isn't a powder room: its use is {}", usage(r).word());
            Some((says, "give it use = \"powder\" or \"bath\" in the plan, or name another".into()))
        }
        (Serves::Food | Serves::Drinks | Serves::Glasses, Some(p), _)
            if usage(plan.furniture[p].room).is_private() =>
        {
            let room = &plan.rooms[plan.furniture[p].room].name;
            Some((
                format!("nobody wants {} in the `{room}`, where `{name}` stands", serves.word()),
                "name a piece in another room, or say what the room is for with use = \"…\"".into(),
            ))
        }
        (Serves::Food | Serves::Drinks | Serves::Glasses, _, Some(_)) => Some((
            format!("`{name}` is a room: {} needs a piece with a top", serves.word()),
            suggest(name, &could_serve(serves, plan)),
        )),
        _ => None,
    }
}

/// Names of what could serve something.
fn could_serve(serves: Serves, plan: &Plan) -> Vec<&str> {
    let pieces = plan.furniture.iter().filter(|f| match serves {
        Serves::Coats => matches!(f.kind, Kind::Rack | Kind::Bed),
        Serves::Powder | Serves::Door => false,
        Serves::Food | Serves::Drinks => f.carries(),
        Serves::Glasses => f.carries() || matches!(f.kind, Kind::Cabinet | Kind::Shelf),
    });
    let rooms = plan.named_rooms().iter().filter(|r| match serves {
        Serves::Coats => r.takes_coats() || r.usage == Use::Bedroom,
        Serves::Powder => r.usage.is_private(),
        _ => false,
    });
    pieces.map(|f| f.name.as_str()).chain(rooms.map(|r| r.name.as_str())).collect()
}

fn unknown(plan: &Plan, d: &mut Decoder, at: &str, name: &str, more: &[&str]) {
    let known: Vec<&str> = plan.names().into_iter().chain(more.iter().copied()).collect();
    d.wrong(at, format!("the plan has nothing called `{name}`"), suggest(name, &known));
}
