//! Changes to an evening as data, and changes to a house and an evening in one: what a question
//! tries, and prints as the lines of an option.

use crate::base::units::clock;
use crate::evening::scenario::{Arrivals, DoorState, MOST_AT_ONCE, Scenario, Serves, after_start};
use crate::house::edit::HouseEdit;
use crate::house::problem::{BadEvening, Problem};

/// A change to an evening. Places and pieces have the names they have in the plan.
#[derive(Clone, Debug, PartialEq)]
pub enum EveningEdit {
    /// What is served where, the likeliest first.
    Place(Serves, Vec<String>),
    /// The line of a spot runs toward an opening.
    LineToward {
        /// The spot.
        spot: String,
        /// The opening.
        opening: String,
    },
    /// When it is served, in minutes after midnight.
    ServedAt(Serves, u32),
    /// How many are served at once at a spot.
    AtOnce(String, u32),
    /// Four in five guests come within so many minutes.
    MostWithin(u32),
    /// A door is open.
    Open(String),
}

impl EveningEdit {
    /// Whether two changes are of the same thing, so that only one of them can be made.
    fn is_about_the_same(&self, other: &EveningEdit) -> bool {
        use EveningEdit::*;
        match (self, other) {
            (Place(a, _), Place(b, _)) | (ServedAt(a, _), ServedAt(b, _)) => a == b,
            (LineToward { spot: a, .. }, LineToward { spot: b, .. })
            | (AtOnce(a, _), AtOnce(b, _))
            | (Open(a), Open(b)) => a == b,
            (MostWithin(_), MostWithin(_)) => true,
            _ => false,
        }
    }

    fn lay(&self, s: &mut Scenario) -> Result<(), Problem> {
        match self {
            EveningEdit::Place(serves, names) => {
                if *serves == Serves::Door {
                    return Err(Problem::of_scenario("place", BadEvening::GreetedAtDoor));
                }
                s.place.insert(*serves, names.clone());
            }
            EveningEdit::LineToward { spot, opening } => {
                s.lines.insert(spot.clone(), opening.clone());
            }
            EveningEdit::ServedAt(serves, minutes) => {
                let at = after_start(*minutes, s.start);
                if !s.is_during(at) {
                    return Err(not_during(s, format!("serving/{}/at", serves.word())));
                }
                s.serving.entry(serves.word().into()).or_default().at = Some(at);
            }
            EveningEdit::AtOnce(spot, guests) => {
                if !(1..=MOST_AT_ONCE).contains(guests) {
                    let at = format!("serving/{spot}/at_once");
                    let many = BadEvening::TooManyAtOnce { guests: *guests };
                    return Err(Problem::of_scenario(at, many));
                }
                s.serving.entry(spot.clone()).or_default().at_once = Some(*guests);
            }
            EveningEdit::MostWithin(minutes) => {
                let Arrivals::Curve { early, .. } = s.arrivals else {
                    let at = "arrivals/most_within";
                    return Err(Problem::of_scenario(at, BadEvening::OwnTimes));
                };
                s.arrivals = Arrivals::most_within(f64::from(*minutes) * 60.0, early);
                s.unsaid.retain(|key| *key != "arrivals");
            }
            EveningEdit::Open(door) => {
                s.doors.insert(door.clone(), DoorState::Open);
            }
        }
        Ok(())
    }
}

/// A time that is not during the evening, nor in the half hour before it.
pub fn not_during(s: &Scenario, at: String) -> Problem {
    let clock = |seconds: f64| clock(s.start, seconds as i64);
    Problem::of_scenario(at, BadEvening::NotDuring { from: clock(0.0), to: clock(s.lasts) })
}

/// Changes to a house and an evening in one; none leaves both as they are.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Edits {
    /// Of the house.
    pub house: Vec<HouseEdit>,
    /// Of the evening.
    pub evening: Vec<EveningEdit>,
}

impl Edits {
    /// Of the house alone.
    pub fn of_house(edits: impl IntoIterator<Item = HouseEdit>) -> Edits {
        Edits { house: edits.into_iter().collect(), evening: vec![] }
    }

    /// Of the evening alone.
    pub fn of_evening(edits: impl IntoIterator<Item = EveningEdit>) -> Edits {
        Edits { house: vec![], evening: edits.into_iter().collect() }
    }

    /// Whether nothing is changed.
    pub fn is_empty(&self) -> bool {
        self.house.is_empty() && self.evening.is_empty()
    }

    /// These and others in one, or `None` if they want different things of the same.
    pub fn and(&self, others: &Edits) -> Option<Edits> {
        let house = joined(&self.house, &others.house, HouseEdit::is_about_the_same)?;
        let evening = joined(&self.evening, &others.evening, EveningEdit::is_about_the_same)?;
        Some(Edits { house, evening })
    }

    /// The evening with its changes.
    pub fn evening(&self, s: &Scenario) -> Result<Scenario, Problem> {
        let mut changed = s.clone();
        self.evening.iter().try_for_each(|edit| edit.lay(&mut changed))?;
        Ok(changed)
    }
}

/// What both want, each once.
fn joined<T: Clone + PartialEq>(a: &[T], b: &[T], same: fn(&T, &T) -> bool) -> Option<Vec<T>> {
    let new: Vec<T> = b.iter().filter(|edit| !a.contains(edit)).cloned().collect();
    let clash = new.iter().any(|edit| a.iter().any(|ours| same(ours, edit)));
    (!clash).then(|| [a, &new].concat())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::{INCH, System, Written};
    use crate::evening::scenario::Occasion;
    use crate::house::edit::PieceEdit;

    fn moved(inches: f64) -> Edits {
        let corner = [inches, 2.0].map(|x| Written::new(x * INCH, System::Feet));
        let edit = PieceEdit::At { room: None, corner };
        Edits::of_house([HouseEdit::Piece("table".into(), edit)])
    }

    fn drinks(names: &[&str]) -> Edits {
        let names = names.iter().map(|n| n.to_string()).collect();
        Edits::of_evening([EveningEdit::Place(Serves::Drinks, names)])
    }

    #[test]
    fn two_changes_are_one_option() {
        let both = moved(1.0).and(&drinks(&["bar", "second bar"]));
        assert!(both.is_some_and(|b| b.house.len() == 1 && b.evening.len() == 1));
        assert_eq!(moved(1.0).and(&moved(1.0)), Some(moved(1.0)));
    }

    #[test]
    fn what_two_changes_want_otherwise_is_no_option() {
        assert_eq!(moved(1.0).and(&moved(3.0)), None);
        assert_eq!(drinks(&["bar"]).and(&drinks(&["cart"])), None);
        let gone = Edits::of_house([HouseEdit::Remove("table".into())]);
        assert_eq!(moved(1.0).and(&gone), None);
    }

    #[test]
    fn nothing_is_served_after_the_evening() {
        let s = Scenario::of(Occasion::Buffet, 20);
        let at = |hour: u32| Edits::of_evening([EveningEdit::ServedAt(Serves::Food, hour * 60)]);
        assert!(at(20).evening(&s).is_ok_and(|s| s.serving["food"].at == Some(3600.0)));
        assert!(at(5).evening(&s).is_err());
    }
}
