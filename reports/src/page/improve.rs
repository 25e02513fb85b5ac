//! The page of `improve`: the changes that buy most, and the evening as it is.

use super::compare::{AGAINST, Seen, against, changes, gain_cell, gained, less, takes_cell};
use super::evening::Played;
use super::{Album, Block, CHANGE, Cell, Fact, Figure, Section, Shown, Table, Told, about, three};
use crate::pictures::{Foot, Undrawn};
use crate::{answer, words};
use sim::base::stats::Estimate;
use sim::files::Loaded;
use sim::house::plan::Xy;
use sim::study::improve::change::What;
use sim::study::improve::{Asked, Improvement};
use sim::study::race::contest::Standing;

/// What was asked, in words: the answer to it, and where a change was to help.
pub struct Question<'a> {
    /// What buys most, or what makes a headcount fit.
    pub asked: Asked,
    /// Only what is lost at this place counts.
    pub place: Option<&'a str>,
    /// The sentence that answers it.
    pub sentence: &'a str,
}

impl Question<'_> {
    /// Whether a headcount was to fit, and does.
    fn has_nothing_to_change(&self, i: &Improvement) -> bool {
        self.asked == Asked::Fits && i.as_it_is.fits()
    }
}

/// Puts it together.
pub fn improve(loaded: &Loaded, i: &Improvement, q: &Question) -> Result<Shown, Undrawn> {
    let (world, trials) = (&i.race.worlds[0], &i.race.trials[0]);
    let foot = Foot { title: about(loaded, world.scenario.guests), run: answer::evenings(trials) };
    let mut album = Album::new(&foot);
    let played = Played::new(world, trials, &i.as_it_is).with_new(new_piece(i));
    let house = played.house_as_it_is(&mut album)?;
    let mut sections = if q.has_nothing_to_change(i) {
        vec![]
    } else {
        vec![Section::new("What to change", blocks(&mut album, i, q, &foot)?)]
    };
    sections.push(played.limits().headed("The evening as it is"));
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: foot.title.clone(),
        answer: q.sentence.to_string(),
        facts: [how_many(i, &played), played.where_it_jams(), what_to_change(i, q)],
        numbers: three(numbers(i, q), world, &i.as_it_is),
        house,
        sections,
        run: format!(
            "{} changes tried, the best over {} fresh simulated evenings, seed {}, {}",
            i.tried.len(),
            i.evenings,
            trials.seed,
            answer::program()
        ),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(told, world, &played.field())
}

/// The best changes, what the first one changes where, the lines to paste, and every change that
/// was tried.
fn blocks(
    album: &mut Album,
    i: &Improvement,
    q: &Question,
    foot: &Foot,
) -> Result<Vec<Block>, Undrawn> {
    let mut blocks = vec![Block::Table(best(i, q))];
    blocks.extend(
        [words::improve::both(i), words::improve::too_close(i)]
            .into_iter()
            .flatten()
            .map(Block::Text),
    );
    if let Some(first) = i.best.first() {
        let before = Seen::of(&i.race, 0, &i.as_it_is);
        let after = Seen::of(&i.race, first.world, &first.evening);
        blocks.push(Block::Picture(changes(
            album,
            (after, before),
            (&change(i, first), "as it is"),
            foot,
        )?));
        blocks.push(Block::Lines(
            format!(
                "{}, paste this at the end of the scenario.",
                words::improve::to_keep(i, first)
            ),
            words::improve::paste(i, first.entrant),
        ));
    }
    blocks.extend(i.together.as_ref().map(|t| {
        Block::Lines("To keep both, paste this instead.".into(), words::improve::paste_both(i, t))
    }));
    blocks.push(Block::Fold(tried(i, q)));
    Ok(blocks)
}

/// Where the best change puts something new, if it does.
fn new_piece(i: &Improvement) -> Option<(String, Xy)> {
    match &i.tried[i.best.first()?.entrant].change.what {
        What::Second(serves, site) | What::Instead(serves, site) => {
            Some((format!("new: {}", words::what(*serves)), site.middle()))
        }
        What::Chairs(count, site) => Some((format!("new: {count} chairs"), site.middle())),
        _ => None,
    }
}

fn change(i: &Improvement, b: &Standing) -> String {
    words::improve::change(&i.race.worlds[0], &i.tried[b.entrant].change.what)
}

