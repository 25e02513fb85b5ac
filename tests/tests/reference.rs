//! Our own statistics and distances against general libraries.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, world};
use geo::{Buffer, Contains, Coord, Line, MultiPolygon};
use petgraph::graph::{NodeIndex, UnGraph};
use sim::base::stats::{erlang_c, mean, quantile, share};
use sim::floor::world::usual_pull;

/// Stored values, made with scipy 1.17.1 and numpy 2.4.6 by `tests/reference/values.py`.
const WILSON: [(u64, u64, f64, f64); 6] = [
    (0, 20, 0.000000000, 0.161125158),
    (1, 20, 0.008881449, 0.236131193),
    (50, 500, 0.076677563, 0.129421910),
    (81, 263, 0.255288520, 0.366209577),
    (499, 500, 0.988759293, 0.999646864),
    (500, 500, 0.992375660, 1.000000000),
];
const MEANS: [(u32, u32, f64, f64, f64); 4] = [
    (2, 7, 2.500000000, -16.559307104, 21.559307104),
    (5, 11, 4.400000000, 0.716629334, 8.083370666),
    (64, 101, 51.359375000, 43.731673135, 58.987076865),
    (500, 997, 499.502000000, 473.817335902, 525.186664098),
];
const QUANTILES: [(u32, u32, f64, u32); 4] =
    [(5, 11, 0.5, 4), (64, 101, 0.9, 88), (500, 997, 0.025, 25), (500, 997, 0.975, 972)];
const ERLANG_C: [(f64, u32, f64); 5] = [
    (0.6, 1, 0.6),
    (2.0, 3, 0.444444444),
    (3.0, 5, 0.236151603),
    (10.0, 11, 0.682118205),
    (10.0, 16, 0.057340331),
];

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

fn values(n: u32, m: u32) -> Vec<u32> {
    (1..=n).map(|k| k * k % m).collect()
}

#[test]
fn shares_means_and_quantiles_are_those_of_a_statistics_library() {
    for (hits, of, low, high) in WILSON {
        let e = share(hits, of);
        close(e.low, low);
        close(e.high, high);
    }
    for (n, m, value, low, high) in MEANS {
        let e = mean(&values(n, m).into_iter().map(f64::from).collect::<Vec<_>>());
        close(e.value, value);
        close(e.low, low);
        close(e.high, high);
    }
    for (n, m, p, value) in QUANTILES {
        assert_eq!(quantile(&values(n, m), p), value);
    }
}

#[test]
fn erlangs_formula_is_that_of_a_mathematics_library() {
    for (load, servers, chance) in ERLANG_C {
        close(erlang_c(load, servers), chance);
    }
}

/// Where the middle of a walker may be: clear floor less half a turned body.
fn ground(floor: &MultiPolygon<f64>, keep: f64) -> MultiPolygon<f64> {
    // arcs round corners in few pieces: the graph stays small
    let join = geo::algorithm::buffer::LineJoin::Round(0.5);
    floor.buffer_with_style(geo::algorithm::buffer::BufferStyle::new(-keep).line_join(join))
}

/// The shortest way between two points over ground, by a graph of what sees what, and a general
/// shortest-path library.
fn shortest(
    ground: &MultiPolygon<f64>,
    seen: &MultiPolygon<f64>,
    from: Coord<f64>,
    to: Coord<f64>,
) -> f64 {
    let rings = ground.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
    let corners = rings.flat_map(|r| r.coords().copied().collect::<Vec<_>>());
    let points: Vec<Coord<f64>> = [from, to].into_iter().chain(corners).collect();
    let mut graph: UnGraph<(), f64> = UnGraph::new_undirected();
    let nodes: Vec<NodeIndex> = points.iter().map(|_| graph.add_node(())).collect();
    for i in 0..points.len() {
        for j in 0..i {
            let line = Line::new(points[i], points[j]);
            if seen.contains(&line) {
                let (dx, dy) = (line.dx(), line.dy());
                graph.add_edge(nodes[i], nodes[j], (dx * dx + dy * dy).sqrt());
            }
        }
    }
    petgraph::algo::dijkstra(&graph, nodes[0], Some(nodes[1]), |e| *e.weight())
        .get(&nodes[1])
        .copied()
        .unwrap_or(f64::INFINITY)
}

/// Within 0.40 m of walls a meter counts for up to a quarter more, so that people keep off them: by
/// that the way can be longer than the shortest, and no more. Traces every half second cut corners
/// by a little.
const KEEPS_OFF_WALLS: f64 = 1.25;
const CUTS_CORNERS: f64 = 0.995;

/// A lone guest never walks less than the shortest way that a general library finds, and not much
/// more.
#[test]
fn walks_through_a_house_are_the_shortest_but_for_keeping_off_walls() {
    let plan = std::fs::read_to_string(demo("row-house.toml")).unwrap();
    let house = world(&demo("row-house.toml"), Some(10), None);
    let (legal, seen) = (ground(&house.grid.floor, 0.15), ground(&house.grid.floor, 0.148));
    for stop in ["powder room", "living room", "dining room", "kitchen"] {
        let script = format!(
            "format = 1\nplan = \"plan.toml\"\n[[errand]]\nguests = 1\npace = \"1m/s\"\nstops = [\"{stop}\"]\n"
        );
        let desk = Desk::new().with("plan.toml", &plan).with("s.toml", &script);
        let traces = desk.traces("s.toml", &["--trials", "1"]);
        let rows = traces.values().next().unwrap();
        let walked: f64 = rows.windows(2).map(|w| (w[1].x - w[0].x).hypot(w[1].y - w[0].y)).sum();
        let (a, b) = (&rows[0], &rows[rows.len() - 1]);
        let least = shortest(&legal, &seen, Coord { x: a.x, y: a.y }, Coord { x: b.x, y: b.y });
        let ratio = walked / least;
        assert!(
            (CUTS_CORNERS..KEEPS_OFF_WALLS).contains(&ratio),
            "to the {stop}: walked {walked:.2} m, shortest {least:.2} m"
        );
    }
}

/// Clear floor is counted on the lattice; a geometry library cuts the furniture out of the rooms. A
/// lattice of 3 in errs by its edges.
#[test]
fn clear_floor_is_what_a_geometry_library_leaves_of_the_rooms() {
    use geo::{Area, BooleanOps};
    for demo_name in ["row-house.toml", "ranch.toml"] {
        let house = world(&demo(demo_name), Some(10), None);
        let shared = house
            .plan
            .rooms
            .iter_enumerated()
            .filter(|(r, room)| usual_pull(room.usage) > 0.0 && house.is_reachable_room(*r));
        let area: f64 = shared
            .map(|(r, room)| {
                let pieces = house.plan.furniture.iter().filter(|f| f.room == r);
                let left = pieces.fold(MultiPolygon::new(vec![room.outline.clone()]), |left, f| {
                    left.difference(&f.outline)
                });
                left.unsigned_area()
            })
            .sum();
        let ratio = house.clear_floor / area;
        assert!(
            (0.98..1.02).contains(&ratio),
            "{demo_name}: {:.2} m2 counted, {area:.2} m2 cut",
            house.clear_floor
        );
    }
}
