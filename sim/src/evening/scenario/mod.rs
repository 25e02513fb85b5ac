//! Who comes, when, what is where, what is acceptable. Valid plain data; every default has its
//! source.

pub mod limits;
pub mod occasion;
mod serves;

pub use limits::{Grade, Limit, Limits};
pub use occasion::{Needs, Occasion};
pub use serves::Serves;

use crate::house::plan::{OpeningId, Plan};
use std::collections::BTreeMap;

/// The weather outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Weather {
    Hot,
    Mild,
    Cold,
}

impl Weather {
    /// Share of guests with a coat to leave: 5, 40, 95 % (coat-check firms say 25 to 30 % mild and
    /// everyone cold; the defaults between are common practice); rain makes it at least 80 %.
    pub fn coat_share(self, rain: bool) -> f64 {
        let dry = match self {
            Weather::Hot => 0.05,
            Weather::Mild => 0.40,
            Weather::Cold => 0.95,
        };
        if rain { f64::max(dry, 0.80) } else { dry }
    }

    /// Rod length of one coat in meters: 4 in for winter coats, 2 in for light jackets (closet
    /// notes).
    pub fn coat_width(self) -> f64 {
        crate::base::units::INCH * if self == Weather::Cold { 4.0 } else { 2.0 }
    }

    /// Whether doors to outdoor rooms stand open unless the scenario says otherwise.
    pub fn opens_patio(self, rain: bool) -> bool {
        self != Weather::Cold && !rain
    }
}

/// Whether an opening is open to guests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DoorState {
    /// Guests walk through.
    Open,
    /// Guests do not.
    Closed,
}

/// How long service takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Gamma with the mean and standard deviation.
    Spread,
    /// Exponential with the mean.
    Exponential,
    /// Always the mean.
    Fixed,
}

/// How a kind of spot serves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Serving {
    /// Mean service time, in seconds.
    pub time: f64,
    /// Standard deviation, in seconds.
    pub sd: f64,
    /// Law of the service time.
    pub shape: Shape,
    /// How many guests are served at once, or as many as the piece has room for.
    pub at_once: Option<u32>,
    /// Empty seconds between guests.
    pub gap: f64,
    /// Whether somebody pours.
    pub poured: bool,
    /// For food that is walked along: seconds between guests that one side keeps up.
    pub headway: f64,
    /// For food: seconds after the start at which it is served.
    pub at: f64,
    /// For food: how many waves guests go in.
    pub waves: u32,
}

/// What a file says about service, over the defaults.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
#[expect(missing_docs, reason = "each is the field of Serving it replaces")]
pub struct ServingSaid {
    pub time: Option<f64>,
    pub sd: Option<f64>,
    pub shape: Option<Shape>,
    pub at_once: Option<u32>,
    pub gap: Option<f64>,
    pub poured: Option<bool>,
    pub headway: Option<f64>,
    pub at: Option<f64>,
    pub waves: Option<u32>,
}

impl ServingSaid {
    /// Lays what was said on defaults. A mean said alone keeps the default's spread in proportion.
    fn over(self, base: Serving) -> Serving {
        let poured = self.poured.unwrap_or(base.poured);
        let (time, sd) =
            if poured && !base.poured { occasion::POURED } else { (base.time, base.sd) };
        let ratio = if time > 0.0 { sd / time } else { 0.0 };
        let mean = self.time.unwrap_or(time);
        Serving {
            time: mean,
            sd: self.sd.unwrap_or(mean * ratio),
            shape: self.shape.unwrap_or(base.shape),
            at_once: self.at_once.or(if poured { base.at_once.or(Some(1)) } else { base.at_once }),
            gap: self.gap.unwrap_or(base.gap),
            poured,
            headway: self.headway.unwrap_or(base.headway),
            at: self.at.unwrap_or(base.at),
            waves: self.waves.unwrap_or(base.waves),
        }
    }
}

/// How guests come.
#[derive(Clone, Debug, PartialEq)]
pub enum Arrivals {
    /// Share come by x minutes after the start: 1 - exp(-((x + 30) / b)^2). W. Hickey 2014, 803
    /// people at 26 gatherings; the closed form is fitted to its published quantiles.
    Curve {
        /// b in minutes.
        b: f64,
        /// Earliest arrival, in minutes before the start.
        lead: f64,
        /// Share of guests who come before the start, if that was said.
        early: Option<f64>,
    },
    /// Parties come at these seconds after the start, in turn, the last one repeated.
    Times(Vec<f64>),
}

impl Arrivals {
    /// The curve on which the middle 80 % come within so many seconds.
    pub fn most_within(seconds: f64, early: Option<f64>) -> Arrivals {
        Arrivals::curve((seconds / 60.0 / MIDDLE_80).max(LEAST_B), early)
    }

    /// The curve of a `b` in minutes. A share that comes early, if said, moves its beginning.
    pub fn curve(b: f64, early: Option<f64>) -> Arrivals {
        let lead = early.map_or(LEAD / 60.0, |share| {
            (b * (-(1.0 - share.min(MOST_EARLY)).ln()).sqrt()).min(LEAD / 60.0)
        });
        Arrivals::Curve { b, lead, early }
    }
}

