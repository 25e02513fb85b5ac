//! What pages of every question tell of an evening that was played: limits, lines, where time is
//! lost, evenings to watch.

mod facts;
mod measures;
mod people;

use crate::page::replay::Replay;
use crate::page::{Album, Block, Picture, Section};
use crate::pictures::{self, Field, Undrawn, Worst};
use crate::words;
use sim::base::stats::Estimate;
use sim::evening::scenario::Serves;
use sim::floor::world::{SpotId, World};
use sim::house::plan::Xy;
use sim::study::capacity::Whole;
use sim::study::ensemble::Ensemble;
use sim::study::evening::{Evening, Subject};

/// An evening that was played, with its hold-ups.
pub(in crate::page) struct Played<'a> {
    world: &'a World,
    trials: &'a Ensemble,
    evening: &'a Evening,
    held: Vec<f64>,
    worst: Option<Worst>,
    highest: f64,
    new: Option<(String, Xy)>,
    /// Lines at their longest on 9 evenings in 10: a spot, and how many people.
    lines: Vec<(SpotId, u32)>,
    /// Limits in the order of answer.json.
    listed: Vec<Subject>,
}

/// What the house takes, what it takes with a change, and the gain, as far as they are known.
pub(in crate::page) type Taken = (Option<Whole>, Option<Whole>, Option<Estimate>);

/// A line of so many people is shown on the house.
const SHOWN_FROM: u32 = 2;
impl<'a> Played<'a> {
    /// The worst place is that of the trouble; or else where it jams most often, or where most time
    /// is lost.
    pub(in crate::page) fn new(
        world: &'a World,
        trials: &'a Ensemble,
        evening: &'a Evening,
    ) -> Played<'a> {
        let listed = evening.limits.iter().map(|v| v.subject).collect();
        let lines = lines_shown(world, evening);
        Played {
            world,
            trials,
            evening,
            held: trials.holdups(),
            worst: worst(world, evening),
            highest: 0.0,
            new: None,
            lines,
            listed,
        }
    }

    /// The time of day so many seconds into a trial.
    fn clock(&self, second: u32) -> String {
        words::clock(
            self.world.scenario.start,
            i64::from(second) - self.world.scenario.lead() as i64,
        )
    }

    /// The same with another worst place, if there is one.
    pub(in crate::page) fn with_worst(self, worst: Option<Worst>) -> Played<'a> {
        Played { worst: worst.or(self.worst), ..self }
    }

    /// The same with where something new is put.
    pub(in crate::page) fn with_new(self, new: Option<(String, Xy)>) -> Played<'a> {
        Played { new, ..self }
    }

    /// The same where answer.json lists other limits, or in another order.
    pub(in crate::page) fn listing(self, listed: Vec<Subject>) -> Played<'a> {
        Played { listed, ..self }
    }

    /// The same on a scale that reaches so high; see [`pictures::highest`].
    pub(in crate::page) fn on_scale(self, highest: f64) -> Played<'a> {
        Played { highest, ..self }
    }

    /// The house as it is, for a question that changes it.
    pub(in crate::page) fn house_as_it_is(&self, album: &mut Album) -> Result<Picture, Undrawn> {
        let mut house = self.house(album)?;
        let new = if self.new.is_some() { " Green: what is new." } else { "" };
        house.caption = format!("As it is: w{}{new}", house.caption.trim_start_matches('W'));
        Ok(house)
    }

    /// Hold-ups as they are drawn.
    pub(in crate::page) fn field(&self) -> Field<'_> {
        Field {
            cells: &self.held,
            worst: self.worst,
            highest: self.highest,
            new: self.new.as_ref(),
            lines: &self.lines,
        }
    }

    /// The house with where people are held up, the worst place marked; kept as `holdups`.
    pub(in crate::page) fn house(&self, album: &mut Album) -> Result<Picture, Undrawn> {
        Ok(self.described(
            album.draw("holdups", |mount| pictures::holdups(self.world, &self.field(), mount))?,
        ))
    }

    /// A picture of these hold-ups with what it shows.
    pub(in crate::page) fn described(&self, svg: String) -> Picture {
        let (worst, ring) = match self.worst {
            None => ("Nobody is held up for long anywhere".to_string(), ""),
            Some(Worst::Spot(s)) => (
                format!("The ring marks where {} begins", words::line_for(self.world, s)),
                ". The ring marks where guests wait too long",
            ),
            Some(Worst::Full(s)) => (
                format!(
                    "The ring marks {}, where there is no more room",
                    words::spot(self.world, s)
                ),
                ". The ring marks where coats have no more room",
            ),
            Some(Worst::Pinch(pinch)) => {
                let j = self.evening.jams.iter().find(|j| j.pinch == pinch);
                let jammed = j.map_or(String::new(), |j| {
                    format!(
                        ": jammed for less than {} on 9 evenings in 10",
                        words::bound(j.jammed.value)
                    )
                });
                (
                    format!("The ring marks {}{jammed}", words::spot_as_place(self.world, pinch)),
                    ". The ring marks the worst spot",
                )
            }
            Some(Worst::Lost(pinch)) => {
                let lost = self.evening.most_lost.map_or(0.0, |m| m.1);
                let place = words::spot_as_place(self.world, pinch);
                (
                    format!(
                        "The ring marks {place}: {lost:.1} guest-minutes lost there per evening"
                    ),
                    ". The ring marks where most time is lost",
                )
            }
        };
        Picture {
            slide: None,
            svg,
            finding: format!("The house from above, colored by where guests are held up. {worst}."),
            caption: format!(
                "Where guests get in each other's way{ring}.{}",
                if self.lines.is_empty() {
                    String::new()
                } else {
                    format!(" {}", pictures::LINES_SAY)
                }
            ),
            numbers: self.rooms(),
        }
    }

    /// A typical and a bad evening to watch.
    pub(in crate::page) fn replay(&self) -> Section {
        let heading = "Watch an evening";
        match Replay::new(self.world, self.trials) {
            Ok(replay) => Section::new(heading, vec![Block::Replay(Box::new(replay))]),
            Err(why) => Section::new(heading, vec![Block::Text(why)]),
        }
    }
}

