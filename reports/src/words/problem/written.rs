//! What is wrong with a file as it is written: the file itself, keys, values.

use super::{Told, suggest};
use sim::base::units::{LONGEST, Unread};
use sim::house::problem::{BadFile, BadKey, BadValue, Bounds, Expected, Found, Needed, TwoWays};

pub(super) fn file(bad: &BadFile) -> Told {
    match bad {
        BadFile::Unread { path, why } => Told::new(
            format!("cannot read `{path}`: {why}"),
            "check the path; `elbowroom new DIR` writes a plan to start from",
        ),
        BadFile::UnreadPlan { path, why } => Told::new(
            format!("cannot read the plan `{path}`: {why}"),
            "plan = \"plan.toml\" counts from the scenario's folder",
        ),
        BadFile::UnreadOptionPlan { path, why } => Told::new(
            format!("cannot read the plan `{path}`: {why}"),
            "the path counts from the plan's folder",
        ),
        BadFile::MalformedOptionPlan { path, parser } => {
            Told::new(format!("`{path}` is not TOML: {parser}"), "check that file by itself")
        }
        BadFile::NoPlan { path } => Told::new(
            format!("`{path}` is no plan"),
            "a plan is a TOML file that starts with format = 1",
        ),
        BadFile::DuplicateKey { parser } => Told::new(
            parser,
            "use either [[room]] blocks or one room = [...] list, not both, and every key once",
        ),
        BadFile::Malformed { parser } => {
            Told::new(parser, "this is not TOML: check quotes, brackets and commas near here")
        }
        BadFile::LaterFormat(n) => Told::new(
            format!("this file is format {n}; this program reads format 1"),
            "use a newer elbowroom",
        ),
        BadFile::PlanHasNoOptions => {
            Told::new("a plan alone has no options", "name the scenario that holds the option")
        }
    }
}

pub(super) fn key(bad: &BadKey) -> Told {
    match bad {
        BadKey::Unknown { key, known } => {
            Told::new(format!("unknown key `{key}`"), suggest(key, known))
        }
        BadKey::Missing(needed) => {
            let (key, hint) = missing(*needed);
            Told::new(format!("`{key}` is missing"), hint)
        }
        BadKey::PlanIsNoText => {
            Told::new("`plan` is not text in quotes", "write plan = \"plan.toml\"")
        }
        BadKey::TooMany { of, count, most } => {
            Told::new(format!("there are {count} of `{of}`"), format!("at most {most}"))
        }
        BadKey::TooManyOptions { count, most } => {
            Told::new(format!("there are {count} options"), format!("at most {most}"))
        }
        BadKey::TwoWays(ways) => two_ways(*ways),
    }
}

/// The key, and what to write.
fn missing(needed: Needed) -> (&'static str, &'static str) {
    match needed {
        Needed::Format => ("format", "start the file with format = 1"),
        Needed::Plan => ("plan", "say which house it is: plan = \"plan.toml\""),
        Needed::RoomName => ("name", "give the room a name"),
        Needed::RoomSize => {
            ("size", "add size = [\"18ft\", \"14ft\"] (east-west, north-south) or an outline")
        }
        Needed::ZoneName => ("name", "give this part of the room a name"),
        Needed::ZoneRoom => ("room", "say which room it is a part of"),
        Needed::ZoneSize => ("size", "add size = [\"10ft\", \"8ft\"] (east-west, north-south)"),
        Needed::WindowRoom => ("room", "say which room it is in"),
        Needed::WindowWall => ("wall", "add wall = \"north\", \"south\", \"east\" or \"west\""),
        Needed::OpeningJoins => {
            ("joins", "say which two rooms it joins: joins = [\"hall\", \"living\"]")
        }
        Needed::SwingInto => ("into", "say which room the leaf swings into"),
        Needed::PieceKind => ("kind", "say what it is: kind = \"sofa\""),
        Needed::PieceRoom => ("room", "say which room it stands in"),
        Needed::OptionName => ("name", "give the option a name"),
        Needed::ErrandGuests => ("guests", "say how many guests the script is for"),
        Needed::ErrandStops => {
            ("stops", "list spots, rooms and openings: stops = [\"bar\", \"leave\"]")
        }
        Needed::ArriveShape => {
            ("shape", "expected shape = \"exponential\", \"fixed\" or \"uniform\"")
        }
    }
}

