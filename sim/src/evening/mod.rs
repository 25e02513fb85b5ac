//! The evening: what is asked of the house, and who comes. An occasion and a seed go in; guests
//! with what each wants, and when, come out. Knows of rooms and pieces by name only.

/// Occasion, serving, limits, habits.
pub mod scenario;
/// Changes to it and to the house, as data.
pub mod edit;
/// Who comes.
pub mod guests;
/// What a guest wants next.
pub mod agenda;
