//! Rooms against one another: who sees whom, where the powder room lies, how the house opens to the
//! outdoors.

/// Who sees whom.
pub mod sight;
/// Where the powder room lies.
pub mod powder;
/// How the house opens to the outdoors.
pub mod openness;
