//! What is wrong with names.

use super::{Told, one_of, suggest};
use sim::house::problem::{BadName, Named};

pub(super) fn name(bad: &BadName) -> Told {
    match bad {
        BadName::Unknown { what, name, known } => {
            Told::new(format!("there is no {} `{name}`", kind(*what)), suggest(name, known))
        }
        BadName::Nothing { name, known } => {
            Told::new(format!("the plan has nothing called `{name}`"), suggest(name, known))
        }
        BadName::NothingServes { name, serves } => Told::new(
            format!("the plan has nothing called `{name}`"),
            format!("the plan has nothing that could serve {serves}"),
        ),
        BadName::NothingToRemove { name, known } => {
            Told::new(format!("the plan has nothing called `{name}` to remove"), all(known))
        }
        BadName::NothingToChange { name, known } => {
            Told::new(format!("the plan has nothing called `{name}` to change"), all(known))
        }
        BadName::Unchangeable { name } => {
            Told::bare(format!("the plan has no `{name}` that can be changed so"))
        }
        BadName::PieceAsPowderRoom { name, known } => Told::new(
            format!("`{name}` is a piece of furniture, not a powder room"),
            suggest(name, known),
        ),
        BadName::RoomAsPowderRoom { name, usage } => Told::new(
            format!("`{name}` isn't a powder room: its use is {}", usage),
            "give it use = \"powder\" or \"bath\" in the plan, or name another",
        ),
        BadName::ServedInPrivate { serves, room, name } => Told::new(
            format!("nobody wants {serves} in the `{room}`, where `{name}` stands"),
            "name a piece in another room, or say what the room is for with use = \"…\"",
        ),
        BadName::ServedInRoom { serves, name, known } => Told::new(
            format!("`{name}` is a room: {serves} needs a piece with a top"),
            suggest(name, known),
        ),
        BadName::Taken { name, by } => Told::new(
            format!("the name `{name}` is already taken by {by}"),
            "names are unique over rooms, openings and furniture",
        ),
        BadName::ZoneTaken { name } => Told::new(
            format!("the name `{name}` is already taken"),
            "give each zone a name of its own, and none of a room",
        ),
        BadName::TwoOptions { name } => Told::new(
            format!("there are two options called `{name}`"),
            "names of options are unique",
        ),
        BadName::TwoLevels { name } => {
            Told::new(format!("there are two levels called `{name}`"), "names of levels are unique")
        }
    }
}

fn kind(what: Named) -> &'static str {
    match what {
        Named::Room => "room",
        Named::Opening => "opening",
        Named::Level => "level",
        Named::Option => "option called",
        Named::WayIn => "way in from outside called",
    }
}

fn all(known: &[String]) -> String {
    one_of(&known.iter().map(String::as_str).collect::<Vec<_>>())
}
