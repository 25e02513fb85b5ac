//! Answers put into words, JSON and pictures, and the program `elbowroom`. Folders in reading
//! order, and so are the modules in each: a file imports only from those above it.

pub mod words;
pub mod answer;
pub mod pictures;
pub mod page;
pub mod command;

pub use command::{clean_up_when_interrupted, run, run_on};