/// Shares of guests who walk differently.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Mix {
    /// Share of older guests.
    pub older: f64,
    /// Share walking with a stick.
    pub stick: f64,
    /// Share walking with a frame.
    pub frame: f64,
}

/// How people talk.
#[derive(Clone, Debug, PartialEq)]
pub struct Talk {
    /// Rate of the zero-truncated Poisson law of group sizes. 1.4: built to give a mean near the
    /// two of Coleman & James 1961.
    pub rate: f64,
    /// Largest group. 5: Dunbar, Duncan & Nettle 1995 see about 4 talking together.
    pub most: u32,
    /// Mean time with one group, in seconds. 12 min: common practice.
    pub spell: f64,
    /// Pull of rooms by name; others by their use.
    pub pull: BTreeMap<String, f64>,
}

impl Default for Talk {
    fn default() -> Self {
        Talk { rate: 1.4, most: 5, spell: 720.0, pull: BTreeMap::new() }
    }
}

/// How people behave on the floor, where nobody has measured it: each figure is an assumption, and
/// a knob of `[habits]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Seconds after which somebody who cannot get to a place among talkers stops where they are.
    /// Assumption.
    pub settles_after: f64,
    /// Standing people step aside for somebody who comes so near, in meters. Assumption; people
    /// begin to give way to one another about 3.8 m ahead when both walk (Hackney et al. 2013).
    pub makes_room_within: f64,
    /// How much likelier people are to stand at the edge of an island, counter, bar, hearth or laid
    /// table than elsewhere in its room. Assumption: at parties everybody ends up round the island.
    pub perch: f64,
    /// Somebody under way is held up while they get no farther than this share of the distance they
    /// would on an empty floor. Assumption: at a fifth people say "excuse me".
    pub held_below: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Habits { settles_after: 3.0, makes_room_within: 1.2, perch: 2.0, held_below: 0.2 }
    }
}

/// Where scripted guests come from.
#[derive(Clone, Debug, PartialEq)]
pub enum From {
    /// Through the door.
    Outside,
    /// Standing in a room at the start.
    Room(String),
}

/// Gaps between scripted guests.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Every {
    /// All at the start.
    Together,
    /// Exponential gaps with this mean, in seconds.
    Exponential(f64),
    /// Equal gaps, in seconds.
    Fixed(f64),
    /// Uniform over this many seconds.
    Uniform(f64),
}

/// A script for a number of guests instead of an evening.
#[derive(Clone, Debug, PartialEq)]
pub struct Errand {
    /// How many.
    pub guests: u32,
    /// From where.
    pub from: From,
    /// When.
    pub arrive: Every,
    /// Seconds before the first.
    pub delay: f64,
    /// Walking pace in m/s, or drawn.
    pub pace: Option<f64>,
    /// Pace up and down stairs, along the flight, in m/s; or as usual for the pace.
    pub stair_pace: Option<f64>,
    /// Names of spots, rooms and openings in turn.
    pub stops: Vec<String>,
    /// How often the stops are gone through.
    pub repeat: u32,
}

/// Seconds after the start of a time of day in minutes, over midnight where that is nearer.
pub fn after_start(minutes: u32, start: u32) -> f64 {
    let difference = (f64::from(minutes) - f64::from(start)) * 60.0;
    match difference {
        d if d < -12.0 * 3600.0 => d + 86_400.0,
        d if d > 86_400.0 - LEAD => d - 86_400.0,
        d => d,
    }
}

/// The most guests who are served at once at a spot, if a file says.
pub const MOST_AT_ONCE: u32 = 50;
/// The most guests inside at once.
pub const MOST_INSIDE: u32 = 1_000;
/// The most scripted guests in all.
pub const MOST_SCRIPTED: u32 = 2_000_000;

/// Settings for checks of the model itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Model {
    /// Edge of a cell in meters.
    pub cell: f64,
    /// Whether ties go to the later guest.
    pub reversed: bool,
    /// Seconds after which a trial of scripts is broken off, whoever is still under way.
    pub ends: Option<f64>,
    /// Events after which a trial is stopped as one that would never end, instead of the usual.
    pub most_events: Option<u64>,
}

impl Default for Model {
    fn default() -> Self {
        Model { cell: crate::base::units::CELL, reversed: false, ends: None, most_events: None }
    }
}

