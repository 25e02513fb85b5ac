//! What must follow when a house or an evening is changed, with intervals over paired evenings.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{demo, world};
use sim::base::stats::{Estimate, mean};
use sim::base::units::seconds;
use sim::crowd::bodies::Doing;
use sim::crowd::measure::Traces;
use sim::crowd::trial::{Keep, run};
use sim::evening::scenario::{Serves, ServingSaid};
use sim::floor::grid::Area;
use sim::floor::world::{Duty, PlaceId, World};
use sim::study::ensemble::{Ensemble, Summary, simulate};

const SEED: u64 = 3;

fn evenings(world: &World, trials: u32) -> Ensemble {
    simulate(world, SEED, 0..trials, &())
}

/// The mean of paired differences, second less first, with its interval.
fn change(first: &Ensemble, second: &Ensemble, figure: impl Fn(&Summary) -> f64) -> Estimate {
    let differences: Vec<f64> =
        first.trials.iter().zip(&second.trials).map(|(a, b)| figure(b) - figure(a)).collect();
    mean(&differences)
}

fn mean_wait(world: &World, serves: Serves) -> impl Fn(&Summary) -> f64 {
    let spots = world.spots_for(serves).to_vec();
    move |s: &Summary| {
        let waits: Vec<f64> = spots
            .iter()
            .flat_map(|&spot| s.tally.waits[spot].iter())
            .map(|&w| seconds(w))
            .collect();
        waits.iter().sum::<f64>() / waits.len().max(1) as f64
    }
}

/// A bar where somebody mixes drinks, 50 guests, so that there is a line.
fn bar_with(pourers: u32) -> World {
    let base = world(&demo("summer-evening.toml"), None, None);
    let mut scenario = base.scenario.clone();
    scenario.place.insert(Serves::Drinks, vec!["bar cart".into()]);
    let said = ServingSaid {
        time: Some(60.0),
        sd: Some(25.0),
        at_once: Some(pourers),
        poured: Some(true),
        ..ServingSaid::default()
    };
    scenario.serving.insert("drinks".into(), said);
    World::new(base.plan, scenario).unwrap()
}

#[test]
fn a_second_pourer_cuts_the_mean_wait_to_half_or_less() {
    let (one, two) = (bar_with(1), bar_with(2));
    let (first, second) = (evenings(&one, 24), evenings(&two, 24));
    let wait = mean_wait(&one, Serves::Drinks);
    let before = first.mean_of(&wait);
    let halved = change(&first, &second, |s| wait(s)).high;
    assert!(before.value > 10.0, "there was no line to shorten: {:.1} s", before.value);
    assert!(halved <= -before.value / 2.0, "from {:.1} s by {halved:.1} s at least", before.value);
}

fn lost_in_the_hall(world: &World) -> impl Fn(&Summary) -> f64 {
    let hall = |name: &str| name == "hall" || name.starts_with("hall to") || name == "front door";
    let places: Vec<PlaceId> =
        world.places.keys().filter(|&p| hall(&world.places[p].name)).collect();
    move |s: &Summary| {
        s.tally.lost.iter().filter(|((p, _), _)| places.contains(p)).map(|(_, &t)| seconds(t)).sum()
    }
}

#[test]
fn moving_the_coats_out_of_the_hall_lowers_hold_ups_there() {
    let file = demo("winter-cocktails.toml");
    let (hall, rack) =
        (world(&file, None, None), world(&file, None, Some("coats on a rack in the dining room")));
    let (first, second) = (evenings(&hall, 48), evenings(&rack, 48));
    let (before, after) =
        (first.mean_of(lost_in_the_hall(&hall)), second.mean_of(lost_in_the_hall(&rack)));
    let differences: Vec<f64> = first
        .trials
        .iter()
        .zip(&second.trials)
        .map(|(a, b)| lost_in_the_hall(&rack)(b) - lost_in_the_hall(&hall)(a))
        .collect();
    let change = mean(&differences);
    assert!(
        change.high < 0.0,
        "{:.0} s with the closet, {:.0} s with the rack, change {:.0} to {:.0}",
        before.value,
        after.value,
        change.low,
        change.high
    );
}

