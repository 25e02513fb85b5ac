//! The page of `run`: does the evening fit, where does it jam, what might help.

use super::evening::Played;
use super::{Album, Block, Section, Shown, Told, about};
use crate::pictures::{self, Foot, Mount, Undrawn};
use crate::{answer, words};
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::ensemble::Ensemble;
use sim::study::evening::Evening;

/// Puts it together.
pub fn run(
    loaded: &Loaded,
    world: &World,
    trials: &Ensemble,
    evening: &Evening,
) -> Result<Shown, Undrawn> {
    let foot = Foot { title: about(loaded, world.scenario.guests), run: answer::evenings(trials) };
    let mut album = Album::new(&foot);
    let played = Played::new(world, trials, evening);
    album.keep("plan", pictures::plan(&loaded.plan, &[], Mount::Alone(&foot))?);
    let house = played.house(&mut album)?;
    let mut sections = vec![
        played.limits(),
        played.jams(),
        played.lines(&mut album)?,
        played.people(&mut album)?,
        played.replay(),
    ];
    sections.push(Section::new(
        "Next steps",
        vec![Block::Text(words::next_step(evening).replace('`', "") + ".")],
    ));
    let told = Told {
        about: foot.title.clone(),
        answer: words::sentence(world, evening),
        facts: [played.how_many(), played.where_it_jams(), played.what_to_change()],
        numbers: words::three_numbers(world, evening).map(Into::into).into(),
        house,
        sections,
        run: foot.run.clone(),
        caution: words::caution(world.scenario.guests, world.clear_floor),
    };
    album.shown(told, world, &played.field())
}
