//! What `check` points out, in sentences: each with the inches that are missing and where the
//! figure comes from.

use crate::words::{area, capital, door, opening, shown, width, with_article};
use sim::base::units::INCH;
use sim::floor::faults::{Disagreement, Fault, Goal, Hit, Purpose, WHEELCHAIR};
use sim::floor::world::aisles::{Bound, Gap};
use sim::floor::world::{DINERS_TO_SPOT, SpotId, World};
use sim::house::plan::{Furniture, GapOff, OpeningId, PieceId, Plan};

/// One thing worth changing, as a colleague would say it.
pub fn fault(world: &World, fault: &Fault) -> String {
    let plan = &world.plan;
    let of = |meters: f64| width(meters, plan.system);
    match fault {
        Fault::Swing { opening, hits, by, said } => swing(world, *opening, *hits, *by, *said),
        Fault::Blocked { opening: o, piece, before, free } => format!(
            "{} stands {} {}: only {} of its {} is free straight ahead.",
            capital(&piece_of(plan, *piece)),
            if *before < INCH {
                "right in front of".into()
            } else {
                format!("{} from", of(*before))
            },
            opening(plan, &plan.openings[*o]),
            of(*free),
            of(plan.openings[*o].clear)
        ),
        Fault::Way { to, between, clear, least } => format!(
            "The widest way to {} is {} {}: {} ({}).",
            goal(world, *to),
            of(*clear),
            between_words(plan, *between),
            short(plan, least - clear, &format!("a {} walkway", of(*least))),
            Purpose::Walkway.source()
        ),
        Fault::Gap { gap, purpose, least } => gap_words(plan, gap, *purpose, *least),
        Fault::Seats { piece, have, given_up } => seats(world, *piece, *have, *given_up),
    }
}

/// Measures that can't all be true.
pub fn disagreement(plan: &Plan, disagreement: &Disagreement) -> String {
    let of = |meters: f64| width(meters, plan.system);
    match *disagreement {
        Disagreement::Walls { rooms: [a, b], apart } => format!(
            "{} and {}: {} apart, but walls are {} thick",
            plan.rooms[a].name,
            plan.rooms[b].name,
            of(apart),
            of(plan.walls)
        ),
        Disagreement::Clear(o) => {
            let o = &plan.openings[o];
            format!("{}: {} clear is wider than the {} sold", o.name, of(o.clear), of(o.sold))
        }
        Disagreement::Gaps(f) => {
            let f = &plan.furniture[f];
            f.gap_off.map_or(String::new(), |off| gap_off(plan, f, off))
        }
    }
}

fn swing(world: &World, o: OpeningId, hits: Hit, by: f64, said: bool) -> String {
    let plan = &world.plan;
    let swings = capital(&door(plan, &plan.openings[o]));
    let by = width(by, plan.system);
    let what = match hits {
        Hit::Leaf(other) => format!(
            "{swings} and {} hit each other: their swings overlap by {by}.",
            door(plan, &plan.openings[other])
        ),
        Hit::Piece(p) => format!("{swings} swings {by} into {}.", piece_of(plan, p)),
        Hit::Seat(p) => format!("{swings} swings {by} into a chair at {}.", piece_of(plan, p)),
        Hit::Appliance(p) => {
            format!("{swings} swings {by} into the open door of {}.", piece_of(plan, p))
        }
    };
    let hint = match (said, hits) {
        (false, _) => "If yours swings another way, say so with swing = { into = …, hinge = … }.",
        (true, Hit::Leaf(_)) => "Let one of the two swing the other way, or make it a pocket door.",
        (true, _) => "Hang it the other way, or make it a pocket door.",
    };
    format!("{what} {hint}")
}

fn gap_words(plan: &Plan, gap: &Gap, purpose: Purpose, least: f64) -> String {
    let (clear, missing) = (width(gap.clear, plan.system), least - gap.clear);
    let piece = piece_of(plan, gap.piece);
    if purpose == Purpose::BesideToilet {
        return beside_toilet(plan, gap, missing);
    }
    let place = match gap.to {
        Bound::Wall => format!("{clear} from {} of {piece} to the wall", edge(gap)),
        to => format!("{clear} between {piece} and {}", bound(plan, to)),
    };
    let needs = width(least, plan.system);
    let aim = match purpose {
        Purpose::Work => format!("the {needs} one cook needs"),
        Purpose::PastDiners => format!("the {needs} guests need to walk past seated diners"),
        Purpose::Chair => format!("the {needs} a diner needs to push back a chair"),
        Purpose::Walkway => format!("a {needs} walkway"),
        Purpose::Knees => format!("the {needs} that knees need"),
        Purpose::Toilet | Purpose::BesideToilet => format!("the {needs} that codes ask for"),
        Purpose::ApplianceDoor => format!("the {needs} its open door takes"),
    };
    format!("{place}: {} ({}).", short(plan, missing, &aim), purpose.source())
}

/// A toilet is measured from its middle.
fn beside_toilet(plan: &Plan, gap: &Gap, missing: f64) -> String {
    let (middle, needs) = (
        width(Purpose::MIDDLE_OF_TOILET - missing, plan.system),
        width(Purpose::MIDDLE_OF_TOILET, plan.system),
    );
    let (piece, short) = (
        piece_of(plan, gap.piece),
        short(plan, missing, &format!("the {needs} that codes ask for")),
    );
    format!(
        "{middle} from the middle of {piece} to {}: {short} ({}).",
        bound(plan, gap.to),
        Purpose::BesideToilet.source()
    )
}

