//! Graphs: waits and lines through the evening, limits against headcount.

pub(crate) mod waiting;
pub(crate) mod capacity;
