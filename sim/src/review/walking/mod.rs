//! Getting about: the ways between places, the floor before furniture, what everyday ways lead
//! through, and ways for everybody.

/// The widest ways between places, and where they narrow.
pub mod ways;
/// The floor before furniture.
pub mod gaps;
/// What everyday ways lead through.
pub mod routes;
/// Ways for everybody.
pub mod access;
