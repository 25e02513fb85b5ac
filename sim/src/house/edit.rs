//! Changes to a house as data, each of one thing about one item: what `improve` and `where` try, and
//! print as the lines of an option. Laid on what the plan said, so that everything placed by it
//! follows. Options of a file are laid by `files` and can say more.

use crate::base::units::Written;
use crate::house::plan::catalog::Kind;
use crate::house::plan::said::{
    Compass, Put, Said, SaidFurniture, SaidOpening, SaidRoom, SaidSide, Shape,
};
use crate::house::plan::{Plan, Side};
use crate::house::problem::{BadName, Problem};

/// A change to a house. Items have the names they have in the plan.
#[derive(Clone, Debug, PartialEq)]
pub enum HouseEdit {
    /// Of a room.
    Room(String, RoomEdit),
    /// Of an opening.
    Opening(String, OpeningEdit),
    /// Of a piece of furniture.
    Piece(String, PieceEdit),
    /// A room, an opening or a piece is taken away.
    Remove(String),
    /// A piece comes in.
    Add(NewPiece),
}

/// What is changed about a room.
#[derive(Clone, Debug, PartialEq)]
pub enum RoomEdit {
    /// It is a rectangle of this size: east-west and north-south.
    Size([Written; 2]),
    /// It is aligned with this end of the room it is beside; a room that is beside none
    /// stays where it is.
    Flush(Compass),
}

/// What is changed about an opening.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningEdit {
    /// Its clear width, whatever width it was said to have.
    Clear(Written),
    /// Both its width and its clear width.
    Width {
        /// As it is sold.
        sold: Written,
        /// Clear.
        clear: Written,
    },
    /// Its leaf swings into a room, on a hinge at one side.
    Swing {
        /// The room.
        into: String,
        /// The side.
        hinge: Compass,
    },
}

/// What is changed about a piece of furniture.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceEdit {
    /// It stands elsewhere, in its room or in another.
    At {
        /// The other room.
        room: Option<String>,
        /// South-west corner of its footprint, from that of its room.
        corner: [Written; 2],
    },
    /// Degrees counter-clockwise from facing south.
    Turn(f64),
    /// Sides it is used from.
    UseFrom(Vec<Side>),
    /// What is inside is in sight.
    GlassFront,
}

/// A piece that is not in the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct NewPiece {
    /// Its name; nothing else has it.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// The room it stands in.
    pub room: String,
    /// See [`PieceEdit::At`].
    pub corner: [Written; 2],
    /// See [`PieceEdit::Turn`].
    pub turn: f64,
    /// See [`PieceEdit::UseFrom`].
    pub use_from: Vec<Side>,
    /// Along its front, and front to back.
    pub size: [Written; 2],
    /// Seats, unless as many as usual.
    pub seats: Option<u32>,
    /// What is inside is in sight.
    pub glass_front: bool,
    /// Hanging rod, unless as much as usual.
    pub rod: Option<Written>,
}

impl HouseEdit {
    /// Whether two changes are of the same thing about the same item, so that only one of them can
    /// be made. Pieces are added beside one another.
    pub fn is_about_the_same(&self, other: &HouseEdit) -> bool {
        use std::mem::discriminant;
        match (self, other) {
            (HouseEdit::Room(a, x), HouseEdit::Room(b, y)) => {
                a == b && discriminant(x) == discriminant(y)
            }
            (HouseEdit::Opening(a, x), HouseEdit::Opening(b, y)) => {
                a == b && x.is_width() == y.is_width()
            }
            (HouseEdit::Piece(a, x), HouseEdit::Piece(b, y)) => {
                a == b && discriminant(x) == discriminant(y)
            }
            // what is taken away can't be changed
            _ => self.item().is_some() && self.item() == other.item(),
        }
    }
}

impl OpeningEdit {
    fn is_width(&self) -> bool {
        !matches!(self, OpeningEdit::Swing { .. })
    }
}

/// What a plan said, with changes laid on it: `plan` is the one that `said` built. What names
/// nothing of the plan, or what is taken away, is a problem.
pub fn edited(said: &Said, plan: &Plan, edits: &[HouseEdit]) -> Result<Said, Problem> {
    let removed: Vec<&str> = edits.iter().filter_map(HouseEdit::removes).collect();
    let mut said = said.clone();
    for (i, edit) in edits.iter().enumerate() {
        let laid = edit.lay(&mut said, plan);
        // nothing can be taken away twice, or be changed and taken away
        let before = if edit.removes().is_some() { &edits[..i] } else { edits };
        let gone = |name: &&str| before.iter().any(|e| e.removes() == Some(name));
        if let Some(name) = edit.item().filter(|name| laid.is_none() || gone(name)) {
            let name = name.to_string();
            return Err(Problem::of_scenario("option", BadName::Unchangeable { name }));
        }
    }
    if !removed.is_empty() {
        name_all(&mut said, plan);
        let stays = |name: &Option<String>| name.as_deref().is_none_or(|n| !removed.contains(&n));
        said.rooms.retain(|r| !removed.contains(&r.name.as_str()));
        said.openings.retain(|o| stays(&o.name));
        said.furniture.retain(|f| stays(&f.name));
    }
    said.furniture.extend(edits.iter().filter_map(HouseEdit::adds).map(NewPiece::said));
    Ok(said)
}

