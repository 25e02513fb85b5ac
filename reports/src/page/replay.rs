//! Evenings to watch: which ones, and where everybody is in them, small enough to travel with the
//! page.
//!
//! People are told by the corners of their ways: between two corners somebody moves straight and
//! evenly, and does one thing. Written as whole numbers of a tenth of a second and a centimeter,
//! each as the difference to the one before, seven bits a byte, lowest first.

use crate::pictures::{self, Stage, Undrawn};
use crate::{answer, words};
use base64::Engine;
use serde::Serialize;
use sim::base::parallel::in_order;
use sim::base::units::{TICKS, Tick, seconds};
use sim::crowd::bodies::Doing;
use sim::crowd::measure::{Jam, Trace, Traces};
use sim::crowd::trial::{Keep, SAMPLE, run};
use sim::floor::world::World;
use sim::house::plan::Plan;
use sim::study::ensemble::{Ensemble, Summary};
use sim::study::evening::minutes_lost;
use std::collections::BTreeMap;

/// Evenings to watch in one house.
#[derive(Debug, Serialize)]
pub struct Replay {
    /// How they were chosen.
    pub rule: String,
    /// The house they are watched on.
    pub stage: Stage,
    /// The evenings.
    pub evenings: Vec<Watched>,
    /// The same as JSON that can stand in a page.
    pub data: String,
}

/// One evening.
#[derive(Debug, Serialize)]
pub struct Watched {
    /// "a typical evening".
    pub name: &'static str,
    /// Its trial.
    pub trial: u32,
    /// Minutes of the day at second 0.
    pub clock: f64,
    /// The last second.
    pub seconds: f64,
    /// A good second to begin with: shortly before the longest jam, or in the middle of the
    /// evening.
    pub begin: f64,
    /// Jams: first and last second, where, and the point of the sheet in meters.
    pub jams: Vec<(u32, u32, String, f64, f64)>,
    /// Where everybody is: see the module.
    pub people: String,
}

/// The replay begins so many seconds before the longest jam.
const LEAD: f64 = 60.0;
/// The share of evenings that are better than the bad one.
const BAD: f64 = 0.9;
/// Corners may lie so far off the true way, in centimeters: the first that makes it small enough.
const OFF: [f64; 4] = [4.0, 8.0, 16.0, 32.0];
/// Evenings of more guests, times the hours they last, are not played again: they would not fit.
const LARGEST: f64 = 2000.0;
/// All evenings together take at most so many characters.
const MOST: usize = 900_000;
impl Replay {
    /// Chooses a typical and a bad evening, plays them again, and writes down where everybody is.
    /// Errors are for people: an evening too large to travel with a page.
    pub fn new(world: &World, trials: &Ensemble) -> Result<Replay, String> {
        let too_large = || {
            "These evenings are too large to be watched here: too many people, for too long."
                .to_string()
        };
        if f64::from(world.scenario.guests) * world.scenario.lasts / 3600.0 > LARGEST {
            return Err(too_large());
        }
        let (chosen, rule) = choose(world, trials);
        let played = in_order(
            &chosen,
            |&(_, trial)| {
                run(world, trials.seed, trial, Keep { traces: Traces::Changes, bodies: false })
            },
            &|| (),
        );
        let people: Vec<BTreeMap<u32, Vec<Moment>>> =
            played.iter().map(|(_, traces)| to_the_end(by_person(&world.plan, traces))).collect();
        let small = OFF
            .iter()
            .map(|off| people.iter().map(|p| written(world, p, *off)).collect::<Vec<String>>());
        let Some(texts) = { small }.find(|all| all.iter().map(String::len).sum::<usize>() <= MOST)
        else {
            return Err(too_large());
        };
        let stage = pictures::stage(&world.plan).map_err(|Undrawn(why)| why)?;
        let evenings: Vec<Watched> = chosen
            .iter()
            .zip(&played)
            .zip(texts)
            .map(|((&(name, trial), (tally, traces)), people)| {
                let seconds = traces.last().map_or(0.0, |t| seconds(t.at)).ceil();
                let clock = f64::from(world.scenario.start) - world.scenario.lead() / 60.0;
                Watched {
                    name,
                    trial,
                    clock,
                    seconds,
                    begin: begin(&tally.jams, seconds),
                    jams: jams(world, &tally.jams),
                    people,
                }
            })
            .collect();
        let data =
            serde_json::to_string(&evenings).map_err(|e| e.to_string())?.replace('<', "\\u003c");
        Ok(Replay { rule, stage, evenings, data })
    }
}

