//! `check`: does my file say what I measured?

use crate::command::args::Check;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::terminal::Lines;
use crate::command::{Stop, load};
use crate::{answer, page, words};
use answer::Understood;
use sim::floor::faults::{disagreements, faults, narrow_for_wheelchairs};
use sim::floor::world::World;
use sim::floor::world::aisles::{Aisle, aisles, gaps};
use sim::house::plan::{Opening, Plan, Room, RoomId, Stairs};
use std::io::Write;

/// Reads, prints, draws.
pub(crate) fn check(args: &Check, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.input.file, "check")?;
    let (loaded, world) = load(&args.input)?;
    let gaps = gaps(&world);
    let aisles = aisles(&gaps);
    let disagree = disagreements(&world.plan);
    let understood = answer::check(&loaded, &world, &aisles, &faults(&world, &gaps), &disagree);
    let answered = Answered {
        text: report(&world, &aisles, &understood),
        json: answer::text(&understood)?,
        threads: None,
    };
    let faults: Vec<&str> = understood.faults.iter().map(|f| f.says.as_str()).collect();
    let checked = page::Checked {
        world: &world,
        strings: if args.dimensions { &gaps } else { &[] },
        aisles: &aisles,
        faults: &faults,
        disagree: &understood.disagree,
        answer: &understood.answer,
    };
    answered.tell(&args.output, folder, || page::check(&checked), (out, err))
}

/// The answer on a terminal.
fn report(world: &World, aisles: &[Aisle], u: &Understood) -> String {
    let mut lines = Lines::default();
    let mut listed = |head: &str, all: Vec<String>| {
        if !all.is_empty() {
            lines.under(head, all);
        }
    };
    let narrow = narrow_for_wheelchairs(&world.plan);
    let narrow = words::check::too_narrow_for_wheelchairs(&world.plan, &narrow);
    listed("Measures that disagree", u.disagree.clone());
    listed("Worth changing", u.faults.iter().map(|f| f.says.clone()).collect());
    listed("Rooms (clear inside)", rooms(world));
    listed("Stairs", stairs(&world.plan));
    listed("Openings (clear width)", openings(world).into_iter().chain(narrow).collect());
    listed("Clear floor next to furniture (12 in to 6 ft)", beside(&world.plan, aisles));
    listed("Assumed about the house (not in your files)", words::assumed::house(world));
    listed("Assumed about the evening (not in your files)", words::assumed::evening(world));
    lines.then(words::CAUTION);
    format!("{}\n{}\n{}", words::shown(&world.plan.title), u.answer, lines.text())
}

fn rooms(world: &World) -> Vec<String> {
    let (plan, system) = (&world.plan, world.plan.system);
    let room = |(i, r): (RoomId, &Room)| {
        let [w, s, e, n] = r.bounds();
        format!(
            "{:<18} {:<24} {:>9}  {}{}",
            words::shown(&r.name),
            format!("{} by {}", words::length(e - w, system), words::length(n - s, system)),
            words::area(r.area(), system),
            r.usage.word(),
            words::on_level(plan, i)
        )
    };
    let floor = words::area(world.clear_floor, system);
    let in_all = format!("clear floor for guests {floor}, seats {}", world.seats.len());
    plan.named_rooms().iter_enumerated().map(room).chain([in_all]).collect()
}

fn stairs(plan: &Plan) -> Vec<String> {
    let flight = |s: &Stairs| {
        let name = words::shown(&plan.rooms[s.rooms[0]].name);
        format!("{name:<28} {}", words::stairs(plan, s))
    };
    plan.stairs.iter().map(flight).collect()
}

fn openings(world: &World) -> Vec<String> {
    let opening = |(o, open): (&Opening, &bool)| {
        format!(
            "{:<28} {:>8}   {}{}",
            words::shown(&o.name),
            words::width(o.clear, world.plan.system),
            o.style.word(),
            if *open { "" } else { "   closed" }
        )
    };
    world.plan.openings.iter().zip(&world.open).map(opening).collect()
}

fn beside(plan: &Plan, aisles: &[Aisle]) -> Vec<String> {
    let aisle = |a: &Aisle| {
        format!(
            "{:<28} {:<9} {}",
            words::shown(&plan.furniture[a.piece].name),
            a.side.word(),
            words::width(a.clear, plan.system)
        )
    };
    aisles.iter().map(aisle).collect()
}
