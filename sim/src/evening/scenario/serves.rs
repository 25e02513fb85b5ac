//! What guests get at spots: for each sort of spot how it serves, how long guests like to wait, and
//! what it may be served at. When guests want it is in the agenda. Each figure has its source.

use super::{Serving, Shape};
use crate::base::units::INCH;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, Room, Use};

/// What guests get at a spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Serves {
    /// Being greeted at the door.
    Door,
    /// A place for coats.
    Coats,
    /// Drinks.
    Drinks,
    /// Glasses kept apart from the drinks.
    Glasses,
    /// Food.
    Food,
    /// The powder room.
    Powder,
}

/// Size of a new table for food: 6 ft by 30 in, a folding table (common practice).
const FOOD_TABLE: (f64, f64) = (72.0 * INCH, 30.0 * INCH);

impl Serves {
    /// All, in the order guests meet them.
    pub const ALL: [Serves; 6] = [
        Serves::Door,
        Serves::Coats,
        Serves::Drinks,
        Serves::Glasses,
        Serves::Food,
        Serves::Powder,
    ];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        match self {
            Serves::Door => "door",
            Serves::Coats => "coats",
            Serves::Drinks => "drinks",
            Serves::Glasses => "glasses",
            Serves::Food => "food",
            Serves::Powder => "powder",
        }
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Serves> {
        Serves::ALL.into_iter().find(|s| s.word() == word)
    }

    /// How it is served.
    ///
    /// Door: greeted 8 s a guest, common practice. Coats: 30 s to hang, common practice (40 s to
    /// find again, see [`COAT_BACK`](super::occasion::COAT_BACK)). Drinks: self-serve 25 s (cv 0.6),
    /// common practice. Glasses: 5 s, common practice. Bites 15 s, common practice. Buffet: 30 s
    /// between guests a side (wedding hosts: 200 guests on one side in 100 min). Powder room: 132 s,
    /// sd 60 (Rawls 1988, mean of men and women at public sites), 12 s between guests (common
    /// practice).
    pub fn usual_serving(self) -> Serving {
        let plain = Serving {
            time: 0.0,
            sd: 0.0,
            shape: Shape::Spread,
            at_once: Some(1),
            gap: 0.0,
            poured: false,
            headway: 30.0,
            at: 3600.0,
            waves: 1,
        };
        match self {
            Serves::Door => Serving { time: 8.0, sd: 3.0, ..plain },
            Serves::Coats => Serving { time: 30.0, sd: 12.0, ..plain },
            Serves::Drinks => Serving { time: 25.0, sd: 15.0, at_once: None, ..plain },
            Serves::Glasses => Serving { time: 5.0, sd: 2.0, ..plain },
            Serves::Food => Serving { time: 15.0, sd: 6.0, at_once: None, ..plain },
            Serves::Powder => Serving { time: 132.0, sd: 60.0, gap: 12.0, ..plain },
        }
    }

    /// Minutes that 9 visits in 10 wait less than on an easy, a lively and a packed evening, if they
    /// are bounded: common practice. Who serves 200 from one side of a buffet takes 100 min (wedding
    /// hosts), and one toilet for 50 guests, the trade's most, lets 1 in 10 wait about 10 min.
    pub(super) fn waits(self) -> Option<[f64; 3]> {
        match self {
            Serves::Food => Some([3.0, 6.0, 12.0]),
            Serves::Drinks => Some([1.5, 3.0, 6.0]),
            Serves::Powder => Some([3.0, 5.0, 10.0]),
            Serves::Coats => Some([2.0, 3.0, 5.0]),
            Serves::Door => Some([2.0, 3.0, 5.0]),
            Serves::Glasses => None,
        }
    }

    /// Whether a place for it is chosen where the file names none: glasses stand with the drinks
    /// then, and the door is the way in.
    pub fn is_chosen(self) -> bool {
        match self {
            Serves::Coats | Serves::Drinks | Serves::Food | Serves::Powder => true,
            Serves::Door | Serves::Glasses => false,
        }
    }

    /// How many places are chosen for it.
    pub fn chosen_at_most(self) -> usize {
        match self {
            Serves::Coats => 2,
            Serves::Door | Serves::Drinks | Serves::Glasses | Serves::Food | Serves::Powder => 1,
        }
    }

    /// Whether it may be served at a piece.
    pub fn may_be_on(self, f: &Furniture) -> bool {
        match self {
            Serves::Coats => matches!(f.kind, Kind::Rack | Kind::Bed),
            Serves::Drinks => f.carries(),
            Serves::Glasses => f.carries() || matches!(f.kind, Kind::Cabinet | Kind::Shelf),
            Serves::Food => f.carries() && f.kind != Kind::Cooler,
            Serves::Door | Serves::Powder => false,
        }
    }

    /// Whether it may be served in a room as a whole.
    pub fn may_be_in(self, room: &Room) -> bool {
        match self {
            Serves::Coats => room.takes_coats(),
            Serves::Powder => room.usage.is_private(),
            Serves::Door | Serves::Drinks | Serves::Glasses | Serves::Food => false,
        }
    }

    /// How likely a piece serves it, 0 the likeliest, of those it may be served at.
    pub fn rank_on(self, f: &Furniture) -> u32 {
        match (self, f.kind) {
            (Serves::Coats, Kind::Rack) => 1,
            (Serves::Coats, _) => 2,
            (Serves::Drinks, Kind::Bar) => 0,
            (Serves::Drinks, Kind::Cooler) => 1,
            (Serves::Drinks, Kind::Island) => 2,
            (Serves::Drinks, Kind::Counter) => 3,
            (Serves::Food, Kind::Sideboard) => 0,
            (Serves::Food, Kind::Table) => 1,
            _ => 4,
        }
    }

    /// How likely a room serves it, 0 the likeliest, of those it may be served in: a family bath
    /// only where there is no powder room.
    pub fn rank_in(self, room: &Room) -> u32 {
        u32::from(room.usage == Use::Bath)
    }

    /// The piece bought for it, what it is called, and its width and depth in meters; none where
    /// nothing is built, and only rooms that are there can serve it.
    pub fn new_piece(self) -> Option<(Kind, &'static str, (f64, f64))> {
        let usual = |kind: Kind| (kind.usual().width.m(), kind.usual().depth.m());
        match self {
            Serves::Food => Some((Kind::Table, "buffet table", FOOD_TABLE)),
            Serves::Drinks => Some((Kind::Bar, "new bar", usual(Kind::Bar))),
            Serves::Coats => Some((Kind::Rack, "coat rack", usual(Kind::Rack))),
            Serves::Glasses => Some((Kind::Cabinet, "glass cabinet", usual(Kind::Cabinet))),
            Serves::Door | Serves::Powder => None,
        }
    }
}
