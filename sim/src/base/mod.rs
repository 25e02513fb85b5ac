//! What has nothing to do with houses or guests: units, statistics, random numbers, threads.
//! Numbers go in and come out.

/// Numbers of things, a type for each sort of thing.
pub mod ids;
/// Lengths, ticks, points.
pub mod units;
/// Quantiles and intervals.
pub mod stats;
/// The only place with threads.
pub mod parallel;
/// The only place that makes random numbers.
pub mod chance;
