//! The page of `check`: the plan with its dimensions, and what was understood.

use super::{Album, Block, CHANGE, Cell, Fact, Figure, Picture, Section, Shown, Table, Told};
use crate::pictures::{self, Field, Foot, Undrawn};
use crate::{answer, words};
use sim::floor::faults::narrow_for_wheelchairs;
use sim::floor::world::World;
use sim::floor::world::aisles::{Aisle, Gap};
use sim::house::plan::{Opening, OpeningId, Room, RoomId, Use};

/// What `check` understood, for the page.
pub struct Checked<'a> {
    /// The house with its evening.
    pub world: &'a World,
    /// Clear floor to draw as dimension strings.
    pub strings: &'a [Gap],
    /// Aisles before furniture.
    pub aisles: &'a [Aisle],
    /// What is worth changing, the worst first.
    pub faults: &'a [&'a str],
    /// Measures that cannot all be true.
    pub disagree: &'a [String],
    /// The sentence.
    pub answer: &'a str,
}

/// Puts it together.
pub fn check(c: &Checked) -> Result<Shown, Undrawn> {
    let (world, plan) = (c.world, &c.world.plan);
    let foot = Foot { title: words::shown(&plan.title), run: answer::program() };
    let mut album = Album::new(&foot);
    let svg = album.draw("plan", |mount| pictures::plan(plan, c.strings, mount))?;
    let list = |title: &str, all: Vec<String>| {
        (!all.is_empty()).then(|| Section::new(title, vec![Block::List(all)]))
    };
    let narrow = words::check::too_narrow_for_wheelchairs(plan, &narrow_for_wheelchairs(plan));
    let found = [
        list("Measures that disagree", c.disagree.to_vec()),
        list(
            "Worth changing, the worst first",
            c.faults.iter().map(|f| (*f).to_string()).collect(),
        ),
    ];
    let measured = [
        Section::new("Rooms", vec![Block::Table(rooms(world))]),
        Section::new(
            "Openings",
            std::iter::once(Block::Table(openings(world))).chain(narrow.map(Block::Text)).collect(),
        ),
        Section::new("Clear floor next to furniture", vec![Block::Table(aisles(world, c.aisles))]),
    ];
    let sections = found.into_iter().flatten().chain(measured).collect();
    let told = Told {
        about: foot.title.clone(),
        house: Picture {
            slide: None,
            svg,
            finding: format!("The plan with its dimensions. {}", c.answer),
            caption: "Clear inside dimensions; clear widths of openings in blue.".into(),
            numbers: rooms(world).unkeyed(),
        },
        facts: [verdict(c), narrowest(world), next(c)],
        numbers: numbers(world),
        answer: c.answer.to_string(),
        sections,
        run: foot.run.clone(),
        caution: words::CAUTION.into(),
    };
    album.shown(
        told,
        world,
        &Field { cells: &[], worst: None, highest: 0.0, new: None, lines: &[] },
    )
}

/// What was found, then how much floor and how many seats there are.
fn verdict(c: &Checked) -> Fact {
    let (world, system) = (c.world, c.world.plan.system);
    let there = format!(
        "{} of clear floor, {} seats with floor to reach them",
        words::area(world.clear_floor, system),
        world.seats.len()
    );
    Fact::new("The plan", words::check::found(c.disagree.len(), c.faults.len()), there)
}

/// The narrowest open way.
fn narrowest(world: &World) -> Fact {
    let is_closet = |o: &Opening| o.rooms().any(|r| world.plan.rooms[r].usage == Use::Closet);
    let open = world
        .plan
        .openings
        .iter_enumerated()
        .filter(|(i, o)| world.open[*i] && !is_closet(o))
        .map(|(_, o)| o);
    let narrow: Option<&Opening> = open.min_by(|a, b| a.clear.total_cmp(&b.clear));
    let (says, more) = narrow.map_or(("there is none".into(), String::new()), |o| {
        (words::shown(&o.name), format!("{} clear", words::width(o.clear, world.plan.system)))
    });
    Fact::new("Narrowest way", says, more)
}

fn next(c: &Checked) -> Fact {
    let first = match (c.disagree.first(), c.faults.first()) {
        (Some(first), _) => first,
        (None, Some(first)) => *first,
        (None, None) => "compare the drawing with your sketch, then ask elbowroom run",
    };
    Fact::new(if c.disagree.is_empty() { CHANGE } else { "Measure again" }, first, "")
}

fn numbers(world: &World) -> Vec<Figure> {
    let figure = |what: &str, cell: Cell| Figure { what: what.into(), cell, more: String::new() };
    vec![
        figure(
            "clear floor",
            Cell::plain(
                words::area(world.clear_floor, world.plan.system),
                "/clear_floor_m2",
                world.clear_floor,
            ),
        ),
        figure(
            "seats",
            Cell::plain(world.seats.len().to_string(), "/seats", world.seats.len() as f64),
        ),
        figure("rooms", Cell::text(world.plan.named_rooms().len().to_string())),
    ]
}

fn rooms(world: &World) -> Table {
    let system = world.plan.system;
    let row = |(i, r): (RoomId, &Room)| {
        let [w, s, e, n] = r.bounds();
        let key = |of: &str| format!("/rooms/{i}/{of}");
        vec![
            Cell::text(words::shown(&r.name)),
            Cell::plain(words::length(e - w, system), key("east_west_m"), e - w),
            Cell::plain(words::length(n - s, system), key("north_south_m"), n - s),
            Cell::plain(words::area(r.area(), system), key("area_m2"), r.area()),
            Cell::text(format!("{}{}", r.usage.word(), words::on_level(&world.plan, i))),
        ]
    };
    let head = ["room", "east to west", "north to south", "area", "use"].map(String::from).into();
    Table {
        caption: "Rooms, clear inside".into(),
        head,
        rows: world.plan.named_rooms().iter_enumerated().map(row).collect(),
    }
}

fn openings(world: &World) -> Table {
    let row = |(i, o): (OpeningId, &Opening)| {
        vec![
            Cell::text(words::shown(&o.name)),
            Cell::plain(
                words::width(o.clear, world.plan.system),
                format!("/openings/{i}/clear_m"),
                o.clear,
            ),
            Cell::text(o.style.word()),
            Cell::text(if world.open[i] { "open" } else { "closed" }),
        ]
    };
    let head = ["opening", "clear width", "style", "on this evening"].map(String::from).into();
    Table {
        caption: "Openings".into(),
        head,
        rows: world.plan.openings.iter_enumerated().map(row).collect(),
    }
}

fn aisles(world: &World, aisles: &[Aisle]) -> Table {
    let row = |(i, a): (usize, &Aisle)| {
        vec![
            Cell::text(words::shown(&world.plan.furniture[a.piece].name)),
            Cell::plain(
                words::width(a.clear, world.plan.system),
                format!("/aisles/{i}/clear_m"),
                a.clear,
            ),
            Cell::text(a.side.word()),
        ]
    };
    let head = ["piece", "clear floor", "side"].map(String::from).into();
    Table {
        caption: "Clear floor next to furniture, from 12 in to 6 ft".into(),
        head,
        rows: aisles.iter().enumerate().map(row).collect(),
    }
}
