//! Every single change that a host or a designer could try on a house.

use crate::base::units::INCH;
use crate::evening::scenario::{Arrivals, MIDDLE_80, NINE_IN_TEN, Serves};
use crate::files::{Loaded, quoted};
use crate::floor::grid::is_way;
use crate::floor::world::{ELBOW_ROOM, SpotId, World, usual_pull};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Opening, Plan, Side, Use};
use crate::study::evening::{Subject, bound_asked};
use crate::study::improve::change::{Change, WIDER, What, change};
use crate::study::improve::doors::{hung, opened, wider_openings};
use crate::study::improve::moves::moves;
use crate::study::placing::sites::{Piece, Site, length, sites, thinned};
use crate::study::placing::{added, free_name, may_move, place_line, put, served_by, there};

/// A room narrower than this is a hall to walk along, in meters (6 ft).
const NARROW_ROOM: f64 = 72.0 * INCH;
/// There is room behind a piece if floor is clear so far from its edge, in meters: where a guest
/// stands.
const STANDING: f64 = 0.30;
/// Food comes earlier by so many minutes.
const EARLIER: u32 = 30;
/// Arrivals are spread over so many times as long.
const STAGGERED: f64 = 1.5;
/// Guests are asked to come within such a share of the evening (our own judgement: who comes later
/// finds others leaving).
const COMING: f64 = 2.0 / 3.0;
/// Places tried for a second bar or a rack.
const SITES: usize = 4;
/// Other openings tried for the line of a powder room.
const WAYS: usize = 3;

/// Every single change there is to try on a house as it is. Some may turn out not to work on the
/// floor.
pub fn changes(loaded: &Loaded, world: &World) -> Vec<Change> {
    let mut all = vec![];
    all.extend(opened(world));
    all.extend(moves(world).into_iter().map(|m| Change {
        what: What::Moved(world.plan.furniture[m.piece].name.clone(), m.how),
        lines: m.lines,
    }));
    all.extend(lines_of_rooms(world));
    all.extend(both_sides(world));
    all.extend(in_sight(world));
    all.extend(earlier(world));
    all.extend(staggered(world));
    all.extend(away(world));
    all.extend(on_what_is_there(world));
    all.extend(seconds(world));
    all.extend(chairs(world));
    all.extend(hung(world));
    all.extend(pourers(world));
    all.extend(wider_openings(world));
    all.extend(wider_halls(loaded, world));
    all
}

/// Lines for rooms that are used one at a time, turned toward another opening near them.
fn lines_of_rooms(world: &World) -> Vec<Change> {
    let private = |s: &SpotId| {
        world.plan.room(&world.spots[*s].name).filter(|&r| world.plan.rooms[r].usage.is_private())
    };
    let rooms = world
        .spots_for(Serves::Powder)
        .iter()
        .filter_map(|s| private(s).map(|r| (world.spots[*s].name.clone(), r)));
    rooms
        .flat_map(|(name, room)| {
            ways_near(world, room).into_iter().map(move |way| toward(&name, &way))
        })
        .collect()
}

fn toward(spot: &str, way: &str) -> Change {
    Change {
        what: What::LineTowards(spot.into(), way.into()),
        lines: format!("lines = {{ {} = {} }}\n", quoted(spot), quoted(way)),
    }
}

