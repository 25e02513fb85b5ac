//! What pages of every question tell of an evening that was played: limits, lines, where time is
//! lost, evenings to watch.

use super::replay::Replay;
use super::{Album, Block, CHANGE, Cell, Fact, HOW_MANY, Picture, Section, Table, WHERE};
use crate::pictures::{self, Field, Panel, Undrawn, Worst};
use crate::words;
use sim::base::stats::Estimate;
use sim::crowd::measure::{BIN, PRESENCE_BIN};
use sim::evening::scenario::Serves;
use sim::floor::world::World;
use sim::house::plan::Xy;
use sim::study::capacity::Whole;
use sim::study::ensemble::Ensemble;
use sim::study::evening::jams::JamReport;
use sim::study::evening::{Evening, PlaceReport, SpotReport, Subject, Verdict};

/// An evening that was played, with its hold-ups.
pub(super) struct Played<'a> {
    world: &'a World,
    trials: &'a Ensemble,
    evening: &'a Evening,
    held: Vec<f64>,
    worst: Option<Worst>,
    highest: f64,
    new: Option<(String, Xy)>,
    /// Lines at their longest on 9 evenings in 10: a spot, and how many people.
    lines: Vec<(usize, u32)>,
    /// Limits in the order of answer.json.
    listed: Vec<Subject>,
}

/// What the house takes, what it takes with a change, and the gain, as far as they are known.
pub(super) type Taken = (Option<Whole>, Option<Whole>, Option<Estimate>);

/// A line of so many people is shown on the house.
const SHOWN_FROM: u32 = 2;
/// So many of the spots that jam are told before the table.
const SPOTS: usize = 3;
/// Heads of the columns of limits.
const MEASURED: [&str; 3] = ["what", "measured", "your limit"];

impl<'a> Played<'a> {
    /// The worst place is that of the trouble; or else where it jams most often, or where most time
    /// is lost.
    pub(super) fn new(world: &'a World, trials: &'a Ensemble, evening: &'a Evening) -> Played<'a> {
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

    /// The same with another worst place, if there is one.
    pub(super) fn with_worst(self, worst: Option<Worst>) -> Played<'a> {
        Played { worst: worst.or(self.worst), ..self }
    }

    /// The same with where something new is put.
    pub(super) fn with_new(self, new: Option<(String, Xy)>) -> Played<'a> {
        Played { new, ..self }
    }

