//! The model behind elbowroom. No files, clocks, terminals or pictures. Folders in reading order,
//! and so are the modules in each: a file imports only from those above it.

pub mod base;
pub mod house;
pub mod evening;
pub mod files;
pub mod floor;
pub mod crowd;
pub mod study;
pub mod review;
pub mod evidence;
