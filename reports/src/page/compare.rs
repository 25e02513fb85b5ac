//! The page of `compare`: the arrangements against one another, and the evening as it is.

use super::evening::{Played, lines_shown, worst};
use super::{
    Album, Block, CHANGE, Cell, Fact, Figure, Picture, Section, Shown, Slide, Table, Told, about,
    three,
};
use crate::pictures::{self, Field, Foot, Undrawn};
use crate::{answer, words};
use sim::base::stats::Estimate;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::capacity::Whole;
use sim::study::compare::Comparison;
use sim::study::ensemble::Ensemble;
use sim::study::evening::Evening;
use sim::study::race::contest::{is_better, takes_fewer};
use sim::study::race::{Paired, Race};
use std::collections::BTreeSet;

/// Puts it together.
pub fn compare(loaded: &Loaded, c: &Comparison) -> Result<Shown, Undrawn> {
    let (world, trials) = (&c.race.worlds[0], &c.race.trials[0]);
    let foot = foot(loaded, c, 0);
    let mut album = Album::new(&foot);
    let evening = &c.evenings[0];
    let highest = highest(c);
    let played = Played::new(world, trials, evening).on_scale(highest);
    let house = played.house_as_it_is(&mut album)?;
    let mut blocks = vec![Block::Table(arrangements(c))];
    blocks.extend(costs(c).map(Block::Table));
    let over = over_limits(c);
    blocks.extend((!over.is_empty()).then_some(Block::List(over)));
    let ranked = c.ranked();
    if let Some(&best) = ranked.first() {
        let seen = |case: usize| Seen::of(&c.race, case, &c.evenings[case]);
        let names = (&*words::shown(&c.cases[best].name), &*words::shown(&c.cases[0].name));
        blocks.push(Block::Picture(changes(
            &mut album,
            (seen(best), seen(0)),
            names,
            &self::foot(loaded, c, best),
        )?));
    }
    blocks.extend(others(&mut album, loaded, c, highest)?);
    let mut sections = vec![
        Section::new("The arrangements", blocks),
        played.limits().headed(format!("The evening {}", in_quotes(&c.cases[0].name))),
    ];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: about(loaded, world.scenario.guests),
        answer: words::compare::sentence(c),
        facts: [how_many(c, &played), played.where_it_jams(), what_to_change(c)],
        numbers: three(numbers(c, words::lost_number(evening).into()), world, evening),
        house,
        sections,
        run: format!(
            "{} simulated evenings in each arrangement, seed {}, {}",
            trials.len(),
            trials.seed,
            answer::program()
        ),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(told, world, &played.field())
}

fn in_quotes(name: &str) -> String {
    format!("“{}”", words::shown(name))
}

fn foot(loaded: &Loaded, c: &Comparison, case: usize) -> Foot {
    let trials = &c.race.trials[case];
    Foot {
        title: format!(
            "{}, {}",
            about(loaded, c.race.worlds[case].scenario.guests),
            words::shown(&c.cases[case].name)
        ),
        run: answer::evenings(trials),
    }
}

fn highest(c: &Comparison) -> f64 {
    c.race
        .trials
        .iter()
        .zip(&c.race.worlds)
        .map(|(t, w)| pictures::highest(w, &t.holdups()))
        .fold(0.0, f64::max)
}

/// Every arrangement, the best first.
fn arrangements(c: &Comparison) -> Table {
    let row = |i: usize| {
        let (s, key) = (c.standings[i], format!("/arrangements/{i}"));
        let against =
            if i == 0 { Cell::default() } else { against(s.against, &(key.clone() + "/against")) };
        vec![
            Cell::text(words::shown(&c.cases[i].name)),
            gain_cell(s.gain, &key),
            takes_cell(s.guests, &key),
            against,
        ]
    };
    Table {
        caption: format!(
            "Arrangements, the best first, each compared with {}",
            in_quotes(&c.cases[0].name)
        ),
        head: ["arrangement", "guests gained", "takes up to", AGAINST].map(String::from).into(),
        rows: c.in_order().into_iter().map(row).collect(),
    }
}

/// The first limit each arrangement does not keep, the best first.
fn over_limits(c: &Comparison) -> Vec<String> {
    c.in_order()
        .into_iter()
        .filter_map(|case| {
            Some(format!(
                "{}: {}",
                in_quotes(&c.cases[case].name),
                words::compare::over_limit(c, case)?
            ))
        })
        .collect()
}

