//! What a review finds: what was measured on the drawing and what was estimated, each with how it
//! stands.

use crate::floor::faults::Fault;
use crate::house::plan::RoomId;
use crate::house::plan::catalog::Kind;
use crate::review::estimated::air::Air;
use crate::review::estimated::children::Children;
use crate::review::estimated::dishes::Dishes;
use crate::review::estimated::floors::Spilled;
use crate::review::estimated::guests::HomeRule;
use crate::review::estimated::lacks::Lacks;
use crate::review::estimated::noise::{Bedroom, Space};
use crate::review::estimated::parking::Cars;
use crate::review::hosting::coats::Coats;
use crate::review::hosting::seats::{Circle, Count, Table};
use crate::review::hosting::serving::{Apart, Food, Glasses, Storage};
use crate::review::hosting::work::{Aisle, Landing, Triangle};
use crate::review::mend::Mend;
use crate::review::rooms::openness::Openness;
use crate::review::rooms::powder::{Line, Powder};
use crate::review::rooms::sight::Sight;
use crate::review::verdict::Verdict;
use crate::review::walking::access::{Entrance, Reach, Turning};
use crate::review::walking::gaps::Before;
use crate::review::walking::routes::Crossing;
use crate::review::walking::ways::{Doorway, Narrowing};

/// What a row is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Topic {
    Walkways,
    Routes,
    SightLines,
    PowderRoom,
    Outdoors,
    FoodAndDrinks,
    Seats,
    Kitchen,
    Coats,
    ForEverybody,
}

impl Topic {
    /// All, in the order they are told.
    pub const ALL: [Topic; 10] = [
        Topic::Walkways,
        Topic::Routes,
        Topic::SightLines,
        Topic::PowderRoom,
        Topic::Outdoors,
        Topic::FoodAndDrinks,
        Topic::Seats,
        Topic::Kitchen,
        Topic::Coats,
        Topic::ForEverybody,
    ];
}

/// What was measured on the drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// A narrow place on one way or several.
    Narrowing(Narrowing),
    /// No way narrows below a walkway: the least width of floor, in meters.
    NoNarrowing(f64),
    /// An opening on one way or several.
    Doorway(Doorway),
    /// A door that cannot open, or that something stands before.
    Door(Fault),
    /// Floor before furniture.
    Before(Before),
    /// An everyday way that crosses something.
    Crossing(Crossing),
    /// Everyday ways cross nothing; whether the work triangle is known.
    NothingCrossed(bool),
    /// Who sees whom.
    Sight(Sight),
    /// How far the powder room is.
    PowderAway(Powder),
    /// What it opens onto.
    PowderOnto(Powder),
    /// Who looks at its door.
    PowderSeen(Powder),
    /// Where a line for the powder room stands.
    PowderLine(RoomId, Line),
    /// There is no powder room or bath for guests.
    NoPowder,
    /// How the house opens.
    Openness(Openness),
    /// No floor outdoors is drawn.
    NoOutdoors,
    /// Where food is served.
    Food(Food),
    /// Two things apart.
    Apart(Apart),
    /// Glasses.
    Glasses(Glasses),
    /// What keeps plates and silver.
    Storage(Storage),
    /// Seats.
    SeatCount(Count),
    /// A dining table.
    Table(Table),
    /// A group in which people talk.
    Circle(Circle),
    /// Whether two can talk alone.
    ForTwo(bool),
    /// Somewhere for a glass: seats for talk, and those with it.
    Perches(usize, usize),
    /// A seat near the door: how far, in meters.
    SeatNearDoor(Option<f64>),
    /// The work triangle.
    Triangle(Triangle),
    /// What a kitchen lacks to have one.
    NotDrawn(RoomId, Vec<Kind>),
    /// Counter beside a piece.
    Landing(Landing),
    /// The longest clear counter beside the sink, in meters.
    Preparing(f64),
    /// How many work without blocking, in the kitchen of this room.
    Cooks(RoomId, Aisle),
    /// From sink to dishwasher, in meters.
    Washing(f64),
    /// Coats.
    Coats(Coats),
    /// The way in.
    Entrance(Entrance),
    /// The way for a wheelchair.
    Reach(Reach),
    /// Room to turn.
    Turning(Turning),
}

impl Fact {
    /// What it is about.
    pub fn topic(&self) -> Topic {
        match self {
            Fact::Narrowing(_)
            | Fact::NoNarrowing(_)
            | Fact::Doorway(_)
            | Fact::Door(_)
            | Fact::Before(_) => Topic::Walkways,
            Fact::Crossing(_) | Fact::NothingCrossed(_) => Topic::Routes,
            Fact::Sight(_) => Topic::SightLines,
            Fact::PowderAway(_)
            | Fact::PowderOnto(_)
            | Fact::PowderSeen(_)
            | Fact::PowderLine(..)
            | Fact::NoPowder => Topic::PowderRoom,
            Fact::Openness(_) | Fact::NoOutdoors => Topic::Outdoors,
            Fact::Food(_) | Fact::Apart(_) | Fact::Glasses(_) | Fact::Storage(_) => {
                Topic::FoodAndDrinks
            }
            Fact::SeatCount(_)
            | Fact::Table(_)
            | Fact::Circle(_)
            | Fact::ForTwo(_)
            | Fact::Perches(..)
            | Fact::SeatNearDoor(_) => Topic::Seats,
            Fact::Triangle(_)
            | Fact::NotDrawn(..)
            | Fact::Landing(_)
            | Fact::Preparing(_)
            | Fact::Cooks(..)
            | Fact::Washing(_) => Topic::Kitchen,
            Fact::Coats(_) => Topic::Coats,
            Fact::Entrance(_) | Fact::Reach(_) | Fact::Turning(_) => Topic::ForEverybody,
        }
    }
}

/// A row of the review.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What was measured.
    pub fact: Fact,
    /// How it stands.
    pub verdict: Verdict,
    /// Where, in meters, if at one place.
    pub at: Option<(f64, f64)>,
    /// What would give it its width, if it is too narrow.
    pub mend: Option<Mend>,
}

/// What was estimated.
#[derive(Clone, Debug, PartialEq)]
pub enum Guess {
    /// The home rule.
    HomeRule(HomeRule),
    /// Dishes.
    Dishes(Dishes),
    /// Glasses and plates owned.
    Owned(Dishes),
    /// Talk in a room.
    Talk(Space),
    /// What reaches a bedroom.
    Bedroom(Bedroom),
    /// No bedroom shares a wall with the party.
    NoBedroomNextDoor,
    /// What hood and dishwasher may be as loud as in an open plan.
    Machines,
    /// A room for children.
    Children(Children),
    /// Cars.
    Cars(Cars),
    /// Air.
    Air(Air),
    /// Heat, in W: sensible, and in all; of so many guests.
    Heat(Air),
    /// A floor on which glasses are carried.
    Spilled(Spilled),
    /// What cannot be estimated, and what is lacking.
    Unknown(Unsaid, Lacks),
}

/// An estimate that is lacking something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Unsaid {
    Dishes,
    Talk,
    Bedrooms,
    Children,
    Parking,
    Air,
}

/// A row of the estimates.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimated {
    /// What was estimated.
    pub guess: Guess,
    /// How it stands, if there is anything to hold it against.
    pub verdict: Option<Verdict>,
}
