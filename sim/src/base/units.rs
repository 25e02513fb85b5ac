//! Lengths as people write them, and the whole numbers the floor is measured in.
//! Owns: meters, grid units, ticks. Leaves to others: what a length is used for.

use std::fmt;

/// Metres in an inch (exact by definition of the international inch).
pub const INCH: f64 = 0.0254;
/// A tape is read to a quarter inch; in meters.
pub const QUARTER_INCH: f64 = 0.25 * INCH;
/// What is short by less than half of what a tape tells is not short, in meters.
pub const TOLD: f64 = QUARTER_INCH / 2.0;
/// Metres in a foot.
pub const FOOT: f64 = 12.0 * INCH;
/// Square meters in a square foot.
pub const SQUARE_FOOT: f64 = FOOT * FOOT;
/// Edge of a grid cell in meters when the scenario does not set `[model] cell`: 3 in,
/// so that 30, 36, 42 and 48 in are whole numbers of cells.
pub const CELL: f64 = 3.0 * INCH;
/// Position units along the edge of the default cell.
pub const UNITS_PER_CELL: i32 = 64;
/// Metres in a position unit (1.19 mm).
pub const UNIT: f64 = CELL / UNITS_PER_CELL as f64;
/// Ticks in a second.
pub const TICKS: Tick = 1024;
/// The longest length a file may name, in meters.
pub const LONGEST: f64 = 200.0;

/// A moment or duration of an evening in ticks of 1/1024 s, counted from the earliest arrival
/// allowed.
pub type Tick = u64;

/// Seconds to ticks, rounded to the nearest.
pub fn ticks(seconds: f64) -> Tick {
    (seconds * TICKS as f64 + 0.5).max(0.0) as Tick
}

/// Ticks to seconds.
pub fn seconds(ticks: Tick) -> f64 {
    ticks as f64 / TICKS as f64
}

/// A point of floor in position units from the plan's origin; x grows east, y grows north.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Point {
    /// Units east.
    pub x: i32,
    /// Units north.
    pub y: i32,
}

/// The nearest whole number; halves away from zero. Faster than the library's where the processor
/// cannot round.
fn nearest(value: f64) -> i32 {
    (value + 0.5f64.copysign(value)) as i32
}

impl Point {
    /// From meters, rounded to the nearest unit.
    pub fn from_meters(x: f64, y: f64) -> Self {
        Point { x: nearest(x / UNIT), y: nearest(y / UNIT) }
    }

    /// In meters.
    pub fn meters(self) -> (f64, f64) {
        (f64::from(self.x) * UNIT, f64::from(self.y) * UNIT)
    }

    /// The point so far from this one.
    pub fn plus(self, by: Point) -> Point {
        Point { x: self.x + by.x, y: self.y + by.y }
    }

    /// How far this point is from another.
    pub fn minus(self, from: Point) -> Point {
        Point { x: self.x - from.x, y: self.y - from.y }
    }

    /// Distance to another point, in meters.
    pub fn distance(self, other: Point) -> f64 {
        let (dx, dy) = (f64::from(self.x - other.x), f64::from(self.y - other.y));
        (dx * dx + dy * dy).sqrt() * UNIT
    }
}

/// The system of units a plan is written in: what bare numbers mean and how figures are said back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Feet and inches.
    Feet,
    /// Metres.
    Metres,
}

impl System {
    /// A length of at least 0 as a tape of these units reads it: `33 1/2 in`, `0.85 m`.
    pub fn tape(self, meters: f64) -> String {
        match self {
            System::Feet => {
                let quarters = (meters / QUARTER_INCH).round() as i64;
                let part = ["", "1/4", "1/2", "3/4"][quarters.rem_euclid(4) as usize];
                match (quarters.div_euclid(4), part) {
                    (0, "1/4" | "1/2" | "3/4") => format!("{part} in"),
                    (whole, "") => format!("{whole} in"),
                    (whole, _) => format!("{whole} {part} in"),
                }
            }
            System::Metres => format!("{} m", (meters * 1000.0).round() / 1000.0),
        }
    }
}

