//! What is wrong with a house: rooms, stairs, openings, pieces.

use super::{Told, one_of};
use sim::base::units::{FOOT, INCH, LONGEST, SQUARE_FOOT};
use sim::house::plan::THICKEST_WALL;
use sim::house::problem::{BadOpening, BadPiece, BadRoom, BadStairs, Met};

/// What is said to be wider than this and does not fit was meant in inches, in meters (20 ft).
const WIDEST_DOOR: f64 = 20.0 * FOOT;

pub(super) fn room(bad: &BadRoom) -> Told {
    match bad {
        BadRoom::None => Told::new(
            "the plan has no rooms",
            "start with [[room]] name = \"living\", size = [\"18ft\", \"14ft\"]",
        ),
        BadRoom::CrossesItself { name } => crosses(name, "room"),
        BadRoom::TooNarrow { name } => Told::new(
            format!("`{name}` is less than a foot across"),
            "sizes are clear floor, wall to wall",
        ),
        BadRoom::NoPosition { name } => Told::new(
            format!("`{name}` has no position"),
            "add east_of, west_of, north_of or south_of another room, or at = [x, y]",
        ),
        BadRoom::BesideItself { name } => {
            Told::new(format!("`{name}` is placed beside itself"), "name the room next to it")
        }
        BadRoom::EachByOther { name, other } => Told::new(
            format!("`{name}` and `{other}` are each placed by the other"),
            "follow the chain of neighbors: one of them needs at = [x, y], or must be the first room",
        ),
        BadRoom::FlushAcross { side, flush, ends: [a, b] } => Told::new(
            format!("a room {side} of another cannot be flush {flush}"),
            format!("expected `{a}` or `{b}`"),
        ),
        BadRoom::Overlap { name, other, shared, on_levels, both_stairs } => Told::new(
            format!(
                "`{name}` overlaps `{other}` by {:.1} sq ft ({shared:.2} m2)",
                shared / SQUARE_FOOT
            ),
            apart(*on_levels, *both_stairs),
        ),
        BadRoom::HouseTooWide => Told::new(
            format!("the house is more than {LONGEST} m across"),
            "check the lengths and the units",
        ),
        BadRoom::ZoneOutside { name, room } => Told::new(
            format!("`{name}` reaches out of `{room}`"),
            "a zone is a part of one room: give it a smaller size or another place",
        ),
        BadRoom::WindowTooWide { wall, room } => Told::new(
            format!("the window is wider than the {wall} wall of `{room}`, or reaches beyond it"),
            "make it narrower, or move it along the wall with a gap to one end",
        ),
    }
}

fn crosses(name: &str, what: &str) -> Told {
    Told::new(
        format!("the outline of `{name}` crosses or touches itself"),
        format!("list the corners in order round the {what}, each once"),
    )
}

fn apart(on_levels: bool, both_stairs: bool) -> &'static str {
    match (on_levels, both_stairs) {
        (true, true) => "stairs take their floor on both levels: put the two beside each other",
        (true, false) => {
            "move it with offset, flush or at, make one of them smaller, or say with level = \"…\" which level each is on"
        }
        (false, _) => "move it with offset, flush or at, or make one of them smaller",
    }
}

pub(super) fn stairs(bad: &BadStairs) -> Told {
    const LEVELS: &str = "levels = [\"lower\", \"ground\"]";
    match bad {
        BadStairs::EmptyLevel { level } => {
            Told::new(format!("no room is on level `{level}`"), "give rooms level = \"…\"")
        }
        BadStairs::UnclearLevel { room } => Told::new(
            format!("the level of `{room}` isn't clear: it is beside stairs, which are on two"),
            "add level = \"…\"",
        ),
        BadStairs::NoLevels => Told::new(
            "the plan has no levels",
            format!("name them at the top, from the lowest: {LEVELS}"),
        ),
        BadStairs::OneLevel => Told::new(
            "the plan names one level, and stairs join two",
            "add the other one to levels at the top",
        ),
        BadStairs::NoStairs { room } => Told::new(
            format!("`{room}` isn't a flight of stairs"),
            "these go with use = \"stairs\"; other rooms have level = \"…\"",
        ),
        BadStairs::OnTwoLevels { name } => {
            Told::new(format!("`{name}` is on two levels"), format!("stairs have {LEVELS}"))
        }
        BadStairs::NoUp { name } => Told::new(
            format!("`{name}` doesn't say which way it goes up"),
            "add up = \"north\", \"south\", \"east\" or \"west\"",
        ),
        BadStairs::Rise { name } => Told::new(
            format!("`{name}` rises less than 1 ft or more than 26 ft"),
            "rise is from floor to floor, such as \"9ft\"",
        ),
        BadStairs::LevelsUnsaid { name } => Told::new(
            format!("`{name}` doesn't say which levels it joins"),
            format!("add {LEVELS}"),
        ),
        BadStairs::OneLevelTwice { name } => {
            Told::new(format!("`{name}` joins a level to itself"), "stairs join two levels")
        }
        BadStairs::UnknownLevel { name } => Told::new(
            format!("`{name}` joins a level that the plan does not name"),
            "use the names in levels at the top of the plan",
        ),
        BadStairs::NoRectangle { name } => Told::new(
            format!("`{name}` is not a rectangle"),
            "a flight is straight: give it a size; a turn is a landing between two flights",
        ),
        BadStairs::TooShort { name, least } => Told::new(
            format!("`{name}` is less than {:.0} in long", least / INCH),
            "a step or two need no level of their own: leave them out, or make the flight as long as it is",
        ),
        BadStairs::PieceOnStairs { piece } => {
            Told::new(format!("`{piece}` stands on stairs"), "keep stairs free")
        }
        BadStairs::NoOpening { name, upper, level } => Told::new(
            format!(
                "`{name}` has no opening at its {} end",
                if *upper { "upper" } else { "lower" }
            ),
            format!("add an opening that joins it to a room of level `{level}`"),
        ),
    }
}

