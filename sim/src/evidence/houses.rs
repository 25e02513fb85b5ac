//! Do headcounts agree with the trade, however a house is drawn, and rise where there is more room?
//! Whole evenings, searched as `capacity` does.

use super::lab::drawings::{House, Scene, passage_house, reference_evening, reference_room};
use super::{Check, Expected, Kind, Known, Question, Row, lab::Lab};
use crate::base::stats::Estimate;
use crate::base::units::SQUARE_FOOT;
use crate::evening::scenario::{Grade, Limit, Limits, Scenario, Serves};
use crate::floor::world::PlaceId;
use crate::house::plan::Plan;
use crate::study::capacity::effort::Effort;
use crate::study::capacity::{Asked, answer};
use crate::study::ensemble::{Summary, simulate};
use crate::study::evening;

const P: Check = Check {
    id: "",
    question: Question::Headcounts,
    kind: Kind::Gate,
    title: "",
    source: "",
    known: Known::Seen,
    slow: true,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "P7",
        title: "plain furnished rooms of 180, 360, 720 and 1,440 sq ft, all in proportion: clear floor per guest at each grade, and how headcounts grow with area (floor per guest is a limit of each grade: this says that nothing else gives out first)",
        source: "home rule 16 sq ft a guest (12 to 20); caterers 6 to 10, tight at 6",
        measure: reference_rooms,
        ..P
    },
    Check {
        id: "P8",
        title: "one house drawn in other ways: guests it takes before a spot is jammed for 5 s on 1 evening in 10",
        source: "sameness of drawing",
        known: Known::Computed,
        measure: drawn_otherwise,
        ..P
    },
    Check {
        id: "P9",
        title: "more of what gives out: a wider passage (guests before it is jammed for 5 s on 1 evening in 10), a second way round, a second powder room, a second bar",
        source: "common sense",
        known: Known::Practice,
        measure: directions,
        ..P
    },
    Check {
        id: "P10",
        title: "a buffet for 20 with 20 seats and no more than 700 sq ft of clear floor: lively or better",
        source: "planners seat everybody at a buffet",
        known: Known::Practice,
        measure: buffet,
        ..P
    },
];

/// Effort of these searches: small, because there are many.
const SMALL: Effort = Effort { locate: 12, spend: 256, precise: 0.0, follow: 1.0, beyond: 0 };
const SEED: u64 = 1;

/// Guests a house takes at a grade, with the interval; an answer without a limit is not a number.
fn guests(lab: Lab, grade: Grade, said: Option<Limits>) -> Result<Estimate, String> {
    let limits =
        said.unwrap_or(Limits { grade, said_for: grade, ..lab.world.scenario.limits.clone() });
    let scenario = Scenario { limits, ..lab.world.scenario };
    guests_by(&lab.world.plan, scenario, None, SMALL)
}

/// The same at a place, with another effort.
fn guests_by(
    plan: &Plan,
    scenario: Scenario,
    place: Option<&str>,
    effort: Effort,
) -> Result<Estimate, String> {
    let asked = Asked { place, all_grades: false, seed: SEED, effort };
    let c = answer(plan, &scenario, asked, &()).map_err(|why| format!("no headcount: {why:?}"))?;
    // a range without an end would agree with anything
    let bounded = c.guests().map(|w| w.estimate()).filter(|e| e.high.is_finite() && e.low > 0.0);
    Ok(bounded.unwrap_or(Estimate::exact(f64::NAN)))
}

/// Columns and rows of tiles of 180 sq ft.
const TILES: [(u32, u32); 4] = [(1, 1), (1, 2), (2, 2), (2, 4)];

