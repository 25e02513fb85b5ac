//! How far a headcount moves with habits of guests, in words.

use crate::words::duration;
use crate::words::measures::length;
use sim::base::units::System;
use sim::study::capacity::Capacity;
use sim::study::capacity::habits::{Habit, Swing, range as range_of};

/// The ends of the range with other habits, if they were asked and there is a headcount.
pub fn ends(c: &Capacity) -> Option<(u32, u32)> {
    let guests = c.guests().filter(|_| !c.swings.is_empty())?;
    Some(range_of(guests, &c.swings))
}

/// "with other habits of guests 33 to 46"; nothing where no habit moves the headcount.
pub fn range(c: &Capacity) -> Option<String> {
    let (low, high) = ends(c).filter(|_| c.swings.iter().any(|s| s.width() > 0))?;
    Some(format!("with other guest habits {low} to {high}"))
}

/// What is said where habits were asked and none moves the headcount.
pub fn none_matters(c: &Capacity) -> Option<String> {
    let guests =
        c.guests().filter(|w| w.value > 0 && !c.swings.is_empty() && range(c).is_none())?;
    Some(format!(
        "Should guests talk longer or keep more distance than we assume, it is still {}.",
        guests.value
    ))
}

/// The knob of a habit in a scenario.
pub fn knob(habit: Habit) -> &'static str {
    match habit {
        Habit::Spell => "[talk] spell",
        Habit::GroupSize => "[talk] rate",
        Habit::MakesRoom => "[habits] makes_room_within",
        Habit::Settles => "[habits] settles_after",
        Habit::Perch => "[habits] perch",
        Habit::HeldBelow => "[habits] held_below",
    }
}

/// What a habit is: "time with one talk group".
pub fn habit(habit: Habit) -> &'static str {
    match habit {
        Habit::Spell => "time with one talk group",
        Habit::GroupSize => "mean size of talk groups",
        Habit::MakesRoom => "distance at which people step aside",
        Habit::Settles => "patience before stopping short of a group",
        Habit::Perch => "pull of islands, counters and food tables",
        Habit::HeldBelow => "progress that counts as held up",
    }
}

/// A figure of a habit: "6 min", "8 ft", "twice as likely".
pub fn figure(habit: Habit, value: f64, system: System) -> String {
    match habit {
        Habit::Spell | Habit::Settles => duration(value),
        // the mean of a Poisson law without its zero
        Habit::GroupSize => format!("{:.1} people", value / (1.0 - (-value).exp())),
        Habit::MakesRoom => length(value, system),
        Habit::Perch if value == 1.0 => "no more pull than other floor".into(),
        Habit::Perch => format!("{} times the pull of other floor", (10.0 * value).round() / 10.0),
        Habit::HeldBelow => format!("under {:.0}%", 100.0 * value),
    }
}

/// "36 with 6 min, 44 with 24 min (usually 12 min)".
pub fn moves(s: &Swing, system: System) -> String {
    let at =
        |(value, guests): (f64, u32)| format!("{guests} with {}", figure(s.habit, value, system));
    format!("{}, {} (usually {})", at(s.ends[0]), at(s.ends[1]), figure(s.habit, s.usual, system))
}

/// A habit with what it moves.
pub fn row(s: &Swing, system: System) -> String {
    format!("{:<42} {}", habit(s.habit), moves(s, system))
}
