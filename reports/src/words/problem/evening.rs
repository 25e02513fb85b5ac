//! What is wrong with an evening, and what shows only on the floor.

use super::{Told, suggest};
use sim::house::problem::{BadEvening, BadFloor, Because};

pub(super) fn evening(bad: &BadEvening) -> Told {
    match bad {
        BadEvening::TooManyScripted { guests, most } => {
            Told::new(format!("{guests} scripted guests in all"), format!("at most {most}"))
        }
        BadEvening::TooManyStops { stops, most } => Told::new(
            format!("{stops} stops of scripted guests in all"),
            format!("at most {most}: fewer guests, stops or repeats"),
        ),
        BadEvening::NotDuring { from, to } => Told::new(
            "the time is not during the evening",
            format!("the evening goes from {from} to {to}"),
        ),
        BadEvening::GreetedAtDoor => Told::bare("guests are greeted at the door they come through"),
        BadEvening::TooManyAtOnce { guests } => {
            Told::bare(format!("{guests} guests can't be served at once"))
        }
        BadEvening::OwnTimes => Told::bare("guests come at times of their own"),
        BadEvening::ServesNothing { name, known } => {
            Told::new(format!("nothing is served at `{name}`"), suggest(name, known))
        }
        BadEvening::TooManyGuests { guests, most, densest } => Told::new(
            format!("{guests} guests don't fit on the floor"),
            format!("even a dense crowd takes {densest} sq ft per person: {most} guests at most"),
        ),
        BadEvening::RoomTooFull { guests, room, most } => Told::new(
            format!("{guests} guests do not fit into `{room}` at the start"),
            format!("at most {most}: half of what can stand there"),
        ),
    }
}

pub(super) fn floor(bad: &BadFloor) -> Told {
    match bad {
        BadFloor::TooLarge => Told::new(
            "the house is too large to be walked by simulated guests",
            "check the lengths and the units; draw the part of it that guests use",
        ),
        BadFloor::NoWayIn => Told::new(
            "there is no way in from outside",
            "add an opening { joins = [\"outside\", \"hall\"], wall = \"south\" }",
        ),
        BadFloor::ClosedWayIn { opening } => {
            Told::new(format!("`{opening}` is closed"), "open it under [doors]")
        }
        BadFloor::BlockedWayIn { opening } => Told::new(
            format!("nobody can come in through `{opening}`"),
            "keep the floor inside and outside it free of furniture",
        ),
        BadFloor::UnreachableRoom { room, because } => {
            Told::new(format!("nobody can reach `{room}`"), way_in(because))
        }
        BadFloor::ClosetWithoutOpening { room } => Told::new(
            format!("`{room}` has no opening"),
            "add an opening that joins it to the room before it",
        ),
        BadFloor::UnreachableStop { name } => {
            Told::new(format!("nobody can reach `{name}`"), "keep a way to it free")
        }
        BadFloor::UnreachableSpot { serves, name } => Told::new(
            format!("nobody can get {serves} at `{name}`: no floor to stand on, or no way there"),
            served_where(serves),
        ),
    }
}

/// What would let guests in.
fn way_in(because: &Because) -> String {
    match because {
        Because::NarrowOpening { opening, clear, system } => format!(
            "`{opening}` is {} clear: nobody gets through less than a foot (0.3 m)",
            system.tape(*clear)
        ),
        Because::PieceBefore { piece, opening, far, system } => format!(
            "`{piece}` stands {} from the middle of `{opening}` and may be in the way: move it, or what else stands there",
            system.tape(*far)
        ),
        Because::NoOpening => "give it an opening".into(),
        Because::Furniture => "keep the way to it free of furniture".into(),
    }
}

fn served_where(serves: &str) -> &'static str {
    match serves {
        "powder" => "the powder room is a room with use powder or bath that guests can walk into",
        "coats" => {
            "coats go to a closet, a rack or a bed that guests can walk up to; name the bed, not its room"
        }
        _ => "choose a piece with a top, and keep 2 ft of floor free before a side in use",
    }
}
