//! The model behind elbowroom. No files, clocks, terminals or pictures.
//! Modules in reading order; each imports only from those above it.

/// Lengths, ticks, points.
pub mod units;
/// Quantiles and intervals.
pub mod stats;
/// The only place with threads.
pub mod parallel;
/// The only place that makes random numbers.
pub mod chance;
/// What can be wrong with an input.
pub mod problem;
/// The house.
pub mod plan;
/// The evening.
pub mod scenario;
/// Text to plan and scenario.
pub mod read;
/// Clear floor as a lattice of true distances.
pub mod grid;
/// Travel-time maps.
pub mod routes;
/// Everything a trial reads.
pub mod world;
/// What is worth changing before any guest comes.
pub mod faults;
/// Who comes.
pub mod guests;
/// What a guest wants next.
pub mod agenda;
/// The changing state of the floor.
pub mod floor;
/// One step of one walker.
pub mod walk;
/// Whose turn it is.
pub mod lines;
/// Circles of people.
pub mod talk;
/// What a trial leaves behind.
pub mod measure;
/// One evening.
pub mod trial;
/// Many evenings.
pub mod ensemble;
/// Answers as figures.
pub mod question;
/// Checks against published values and theory.
pub mod evidence;
