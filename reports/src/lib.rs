//! Answers put into words, JSON and pictures, and the program `elbowroom`.
//! Modules in reading order; each imports only from those above it.

/// Every number-to-text rule.
pub mod words;
/// Wire types of answer.json.
pub mod json;
/// Problems with their place, underlined.
pub mod diagnostic;
/// Pictures.
pub mod chart;
/// The page somebody else opens.
pub mod page;
/// The command line.
pub mod args;
/// One short function for each command.
mod program;

pub use program::{clean_up_when_interrupted, run, run_on};
