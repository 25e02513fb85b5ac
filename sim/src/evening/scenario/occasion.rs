//! Occasions: named sets of defaults for what guests want and how spots serve. Each figure has its
//! source.

/// An occasion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Occasion {
    /// Standing, drinks and bites.
    Cocktails,
    /// A meal fetched from a buffet.
    Buffet,
}

/// What a guest wants over an evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needs {
    /// Drinks a guest and hour in a guest's first hour.
    pub drinks_first: f64,
    /// Drinks a guest and hour after it.
    pub drinks_later: f64,
    /// Trips for bites a guest and hour, in the first two hours of a guest's stay; 0 where a meal
    /// is served.
    pub bites: f64,
    /// Whether a meal is served at a time.
    pub meal: bool,
    /// Mean number of second trips to the meal.
    pub seconds: f64,
    /// Seconds of eating a plate.
    pub eating: f64,
    /// Powder-room visits a guest and hour.
    pub powder: f64,
    /// Share of guests who want to sit down at some time (with a plate, at a meal).
    pub sitters: f64,
    /// Seconds of one sitting, standing evenings.
    pub sitting: f64,
    /// Standard deviation of leaving about the end, in seconds.
    pub leaving_sd: f64,
}

impl Occasion {
    /// All occasions simulated so far.
    pub const ALL: [Occasion; 2] = [Occasion::Cocktails, Occasion::Buffet];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        match self {
            Occasion::Cocktails => "cocktails",
            Occasion::Buffet => "buffet",
        }
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Occasion> {
        Occasion::ALL.into_iter().find(|o| o.word() == word)
    }

    /// Occasions that cannot be simulated yet.
    pub const LATER: [&str; 5] = ["dinner", "cookout", "game night", "open house", "potluck"];

    /// Minutes after midnight of the start: 7 pm (common practice).
    pub(super) fn start(self) -> u32 {
        match self {
            Occasion::Cocktails | Occasion::Buffet => 19 * 60,
        }
    }

    /// Seconds from start to end: cocktails 3 h (etiquette press: 2 to 3 h), buffet 3.5 h (dinner 2
    /// to 4 h).
    pub(super) fn lasts(self) -> f64 {
        let hours = match self {
            Occasion::Cocktails => 3.0,
            Occasion::Buffet => 3.5,
        };
        3600.0 * hours
    }

    /// What guests want.
    ///
    /// Drinks: cocktails 2 in the first hour, then 1 an hour (caterers); dinner 1 an hour (hosting
    /// guides, Drug Alcohol Rev 2012;31:231). Bites: 5 to 6 pieces in the first hour, 3 later
    /// (Colorado State Univ. guide), two pieces a trip (common practice). Seconds: 0.6 a guest,
    /// from 1.5 to 2 plates a guest (rental notes). Eating 25 min (common practice; quantity cooks:
    /// 40 min to the last). Powder room: 0.45 visits a guest-hour with alcohol (event sanitation
    /// rule). Seats: cocktails 40 % (planners: 20 to 60), meals all. Sitting 15 min (common
    /// practice). Two thirds leave within 20 min of the end: common practice.
    pub(super) fn needs(self) -> Needs {
        let standing = Needs {
            drinks_first: 2.0,
            drinks_later: 1.0,
            bites: 2.0,
            meal: false,
            seconds: 0.0,
            eating: 0.0,
            powder: 0.45,
            sitters: 0.4,
            sitting: 900.0,
            leaving_sd: 1200.0,
        };
        match self {
            Occasion::Cocktails => standing,
            Occasion::Buffet => Needs {
                drinks_first: 1.0,
                bites: 0.0,
                meal: true,
                seconds: 0.6,
                eating: 1500.0,
                sitters: 1.0,
                ..standing
            },
        }
    }
}

/// Service at a poured bar: a simple drink takes a bartender 45 to 60 s (60 to 80 pours an hour:
/// trade).
pub const POURED: (f64, f64) = (50.0, 20.0);
/// Finding a coat again takes a third longer than hanging it: 40 s after 30 s, common practice.
pub const COAT_BACK: f64 = 40.0 / 30.0;
/// A glass behind wood costs a search of this many seconds more: common practice.
pub const GLASS_SEARCH: f64 = 15.0;
/// Coats on a bed before the pile slides: common practice.
pub const BED_COATS: u32 = 20;
/// Sizes of parties 1 to 4 in percent: mean 2.0 people a car (BTS, NHTS 2001: 2.05 for social
/// trips), couples dominate (Coleman & James 1961).
pub const PARTY_SIZES: [u64; 4] = [30, 50, 10, 10];
/// Adults at leisure walk 1.10 m/s, sd 0.22 (Weidmann 1993), kept within 0.5 to 1.7.
pub const PACE: [f64; 4] = [1.10, 0.22, 0.5, 1.7];
/// Pace of older guests as a share of adults': 1.24 to 1.34 m/s at any pace (Kasovic et al. 2021;
/// Weidmann 1993).
pub const OLDER_PACE: f64 = 1.24 / 1.34;
/// Pace with a stick in m/s (Boyce, Shields & Silcock 1999), from memory.
pub const STICK_PACE: f64 = 0.81;
/// Pace with a frame in m/s (Boyce, Shields & Silcock 1999), from memory.
pub const FRAME_PACE: f64 = 0.57;
