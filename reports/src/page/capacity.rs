//! The page of `capacity`: how many guests, what gives out first and next, and the evening at that
//! headcount.

use super::evening::{Played, lines_shown, mark};
use super::{
    Album, Block, Cell, Fact, Figure, HOW_MANY, Picture, Section, Shown, Table, Told, WHERE, about,
    titled,
};
use crate::pictures::{self, Foot, Panel, Undrawn};
use crate::{answer, words};
use sim::files::Loaded;
use sim::floor::world::{PinchId, SpotId, World};
use sim::study::capacity::gives::Gives;
use sim::study::capacity::habits::Swing;
use sim::study::capacity::{Capacity, Graded, LimitCurve, whole};
use sim::study::ensemble::Ensemble;
use sim::study::evening::{Evening, Evenings};

/// Puts it together.
pub fn capacity(
    loaded: &Loaded,
    c: &Capacity,
    place: Option<&str>,
    seed: u64,
) -> Result<Shown, Undrawn> {
    let Evenings { world, trials, .. } = &c.at;
    let evening = c.at.evening();
    let sentence = words::capacity::sentence(world, c, place);
    let foot = Foot {
        title: titled(loaded),
        run: format!("{}, seed {seed}, {}", words::capacity::evenings_played(c), answer::program()),
    };
    let here = Foot { title: about(loaded, world.scenario.guests), run: answer::evenings(trials) };
    let mut album = Album::new(&here);
    let first = c.limits.first().filter(|l| l.gives != Gives::Never).map(|l| l.subject);
    let played = Played::new(world, trials, evening)
        .with_worst(first.and_then(|s| mark(world, evening, s)))
        .listing(c.limits.iter().map(|l| l.subject).collect());
    let house = played.house(&mut album)?;
    let svg = album
        .draw_about("capacity", &foot, |mount| pictures::capacity(world, c, &sentence, mount))?;
    let mut numbers = vec![guests(c)];
    numbers.extend(
        [words::wait_number(world, evening), words::lost_number(evening)]
            .map(|n| with_guests(n.into(), world.scenario.guests)),
    );
    let mut blocks = vec![Block::Table(grades(c))];
    blocks.extend(words::capacity::invite(world, c).into_iter().map(|(_, says)| Block::Text(says)));
    let [out, never] = limits(c);
    blocks.push(Block::Table(out));
    blocks.extend((!never.rows.is_empty()).then_some(Block::Fold(never)));
    blocks.push(Block::Picture(curves(c, svg, &sentence)));
    blocks.extend(headcounts(c, &mut album, &foot)?.map(Block::Picture));
    let guests = words::guests(world.scenario.guests);
    let heading = match c.guests().filter(|w| w.value > 0 && w.value != world.scenario.guests) {
        Some(w) => format!("The evening with {guests}, the nearest to {} we simulated", w.value),
        None => format!("The evening with {guests}"),
    };
    blocks.extend(habits(c).map(Block::Fold));
    blocks.extend(words::capacity::habits::none_matters(c).map(Block::Text));
    let mut measured = played.measures().headed(heading);
    measured.blocks.push(Block::Text(format!(
        "Measured on {} evenings with exactly this many guests. The headcounts above come from {}: where the two differ, go by the headcounts.",
        trials.len(),
        words::capacity::evenings_played(c)
    )));
    let mut sections = vec![
        Section::new("How many guests, and what runs out first", blocks),
        measured,
        played.jams(),
    ];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: foot.title.clone(),
        facts: [
            how_many(c, place),
            where_it_gives_out(c),
            played.worth_trying("To fit more", first),
        ],
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
    let what = format!("guests, {}", c.at.world.scenario.limits.grade.word());
    match c.guests() {
        Some(w) => {
            let likely = Some(words::capacity::likely_guests(w)).filter(|l| !l.is_empty());
            Figure {
                what,
                cell: Cell::figure(w.value.to_string(), "/headcount", w.estimate()),
                more: likely.map_or(String::new(), |l| format!("({l})")),
            }
        }
        None => Figure {
            what,
            cell: Cell::plain(c.looked.to_string(), "/headcount/value", f64::from(c.looked)),
            more: "or more: nothing runs out".into(),
        },
    }
}

