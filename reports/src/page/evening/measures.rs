//! Limits with what was measured, and every line.

use super::Played;
use crate::page::{Album, Block, Cell, Picture, Section, Table};
use crate::pictures::{self, Undrawn};
use crate::words;
use sim::crowd::measure::BIN;
use sim::evening::scenario::Serves;
use sim::study::evening::{SpotReport, Verdict};

/// Heads of the columns of limits.
const MEASURED: [&str; 3] = ["what", "measured", "your limit"];

impl Played<'_> {
    /// Every limit against its measure.
    pub(in crate::page) fn limits(&self) -> Section {
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
    pub(in crate::page) fn measures(&self) -> Section {
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
    pub(in crate::page) fn lines(&self, album: &mut Album) -> Result<Section, Undrawn> {
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
}
