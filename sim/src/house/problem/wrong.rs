//! Everything that can be wrong with a plan or an evening, as data: words are found elsewhere.
//! Names are as the file says them; sides, styles and uses are the file's own words for them; lengths
//! are in meters, areas in m2.

#![expect(missing_docs, reason = "variants and fields are called what they are")]

use crate::base::units::{System, Unread};

macro_rules! wrong {
    ($($subject:ident($bad:ident)),*) => {
        /// What is wrong with an item or a key.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Wrong {
            $($subject($bad)),*
        }

        $(impl From<$bad> for Wrong {
            fn from(bad: $bad) -> Wrong {
                Wrong::$subject(bad)
            }
        })*
    };
}

wrong!(
    File(BadFile),
    Key(BadKey),
    Value(BadValue),
    Name(BadName),
    Room(BadRoom),
    Stairs(BadStairs),
    Opening(BadOpening),
    Piece(BadPiece),
    Evening(BadEvening),
    Floor(BadFloor)
);

/// A file that can't be used, or can't be used for what is asked. What the machine or the parser says
/// stands in its own words.
#[derive(Clone, Debug, PartialEq)]
pub enum BadFile {
    /// The file asked for can't be read.
    Unread { path: String, why: String },
    /// The plan that a scenario names can't be read.
    UnreadPlan { path: String, why: String },
    /// The plan that an option names can't be read.
    UnreadOptionPlan { path: String, why: String },
    /// The plan that an option names is not TOML.
    MalformedOptionPlan { path: String, parser: String },
    /// What a scenario names as its plan is none.
    NoPlan { path: String },
    /// A key stands twice.
    DuplicateKey { parser: String },
    /// It is not TOML.
    Malformed { parser: String },
    /// It is of a later format than this program reads.
    LaterFormat(i64),
    /// An option is asked for of a plan alone.
    PlanHasNoOptions,
}

/// Keys that are there and can't be, or that are missing.
#[derive(Clone, Debug, PartialEq)]
pub enum BadKey {
    /// Nothing has this key; those that could stand there.
    Unknown { key: String, known: Vec<String> },
    /// A key is missing.
    Missing(Needed),
    /// `plan` is no text.
    PlanIsNoText,
    /// There are more of something than can be worked with.
    TooMany { of: String, count: usize, most: usize },
    /// There are more options than anybody compares.
    TooManyOptions { count: usize, most: usize },
    /// The same is said in two ways.
    TwoWays(TwoWays),
}

/// A key that has to be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Needed {
    Format,
    Plan,
    RoomName,
    RoomSize,
    ZoneName,
    ZoneRoom,
    ZoneSize,
    WindowRoom,
    WindowWall,
    OpeningJoins,
    SwingInto,
    PieceKind,
    PieceRoom,
    OptionName,
    ErrandGuests,
    ErrandStops,
    ArriveShape,
}

/// Ways to say where or how something is, of which only one may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TwoWays {
    RoomSizeOrOutline,
    RoomAtOrBeside,
    FlushOrOffset,
    PieceSizeOrOutline,
    PieceAtOrGaps,
    TimesOrMostWithin,
    GuestsOrInvited,
    WindowGaps,
    OpeningGaps,
    Neighbors,
}

/// What a value should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    Format,
    Number,
    WholeNumber,
    Length,
    TwoLengths,
    Corners,
    Word,
    Text,
    Truth,
    Table,
    Tables,
    Options,
    Times,
    StartTime,
    TimeOfDay,
    Duration,
    Share,
    Area,
    Pace,
    PaceOnStairs,
}

/// What stands where something else is expected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    Text,
    WholeNumber,
    Number,
    Truth,
    List,
    Table,
    TooLargeNumber,
    Date,
}

/// Between what a figure has to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bounds {
    /// Seconds.
    Duration(f64, f64),
    /// A plain number.
    Number(f64, f64),
    /// How near people come before somebody makes room, in meters.
    Nearness(f64, f64),
    /// The thickness of walls, in meters.
    Walls(f64),
    /// The height of a ceiling, in meters.
    Ceiling(f64, f64),
}

impl Bounds {
    /// Whether a figure is within them.
    pub fn hold(&self, figure: f64) -> bool {
        let (low, high) = match *self {
            Bounds::Duration(low, high) | Bounds::Number(low, high) => (low, high),
            Bounds::Nearness(low, high) | Bounds::Ceiling(low, high) => (low, high),
            Bounds::Walls(high) => (0.0, high),
        };
        (low..=high).contains(&figure)
    }
}

