//! How a figure of a plan stands against what designers and caterers use.

use crate::base::units::TOLD;

/// How something stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// As it should be.
    Passes,
    /// It works, and people notice.
    Tight,
    /// Less than it takes.
    Fails,
    /// The plan does not say enough.
    Unknown,
}

impl Verdict {
    /// All, the worst first; what is unknown last.
    pub const ALL: [Verdict; 4] =
        [Verdict::Fails, Verdict::Tight, Verdict::Passes, Verdict::Unknown];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Passes => "passes",
            Verdict::Tight => "tight",
            Verdict::Fails => "fails",
            Verdict::Unknown => "unknown",
        }
    }

    /// The worse of two; what is unknown is worse than what passes only.
    pub fn and(self, other: Verdict) -> Verdict {
        let rank = |v: Verdict| match v {
            Verdict::Passes => 0,
            Verdict::Unknown => 1,
            Verdict::Tight => 2,
            Verdict::Fails => 3,
        };
        if rank(other) > rank(self) { other } else { self }
    }

    /// Whether something holds, or is only tight.
    pub fn passes_if(holds: bool, or_else: Verdict) -> Verdict {
        if holds { Verdict::Passes } else { or_else }
    }
}

/// A measure that should be large: below the first figure it fails, from the second on it passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtLeast(pub f64, pub f64);

impl AtLeast {
    /// How a length in meters stands; what is short by less than half of what a tape tells is not
    /// short.
    pub fn length(self, meters: f64) -> Verdict {
        self.of(meters + TOLD)
    }

    /// How any other figure stands.
    pub fn of(self, value: f64) -> Verdict {
        if value < self.0 {
            Verdict::Fails
        } else if value < self.1 {
            Verdict::Tight
        } else {
            Verdict::Passes
        }
    }
}

/// A measure that should be small: up to the first figure it passes, beyond the second it fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtMost(pub f64, pub f64);

impl AtMost {
    /// How a figure stands.
    pub fn of(self, value: f64) -> Verdict {
        if value <= self.0 {
            Verdict::Passes
        } else if value <= self.1 {
            Verdict::Tight
        } else {
            Verdict::Fails
        }
    }
}

/// How two people get past each other in a clear width: bodies are 24 in wide and 18 in deep
/// (Highway Capacity Manual 2010), with drinks in hand they like 55 in (1400 mm: British metric
/// design data).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Passing {
    /// Nobody gets through: under 12 in (common practice).
    Nobody,
    /// One waits.
    OneWaits,
    /// Both turn.
    BothTurn,
    /// One turns.
    OneTurns,
    /// Neither turns.
    Free,
    /// With drinks in hand.
    WithEase,
}

impl Passing {
    /// In a clear width of so many meters.
    pub fn in_width(meters: f64) -> Passing {
        let inches = (meters + TOLD) / crate::base::units::INCH;
        match inches {
            i if i < 12.0 => Passing::Nobody,
            i if i < 36.0 => Passing::OneWaits,
            i if i < 42.0 => Passing::BothTurn,
            i if i < 48.0 => Passing::OneTurns,
            i if i < 55.0 => Passing::Free,
            _ => Passing::WithEase,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::INCH;

    #[test]
    fn people_pass_as_builders_and_british_data_say() {
        // 36, 42, 48, 55 in: both turn, one turns, free, easy
        for (inches, passing) in [
            (11.0, Passing::Nobody),
            (12.0, Passing::OneWaits),
            (35.0, Passing::OneWaits),
            (36.0, Passing::BothTurn),
            (42.0, Passing::OneTurns),
            (48.0, Passing::Free),
            (55.0, Passing::WithEase),
        ] {
            assert_eq!(Passing::in_width(inches * INCH), passing, "{inches} in");
        }
    }

    #[test]
    fn what_is_short_by_less_than_a_tape_tells_is_not_short() {
        let walkway = AtLeast(36.0 * INCH, 42.0 * INCH);
        let of = |inches: f64| walkway.length(inches * INCH);
        assert_eq!((of(35.8), of(35.9)), (Verdict::Fails, Verdict::Tight));
        assert_eq!((of(41.8), of(41.9)), (Verdict::Tight, Verdict::Passes));
    }

    #[test]
    fn unknown_is_worse_than_passing_only() {
        assert_eq!(Verdict::Passes.and(Verdict::Unknown), Verdict::Unknown);
        assert_eq!(Verdict::Tight.and(Verdict::Unknown), Verdict::Tight);
        assert_eq!(Verdict::Tight.and(Verdict::Fails), Verdict::Fails);
    }
}
