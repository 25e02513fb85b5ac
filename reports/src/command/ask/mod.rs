//! One short function for each question about an evening: reads, asks the model, tells.

pub(crate) mod run;
pub(crate) mod watch;
pub(crate) mod merge;
pub(crate) mod capacity;
pub(crate) mod compare;
pub(crate) mod where_to;
pub(crate) mod improve;