/// What arrangements cost, the best first, if any says so.
fn costs(c: &Comparison) -> Option<Table> {
    let row = |i: usize| {
        let (case, key) = (&c.cases[i], format!("/arrangements/{i}"));
        let cost = case.cost?;
        let gained = words::compare::gained_per_1000(&c.standings[i])
            .map_or(Cell::default(), |e| {
                Cell::figure(words::compare::per_1000(e), key.clone() + "/gain_per_1000", e)
            });
        Some(vec![
            Cell::text(words::shown(&case.name)),
            Cell::plain(format!("{cost:.0}"), key + "/cost", cost),
            gained,
        ])
    };
    let rows: Vec<Vec<Cell>> = c.in_order().into_iter().filter_map(row).collect();
    let head = ["arrangement", "cost", "gained per 1,000 of cost"].map(String::from).into();
    (!rows.is_empty()).then(|| Table {
        caption: "What they cost, the best first".into(),
        head,
        rows,
    })
}

/// Heads of the columns of [`against`].
pub(super) const AGAINST: &str = "each guest loses";

/// A paired difference as a cell: minutes a guest.
pub(super) fn against(p: Paired, key: &str) -> Cell {
    let d = p.difference;
    let minutes = format!("{} ({})", words::compare::little(d), words::compare::likely_little(d));
    let minutes = if p.is_same() { "the same".to_string() } else { minutes };
    Cell::figure(minutes, format!("{key}/minutes"), d)
}

/// A house as it was seen on its evenings.
#[derive(Clone, Copy)]
pub(super) struct Seen<'a> {
    pub world: &'a World,
    pub trials: &'a Ensemble,
    pub evening: &'a Evening,
}

impl<'a> Seen<'a> {
    /// One of the houses of a race.
    pub(super) fn of(race: &'a Race, house: usize, evening: &'a Evening) -> Seen<'a> {
        Seen { world: &race.worlds[house], trials: &race.trials[house], evening }
    }

    /// Minutes lost at a place, if it has one of that name.
    fn lost(&self, place: &str) -> Option<Estimate> {
        let index = self.world.places.position(|p| p.name == place);
        index.map(|p| self.trials.lost_minutes(p))
    }
}

/// The picture of what changes, kept as `difference`, with minutes lost by place before and after.
pub(super) fn changes(
    album: &mut Album,
    (after, before): (Seen, Seen),
    (name, than): (&str, &str),
    foot: &Foot,
) -> Result<Picture, Undrawn> {
    let (late, early) = (after.trials.holdups(), before.trials.holdups());
    let svg = album.draw_about("difference", foot, |mount| {
        pictures::difference((after.world, &late), (before.world, &early), (name, than), mount)
    })?;
    Ok(Picture {
        slide: slide((after, &late), (before, &early), (name, than))?,
        svg,
        finding: format!(
            "The house from above, colored by where more and where less time is lost with {name} than with {than}."
        ),
        caption: format!(
            "With “{name}” against “{than}”: violet where less, orange where more time is lost to others."
        ),
        numbers: lost_by_place(after, before, (name, than)),
    })
}

/// Both houses on one scale, one laid on the other, if they are of one size.
fn slide(
    (after, late): (Seen, &[f64]),
    (before, early): (Seen, &[f64]),
    (name, than): (&str, &str),
) -> Result<Option<Slide>, Undrawn> {
    if before.world.plan.bounds() != after.world.plan.bounds() {
        return Ok(None);
    }
    let highest = pictures::highest(before.world, early).max(pictures::highest(after.world, late));
    let lines = [before, after].map(|seen| lines_shown(seen.world, seen.evening));
    let field = |cells, lines| Field { cells, worst: None, highest, new: None, lines };
    let [a, b] = pictures::bare([
        (before.world, &field(early, &lines[0])),
        (after.world, &field(late, &lines[1])),
    ])?;
    let titled = |name: &str| words::capital(&words::shown(name));
    let says = lines.iter().any(|l| !l.is_empty()).then_some(pictures::LINES_SAY);
    Ok(Some(Slide { houses: [(titled(than), a), (titled(name), b)], says }))
}

fn lost_by_place(after: Seen, before: Seen, (name, than): (&str, &str)) -> Table {
    let places = before.world.places.iter().chain(&after.world.places);
    let names: BTreeSet<&str> = places.map(|p| p.name.as_str()).collect();
    let says = |lost: Option<Estimate>| {
        Cell::text(lost.map_or("not there".into(), |e| {
            format!("{:.1}{}", e.value, words::likely(e, |x| format!("{:.1}", x.max(0.0))))
        }))
    };
    let row = |place: &str| {
        vec![Cell::text(words::shown(place)), says(before.lost(place)), says(after.lost(place))]
    };
    Table {
        caption: "Guest-minutes lost to others an evening, by place".into(),
        head: ["place".into(), words::shown(than), words::shown(name)].into(),
        rows: names.into_iter().map(row).collect(),
    }
}

/// So many of the best have a picture on the page.
const SHOWN: usize = 3;