    /// The same where answer.json lists other limits, or in another order.
    pub(super) fn listing(self, listed: Vec<Subject>) -> Played<'a> {
        Played { listed, ..self }
    }

    /// The same on a scale that reaches so high; see [`pictures::highest`].
    pub(super) fn on_scale(self, highest: f64) -> Played<'a> {
        Played { highest, ..self }
    }

    /// The house as it is, for a question that changes it.
    pub(super) fn house_as_it_is(&self, album: &mut Album) -> Result<Picture, Undrawn> {
        let mut house = self.house(album)?;
        let new = if self.new.is_some() { " Green: what is new." } else { "" };
        house.caption = format!("As it is: w{}{new}", house.caption.trim_start_matches('W'));
        Ok(house)
    }

    /// Hold-ups as they are drawn.
    pub(super) fn field(&self) -> Field<'_> {
        Field {
            cells: &self.held,
            worst: self.worst,
            highest: self.highest,
            new: self.new.as_ref(),
            lines: &self.lines,
        }
    }

    /// The house with where people are held up, the worst place marked; kept as `holdups`.
    pub(super) fn house(&self, album: &mut Album) -> Result<Picture, Undrawn> {
        Ok(self.described(
            album.draw("holdups", |mount| pictures::holdups(self.world, &self.field(), mount))?,
        ))
    }

    /// A picture of these hold-ups with what it shows.
    pub(super) fn described(&self, svg: String) -> Picture {
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

    /// How many guests: their grade, and what keeps it from a better one.
    pub(super) fn how_many(&self) -> Fact {
        Fact::new(
            HOW_MANY,
            words::graded(self.world.scenario.guests, self.evening.grade()),
            self.too_much(),
        )
    }

    /// The same for a question that changes the house: how many it takes then, if that was asked
    /// and is known, and the grade of its guests.
    pub(super) fn how_many_instead(
        &self,
        (before, then, gain): Taken,
        with: &str,
        evening: &Evening,
    ) -> Fact {
        let graded =
            words::grade_then(self.world.scenario.guests, self.evening.grade(), evening.grade());
        match words::capacity::instead(before, then, gain, self.world.scenario.limits.grade) {
            Some((says, likely)) => {
                // an evening at the edge of its grade tells less than the headcount does
                let at_the_edge =
                    [self.evening, evening].iter().any(|e| e.close_to_better().is_some());
                let likely = if likely.is_empty() { likely } else { format!("{likely}{with}") };
                let parts: Vec<String> = [likely, if at_the_edge { String::new() } else { graded }]
                    .into_iter()
                    .filter(|p| !p.is_empty())
                    .collect();
                Fact::new(HOW_MANY, says, parts.join("; "))
            }
            None => Fact::new(HOW_MANY, graded, self.too_much()),
        }
    }

    /// What keeps the evening from the next better grade.
    fn too_much(&self) -> String {
        let all: Vec<String> = self
            .evening
            .in_the_way()
            .iter()
            .map(|v| words::trouble(self.world, self.evening, v.subject))
            .collect();
        match self.evening.grade().better() {
            Some(next) if !all.is_empty() => {
                let how =
                    if self.evening.close_to_better() == Some(next) { "nearly" } else { "not" };
                let close = if how == "nearly" { " (too close to call)" } else { "" };
                format!("{how} {}{close}: {}", next.word(), words::some_of(&all))
            }
            _ => "every limit holds".into(),
        }
    }

    /// Where it jams first, how often and when.
    pub(super) fn where_it_jams(&self) -> Fact {
        if let Some(v) = self.evening.trouble()
            && let Some(at) = words::trouble_at(self.world, v.subject)
        {
            let t = words::told(self.world, self.evening, v);
            let close = if v.is_clear() { "" } else { "; too close to call" };
            return Fact::new(
                WHERE,
                at,
                format!("{}{}; your limit is {}{close}", t.measured, t.likely, t.accepted),
            );
        }
        let (says, more) = match (
            self.evening.jams_first().filter(|_| !self.evening.is_calm()),
            self.evening.most_lost,
        ) {
            (Some(j), _) => {
                let jammed = format!(
                    "jammed for less than {} on 9 evenings in 10{}",
                    words::bound(j.jammed.value),
                    words::when(self.world, j)
                );
                (words::at_spot(self.world, j.pinch), jammed)
            }
            (None, Some((_, minutes)))
                if minutes * 60.0 < f64::from(self.world.scenario.guests) =>
            {
                ("nothing jams for long".into(), "nobody loses more than a moment anywhere".into())
            }
            (None, Some((pinch, minutes))) => {
                let each = words::duration(minutes * 60.0 / f64::from(self.world.scenario.guests));
                let lost = format!(
                    "most time is lost {}: {each} per guest, all evening long",
                    words::at_spot(self.world, pinch)
                );
                ("nothing jams for long".into(), lost)
            }
            (None, None) => ("nothing jams".into(), "nobody is held up".into()),
        };
        Fact::new(WHERE, says, more)
    }

    /// What might help against the first limit that does not hold.
    pub(super) fn what_to_change(&self) -> Fact {
        self.worth_trying("Worth trying", self.evening.trouble().map(|v| v.subject))
    }

    /// What might help where something gives out.
    pub(super) fn worth_trying(&self, heading: &'static str, subject: Option<Subject>) -> Fact {
        match subject {
            None => {
                let grade = self.world.scenario.limits.grade.word();
                Fact::new(
                    CHANGE,
                    format!("nothing, for {grade}"),
                    format!("every limit for {grade} holds"),
                )
            }
            Some(s) => Fact::new(
                heading,
                words::to_try(self.world, self.evening, s),
                "(a guess, not tried yet)",
            ),
        }
    }

    /// Every limit against its measure.
    pub(super) fn limits(&self) -> Section {
        let table = |caption: String, which: &dyn Fn(&Verdict) -> bool| Table {
            caption,
            head: MEASURED
                .into_iter()
                .chain(["grade", "does it hold?"])
                .map(String::from)
                .collect(),
            rows: self
                .evening
                .limits
                .iter()
                .filter(|v| which(v))
                .map(|v| self.limit(v, true))
                .collect(),
        };
        let guests = words::guests(self.world.scenario.guests);
        let strained = table(format!("With {guests}: limits exceeded, or nearly"), &|v| {
            !v.holds || !v.is_clear()
        });
        let calm =
            table(format!("With {guests}: limits that hold well"), &|v| v.holds && v.is_clear());
        let mut blocks = vec![Block::Text(words::fits(self.world, self.evening))];
        blocks.extend(words::better(self.world, self.evening).map(Block::Text));
        blocks.extend((!strained.rows.is_empty()).then_some(Block::Table(strained)));
        blocks.extend((!calm.rows.is_empty()).then_some(Block::Fold(calm)));
        Section::new("Which limits it keeps", blocks)
    }

    /// What was measured against each limit that answer.json lists, without judging: `capacity`
    /// judges by all headcounts.
    pub(super) fn measures(&self) -> Section {
        let listed = self.evening.limits.iter().filter(|v| self.listed.contains(&v.subject));
        let table = Table {
            caption: format!(
                "What was measured with {}",
                words::guests(self.world.scenario.guests)
            ),
            head: MEASURED.map(String::from).into(),
            rows: listed.map(|v| self.limit(v, false)).collect(),
        };
        Section::new("The evening", vec![Block::Table(table)])
    }

    /// A row of a table of limits.
    fn limit(&self, v: &Verdict, judged: bool) -> Vec<Cell> {
        let t = words::told(self.world, self.evening, v);
        let figure = |says: String, of: &str, value: f64| match self
            .listed
            .iter()
            .position(|s| *s == v.subject)
        {
            Some(i) => Cell::plain(says, format!("/limits/{i}/{of}"), value),
            None => Cell::text(says),
        };
        let measured = figure(format!("{}{}", t.measured, t.likely), "value", v.value.value);
        let mut cells = vec![Cell::text(t.what), measured, figure(t.accepted, "bound", v.bound)];
        cells.extend(
            judged.then(|| [Cell::text(t.grade), Cell::text(t.state)]).into_iter().flatten(),
        );
        cells
    }

    /// Waits and lines.
    pub(super) fn lines(&self, album: &mut Album) -> Result<Section, Undrawn> {
        let svg = album
            .draw("lines", |mount| pictures::lines(self.world, self.trials, self.evening, mount))?;
        let longest = words::wait_number(self.world, self.evening);
        let picture = Picture {
            slide: None,
            svg,
            finding: format!("Waits by spot, and line lengths through the evening. {}.", longest.line()),
            caption: "Bars: 9 visits in 10 wait less; whiskers show how sure that is; the red mark is your limit. Below, people in line through \
                      the evening: the typical evening, and the range of 8 evenings in 10."
                .into(),
            numbers: self.line_lengths(),
        };
        Ok(Section::new("The lines", vec![Block::Picture(picture), Block::Fold(self.waits())])
            .folded())
    }

    fn waits(&self) -> Table {
        let row = |(i, s): (usize, &SpotReport)| {
            let key = |of: &str| format!("/spots/{i}/{of}");
            vec![
                Cell::text(words::spot(self.world, s.spot)),
                Cell::plain(format!("{:.0}", s.visits.value), key("visits"), s.visits.value),
                Cell::figure(words::bound(s.p50.value), key("wait_s/p50"), s.p50),
                Cell::figure(
                    format!(
                        "{}{}",
                        words::bound(s.p90.value),
                        words::likely(s.p90, words::duration)
                    ),
                    key("wait_s/p90"),
                    s.p90,
                ),
                Cell::plain(s.longest_line.to_string(), key("line/max"), f64::from(s.longest_line)),
                Cell::plain(
                    format!("{:.1}", s.turned_away.value),
                    key("turned_away"),
                    s.turned_away.value,
                ),
                Cell::plain(format!("{:.1}", s.unserved.value), key("unserved"), s.unserved.value),
            ]
        };
        let told = self.evening.spots.iter().enumerate().filter(|(_, s)| s.visits.value > 0.0);
        let head = [
            "spot",
            "visits per evening",
            "half wait less than",
            "9 in 10 wait less than",
            "longest line, 9 evenings in 10",
            "find it full, per evening",
            "never get it, per evening",
        ];
        Table {
            caption: "Waits by spot".into(),
            head: head.map(String::from).into(),
            rows: told.map(row).collect(),
        }
    }

    /// People in line through the evening: what the charts of lines draw.
    fn line_lengths(&self) -> Table {
        let drawn = |s: &&SpotReport| {
            s.visits.value > 0.0 && self.world.spots[s.spot].serves != Serves::Door
        };
        let spots: Vec<&SpotReport> = self.evening.spots.iter().filter(drawn).collect();
        let bins = self
            .trials
            .trials
            .iter()
            .flat_map(|t| spots.iter().map(|s| t.tally.lines[s.spot].len()))
            .max()
            .unwrap_or(0);
        let row = |bin: usize| {
            let cells = spots.iter().map(|s| {
                let [middle, low, high] = self.trials.line_band(s.spot, bin);
                Cell::text(format!("{middle:.1} ({low:.1} to {high:.1})"))
            });
            std::iter::once(Cell::text(self.clock(bin as u32 * BIN))).chain(cells).collect()
        };
        let is_idle =
            |bin: &usize| spots.iter().all(|s| self.trials.line_band(s.spot, *bin)[2] < 0.05);
        Table {
            caption: "People in line, for 5 minutes from each time on: the typical evening (and the range of 8 evenings in 10)".into(),
            head: std::iter::once("from".to_string()).chain(spots.iter().map(|s| words::spot(self.world, s.spot))).collect(),
            rows: (0..bins).filter(|bin| !is_idle(bin)).map(row).collect(),
        }
    }

    /// The time of day so many seconds into a trial.
    fn clock(&self, second: u32) -> String {
        words::clock(
            self.world.scenario.start,
            i64::from(second) - self.world.scenario.lead() as i64,
        )
    }

    /// Where people stand in the busiest half hour; kept as `crowding`.
    pub(super) fn people(&self, album: &mut Album) -> Result<Section, Undrawn> {
        let crowd = self.trials.crowding();
        let first = self.trials.busiest() as u32 * PRESENCE_BIN;
        let when = format!("{} to {}", self.clock(first), self.clock(first + 2 * PRESENCE_BIN));
        let field = Field { cells: &crowd, worst: None, highest: 0.0, new: None, lines: &[] };
        let svg =
            album.draw("crowding", |mount| pictures::crowding(self.world, &field, &when, mount))?;
        let by_place = Ensemble::by_place(self.world, &crowd);
        let mut people: Vec<(usize, f64)> =
            by_place.into_iter().enumerate().filter(|p| p.1 >= 0.05).collect();
        people.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let rows = people
            .iter()
            .map(|&(p, n)| {
                vec![Cell::text(words::place(self.world, p)), Cell::text(format!("{n:.1}"))]
            })
            .collect();
        let fullest = people.first().map_or("Nobody is there".into(), |&(p, n)| {
            format!("Most are in {}: {n:.1}", words::place(self.world, p))
        });
        let picture = Picture {
            slide: None,
            svg,
            finding: format!(
                "The house from above, colored by how many people stand where, {when}. {fullest}."
            ),
            caption: format!("People by area over the busiest half hour, {when}, hosts included."),
            numbers: Table {
                caption: format!("People by place over the busiest half hour, {when}"),
                head: ["place", "people on average"].map(String::from).into(),
                rows,
            },
        };
        Ok(Section::new(
            "Where people stand",
            vec![Block::Picture(picture), Block::Picture(self.half_hours(album)?)],
        )
        .folded())
    }

    /// The evening half an hour at a time; kept as `evening`.
    fn half_hours(&self, album: &mut Album) -> Result<Picture, Undrawn> {
        let last = (self.world.scenario.lead() + self.world.scenario.lasts) as u32 / PRESENCE_BIN;
        let halves =
            (0..last).step_by(2).map(|first| (first, self.trials.inside_from(first as usize)));
        let halves: Vec<(u32, f64)> = halves.filter(|h| h.1 >= 0.5).collect();
        let from = |first: u32| self.clock(first * PRESENCE_BIN);
        let panel = |&(first, guests): &(u32, f64)| Panel {
            world: self.world,
            title: from(first),
            figure: format!("{guests:.0}"),
            cells: self.trials.crowding_from(first as usize),
            lines: &[],
        };
        let panels: Vec<Panel> = halves.iter().map(panel).collect();
        let svg = album.draw("evening", |mount| pictures::evening(&panels, mount))?;
        let fullest = halves.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        Ok(Picture {
            slide: None,
            svg,
            finding: fullest.map_or("Nobody comes.".into(), |h| {
                format!(
                    "The house every half hour. Most guests are there from {}: {:.0}.",
                    from(h.0),
                    h.1
                )
            }),
            caption: "The same, half an hour at a time, with guests inside.".into(),
            numbers: Table {
                caption: "Guests inside, for half an hour from each time on".into(),
                head: ["from", "guests on average"].map(String::from).into(),
                rows: halves
                    .iter()
                    .map(|h| vec![Cell::text(from(h.0)), Cell::text(format!("{:.1}", h.1))])
                    .collect(),
            },
        })
    }

    /// Spots that jam, the worst first.
    fn places(&self) -> Table {
        let row = |(i, j): (usize, &JamReport)| {
            let key = |of: &str| format!("/places/{i}/{of}");
            let jammed = format!(
                "{}{}",
                words::bound(j.jammed.value),
                words::likely(j.jammed, words::duration)
            );
            vec![
                Cell::text(words::at_spot(self.world, j.pinch)),
                Cell::figure(jammed, key("jammed_s"), j.jammed),
                Cell::figure(words::evenings(j.risk.value), key("jam_risk"), j.risk),
                Cell::figure(
                    words::evenings(j.leaving_risk.value),
                    key("leaving_jam_risk"),
                    j.leaving_risk,
                ),
                Cell::text(words::why(self.world, &j.causes)),
            ]
        };
        let head = [
            "where",
            "jammed, 9 evenings in 10 less than",
            "jams on",
            "jams while leaving on",
            "mostly because",
        ];
        let rows = self.evening.jams.iter().enumerate().map(row).collect();
        Table {
            caption: "Where it jams, the worst spot first".into(),
            head: head.map(String::from).into(),
            rows,
        }
    }

    /// Rooms and openings where time is lost, the most first.
    fn rooms(&self) -> Table {
        let row = |(i, p): (usize, &PlaceReport)| {
            let lost = format!(
                "{:.1}{}",
                p.lost_minutes.value,
                words::likely(p.lost_minutes, |x| format!("{:.1}", x.max(0.0)))
            );
            vec![
                Cell::text(words::place(self.world, p.place)),
                Cell::figure(lost, format!("/rooms/{i}/lost_guest_minutes"), p.lost_minutes),
                Cell::text(words::why(self.world, &p.causes)),
            ]
        };
        let head = ["room or doorway", "guest-minutes lost per evening", "mostly because"];
        let rows = self.evening.places.iter().enumerate().map(row).collect();
        Table {
            caption: "Where guests lose time to one another".into(),
            head: head.map(String::from).into(),
            rows,
        }
    }

    /// Where it jams, and where time is lost.
    pub(super) fn jams(&self) -> Section {
        let jams = self.places();
        let worst: Vec<String> = self
            .evening
            .jams
            .iter()
            .filter(|j| words::is_long(j))
            .take(SPOTS)
            .map(|j| words::jam(self.world, j))
            .collect();
        let mut blocks: Vec<Block> = self.ringed().into_iter().map(Block::Text).collect();
        blocks.extend(match (jams.rows.is_empty(), worst.is_empty()) {
            (true, _) => vec![Block::Text("Nothing jams.".into())],
            (_, true) => {
                vec![Block::Text(format!("Nothing jams for {}.", words::LONG)), Block::Fold(jams)]
            }
            _ => vec![Block::List(worst), Block::Fold(jams)],
        });
        blocks.push(Block::Fold(self.rooms()));
        Section::new("Where it jams", blocks)
    }

    /// Why the ring is not where it jams first, if it is not.
    fn ringed(&self) -> Option<String> {
        let first = self.evening.jams.first()?.pinch;
        let Some(Worst::Lost(pinch)) =
            self.worst.filter(|_| self.evening.most_lost.is_some_and(|m| m.0 != first))
        else {
            return None;
        };
        let lost = self.evening.most_lost.map_or(0.0, |m| m.1);
        Some(format!(
            "Jams here are short. Most time is lost {}, a little at a time: {lost:.1} guest-minutes per evening (the ring on the drawing).",
            words::at_spot(self.world, pinch)
        ))
    }

    /// A typical and a bad evening to watch.
    pub(super) fn replay(&self) -> Section {
        let heading = "Watch an evening";
        match Replay::new(self.world, self.trials) {
            Ok(replay) => Section::new(heading, vec![Block::Replay(Box::new(replay))]),
            Err(why) => Section::new(heading, vec![Block::Text(why)]),
        }
    }
}

/// Lines worth a picture: a spot, and how many people stand there when the line is long.
pub(super) fn lines_shown(world: &World, evening: &Evening) -> Vec<(usize, u32)> {
    let lines = evening
        .spots
        .iter()
        .filter(|s| s.longest_line >= SHOWN_FROM && world.spots[s.spot].serves != Serves::Door);
    lines.map(|s| (s.spot, s.longest_line)).collect()
}

/// What is marked as the worst of an evening: the spot or the line of its trouble, or else where it
/// jams most.
pub(super) fn worst(world: &World, evening: &Evening) -> Option<Worst> {
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
pub(super) fn mark(world: &World, evening: &Evening, subject: Subject) -> Option<Worst> {
    match subject {
        Subject::CoatsOver => world.spots_for(Serves::Coats).first().map(|&s| Worst::Full(s)),
        Subject::Jammed(_) => evening.jams_first().map(|j| Worst::Pinch(j.pinch)),
        Subject::Wait(spot) => Some(Worst::Spot(spot)),
        Subject::SeatsShort | Subject::ClearFloor => None,
    }
}
