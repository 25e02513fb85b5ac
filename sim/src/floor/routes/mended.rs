//! Moved furniture: maps that were mended are those that are made anew.

#![expect(clippy::expect_used, reason = "a test whose house is wrong has to fail")]

use super::Routes;
use crate::base::ids::TiVec;
use crate::base::units::FOOT;
use crate::files::{Asked, read};
use crate::floor::grid::Grid;
use crate::house::plan::{PieceId, Plan};
use geo::Translate;
use proptest::prelude::*;
use std::sync::Arc;

/// Two levels, rooms joined by narrow and by wide openings, and furniture in most of them.
const HOUSE: &str = r#"
format = 1
levels = ["ground", "upper"]
room = [
  { name = "hall", size = ["6ft", "16ft"], level = "ground" },
  { name = "flight", use = "stairs", size = ["3ft", "10ft"], up = "north", north_of = "hall", flush = "west" },
  { name = "parlor", size = ["14ft", "16ft"], east_of = "hall", level = "ground" },
  { name = "kitchen", size = ["12ft", "14ft"], east_of = "parlor", level = "ground" },
  { name = "gallery", size = ["12ft", "8ft"], north_of = "flight", flush = "west", level = "upper" },
]
opening = [
  { name = "front door", joins = ["outside", "hall"], wall = "south", width = "36in" },
  { joins = ["hall", "parlor"], style = "cased", width = "6ft" },
  { joins = ["parlor", "kitchen"], style = "cased", width = "32in" },
  { joins = ["hall", "flight"], style = "cased", width = "3ft" },
  { joins = ["flight", "gallery"], style = "cased", width = "3ft" },
]
furniture = [
  { kind = "table", room = "parlor", at = ["4ft", "6ft"], size = ["5ft", "3ft"], turn = 20 },
  { kind = "sofa", room = "parlor", north = 0, east = "1ft", size = ["6ft", "3ft"] },
  { kind = "island", room = "kitchen", at = ["4ft", "5ft"], size = ["5ft", "28in"] },
  { kind = "counter", room = "kitchen", north = 0, east = 0, size = ["8ft", "25in"] },
  { kind = "bench", room = "hall", north = 0, west = 0, size = ["3ft", "15in"] },
  { kind = "desk", room = "gallery", north = 0, east = 0, size = ["4ft", "2ft"] },
  { kind = "table", name = "stage", room = "parlor", at = ["0ft", "0ft"], size = ["9ft", "5ft"] },
]
"#;

/// A room so large that each stand has a map of the floor near it.
const HALL: &str = r#"
format = 1
room = [{ name = "barn", size = ["90ft", "90ft"] }]
opening = [{ name = "gate", joins = ["outside", "barn"], wall = "south", style = "cased", width = "8ft" }]
furniture = [
  { kind = "table", room = "barn", at = ["40ft", "40ft"], size = ["8ft", "30in"] },
  { kind = "bar", room = "barn", at = ["10ft", "70ft"], size = ["10ft", "2ft"] },
  { kind = "table", name = "stage", room = "barn", at = ["20ft", "12ft"], size = ["12ft", "12ft"] },
]
"#;

fn plan(text: &str) -> Plan {
    let evening = "format = 1\nplan = \"plan.toml\"\noccasion = \"cocktails\"\nguests = 4\n";
    let load = |path: &str| Ok(if path == "plan.toml" { text } else { evening }.to_string());
    let loaded = read("evening.toml", &load, &Asked::default()).map_err(|r| r.problems);
    loaded.expect("the house of this test is sound").plan
}

/// A house on the floor.
struct Laid {
    plan: Plan,
    grid: Grid,
    routes: Arc<Routes>,
}

impl Laid {
    fn new(plan: Plan) -> Laid {
        let open = TiVec::from(vec![true; plan.openings.len()]);
        let grid = Grid::new(&plan, &open, crate::base::units::CELL);
        let routes = Routes::new(&plan, &open, &grid).into();
        Laid { plan, grid, routes }
    }

    fn refurnished(&self, plan: Plan) -> Laid {
        let (grid, changed) = self.grid.refurnished(&plan);
        let routes = self.routes.refurnished(&grid, &changed).into();
        Laid { plan, grid, routes }
    }

    /// Asks for the maps of every so many stands.
    fn walked(self, every: usize) -> Laid {
        self.times(every);
        self
    }

    /// Everything the maps say, as far as it has been asked for or is asked for here.
    fn times(&self, every: usize) -> Vec<Vec<u32>> {
        let openings = self
            .plan
            .openings
            .keys()
            .filter_map(|o| Some(self.routes.opening(&self.grid, o)?.times().to_vec()));
        let stands = (0..self.routes.stands.len()).step_by(every).flat_map(|s| {
            let local = self.routes.local(&self.grid, s as u32);
            let rest =
                local.rest.iter().flat_map(|&(o, t)| [usize::from(o) as u32, (t * 1e6) as u32]);
            let far = local.far.map_or(0, |t| (t * 1e6) as u32);
            let node = self.routes.stands[s].node as u32;
            [local.map.times().to_vec(), rest.chain([far, node]).collect()]
        });
        openings.chain(stands).collect()
    }

    fn clear(&self) -> Vec<f32> {
        (0..self.grid.len()).map(|n| self.grid.clear_at_node(n)).collect()
    }
}

/// The plan with a piece so many feet east and north of where it was, wherever that is.
fn with_moved(plan: &Plan, piece: usize, by: [f64; 2]) -> Plan {
    let mut plan = plan.clone();
    let piece = PieceId::from(piece % plan.furniture.len());
    let f = &mut plan.furniture[piece];
    f.outline = f.outline.translate(by[0] * FOOT, by[1] * FOOT);
    plan
}

fn holds(text: &str, moves: &[(usize, [f64; 2])], every: usize) {
    let mut house = Laid::new(plan(text)).walked(every);
    for &(piece, by) in moves {
        house = house.refurnished(with_moved(&house.plan, piece, by));
        let anew = Laid::new(house.plan.clone());
        assert_eq!(house.clear(), anew.clear());
        assert!(house.times(every) == anew.times(every), "{moves:?}");
    }
}

fn moves(feet: f64) -> impl Strategy<Value = Vec<(usize, [f64; 2])>> {
    let by = [-feet..feet, -feet..feet];
    proptest::collection::vec((0..7_usize, by), 1..4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn in_a_house_of_rooms_and_levels(moves in moves(9.0)) {
        holds(HOUSE, &moves, 5);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]

    #[test]
    fn in_a_hall(moves in moves(40.0)) {
        holds(HALL, &moves, 211);
    }
}

#[test]
fn a_piece_farther_across_than_distances_reach_leaves_no_trace() {
    holds(HALL, &[(2, [1.0, 0.5]), (2, [45.0, 40.0]), (2, [-9.0, 2.0])], 2000);
}
