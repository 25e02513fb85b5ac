//! Where people are through the evening, where they lose time, and where it jams.

use super::Played;
use crate::page::{Album, Block, Cell, Picture, Section, Table};
use crate::pictures::{self, Field, Panel, Undrawn, Worst};
use crate::words;
use sim::crowd::measure::PRESENCE_BIN;
use sim::floor::world::PlaceId;
use sim::study::ensemble::Ensemble;
use sim::study::evening::PlaceReport;
use sim::study::evening::jams::JamReport;

/// So many of the spots that jam are told before the table.
const SPOTS: usize = 3;

impl Played<'_> {
    /// Where people stand in the busiest half hour; kept as `crowding`.
    pub(in crate::page) fn people(&self, album: &mut Album) -> Result<Section, Undrawn> {
        let crowd = self.trials.crowding();
        let first = self.trials.busiest() as u32 * PRESENCE_BIN;
        let when = format!("{} to {}", self.clock(first), self.clock(first + 2 * PRESENCE_BIN));
        let field = Field { cells: &crowd, worst: None, highest: 0.0, new: None, lines: &[] };
        let svg =
            album.draw("crowding", |mount| pictures::crowding(self.world, &field, &when, mount))?;
        let by_place = Ensemble::by_place(self.world, &crowd);
        let mut people: Vec<(PlaceId, f64)> =
            by_place.into_iter_enumerated().filter(|p| p.1 >= 0.05).collect();
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
    pub(super) fn rooms(&self) -> Table {
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
    pub(in crate::page) fn jams(&self) -> Section {
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
}
