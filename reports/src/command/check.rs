//! `check`: does my file say what I measured?

use crate::command::args::Check;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::{Stop, load};
use crate::{answer, page, words};
use serde::Serialize;
use sim::base::units::INCH;
use sim::floor::faults::{Fault, faults, narrow_for_wheelchairs};
use sim::floor::world::World;
use sim::floor::world::aisles::{Aisle, aisles, gaps};
use sim::house::plan::{OUTSIDE, Plan, Room, Stairs};
use std::io::Write;

/// What `check` understood, for `--json` and the folder.
#[derive(Debug, Serialize)]
struct Understood {
    format: u32,
    program: String,
    question: &'static str,
    inputs: answer::Inputs,
    answer: String,
    rooms: Vec<RoomSize>,
    stairs: Vec<Flight>,
    openings: Vec<ClearWidth>,
    aisles: Vec<AisleWidth>,
    clear_floor_m2: f64,
    seats: usize,
    disagree: Vec<String>,
    faults: Vec<Faulty>,
    too_narrow_for_wheelchairs: Vec<String>,
    assumed: Vec<String>,
    caution: String,
}

#[derive(Debug, Serialize)]
struct RoomSize {
    name: String,
    level: String,
    r#use: &'static str,
    area_m2: f64,
    east_west_m: f64,
    north_south_m: f64,
}

#[derive(Debug, Serialize)]
struct Flight {
    name: String,
    levels: [String; 2],
    rise_m: f64,
    run_m: f64,
    risers: u32,
    tread_m: f64,
}

#[derive(Debug, Serialize)]
struct ClearWidth {
    name: String,
    joins: [String; 2],
    style: &'static str,
    clear_m: f64,
    open: bool,
}

#[derive(Debug, Serialize)]
struct AisleWidth {
    before: String,
    side: &'static str,
    clear_m: f64,
}

/// One thing worth changing.
#[derive(Debug, Serialize)]
struct Faulty {
    says: String,
    /// What is missing, as far as that can be told.
    missing_m: Option<f64>,
}

/// Rooms face each other at the plan's wall thickness, give or take this, in meters (a quarter
/// inch).
const TRUE_WALL: f64 = 0.25 * INCH;
/// Reads, prints, draws.
pub(crate) fn check(args: &Check, out: &mut dyn Write, err: &mut dyn Write) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.input.file, "check")?;
    let (loaded, world) = load(&args.input)?;
    let gaps = gaps(&world);
    let aisles = aisles(&gaps);
    let understood = understood(&loaded, &world, &aisles, &faults(&world, &gaps));
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

fn understood(
    loaded: &sim::files::Loaded,
    world: &World,
    aisles: &[Aisle],
    faults: &[Fault],
) -> Understood {
    let plan = &world.plan;
    let room_name =
        |r: Option<usize>| r.map_or(OUTSIDE.to_string(), |r| plan.rooms[r].name.clone());
    let size = |r: &Room| {
        let [w, s, e, n] = r.bounds();
        RoomSize {
            name: r.name.clone(),
            level: plan.levels[r.level].name.clone(),
            r#use: r.usage.word(),
            area_m2: answer::round(r.area()),
            east_west_m: answer::round(e - w),
            north_south_m: answer::round(n - s),
        }
    };
    let clear = |(i, o): (usize, &sim::house::plan::Opening)| ClearWidth {
        name: o.name.clone(),
        joins: [room_name(o.rooms[0]), room_name(o.rooms[1])],
        style: o.style.word(),
        clear_m: answer::round(o.clear),
        open: world.open[i],
    };
    let disagree = disagree(world);
    Understood {
        format: answer::FORMAT,
        program: answer::program(),
        question: "check",
        inputs: answer::inputs(loaded),
        answer: words::check::understood(world, disagree.len(), faults.len()),
        rooms: plan.named_rooms().iter().map(size).collect(),
        stairs: plan.stairs.iter().map(|s| flight(plan, s)).collect(),
        openings: plan.openings.iter().enumerate().map(clear).collect(),
        aisles: aisles
            .iter()
            .map(|a| AisleWidth {
                before: plan.furniture[a.piece].name.clone(),
                side: a.side.word(),
                clear_m: answer::round(a.clear),
            })
            .collect(),
        clear_floor_m2: answer::round(world.clear_floor),
        seats: world.seats.len(),
        disagree,
        faults: faults
            .iter()
            .map(|f| Faulty {
                says: words::check::fault(world, f),
                missing_m: f.missing().map(answer::round),
            })
            .collect(),
        too_narrow_for_wheelchairs: narrow_for_wheelchairs(plan)
            .into_iter()
            .map(|o| plan.openings[o].name.clone())
            .collect(),
        assumed: answer::assumed(world),
        caution: words::CAUTION.to_string(),
    }
}