/// Everything about an evening but the house.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the person calls it.
    pub title: String,
    /// The option in force, if any.
    pub option: Option<String>,
    /// Keys of the file's top that it leaves out.
    pub unsaid: Vec<&'static str>,
    /// The occasion.
    pub occasion: Occasion,
    /// What guests want, by occasion.
    pub needs: Needs,
    /// Guests.
    pub guests: u32,
    /// Share of those invited who come.
    pub comes: f64,
    /// Minutes after midnight of the stated start.
    pub start: u32,
    /// Seconds from start to end.
    pub lasts: f64,
    /// The weather.
    pub weather: Weather,
    /// Rain.
    pub rain: bool,
    /// Hosts.
    pub hosts: u32,
    /// How guests come.
    pub arrivals: Arrivals,
    /// The opening they come through, or the likeliest.
    pub through: Option<String>,
    /// Who walks differently.
    pub mix: Mix,
    /// Names of pieces and rooms by what they serve; what is not here is chosen.
    pub place: BTreeMap<Serves, Vec<String>>,
    /// States of openings by name.
    pub doors: BTreeMap<String, DoorState>,
    /// What the file says about service, by the word of what is served or the name of a spot.
    pub serving: BTreeMap<String, ServingSaid>,
    /// Openings that lines run toward, by the name of a spot; others run to the way in.
    pub lines: BTreeMap<String, String>,
    /// Limits.
    pub limits: Limits,
    /// Talk.
    pub talk: Talk,
    /// Habits on the floor.
    pub habits: Habits,
    /// Scripts, if it is not an evening.
    pub errands: Vec<Errand>,
    /// Settings for checks.
    pub model: Model,
}

/// Keys of the file's top whose defaults people are told of.
pub const KEYS: [&str; 9] =
    ["occasion", "guests", "start", "lasts", "weather", "hosts", "arrivals", "mix", "limits"];

impl Scenario {
    /// The defaults of an occasion for a headcount.
    pub fn of(occasion: Occasion, guests: u32) -> Self {
        Scenario {
            title: occasion.word().into(),
            option: None,
            unsaid: KEYS.to_vec(),
            occasion,
            needs: occasion.needs(),
            guests,
            comes: COMES,
            start: occasion.start(),
            lasts: occasion.lasts(),
            weather: Weather::Mild,
            rain: false,
            hosts: 2,
            arrivals: arrival_curve(guests),
            through: None,
            mix: Mix::default(),
            place: BTreeMap::new(),
            doors: BTreeMap::new(),
            serving: BTreeMap::new(),
            lines: BTreeMap::new(),
            limits: Limits::default(),
            talk: Talk::default(),
            habits: Habits::default(),
            errands: vec![],
            model: Model::default(),
        }
    }

    /// How a spot of a name and kind serves: the occasion's way, over it what is said of the kind,
    /// over it what is said of the spot.
    pub fn serving_of(&self, name: &str, serves: Serves) -> Serving {
        let said = |key: &str| self.serving.get(key).copied().unwrap_or_default();
        said(name).over(said(serves.word()).over(serves.usual_serving()))
    }

    /// Whether guests walk through an opening: said, or open unless it leads out of doors and the
    /// weather keeps it shut.
    pub fn is_open(&self, plan: &Plan, opening: OpeningId) -> bool {
        let o = &plan.openings[opening];
        let outdoors = o.rooms().any(|r| plan.rooms[r].usage == crate::house::plan::Use::Outdoors);
        match self.doors.get(&o.name) {
            Some(state) => *state == DoorState::Open,
            None => !outdoors || self.is_scripted() || self.weather.opens_patio(self.rain),
        }
    }

    /// Whether guests follow scripts instead of having an evening.
    pub fn is_scripted(&self) -> bool {
        !self.errands.is_empty()
    }

    /// The bound of a limit for a grade; `None` where nothing bounds it.
    pub fn bound(&self, limit: Limit, grade: Grade) -> Option<f64> {
        self.limits.bound(limit, grade, self.lasts)
    }

    /// Whether a moment, in seconds after the start, is during the evening, or in the half hour
    /// before it in which the first guests come.
    pub fn is_during(&self, seconds: f64) -> bool {
        (-LEAD..=self.lasts).contains(&seconds)
    }

    /// Seconds from the first moment of a trial to the stated start.
    pub fn lead(&self) -> f64 {
        if self.is_scripted() { 0.0 } else { LEAD }
    }
}

/// Share of those invited who come: "invite 50, expect 40" (planners in a magazine; home parties).
pub const COMES: f64 = 0.80;
/// The 90 % point of the arrival curve in units of its b, counted from its beginning: sqrt(ln 10).
pub const NINE_IN_TEN: f64 = 1.517_427_129_385_146_5;
/// Distance between the 10 % and 90 % points of the arrival curve in units of its b: sqrt(ln 10) -
/// sqrt(ln (1/0.9)).
pub const MIDDLE_80: f64 = NINE_IN_TEN - 0.324_592_845_974_500_9;
/// Nobody comes earlier than this many seconds before the start (Hickey 2014: the fitted curve
/// begins 30 min early).
pub const LEAD: f64 = 1800.0;

/// The steepest curve: nobody can ask for less, in minutes.
const LEAST_B: f64 = 0.5;
/// Somebody comes after the start.
const MOST_EARLY: f64 = 0.99;

/// Default arrivals for a headcount: median 42 + 0.4 N minutes (Hickey 2014), so b = (72 + 0.4 N) /
/// 0.833.
pub fn arrival_curve(guests: u32) -> Arrivals {
    Arrivals::curve((72.0 + 0.4 * f64::from(guests)) / 0.833, None)
}