/// Openings between open rooms of its level, the nearest to a room's own door first, but for the
/// way in, to which lines run anyway.
fn ways_near(world: &World, room: usize) -> Vec<String> {
    let plan = &world.plan;
    let Some(door) = plan.openings.iter().find(|o| o.rooms.contains(&Some(room))) else {
        return vec![];
    };
    let open = |r: &Option<usize>| r.is_some_and(|r| usual_pull(plan.rooms[r].usage) > 0.0);
    let ways = plan.openings.iter().enumerate().filter(|(i, o)| {
        *i != world.entry && is_way(plan, *i, &world.open) && o.rooms.iter().all(open)
    });
    let level = |o: &Opening| plan.level_at(o.center.y);
    let ways = ways.filter(|(_, o)| level(o) == level(door));
    let mut near: Vec<(f64, String)> = ways
        .map(|(_, o)| {
            ((o.center.x - door.center.x).hypot(o.center.y - door.center.y), o.name.clone())
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    near.into_iter().take(WAYS).map(|n| n.1).collect()
}

/// Pieces that serve from one long side only.
fn both_sides(world: &World) -> Vec<Change> {
    let pieces = world
        .spots
        .iter()
        .filter_map(|s| world.plan.piece(&s.name))
        .map(|p| &world.plan.furniture[p]);
    let room_behind = |f: &crate::house::plan::Furniture| {
        let unused = if f.sides.contains(&Side::Front) { Side::Back } else { Side::Front };
        f.edges_of(unused).iter().any(|e| {
            world.grid.clearance(e.middle.x + e.out.0 * STANDING, e.middle.y + e.out.1 * STANDING)
                > 0.0
        })
    };
    let one_sided = pieces.filter(|f| {
        f.sides.contains(&Side::Front) != f.sides.contains(&Side::Back) && room_behind(f)
    });
    let mut one_sided: Vec<&crate::house::plan::Furniture> = one_sided.collect();
    one_sided.dedup_by(|a, b| a.name == b.name);
    one_sided
        .into_iter()
        .map(|f| Change {
            what: What::BothSides(f.name.clone()),
            lines: change(&f.name, "use_from = [\"front\", \"back\"]"),
        })
        .collect()
}

fn in_sight(world: &World) -> Vec<Change> {
    let hidden = world
        .spots_for(Serves::Glasses)
        .iter()
        .map(|&s| &world.spots[s])
        .filter(|s| s.search > 0.0);
    hidden
        .map(|s| Change {
            what: What::InSight(s.name.clone()),
            lines: change(&s.name, "glass_front = true"),
        })
        .collect()
}

fn earlier(world: &World) -> Option<Change> {
    let s = &world.scenario;
    world.spots_for(Serves::Food).first().filter(|_| s.needs.meal)?;
    // all are called at once, whatever is said of a single spot
    let at = f64::from(s.start) + s.serving_of("", Serves::Food).at / 60.0 - f64::from(EARLIER);
    let minutes = at.round().rem_euclid(1440.0) as u32;
    let clock = format!("{:02}:{:02}", minutes / 60, minutes % 60);
    Some(Change {
        what: What::FoodEarlier(EARLIER),
        lines: format!("serving = {{ food = {{ at = \"{clock}\" }} }}\n"),
    })
}

fn staggered(world: &World) -> Option<Change> {
    let Arrivals::Curve { b, lead } = world.scenario.arrivals else {
        return None;
    };
    let now = (b * MIDDLE_80).round();
    let then = (now * STAGGERED).round();
    let late = STAGGERED * b * NINE_IN_TEN - lead;
    // nobody is asked to come after the food is served
    let served =
        world.scenario.needs.meal.then(|| world.scenario.serving_of("", Serves::Food).at / 60.0);
    let fits = then * 60.0 <= world.scenario.lasts * COMING && served.is_none_or(|at| late <= at);
    fits.then(|| Change {
        what: What::Staggered(now as u32, then as u32),
        lines: format!("arrivals = {{ most_within = \"{then:.0}min\" }}\n"),
    })
}

/// Movable pieces where guests are that serve nothing.
fn away(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let serves = |name: &str| world.spots.iter().any(|s| s.name == name);
    let kinds = |k: Kind| may_move(k) && !matches!(k, Kind::Rack | Kind::Cooler | Kind::Grill);
    let pieces = plan.furniture.iter().filter(|f| {
        kinds(f.kind) && usual_pull(plan.rooms[f.room].usage) > 0.0 && !serves(&f.name)
    });
    pieces
        .map(|f| Change {
            what: What::Away(f.name.clone()),
            lines: format!("remove = [{}]\n", quoted(&f.name)),
        })
        .collect()
}

/// Food, drinks, coats and the powder room at what is there already: instead, or as well.
fn on_what_is_there(world: &World) -> Vec<Change> {
    let served = |serves: &Serves| !world.spots_for(*serves).is_empty();
    let all =
        [Serves::Food, Serves::Drinks, Serves::Coats, Serves::Powder].into_iter().filter(served);
    all.flat_map(|serves| {
        // a powder room is not given up for another, and coats have the rack
        let names = there(world, serves);
        let instead = names
            .clone()
            .into_iter()
            .filter(move |_| matches!(serves, Serves::Food | Serves::Drinks));
        let instead = instead.map(move |name| Change {
            lines: place_line(world, serves, &name),
            what: What::On(serves, name),
        });
        let also = names.into_iter().map(move |name| Change {
            lines: also(world, serves, &name),
            what: What::Also(serves, name),
        });
        instead.chain(also)
    })
    .collect()
}

/// Rows of folding chairs, the longest first; a chair is so deep, in meters (20 in: common
/// practice).
const ROWS: [u32; 2] = [4, 2];
const CHAIR: f64 = 20.0 * INCH;

/// More chairs, where guests look for seats.
fn chairs(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    if bound_asked(world, Subject::SeatsShort).is_none() {
        return vec![];
    }
    let sits = |r: &usize| !matches!(plan.rooms[*r].usage, Use::Kitchen | Use::Hall);
    let rooms: Vec<usize> =
        crate::study::placing::rooms(world, Serves::Food).into_iter().filter(sits).collect();
    let name = free_name(plan, "folding chairs");
    ROWS.into_iter()
        .flat_map(|count| {
            let piece = Piece { width: f64::from(count) * ELBOW_ROOM, depth: CHAIR, moved: None };
            let walls: Vec<Site> =
                sites(world, &piece, &rooms).into_iter().filter(|s| !s.against.is_free()).collect();
            thinned(walls, SITES).into_iter().map(move |site| (count, site)).collect::<Vec<_>>()
        })
        .map(|(count, site)| {
            let size = format!(
                "[{}, {}]",
                length(f64::from(count) * ELBOW_ROOM, plan.system),
                length(CHAIR, plan.system)
            );
            let piece = format!(
                "kind = \"bench\", name = {}, {}, size = {size}, seats = {count}",
                quoted(&name),
                put(plan, &site)
            );
            Change {
                what: What::Chairs(count, site),
                lines: format!("add.furniture = [{{ {piece} }}]\n"),
            }
        })
        .collect()
}

/// A second bar; a rack for coats, as well as where they are now, or instead.
fn seconds(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let mut all = vec![];
    for (serves, kind, wish) in
        [(Serves::Drinks, Kind::Bar, "second bar"), (Serves::Coats, Kind::Rack, "coat rack")]
    {
        let Some(&first) = world.spots_for(serves).first() else {
            continue;
        };
        let usual = kind.usual();
        let (width, depth, name) = (usual.width.m(), usual.depth.m(), free_name(plan, wish));
        let rooms = crate::study::placing::rooms(world, serves);
        for site in thinned(sites(world, &Piece { width, depth, moved: None }, &rooms), SITES) {
            let new = |holds| added(world, kind, &name, (width, depth), &put(plan, &site), holds);
            all.push(Change {
                what: What::Second(serves, site),
                lines: also(world, serves, &name) + &new(None),
            });
            if serves == Serves::Coats {
                let holds = Some(world.spots[first].holds.unwrap_or(0));
                all.push(Change {
                    what: What::Instead(serves, site),
                    lines: place_line(world, serves, &name) + &new(holds),
                });
            }
        }
    }
    all
}

/// `place = { drinks = ["what serves them now", "new"] }`.
fn also(world: &World, serves: Serves, name: &str) -> String {
    let now = world.spots_for(serves).iter().map(|&s| world.spots[s].name.as_str());
    served_by(world, serves, &now.chain([name]).collect::<Vec<_>>())
}

fn pourers(world: &World) -> Option<Change> {
    let poured = world
        .spots_for(Serves::Drinks)
        .iter()
        .map(|&s| &world.spots[s])
        .find(|s| s.serving.poured)?;
    let more = poured.serving.at_once.unwrap_or(1) + 1;
    Some(Change {
        what: What::AnotherPourer(Serves::Drinks),
        lines: format!("serving = {{ {} = {{ at_once = {more} }} }}\n", quoted(&poured.name)),
    })
}

/// Halls made wider at the cost of the rooms that would otherwise move: the house stays as large as
/// it is.
fn wider_halls(loaded: &Loaded, world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let halls = (0..plan.rooms.len()).filter(|&r| {
        let usage = plan.rooms[r].usage;
        let walked =
            !usage.is_private() && !matches!(usage, Use::Closet | Use::Stairs | Use::Outdoors);
        walked && plan.rooms[r].narrow_side() < NARROW_ROOM && world.is_reachable_room(r)
    });
    halls.filter_map(|r| wider_hall(loaded, plan, r)).collect()
}

fn wider_hall(loaded: &Loaded, plan: &Plan, hall: usize) -> Option<Change> {
    let [w, s, e, n] = plan.rooms[hall].bounds();
    let across = if e - w <= n - s { 0 } else { 1 };
    let (moved, _) = loaded.with(&changed(&sized(plan, &[(hall, WIDER)], across))).ok()?;
    let low = |p: &Plan, r: usize| p.rooms[r].bounds()[across];
    let neighbors: Vec<usize> = (0..plan.rooms.len())
        .filter(|&r| r != hall && (low(&moved, r) - low(plan, r) - WIDER).abs() < 1e-6)
        .collect();
    // rooms beside the hall give way; rooms behind them stay where they are if they can be flush
    // with the far side, or give way too
    let (beside, behind): (Vec<usize>, Vec<usize>) =
        neighbors.iter().partition(|&&r| touches(plan, hall, r, across));
    let far = ["east", "north"][across];
    let flush: Vec<String> = behind
        .iter()
        .map(|&r| format!("{} = {{ flush = \"{far}\" }}", quoted(&plan.rooms[r].name)))
        .collect();
    let ways = [(beside, flush), (neighbors, vec![])];
    ways.into_iter().find_map(|(takes, flush)| {
        // stairs keep their size
        if takes.iter().any(|&r| plan.stairs_of(r).is_some())
            || !is_rectangle(plan, hall)
            || !takes.iter().all(|&r| is_rectangle(plan, r))
        {
            return None;
        }
        let sizes: Vec<(usize, f64)> =
            takes.iter().map(|&r| (r, -WIDER)).chain([(hall, WIDER)]).collect();
        let mut lines = changed(&[sized(plan, &sizes, across), flush].concat());
        let away = without_floor(loaded, plan, &lines);
        if !away.is_empty() {
            lines += &format!(
                "remove = [{}]\n",
                away.iter().map(|name| quoted(name)).collect::<Vec<_>>().join(", ")
            );
        }
        let (built, _) = loaded.with(&lines).ok()?;
        let same = built.bounds().iter().zip(plan.bounds()).all(|(a, b)| (a - b).abs() < 1e-6);
        let from = plan.rooms[hall].narrow_side();
        let takes = takes.iter().map(|&r| plan.rooms[r].name.clone()).collect();
        same.then(|| Change {
            what: What::WiderHall {
                hall: plan.rooms[hall].name.clone(),
                from,
                to: from + WIDER,
                takes,
                away,
            },
            lines,
        })
    })
}

/// Only a rectangle can be made narrower by its size.
fn is_rectangle(plan: &Plan, room: usize) -> bool {
    let [w, s, e, n] = plan.rooms[room].bounds();
    (plan.rooms[room].area() - (e - w) * (n - s)).abs() < 1e-6
}

/// Whether a room begins where a hall ends along an axis, and they lie beside each other across it.
fn touches(plan: &Plan, hall: usize, room: usize, axis: usize) -> bool {
    let (h, r) = (plan.rooms[hall].bounds(), plan.rooms[room].bounds());
    let other = 1 - axis;
    (r[axis] - h[axis + 2] - plan.walls).abs() < 1e-6
        && r[other] < h[other + 2]
        && r[other + 2] > h[other]
}

/// Movable pieces that a change leaves without floor.
fn without_floor(loaded: &Loaded, plan: &Plan, lines: &str) -> Vec<String> {
    let problems = loaded.with(lines).err().unwrap_or_default();
    let pieces = problems
        .iter()
        .filter_map(|p| p.at.strip_prefix("furniture/")?.split('/').next()?.parse::<usize>().ok());
    pieces
        .filter_map(|i| plan.furniture.get(i))
        .filter(|f| may_move(f.kind))
        .map(|f| f.name.clone())
        .collect()
}

/// `"room" = { size = [...] }` for rooms that change along one axis.
fn sized(plan: &Plan, rooms: &[(usize, f64)], axis: usize) -> Vec<String> {
    let sized = |&(r, by): &(usize, f64)| {
        let [w, s, e, n] = plan.rooms[r].bounds();
        let mut size = [e - w, n - s];
        size[axis] += by;
        let [a, b] = size.map(|m| length(m, plan.system));
        format!("{} = {{ size = [{a}, {b}] }}", quoted(&plan.rooms[r].name))
    };
    rooms.iter().map(sized).collect()
}

fn changed(items: &[String]) -> String {
    format!("change = {{ {} }}\n", items.join(", "))
}