fn flight(plan: &Plan, s: &Stairs) -> Flight {
    Flight {
        name: plan.rooms[s.rooms[0]].name.clone(),
        levels: s.rooms.map(|r| plan.levels[plan.rooms[r].level].name.clone()),
        rise_m: answer::round(s.rise),
        run_m: answer::round(s.run),
        risers: s.risers(),
        tread_m: answer::round(s.tread()),
    }
}

fn report(world: &World, aisles: &[Aisle], u: &Understood) -> String {
    let plan = &world.plan;
    let mut text = format!("{}\n{}\n", words::shown(&plan.title), u.answer);
    text += &listed("Measures that disagree", &u.disagree);
    text += &listed("Worth changing", &u.faults.iter().map(|f| f.says.clone()).collect::<Vec<_>>());
    text += &rooms(world);
    text += &openings(world, aisles);
    text += &listed("Assumed about the house (not in your files)", &words::assumed::house(world));
    text +=
        &listed("Assumed about the evening (not in your files)", &words::assumed::evening(world));
    text += &format!("\n{}\n", words::CAUTION);
    text
}

/// A heading and what stands under it; nothing if that is nothing.
fn listed(head: &str, all: &[String]) -> String {
    if all.is_empty() {
        String::new()
    } else {
        format!("\n{head}\n{}", all.iter().map(|one| format!("  {one}\n")).collect::<String>())
    }
}

fn rooms(world: &World) -> String {
    let (plan, system) = (&world.plan, world.plan.system);
    let mut text = "\nRooms (clear inside)\n".to_string();
    for (i, r) in plan.named_rooms().iter().enumerate() {
        let [w, s, e, n] = r.bounds();
        text += &format!(
            "  {:<18} {:<24} {:>9}  {}{}\n",
            words::shown(&r.name),
            format!("{} by {}", words::length(e - w, system), words::length(n - s, system)),
            words::area(r.area(), system),
            r.usage.word(),
            words::on_level(plan, i)
        );
    }
    text += &format!(
        "  clear floor for guests {}, seats {}\n",
        words::area(world.clear_floor, system),
        world.seats.len()
    );
    if !plan.stairs.is_empty() {
        text += "\nStairs\n";
    }
    for s in &plan.stairs {
        text += &format!(
            "  {:<28} {}\n",
            words::shown(&plan.rooms[s.rooms[0]].name),
            words::stairs(plan, s)
        );
    }
    text
}

fn openings(world: &World, aisles: &[Aisle]) -> String {
    let (plan, system) = (&world.plan, world.plan.system);
    let mut text = "\nOpenings (clear width)\n".to_string();
    for (i, o) in plan.openings.iter().enumerate() {
        let state = if world.open[i] { "" } else { "   closed" };
        text += &format!(
            "  {:<28} {:>8}   {}{state}\n",
            words::shown(&o.name),
            words::width(o.clear, system),
            o.style.word()
        );
    }
    text += &words::check::too_narrow_for_wheelchairs(plan, &narrow_for_wheelchairs(plan))
        .map_or(String::new(), |says| format!("  {says}\n"));
    if !aisles.is_empty() {
        text += "\nClear floor next to furniture (12 in to 6 ft)\n";
    }
    for a in aisles {
        text += &format!(
            "  {:<28} {:<9} {}\n",
            words::shown(&plan.furniture[a.piece].name),
            a.side.word(),
            words::width(a.clear, system)
        );
    }
    text
}

/// Measures that cannot all be true, or that surprise.
fn disagree(world: &World) -> Vec<String> {
    let plan = &world.plan;
    let mut found = walls_off(plan);
    for o in plan.openings.iter().filter(|o| o.clear > o.sold + 1e-6) {
        found.push(format!(
            "{}: {} clear is wider than the {} sold",
            o.name,
            words::width(o.clear, plan.system),
            words::width(o.sold, plan.system)
        ));
    }
    found.extend(
        plan.furniture.iter().filter_map(|f| Some(words::check::gap_off(plan, f, f.gap_off?))),
    );
    found
}

/// Rooms that face each other nearer or farther than the walls are thick.
fn walls_off(plan: &Plan) -> Vec<String> {
    let mut found = vec![];
    for (i, a) in plan.rooms.iter().enumerate() {
        for b in &plan.rooms[..i] {
            let ([aw, as_, ae, an], [bw, bs, be, bn]) = (a.bounds(), b.bounds());
            let beside = ae.min(be) - aw.max(bw) < 0.0 && an.min(bn) - as_.max(bs) > 0.3;
            let above = an.min(bn) - as_.max(bs) < 0.0 && ae.min(be) - aw.max(bw) > 0.3;
            let gap = if beside {
                aw.max(bw) - ae.min(be)
            } else if above {
                as_.max(bs) - an.min(bn)
            } else {
                continue;
            };
            if gap < 0.4 && (gap - plan.walls).abs() > TRUE_WALL {
                let (gap, walls) =
                    (words::width(gap, plan.system), words::width(plan.walls, plan.system));
                found.push(format!(
                    "{} and {}: {gap} apart, but walls are {walls} thick",
                    b.name, a.name
                ));
            }
        }
    }
    found
}