/// "7:20 pm" from seconds after a start in minutes after midnight.
pub fn clock(start: u32, after: i64) -> String {
    let minutes = (i64::from(start) + after.div_euclid(60)).rem_euclid(24 * 60);
    let (hour, half) = (minutes / 60, if minutes >= 720 { "pm" } else { "am" });
    format!("{}:{:02} {half}", if hour % 12 == 0 { 12 } else { hour % 12 }, minutes % 60)
}

/// A length in meters, at least 0 and at most [`LONGEST`].
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// From meters; `None` outside 0..=[`LONGEST`] or not a number.
    pub fn meters(value: f64) -> Option<Self> {
        (0.0..=LONGEST).contains(&value).then_some(Length(value))
    }

    /// From inches known to be in range (for constants).
    pub const fn inches(value: f64) -> Self {
        Length(value * INCH)
    }

    /// In meters.
    pub const fn m(self) -> f64 {
        self.0
    }

    /// Reads a length as people write it: `42in`, `3ft 6in`, `33 1/2in`, `3'6"`, `1.07m`, `107 cm`,
    /// or a bare number in the file's own `system`.
    pub fn parse(text: &str, system: System) -> Result<Self, Unread> {
        Length::meters(parse_meters(text, system)?).ok_or(Unread::TooLong)
    }
}

/// A length at least 0 as a file of some units writes it: to a millionth of an inch or of a meter,
/// which is finer than any tape. What is read back is exactly it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Written {
    millionths: f64,
    system: System,
}

impl Written {
    /// The nearest length that can be written; what is less than 0 is 0.
    pub fn new(meters: f64, system: System) -> Self {
        Written { millionths: (meters.max(0.0) / system.unit() * 1e6).round(), system }
    }

    /// In meters.
    pub fn m(self) -> f64 {
        self.millionths / 1e6 * self.system.unit()
    }
}

impl fmt::Display for Written {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let unit = if self.system == System::Feet { "in" } else { "m" };
        write!(f, "{}{unit}", self.millionths / 1e6)
    }
}

/// Why a text can't be read as a length, a duration, a share, a time, an area or a pace.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    /// There is nothing in it.
    Empty,
    /// It is written otherwise.
    Otherwise,
    /// It is below 0.
    Negative,
    /// It is longer than the longest length or duration.
    TooLong,
    /// It is over 100%.
    OverAll,
    /// Nobody walks so slowly or so fast.
    NoPace,
}

fn parse_meters(text: &str, system: System) -> Result<f64, Unread> {
    let mut rest = text.trim();
    if rest.is_empty() {
        return Err(Unread::Empty);
    }
    if rest.starts_with('-') || rest.starts_with('\u{2212}') {
        return Err(Unread::Negative);
    }
    let (mut total, mut last_unit) = (0.0, f64::INFINITY);
    while !rest.is_empty() {
        let (number, after) = take_number(rest).ok_or(Unread::Otherwise)?;
        let (unit, after) = take_unit(after, system).ok_or(Unread::Otherwise)?;
        if unit >= last_unit {
            return Err(Unread::Otherwise);
        }
        (total, last_unit, rest) = (total + number * unit, unit, after.trim_start());
    }
    Ok(total)
}

/// A decimal number, a fraction, or a whole number and a fraction (`33 1/2`).
fn take_number(text: &str) -> Option<(f64, &str)> {
    let (first, rest) = take_decimal(text)?;
    if let Some((value, rest)) = take_fraction_after(first, rest) {
        return Some((value, rest));
    }
    let trimmed = rest.trim_start();
    if let Some((top, after)) = take_decimal(trimmed)
        && let Some((fraction, after)) = take_fraction_after(top, after)
        && fraction < 1.0
    {
        return Some((first + fraction, after));
    }
    Some((first, rest))
}

