//! Graphs: waits and lines through the evening, limits against headcount.

pub(crate) mod lines;
pub(crate) mod capacity;