/// Gives what has no name of its own the name the plan gave it: names of others don't change when
/// something is taken away.
fn name_all(said: &mut Said, plan: &Plan) {
    for (o, built) in said.openings.iter_mut().zip(&plan.openings) {
        o.name.get_or_insert_with(|| built.name.clone());
    }
    for (f, built) in said.furniture.iter_mut().zip(&plan.furniture) {
        f.name.get_or_insert_with(|| built.name.clone());
    }
}

impl HouseEdit {
    /// The item of the plan that is changed or taken away.
    fn item(&self) -> Option<&str> {
        match self {
            HouseEdit::Room(name, _)
            | HouseEdit::Opening(name, _)
            | HouseEdit::Piece(name, _)
            | HouseEdit::Remove(name) => Some(name),
            HouseEdit::Add(_) => None,
        }
    }

    fn removes(&self) -> Option<&str> {
        if let HouseEdit::Remove(name) = self { Some(name) } else { None }
    }

    fn adds(&self) -> Option<&NewPiece> {
        if let HouseEdit::Add(piece) = self { Some(piece) } else { None }
    }

    /// Changes an item; `None` if the plan has none of that name that can be so. What comes and
    /// goes is left.
    fn lay(&self, said: &mut Said, plan: &Plan) -> Option<()> {
        match self {
            HouseEdit::Room(name, edit) => {
                edit.lay(said.rooms.get_mut(usize::from(plan.room(name)?))?)?
            }
            HouseEdit::Opening(name, edit) => {
                edit.lay(said.openings.get_mut(usize::from(plan.opening(name)?))?);
            }
            HouseEdit::Piece(name, edit) => {
                edit.lay(said.furniture.get_mut(usize::from(plan.piece(name)?))?)
            }
            HouseEdit::Remove(name) => return plan.names().contains(&name.as_str()).then_some(()),
            HouseEdit::Add(_) => {}
        }
        Some(())
    }
}

impl RoomEdit {
    /// `None` if the room is beside another so that it can't be flush with that end.
    fn lay(&self, room: &mut SaidRoom) -> Option<()> {
        match (self, &mut room.put) {
            (RoomEdit::Size(size), _) => {
                let [across, deep] = size.map(Written::m);
                room.shape = Shape::Size(across, deep);
            }
            (RoomEdit::Flush(end), Put::Beside { side, flush, offset, .. }) => {
                if side.is_vertical() == end.is_vertical() {
                    return None;
                }
                (*flush, *offset) = (Some(*end), None);
            }
            (RoomEdit::Flush(_), _) => {}
        }
        Some(())
    }
}

impl OpeningEdit {
    fn lay(&self, opening: &mut SaidOpening) {
        match self {
            OpeningEdit::Clear(clear) => {
                (opening.width, opening.clear) = (None, Some(clear.m()));
            }
            OpeningEdit::Width { sold, clear } => {
                (opening.width, opening.clear) = (Some(sold.m()), Some(clear.m()));
            }
            OpeningEdit::Swing { into, hinge } => {
                (opening.swing_into, opening.hinge) = (Some(into.clone()), Some(*hinge));
            }
        }
    }
}

impl PieceEdit {
    /// What put the piece where it was gives place.
    fn lay(&self, piece: &mut SaidFurniture) {
        match self {
            PieceEdit::At { room, corner } => {
                if let Some(room) = room {
                    piece.room.clone_from(room);
                }
                let [x, y] = corner.map(Written::m);
                piece.at = Some((x, y));
                piece.gaps.clear();
            }
            PieceEdit::Turn(degrees) => piece.turn = Some(*degrees),
            PieceEdit::UseFrom(sides) => piece.use_from = Some(own(sides)),
            PieceEdit::GlassFront => piece.glass_front = true,
        }
    }
}

fn own(sides: &[Side]) -> Vec<SaidSide> {
    sides.iter().copied().map(SaidSide::Own).collect()
}

impl NewPiece {
    fn said(&self) -> SaidFurniture {
        let ([x, y], [width, depth]) = (self.corner.map(Written::m), self.size.map(Written::m));
        SaidFurniture {
            name: Some(self.name.clone()),
            kind: self.kind,
            room: self.room.clone(),
            size: Some((width, depth)),
            outline: None,
            height: None,
            seats: self.seats,
            gaps: vec![],
            at: Some((x, y)),
            turn: Some(self.turn),
            use_from: Some(own(&self.use_from)),
            rod: self.rod.map(Written::m),
            glass_front: self.glass_front,
            place_settings: None,
        }
    }
}