/// A value that can't be what it should be.
#[derive(Clone, Debug, PartialEq)]
pub enum BadValue {
    /// Something else is expected than what stands there.
    Expected { what: Expected, found: Found },
    /// A text can't be read as what it should be.
    Unread { text: String, as_what: Expected, why: Unread },
    /// A word that is none of those known.
    UnknownWord { word: String, known: Vec<String> },
    /// What is known, but not simulated yet, and what is instead.
    NotYet { word: String, instead: Vec<String> },
    /// A text of nothing.
    EmptyText,
    /// A text with a line break or a mark that can't be shown.
    Unshowable,
    /// A name of more characters than anybody reads.
    LongName { most: usize },
    /// A whole number out of bounds.
    Count { found: i64, low: u32, high: u32 },
    /// A figure out of bounds, as it was written.
    OutOfBounds { said: String, bounds: Bounds },
    /// Hardly anybody of those invited comes.
    HardlyAnybodyComes,
    /// An evening is shorter or longer than any.
    EveningLength,
    /// Plates are filled faster than anybody can.
    FastHeadway,
    /// The lattice is too fine or too coarse.
    Cell,
    /// A cost below nothing.
    NegativeCost,
    /// How scripted guests arrive can't be read.
    Arrive,
    /// A script without stops.
    NoStops,
    /// An opening joins not exactly two rooms.
    NotTwoRooms,
    /// Stairs join not exactly two levels.
    NotTwoLevels,
    /// An outline of fewer than three corners, of a room or of a piece.
    FewCorners { of_room: bool },
}

/// What kind of name is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    Room,
    Opening,
    Level,
    Option,
    WayIn,
}

