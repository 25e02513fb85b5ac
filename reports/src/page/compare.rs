//! The page of `compare`: the arrangements against one another, and the evening as it is.

use super::evening::{Played, worst};
use super::{Album, Block, CHANGE, Cell, Fact, Figure, HOW_MANY, Page, Picture, Section, Shown, Table, about};
use crate::chart::{self, Field, Foot, Undrawn};
use crate::{json, words};
use sim::ensemble::Ensemble;
use sim::question::compare::{BEST, Comparison};
use sim::question::evening::answer;
use sim::question::race::Paired;
use sim::read::Loaded;
use sim::world::World;

/// Puts it together.
pub fn compare(loaded: &Loaded, c: &Comparison) -> Result<Shown, Undrawn> {
    let (world, trials) = (&c.race.worlds[0], &c.race.trials[0]);
    let foot = foot(loaded, c, 0);
    let mut album = Album::new(&foot);
    let evening = answer(world, trials);
    let played = Played::new(world, trials, &evening).on_scale(highest(c));
    let house = played.house(&mut album)?;
    let mut blocks = vec![Block::Table(arrangements(c))];
    let ranked = c.ranked();
    if let Some(&best) = ranked.first() {
        blocks.push(Block::Picture(difference(&mut album, &(world, trials), (c, best), &self::foot(loaded, c, best))?));
    }
    blocks.extend(others(&mut album, loaded, c)?);
    let mut sections = vec![Section::new("The arrangements", blocks), played.limits().headed(format!("The evening {}", quoted(&c.cases[0].name)))];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let page = Page {
        about: about(loaded, world.scenario.guests),
        answer: words::compare::sentence(c),
        facts: [how_many(c, &played), played.where_it_jams(), what_to_change(c)],
        numbers: numbers(c, words::lost_number(&evening).into()),
        house,
        sections,
        assumed: json::assumed(world),
        evidence: words::evidence(),
        run: format!("{} simulated evenings in each arrangement, seed {}, {}", trials.len(), trials.seed, json::program()),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(page, world, &played.field())
}

fn quoted(name: &str) -> String {
    format!("“{}”", words::shown(name))
}

fn foot(loaded: &Loaded, c: &Comparison, case: usize) -> Foot {
    let trials = &c.race.trials[case];
    Foot { title: format!("{}, {}", about(loaded, c.race.worlds[case].scenario.guests), words::shown(&c.cases[case].name)), run: json::evenings(trials) }
}

fn highest(c: &Comparison) -> f64 {
    c.race.trials.iter().zip(&c.race.worlds).map(|(t, w)| chart::highest(w, &t.holdups())).fold(0.0, f64::max)
}

/// Every arrangement, the best first, the one they are held against last.
fn arrangements(c: &Comparison) -> Table {
    let row = |i: usize| {
        let (s, key) = (c.standings[i], format!("/arrangements/{i}"));
        let against = if i == 0 {
            Cell::text("")
        } else {
            Cell::figure(words::compare::against(s.against, c.race.trials[i].len()), key.clone() + "/against/minutes", s.against.difference)
        };
        let guests = s.guests.map_or(Cell::text("not asked"), |w| Cell::figure(words::capacity::guests(w), key.clone() + "/guests", w.estimate()));
        let cost = c.cases[i].cost.map_or(Cell::text(""), |cost| Cell::plain(format!("{cost:.0}"), key.clone() + "/cost", cost));
        let per = s.gain_per_1000.map_or(Cell::text(""), |e| Cell::figure(words::compare::per_1000(e), key.clone() + "/gain_per_1000", e));
        let lost =
            Cell::figure(format!("{}{}", words::compare::minutes(s.lost.value), words::likely(s.lost, words::compare::minutes)), key + "/minutes_lost", s.lost);
        vec![Cell::text(words::shown(&c.cases[i].name)), lost, against, guests, cost, per]
    };
    let head = ["arrangement", "minutes lost a guest", "against the first", "comfortable for", "cost", "guests for each 1,000 of cost"];
    let rows = c.ranked().into_iter().chain([0]).map(row).collect();
    Table { caption: "Arrangements, the best first; the last is what they are held against".into(), head: head.map(String::from).into(), rows }
}

/// What the best arrangement changes, and where.
fn difference(album: &mut Album, before: &(&World, &Ensemble), (c, best): (&Comparison, usize), foot: &Foot) -> Result<Picture, Undrawn> {
    let after = (&c.race.worlds[best], &c.race.trials[best]);
    changes(album, (after, *before), (&words::shown(&c.cases[best].name), &words::shown(&c.cases[0].name)), foot)
}

/// The picture of what changes, kept as `difference`, with minutes lost by place before and after.
pub(super) fn changes(
    album: &mut Album,
    (after, before): ((&World, &Ensemble), (&World, &Ensemble)),
    (name, than): (&str, &str),
    foot: &Foot,
) -> Result<Picture, Undrawn> {
    let (late, early) = (after.1.holdups(), before.1.holdups());
    let svg = album.draw_about("difference", foot, |mount| chart::difference((after.0, &late), (before.0, &early), (name, than), mount))?;
    let lost = |(world, trials): (&World, &Ensemble), place: &str| world.places.iter().position(|p| p.name == place).map(|p| trials.lost_minutes(p));
    let says = |e: Option<sim::stats::Estimate>| {
        Cell::text(e.map_or("not there".into(), |e| format!("{:.1}{}", e.value, words::likely(e, |x| format!("{:.1}", x.max(0.0))))))
    };
    let mut names: Vec<&str> = before.0.places.iter().chain(&after.0.places).map(|p| p.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let row = |place: &&str| vec![Cell::text(words::shown(place)), says(lost(before, place)), says(lost(after, place))];
    Ok(Picture {
        svg,
        finding: format!("The house from above, coloured by where more and where less time is lost with {name} than with {than}."),
        caption: format!("With “{name}” against “{than}”: violet where less, orange where more time is lost to others."),
        numbers: Table {
            caption: "Guest-minutes lost to others an evening, by place".into(),
            head: ["place".into(), words::shown(than), words::shown(name)].into(),
            rows: names.iter().map(row).collect(),
        },
    })
}

/// Hold-ups of the other arrangements, on the scale of the first; the page shows the best of them.
fn others(album: &mut Album, loaded: &Loaded, c: &Comparison) -> Result<Vec<Block>, Undrawn> {
    let mut shown = vec![];
    let ranked = c.ranked();
    for case in 1..c.cases.len() {
        let (world, trials) = (&c.race.worlds[case], &c.race.trials[case]);
        let evening = answer(world, trials);
        let held = trials.holdups();
        let field = Field { cells: &held, worst: worst(&evening), highest: highest(c) };
        let svg = album.draw_about(&format!("holdups-{case}"), &foot(loaded, c, case), |mount| chart::holdups(world, &field, mount))?;
        if ranked.iter().take(BEST).any(|r| *r == case) {
            let mut picture = Played::new(world, trials, &evening).described(svg);
            picture.numbers = picture.numbers.unkeyed();
            picture.caption = format!("With {}: where guests are held up, on the scale of the first picture.", quoted(&c.cases[case].name));
            shown.push(Block::Picture(picture));
        }
    }
    Ok(shown)
}

fn how_many(c: &Comparison, played: &Played) -> Fact {
    let best = c.ranked().first().copied();
    match (c.standings[0].guests, best.and_then(|b| Some((b, c.standings[b].guests?)))) {
        (Some(now), Some((b, then))) => Fact::new(
            HOW_MANY,
            format!("comfortable for {} {}, {} with {}", now.value, words::shown(&c.cases[0].name), then.value, quoted(&c.cases[b].name)),
            format!("{}, and {}", words::capacity::likely_guests(now), words::capacity::likely_guests(then)),
        ),
        _ => played.how_many(),
    }
}

fn what_to_change(c: &Comparison) -> Fact {
    let Some(&best) = c.ranked().first() else {
        return Fact::new(CHANGE, "nothing", "");
    };
    let p: Paired = c.standings[best].against;
    let (name, how) = (quoted(&c.cases[best].name), words::compare::against(p, c.race.trials[best].len()));
    match (p.is_same(), p.is_clear() && p.difference.value < 0.0) {
        (false, true) => Fact::new(CHANGE, name, how),
        (true, _) => Fact::new(CHANGE, "nothing", how),
        (false, false) => Fact::new(CHANGE, "nothing", format!("with {name} {how}")),
    }
}

fn numbers(c: &Comparison, lost: Figure) -> Vec<Figure> {
    let mut numbers = vec![Figure { what: format!("{}, {}", lost.what, words::shown(&c.cases[0].name)), ..lost }];
    if let Some(&best) = c.ranked().first() {
        let (s, key) = (c.standings[best], format!("/arrangements/{best}"));
        numbers.push(less(s.against, &quoted(&c.cases[best].name), &(key.clone() + "/against/minutes")));
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
        what: format!("minutes a guest, with {with}"),
        cell: Cell::figure(format!("{} {}", words::compare::minutes(d.value), if d.value < 0.0 { "less" } else { "more" }), key, d),
        more: format!("(likely {})", words::compare::ends(d)),
    }
}

/// Guests gained, as a figure.
pub(super) fn gained(e: sim::stats::Estimate, key: &str) -> Figure {
    let guests = |n: f64| format!("{:+.0}", n.round() + 0.0);
    Figure { what: "guests gained".into(), cell: Cell::figure(guests(e.value), key, e), more: words::likely(e, guests) }
}
