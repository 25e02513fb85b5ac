//! Answers to questions about a house, as figures. `reports` puts them into words.

pub mod jams;
pub mod evening;
pub mod gives;
pub mod headcount;
mod houses;

pub mod capacity;
pub mod habits;
pub mod race;

pub mod contest;
pub mod compare;
pub mod sites;

pub mod placing;
pub mod moves;
pub mod change;
mod doors;
pub mod changes;

pub mod improve;
