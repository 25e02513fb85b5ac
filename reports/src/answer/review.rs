//! What `review --json` says of a plan: rows measured on the drawing, estimates, and what to change.

use super::{FORMAT, Inputs, inputs, program, round};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::review::verdict::Verdict;
use sim::review::walking::ways::Way;
use sim::review::{Asked, Estimated, Fact, Guess, Review, Row, Topic};

/// A plan reviewed.
#[derive(Debug, Serialize)]
pub struct Reviewed {
    /// Always 1.
    pub format: u32,
    /// Program and version.
    pub program: String,
    /// `review`.
    pub question: &'static str,
    /// The files.
    pub inputs: Inputs,
    /// The answer in a sentence or two.
    pub answer: String,
    /// Guests the plan is held against, if anybody says how many.
    pub guests: Option<u32>,
    /// First evening simulated to see where guests spend their time, and one past the last; none
    /// where nobody says how many come.
    pub trials: Option<[u32; 2]>,
    /// Their seed.
    pub seed: Option<u64>,
    /// How many rows stand how, by topic.
    pub scores: Vec<Score>,
    /// What was measured on the drawing, topic by topic, in each the worst first.
    pub rows: Vec<ReviewRow>,
    /// The widest way between each two places.
    pub ways: Vec<WayWidth>,
    /// What was estimated.
    pub estimates: Vec<EstimateRow>,
    /// The changes worth most, the best first.
    pub change: Vec<Change>,
    /// What was chosen or assumed.
    pub assumed: Vec<String>,
    /// The caution.
    pub caution: String,
}

/// How a topic stands.
#[derive(Debug, Serialize)]
pub struct Score {
    /// The topic.
    pub topic: &'static str,
    /// Its worst row.
    pub verdict: &'static str,
    /// Rows that pass.
    pub passes: usize,
    /// Rows that are tight.
    pub tight: usize,
    /// Rows that fail.
    pub fails: usize,
    /// Rows of which the plan does not say enough.
    pub unknown: usize,
}

/// A row.
#[derive(Debug, Serialize)]
pub struct ReviewRow {
    /// The topic.
    pub topic: &'static str,
    /// `passes`, `tight`, `fails` or `unknown`.
    pub verdict: &'static str,
    /// What was found, in a sentence.
    pub says: String,
    /// The figure, if there is one.
    pub measured: Option<Measured>,
    /// Where what it is held against comes from.
    pub source: &'static str,
    /// Where, in meters, if at one place.
    pub at: Option<[f64; 2]>,
    /// What would help.
    pub help: Option<String>,
}

/// A figure with its unit.
#[derive(Debug, Serialize)]
pub struct Measured {
    /// The figure.
    pub value: f64,
    /// `m`, `share`, `guests`, `seats`, `coats` or `steps`.
    pub unit: &'static str,
}

/// The widest way between two places.
#[derive(Debug, Serialize)]
pub struct WayWidth {
    /// From here.
    pub from: String,
    /// To there.
    pub to: String,
    /// Least clear width on it, in meters; 6 ft (1.829) stands for that and more.
    pub clear_m: f64,
    /// Least clear width of its floor, openings left out, in meters.
    pub floor_m: f64,
    /// Its narrowest opening.
    pub door: Option<String>,
    /// Its length, in meters.
    pub length_m: f64,
}

/// An estimate.
#[derive(Debug, Serialize)]
pub struct EstimateRow {
    /// What of.
    pub of: &'static str,
    /// How it stands, if there is anything to hold it against.
    pub verdict: Option<&'static str>,
    /// What it says.
    pub says: String,
    /// Its main figure, if there is one.
    pub estimated: Option<Measured>,
    /// By which formula.
    pub formula: &'static str,
    /// From which source.
    pub source: &'static str,
    /// What it is worth.
    pub worth: &'static str,
}

/// A change worth making.
#[derive(Debug, Serialize)]
pub struct Change {
    /// The row it is about, from 0.
    pub row: usize,
    /// What to do.
    pub says: String,
}

/// The answer of `review`.
///
/// `played` are evenings that were simulated, and their seed.
pub fn review(
    loaded: &Loaded,
    world: &World,
    review: &Review,
    asked: &Asked,
    played: (u32, u64),
) -> Reviewed {
    let played = asked.spent.as_ref().map(|_| played);
    let guests = asked.guests;
    let change = words::review::best(world, review);
    let change = change.into_iter().map(|(row, says)| Change { row, says });
    Reviewed {
        format: FORMAT,
        program: program(),
        question: "review",
        inputs: inputs(loaded),
        answer: words::review::answer(world, review),
        guests,
        trials: played.map(|p| [0, p.0]),
        seed: played.map(|p| p.1),
        scores: scores(review),
        rows: review.rows.iter().map(|r| row(world, review, r)).collect(),
        ways: review.ways.ways.iter().map(|w| way(world, review, w)).collect(),
        estimates: review.estimates.iter().map(|e| estimate(world, e)).collect(),
        change: change.collect(),
        assumed: words::assumed::for_review(world, asked),
        caution: words::caution(guests.unwrap_or(0), world.clear_floor),
    }
}

