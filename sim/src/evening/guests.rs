//! Who comes: parties, arrivals, pace, coats. Drawn in order and cut at the headcount, so that the
//! guests of N are the first N of N + 1.

use crate::base::chance::{Key, Purpose};
use crate::evening::scenario::occasion::{FRAME_PACE, OLDER_PACE, PACE, PARTY_SIZES, STICK_PACE};
use crate::evening::scenario::{Arrivals, Mix, Scenario};

/// A guest of an evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guest {
    /// Number in drawing order.
    pub number: u32,
    /// The party.
    pub party: u32,
    /// Seconds after the first moment of the trial at which the guest reaches the door.
    pub arrives: f64,
    /// Seconds after the first moment at which the party means to go.
    pub leaves: f64,
    /// Free walking pace in m/s.
    pub pace: f64,
    /// Whether there is a coat to leave.
    pub coat: bool,
    /// Key of this guest's own streams.
    pub key: Key,
}

/// Parties are identified in streams by numbers from here on, so that they share none with guests.
const PARTY_KEYS: u32 = 1 << 24;
/// Members of a party reach the door this many seconds apart: common practice.
const BEHIND: f64 = 2.0;
/// A guest stays at least this many seconds: common practice.
const SHORTEST_STAY: f64 = 2700.0;
/// Nobody comes later than this many seconds before the end.
const LAST_ARRIVAL: f64 = 1800.0;

/// Draws all guests of a trial.
pub fn draw(scenario: &Scenario, seed: u64, trial: u32) -> Vec<Guest> {
    let mut sizes = Key { seed, trial, person: 0 }.stream(Purpose::Parties, 0);
    let mut guests = vec![];
    let mut party = 0;
    while (guests.len() as u32) < scenario.guests {
        let size = sizes.weighted(&PARTY_SIZES).unwrap_or(0) as u32 + 1;
        let key = Key { seed, trial, person: PARTY_KEYS + party };
        let (arrives, leaves) = times(scenario, key, party);
        for member in 0..size {
            let number = guests.len() as u32;
            if number < scenario.guests {
                guests.push(guest(
                    scenario,
                    Key { seed, trial, person: number },
                    party,
                    arrives + f64::from(member) * BEHIND,
                    leaves,
                ));
            }
        }
        party += 1;
    }
    guests
}

fn guest(scenario: &Scenario, key: Key, party: u32, arrives: f64, leaves: f64) -> Guest {
    let coat = key.stream(Purpose::Coat, 0).happens(scenario.weather.coat_share(scenario.rain));
    Guest { number: key.person, party, arrives, leaves, pace: pace(key, &scenario.mix), coat, key }
}

/// A free pace by what is known of who comes.
pub fn pace(key: Key, mix: &Mix) -> f64 {
    let mut stream = key.stream(Purpose::Pace, 0);
    let [mean, sd, low, high] = PACE;
    let pace = stream.normal_within(mean, sd, low, high);
    let ticket = stream.uniform();
    match ticket {
        t if t < mix.frame => FRAME_PACE,
        t if t < mix.frame + mix.stick => STICK_PACE,
        t if t < mix.frame + mix.stick + mix.older => pace * OLDER_PACE,
        _ => pace,
    }
}

/// When a party comes and means to go, in seconds after the first moment.
fn times(scenario: &Scenario, key: Key, party: u32) -> (f64, f64) {
    let mut stream = key.stream(Purpose::Arrival, 0);
    let (u, swing) = (stream.uniform(), stream.normal(0.0, scenario.needs.leaving_sd));
    let arrives = scenario.lead()
        + match &scenario.arrivals {
            Arrivals::Curve { b, lead, .. } => {
                curve(u, *b, *lead, (scenario.lasts - LAST_ARRIVAL) / 60.0) * 60.0
            }
            Arrivals::Times(times) => {
                times.get(party as usize).or(times.last()).copied().unwrap_or(0.0)
            }
        };
    let arrives = arrives.max(0.0);
    (arrives, (scenario.lead() + scenario.lasts + swing).max(arrives + SHORTEST_STAY))
}

/// Minutes after the start at which a share `u` of those who come before `last` have come.
fn curve(u: f64, b: f64, lead: f64, last: f64) -> f64 {
    let reach = (last + lead).max(1.0) / b;
    let all = 1.0 - (-reach * reach).exp();
    b * (-(1.0 - u * all).ln()).sqrt() - lead
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evening::scenario::{Occasion, Weather};

    fn winter(guests: u32) -> Scenario {
        Scenario { weather: Weather::Cold, ..Scenario::of(Occasion::Cocktails, guests) }
    }

    #[test]
    fn the_guests_of_thirty_are_the_first_thirty_of_thirty_one() {
        for trial in 0..50 {
            let mut more = winter(31);
            more.arrivals = winter(30).arrivals;
            assert_eq!(draw(&winter(30), 7, trial)[..], draw(&more, 7, trial)[..30]);
        }
    }

    #[test]
    fn nobody_comes_too_early_or_stays_too_short() {
        for guest in (0..40).flat_map(|trial| draw(&winter(40), 3, trial)) {
            assert!(
                guest.arrives >= 0.0 && guest.arrives <= 1800.0 + 3.0 * 3600.0 - 1800.0 + 10.0,
                "{guest:?}"
            );
            assert!(guest.leaves >= guest.arrives + SHORTEST_STAY - 10.0);
        }
    }

    /// W. Hickey 2014: 9 % early, median 58 min, upper quartile 90 min for b = 104.
    #[test]
    fn arrivals_follow_the_published_curve() {
        let at = |u: f64| curve(u, 104.0, 30.0, 600.0);
        assert!((at(0.5) - 58.0).abs() < 4.0 && (at(0.75) - 90.0).abs() < 5.0 && at(0.08) < 1.0);
    }
}
