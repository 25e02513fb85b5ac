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
use sim::study::evening::answer;
use sim::study::race::Paired;
use sim::study::race::contest::{is_better, takes_fewer};

/// Puts it together.
pub fn compare(loaded: &Loaded, c: &Comparison) -> Result<Shown, Undrawn> {
    let (world, trials) = (&c.race.worlds[0], &c.race.trials[0]);
    let foot = foot(loaded, c, 0);
    let mut album = Album::new(&foot);
    let evening = answer(world, trials);
    let highest = highest(c);
    let played = Played::new(world, trials, &evening).on_scale(highest);
    let house = played.house_as_it_is(&mut album)?;
    let mut blocks = vec![Block::Table(arrangements(c))];
    blocks.extend(costs(c).map(Block::Table));
    let over = over_limits(c);
    blocks.extend((!over.is_empty()).then_some(Block::List(over)));
    let ranked = c.ranked();
    if let Some(&best) = ranked.first() {
        let after = (&c.race.worlds[best], &c.race.trials[best]);
        let names = (&*words::shown(&c.cases[best].name), &*words::shown(&c.cases[0].name));
        blocks.push(Block::Picture(changes(
            &mut album,
            (after, (world, trials)),
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
        numbers: three(numbers(c, words::lost_number(&evening).into()), world, &evening),
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

/// The picture of what changes, kept as `difference`, with minutes lost by place before and after.
pub(super) fn changes(
    album: &mut Album,
    (after, before): ((&World, &Ensemble), (&World, &Ensemble)),
    (name, than): (&str, &str),
    foot: &Foot,
) -> Result<Picture, Undrawn> {
    let (late, early) = (after.1.holdups(), before.1.holdups());
    let svg = album.draw_about("difference", foot, |mount| {
        pictures::difference((after.0, &late), (before.0, &early), (name, than), mount)
    })?;
    let lost = |(world, trials): (&World, &Ensemble), place: &str| {
        world.places.iter().position(|p| p.name == place).map(|p| trials.lost_minutes(p))
    };
    let says = |e: Option<sim::base::stats::Estimate>| {
        Cell::text(e.map_or("not there".into(), |e| {
            format!("{:.1}{}", e.value, words::likely(e, |x| format!("{:.1}", x.max(0.0))))
        }))
    };
    let mut names: Vec<&str> =
        before.0.places.iter().chain(&after.0.places).map(|p| p.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let row = |place: &&str| {
        vec![Cell::text(words::shown(place)), says(lost(before, place)), says(lost(after, place))]
    };
    let highest = pictures::highest(before.0, &early).max(pictures::highest(after.0, &late));
    let titled = |name: &str| words::capital(&words::shown(name));
    let slide = if before.0.plan.bounds() == after.0.plan.bounds() {
        let lines =
            [before, after].map(|(world, trials)| lines_shown(world, &answer(world, trials)));
        let field = |cells, lines| Field { cells, worst: None, highest, new: None, lines };
        let [a, b] = pictures::bare([
            (before.0, &field(&early, &lines[0])),
            (after.0, &field(&late, &lines[1])),
        ])?;
        let says = lines.iter().any(|l| !l.is_empty()).then_some(pictures::LINES_SAY);
        Some(Slide { houses: [(titled(than), a), (titled(name), b)], says })
    } else {
        None
    };
    Ok(Picture {
        slide,
        svg,
        finding: format!(
            "The house from above, colored by where more and where less time is lost with {name} than with {than}."
        ),
        caption: format!(
            "With “{name}” against “{than}”: violet where less, orange where more time is lost to others."
        ),
        numbers: Table {
            caption: "Guest-minutes lost to others an evening, by place".into(),
            head: ["place".into(), words::shown(than), words::shown(name)].into(),
            rows: names.iter().map(row).collect(),
        },
    })
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
        let evening = answer(world, trials);
        let held = trials.holdups();
        let field =
            Field { cells: &held, worst: worst(world, &evening), highest, new: None, lines: &[] };
        let svg =
            album.draw_about(&format!("holdups-{case}"), &foot(loaded, c, case), |mount| {
                pictures::holdups(world, &field, mount)
            })?;
        if ranked.iter().take(SHOWN).any(|r| *r == case) {
            let mut picture = Played::new(world, trials, &evening).described(svg);
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
                &answer(&c.race.worlds[b], &c.race.trials[b]),
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
