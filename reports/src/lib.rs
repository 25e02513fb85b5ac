//! Answers put into words, JSON and pictures, and the program `elbowroom`.
//! Modules in reading order; each imports only from those above it.

/// The command line.
pub mod args;
/// Pictures.
pub mod chart;
/// Problems with their place, underlined.
pub mod diagnostic;
/// Wire types of answer.json.
pub mod json;
/// One short function for each command.
mod program;
/// Every number-to-text rule.
pub mod words;

pub use program::run;
