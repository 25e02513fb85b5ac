//! Wire types of `answer.json`, format 1. SI units; no date, path or thread count. Fields are only
//! ever added.

mod capacity;
mod compare;
mod check;
mod evidence;
mod improve;
mod review;
mod where_to;

pub use capacity::capacity;
pub use check::{Understood, check};
pub use compare::compare;
pub use evidence::evidence;
pub use improve::improve;
pub use review::{EstimateRow, ReviewRow, Reviewed, Score, WayWidth, review};
pub use where_to::where_to;

use serde::Serialize;
use sha2::{Digest, Sha256};
use sim::base::stats::Estimate;
use sim::crowd::measure::Cause;
use sim::evening::scenario::Serves;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::ensemble::{Ensemble, Summary};
use sim::study::evening::jams::JamReport;
use sim::study::evening::{Evening, PlaceReport, SpotReport, Verdict, name};
use std::collections::BTreeMap;

/// Format of this document.
pub const FORMAT: u32 = 1;

/// What every answer begins with.
#[derive(Debug, Serialize)]
pub struct Head {
    /// Always 1.
    pub format: u32,
    /// Program and version.
    pub program: String,
    /// The question asked: the command.
    pub question: &'static str,
    /// What was read.
    pub inputs: Inputs,
    /// Seed.
    pub seed: u64,
    /// First trial, and one past the last.
    pub trials: [u32; 2],
    /// The sentence.
    pub answer: String,
}

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Answer {
    /// How it begins.
    #[serde(flatten)]
    pub head: Head,
    /// The evening's grade: easy, lively, packed or too many.
    pub grade: &'static str,
    /// The grade asked for: its limits are the ones below.
    pub grade_asked: &'static str,
    /// Whether every limit of the grade asked for holds.
    pub fits: bool,
    /// Guests simulated.
    pub headcount: Value,
    /// Every limit, the most strained first.
    pub limits: Vec<Limit>,
    /// Spots of floor that jam, the worst first.
    pub places: Vec<Place>,
    /// Rooms and openings where time is lost, the most first.
    pub rooms: Vec<Room>,
    /// Spots, in the order guests meet them.
    pub spots: Vec<Spot>,
    /// Seconds the evening's own worst spot is jammed: 9 evenings in 10 stay below.
    pub jammed_s: Value,
    /// The same on the typical evening.
    pub jammed_typically_s: Value,
    /// Share of evenings with a jam anywhere before the leaving rush.
    pub any_jam: Value,
    /// Minutes lost a guest and evening, to others and in lines.
    pub minutes_lost: Value,
    /// What was chosen or assumed.
    pub assumed: Vec<String>,
    /// The caution.
    pub caution: String,
    /// One entry a trial.
    pub per_trial: Vec<Trial>,
}

/// What scripts leave behind: `run` on a scenario with errands.
#[derive(Debug, Serialize)]
pub struct Scripted {
    /// How it begins.
    #[serde(flatten)]
    pub head: Head,
    /// Spots.
    pub spots: Vec<Spot>,
    /// The caution.
    pub caution: String,
    /// One entry a trial.
    pub per_trial: Vec<Trial>,
}

/// What was read.
#[derive(Debug, Serialize)]
pub struct Inputs {
    /// Checksum of the plan's text.
    pub plan: String,
    /// Checksum of the scenario's text.
    pub scenario: Option<String>,
    /// The option in force.
    pub option: Option<String>,
    /// Settings for checks of the model, if any differ from the usual.
    pub model: Option<Model>,
}

/// Settings for checks of the model.
#[derive(Debug, Serialize)]
pub struct Model {
    /// Cell in meters.
    pub cell_m: f64,
    /// Order of ties.
    pub order: &'static str,
    /// Seconds after which trials of scripts are broken off, if they are.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ends_s: Option<f64>,
}