/// The edge of a piece a gap is measured from.
fn edge(gap: &Gap) -> &'static str {
    match gap.side {
        sim::house::plan::Side::Front => "the front",
        sim::house::plan::Side::Back => "the back",
        sim::house::plan::Side::Ends => "an end",
    }
}

/// "6 in short of a 36 in walkway".
fn short(plan: &Plan, missing: f64, aim: &str) -> String {
    format!("{} short of {aim}", width(missing, plan.system))
}

pub(super) fn between_words(plan: &Plan, between: [Bound; 2]) -> String {
    match between {
        [Bound::Wall, Bound::Wall] => "from wall to wall".into(),
        [Bound::Wall, b] => format!("between {} and the wall", bound(plan, b)),
        [a, b] if a == b => format!("beside {}", bound(plan, a)),
        [a, b] => format!("between {} and {}", bound(plan, a), bound(plan, b)),
    }
}

pub(super) fn bound(plan: &Plan, bound: Bound) -> String {
    match bound {
        Bound::Piece(p) => piece_of(plan, p),
        Bound::Leaf(o) => format!("the open leaf of {}", opening(plan, &plan.openings[o])),
        Bound::Wall => "the wall".into(),
    }
}

pub(super) fn piece_of(plan: &Plan, piece: PieceId) -> String {
    with_article(&plan.furniture[piece].name)
}

fn goal(world: &World, to: Goal) -> String {
    match to {
        Goal::Opening(o) => opening(&world.plan, &world.plan.openings[o]),
        Goal::Spot(s) => {
            format!("{} at {}", world.spots[s].serves.word(), with_article(&world.spots[s].name))
        }
    }
}

fn seats(world: &World, piece: PieceId, have: usize, given_up: Option<(usize, SpotId)>) -> String {
    let f: &Furniture = &world.plan.furniture[piece];
    let (name, wanted) = (capital(&with_article(&f.name)), f.seats as usize);
    let all = |n: usize| {
        if wanted == 1 { "its one seat".to_string() } else { format!("{n} of its {wanted} seats") }
    };
    let unreached = wanted - have - given_up.map_or(0, |g| g.0);
    let lost = given_up.map(|(n, spot)| {
        let spot = &world.spots[spot];
        match spot.name == f.name {
            true => format!(
                "{name} loses {} to guests who stand there for the {}.",
                all(n),
                spot.serves.word()
            ),
            false => {
                format!(
                    "{name} loses {} to guests who stand at {}: leave {} between the two.",
                    all(n),
                    with_article(&spot.name),
                    width((DINERS_TO_SPOT / INCH).ceil() * INCH, world.plan.system)
                )
            }
        }
    });
    let no_floor = (unreached > 0).then(|| match lost {
        None if wanted == 1 => format!("{name} has no floor before it to sit down from."),
        None => format!("{name} has floor to reach only {have} of its {wanted} seats."),
        Some(_) => {
            format!(
                "{unreached} more {} no floor to reach {}.",
                if unreached == 1 { "has" } else { "have" },
                if unreached == 1 { "it" } else { "them" }
            )
        }
    });
    lost.into_iter().chain(no_floor).collect::<Vec<_>>().join(" ")
}

/// A piece whose gaps to two opposite walls can't both be true.
fn gap_off(plan: &Plan, f: &Furniture, gap: GapOff) -> String {
    let [said, left] = [gap.said, gap.left].map(|m| width(m, plan.system));
    let size = [f.width, f.depth].map(|m| width(m, plan.system)).join(" by ");
    format!(
        "{}: {said} to the {} wall in the file, but {left} are left there ({size}, the opposite gap kept)",
        shown(&f.name),
        gap.to.word()
    )
}

/// Doors too narrow for a wheelchair, or nothing.
pub fn too_narrow_for_wheelchairs(plan: &Plan, narrow: &[OpeningId]) -> Option<String> {
    let each: Vec<String> = narrow
        .iter()
        .map(|&o| {
            format!(
                "{} ({})",
                shown(&plan.openings[o].name),
                width(plan.openings[o].clear, plan.system)
            )
        })
        .collect();
    (!each.is_empty()).then(|| {
        format!(
            "Too narrow for a wheelchair, which takes {} clear (ADA 404.2.3): {}.",
            width(WHEELCHAIR, plan.system),
            each.join(", ")
        )
    })
}

/// What was found, in a few words.
pub fn found(disagree: usize, faults: usize) -> String {
    match (disagree, faults) {
        (0, 0) => "nothing stands out as too tight".into(),
        (0, 1) => "one thing is worth changing".into(),
        (0, n) => format!("{n} things are worth changing"),
        (1, _) => "one measure disagrees".into(),
        (n, _) => format!("{n} measures disagree"),
    }
}

/// What `check` understood: rooms, clear floor for guests, whether measures agree, and how much is
/// worth changing.
pub fn understood(world: &World, disagree: usize, faults: usize) -> String {
    let measures =
        if disagree == 0 { "All measures agree".into() } else { capital(&found(disagree, faults)) };
    let changes = found(0, faults);
    let rooms = world.plan.named_rooms().len();
    let rooms = if rooms == 1 { "One room".to_string() } else { format!("{rooms} rooms") };
    format!(
        "{rooms} with {} of clear floor for guests. {measures}; {changes}.",
        area(world.clear_floor, world.plan.system)
    )
}