fn two_ways(ways: TwoWays) -> Told {
    let (says, hint) = match ways {
        TwoWays::RoomSizeOrOutline => ("a room has either size or outline", ONE_OUT),
        TwoWays::RoomAtOrBeside => {
            ("a room is placed either by at or beside another room", ONE_OUT)
        }
        TwoWays::FlushOrOffset => {
            ("a room is either flush with its neighbor or offset from it", ONE_OUT)
        }
        TwoWays::PieceSizeOrOutline => ("a piece has either size or outline", ONE_OUT),
        TwoWays::PieceAtOrGaps => {
            ("a piece is placed either by at or by gaps to the walls", ONE_OUT)
        }
        TwoWays::TimesOrMostWithin => {
            ("arrivals are either at times or spread over a time", ONE_OUT)
        }
        TwoWays::GuestsOrInvited => (
            "say either guests or invited",
            "`guests` is how many come; `comes` is a share of `invited`",
        ),
        TwoWays::WindowGaps => ("the window has more than one gap", ONE_GAP),
        TwoWays::OpeningGaps => ("the opening has more than one gap", ONE_GAP),
        TwoWays::Neighbors => (
            "the room is beside more than one room",
            "keep one of east_of, west_of, north_of, south_of",
        ),
    };
    Told::new(says, hint)
}

const ONE_OUT: &str = "take one of them out";
const ONE_GAP: &str = "keep the gap to one end of the wall";

pub(super) fn value(bad: &BadValue) -> Told {
    match bad {
        BadValue::Expected { what, found } => {
            let what = expected(*what);
            Told::new(
                format!("expected {what}, found {}", found_word(*found)),
                format!("write {what}"),
            )
        }
        BadValue::Unread { text, as_what, why } => {
            let hint = match as_what {
                Expected::Length => format!("write {}", expected(*as_what)),
                _ => format!("expected {}", expected(*as_what)),
            };
            Told::new(unread(text, *as_what, *why), hint)
        }
        BadValue::UnknownWord { word, known } => {
            Told::new(format!("`{word}` is not known here"), suggest(word, known))
        }
        BadValue::NotYet { word, instead } => Told::new(
            format!("`{word}` cannot be simulated yet"),
            format!("expected {}", either(instead)),
        ),
        BadValue::EmptyText => Told::new("the text is empty", "write a name in quotes"),
        BadValue::Unshowable => Told::new(
            "the text holds a line break or a mark that cannot be shown",
            "write it in one line of letters, digits and signs",
        ),
        BadValue::LongName { most } => {
            Told::new(format!("the name has over {most} characters"), "give it a shorter one")
        }
        BadValue::Count { found, low, high } => Told::new(
            format!("{found} is out of range"),
            format!("expected a whole number from {low} to {high}"),
        ),
        BadValue::OutOfBounds { said, bounds } => {
            Told::new(format!("`{said}` is out of range"), format!("expected {}", between(*bounds)))
        }
        BadValue::FewCorners { of_room } => Told::new(
            "an outline needs at least three corners",
            if *of_room {
                "list the corners in order round the room"
            } else {
                "list the corners in order"
            },
        ),
        BadValue::HardlyAnybodyComes => {
            Told::new("hardly anybody comes", "expected 5% to 100% of those invited")
        }
        BadValue::EveningLength => Told::new(
            "an evening lasts from half an hour to twelve hours",
            "write a duration such as \"3h\"",
        ),
        BadValue::FastHeadway => {
            Told::new("nobody fills a plate in under 3 s", "the usual headway is \"30s\"")
        }
        BadValue::Cell => Told::new("the cell is out of range", "expected 1 to 8 in"),
        BadValue::NegativeCost => Told::new(
            "a cost below 0",
            "write what the change costs in your own money, such as cost = 1800",
        ),
        BadValue::Arrive => Told::new(
            "cannot read how they arrive",
            "write \"together\", { shape = \"exponential\", every = \"75s\" }, { shape = \"fixed\", every = \"30s\" } or { shape = \"uniform\", within = \"60s\" }",
        ),
        BadValue::NoStops => {
            Told::new("there are no stops", "list at least one, such as \"leave\"")
        }
        BadValue::NotTwoRooms => Told::new(
            "an opening joins exactly two rooms",
            "write joins = [\"hall\", \"living\"] or [\"outside\", \"hall\"]",
        ),
        BadValue::NotTwoLevels => {
            Told::new("stairs join exactly two levels", "write levels = [\"lower\", \"ground\"]")
        }
    }
}