/// A figure with its 95 % interval.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Value {
    /// The figure.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end; `null` where nothing that was simulated bounds it.
    pub high: f64,
}

/// A limit.
#[derive(Debug, Serialize)]
pub struct Limit {
    /// What it bounds.
    pub name: String,
    /// The bound of the grade asked for (share, seconds, coats, m2).
    pub bound: f64,
    /// The bounds of easy, lively and packed.
    pub bounds: [f64; 3],
    /// The best grade whose bound holds.
    pub grade: &'static str,
    /// The measure.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Whether it holds.
    pub holds: bool,
    /// Largest headcount at which it holds; only `capacity` knows.
    pub headcount: Option<Value>,
}

/// A spot of floor that jams.
#[derive(Debug, Serialize)]
pub struct Place {
    /// What stands around it.
    pub name: String,
    /// The room or opening it is in.
    pub room: String,
    /// Its middle in meters, from the corner the plan counts from, and its level, from the lowest.
    pub x_m: f64,
    /// See `x_m`.
    pub y_m: f64,
    /// See `x_m`.
    pub level: usize,
    /// Share of evenings with a jam before the leaving rush.
    pub jam_risk: Value,
    /// Share of evenings with a jam in the leaving rush.
    pub leaving_jam_risk: Value,
    /// Seconds of jam that 9 evenings in 10 stay below.
    pub jammed_s: Value,
    /// Minutes of jam an evening.
    pub jam_minutes: Value,
    /// Guest-minutes lost an evening within 2.5 ft.
    pub lost_guest_minutes: f64,
    /// Seconds after the start between which most jam minutes fall.
    pub when: Option<[i64; 2]>,
    /// Why, most first.
    pub causes: Vec<CauseShare>,
}

/// A room or opening where time is lost.
#[derive(Debug, Serialize)]
pub struct Room {
    /// Its name.
    pub name: String,
    /// Guest-minutes lost an evening.
    pub lost_guest_minutes: Value,
    /// Why, most first.
    pub causes: Vec<CauseShare>,
}

/// A cause and its cost.
#[derive(Debug, Serialize)]
pub struct CauseShare {
    /// In words.
    pub cause: String,
    /// Guest-minutes lost an evening.
    pub guest_minutes: f64,
}

/// A spot.
#[derive(Debug, Serialize)]
pub struct Spot {
    /// Its name.
    pub name: String,
    /// What it serves.
    pub serves: &'static str,
    /// Visits an evening.
    pub visits: f64,
    /// Waits in seconds.
    pub wait_s: Wait,
    /// People in line.
    pub line: Line,
    /// Guests a full line turned away, an evening.
    pub turned_away: f64,
    /// Of the visits, those that end without being served: given up, or still waiting at the end.
    /// Their waits count until then.
    pub unserved: f64,
}

/// Waits in seconds.
#[derive(Debug, Serialize)]
pub struct Wait {
    /// Mean.
    pub mean: Value,
    /// Median.
    pub p50: Value,
    /// Nine in ten wait less.
    pub p90: Value,
    /// Longest of all evenings.
    pub max: f64,
}

/// People in line.
#[derive(Debug, Serialize)]
pub struct Line {
    /// On average over the evening.
    pub mean: Value,
    /// Longest in nine evenings of ten.
    pub max: u32,
}

/// One trial.
#[derive(Debug, Serialize)]
pub struct Trial {
    /// Number.
    pub trial: u32,
    /// Guests who came.
    pub came: u32,
    /// Guests who went home.
    pub left: u32,
    /// Guests still in the house two hours after the end.
    pub stayed: u32,
    /// Visits guests set out for, by what is served.
    pub wanted: BTreeMap<&'static str, u32>,
    /// Visits served, by what is served; the others were given up, or still waiting at the end.
    pub served: BTreeMap<&'static str, u32>,
    /// Most inside at once.
    pub peak: u32,
    /// Jams before the leaving rush.
    pub jams: u32,
    /// Seconds of jam at the evening's own worst spot.
    pub jam_s: u32,
    /// Guest-seconds lost to others.
    pub lost_s: f64,
    /// Guest-seconds in lines.
    pub waited_s: f64,
    /// Coats with no place.
    pub coats_over: u32,
    /// Seats wanted, and not found.
    pub seats: [u32; 2],
    /// Squeezes past somebody.
    pub squeezes: u32,
    /// Walks given up, and walks of more than ten minutes.
    pub gave_up: [u32; 2],
}