/// The best changes over fresh evenings.
fn best(i: &Improvement, q: &Question) -> Table {
    let guests = i.race.worlds[0].scenario.guests;
    let figures = |n: usize, b: &Standing| {
        let key = format!("/best/{n}");
        let grade = Cell::text(b.evening.grade().word());
        if q.asked == Asked::Fits {
            vec![grade]
        } else {
            vec![gain_cell(b.gain, &key), takes_cell(b.guests, &key)]
        }
    };
    let row = |(n, b): (usize, &Standing)| {
        let what = format!(
            "{}. {} ({})",
            n + 1,
            change(i, b),
            words::improve::takes(i.tried[b.entrant].change.what.takes())
        );
        let loses = against(b.against, &format!("/best/{n}/against"));
        std::iter::once(Cell::text(what)).chain(figures(n, b)).chain([loses]).collect()
    };
    let loses = format!("{AGAINST}{}", at(q));
    let with = format!("with {}", words::guests(guests));
    let told: &[&str] =
        if q.asked == Asked::Fits { &[&with] } else { &["guests gained", "takes up to"] };
    let head = std::iter::once("change")
        .chain(told.iter().copied())
        .chain([&*loses])
        .map(String::from)
        .collect();
    Table {
        caption: format!(
            "The best single changes, each over the same {} fresh evenings",
            i.evenings
        ),
        head,
        rows: i.best.iter().enumerate().map(row).collect(),
    }
}

/// Every change that was tried, roughly.
fn tried(i: &Improvement, q: &Question) -> Table {
    let row = |(n, t): (usize, &sim::study::improve::Tried)| {
        vec![
            Cell::text(words::improve::change(&i.race.worlds[0], &t.change.what)),
            Cell::plain(
                words::compare::little(Estimate::exact(t.difference)),
                format!("/tried/{n}/minutes_more"),
                t.difference,
            ),
            Cell::plain(t.evenings.to_string(), format!("/tried/{n}/evenings"), t.evenings as f64),
        ]
    };
    let loses = format!("{AGAINST}{}", at(q));
    let head = ["change", &loses, "evenings it was tried for"].map(String::from).into();
    Table {
        caption: format!("Every change that was tried, roughly, with {} guests", i.tried_with),
        head,
        rows: i.tried.iter().enumerate().map(row).collect(),
    }
}

fn how_many(i: &Improvement, played: &Played) -> Fact {
    i.best.first().map_or_else(
        || played.how_many(),
        |best| {
            played.how_many_instead(
                (i.guests, best.guests, best.gain),
                " with the change",
                &best.evening,
            )
        },
    )
}

fn what_to_change(i: &Improvement, q: &Question) -> Fact {
    let Some(b) = i.best.first() else {
        return Fact::new(CHANGE, "nothing", "there is no single change to try");
    };
    let (what, p) = (change(i, b), b.against);
    match q.asked {
        Asked::Fits if q.has_nothing_to_change(i) => {
            Fact::new(CHANGE, "nothing", "every limit holds")
        }
        Asked::Fits if b.evening.fits() => Fact::new(
            CHANGE,
            what,
            format!(
                "that is enough; it takes {}",
                words::improve::takes(i.tried[b.entrant].change.what.takes())
            ),
        ),
        Asked::Fits => {
            Fact::new(CHANGE, "no single change is enough", format!("the nearest is to {what}"))
        }
        Asked::Most(None) if words::improve::no_more_guests(i).is_some() => Fact::new(
            CHANGE,
            "no single change clearly takes more guests",
            words::improve::saves_time(i),
        ),
        Asked::Most(None) if b.clearly_gained() > 0.0 => {
            Fact::new(CHANGE, what, format!("simulated: {}", words::improve::does(i, b)))
        }
        Asked::Most(_) if p.is_clear() && p.difference.value < 0.0 => {
            let time = format!("simulated: {}{}", words::compare::difference(p), at(q));
            Fact::new(CHANGE, what, words::compare::with_guests(time, words::improve::taken(i, b)))
        }
        Asked::Most(_) => Fact::new(
            CHANGE,
            "nothing that a single change would fix",
            format!("to {what}: {}{}", words::compare::against(p, i.evenings as usize), at(q)),
        ),
    }
}

/// " in the hall", where only that counted.
fn at(q: &Question) -> String {
    q.place.map_or(String::new(), |p| format!(" in {}", words::with_article(p)))
}

fn numbers(i: &Improvement, q: &Question) -> Vec<Figure> {
    if q.asked == Asked::Fits {
        return words::three_numbers(&i.race.worlds[0], &i.as_it_is).map(Into::into).into();
    }
    let lost: Figure = words::lost_number(&i.as_it_is).into();
    let house = if q.place.is_some() { " in the whole house" } else { "" };
    let mut numbers = vec![Figure { what: format!("{}{house}, as it is", lost.what), ..lost }];
    if let Some(b) = i.best.first() {
        numbers.push(less(b.against, &format!("the change{}", at(q)), "/best/0/against/minutes"));
        numbers.extend(b.gain.map(|e| gained(e, "/best/0/gain")));
    }
    numbers
}