fn reference_rooms() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    for (grade, low, high) in
        [(Grade::Easy, 12.0, 20.0), (Grade::Lively, 8.0, 14.0), (Grade::Packed, 5.0, 10.0)]
    {
        let mut found: Vec<(f64, f64)> = vec![];
        for (columns, depth) in TILES {
            let (floor, takes) = takes_by_floor(columns, depth, grade)?;
            let what = format!("{}, {} sq ft", grade.word(), 180 * columns * depth);
            rows.push(Row::exact(
                what,
                "sq ft per guest",
                Expected::Between(low, high),
                floor / takes,
            ));
            found.push((floor, takes));
        }
        let each: Vec<f64> = found.iter().map(|(floor, takes)| floor / takes).collect();
        let spread = each.iter().copied().fold(0.0, f64::max)
            / each.iter().copied().fold(f64::INFINITY, f64::min);
        rows.push(Row::exact(
            format!("{}, most over least", grade.word()),
            "",
            Expected::AtMost(1.25),
            spread,
        ));
        let power =
            slope(&found.iter().map(|(floor, takes)| (floor.ln(), takes.ln())).collect::<Vec<_>>());
        rows.push(Row::exact(
            format!("{}, power of area", grade.word()),
            "",
            Expected::Between(0.9, 1.1),
            power,
        ));
    }
    Ok(rows)
}

/// Clear floor of a reference room in sq ft, and the guests it takes at a grade: as many as its
/// floor, if every other limit keeps the grade with them; otherwise not a number, for then
/// something else gives out first.
fn takes_by_floor(columns: u32, rows: u32, grade: Grade) -> Result<(f64, f64), String> {
    let empty = Lab::new(&reference_room(columns, rows), &reference_evening(columns, rows, 1))?;
    let floor = empty.world.clear_floor;
    let each =
        evening::bound(&empty.world, evening::Subject::ClearFloor, grade).unwrap_or(f64::INFINITY);
    let guests = (floor / each) as u32;
    let lab = Lab::new(&reference_room(columns, rows), &reference_evening(columns, rows, guests))?;
    let evenings = simulate(&lab.world, SEED, 0..EVENINGS, &());
    let kept = evening::answer(&lab.world, &evenings).grade() <= grade;
    Ok((floor / SQUARE_FOOT, if kept { f64::from(guests) } else { f64::NAN }))
}

/// Evenings in each reference room at each grade.
const EVENINGS: u32 = 48;

/// Least-squares slope.
fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let (mx, my) =
        (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>()
        / points.iter().map(|p| (p.0 - mx).powi(2)).sum::<f64>()
}

fn drawn_otherwise() -> Result<Vec<Row>, String> {
    let plain = House::default();
    takes_by_jams(House { degrees: 30, ..plain })?;
    let base = takes_by_jams(plain)?;
    let drawings = [
        ("two rooms with an opening of full width", House { split: true, ..plain }),
        ("mirrored", House { mirrored: true, ..plain }),
        ("turned by 90°", House { degrees: 90, ..plain }),
        ("turned by 30°", House { degrees: 30, ..plain }),
        ("other order", House { reversed: true, ..plain }),
    ];
    let mut rows = vec![Row::new("as drawn first", "guests", Expected::Nothing, base)];
    for (what, house) in drawings {
        let takes = takes_by_jams(house)?;
        // the two ranges have to meet
        let expected = Expected::Between(
            base.low - (takes.high - takes.value),
            base.high + (takes.value - takes.low),
        );
        rows.push(Row::new(what, "guests", expected, takes));
    }
    for (what, house) in [
        ("in meters", House { meters: true, ..plain }),
        ("with other names", House { renamed: true, ..plain }),
    ] {
        let same = f64::from(same_evenings(plain, house)?);
        rows.push(Row::exact(
            format!("{what}, evenings that are the same of {EVENINGS}"),
            "",
            Expected::Between(f64::from(EVENINGS), f64::from(EVENINGS)),
            same,
        ));
    }
    Ok(rows)
}

/// Seconds of jam by which drawings are compared: so short that jams decide.
const JAMMED: f64 = 5.0;

/// Guests a house takes before a spot is jammed for [`JAMMED`] on 1 evening in 10. With so short a
/// jam, and lines left out, jams decide: they are what a drawing could change.
fn takes_by_jams(house: House) -> Result<Estimate, String> {
    let effort = Effort { locate: 16, spend: 640, precise: 0.0, follow: 1.0, beyond: 0 };
    let world = Lab::new(&house.plan(), &house.evening(50))?.world;
    guests_by(&world.plan, by_jams(world.scenario), None, effort)
}

/// A scenario whose only limit is [`JAMMED`].
fn by_jams(scenario: Scenario) -> Scenario {
    let limits = Limits {
        said: [
            (Limit::Jammed, JAMMED),
            (Limit::Wait(Serves::Powder), 36_000.0),
            (Limit::ClearFloor, 0.1),
        ]
        .into(),
        ..Limits::default()
    };
    Scenario { limits, ..scenario }
}