impl From<Estimate> for Value {
    fn from(e: Estimate) -> Value {
        Value { value: round(e.value), low: round(e.low), high: round(e.high) }
    }
}

/// Six significant decimals are plenty, and keep the file short.
pub fn round(x: f64) -> f64 {
    let scale = 1e6;
    let r = (x * scale).round() / scale;
    if r == 0.0 { 0.0 } else { r }
}

/// A document as text, with a line end.
pub fn text(document: &impl Serialize) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

/// The SHA-256 of some bytes as hexadecimal digits, as common tools print it (FIPS 180-4).
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// What tells whether two inputs are the same text.
fn checksum(text: &str) -> String {
    format!("sha256-{}", sha256(text.as_bytes()))
}

/// The program's name and version.
pub fn program() -> String {
    format!("elbowroom {}", env!("CARGO_PKG_VERSION"))
}

/// Evenings, seed and program, as they stand under every picture.
pub fn evenings(trials: &Ensemble) -> String {
    let first = trials.trials.first().map_or(0, |t| t.tally.trial);
    let last = trials.trials.last().map_or(0, |t| t.tally.trial);
    let evenings = if trials.len() == 1 { "evening" } else { "evenings" };
    format!(
        "{} simulated {evenings} ({first} to {last}), seed {}, {}",
        trials.len(),
        trials.seed,
        program()
    )
}

/// What was read.
pub fn inputs(loaded: &Loaded) -> Inputs {
    let model = loaded.scenario.model;
    let unusual = model != sim::evening::scenario::Model::default();
    Inputs {
        plan: checksum(&loaded.plan_source.text),
        scenario: loaded.scenario_source.as_ref().map(|s| checksum(&s.text)),
        option: loaded.scenario.option.clone(),
        model: unusual.then(|| Model {
            cell_m: round(model.cell),
            order: if model.reversed { "reversed" } else { "arrival" },
            ends_s: model.ends.map(round),
        }),
    }
}

fn head(loaded: &Loaded, trials: &Ensemble, range: [u32; 2], answer: String) -> Head {
    Head {
        format: FORMAT,
        program: program(),
        question: "run",
        inputs: inputs(loaded),
        seed: trials.seed,
        trials: range,
        answer,
    }
}

/// The answer of `run`.
pub fn run(
    loaded: &Loaded,
    world: &World,
    trials: &Ensemble,
    evening: &Evening,
    range: [u32; 2],
) -> Answer {
    Answer {
        head: head(loaded, trials, range, crate::words::sentence(world, evening)),
        grade: evening.grade().word(),
        grade_asked: world.scenario.limits.grade.word(),
        fits: evening.fits(),
        headcount: Estimate::exact(f64::from(world.scenario.guests)).into(),
        limits: evening.limits.iter().map(|v| limit(world, v)).collect(),
        places: evening.jams.iter().map(|j| place(world, j)).collect(),
        rooms: evening.places.iter().map(|p| room(world, p)).collect(),
        spots: evening.spots.iter().map(|s| spot(world, s)).collect(),
        jammed_s: evening.jammed.into(),
        jammed_typically_s: evening.jammed_typically.into(),
        any_jam: evening.any_jam.into(),
        minutes_lost: evening.minutes_lost.into(),
        assumed: assumed(world),
        caution: crate::words::caution(world.scenario.guests, world.clear_floor),
        per_trial: trials.trials.iter().map(|s| trial(world, s)).collect(),
    }
}

