//! `capacity`: how many guests, what gives out first, what next?

use crate::command::args;
use crate::command::write::folder::choose;
use crate::command::write::out::Answered;
use crate::command::write::progress::Progress;
use crate::command::{Stop, load};
use crate::{answer, page, words};
use sim::base::parallel::with_threads;
use sim::files::Loaded;
use sim::house::problem::{nearest, one_of};
use sim::study::capacity::gives::Gives;
use sim::study::capacity::habits::swings;
use sim::study::capacity::headcount::Effort;
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
    let effort = Effort { spend: args.trials, ..Effort::WHOLE };
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
    let sentence = words::capacity::sentence(&c.at.0, &c, place);
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
            let hint = nearest(asked, &known)
                .map_or_else(|| one_of(&known), |n| format!("did you mean `{n}`?"));
            Stop::Usage(format!("--in `{asked}`: there is no room or opening of that name; {hint}"))
        }
    }
}

/// The answer on a terminal.
fn report(c: &Capacity, sentence: &str, args: &args::Capacity) -> String {
    let input = &args.input;
    let world = &c.at.0;
    let mut text = format!("{sentence}\n");
    if let Some((_, invite)) = words::capacity::invite(world, c) {
        text += &format!("{invite}\n");
    }
    text += "\nThe largest headcount for each grade, and what runs out beyond it\n";
    for g in &c.grades {
        text += &format!("  {}\n", words::capacity::graded(world, c, g));
    }
    let asked = world.scenario.limits.grade;
    let pinch = c.graded(asked).and_then(|g| g.pinch);
    text +=
        &format!("\nWhich limit for {} is reached first, and at how many guests\n", asked.word());
    for limit in c.limits.iter().filter(|l| l.gives != Gives::Never) {
        text += &format!("  {}\n", words::capacity::row(world, limit, pinch));
    }
    let held: Vec<String> = c
        .limits
        .iter()
        .filter(|l| l.gives == Gives::Never)
        .map(|l| words::capacity::gives_out(world, l.subject, None))
        .collect();
    if !held.is_empty() {
        let most = c
            .limits
            .iter()
            .filter(|l| l.gives == Gives::Never)
            .filter_map(|l| l.held_to())
            .min()
            .unwrap_or(c.looked);
        text += &format!("Not reached up to {most} guests: {}\n", held.join("; "));
    }
    if let Some(range) = words::habits::range(c).filter(|_| args.habits) {
        text += &format!(
            "\nHow far the headcount moves with guest habits that nobody has measured ({range})\n"
        );
        for swing in &c.swings {
            text += &format!("  {}\n", words::habits::row(swing, world.plan.system));
        }
    }
    if let Some(says) = words::habits::none_matters(c) {
        text += &format!("\n{says}\n");
    }
    let evenings: u32 = c.played.values().sum();
    if let (Some((fewest, _)), Some((most, _))) =
        (c.played.first_key_value(), c.played.last_key_value())
    {
        text += &format!(
            "\nFrom {evenings} simulated evenings with {fewest} to {most} guests, after scouting up to {} guests coarsely.\n",
            c.looked
        );
    }
    let guests = c.guests().map_or(c.looked, |w| w.value);
    let option = input.option.as_ref().map_or(String::new(), |o| format!(" --option \"{o}\""));
    text += &format!(
        "What happens with one more: elbowroom run {}{option} --guests {}\n",
        input.file,
        guests + 1
    );
    if words::habits::range(c).is_some() && !args.habits {
        text += &format!(
            "Which guest habit moves it most: elbowroom capacity {}{option} --habits\n",
            input.file
        );
    }
    text += &format!(
        "What would raise it: elbowroom improve {}{option} --for {}\n",
        input.file,
        guests + 1
    );
    text += &format!("\n{}\n", words::capacity::caution(c));
    text
}