/// The evening in the middle by minutes lost per guest, and the one that nine in ten are no worse
/// than. One of them if they are the same.
fn choose(world: &World, trials: &Ensemble) -> (Vec<(&'static str, u32)>, String) {
    let mut all: Vec<&Summary> = trials.trials.iter().collect();
    let lost = |s: &Summary| minutes_lost(world, s);
    all.sort_by(|a, b| lost(a).total_cmp(&lost(b)).then(a.tally.trial.cmp(&b.tally.trial)));
    let at = |share: f64| {
        all.get(((all.len() as f64 * share).ceil() as usize).saturating_sub(1)).copied()
    };
    let told = |s: &Summary| format!("{:.1} min", lost(s));
    match (at(0.5), at(BAD)) {
        (Some(middle), Some(bad)) if middle.tally.trial != bad.tally.trial => (
            vec![("a typical evening", middle.tally.trial), ("a bad evening", bad.tally.trial)],
            format!(
                "Of {} simulated evenings, the typical one is in the middle by minutes lost per guest ({}); the bad evening is worse than 9 in 10 ({}).",
                all.len(),
                told(middle),
                told(bad)
            ),
        ),
        (Some(only), _) => (
            vec![("the evening", only.tally.trial)],
            format!("Each guest loses {} on this evening.", told(only)),
        ),
        (None, _) => (vec![], "No evening was simulated.".into()),
    }
}

/// Shortly before the longest jam.
fn begin(jams: &[Jam], seconds: f64) -> f64 {
    let longest = jams
        .iter()
        .filter(|j| !j.leaving)
        .max_by_key(|j| (j.to - j.from, std::cmp::Reverse(j.from)));
    longest.map_or((seconds / 2.0).floor(), |j| (f64::from(j.from) - LEAD).max(0.0))
}

fn jams(world: &World, jams: &[Jam]) -> Vec<(u32, u32, String, f64, f64)> {
    let told = |j: &Jam| {
        let (x, y) = world.pinches.get(j.pinch).at;
        (
            j.from,
            j.to,
            format!(
                "{}{}",
                words::at_spot(world, j.pinch),
                if j.leaving { ", while leaving" } else { "" }
            ),
            answer::round(x),
            answer::round(y),
        )
    };
    jams.iter().map(told).collect()
}

/// Where somebody is at a moment, in tenths of a second and centimeters, and what they do from then
/// on.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Moment {
    tenth: u64,
    x: f64,
    y: f64,
    state: u8,
}

/// What somebody does, as it is drawn. Who squeezes past is under way; who is held up is told
/// apart.
fn state(t: &Trace) -> u8 {
    match t.doing {
        Doing::Away => 0,
        Doing::Walk | Doing::Squeeze => 1 + u8::from(t.held),
        Doing::Line(_) => 3,
        Doing::At(_) => 4,
        Doing::Talk => 5,
        Doing::Sit => 6,
        Doing::Host => 7,
    }
}

/// Traces of each person in order; where nothing changed for a while, the end of that while is told
/// too, and so is where somebody stood who is on another level next.
fn by_person(plan: &Plan, traces: &[Trace]) -> BTreeMap<u32, Vec<Moment>> {
    let mut people: BTreeMap<u32, Vec<Moment>> = BTreeMap::new();
    for t in traces {
        let tenth = |at: Tick| (at * 10 + TICKS / 2) / TICKS;
        let now = Moment { tenth: tenth(t.at), x: t.x * 100.0, y: t.y * 100.0, state: state(t) };
        let own = people.entry(t.person).or_default();
        if let Some(&last) = own.last() {
            let still = tenth(t.at.saturating_sub(SAMPLE));
            if still > last.tenth + tenth(SAMPLE) {
                own.push(Moment { tenth: still, ..last });
            } else if plan.level_at(last.y / 100.0) != plan.level_at(t.y) {
                own.push(Moment { tenth: now.tenth, ..last });
            }
        }
        own.push(now);
    }
    people
}

/// Who is still there at the end is told until then.
fn to_the_end(mut people: BTreeMap<u32, Vec<Moment>>) -> BTreeMap<u32, Vec<Moment>> {
    let end = people.values().filter_map(|own| own.last()).map(|m| m.tenth).max().unwrap_or(0);
    for own in people.values_mut() {
        if let Some(&last) = own.last().filter(|last| last.state != 0 && last.tenth < end) {
            own.push(Moment { tenth: end, ..last });
        }
    }
    people
}

