//! Kinds of furniture with their usual sizes, seats and sides, each with its source.

use super::Side;
use crate::base::units::Length;

/// A kind of furniture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Kind {
    Counter,
    Island,
    Sideboard,
    Table,
    Sofa,
    Armchair,
    Chair,
    Bench,
    Hearth,
    Ottoman,
    Stool,
    Bed,
    Shelf,
    Cabinet,
    Range,
    Sink,
    Fridge,
    Dishwasher,
    Bar,
    Cooler,
    Grill,
    Rack,
    Plant,
    Television,
    Piano,
    Desk,
    Toilet,
    Basin,
    Other,
}

/// What is usual for a kind.
#[derive(Clone, Copy, Debug)]
pub struct Usual {
    /// The kind.
    pub kind: Kind,
    /// Its word in files.
    pub word: &'static str,
    /// Along the front.
    pub width: Length,
    /// Front to back.
    pub depth: Length,
    /// Floor to top.
    pub height: Length,
    /// Seats.
    pub seats: u32,
    /// Sides guests use it from.
    pub sides: &'static [Side],
    /// Where the figures come from.
    pub source: &'static str,
}

const FRONT: &[Side] = &[Side::Front];
const LONG: &[Side] = &[Side::Front, Side::Back];
const NONE: &[Side] = &[];
const PRACTICE: &str = "common practice";
const TABLE: &str = "Time-Saver Standards: 84 in seats 6 with ends";
const COUNTER: &str = "24 in base cabinets, 36 in high: common practice";

macro_rules! usual {
    ($kind:ident $word:literal $w:literal x $d:literal x $h:literal seats $s:literal $sides:ident $source:expr) => {
        Usual {
            kind: Kind::$kind,
            word: $word,
            width: Length::inches($w),
            depth: Length::inches($d),
            height: Length::inches($h),
            seats: $s,
            sides: $sides,
            source: $source,
        }
    };
}

/// Every kind with its usual figures (inches).
pub const CATALOG: [Usual; 29] = [
    usual!(Counter "counter" 72.0 x 25.0 x 36.0 seats 0 FRONT COUNTER),
    usual!(Island "island" 84.0 x 39.0 x 36.0 seats 0 LONG "36 in cabinets and overhang: common practice"),
    usual!(Sideboard "sideboard" 60.0 x 18.0 x 34.0 seats 0 FRONT PRACTICE),
    usual!(Table "table" 84.0 x 40.0 x 30.0 seats 6 LONG TABLE),
    usual!(Sofa "sofa" 84.0 x 36.0 x 32.0 seats 3 FRONT "24 in a seat and arms: common practice"),
    usual!(Armchair "armchair" 33.0 x 34.0 x 34.0 seats 1 FRONT PRACTICE),
    usual!(Chair "chair" 18.0 x 20.0 x 34.0 seats 1 FRONT "occupied chair 18-22 in: home-design course"),
    usual!(Bench "bench" 48.0 x 16.0 x 18.0 seats 2 LONG "24 in a seat: NKBA guideline 9"),
    usual!(Hearth "hearth" 60.0 x 18.0 x 16.0 seats 2 FRONT PRACTICE),
    usual!(Ottoman "ottoman" 24.0 x 24.0 x 17.0 seats 1 FRONT PRACTICE),
    usual!(Stool "stool" 16.0 x 16.0 x 26.0 seats 1 FRONT PRACTICE),
    usual!(Bed "bed" 62.0 x 82.0 x 24.0 seats 0 FRONT "queen mattress 60 x 80 in and frame: common practice"),
    usual!(Shelf "shelf" 36.0 x 12.0 x 72.0 seats 0 FRONT PRACTICE),
    usual!(Cabinet "cabinet" 36.0 x 18.0 x 72.0 seats 0 FRONT PRACTICE),
    usual!(Range "range" 30.0 x 26.0 x 36.0 seats 0 FRONT PRACTICE),
    usual!(Sink "sink" 33.0 x 22.0 x 36.0 seats 0 FRONT PRACTICE),
    usual!(Fridge "fridge" 36.0 x 30.0 x 70.0 seats 0 FRONT PRACTICE),
    usual!(Dishwasher "dishwasher" 24.0 x 24.0 x 34.0 seats 0 FRONT PRACTICE),
    usual!(Bar "bar" 48.0 x 24.0 x 42.0 seats 0 FRONT PRACTICE),
    usual!(Cooler "cooler" 26.0 x 16.0 x 18.0 seats 0 FRONT PRACTICE),
    usual!(Grill "grill" 54.0 x 25.0 x 46.0 seats 0 FRONT PRACTICE),
    usual!(Rack "rack" 60.0 x 20.0 x 66.0 seats 0 LONG "folding rack with a 5 ft rod: closet notes"),
    usual!(Plant "plant" 18.0 x 18.0 x 48.0 seats 0 NONE PRACTICE),
    usual!(Television "television" 60.0 x 16.0 x 48.0 seats 0 NONE PRACTICE),
    usual!(Piano "piano" 58.0 x 25.0 x 48.0 seats 0 FRONT "upright: common practice"),
    usual!(Desk "desk" 60.0 x 28.0 x 29.0 seats 0 FRONT PRACTICE),
    usual!(Toilet "toilet" 20.0 x 28.0 x 30.0 seats 0 NONE PRACTICE),
    usual!(Basin "basin" 20.0 x 18.0 x 34.0 seats 0 FRONT PRACTICE),
    usual!(Other "other" 24.0 x 24.0 x 36.0 seats 0 FRONT PRACTICE),
];

