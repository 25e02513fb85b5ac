//! What a plan or an evening does not say.

use crate::house::plan::{OpeningId, RoomId};

/// What a plan lacks for an estimate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lacks {
    /// The ceiling of a room.
    Ceiling(RoomId),
    /// What its floor is finished with.
    Finish(RoomId),
    /// How walls between rooms are built.
    Walls,
    /// What a door is made of.
    Core(OpeningId),
    /// How many guests come.
    Guests,
    /// Where cars go.
    Parking,
    /// A room for children.
    Kids,
    /// A dishwasher.
    Dishwasher,
}