/// Each grade with its headcount and what runs out beyond it.
fn grades(c: &Capacity) -> Table {
    let row = |(i, g): (usize, &Graded)| {
        let key = format!("/grades/{i}/headcount");
        let guests = match g.guests() {
            Some(w) if w.value == 0 => Cell::figure("not even 1", key, w.estimate()),
            Some(w) => Cell::figure(words::capacity::guests(w), key, w.estimate()),
            None => Cell::text(format!("{} or more", c.looked)),
        };
        let why =
            g.first.map_or(String::new(), |s| words::capacity::gives_out(&c.at.world, s, g.pinch));
        vec![Cell::text(g.grade.word()), guests, Cell::text(why)]
    };
    Table {
        caption: "The largest headcount for each grade".into(),
        head: ["grade", "guests", "what runs out beyond"].map(String::from).into(),
        rows: c.grades.iter().enumerate().map(row).collect(),
    }
}

/// What each habit of guests moves the headcount by, if any does.
fn habits(c: &Capacity) -> Option<Table> {
    let range = words::capacity::habits::range(c)?;
    let system = c.at.world.plan.system;
    let row = |(i, s): (usize, &Swing)| {
        let end = |k: usize| {
            let (value, guests) = s.ends[k];
            let says = format!(
                "{guests} with {}",
                words::capacity::habits::figure(s.habit, value, system)
            );
            Cell::plain(says, format!("/habits/swings/{i}/ends/{k}/guests"), f64::from(guests))
        };
        let usual = words::capacity::habits::figure(s.habit, s.usual, system);
        vec![Cell::text(words::capacity::habits::habit(s.habit)), Cell::text(usual), end(0), end(1)]
    };
    Some(Table {
        caption: format!(
            "How far the headcount moves with guest habits that nobody has measured: {range}"
        ),
        head: ["habit of guests", "usually", "guests at one end", "guests at the other"]
            .map(String::from)
            .into(),
        rows: c.swings.iter().enumerate().map(row).collect(),
    })
}

/// Where a jam gives out at the grade asked for.
fn pinch(c: &Capacity) -> Option<PinchId> {
    c.graded(c.at.world.scenario.limits.grade).and_then(|g| g.pinch)
}

fn with_guests(figure: Figure, guests: u32) -> Figure {
    Figure { what: format!("{} with {}", figure.what, words::guests(guests)), ..figure }
}

fn how_many(c: &Capacity, place: Option<&str>) -> Fact {
    let here = place.map_or(String::new(), |p| format!(" in {}", words::with_article(p)));
    let asked = c.at.world.scenario.limits.grade;
    let says = match c.guests() {
        Some(w) if w.value == 0 => format!("never {}{here}", asked.word()),
        Some(w) => format!("{} to {}{here}", words::capital(asked.word()), words::guests(w.value)),
        None => format!("{} to {} guests or more{here}", words::capital(asked.word()), c.looked),
    };
    let first = c
        .limits
        .first()
        .filter(|l| l.gives != Gives::Never)
        .zip(c.guests().filter(|w| w.value > 0));
    let first = first.map_or(String::new(), |(l, w)| {
        format!(
            ". Beyond {}, {} first",
            w.value,
            words::capacity::happens(&c.at.world, l.subject, pinch(c))
        )
    });
    Fact::new(HOW_MANY, says, format!("{}{first}", words::capacity::grades(c)))
}

/// What gives out first, and what next.
fn where_it_gives_out(c: &Capacity) -> Fact {
    let world = &c.at.world;
    let mut out = c.limits.iter().filter_map(|l| {
        Some((words::capacity::happens(world, l.subject, pinch(c)), whole(l.gives)?))
    });
    let (says, more) = match (out.next(), out.next()) {
        (None, _) => ("nowhere".into(), format!("up to {} guests", c.looked)),
        (Some((first, _)), None) => (first, "before anything else".into()),
        (Some((first, _)), Some((_, w))) if w.value == 0 => (first, "at once".into()),
        (Some((first, _)), Some((next, w))) => {
            (first, format!("before anything else; beyond {}, {next}", w.value))
        }
    };
    Fact::new(WHERE, says, more)
}

