//! Durations, shares, times of day, areas and paces as people write them.

use crate::base::units::{SQUARE_FOOT, Unread};

/// Splits `90 min` into its number and its unit, lower case.
fn number_and_unit(text: &str) -> Option<(f64, String)> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let number = text[..end].parse().ok()?;
    Some((number, text[end..].trim().to_lowercase()))
}

/// No duration is longer than two days, in seconds.
const LONGEST: f64 = 48.0 * 3600.0;

/// Seconds from `30s`, `5min`, `1h`, `1h 30min`.
pub(super) fn duration(text: &str) -> Result<f64, Unread> {
    let mut total = 0.0;
    let mut rest = text.trim();
    if rest.is_empty() {
        return Err(Unread::Empty);
    }
    while !rest.is_empty() {
        let unit_at = rest.find(|c: char| c.is_alphabetic()).ok_or(Unread::Otherwise)?;
        let after =
            rest[unit_at..].find(|c: char| !c.is_alphabetic()).map_or(rest.len(), |n| unit_at + n);
        let (number, unit) = number_and_unit(&rest[..after]).ok_or(Unread::Otherwise)?;
        total += number * seconds_in(&unit).ok_or(Unread::Otherwise)?;
        rest = rest[after..].trim_start();
    }
    if total > LONGEST { Err(Unread::TooLong) } else { Ok(total) }
}

fn seconds_in(unit: &str) -> Option<f64> {
    match unit {
        "s" | "sec" | "second" | "seconds" => Some(1.0),
        "min" | "minute" | "minutes" | "m" => Some(60.0),
        "h" | "hr" | "hour" | "hours" => Some(3600.0),
        _ => None,
    }
}

/// A share from `10%`, in 0..=1.
pub(super) fn percent(text: &str) -> Result<f64, Unread> {
    match number_and_unit(text) {
        Some((n, unit)) if unit == "%" && (0.0..=100.0).contains(&n) => Ok(n / 100.0),
        Some((_, unit)) if unit == "%" => Err(Unread::OverAll),
        _ => Err(Unread::Otherwise),
    }
}

/// Minutes after midnight from `7pm`, `7:30pm`, `19:30`.
pub(super) fn time_of_day(text: &str) -> Result<u32, Unread> {
    const BAD: Unread = Unread::Otherwise;
    let lower = text.trim().to_lowercase().replace(' ', "").replace('.', ":");
    let (clock, half) = match (lower.strip_suffix("pm"), lower.strip_suffix("am")) {
        (Some(c), _) => (c, Some(12)),
        (_, Some(c)) => (c, Some(0)),
        _ => (lower.as_str(), None),
    };
    let (hour, minute) = clock.split_once(':').unwrap_or((clock, "0"));
    let (hour, minute): (u32, u32) =
        (hour.parse().map_err(|_| BAD)?, minute.parse().map_err(|_| BAD)?);
    let hour = match half {
        Some(add) if (1..=12).contains(&hour) => hour % 12 + add,
        None if hour < 24 && lower.contains(':') => hour,
        _ => return Err(BAD),
    };
    if minute < 60 { Ok(hour * 60 + minute) } else { Err(BAD) }
}

/// Square meters from `7 sq ft` or `0.65 m2`.
pub(super) fn area(text: &str) -> Result<f64, Unread> {
    match number_and_unit(text) {
        Some((n, unit)) if ["sq ft", "sqft", "ft2", "square feet"].contains(&unit.as_str()) => {
            Ok(n * SQUARE_FOOT)
        }
        Some((n, unit)) if ["m2", "sq m", "m\u{b2}", "square meters"].contains(&unit.as_str()) => {
            Ok(n)
        }
        _ => Err(Unread::Otherwise),
    }
}

/// Metres a second from `1.33m/s` or `4.4ft/s`.
pub(super) fn pace(text: &str) -> Result<f64, Unread> {
    let speed = match number_and_unit(text) {
        Some((n, unit)) if unit == "m/s" => n,
        Some((n, unit)) if unit == "ft/s" => n * crate::base::units::FOOT,
        _ => return Err(Unread::Otherwise),
    };
    if (0.1..=3.0).contains(&speed) { Ok(speed) } else { Err(Unread::NoPace) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_read_as_people_write_them() {
        for (text, want) in [
            ("30s", 30.0),
            ("5min", 300.0),
            ("1h 30min", 5400.0),
            ("2.5 h", 9000.0),
            ("90 seconds", 90.0),
        ] {
            assert_eq!(duration(text), Ok(want), "{text}");
        }
        assert!(
            duration("soon").is_err()
                && duration("5").is_err()
                && duration("").is_err()
                && duration("900h").is_err()
        );
    }

    #[test]
    fn times_of_day_read_as_people_write_them() {
        for (text, want) in
            [("7pm", 1140), ("7:30 pm", 1170), ("19:30", 1170), ("12am", 0), ("12pm", 720)]
        {
            assert_eq!(time_of_day(text), Ok(want), "{text}");
        }
        assert!(
            time_of_day("7").is_err()
                && time_of_day("25:00").is_err()
                && time_of_day("13pm").is_err()
        );
    }

    #[test]
    fn shares_areas_and_paces() {
        assert_eq!(percent("10%"), Ok(0.1));
        assert!(percent("110%").is_err() && percent("10").is_err());
        assert_eq!(area("0.65 m2"), Ok(0.65));
        assert!((area("7 sq ft").unwrap_or(0.0) - 0.6503).abs() < 1e-4);
        assert_eq!(pace("1.33m/s"), Ok(1.33));
        assert!(pace("9m/s").is_err());
    }
}
