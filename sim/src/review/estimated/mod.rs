//! What a drawing cannot show, estimated: each with its formula, its source and a word on what it is
//! worth. Formulas take plain numbers, so that published examples can be held against them.

/// What a plan lacks for an estimate.
pub mod lacks;
/// How many guests the floor takes by the home rule.
pub mod guests;
/// Plates, glasses, dishwashers.
pub mod dishes;
/// How loud it gets, and what reaches the bedrooms.
pub mod noise;
/// Where children are.
pub mod children;
/// Cars.
pub mod parking;
/// Air and warmth.
pub mod air;
/// Floors where drinks are spilled.
pub mod floors;