pub(super) fn opening(bad: &BadOpening) -> Told {
    match bad {
        BadOpening::TooNarrow { name, clear } => Told::new(
            format!("`{name}` would be {:.1} in clear", clear / INCH),
            "a body needs about a foot; check width, clear and style",
        ),
        BadOpening::TooWide { name, width, wall, gap } => Told::new(
            format!(
                "`{name}` is {:.1} in wide{}, but the wall there is {:.1} in long",
                width / INCH,
                gap.filter(|_| width <= wall).map_or(String::new(), |(end, gap)| {
                    format!(" and {:.1} in from the {end} end", gap / INCH)
                }),
                wall / INCH
            ),
            if *width > WIDEST_DOOR {
                "a bare number counts feet, or meters where units = \"m\": for inches write width = \"36in\""
            } else {
                "make it narrower, or move it along the wall"
            },
        ),
        BadOpening::SameRoom => {
            Told::bare("an opening joins two different rooms, or one room and outside")
        }
        BadOpening::IntoRoom { name, inner, room } => Told::new(
            format!("`{name}` leads outside, but behind that wall of `{inner}` is `{room}`"),
            format!("join it to `{room}`, or take a wall with nothing behind it"),
        ),
        BadOpening::SameWall { name, other } => Told::new(
            format!("`{name}` and `{other}` are in the same piece of wall"),
            "say where along the wall with north, south, east or west = gap",
        ),
        BadOpening::NoPanel { style } => Told::new(
            format!("a {} opening has no panel that slides", style),
            "opens goes with style sliding",
        ),
        BadOpening::NoSuchEnd { end, ends } => {
            Told::new(format!("the door has no {end} end"), one_of(ends))
        }
        BadOpening::NoLeaf { style } => Told::new(
            format!("a {} opening has no leaf to swing", style),
            "swing goes with style hinged or double",
        ),
        BadOpening::SwingsElsewhere { into, rooms: [a, b] } => {
            Told::new(format!("`{into}` is not one of the rooms it joins"), one_of(&[a, b]))
        }
        BadOpening::NoSharedWall { inner, other, wall } => {
            let side = wall.map_or(String::new(), |w| format!(" on the {w} of `{inner}`"));
            Told::new(
                format!("`{inner}` and `{other}` share no wall{side}"),
                format!(
                    "rooms share a wall when they face each other less than {:.0} in apart; check where they are placed",
                    THICKEST_WALL / INCH
                ),
            )
        }
        BadOpening::WallUnsaid { inner } => {
            Told::new(format!("say which wall of `{inner}` leads outside"), WALL)
        }
        BadOpening::NoStraightWall { inner } => {
            Told::new(format!("`{inner}` has no straight wall on that side"), WALL)
        }
        BadOpening::StairsOutside { name } => Told::new(
            format!("`{name}` leads outside"),
            "stairs lead from room to room: put a hall or a porch before them",
        ),
        BadOpening::FlightsMeet => {
            Told::new("two flights of stairs meet", "put a landing between them")
        }
        BadOpening::DifferentLevels { inner, other } => Told::new(
            format!("`{inner}` and `{other}` are on different levels"),
            "join them by stairs",
        ),
        BadOpening::StairsElsewhere { stairs, room } => Told::new(
            format!("`{stairs}` does not lead to the level of `{room}`"),
            "check level, and levels of the stairs",
        ),
        BadOpening::StairsTurned(met) => {
            Told::new(meets(met), "leave wall out, or turn the stairs with up")
        }
        BadOpening::StairsApart(met) => Told::new(
            format!("{}, where they share no wall", meets(met)),
            "turn the stairs with up, move one of the two, or say with level = \"…\" which level the room is on",
        ),
    }
}

const WALL: &str = "add wall = \"north\", \"south\", \"east\" or \"west\"";

fn meets(Met { stairs, up, room, end }: &Met) -> String {
    format!("going up to the {up}, `{stairs}` can only meet `{room}` at the {end} end")
}

pub(super) fn piece(bad: &BadPiece) -> Told {
    match bad {
        BadPiece::CrossesItself { name } => crosses(name, "piece"),
        BadPiece::NoSize => {
            Told::new("the piece has no size", "size = [along its front, front to back]")
        }
        BadPiece::TurnedCompass => {
            Told::new("a turned piece has no compass sides", "expected `front`, `back` or `ends`")
        }
        BadPiece::NoRoom { name, east_west, north_south, room } => Told::new(
            format!(
                "`{name}` ({:.0} by {:.0} in as it stands) does not fit into `{room}`",
                east_west / INCH,
                north_south / INCH
            ),
            "give it a smaller size, another turn or another room",
        ),
        BadPiece::InWall { name, share, room } => Told::new(
            format!("`{name}` stands in a wall: {:.0}% of it is outside `{room}`", 100.0 * share),
            "gaps count from the walls of its room, at = [x, y] from the room's south-west corner",
        ),
        BadPiece::InPiece { name, other } => {
            Told::new(format!("`{name}` stands in `{other}`"), "move one of them")
        }
    }
}
