//! How many guests a limit allows, as a real figure with its interval.

/// What a limit alone allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gives {
    /// It gives out here, in guests.
    At {
        /// The likeliest real-valued headcount.
        value: f64,
        /// Lower end of the 95 % interval, 0 or more.
        low: f64,
        /// Upper end of the 95 % interval; infinite if nothing that was seen bounds it.
        high: f64,
    },
    /// It holds at every headcount looked at.
    Never,
    /// It does not hold for a single guest.
    AtOnce,
}

impl Gives {
    /// The real-valued headcount, if it gives out.
    pub fn value(self) -> Option<f64> {
        match self {
            Gives::At { value, .. } => Some(value),
            Gives::AtOnce => Some(0.0),
            Gives::Never => None,
        }
    }
}

/// Both limits together.
pub fn least(a: Gives, b: Gives) -> Gives {
    match (a, b) {
        (Gives::AtOnce, _) | (_, Gives::AtOnce) => Gives::AtOnce,
        (Gives::Never, other) | (other, Gives::Never) => other,
        (Gives::At { value: v, low: l, high: h }, Gives::At { value, low, high }) => {
            Gives::At { value: v.min(value), low: l.min(low), high: h.min(high) }
        }
    }
}
