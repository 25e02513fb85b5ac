//! The page of `where`: the best places on a map, and the evening as it is.

use super::compare::{AGAINST, against, gain_cell, gained, less, takes_cell};
use super::evening::Played;
use super::{
    Album, Block, CHANGE, Cell, Fact, Figure, Picture, Section, Shown, Table, Told, about, three,
};
use crate::pictures::{self, Foot, Undrawn};
use crate::{answer, words};
use sim::base::stats::Estimate;
use sim::files::Loaded;
use sim::study::race::contest::Standing;
use sim::study::where_to::{Looked, Placing};

/// Puts it together.
pub fn where_to(loaded: &Loaded, p: &Placing) -> Result<Shown, Undrawn> {
    let (world, trials) = (&p.world, &p.today);
    let foot = Foot { title: about(loaded, world.scenario.guests), run: answer::evenings(trials) };
    let evenings: usize = p.places.iter().map(|l| l.evenings).sum();
    let run = format!(
        "{} places and today's tried over {evenings} simulated evenings, the best over {} fresh evenings each, seed {}, {}",
        p.places.len() - 1,
        p.evenings,
        trials.seed,
        answer::program()
    );
    let raced = Foot { title: foot.title.clone(), run };
    let mut album = Album::new(&foot);
    let new =
        p.best().map(|f| (format!("put {} here", words::what(p.serves)), p.places[p.place(f)].at));
    let played = Played::new(world, trials, &p.evening).with_new(new);
    let sentence = words::where_to::sentence(p);
    let house = played.house_as_it_is(&mut album)?;
    let svg = album.draw_about("places", &raced, |mount| pictures::places(p, &sentence, mount))?;
    let mut sections = vec![
        Section::new(format!("Where to put {}", words::what(p.serves)), best(p, svg)),
        played.limits().headed("The evening as it is"),
    ];
    sections.extend([played.lines(&mut album)?, played.people(&mut album)?, played.replay()]);
    let told = Told {
        about: foot.title.clone(),
        facts: [how_many(p, &played), played.where_it_jams(), what_to_change(p)],
        answer: sentence,
        numbers: three(numbers(p), world, &p.evening),
        house,
        sections,
        run: raced.run.clone(),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(told, world, &played.field())
}

fn how_many(p: &Placing, played: &Played) -> Fact {
    p.best().map_or_else(
        || played.how_many(),
        |f| played.how_many_instead((p.guests, f.guests, f.gain), " there", &f.evening),
    )
}

/// The map, the best places, and the lines to paste.
fn best(p: &Placing, svg: String) -> Vec<Block> {
    let row = |(i, f): (usize, &Standing)| {
        let key = format!("/best/{i}");
        let place = Cell::text(words::where_to::exactly(p, p.place(f)));
        vec![
            place,
            gain_cell(f.gain, &key),
            takes_cell(f.guests, &key),
            against(f.against, &format!("{key}/against")),
        ]
    };
    let today = format!("today: {}", words::where_to::stands(p, 0));
    let as_it_is = [Cell::text(today), Cell::default(), takes_cell(p.guests, ""), Cell::default()];
    let mut rows: Vec<Vec<Cell>> = p.finalists.iter().enumerate().map(row).collect();
    rows.insert(p.finalists.iter().take_while(|f| f.is_better()).count(), as_it_is.into());
    let table = Table {
        caption: format!("The best places, each over the same {} fresh evenings", p.evenings),
        head: ["place", "guests gained", "takes up to", AGAINST].map(String::from).into(),
        rows,
    };
    let mut blocks = vec![Block::Picture(map(p, svg)), Block::Table(table)];
    if let Some(first) = p.finalists.first() {
        let what = format!(
            "{}, paste this at the end of the scenario; then `compare` shows it beside the others.",
            words::where_to::to_keep(p)
        );
        blocks.push(Block::Lines(what, words::where_to::paste(p, p.place(first))));
    }
    blocks
}

fn map(p: &Placing, svg: String) -> Picture {
    let row = |(i, l): (usize, &Looked)| {
        let key = format!("/looked_at/{i}");
        vec![
            Cell::text(words::where_to::exactly(p, i)),
            Cell::plain(
                words::compare::little(Estimate::exact(l.difference)),
                key.clone() + "/minutes_more",
                l.difference,
            ),
            Cell::plain(l.evenings.to_string(), key + "/evenings", l.evenings as f64),
        ]
    };
    Picture {
        slide: None,
        svg,
        finding: format!(
            "The house from above, colored by how good each place is for {}. {}",
            words::what(p.serves),
            words::where_to::sentence(p)
        ),
        caption: format!(
            "Places for {}: dark green is good; 1 to 3 are the best, T is today's.",
            words::what(p.serves)
        ),
        numbers: Table {
            caption: format!(
                "Today's place and the places tried, of {} there is floor for, with {} guests",
                p.feasible, p.raced_with
            ),
            head: ["place", "each guest loses, compared with today", "evenings it was tried for"]
                .map(String::from)
                .into(),
            rows: p.places.iter().enumerate().map(row).collect(),
        },
    }
}

fn what_to_change(p: &Placing) -> Fact {
    let what = words::what(p.serves);
    match p.finalists.first() {
        Some(best) if best.is_better() => Fact::new(
            CHANGE,
            format!("put {what} {}", words::where_to::exactly(p, p.place(best))),
            format!("simulated: {}", words::where_to::does(p, best)),
        ),
        Some(best) => Fact::new(
            CHANGE,
            format!("nothing: leave {what} {}", words::where_to::stands(p, 0)),
            format!(
                "{}: {}",
                words::where_to::exactly(p, p.place(best)),
                words::compare::against(best.against, p.evenings as usize)
            ),
        ),
        None => Fact::new(CHANGE, format!("nothing: there is no other place for {what}"), ""),
    }
}

fn numbers(p: &Placing) -> Vec<Figure> {
    let lost = |e: Estimate, key: &str, what: &str| Figure {
        what: format!("minutes lost per guest, {what}"),
        cell: Cell::figure(words::compare::minutes(e.value), key, e),
        more: words::likely(e, words::compare::minutes),
    };
    let mut numbers = vec![lost(p.lost, "/minutes_lost", "today")];
    if let Some(best) = p.finalists.first() {
        numbers.push(less(best.against, "the best other place", "/best/0/against/minutes"));
        numbers.extend(best.gain.map(|e| gained(e, "/best/0/gain")));
    }
    numbers
}
