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
