//! Tables people dine at.

use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, PieceId, Plan, Use};

/// A dining table has at least so many seats.
const SEATS: u32 = 3;

/// Dining tables indoors.
pub fn dining_tables(plan: &Plan) -> impl Iterator<Item = (PieceId, &Furniture)> {
    plan.furniture.iter_enumerated().filter(|(_, f)| {
        f.kind == Kind::Table
            && !f.is_low()
            && f.seats >= SEATS
            && plan.rooms[f.room].usage != Use::Outdoors
    })
}