/// The answer of `run` on scripts.
pub fn scripted(
    loaded: &Loaded,
    world: &World,
    trials: &Ensemble,
    evening: &Evening,
    range: [u32; 2],
    answer: String,
) -> Scripted {
    Scripted {
        head: head(loaded, trials, range, answer),
        spots: evening
            .spots
            .iter()
            .filter(|s| s.visits.value > 0.0)
            .map(|s| spot(world, s))
            .collect(),
        caution: crate::words::CAUTION.to_string(),
        per_trial: trials.trials.iter().map(|s| trial(world, s)).collect(),
    }
}

/// Everything chosen or assumed, in words.
pub fn assumed(world: &World) -> Vec<String> {
    crate::words::assumed::house(world)
        .into_iter()
        .chain(crate::words::assumed::evening(world))
        .collect()
}

fn limit(world: &World, v: &Verdict) -> Limit {
    let e = Value::from(v.value);
    Limit {
        name: name(world, &v.subject),
        bound: round(v.bound),
        bounds: v.bounds.map(round),
        grade: v.grade.word(),
        value: e.value,
        low: e.low,
        high: e.high,
        holds: v.holds,
        headcount: None,
    }
}

fn causes(world: &World, causes: &[(Cause, f64)]) -> Vec<CauseShare> {
    causes
        .iter()
        .map(|c| CauseShare { cause: crate::words::cause(world, c.0), guest_minutes: round(c.1) })
        .collect()
}

fn place(world: &World, j: &JamReport) -> Place {
    let pinch = world.pinches.get(j.pinch);
    Place {
        name: crate::words::at_spot(world, j.pinch),
        room: world.places[pinch.place].name.clone(),
        x_m: round(pinch.at.0),
        y_m: round(world.plan.true_y(pinch.at.1)),
        level: world.plan.level_at(pinch.at.1),
        jam_risk: j.risk.into(),
        leaving_jam_risk: j.leaving_risk.into(),
        jammed_s: j.jammed.into(),
        jam_minutes: j.minutes.into(),
        lost_guest_minutes: round(j.lost_minutes),
        when: j.when.map(|(a, b)| [a, b]),
        causes: causes(world, &j.causes),
    }
}

fn room(world: &World, p: &PlaceReport) -> Room {
    Room {
        name: world.places[p.place].name.clone(),
        lost_guest_minutes: p.lost_minutes.into(),
        causes: causes(world, &p.causes),
    }
}

fn spot(world: &World, s: &SpotReport) -> Spot {
    let own = &world.spots[s.spot];
    Spot {
        name: own.name.clone(),
        serves: own.serves.word(),
        visits: round(s.visits.value),
        wait_s: Wait {
            mean: s.mean.into(),
            p50: s.p50.into(),
            p90: s.p90.into(),
            max: round(s.longest_wait),
        },
        line: Line { mean: s.line.into(), max: s.longest_line },
        turned_away: round(s.turned_away.value),
        unserved: round(s.unserved.value),
    }
}

fn trial(world: &World, s: &Summary) -> Trial {
    let t = &s.tally;
    Trial {
        trial: t.trial,
        came: t.came,
        left: t.left,
        stayed: t.stayed,
        wanted: Serves::ALL.iter().map(|s| (s.word(), t.wanted[*s as usize])).collect(),
        served: Serves::ALL
            .iter()
            .map(|s| (s.word(), world.spots_for(*s).iter().map(|&spot| t.served[spot]).sum()))
            .collect(),
        peak: t.peak,
        jams: s.jams,
        jam_s: s.jammed,
        lost_s: round(s.lost),
        waited_s: round(s.waited),
        coats_over: t.coats_over,
        seats: [t.seats_wanted, t.seats_short],
        squeezes: t.squeezes,
        gave_up: [t.gave_up, t.stuck],
    }
}
