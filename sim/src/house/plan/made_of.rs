//! What a house is made of and has besides rooms and furniture. Only a review asks for it; what the
//! file does not say stays unsaid.

/// What a floor is finished with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Finish {
    Wood,
    Laminate,
    Vinyl,
    Tile,
    Stone,
    Concrete,
    Rug,
    Carpet,
}

impl Finish {
    /// All.
    pub const ALL: [Finish; 8] = [
        Finish::Wood,
        Finish::Laminate,
        Finish::Vinyl,
        Finish::Tile,
        Finish::Stone,
        Finish::Concrete,
        Finish::Rug,
        Finish::Carpet,
    ];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        ["wood", "laminate", "vinyl", "tile", "stone", "concrete", "rug", "carpet"][self as usize]
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Finish> {
        Finish::ALL.into_iter().find(|f| f.word() == word)
    }
}

/// What the leaf of a door is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Core {
    Hollow,
    Solid,
    Sealed,
}

impl Core {
    /// All: a hollow core, a solid one, and a solid one with seals all round.
    pub const ALL: [Core; 3] = [Core::Hollow, Core::Solid, Core::Sealed];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        ["hollow", "solid", "sealed"][self as usize]
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Core> {
        Core::ALL.into_iter().find(|c| c.word() == word)
    }
}

/// How walls between rooms are built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Partition {
    Plain,
    Insulated,
    Double,
}

impl Partition {
    /// All: studs with one sheet of board on either side, the same with insulation, and two rows of
    /// studs.
    pub const ALL: [Partition; 3] = [Partition::Plain, Partition::Insulated, Partition::Double];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        ["plain", "insulated", "double"][self as usize]
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Partition> {
        Partition::ALL.into_iter().find(|p| p.word() == word)
    }
}

/// Where guests' cars go. Lengths in meters.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Parking {
    /// Width and length of the drive that is free for guests.
    pub drive: Option<(f64, f64)>,
    /// Length of curb at which they may stand.
    pub street: Option<f64>,
    /// Marked spaces besides.
    pub spaces: Option<u32>,
}

/// What a house is made of and has, as far as the file says.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct MadeOf {
    /// Floor to ceiling, in meters, where a room does not say its own.
    pub ceiling: Option<f64>,
    /// What floors are finished with, where a room does not say.
    pub finish: Option<Finish>,
    /// How walls between rooms are built.
    pub partition: Option<Partition>,
    /// Parking.
    pub parking: Option<Parking>,
    /// Plates owned.
    pub plates: Option<u32>,
    /// Glasses owned.
    pub glasses: Option<u32>,
}
