//! Numbers of things in a list, a type for each sort of thing, so that a room is not looked up by the
//! number of a spot.

/// A list whose things are looked up by their own type of number.
pub use typed_index_collections::{TiSlice, TiVec};

/// Makes a type for the numbers of one sort of thing.
macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
        )]
        pub struct $name(u32);

        impl $name {
            /// The first of them.
            pub const FIRST: $name = $name(0);
        }

        impl From<usize> for $name {
            /// The n-th of them, from 0; no file names four billion.
            fn from(n: usize) -> $name {
                $name(n as u32)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }

        impl From<$name> for usize {
            fn from(id: $name) -> usize {
                id.0 as usize
            }
        }
    };
}

pub(crate) use id;