/// Evenings of two houses, trial for trial, on which guests walk as far, wait as long and jam the
/// floor for as long.
fn same_evenings(a: House, b: House) -> Result<u32, String> {
    let of = |h: House| {
        Ok::<_, String>(simulate(
            &Lab::new(&h.plan(), &h.evening(50))?.world,
            SEED,
            0..EVENINGS,
            &(),
        ))
    };
    let (a, b) = (of(a)?, of(b)?);
    let alike = |(a, b): &(&Summary, &Summary)| {
        let (a, b) = (&a.tally, &b.tally);
        a.walked.1 == b.walked.1 && a.waits == b.waits && a.jammed.values().eq(b.jammed.values())
    };
    Ok(a.trials.iter().zip(&b.trials).filter(alike).count() as u32)
}

/// Guests who pass to and fro before a passage is jammed for [`JAMMED`] on 1 evening in 10.
fn taken_by_passage(width: f64) -> Result<Estimate, String> {
    let (plan, evening) = passage_house(width, false);
    let world = Lab::new(&plan, &evening)?.world;
    guests_by(&world.plan, by_jams(world.scenario), Some("passage"), SMALL)
}

/// Seconds an evening of jam at the worst spot of the passage, at so many guests.
fn jammed_in_passage(second_way: bool) -> Result<Estimate, String> {
    let (plan, evening) = passage_house(36.0, second_way);
    let lab = Lab::asked(
        &plan,
        &evening,
        &crate::files::Asked { guests: Some(PASSING), ..Default::default() },
    )?;
    let passage = lab.world.places.position(|p| p.name == "passage").map(|p| p as PlaceId);
    let evenings = simulate(&lab.world, SEED, 0..128, &());
    Ok(evenings.mean_of(|s| f64::from(evening::jammed(&lab.world, s, passage))))
}

/// Guests who go to and fro through the passage: enough to fill a narrow one.
const PASSING: u32 = 70;

fn directions() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    let mut before = Expected::Nothing;
    for width in [30.0, 36.0, 42.0, 48.0] {
        let takes = taken_by_passage(width)?;
        rows.push(Row::new(format!("passage of {width} in"), "guests", before, takes));
        before = Expected::AtLeast(takes.value);
    }
    let alone = jammed_in_passage(false)?;
    rows.push(Row::new(
        format!("passage of 36 in, {PASSING} guests, jammed per evening"),
        "s",
        Expected::Nothing,
        alone,
    ));
    rows.push(Row::new(
        "the same with a second way round",
        "s",
        Expected::AtMost(alone.value),
        jammed_in_passage(true)?,
    ));
    let scene = |scene: Scene| {
        let house = House { scene, ..House::default() };
        guests(Lab::new(&house.plan(), &house.evening(30))?, Grade::Easy, None)
    };
    for (name, one, two) in [
        ("powder rooms", Scene::Plain, Scene::SecondPowder),
        ("bars with somebody pouring", Scene::Poured, Scene::PouredTwice),
    ] {
        let alone = scene(one)?;
        rows.push(Row::new(format!("{name}: one"), "guests", Expected::Nothing, alone));
        rows.push(Row::new(
            format!("{name}: two"),
            "guests",
            Expected::AtLeast(alone.value),
            scene(two)?,
        ));
    }
    Ok(rows)
}

fn buffet() -> Result<Vec<Row>, String> {
    let house = House { scene: Scene::Buffet, ..House::default() };
    let lab = Lab::new(&house.plan(), &house.evening(20))?;
    let evenings = simulate(&lab.world, SEED, 0..200, &());
    let grade = evening::answer(&lab.world, &evenings).grade();
    Ok(vec![
        Row::exact("seats with floor", "", Expected::AtLeast(20.0), lab.world.seats.len() as f64),
        Row::exact(
            "clear floor",
            "sq ft",
            Expected::AtMost(700.0),
            lab.world.clear_floor / SQUARE_FOOT,
        ),
        Row::exact(
            "grade (0 easy, 1 lively, 2 packed, 3 too many)",
            "",
            Expected::AtMost(1.0),
            f64::from(grade as u8),
        ),
    ])
}