/// How each topic stands, those without a row left out.
fn scores(review: &Review) -> Vec<Score> {
    let of = |topic: Topic| {
        let rows: Vec<Verdict> =
            review.rows.iter().filter(|r| r.fact.topic() == topic).map(|r| r.verdict).collect();
        let worst = rows.iter().copied().reduce(Verdict::and)?;
        let count = |v: Verdict| rows.iter().filter(|r| **r == v).count();
        Some(Score {
            topic: words::review::topic_key(topic),
            verdict: worst.word(),
            passes: count(Verdict::Passes),
            tight: count(Verdict::Tight),
            fails: count(Verdict::Fails),
            unknown: count(Verdict::Unknown),
        })
    };
    Topic::ALL.into_iter().filter_map(of).collect()
}

fn row(world: &World, review: &Review, row: &Row) -> ReviewRow {
    ReviewRow {
        topic: words::review::topic_key(row.fact.topic()),
        verdict: row.verdict.word(),
        says: words::review::says(world, review, row),
        measured: measured(&row.fact),
        source: words::review::source(&row.fact),
        at: row.at.map(|(x, y)| [round(x), round(world.plan.true_y(y))]),
        help: words::review::help(world, review, row),
    }
}

fn measured(fact: &Fact) -> Option<Measured> {
    let meters = |value: f64| Some(Measured { value: round(value), unit: "m" });
    let other = |value: f64, unit: &'static str| Some(Measured { value: round(value), unit });
    match fact {
        Fact::Narrowing(n) => meters(n.clear),
        Fact::NoNarrowing(least) => meters(*least),
        Fact::Doorway(d) => meters(d.clear),
        Fact::Before(b) => meters(b.measured()),
        Fact::Crossing(c) => meters(c.around?),
        Fact::Sight(s) => other(s.share, "share"),
        Fact::PowderAway(p) => meters(p.away?),
        Fact::PowderSeen(p) => {
            let (seeing, of) = p.seen.iter().fold((0, 0), |s, v| (s.0 + v.seeing, s.1 + v.of));
            other(seeing as f64 / of.max(1) as f64, "share")
        }
        Fact::PowderLine(_, line) => meters(line.floor),
        Fact::Openness(o) => meters(o.opens),
        Fact::Food(f) => other(f.at_once as f64, "guests"),
        Fact::Apart(a) => meters(a.meters),
        Fact::Storage(s) => meters(s.nearest?.1),
        Fact::SeatCount(c) => other(c.all() as f64, "seats"),
        Fact::Table(t) => other(f64::from(t.diners()), "seats"),
        Fact::Circle(c) => meters(c.across),
        Fact::Perches(seats, with) => other(*with as f64 / (*seats).max(1) as f64, "share"),
        Fact::SeatNearDoor(far) => meters((*far)?),
        Fact::Triangle(t) => meters(t.around()),
        Fact::Landing(l) => meters(l.beside[1]),
        Fact::Preparing(p) => meters(*p),
        Fact::Cooks(_, aisle) => meters(aisle.clear),
        Fact::Washing(d) => meters(*d),
        Fact::Coats(c) => other(f64::from(c.hold()), "coats"),
        Fact::Entrance(e) => other(f64::from(e.steps?), "steps"),
        Fact::Turning(t) => meters(t.circle),
        Fact::NothingCrossed(_)
        | Fact::PowderOnto(_)
        | Fact::NoPowder
        | Fact::NoOutdoors
        | Fact::Glasses(_)
        | Fact::ForTwo(_)
        | Fact::NotDrawn(..)
        | Fact::Door(_)
        | Fact::Reach(_) => None,
    }
}

fn way(world: &World, review: &Review, way: &Way) -> WayWidth {
    let [from, to] = way.between.map(|h| words::review::hub(world, &review.hubs[h]));
    WayWidth {
        from,
        to,
        clear_m: round(way.clear(world)),
        floor_m: round(way.floor),
        door: way.door.map(|o| world.plan.openings[o].name.clone()),
        length_m: round(way.path.length),
    }
}

fn estimate(world: &World, e: &Estimated) -> EstimateRow {
    let [formula, source, worth] = words::review::basis(&e.guess);
    EstimateRow {
        of: words::review::subject(&e.guess),
        verdict: e.verdict.map(Verdict::word),
        says: words::review::estimate(world, &e.guess),
        estimated: estimated(&e.guess),
        formula,
        source,
        worth,
    }
}

fn estimated(guess: &Guess) -> Option<Measured> {
    let other = |value: f64, unit: &'static str| Some(Measured { value: round(value), unit });
    match guess {
        Guess::HomeRule(h) => other(f64::from(h.guests), "guests"),
        Guess::Dishes(d) => other(f64::from(d.loads), "loads"),
        Guess::Owned(d) => other(f64::from(d.used[0]), "glasses"),
        Guess::Talk(s) => other(f64::from(s.most_talking()), "guests"),
        Guess::Bedroom(b) => other(b.now, "dB"),
        Guess::Children(c) => other(f64::from(c.takes), "children"),
        Guess::Cars(c) => other(f64::from(c.places()), "cars"),
        Guess::Air(a) => other(a.shut, "ppm"),
        Guess::Heat(a) => other(a.heat[0], "W"),
        Guess::Spilled(s) => other(s.share?, "share"),
        Guess::NoBedroomNextDoor | Guess::Machines | Guess::Unknown(..) => None,
    }
}