/// A name that nothing has, that something else has, or whose bearer can't be what it should be.
#[derive(Clone, Debug, PartialEq)]
pub enum BadName {
    /// There is none of the kind; those that there are.
    Unknown { what: Named, name: String, known: Vec<String> },
    /// Nothing in the plan has it; what could be meant.
    Nothing { name: String, known: Vec<String> },
    /// Nothing in the plan has it, nor anything that could serve this.
    NothingServes { name: String, serves: &'static str },
    /// Nothing in the plan has it that could be taken away.
    NothingToRemove { name: String, known: Vec<String> },
    /// Nothing in the plan has it that could be changed.
    NothingToChange { name: String, known: Vec<String> },
    /// It can't be changed in this way.
    Unchangeable { name: String },
    /// Another item has it.
    Taken { name: String, by: String },
    /// A zone has the name of another or of a room.
    ZoneTaken { name: String },
    /// Two options have it.
    TwoOptions { name: String },
    /// Two levels have it.
    TwoLevels { name: String },
    /// A piece named as powder room.
    PieceAsPowderRoom { name: String, known: Vec<String> },
    /// A room that is for something else named as powder room.
    RoomAsPowderRoom { name: String, usage: &'static str },
    /// Food, drinks or glasses where one is alone.
    ServedInPrivate { serves: &'static str, room: String, name: String },
    /// Food, drinks or glasses in a room, on no piece.
    ServedInRoom { serves: &'static str, name: String, known: Vec<String> },
}

/// Rooms that can't be as they are said.
#[derive(Clone, Debug, PartialEq)]
pub enum BadRoom {
    /// There are none.
    None,
    /// The outline crosses or touches itself.
    CrossesItself { name: String },
    /// It is less than a foot across.
    TooNarrow { name: String },
    /// Nothing says where it is.
    NoPosition { name: String },
    /// It is placed beside itself.
    BesideItself { name: String },
    /// Its neighbors' places depend on its own.
    EachByOther { name: String, other: String },
    /// It is flush with an end its side does not have; those it has.
    FlushAcross { side: &'static str, flush: &'static str, ends: [&'static str; 2] },
    /// Two rooms share floor.
    Overlap { name: String, other: String, shared: f64, on_levels: bool, both_stairs: bool },
    /// All of them reach farther than the program takes.
    HouseTooWide,
    /// A zone reaches out of its room.
    ZoneOutside { name: String, room: String },
    /// A window is wider than the wall, or reaches beyond it.
    WindowTooWide { wall: &'static str, room: String },
}

/// Levels and stairs that can't be as they are said.
#[derive(Clone, Debug, PartialEq)]
pub enum BadStairs {
    /// No room is on a level.
    EmptyLevel { level: String },
    /// The level of a room beside stairs isn't clear.
    UnclearLevel { room: String },
    /// Keys of levels in a plan that has none.
    NoLevels,
    /// Stairs in a plan of one level.
    OneLevel,
    /// Keys of stairs at a room that is none.
    NoStairs { room: String },
    /// Stairs with `level`.
    OnTwoLevels { name: String },
    /// Which way is up isn't said.
    NoUp { name: String },
    /// They rise too little or too much.
    Rise { name: String },
    /// Which levels they join isn't said.
    LevelsUnsaid { name: String },
    /// They join a level to itself.
    OneLevelTwice { name: String },
    /// They join a level that the plan doesn't name.
    UnknownLevel { name: String },
    /// They are no rectangle.
    NoRectangle { name: String },
    /// They are too short.
    TooShort { name: String, least: f64 },
    /// A piece stands on them.
    PieceOnStairs { piece: String },
    /// One end has no opening.
    NoOpening { name: String, upper: bool, level: String },
}

/// Where stairs and a room have to meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Met {
    /// The stairs.
    pub stairs: String,
    /// Which way they go up.
    pub up: &'static str,
    /// The room.
    pub room: String,
    /// At which end of the stairs.
    pub end: &'static str,
}

/// Openings that can't be where or as they are said.
#[derive(Clone, Debug, PartialEq)]
pub enum BadOpening {
    /// Nobody gets through.
    TooNarrow { name: String, clear: f64 },
    /// It is wider than its wall, or with the gap to one end of it.
    TooWide { name: String, width: f64, wall: f64, gap: Option<(&'static str, f64)> },
    /// Its rooms are one and the same, or both outside.
    SameRoom,
    /// Two rooms share no wall, on a side if one is said.
    NoSharedWall { inner: String, other: String, wall: Option<&'static str> },
    /// Which wall leads outside isn't said.
    WallUnsaid { inner: String },
    /// There is no straight wall on that side.
    NoStraightWall { inner: String },
    /// Stairs lead outside.
    StairsOutside { name: String },
    /// Two flights meet.
    FlightsMeet,
    /// Its rooms are on different levels.
    DifferentLevels { inner: String, other: String },
    /// Stairs that don't lead to the level of a room.
    StairsElsewhere { stairs: String, room: String },
    /// It is said to be in another wall than where stairs meet the room.
    StairsTurned(Met),
    /// Stairs and a room share no wall where they meet.
    StairsApart(Met),
    /// It leads outside where there is another room.
    IntoRoom { name: String, inner: String, room: String },
    /// Two are in the same piece of wall.
    SameWall { name: String, other: String },
    /// A style without a sliding panel says where it opens.
    NoPanel { style: &'static str },
    /// Its wall has no such end; those it has.
    NoSuchEnd { end: &'static str, ends: [&'static str; 2] },
    /// A style without a leaf says where it swings.
    NoLeaf { style: &'static str },
    /// It swings into none of its rooms.
    SwingsElsewhere { into: String, rooms: [String; 2] },
}

/// Pieces that can't be where or as they are said.
#[derive(Clone, Debug, PartialEq)]
pub enum BadPiece {
    /// The outline crosses or touches itself.
    CrossesItself { name: String },
    /// It has no size.
    NoSize,
    /// It stands at an angle and has sides by compass.
    TurnedCompass,
    /// It does not fit into its room.
    NoRoom { name: String, east_west: f64, north_south: f64, room: String },
    /// A share of it, 0 to 1, is in a wall.
    InWall { name: String, share: f64, room: String },
    /// It stands in another.
    InPiece { name: String, other: String },
}

/// Evenings that can't be as they are said.
#[derive(Clone, Debug, PartialEq)]
pub enum BadEvening {
    /// There are more scripted guests than can be worked with.
    TooManyScripted { guests: u64, most: u32 },
    /// Their stops are more than can be worked with.
    TooManyStops { stops: u64, most: u64 },
    /// A time is not during the evening; from when to when that is, by the clock.
    NotDuring { from: String, to: String },
    /// Where guests are greeted is not to be chosen.
    GreetedAtDoor,
    /// More guests at once than can be served.
    TooManyAtOnce { guests: u32 },
    /// Guests come at times of their own.
    OwnTimes,
    /// Figures for something that serves nothing; what does.
    ServesNothing { name: String, known: Vec<String> },
    /// More guests than the floor holds; the most, and the square feet a dense crowd takes each.
    TooManyGuests { guests: u32, most: u32, densest: f64 },
    /// More scripted guests than a room holds at the start, and the most.
    RoomTooFull { guests: u32, room: String, most: f64 },
}

/// What shows only on the floor.
#[derive(Clone, Debug, PartialEq)]
pub enum BadFloor {
    /// The house is too large to be walked.
    TooLarge,
    /// There is no way in.
    NoWayIn,
    /// The way in is closed.
    ClosedWayIn { opening: String },
    /// Nobody can come in through the way in.
    BlockedWayIn { opening: String },
    /// Nobody can reach a room.
    UnreachableRoom { room: String, because: Because },
    /// A shallow closet has no opening.
    ClosetWithoutOpening { room: String },
    /// Nobody can reach a stop of a script.
    UnreachableStop { name: String },
    /// There is no floor to be served on, or no way there.
    UnreachableSpot { serves: &'static str, name: String },
}

/// Why nobody can reach a room.
#[derive(Clone, Debug, PartialEq)]
pub enum Because {
    /// Its widest opening is too narrow.
    NarrowOpening { opening: String, clear: f64, system: System },
    /// A piece stands so near an opening.
    PieceBefore { piece: String, opening: String, far: f64, system: System },
    /// It has no opening.
    NoOpening,
    /// Something stands in the way.
    Furniture,
}
