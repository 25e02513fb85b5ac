//! What guests use: food and drinks, seats, the kitchen they are cooked for in, coats.

/// Food and drinks.
pub mod serving;
/// Seats.
pub mod seats;
/// Work zones of the kitchen.
pub mod work;
/// Coats.
pub mod coats;
