//! Where is the best place for the food, the drinks, the coats? Every feasible place, raced on the
//! same evenings.

pub mod sites;

use crate::base::parallel::Watch;
use crate::base::stats::Estimate;
use crate::base::units::{INCH, Written};
use crate::evening::edit::{Edits, EveningEdit};
use crate::evening::scenario::Serves;
use crate::files::Loaded;
use crate::floor::world::{World, usual_pull};
use crate::house::edit::{HouseEdit, NewPiece, PieceEdit};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{PieceId, Plan, RoomId, Side, Use, Xy};
use crate::study::capacity::Whole;
use crate::study::ensemble::Ensemble;
use crate::study::evening::{Evening, answer as evening};
use crate::study::race::contest::{Rules, Standing, hold};
use crate::study::race::{Effort, Score};
use crate::study::where_to::sites::{Against, Piece, Site, sites, thinned};
use geo::{Centroid, Rect};

/// At most so many places are raced.
const MOST: usize = 48;
/// Told with intervals, besides today's.
pub const BEST: usize = 3;

/// How something stands where it is served.
#[derive(Clone, Debug, PartialEq)]
pub enum Stands {
    /// As it is.
    Today,
    /// On a piece, or in a room, that is there anyway.
    On(String),
    /// A piece put somewhere.
    At(Site),
}

/// A place that was looked at.
#[derive(Clone, Debug)]
pub struct Looked {
    /// How it stands.
    pub stands: Stands,
    /// Where, in meters.
    pub at: Xy,
    /// What puts it there.
    pub edits: Edits,
    /// Minutes lost a guest more than today, over the evenings it was raced for.
    pub difference: f64,
    /// Evenings it was raced for.
    pub evenings: usize,
}

/// The answer.
pub struct Placing {
    /// What is placed.
    pub serves: Serves,
    /// The house as it is.
    pub world: World,
    /// Its fresh evenings.
    pub today: Ensemble,
    /// What they come to.
    pub evening: Evening,
    /// What it is: the piece that is moved, or a new one.
    pub piece: String,
    /// Whether the piece is new.
    pub is_new: bool,
    /// Places that were raced, today's first.
    pub places: Vec<Looked>,
    /// Places that could be, before they were thinned out.
    pub feasible: usize,
    /// Guests at the evenings all were raced on.
    pub raced_with: u32,
    /// Minutes lost a guest today.
    pub lost: Estimate,
    /// Guests the house takes as it is, if it has an answer.
    pub guests: Option<Whole>,
    /// The best others, best first: an entrant is counted among the places without today's.
    pub finalists: Vec<Standing>,
    /// Fresh evenings, of today's place and the finalists.
    pub evenings: u32,
}

impl Placing {
    /// The place of a finalist among all.
    pub fn place(&self, finalist: &Standing) -> usize {
        finalist.entrant + 1
    }

