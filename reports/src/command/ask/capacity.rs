//! `capacity`: how many guests, what gives out first, what next?

use crate::command::args;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::write::terminal::Lines;
use crate::command::{Stop, load};
use crate::words::problem::nearest_or_all;
use crate::{answer, page, words};
use sim::base::parallel::with_threads;
use sim::files::Loaded;
use sim::study::capacity::effort::Effort;
use sim::study::capacity::gives::Gives;
use sim::study::capacity::habits::swings;
use sim::study::capacity::{Asked, Capacity, NoCapacity, answer};
use std::io::Write;

/// Searches, prints, writes.
pub(crate) fn capacity(
    args: &args::Capacity,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<(), Stop> {
    let folder = choose(&args.output, &args.input.file, "capacity")?;
    let (loaded, _) = load(&args.input)?;
    let place = args.place.as_deref();
    let effort = Effort::whole(args.trials);
    let progress = Progress::new(args.output.quiet);
    let question = Asked { place, all_grades: true, seed: args.draw.seed, effort };
    let asked = || {
        let mut c = answer(&loaded.plan, &loaded.scenario, question, &progress)?;
        c.swings = swings(&loaded.plan, &loaded.scenario, &c, question, &progress)?;
        Ok(c)
    };
    let found = with_threads(args.draw.threads.map(usize::from), asked);
    progress.finish()?;
    let c = found.map_err(|why| no_answer(&loaded, place, why))?;
    let sentence = words::capacity::sentence(&c.at.world, &c, place);
    let answered = Answered {
        text: report(&c, &sentence, args),
        json: answer::text(&answer::capacity(&loaded, &c, place))?,
        threads: args.draw.threads,
    };
    answered.tell(
        &args.output,
        folder,
        || page::capacity(&loaded, &c, place, args.draw.seed),
        (out, err),
    )
}

/// Why a headcount has no answer, as an error of use or input.
pub(crate) fn no_answer(loaded: &Loaded, place: Option<&str>, why: NoCapacity) -> Stop {
    match why {
        NoCapacity::Problems(problems) => Stop::Input(Box::new(loaded.reject(problems))),
        NoCapacity::Scripted => {
            Stop::Usage("this file has scripts ([[errand]]); `capacity` needs an evening".into())
        }
        NoCapacity::NoPlace(names) => {
            let known: Vec<&str> = names.iter().map(String::as_str).collect();
            let asked = place.unwrap_or_default();
            let hint = nearest_or_all(asked, &known);
            Stop::Usage(format!("--in `{asked}`: there is no room or opening of that name; {hint}"))
        }
    }
}

/// The answer on a terminal.
fn report(c: &Capacity, sentence: &str, args: &args::Capacity) -> String {
    let world = &c.at.world;
    let mut lines = Lines::default();
    lines.say(sentence);
    let invite = words::capacity::invite(world, c);
    invite.into_iter().for_each(|(_, invite)| lines.say(invite));
    lines.under(
        "The largest headcount for each grade, and what runs out beyond it",
        c.grades.iter().map(|g| words::capacity::graded(world, c, g)),
    );
    limits(&mut lines, c);
    if let Some(range) = words::capacity::habits::range(c).filter(|_| args.habits) {
        let heading = format!(
            "How far the headcount moves with guest habits that nobody has measured ({range})"
        );
        let system = world.plan.system;
        lines.under(
            &heading,
            c.swings.iter().map(|swing| words::capacity::habits::row(swing, system)),
        );
    }
    words::capacity::habits::none_matters(c).into_iter().for_each(|says| lines.then(says));
    words::capacity::came_from(c).into_iter().for_each(|says| lines.then(says));
    next(&mut lines, c, args);
    lines.then(words::capacity::caution(c));
    lines.text()
}

/// Limits in the order in which they are reached, then those that hold.
fn limits(lines: &mut Lines, c: &Capacity) {
    let (world, asked) = (&c.at.world, c.at.world.scenario.limits.grade);
    let pinch = c.graded(asked).and_then(|g| g.pinch);
    let reached = c.limits.iter().filter(|l| l.gives != Gives::Never);
    lines.under(
        &format!("Which limit for {} is reached first, and at how many guests", asked.word()),
        reached.map(|limit| words::capacity::row(world, limit, pinch)),
    );
    let held: Vec<_> = c.limits.iter().filter(|l| l.gives == Gives::Never).collect();
    if !held.is_empty() {
        let most = held.iter().filter_map(|l| l.held_to()).min().unwrap_or(c.looked);
        let names = held.iter().map(|l| words::capacity::gives_out(world, l.subject, None));
        let names = names.collect::<Vec<_>>().join("; ");
        lines.say(format!("Not reached up to {most} guests: {names}"));
    }
}

/// What to ask next.
fn next(lines: &mut Lines, c: &Capacity, args: &args::Capacity) {
    let file = &args.input.file;
    let option = args.input.option.as_ref().map_or(String::new(), |o| format!(" --option \"{o}\""));
    let more = c.guests().map_or(c.looked, |w| w.value) + 1;
    lines.say(format!("What happens with one more: elbowroom run {file}{option} --guests {more}"));
    if words::capacity::habits::range(c).is_some() && !args.habits {
        lines.say(format!(
            "Which guest habit moves it most: elbowroom capacity {file}{option} --habits"
        ));
    }
    lines.say(format!("What would raise it: elbowroom improve {file}{option} --for {more}"));
}