fn take_decimal(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    if digits.len() > 12 {
        return None;
    }
    digits.parse().ok().map(|value| (value, rest))
}

fn take_fraction_after(top: f64, rest: &str) -> Option<(f64, &str)> {
    let (bottom, after) = take_decimal(rest.strip_prefix('/')?)?;
    (bottom > 0.0).then(|| (top / bottom, after))
}

/// Longest spellings first; the empty unit stands for the file's own.
const UNITS: [(&str, f64); 18] = [
    ("inches", INCH),
    ("inch", INCH),
    ("in.", INCH),
    ("in", INCH),
    ("\"", INCH),
    ("\u{2033}", INCH),
    ("\u{201d}", INCH),
    ("feet", FOOT),
    ("foot", FOOT),
    ("ft.", FOOT),
    ("ft", FOOT),
    ("'", FOOT),
    ("\u{2032}", FOOT),
    ("\u{2019}", FOOT),
    ("mm", 0.001),
    ("cm", 0.01),
    ("meters", 1.0),
    ("m", 1.0),
];

fn take_unit(text: &str, system: System) -> Option<(f64, &str)> {
    let text = text.trim_start();
    for (name, size) in UNITS {
        if let Some(rest) = text.strip_prefix(name) {
            return (!rest.starts_with(|c: char| c.is_ascii_alphabetic())).then_some((size, rest));
        }
    }
    text.is_empty().then_some((system.bare(), ""))
}

impl System {
    /// Meters in the unit that lengths are written in: inches or meters.
    fn unit(self) -> f64 {
        match self {
            System::Feet => INCH,
            System::Metres => 1.0,
        }
    }

    /// Meters in a bare number of this system.
    pub fn bare(self) -> f64 {
        match self {
            System::Feet => FOOT,
            System::Metres => 1.0,
        }
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{:.3} m", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inches(text: &str) -> f64 {
        Length::parse(text, System::Feet).map_or(f64::NAN, |l| l.m() / INCH)
    }

    #[test]
    fn lengths_read_as_people_write_them() {
        for (text, want) in [
            ("42in", 42.0),
            ("42 in", 42.0),
            ("3ft 6in", 42.0),
            ("3'6\"", 42.0),
            ("3' 6 1/2\"", 42.5),
            ("33 1/2in", 33.5),
            ("3.5", 42.0),
            ("1.0668m", 42.0),
            ("106.68 cm", 42.0),
            ("1066.8mm", 42.0),
            ("1/2 in", 0.5),
            ("3ft", 36.0),
            ("4.5in", 4.5),
            ("3\u{2032} 6\u{2033}", 42.0),
            ("2 ft 6 in", 30.0),
        ] {
            assert!((inches(text) - want).abs() < 1e-9, "{text}: {} in", inches(text));
        }
    }

    #[test]
    fn what_is_no_length_says_so() {
        for text in [
            "", "wide", "-3ft", "3 4", "6in 3ft", "3ft 3ft", "1/0in", "900ft", "3fts", "nan",
            "inf", "1e3m",
        ] {
            assert!(Length::parse(text, System::Feet).is_err(), "{text} was read");
        }
    }

    proptest! {
        #[test]
        fn no_text_breaks_the_reader(text in ".{0,24}") {
            let _ = Length::parse(&text, System::Metres);
        }

        #[test]
        fn what_is_written_reads_back_exactly(meters in 0.0..LONGEST, metric: bool) {
            let written = Written::new(meters, if metric { System::Metres } else { System::Feet });
            let read = Length::parse(&written.to_string(), System::Feet).map(Length::m);
            prop_assert_eq!(read, Ok(written.m()));
            prop_assert!((written.m() - meters).abs() < 1e-6);
        }

        #[test]
        fn inches_come_back(value in 0.0..2000.0f64) {
            let text = format!("{value:.3}in");
            prop_assert!((inches(&text) - value).abs() < 1e-3);
        }
    }
}