#[test]
fn more_guests_never_lower_hold_ups() {
    let mut last: Option<Ensemble> = None;
    for guests in [15, 25, 35, 45] {
        let now = evenings(&world(&demo("winter-cocktails.toml"), Some(guests), None), 24);
        if let Some(before) = &last {
            let change = change(before, &now, |s| s.lost);
            assert!(
                change.low > 0.0,
                "{guests} guests: change {:.0} to {:.0} s",
                change.low,
                change.high
            );
        }
        last = Some(now);
    }
}

#[test]
fn a_buffet_served_from_both_long_sides_serves_faster() {
    let file = demo("buffet-dinner.toml");
    let (wall, table) =
        (world(&file, None, None), world(&file, None, Some("buffet on the dining table")));
    assert_eq!(wall.spots[wall.spots_for(Serves::Food)[0]].lanes.len(), 1);
    assert_eq!(table.spots[table.spots_for(Serves::Food)[0]].lanes.len(), 2);
    let (first, second) = (evenings(&wall, 24), evenings(&table, 24));
    let differences: Vec<f64> = first
        .trials
        .iter()
        .zip(&second.trials)
        .map(|(a, b)| mean_wait(&table, Serves::Food)(b) - mean_wait(&wall, Serves::Food)(a))
        .collect();
    assert!(mean(&differences).high < 0.0, "{differences:?}");
}

#[test]
fn a_full_closet_overflows() {
    let world = world(&demo("winter-cocktails.toml"), Some(60), None);
    let closet = &world.spots[world.spots_for(Serves::Coats)[0]];
    assert_eq!(closet.holds, Some(36), "two 6 ft rods at 4 in a winter coat");
    let all = evenings(&world, 6);
    assert!(all.mean_of(|s| f64::from(s.tally.coats_over)).value > 10.0);
}

#[test]
fn the_line_for_coats_goes_on_through_the_front_door() {
    let house = world(&demo("winter-cocktails.toml"), None, None);
    let closet = &house.spots[house.spots_for(Serves::Coats)[0]];
    let out_of_doors = closet.lanes[0].slots.iter().filter(|s| {
        matches!(house.grid.area_at(s.point.meters().0, s.point.meters().1), Area::Outside(_))
    });
    assert!(out_of_doors.count() >= 3, "{:?}", closet.lanes[0].slots);
    let step = house.outside.point;
    assert!(
        closet.lanes[0].slots.iter().all(|s| s.point.distance(step) > 0.6),
        "the step itself stays free"
    );
}

/// A chair at the end of the table would stand where guests serve themselves at the sideboard: it
/// is not used.
#[test]
fn nobody_sits_where_guests_at_the_buffet_stand() {
    let buffet = world(&demo("buffet-dinner.toml"), None, None);
    let beside = |w: &World| {
        let positions: Vec<_> = w
            .spots_for(Serves::Food)
            .iter()
            .flat_map(|&s| w.spots[s].positions.iter())
            .map(|p| p.target.point)
            .collect();
        w.seats
            .iter()
            .filter(|s| positions.iter().any(|p| p.distance(s.approach.point) < 0.6))
            .count()
    };
    assert_eq!(beside(&buffet), 0);
    let table = buffet.plan.piece("table").unwrap();
    let at_table = |w: &World| w.seats.iter().filter(|s| s.piece == table).count();
    assert_eq!((at_table(&buffet), buffet.seats_given_up.len()), (5, 1));
}

#[test]
fn who_pours_stands_behind_or_beside_the_bar() {
    let bar = bar_with(2);
    let pourers: Vec<_> = bar.posts.iter().filter(|p| matches!(p.duty, Duty::Pour(_))).collect();
    assert_eq!(pourers.len(), 2, "{:?}", bar.posts);
    let served: Vec<_> =
        bar.spots_for(Serves::Drinks).iter().flat_map(|&s| &bar.spots[s].positions).collect();
    assert!(
        pourers
            .iter()
            .all(|p| { served.iter().all(|s| s.target.point.distance(p.target.point) >= 0.5) })
    );
}

#[test]
fn hosts_carry_between_kitchen_and_tables() {
    let house = world(&demo("winter-cocktails.toml"), Some(10), None);
    let (_, traces) = run(&house, SEED, 0, Keep { traces: Traces::All, bodies: false });
    for host in 10..12 {
        let own: Vec<_> = traces.iter().filter(|t| t.person == host).collect();
        let walks = own
            .windows(2)
            .filter(|w| w[0].doing == Doing::Host && w[1].doing == Doing::Walk)
            .count();
        assert!(walks >= 10, "host {host} set out {walks} times");
    }
}
