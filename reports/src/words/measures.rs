//! Shares, times, lengths and areas as text.

use sim::base::stats::Estimate;
use sim::base::units::{FOOT, INCH, SQUARE_FOOT, System};

/// "7 evenings in 10", "every evening", "no evening we simulated".
pub fn evenings(share: f64) -> String {
    match share {
        s if s <= 0.0 => "no simulated evening".into(),
        s if s < 0.01 => "fewer than 1 evening in 100".into(),
        s if s < 0.095 => format!(
            "{:.0} {} in 100",
            s * 100.0,
            if (s * 100.0).round() == 1.0 { "evening" } else { "evenings" }
        ),
        s if s < 0.95 => format!(
            "{:.0} {} in 10",
            (s * 10.0).round(),
            if (s * 10.0).round() == 1.0 { "evening" } else { "evenings" }
        ),
        s if s < 1.0 => "nearly every evening".into(),
        _ => "every evening".into(),
    }
}

/// "40 s", "4 min", "2 min 30 s", "1 h 10 min".
pub fn duration(seconds: f64) -> String {
    let s = seconds.round().max(0.0) as u64;
    match s {
        0..60 => format!("{s} s"),
        60..3600 if s.is_multiple_of(60) || s >= 600 => format!("{} min", (s + 30) / 60),
        60..3600 => format!("{} min {} s", s / 60, s % 60),
        _ if s % 3600 < 60 => format!("{} h", s / 3600),
        _ => format!("{} h {} min", s / 3600, s % 3600 / 60),
    }
}

/// The same as a bound that is not passed: never "less than 0 s".
pub fn bound(seconds: f64) -> String {
    duration(seconds.max(1.0))
}

pub use sim::base::units::clock;

/// A length in the plan's units: `3 ft 6 in`, `33 1/2 in` or `1.07 m`.
pub fn length(meters: f64, system: System) -> String {
    match system {
        System::Metres => format!("{meters:.2} m"),
        System::Feet => {
            let halves = (meters / INCH * 2.0).round() as i64;
            let (feet, halves) = (halves / 24, halves % 24);
            let inches = if halves % 2 == 0 {
                format!("{}", halves / 2)
            } else if halves == 1 {
                "1/2".into()
            } else {
                format!("{} 1/2", halves / 2)
            };
            match (feet, halves) {
                (0, _) => format!("{inches} in"),
                (f, 0) => format!("{f} ft"),
                (f, _) => format!("{f} ft {inches} in"),
            }
        }
    }
}

/// A width as people speak of doors and aisles: inches, or meters.
pub fn width(meters: f64, system: System) -> String {
    system.tape(meters)
}

/// A length to the inch, or to the centimeter, for `length` and `width`: halves and quarters tell
/// nothing of a counter or a leg of a triangle.
pub fn to_the_inch(meters: f64, system: System) -> f64 {
    match system {
        System::Feet => (meters / INCH).round() * INCH,
        System::Metres => meters,
    }
}

/// A walking pace: `2.5 mph`, `4.0 km/h`.
pub fn pace(meters_per_second: f64, system: System) -> String {
    let an_hour = meters_per_second * 3600.0;
    match system {
        System::Feet => format!("{:.1} mph", an_hour / (5280.0 * FOOT)),
        System::Metres => format!("{:.1} km/h", an_hour / 1000.0),
    }
}

/// A width on a drawing: in feet and inches from 8 ft, where nobody counts inches.
pub fn drawn_width(meters: f64, system: System) -> String {
    if meters >= 8.0 * sim::base::units::FOOT {
        length(meters, system)
    } else {
        width(meters, system)
    }
}

/// An area in the plan's units.
pub fn area(m2: f64, system: System) -> String {
    match system {
        System::Metres => format!("{m2:.1} m2"),
        System::Feet => format!("{:.0} sq ft", m2 / SQUARE_FOOT),
    }
}

/// An area for one guest, to a tenth.
pub fn area_each(m2: f64, system: System) -> String {
    match system {
        System::Metres => format!("{m2:.2} m2"),
        System::Feet => format!("{:.1} sq ft", m2 / SQUARE_FOOT),
    }
}

/// Metres to the plan's larger unit.
pub fn per_unit(system: System) -> (f64, &'static str) {
    match system {
        System::Feet => (FOOT, "ft"),
        System::Metres => (1.0, "m"),
    }
}

/// "(likely 8 to 11)" with a formatter, or nothing for a figure known exactly.
pub fn likely(e: Estimate, text: impl Fn(f64) -> String) -> String {
    let (low, high) = (text(e.low), text(e.high));
    if e.low == e.high || low == high {
        String::new()
    } else {
        format!(" (likely {low} to {high})")
    }
}

/// "no line on 9 evenings in 10", "longest line 4 on 9 evenings in 10".
pub fn longest_line(people: u32) -> String {
    if people == 0 {
        "no line on 9 evenings in 10".into()
    } else {
        format!("at most {people} in line on 9 evenings in 10")
    }
}

pub(super) fn percent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_evenings_read_as_people_say_them() {
        assert_eq!(evenings(0.7), "7 evenings in 10");
        assert_eq!(evenings(0.1), "1 evening in 10");
        assert_eq!(evenings(0.034), "3 evenings in 100");
        assert_eq!(evenings(0.0), "no simulated evening");
        assert_eq!(evenings(1.0), "every evening");
    }

    #[test]
    fn lengths_read_as_on_a_tape() {
        let feet = |inches: f64| length(inches * INCH, System::Feet);
        assert_eq!(feet(42.0), "3 ft 6 in");
        assert_eq!(feet(33.5), "2 ft 9 1/2 in");
        assert_eq!(feet(36.0), "3 ft");
        assert_eq!(width(31.5 * INCH, System::Feet), "31 1/2 in");
        assert_eq!(
            [0.0, 0.3, 7.71, 38.05].map(|i| width(i * INCH, System::Feet)),
            ["0 in", "1/4 in", "7 3/4 in", "38 in"]
        );
    }

    #[test]
    fn clocks_and_durations() {
        assert_eq!(clock(19 * 60, 1200), "7:20 pm");
        assert_eq!(clock(23 * 60, 7200), "1:00 am");
        assert_eq!(duration(240.0), "4 min");
        assert_eq!(duration(150.0), "2 min 30 s");
        assert_eq!(duration(4200.0), "1 h 10 min");
    }
}
