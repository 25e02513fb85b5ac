//! The model behind elbowroom. No files, clocks, terminals or pictures.
//! Modules in reading order; each imports only from those above it.

/// What a guest wants next.
pub mod agenda;
/// The only place that makes random numbers.
pub mod chance;
/// Many evenings.
pub mod ensemble;
/// The changing state of the floor.
pub mod floor;
/// Clear floor as a lattice of true distances.
pub mod grid;
/// Who comes.
pub mod guests;
/// Whose turn it is.
pub mod lines;
/// What a trial leaves behind.
pub mod measure;
/// The only place with threads.
pub mod parallel;
/// The house.
pub mod plan;
/// What can be wrong with an input.
pub mod problem;
/// Answers as figures.
pub mod question;
/// Text to plan and scenario.
pub mod read;
/// Travel-time maps.
pub mod routes;
/// The evening.
pub mod scenario;
/// Quantiles and intervals.
pub mod stats;
/// Circles of people.
pub mod talk;
/// One evening.
pub mod trial;
/// Lengths, ticks, points.
pub mod units;
/// One step of one walker.
pub mod walk;
/// Everything a trial reads.
pub mod world;
