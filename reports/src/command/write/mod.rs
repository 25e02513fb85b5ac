//! What a command leaves behind: an answer on the terminal and a folder, whole or not at all,
//! beside what is there.

pub(crate) mod terminal;
pub(crate) mod progress;
pub(crate) mod beside;
pub(crate) mod folder;
pub(crate) mod one_file;
pub(crate) mod traces;
pub(crate) mod out;