fn expected(what: Expected) -> &'static str {
    match what {
        Expected::Format => "format = 1",
        Expected::Number => "a number",
        Expected::WholeNumber => "a whole number",
        Expected::Length => "a length such as \"42in\", \"3ft 6in\", \"33 1/2in\" or \"1.07m\"",
        Expected::TwoLengths => "two lengths in brackets, such as [\"18ft\", \"14ft\"]",
        Expected::Corners => "a list of corners [[x, y], …]",
        Expected::Word => "a word in quotes",
        Expected::Text => "text in quotes",
        Expected::Truth => "true or false",
        Expected::Table => "keys in braces, such as { name = \"…\" }",
        Expected::Tables => "a list of keys in braces, such as [{ name = \"…\" }]",
        Expected::Options => "[[option]] tables",
        Expected::Times => "a list of times such as [\"7pm\", \"7:10pm\"]",
        Expected::StartTime => "a time such as \"7pm\" or \"19:30\"",
        Expected::TimeOfDay => "a time such as \"8pm\"",
        Expected::Duration => "a duration such as \"30s\", \"5min\" or \"1h 30min\"",
        Expected::Share => "a percentage such as \"10%\"",
        Expected::Area => "an area such as \"7 sq ft\" or \"0.65 m2\"",
        Expected::Pace => "a pace such as \"1.33m/s\", or \"drawn\"",
        Expected::PaceOnStairs => "a pace along the stairs such as \"0.8m/s\"",
    }
}

fn found_word(found: Found) -> &'static str {
    match found {
        Found::Text => "text",
        Found::WholeNumber => "a whole number",
        Found::Number => "a number",
        Found::Truth => "true or false",
        Found::List => "a list",
        Found::Table => "keys in braces",
        Found::TooLargeNumber => "a number too large",
        Found::Date => "a date or time",
    }
}

fn unread(text: &str, as_what: Expected, why: Unread) -> String {
    let noun = match as_what {
        Expected::Length => "length",
        Expected::Duration => "duration",
        Expected::Share => "percentage",
        Expected::StartTime | Expected::TimeOfDay => "time of day",
        Expected::Area => "area",
        Expected::Pace | Expected::PaceOnStairs => "pace",
        _ => "value",
    };
    let article = if noun == "area" { "an" } else { "a" };
    match (why, as_what) {
        (Unread::Empty, _) => format!("the {noun} is empty"),
        (Unread::Otherwise, _) => format!("cannot read `{text}` as {article} {noun}"),
        (Unread::Negative, _) => format!("`{text}` is negative; {noun}s count from 0"),
        (Unread::TooLong, Expected::Duration) => format!("`{text}` is longer than two days"),
        (Unread::TooLong, _) => {
            format!("`{text}` is longer than {LONGEST} m, the most a length may be")
        }
        (Unread::OverAll, _) => format!("`{text}` is more than 100%"),
        (Unread::NoPace, _) => format!("`{text}` is not a walking pace (0.1 to 3 m/s)"),
    }
}

fn between(bounds: Bounds) -> String {
    let span = |s: f64| if s < 3600.0 { format!("{s}s") } else { format!("{}h", s / 3600.0) };
    match bounds {
        Bounds::Duration(low, high) => format!("{} to {}", span(low), span(high)),
        Bounds::Number(low, high) => format!("a number from {low} to {high}"),
        Bounds::Nearness(low, high) => format!("1 ft to 9 ft ({low} m to {high} m)"),
        Bounds::Ceiling(..) => "a ceiling between 5 ft and 40 ft (1.5 to 12 m)".into(),
        Bounds::Walls(_) => "walls up to 16 in thick (0.4 m)".into(),
    }
}

/// "`a`, `b` or `c`".
fn either(words: &[String]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}
