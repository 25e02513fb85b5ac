//! The page of `where`: the best places on a map, and the evening as it is.

use super::compare::{AGAINST, against, less};
use super::evening::Played;
use super::{Album, Block, CHANGE, Cell, Fact, Figure, Picture, Section, Shown, Table, Told, about, three};
use crate::chart::{self, Foot, Undrawn};
use crate::{json, words};
use sim::question::evening::answer;
use sim::question::placing::{Finalist, Looked, Placing};
use sim::read::Loaded;
use sim::stats::Estimate;

/// Puts it together.
pub fn placing(loaded: &Loaded, p: &Placing) -> Result<Shown, Undrawn> {
    let (world, trials) = (&p.world, &p.today);
    let foot = Foot { title: about(loaded, world.scenario.guests), run: json::evenings(trials) };
    let evenings: usize = p.places.iter().map(|l| l.evenings).sum();
    let run = format!(
        "{} places and today's raced over {evenings} simulated evenings, the best over {} fresh ones each, seed {}, {}",
        p.places.len() - 1,
        p.evenings,
        trials.seed,
        json::program()
    );
    let raced = Foot { title: foot.title.clone(), run };
    let mut album = Album::new(&foot);
    let evening = answer(world, trials);
    let new = best_of(p).map(|f| (format!("put {} here", words::what(p.serves)), p.places[f.place].at));
    let played = Played::new(world, trials, &evening).with_new(new);
    let sentence = words::placing::sentence(p);
    let house = played.house_as_it_is(&mut album)?;
    let svg = album.draw_about("places", &raced, |mount| chart::places(p, &sentence, mount))?;
    let mut sections = vec![Section::new(format!("Where to put {}", words::what(p.serves)), best(p, svg)), played.limits().headed("The evening as it is")];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: foot.title.clone(),
        facts: [best_of(p).map_or_else(|| played.how_many(), |f| played.how_many_then(&f.evening)), played.where_it_jams(), what_to_change(p)],
        answer: sentence,
        numbers: three(numbers(p), world, &evening),
        house,
        sections,
        run: raced.run.clone(),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(told, world, &played.field())
}

/// The map, the best places, and the lines to paste.
fn best(p: &Placing, svg: String) -> Vec<Block> {
    let row = |(i, f): (usize, &Finalist)| {
        let key = format!("/best/{i}");
        let says = if i == 0 { format!("today: {}", words::placing::stands(p, f.place)) } else { words::placing::exactly(p, f.place) };
        let lost = format!("{}{}", words::compare::minutes(f.lost.value), words::likely(f.lost, words::compare::minutes));
        let mut cells = vec![Cell::text(says), Cell::figure(lost, key.clone() + "/minutes_lost", f.lost)];
        cells.extend(if i == 0 { [Cell::default(), Cell::default()] } else { against(f.against, &(key + "/against")) });
        cells
    };
    let table = Table {
        caption: format!("The best places, each over the same {} fresh evenings", p.evenings),
        head: ["place", "minutes lost per guest", AGAINST[0], AGAINST[1]].map(String::from).into(),
        rows: p.finalists.iter().enumerate().map(row).collect(),
    };
    let mut blocks = vec![Block::Picture(map(p, svg)), Block::Table(table), Block::Text(words::compare::REDRAW.into())];
    if let Some(first) = p.finalists.get(1) {
        let what = "To keep the best, paste this at the end of the scenario; `compare` then holds it against the others.".to_string();
        blocks.push(Block::Lines(what, words::placing::paste(p, first.place)));
    }
    blocks
}

fn map(p: &Placing, svg: String) -> Picture {
    let row = |(i, l): (usize, &Looked)| {
        let key = format!("/looked_at/{i}");
        vec![
            Cell::text(words::placing::exactly(p, i)),
            Cell::plain(words::compare::little(Estimate::exact(l.difference)), key.clone() + "/minutes_more", l.difference),
            Cell::plain(l.evenings.to_string(), key + "/evenings", l.evenings as f64),
        ]
    };
    Picture {
        svg,
        finding: format!("The house from above, coloured by how good each place is for {}. {}", words::what(p.serves), words::placing::sentence(p)),
        caption: format!("Places for {}: dark green is good; 1 to 3 are the best, T is today's.", words::what(p.serves)),
        numbers: Table {
            caption: format!("Today's place, and every other that was raced of {} there is floor for", p.feasible),
            head: ["place", "each guest loses, against today", "evenings it was raced for"].map(String::from).into(),
            rows: p.places.iter().enumerate().map(row).collect(),
        },
    }
}

/// The best other place, if it is better than today's.
fn best_of(p: &Placing) -> Option<&Finalist> {
    p.finalists.get(1).filter(|f| f.against.is_clear() && f.against.difference.value < 0.0)
}

fn what_to_change(p: &Placing) -> Fact {
    let what = words::what(p.serves);
    match p.finalists.get(1) {
        Some(best) if best.against.is_clear() && best.against.difference.value < 0.0 => Fact::new(
            CHANGE,
            format!("put {what} {}", words::placing::exactly(p, best.place)),
            format!("simulated: {}", words::compare::difference(best.against)),
        ),
        Some(best) => Fact::new(
            CHANGE,
            format!("nothing: leave {what} {}", words::placing::stands(p, 0)),
            format!("{}: {}", words::placing::exactly(p, best.place), words::compare::against(best.against, p.evenings as usize)),
        ),
        None => Fact::new(CHANGE, format!("nothing: there is no other place for {what}"), ""),
    }
}

fn numbers(p: &Placing) -> Vec<Figure> {
    let lost = |i: usize, what: &str| {
        p.finalists.get(i).map(|f| Figure {
            what: format!("minutes lost per guest, {what}"),
            cell: Cell::figure(words::compare::minutes(f.lost.value), format!("/best/{i}/minutes_lost"), f.lost),
            more: words::likely(f.lost, words::compare::minutes),
        })
    };
    let difference = p.finalists.get(1).map(|f| less(f.against, "the best other place", "/best/1/against/minutes"));
    [lost(0, "today"), lost(1, "at the best other place"), difference].into_iter().flatten().collect()
}
