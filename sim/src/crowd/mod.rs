//! One evening: a stage, a seed and a trial number go in; what was counted, and where everybody
//! was, come out. All state that changes is here.

/// Bodies on the floor.
pub mod bodies;
/// One step of one walker.
pub mod walk;
/// Whose turn it is.
pub mod lines;
/// Circles of people.
pub mod talk;
/// What a trial leaves behind.
pub mod measure;
/// The event loop.
pub mod trial;
/// The same evening without a floor.
pub mod on_paper;