/// Lines worth a picture: a spot, and how many people stand there when the line is long.
pub(in crate::page) fn lines_shown(world: &World, evening: &Evening) -> Vec<(SpotId, u32)> {
    let lines = evening
        .spots
        .iter()
        .filter(|s| s.longest_line >= SHOWN_FROM && world.spots[s.spot].serves != Serves::Door);
    lines.map(|s| (s.spot, s.longest_line)).collect()
}

/// What is marked as the worst of an evening: the spot or the line of its trouble, or else where it
/// jams most.
pub(in crate::page) fn worst(world: &World, evening: &Evening) -> Option<Worst> {
    let trouble = evening.trouble().and_then(|v| mark(world, evening, v.subject));
    let jam = || evening.jams_first().filter(|_| !evening.is_calm()).map(|j| Worst::Pinch(j.pinch));
    let lost = || {
        evening
            .most_lost
            .filter(|m| m.1 >= words::compare::LITTLE * f64::from(world.scenario.guests))
    };
    trouble.or_else(jam).or_else(|| lost().map(|(pinch, _)| Worst::Lost(pinch)))
}

/// What is marked where a limit gives out; seats and floor have no place.
pub(in crate::page) fn mark(world: &World, evening: &Evening, subject: Subject) -> Option<Worst> {
    match subject {
        Subject::CoatsOver => world.spots_for(Serves::Coats).first().map(|&s| Worst::Full(s)),
        Subject::Jammed(_) => evening.jams_first().map(|j| Worst::Pinch(j.pinch)),
        Subject::Wait(spot) => Some(Worst::Spot(spot)),
        Subject::SeatsShort | Subject::ClearFloor => None,
    }
}
