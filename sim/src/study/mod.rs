//! Many evenings: a house, an evening and a budget of trials go in; answers to questions, as
//! figures with their ranges, come out. `reports` puts them into words.

/// Many trials and what they have in common.
pub mod ensemble;
/// What does this evening look like?
pub mod evening;
/// How many guests?
pub mod capacity;
/// The same evenings in many houses.
pub mod race;
/// Which arrangement is better?
pub mod compare;
/// Where should it go?
pub mod where_to;
/// Which change is worth building?
pub mod improve;