impl Kind {
    /// The usual figures.
    pub fn usual(self) -> &'static Usual {
        &CATALOG[self as usize]
    }

    /// Its word in files.
    pub fn word(self) -> &'static str {
        self.usual().word
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Kind> {
        CATALOG.iter().find(|u| u.word == word).map(|u| u.kind)
    }

    /// Whether people sit at it, on floor beside it, rather than on it.
    pub fn sat_at(self) -> bool {
        matches!(self, Kind::Table | Kind::Island | Kind::Counter | Kind::Bar | Kind::Desk)
    }

    /// Whether two people could carry it elsewhere.
    pub fn may_move(self) -> bool {
        matches!(
            self,
            Kind::Sideboard
                | Kind::Table
                | Kind::Sofa
                | Kind::Armchair
                | Kind::Chair
                | Kind::Bench
                | Kind::Ottoman
                | Kind::Stool
                | Kind::Shelf
                | Kind::Cabinet
                | Kind::Bar
                | Kind::Cooler
                | Kind::Grill
                | Kind::Rack
                | Kind::Plant
                | Kind::Television
                | Kind::Desk
                | Kind::Other
        )
    }

    /// Whether somebody cooks or cleans at it.
    pub fn is_worked_at(self) -> bool {
        matches!(
            self,
            Kind::Counter
                | Kind::Island
                | Kind::Range
                | Kind::Sink
                | Kind::Fridge
                | Kind::Dishwasher
        )
    }

    /// Whether it may stand in or on another piece (a sink in a counter, a stool under an island).
    pub fn may_share_floor(self) -> bool {
        matches!(
            self,
            Kind::Sink
                | Kind::Range
                | Kind::Dishwasher
                | Kind::Basin
                | Kind::Television
                | Kind::Stool
                | Kind::Chair
                | Kind::Bench
        )
    }

    /// Whether it can carry a buffet or drinks.
    pub fn has_top(self) -> bool {
        matches!(
            self,
            Kind::Counter
                | Kind::Island
                | Kind::Sideboard
                | Kind::Table
                | Kind::Bar
                | Kind::Desk
                | Kind::Cooler
                | Kind::Grill
                | Kind::Other
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_catalog_is_in_the_order_of_the_kinds() {
        for (i, usual) in CATALOG.iter().enumerate() {
            assert_eq!(usual.kind as usize, i);
            assert_eq!(Kind::from_word(usual.word), Some(usual.kind));
        }
    }
}
