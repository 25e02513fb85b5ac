//! Windows: where they are in walls, so that the plan is drawn with them. Guests don't know them.

use super::room::Room;
use super::said::Said;
use super::wall::{middle_on, stretch};
use super::{RoomId, Xy};
use crate::base::ids::TiSlice;
use crate::house::problem::{BadRoom, File, Named, Problem};

/// A window in an outside wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// The room's index.
    pub room: RoomId,
    /// Its middle, half way through the wall, in meters.
    pub center: Xy,
    /// Unit vector along the wall.
    pub along: (f64, f64),
    /// Its width, in meters.
    pub width: f64,
    /// Thickness of the wall, in meters.
    pub depth: f64,
}

/// Places windows in their walls; those that don't fit are problems.
pub(super) fn place(
    said: &Said,
    names: &TiSlice<RoomId, &str>,
    rooms: &TiSlice<RoomId, Option<Room>>,
    problems: &mut Vec<Problem>,
) -> Vec<Window> {
    let mut windows = vec![];
    for (i, w) in said.windows.iter().enumerate() {
        let Some(index) = names.position(|n| *n == w.room) else {
            problems.push(Problem::unknown_name(
                File::Plan,
                format!("window/{i}/room"),
                Named::Room,
                &w.room,
                &names.raw,
            ));
            continue;
        };
        let Some(room) = rooms[index].as_ref() else {
            continue;
        };
        let wall = stretch(room, None, Some(w.wall), said.walls);
        match wall.and_then(|wall| Some((middle_on(&wall, w.gap, w.width)?, wall))) {
            Some((middle, wall)) => windows.push(Window {
                room: index,
                center: wall.inside(middle),
                along: wall.along,
                width: w.width,
                depth: wall.depth,
            }),
            None => {
                let wide = BadRoom::WindowTooWide { wall: w.wall.word(), room: w.room.clone() };
                problems.push(Problem::of_plan(format!("window/{i}"), wide));
            }
        }
    }
    windows
}
