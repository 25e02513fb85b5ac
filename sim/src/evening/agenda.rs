//! What a guest wants next: fixed stops of a script, or needs drawn for an evening. Knows nothing
//! of the house.

use crate::base::chance::Purpose;
use crate::base::units::{Tick, ticks};
use crate::evening::guests::Guest;
use crate::evening::scenario::{Scenario, Serves};

/// What a guest sets out for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Want {
    /// Something a spot serves.
    Serve(Serves),
    /// To sit for so many ticks, with a plate or without.
    Sit(Tick),
    /// The next stop of a script.
    NextStop,
    /// People to talk to.
    Company,
    /// Home.
    Leave,
}

#[derive(Clone, Copy, Debug)]
struct Need {
    due: Tick,
    want: Want,
}

/// A guest's needs in the order they come up.
#[derive(Clone, Debug, Default)]
pub struct Agenda {
    needs: Vec<Need>,
    leaves: Option<Tick>,
    eating: Tick,
    stops_left: u64,
}

/// Bites are wanted from this many seconds after arriving, and for two hours: most are eaten in the
/// first 90 minutes (caterers).
const FIRST_BITE: f64 = 600.0;
const BITES_FOR: f64 = 7200.0;
/// Guests answer a call to the table within this many seconds: common practice.
const CALLED: f64 = 300.0;
/// Who comes after the call eats this many seconds after arriving: common practice.
const LATE_MEAL: f64 = 600.0;
/// A second helping is fetched this many seconds after the first: common practice.
const SECOND_HELPING: f64 = 1200.0;
/// Spread of the time between drinks as a share of its mean: a glass lasts 30 to 45 min (common
/// practice).
const GLASS_SPREAD: f64 = 0.3;

impl Agenda {
    /// The needs of a guest over an evening.
    pub fn draw(guest: &Guest, scenario: &Scenario) -> Agenda {
        let mut agenda = Agenda {
            leaves: Some(ticks(guest.leaves)),
            eating: ticks(scenario.needs.eating),
            ..Agenda::default()
        };
        if guest.coat {
            agenda.add(guest.arrives, Want::Serve(Serves::Coats));
        }
        agenda.add_drinks(guest, scenario);
        agenda.add_food(guest, scenario);
        agenda.add_rest(guest, scenario);
        agenda.needs.sort_by_key(|n| n.due);
        agenda
    }

    /// A script of so many stops.
    pub fn scripted(stops: u64) -> Agenda {
        Agenda { stops_left: stops, ..Agenda::default() }
    }

    fn add(&mut self, at: f64, want: Want) {
        self.needs.push(Need { due: ticks(at), want });
    }

    fn add_drinks(&mut self, guest: &Guest, scenario: &Scenario) {
        let needs = scenario.needs;
        let mut stream = guest.key.stream(Purpose::Thirst, 0);
        let mut at = guest.arrives;
        while at < guest.leaves - 600.0 {
            self.add(at, Want::Serve(Serves::Drinks));
            let rate =
                if at - guest.arrives < 3600.0 { needs.drinks_first } else { needs.drinks_later };
            let mean = 3600.0 / rate.max(0.05);
            at += stream.duration(mean, mean * GLASS_SPREAD).max(300.0);
        }
    }

    fn add_food(&mut self, guest: &Guest, scenario: &Scenario) {
        let needs = scenario.needs;
        let mut stream = guest.key.stream(Purpose::Appetite, 0);
        if needs.meal {
            let serving = scenario.serving_of("", Serves::Food);
            let wave = guest.party % serving.waves.max(1);
            let per_wave =
                serving.headway * f64::from(scenario.guests) / f64::from(serving.waves.max(1));
            let called = scenario.lead()
                + serving.at
                + f64::from(wave) * per_wave
                + CALLED * stream.uniform();
            let first = called.max(guest.arrives + LATE_MEAL);
            self.add(first, Want::Serve(Serves::Food));
            if stream.happens(needs.seconds) {
                self.add(first + SECOND_HELPING, Want::Serve(Serves::Food));
            }
        } else if needs.bites > 0.0 {
            let mut at = guest.arrives + FIRST_BITE;
            while at < guest.leaves.min(guest.arrives + BITES_FOR) {
                self.add(at, Want::Serve(Serves::Food));
                at += stream.exponential(3600.0 / needs.bites).max(300.0);
            }
        }
    }