/// Limits that give out, with the headcount each allows; and those that do not.
fn limits(c: &Capacity) -> [Table; 2] {
    let row = |(i, l): (usize, &LimitCurve)| {
        let key = format!("/limits/{i}");
        let allows = match whole(l.gives) {
            Some(w) if w.value == 0 => {
                Cell::figure("not even 1", key.clone() + "/headcount", w.estimate())
            }
            Some(w) => {
                Cell::figure(words::capacity::guests(w), key.clone() + "/headcount", w.estimate())
            }
            None => Cell::text(format!("{} or more", l.held_to().unwrap_or(c.looked))),
        };
        vec![
            Cell::plain(words::capacity::breaks(&c.at.world, l, pinch(c)), key + "/bound", l.bound),
            allows,
        ]
    };
    let table = |caption: &str, never: bool| Table {
        caption: caption.into(),
        head: ["limit", "guests before it is reached"].map(String::from).into(),
        rows: c
            .limits
            .iter()
            .enumerate()
            .filter(|(_, l)| (l.gives == Gives::Never) == never)
            .map(row)
            .collect(),
    };
    [
        table("Which limit is reached first, and at how many guests", false),
        table("Limits that held at every headcount simulated", true),
    ]
}

/// The house with so many guests.
struct Step<'a> {
    world: &'a World,
    trials: &'a Ensemble,
    evening: &'a Evening,
    lines: Vec<(SpotId, u32)>,
}

impl Step<'_> {
    fn of(evenings: &Evenings) -> Step<'_> {
        let Evenings { world, trials, .. } = evenings;
        let evening = evenings.evening();
        Step { world, trials, lines: lines_shown(world, evening), evening }
    }

    fn guests(&self) -> u32 {
        self.world.scenario.guests
    }

    fn panel(&self) -> Panel<'_> {
        let figure = format!("{:.1} min", self.evening.minutes_lost.value);
        Panel {
            world: self.world,
            title: words::guests(self.guests()),
            figure,
            cells: self.trials.holdups(),
            lines: &self.lines,
        }
    }

    fn row(&self) -> Vec<Cell> {
        let lost = self.evening.minutes_lost;
        let says = format!("{:.1}{}", lost.value, words::likely(lost, |x| format!("{x:.1}")));
        vec![
            Cell::text(self.guests().to_string()),
            Cell::text(says),
            Cell::text(self.trials.len().to_string()),
        ]
    }
}

/// The house with more and more guests; kept as `headcounts`. None where no other headcount was
/// played.
fn headcounts(c: &Capacity, album: &mut Album, foot: &Foot) -> Result<Option<Picture>, Undrawn> {
    let mut steps: Vec<Step> = c.around.iter().chain([&c.at]).map(Step::of).collect();
    steps.sort_by_key(Step::guests);
    let [first, .., last] = &steps[..] else {
        return Ok(None);
    };
    let panels: Vec<Panel> = steps.iter().map(Step::panel).collect();
    let svg = album.draw_about("headcounts", foot, |mount| pictures::headcounts(&panels, mount))?;
    Ok(Some(Picture {
        slide: None,
        svg,
        finding: format!(
            "The house from above with {}, then with more and more, up to {}.",
            words::guests(first.guests()),
            last.guests()
        ),
        caption: format!("More and more guests. {}", pictures::HEADCOUNTS_SAY),
        numbers: Table {
            caption: "Minutes lost per guest with more and more guests".into(),
            head: ["guests", "minutes lost per guest", "evenings"].map(String::from).into(),
            rows: steps.iter().map(Step::row).collect(),
        },
    }))
}

/// The chart with its points.
fn curves(c: &Capacity, svg: String, sentence: &str) -> Picture {
    let world = &c.at.world;
    let points = c
        .limits
        .iter()
        .enumerate()
        .flat_map(|(i, l)| l.curve.iter().enumerate().map(move |(k, p)| (i, k, l, p)));
    let row = |(i, k, l, &(guests, e)): (
        usize,
        usize,
        &LimitCurve,
        &(u32, sim::base::stats::Estimate),
    )| {
        let key = format!("/curves/{i}/points/{k}");
        let says = |v: f64| words::capacity::measured(world, l.subject, v);
        vec![
            Cell::text(words::capacity::gives_out(world, l.subject, pinch(c))),
            Cell::plain(guests.to_string(), key.clone() + "/guests", f64::from(guests)),
            Cell::figure(format!("{}{}", says(e.value), words::likely(e, says)), key, e),
            Cell::text(words::capacity::measured(world, l.subject, l.bound)),
        ]
    };
    Picture {
        slide: None,
        svg,
        finding: format!("Each limit by headcount. {sentence}"),
        caption: "Each limit by headcount: dots are simulated headcounts with how sure they are, the red line is your limit, the blue band is \
                  where it is reached."
            .into(),
        numbers: Table {
            caption: "Each limit at each headcount".into(),
            head: ["limit", "guests", "measured", "your limit"].map(String::from).into(),
            rows: points.map(row).collect(),
        },
    }
}