/// All people as text: how many, and for each whether they host, how many corners, and the corners.
fn written(world: &World, people: &BTreeMap<u32, Vec<Moment>>, off: f64) -> String {
    let mut bytes = vec![];
    number(&mut bytes, people.len() as u64);
    for (&person, moments) in people {
        let corners = corners(moments, off);
        number(&mut bytes, u64::from(person >= world.scenario.guests));
        number(&mut bytes, corners.len() as u64);
        let (mut tenth, mut x, mut y, mut state) = (0, 0, 0, 0);
        for c in corners {
            let (cx, cy) = (c.x.round() as i64, c.y.round() as i64);
            number(&mut bytes, (c.tenth - tenth) * 2 + u64::from(c.state != state));
            if c.state != state {
                bytes.push(c.state);
            }
            signed(&mut bytes, cx - x);
            signed(&mut bytes, cy - y);
            (tenth, x, y, state) = (c.tenth, cx, cy, c.state);
        }
    }
    base64::engine::general_purpose::STANDARD.encode(bytes)
}

fn number(bytes: &mut Vec<u8>, mut n: u64) {
    while n > 127 {
        bytes.push((n & 127) as u8 | 128);
        n >>= 7;
    }
    bytes.push(n as u8);
}

fn signed(bytes: &mut Vec<u8>, n: i64) {
    number(bytes, if n < 0 { n.unsigned_abs() * 2 - 1 } else { n as u64 * 2 });
}

/// The moments that matter: every change of what is done, and of the moments between only so many
/// that nobody is ever drawn farther than `off` from where they are at that time.
fn corners(moments: &[Moment], off: f64) -> Vec<Moment> {
    let Some(&first) = moments.first() else {
        return vec![];
    };
    let (mut kept, mut from) = (vec![first], 0);
    while from + 1 < moments.len() {
        let to = farthest(moments, from, off);
        kept.push(moments[to]);
        from = to;
    }
    kept
}

/// The last moment that can follow `from` at once.
fn farthest(moments: &[Moment], from: usize, off: f64) -> usize {
    let mut to = from + 1;
    while to + 1 < moments.len()
        && moments[to].state == moments[from].state
        && fits(&moments[from..=to + 1], off)
    {
        to += 1;
    }
    to
}

/// Whether all moments between the first and the last lie on the even way from one to the other.
fn fits(moments: &[Moment], off: f64) -> bool {
    let (a, b) = (moments[0], moments[moments.len() - 1]);
    let long = (b.tenth - a.tenth).max(1) as f64;
    moments.iter().all(|m| {
        let share = (m.tenth - a.tenth) as f64 / long;
        (a.x + share * (b.x - a.x) - m.x).hypot(a.y + share * (b.y - a.y) - m.y) <= off
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walk(points: &[(u64, f64, f64, u8)]) -> Vec<Moment> {
        points.iter().map(|&(tenth, x, y, state)| Moment { tenth, x, y, state }).collect()
    }

    #[test]
    fn an_even_walk_is_told_by_its_ends_and_a_turn_by_its_corner() {
        let even: Vec<(u64, f64, f64, u8)> =
            (0..=10).map(|k| (k * 5, 60.0 * k as f64, 0.0, 1)).collect();
        assert_eq!(corners(&walk(&even), 4.0).len(), 2);
        let turn: Vec<(u64, f64, f64, u8)> = even
            .iter()
            .copied()
            .chain((1..=10).map(|k| (50 + k * 5, 600.0, 60.0 * k as f64, 1)))
            .collect();
        assert_eq!(corners(&walk(&turn), 4.0).len(), 3);
    }

    #[test]
    fn every_change_of_what_is_done_is_kept() {
        let mixed = walk(&[
            (0, 0.0, 0.0, 1),
            (5, 50.0, 0.0, 1),
            (10, 100.0, 0.0, 3),
            (900, 100.0, 0.0, 4),
            (950, 100.0, 0.0, 1),
        ]);
        let states: Vec<u8> = corners(&mixed, 4.0).iter().map(|m| m.state).collect();
        assert_eq!(states, [1, 3, 4, 1]);
    }

    #[test]
    fn who_stands_to_the_end_is_there_to_the_end() {
        let people = BTreeMap::from([
            (0, walk(&[(0, 0.0, 0.0, 7)])),
            (1, walk(&[(0, 0.0, 0.0, 1), (600, 50.0, 0.0, 0)])),
        ]);
        let closed = to_the_end(people);
        assert_eq!(closed[&0].last().map(|m| (m.tenth, m.state)), Some((600, 7)));
        assert_eq!(closed[&1].len(), 2);
    }

    #[test]
    fn numbers_take_seven_bits_a_byte() {
        let mut bytes = vec![];
        number(&mut bytes, 300);
        signed(&mut bytes, -3);
        signed(&mut bytes, 4);
        assert_eq!(bytes, [0b1010_1100, 0b10, 5, 8]);
    }
}