/// Hold-ups of the other arrangements, on the scale of the first; the page shows the best of them.
fn others(
    album: &mut Album,
    loaded: &Loaded,
    c: &Comparison,
    highest: f64,
) -> Result<Vec<Block>, Undrawn> {
    let mut shown = vec![];
    let ranked = c.ranked();
    for case in 1..c.cases.len() {
        let (world, trials) = (&c.race.worlds[case], &c.race.trials[case]);
        let evening = &c.evenings[case];
        let held = trials.holdups();
        let field =
            Field { cells: &held, worst: worst(world, evening), highest, new: None, lines: &[] };
        let svg =
            album.draw_about(&format!("holdups-{case}"), &foot(loaded, c, case), |mount| {
                pictures::holdups(world, &field, mount)
            })?;
        if ranked.iter().take(SHOWN).any(|r| *r == case) {
            let mut picture = Played::new(world, trials, evening).described(svg);
            picture.numbers = picture.numbers.unkeyed();
            picture.caption = format!(
                "With {}: where guests are held up, on the scale of the first picture.",
                in_quotes(&c.cases[case].name)
            );
            shown.push(Block::Picture(picture));
        }
    }
    Ok(shown)
}

fn how_many(c: &Comparison, played: &Played) -> Fact {
    let best = c.ranked().first().copied();
    best.map_or_else(
        || played.how_many(),
        |b| {
            let s = c.standings[b];
            let with = format!(" with {}", in_quotes(&c.cases[b].name));
            played.how_many_instead(
                (c.standings[0].guests, s.guests, s.gain),
                &with,
                &c.evenings[b],
            )
        },
    )
}

fn what_to_change(c: &Comparison) -> Fact {
    let Some(&best) = c.ranked().first() else {
        return Fact::new(CHANGE, "nothing", "");
    };
    let (s, evenings) = (c.standings[best], c.race.trials[best].len());
    let name = in_quotes(&c.cases[best].name);
    let taken = words::capacity::takes(
        c.standings[0].guests,
        s.guests,
        s.gain,
        c.race.worlds[0].scenario.limits.grade,
    );
    let does = format!("simulated: {}", words::compare::does(taken, s.gain, s.against));
    match s.against.is_same() {
        true => Fact::new(CHANGE, "nothing", words::compare::against(s.against, evenings)),
        _ if is_better(s.gain, s.against) => Fact::new(CHANGE, name, does),
        _ if takes_fewer(s.gain) => {
            Fact::new(CHANGE, format!("not {name}: it takes fewer guests"), does)
        }
        _ if s.against.is_clear() => Fact::new(
            CHANGE,
            format!("not {name}: it doesn't help"),
            does + "; ask `elbowroom improve` what would",
        ),
        _ => Fact::new(
            CHANGE,
            "nothing",
            format!("no difference we can see in {evenings} evenings with {name}"),
        ),
    }
}

fn numbers(c: &Comparison, lost: Figure) -> Vec<Figure> {
    let mut numbers =
        vec![Figure { what: format!("{}, {}", lost.what, words::shown(&c.cases[0].name)), ..lost }];
    if let Some(&best) = c.ranked().first() {
        let (s, key) = (c.standings[best], format!("/arrangements/{best}"));
        numbers.push(less(
            s.against,
            &in_quotes(&c.cases[best].name),
            &(key.clone() + "/against/minutes"),
        ));
        if let Some(gain) = s.gain {
            numbers.push(gained(gain, &(key + "/gain")));
        }
    }
    numbers
}

/// Minutes lost less, as a figure.
pub(super) fn less(p: Paired, with: &str, key: &str) -> Figure {
    let d = p.difference;
    Figure {
        what: format!("lost by each guest, with {with}"),
        cell: Cell::figure(words::compare::little(d), key, d),
        more: format!("({})", words::compare::likely_little(d)),
    }
}

/// Guests gained, as a figure.
pub(super) fn gained(e: Estimate, key: &str) -> Figure {
    Figure {
        what: "guests gained".into(),
        cell: Cell::figure(gain_of(e.value), key, e),
        more: words::likely(e, gain_of),
    }
}

/// Guests gained in a table; `key` is that of its row.
pub(super) fn gain_cell(gain: Option<Estimate>, key: &str) -> Cell {
    gain.map_or(Cell::default(), |e| {
        Cell::figure(
            format!("{}{}", gain_of(e.value), words::likely(e, gain_of)),
            format!("{key}/gain"),
            e,
        )
    })
}

/// Guests a house takes in a table; `key` is that of its row.
pub(super) fn takes_cell(takes: Option<Whole>, key: &str) -> Cell {
    takes.map_or(Cell::text("not told"), |w| {
        Cell::figure(words::capacity::roughly(w), format!("{key}/guests"), w.estimate())
    })
}

/// "+12", "-3", "0".
fn gain_of(guests: f64) -> String {
    if guests.round() == 0.0 { "0".into() } else { format!("{guests:+.0}") }
}