    fn add_rest(&mut self, guest: &Guest, scenario: &Scenario) {
        let needs = scenario.needs;
        let mut bladder = guest.key.stream(Purpose::Bladder, 0);
        let mut at = guest.arrives + bladder.exponential(3600.0 / needs.powder);
        while at < guest.leaves {
            self.add(at, Want::Serve(Serves::Powder));
            at += bladder.exponential(3600.0 / needs.powder).max(1200.0);
        }
        let mut seat = guest.key.stream(Purpose::Seat, 0);
        if !needs.meal && seat.happens(needs.sitters) {
            let from =
                guest.arrives + (guest.leaves - guest.arrives) * (0.15 + 0.7 * seat.uniform());
            self.add(from, Want::Sit(ticks(seat.duration(needs.sitting, needs.sitting * 0.4))));
        }
    }

    /// What the guest wants now: the first need that has come up, home when it is time, company
    /// otherwise.
    pub fn next(&mut self, now: Tick) -> Want {
        if self.leaves.is_none() {
            let more = self.stops_left > 0;
            self.stops_left = self.stops_left.saturating_sub(1);
            return if more { Want::NextStop } else { Want::Company };
        }
        if self.leaves.is_some_and(|l| l <= now) {
            self.needs.clear();
            return Want::Leave;
        }
        match self.needs.iter().position(|n| n.due <= now) {
            Some(i) => self.needs.remove(i).want,
            None => Want::Company,
        }
    }

    /// When the next need comes up.
    pub fn next_due(&self) -> Tick {
        let need = self.needs.iter().map(|n| n.due).min().unwrap_or(Tick::MAX);
        need.min(self.leaves.unwrap_or(Tick::MAX))
    }

    /// Puts a need off, because a line was full or nothing serves it now.
    pub fn put_off(&mut self, want: Want, until: Tick) {
        self.needs.push(Need { due: until, want });
        self.needs.sort_by_key(|n| n.due);
    }

    /// Puts off what is wanted already, if it is.
    pub fn postpone(&mut self, want: Want, until: Tick) {
        if let Some(need) = self.needs.iter_mut().find(|n| n.want == want) {
            need.due = need.due.max(until);
        }
        self.needs.sort_by_key(|n| n.due);
    }

    /// What follows being served: a plate is eaten sitting, if there is a seat.
    pub fn served(&mut self, serves: Serves, now: Tick) {
        if serves == Serves::Food && self.eating > 0 {
            let eating = self.eating;
            self.needs.insert(0, Need { due: now, want: Want::Sit(eating) });
        }
    }

    /// The last stop of a script has to be tried again.
    pub fn again(&mut self) {
        self.stops_left += 1;
    }

    /// Whether a script has stops left.
    pub fn has_more_stops(&self) -> bool {
        self.stops_left > 0
    }