    /// The best other place, if it is clearly better than today's.
    pub fn best(&self) -> Option<&Standing> {
        self.finalists.first().filter(|f| f.is_better())
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub enum NoPlacing {
    /// The house serves nothing of that kind.
    NotServed,
    /// It cannot be moved: there is one, and no other room for it.
    Fixed,
    /// Nowhere else is there floor for it.
    NoFloor,
}

/// Looks for the best place. `world` is the house as it is.
pub fn answer(
    loaded: &Loaded,
    world: World,
    serves: Serves,
    seed: u64,
    effort: Effort,
    watch: &dyn Watch,
) -> Result<Placing, NoPlacing> {
    let subject = subject(&world, serves)?;
    let (candidates, feasible) = candidates(&world, serves, &subject)?;
    let today = Looked {
        stands: Stands::Today,
        at: at_today(&world, serves),
        edits: Edits::default(),
        difference: 0.0,
        evenings: 0,
    };
    let rules = Rules { score: Score::Limits, keep: BEST, seed, effort, watch };
    let (candidates, contest) = hold(loaded, world, candidates, |c| &c.edits, are_alike, rules);
    if candidates.is_empty() {
        return Err(NoPlacing::NoFloor);
    }
    let (guests, raced_with) = (contest.before(), contest.guests);
    let looked = candidates.into_iter().zip(&contest.raced);
    let looked = looked.map(|(c, &(difference, evenings))| Looked {
        stands: c.stands,
        at: c.at,
        edits: c.edits,
        difference,
        evenings,
    });
    let rounds = contest.raced.iter().map(|r| r.1).max().unwrap_or(0);
    let places = std::iter::once(Looked { evenings: rounds, ..today }).chain(looked).collect();
    let (mut finals, finalists) = (contest.finals, contest.standings);
    let lost = finals.mean_lost(0);
    let (world, today) = (finals.worlds.swap_remove(0), finals.trials.swap_remove(0));
    let evening = evening(&world, &today);
    let (piece, is_new) = (subject.name, subject.moved.is_none());
    Ok(Placing {
        serves,
        world,
        today,
        evening,
        piece,
        is_new,
        places,
        feasible,
        raced_with,
        lost,
        guests,
        finalists,
        evenings: effort.last,
    })
}

/// Places nearer to each other than this are the same advice, in meters (5 ft).
const ALIKE: f64 = 60.0 * INCH;

fn are_alike(a: &Candidate, b: &Candidate) -> bool {
    (a.at.x - b.at.x).hypot(a.at.y - b.at.y) < ALIKE
}

struct Candidate {
    stands: Stands,
    at: Xy,
    edits: Edits,
}

/// What is put somewhere: a piece of the plan, or a new one.
struct Subject {
    name: String,
    kind: Kind,
    moved: Option<PieceId>,
    width: f64,
    depth: f64,
    /// Coats it has to hold, for a new rack.
    holds: Option<u32>,
}

/// The piece that serves it now if it can be moved, or a new one of the usual kind.
fn subject(world: &World, serves: Serves) -> Result<Subject, NoPlacing> {
    let spots = world.spots_for(serves);
    let first = spots.first().ok_or(NoPlacing::NotServed)?;
    let spot = &world.spots[*first];
    let shared = world.spots.iter().filter(|s| s.name == spot.name).count() > 1;
    let movable = world
        .plan
        .piece(&spot.name)
        .filter(|&p| !shared && world.plan.furniture[p].kind.may_move());
    if let Some(p) = movable {
        let f = &world.plan.furniture[p];
        return Ok(Subject {
            name: f.name.clone(),
            kind: f.kind,
            moved: Some(p),
            width: f.width,
            depth: f.depth,
            holds: None,
        });
    }
    let (kind, wish, (width, depth)) = match serves.new_piece() {
        Some(piece) => piece,
        // nothing is built: only rooms that are there
        None if on_what_is_there(world, serves).is_empty() => return Err(NoPlacing::Fixed),
        None => (Kind::Toilet, "powder room", (0.0, 0.0)),
    };
    let holds = (serves == Serves::Coats).then(|| spot.holds.unwrap_or(0));
    Ok(Subject { name: free_name(&world.plan, wish), kind, moved: None, width, depth, holds })
}

/// A name nothing in the plan has.
pub fn free_name(plan: &Plan, wish: &str) -> String {
    let taken = plan.names();
    (1..)
        .map(|n| if n == 1 { wish.to_string() } else { format!("{wish} {n}") })
        .find(|n| !taken.contains(&n.as_str()))
        .unwrap_or_default()
}

/// Every place there is floor for, thinned out, and how many there were.
fn candidates(
    world: &World,
    serves: Serves,
    subject: &Subject,
) -> Result<(Vec<Candidate>, usize), NoPlacing> {
    let mut all: Vec<Candidate> = on_what_is_there(world, serves);
    let piece = Piece { width: subject.width, depth: subject.depth, moved: subject.moved };
    let found = if serves.new_piece().is_none() {
        vec![]
    } else {
        sites(world, &piece, &rooms(world, serves))
    };
    let feasible = all.len() + found.len();
    let most = MOST.saturating_sub(all.len());
    all.extend(thinned(found, most).into_iter().map(|s| Candidate {
        stands: Stands::At(s),
        at: s.middle(),
        edits: put(world, serves, subject, &s),
    }));
    if all.is_empty() { Err(NoPlacing::NoFloor) } else { Ok((all, feasible)) }
}

/// Rooms where it may stand: where guests are, but for the hall; for coats also there, in bedrooms
/// and the like.
pub fn rooms(world: &World, serves: Serves) -> Vec<RoomId> {
    let fits = |usage: Use| match serves {
        Serves::Coats => {
            !usage.is_private()
                && !matches!(
                    usage,
                    Use::Closet | Use::Stairs | Use::Outdoors | Use::Kids | Use::Kitchen
                )
        }
        _ => usual_pull(usage) > 0.0 && usage != Use::Hall,
    };
    world
        .plan
        .rooms
        .keys()
        .filter(|&r| fits(world.plan.rooms[r].usage) && world.is_reachable_room(r))
        .collect()
}

/// Names of what is there and could serve it.
pub fn there(world: &World, serves: Serves) -> Vec<String> {
    let name = |c: Candidate| {
        if let Stands::On(name) = c.stands { Some(name) } else { None }
    };
    on_what_is_there(world, serves).into_iter().filter_map(name).collect()
}

/// Pieces with a top, and closets and beds for coats, that serve nothing yet.
fn on_what_is_there(world: &World, serves: Serves) -> Vec<Candidate> {
    let plan = &world.plan;
    let is_used = |name: &str| world.spots.iter().any(|s| s.name == name);
    let open = rooms(world, serves);
    let pieces = plan
        .furniture
        .iter()
        .filter(|f| serves.may_be_on(f) && open.contains(&f.room) && !is_used(&f.name));
    let rooms = plan.rooms.iter().filter(|r| serves.may_be_in(r) && !is_used(&r.name));
    let named = pieces
        .map(|f| (f.name.clone(), f.center))
        .chain(rooms.map(|r| (r.name.clone(), middle(&r.outline))));
    named
        .map(|(name, at)| Candidate {
            edits: Edits::of_evening(served_first_by(world, serves, &name)),
            stands: Stands::On(name),
            at,
        })
        .collect()
}

fn middle(outline: &geo::Polygon<f64>) -> Xy {
    outline.centroid().map_or(Xy { x: 0.0, y: 0.0 }, |p| p.0)
}

fn at_today(world: &World, serves: Serves) -> Xy {
    let name =
        world.spots_for(serves).first().map(|&s| world.spots[s].name.as_str()).unwrap_or_default();
    let piece = world.plan.piece(name).map(|p| world.plan.furniture[p].center);
    let room = || world.plan.room(name).map(|r| middle(&world.plan.rooms[r].outline));
    piece.or_else(room).unwrap_or(Xy { x: 0.0, y: 0.0 })
}

/// It is served here instead of where it is served first.
pub fn served_first_by(world: &World, serves: Serves, name: &str) -> Vec<EveningEdit> {
    let others = served_now(world, serves).into_iter().skip(1);
    served_by(world, serves, std::iter::once(name.to_string()).chain(others).collect())
}

/// It is served here, too.
pub fn served_as_well_by(world: &World, serves: Serves, name: &str) -> Vec<EveningEdit> {
    let now = served_now(world, serves).into_iter();
    served_by(world, serves, now.chain([name.to_string()]).collect())
}

fn served_now(world: &World, serves: Serves) -> Vec<String> {
    world.spots_for(serves).iter().map(|&s| world.spots[s].name.clone()).collect()
}

/// What is served where. What else was chosen for the file is said too: it would move to a piece
/// that becomes free.
fn served_by(world: &World, serves: Serves, names: Vec<String>) -> Vec<EveningEdit> {
    let is_piece = |other: &Serves| other.is_chosen() && other.new_piece().is_some();
    let chosen = Serves::ALL
        .into_iter()
        .filter(is_piece)
        .filter(|other| *other != serves && !world.scenario.place.contains_key(other));
    let kept = chosen
        .map(|other| (other, served_now(world, other)))
        .filter(|(_, names)| !names.is_empty())
        .map(|(other, names)| EveningEdit::Place(other, names));
    std::iter::once(EveningEdit::Place(serves, names)).chain(kept).collect()
}

/// What puts it at a site.
fn put(world: &World, serves: Serves, subject: &Subject, site: &Site) -> Edits {
    let plan = &world.plan;
    let house = match subject.moved {
        Some(_) => {
            stands_at(plan, site).map(|edit| HouseEdit::Piece(subject.name.clone(), edit)).into()
        }
        None => {
            let size = [subject.width, subject.depth].map(|m| Written::new(m, plan.system));
            let new = added(world, (subject.kind, &subject.name), size, site, subject.holds);
            vec![HouseEdit::Add(new)]
        }
    };
    Edits { house, evening: served_first_by(world, serves, &subject.name) }
}

fn stands_at(plan: &Plan, site: &Site) -> [PieceEdit; 3] {
    [
        PieceEdit::At {
            room: Some(plan.rooms[site.room].name.clone()),
            corner: corner(plan, site),
        },
        PieceEdit::Turn(site.against.turn().into()),
        PieceEdit::UseFrom(sides_used(site)),
    ]
}

fn corner(plan: &Plan, site: &Site) -> [Written; 2] {
    let (x, y) = site.corner(plan);
    [x, y].map(|meters| Written::new(meters, plan.system))
}

fn sides_used(site: &Site) -> Vec<Side> {
    if site.against.is_free() { vec![Side::Front, Side::Back] } else { vec![Side::Front] }
}

/// A new piece of a kind and a name at a site; `holds` is coats, for a rack.
pub fn added(
    world: &World,
    (kind, name): (Kind, &str),
    size: [Written; 2],
    site: &Site,
    holds: Option<u32>,
) -> NewPiece {
    let plan = &world.plan;
    let rod = |coats: u32| {
        Written::new(f64::from(coats) * world.scenario.weather.coat_width(), plan.system)
    };
    NewPiece {
        name: name.into(),
        kind,
        room: plan.rooms[site.room].name.clone(),
        corner: corner(plan, site),
        turn: site.against.turn().into(),
        use_from: sides_used(site),
        size,
        seats: (kind == Kind::Table).then_some(0),
        glass_front: kind == Kind::Cabinet,
        rod: holds.map(rod),
    }
}

/// A footprint to draw: that of a site.
pub fn footprint(stands: &Stands) -> Option<Rect<f64>> {
    if let Stands::At(site) = stands { Some(site.footprint) } else { None }
}

/// The side of the room a site stands against, in words.
pub fn side(against: Against) -> Option<&'static str> {
    match against {
        Against::North => Some("north"),
        Against::East => Some("east"),
        Against::South => Some("south"),
        Against::West => Some("west"),
        Against::FreeSouth | Against::FreeEast => None,
    }
}
