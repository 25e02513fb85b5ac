//! The house: rooms, openings, furniture and levels, placed in meters. What a file said goes in, a
//! plan in which everything has its place comes out, or every problem with it.

/// What can be wrong with an input.
pub mod problem;
/// Rooms, openings, furniture, levels.
pub mod plan;
/// Changes to it, as data.
pub mod edit;
