//! The plan as it is drawn before anyone comes.

/// With its dimensions.
pub(crate) mod plan;
/// With what a review found.
pub(crate) mod review;
/// What the cook sees.
pub(crate) mod sight;
