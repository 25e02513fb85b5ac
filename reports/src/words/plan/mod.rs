//! What is said of a plan before anyone is invited.

/// What `check` points out.
pub mod check;
/// What a review finds.
pub mod review;
