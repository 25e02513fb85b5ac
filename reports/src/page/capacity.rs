//! The page of `capacity`: how many guests, what gives out first and next, and the evening at that headcount.

use super::evening::{Played, mark};
use super::{Album, Block, Cell, Fact, Figure, HOW_MANY, Picture, Section, Shown, Table, Told, WHERE, about, titled};
use crate::chart::{self, Foot, Undrawn};
use crate::{json, words};
use sim::question::capacity::{Capacity, LimitCurve, whole};
use sim::question::evening::answer;
use sim::question::headcount::Gives;
use sim::read::Loaded;

/// Puts it together.
pub fn capacity(loaded: &Loaded, c: &Capacity, place: Option<&str>, seed: u64) -> Result<Shown, Undrawn> {
    let (world, trials) = &c.at;
    let sentence = words::capacity::sentence(world, c, place);
    let foot = Foot { title: titled(loaded), run: format!("{}, seed {seed}, {}", words::capacity::evenings_played(c), json::program()) };
    let here = Foot { title: about(loaded, world.scenario.guests), run: json::evenings(trials) };
    let mut album = Album::new(&here);
    let evening = answer(world, trials);
    let first = c.limits.first().filter(|l| l.gives != Gives::Never).map(|l| l.subject);
    let played = Played::new(world, trials, &evening).with_worst(first.and_then(|s| mark(world, s))).listing(c.limits.iter().map(|l| l.subject).collect());
    let house = played.house(&mut album)?;
    let svg = album.draw_about("capacity", &foot, |mount| chart::capacity(world, c, &sentence, mount))?;
    let mut numbers = vec![guests(c)];
    numbers.extend([words::wait_number(world, &evening), words::lost_number(&evening)].map(|n| with_guests(n.into(), world.scenario.guests)));
    let mut blocks: Vec<Block> = words::capacity::invite(world, c).into_iter().map(|(_, says)| Block::Text(says)).collect();
    let [out, never] = limits(c);
    blocks.push(Block::Table(out));
    blocks.extend((!never.rows.is_empty()).then_some(Block::Fold(never)));
    blocks.push(Block::Picture(curves(c, svg, &sentence)));
    let heading = format!("The evening with {}", words::guests(world.scenario.guests));
    let mut sections = vec![Section::new("What gives out first, and what next", blocks), played.measures().headed(heading)];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: foot.title.clone(),
        facts: [how_many(c, place), where_it_gives_out(c), played.worth_trying("To fit more", first)],
        answer: sentence,
        numbers,
        house,
        sections,
        run: foot.run.clone(),
        caution: words::capacity::caution(c),
    };
    album.shown(told, world, &played.field())
}

fn guests(c: &Capacity) -> Figure {
    let what = "guests that are comfortable".to_string();
    match c.guests() {
        Some(w) => Figure { what, cell: Cell::figure(w.value.to_string(), "/headcount", w.estimate()), more: words::capacity::likely_guests(w) },
        None => Figure { what, cell: Cell::plain(c.looked.to_string(), "/headcount/value", f64::from(c.looked)), more: "or more: nothing gives out".into() },
    }
}

fn with_guests(figure: Figure, guests: u32) -> Figure {
    Figure { what: format!("{} with {}", figure.what, words::guests(guests)), ..figure }
}

fn how_many(c: &Capacity, place: Option<&str>) -> Fact {
    let here = place.map_or(String::new(), |p| format!(" in {}", words::with_article(p)));
    match c.guests() {
        Some(w) if w.value == 0 => Fact::new(HOW_MANY, format!("not even one guest is comfortable{here}"), ""),
        Some(w) => Fact::new(HOW_MANY, format!("comfortable for {}{here}", words::guests(w.value)), words::capacity::likely_guests(w)),
        None => Fact::new(HOW_MANY, format!("comfortable for {} guests or more{here}", c.looked), "nothing gives out"),
    }
}

/// What gives out first, and what next.
fn where_it_gives_out(c: &Capacity) -> Fact {
    let world = &c.at.0;
    let mut out = c.limits.iter().filter_map(|l| Some((words::capacity::gives_out(world, l.subject), whole(l.gives)?)));
    let (says, more) = match (out.next(), out.next()) {
        (None, _) => ("nowhere".into(), format!("up to {} guests", c.looked)),
        (Some((first, _)), None) => (first, "gives out first".into()),
        (Some((first, _)), Some((next, w))) => (first, format!("gives out first, then {next} at {}", w.value)),
    };
    Fact::new(WHERE, says, more)
}

/// Limits that give out, with the headcount each allows; and those that do not.
fn limits(c: &Capacity) -> [Table; 2] {
    let row = |(i, l): (usize, &LimitCurve)| {
        let key = format!("/limits/{i}");
        let allows = match whole(l.gives) {
            Some(w) if w.value == 0 => Cell::figure("not even 1", key.clone() + "/headcount", w.estimate()),
            Some(w) => Cell::figure(words::capacity::guests(w), key.clone() + "/headcount", w.estimate()),
            None => Cell::text(format!("more than {}", c.looked)),
        };
        vec![Cell::plain(words::capacity::breaks(&c.at.0, l), key + "/bound", l.bound), allows]
    };
    let table = |caption: &str, never: bool| Table {
        caption: caption.into(),
        head: ["what gives out", "guests before it does"].map(String::from).into(),
        rows: c.limits.iter().enumerate().filter(|(_, l)| (l.gives == Gives::Never) == never).map(row).collect(),
    };
    [table("What gives out, and how many guests fit before it does", false), table("What held at every headcount that was looked at", true)]
}

/// The chart with its points.
fn curves(c: &Capacity, svg: String, sentence: &str) -> Picture {
    let world = &c.at.0;
    let points = c.limits.iter().enumerate().flat_map(|(i, l)| l.curve.iter().enumerate().map(move |(k, p)| (i, k, l, p)));
    let row = |(i, k, l, &(guests, e)): (usize, usize, &LimitCurve, &(u32, sim::stats::Estimate))| {
        let key = format!("/curves/{i}/points/{k}");
        let says = |v: f64| words::capacity::measured(world, l.subject, v);
        vec![
            Cell::text(words::capacity::gives_out(world, l.subject)),
            Cell::plain(guests.to_string(), key.clone() + "/guests", f64::from(guests)),
            Cell::figure(format!("{}{}", says(e.value), words::likely(e, says)), key, e),
            Cell::text(words::capacity::measured(world, l.subject, l.bound)),
        ]
    };
    Picture {
        svg,
        finding: format!("Each limit's measure against guests. {sentence}"),
        caption: "Each limit against guests: dots are simulated headcounts with how sure they are, the red line is what you accept, the blue band is \
                  where the limit gives out."
            .into(),
        numbers: Table {
            caption: "Each limit at each headcount".into(),
            head: ["limit", "guests", "measured", "you accept"].map(String::from).into(),
            rows: points.map(row).collect(),
        },
    }
}
