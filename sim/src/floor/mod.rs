//! The stage, immutable and shared by all evenings: a house and an evening go in; clear floor, the
//! ways over it, spots, seats and places to stand come out, and what can be said of them before any
//! guest comes.

/// Clear floor as a lattice of true distances.
pub mod grid;
/// Fields of travel times.
pub mod routes;
/// Everything a trial reads.
pub mod world;
/// How wide the floor is, and the widest ways.
pub mod widths;
/// Shortest ways, to be drawn and measured.
pub mod paths;
/// What is worth changing before any guest comes.
pub mod faults;

/// A house for the tests.
#[cfg(test)]
pub(crate) mod small_house;
