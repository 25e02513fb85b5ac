//! What a house consists of to somebody who gives a party: the places guests go between, groups of
//! seats, dining tables, kitchens with their work triangle.

/// Places guests go between.
pub mod hubs;
/// Groups of seats in which people talk.
pub mod groups;
/// The work triangle.
pub mod triangle;
/// Tables people dine at.
pub mod tables;