    /// Whether this is a script.
    pub fn is_scripted(&self) -> bool {
        self.leaves.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evening::guests;
    use crate::evening::scenario::{Occasion, Weather};

    const MIN: Tick = crate::base::units::TICKS * 60;

    fn winter(occasion: Occasion) -> Scenario {
        Scenario { weather: Weather::Cold, ..Scenario::of(occasion, 40) }
    }

    /// Everything guests want, each as soon as it comes up, with the minute.
    fn wants(scenario: &Scenario) -> Vec<Vec<(Tick, Want)>> {
        let of = |guest: &Guest| {
            let mut agenda = Agenda::draw(guest, scenario);
            let mut all = vec![];
            loop {
                let now = agenda.next_due();
                match agenda.next(now) {
                    Want::Leave => return all,
                    want => all.push((now / MIN, want)),
                }
            }
        };
        guests::draw(scenario, 3, 0).iter().map(of).collect()
    }

    fn times(wants: &[(Tick, Want)], serves: Serves) -> usize {
        wants.iter().filter(|(_, want)| *want == Want::Serve(serves)).count()
    }

    #[test]
    fn a_coat_comes_off_before_anything_else_is_wanted() {
        let all = wants(&winter(Occasion::Cocktails));
        let with_coats = all.iter().filter(|w| times(w, Serves::Coats) > 0);
        assert!(with_coats.clone().count() > 30);
        for wants in with_coats {
            assert_eq!(wants[0].1, Want::Serve(Serves::Coats));
            assert_eq!(times(wants, Serves::Coats), 1);
        }
    }

    #[test]
    fn drinks_come_one_after_another_and_everybody_has_one() {
        for wants in wants(&winter(Occasion::Cocktails)) {
            let at: Vec<Tick> =
                wants.iter().filter(|w| w.1 == Want::Serve(Serves::Drinks)).map(|w| w.0).collect();
            assert!(!at.is_empty());
            assert!(at.windows(2).all(|two| two[1] >= two[0] + 5), "{at:?}");
        }
    }

    #[test]
    fn at_a_buffet_everybody_eats_once_or_twice_and_never_before_the_food_is_out() {
        let scenario = winter(Occasion::Buffet);
        let out = scenario.lead() + scenario.serving_of("", Serves::Food).at;
        for wants in wants(&scenario) {
            assert!((1..=2).contains(&times(&wants, Serves::Food)), "{wants:?}");
            let first = wants.iter().find(|w| w.1 == Want::Serve(Serves::Food));
            assert!(first.is_some_and(|w| w.0 >= ticks(out) / MIN));
        }
    }

    #[test]
    fn a_plate_is_eaten_sitting_at_once() {
        let scenario = winter(Occasion::Buffet);
        let guest = &guests::draw(&scenario, 3, 0)[0];
        let mut agenda = Agenda::draw(guest, &scenario);
        let now = ticks(guest.arrives + 60.0);
        agenda.served(Serves::Food, now);
        assert_eq!(agenda.next(now), Want::Sit(ticks(scenario.needs.eating)));
    }

    #[test]
    fn who_goes_home_wants_nothing_more() {
        let scenario = winter(Occasion::Cocktails);
        let guest = &guests::draw(&scenario, 3, 0)[0];
        let mut agenda = Agenda::draw(guest, &scenario);
        let end = ticks(guest.leaves);
        assert_eq!(agenda.next(end), Want::Leave);
        assert_eq!(agenda.next(end), Want::Leave);
    }

    #[test]
    fn what_is_put_off_is_wanted_later() {
        let scenario = winter(Occasion::Cocktails);
        let guest = &guests::draw(&scenario, 3, 0)[0];
        let mut agenda = Agenda::draw(guest, &scenario);
        let (now, want) = (ticks(guest.arrives), Want::Serve(Serves::Powder));
        agenda.put_off(want, now + 7 * MIN);
        let mut due = vec![];
        while agenda.next_due() <= now + 7 * MIN {
            let at = agenda.next_due();
            due.push((at, agenda.next(at)));
        }
        assert!(due.contains(&(now + 7 * MIN, want)), "{due:?}");
    }

    #[test]
    fn a_script_has_its_stops_and_then_stands() {
        let mut agenda = Agenda::scripted(2);
        let wants: Vec<Want> = (0..3).map(|_| agenda.next(0)).collect();
        assert_eq!(wants, [Want::NextStop, Want::NextStop, Want::Company]);
    }
}
