//! What was taken because the files do not say, in plain words with its source: of the house, and
//! of the evening.

use super::{capital, clock, duration, pace, percent, shown};
use sim::base::units::{FOOT, System};
use sim::evening::scenario::occasion::{PACE, PARTY_SIZES};
use sim::evening::scenario::{Arrivals, Grade, Occasion, Scenario, Serves, Weather};
use sim::floor::world::{Chosen, World};
use sim::house::plan::{Assumed, Figure};
use sim::review::Asked;

/// Of the house: one line for each room, opening or piece.
pub fn house(world: &World) -> Vec<String> {
    let chosen = world.chosen.iter().map(|c| capital(&choice(world, c)));
    let mut items: Vec<(&str, Vec<String>)> = vec![];
    for Assumed { item, figure } in &world.plan.assumed {
        let said = self::figure(figure, world.plan.system);
        match items.iter_mut().find(|(name, _)| name == item) {
            Some((_, figures)) => figures.push(said),
            None => items.push((item, vec![said])),
        }
    }
    let items = items.into_iter();
    let items = items.map(|(item, says)| format!("{}: {}", capital(&shown(item)), says.join(", ")));
    chosen.chain(items).collect()
}

/// What was taken where the plan says nothing, with where it comes from.
fn figure(figure: &Figure, system: System) -> String {
    let tape = |meters: f64| system.tape(meters);
    match figure {
        Figure::Hinged => "hinged".into(),
        Figure::Width(sold) => {
            format!("{} wide (30 in inside, 36 in outside: common practice)", tape(*sold))
        }
        Figure::Clear(clear, source) => format!("{} clear ({source})", tape(*clear)),
        Figure::OpensAt(end) => format!(
            "opens at its {} end (the end nearer the middle of the room; say opens = \"…\")",
            end.word()
        ),
        Figure::Rise(rise) => {
            let feet = rise / FOOT;
            format!("rise {feet:.0} ft (an 8 ft ceiling and a foot of floor: common practice)")
        }
        Figure::Level(name) => format!("on level {}", shown(name)),
        Figure::Size([width, depth], source) => {
            format!("{} by {} ({source})", tape(*width), tape(*depth))
        }
        Figure::Seats(1, source) => format!("one seat ({source})"),
        Figure::Seats(seats, source) => format!("{seats} seats ({source})"),
    }
}

/// What was chosen because the files do not say.
pub fn choice(world: &World, chosen: &Chosen) -> String {
    match chosen {
        Chosen::Entry(entry) => {
            format!("guests come in through the {}", world.plan.openings[*entry].name)
        }
        Chosen::Served(serves, names) => served_at(*serves, names),
        Chosen::NoFloorToPour => {
            "there is no floor behind or beside the bar for everybody who pours: they take none"
                .into()
        }
        Chosen::Hired(hired) => format!(
            "{hired} of those who pour {} not one of the {} hosts",
            if *hired == 1 { "is" } else { "are" },
            world.scenario.hosts
        ),
    }
}

fn served_at(serves: Serves, names: &[String]) -> String {
    let what = match serves {
        Serves::Powder if names.len() > 1 => "the powder rooms are",
        Serves::Powder => "the powder room is",
        Serves::Coats => "coats go to",
        Serves::Drinks => "drinks are on",
        Serves::Food => "food is on",
        Serves::Glasses => "glasses are on",
        Serves::Door => "guests come in by",
    };
    match names {
        [one] if serves == Serves::Powder && one.contains("powder") => {
            format!("guests use the {one}")
        }
        [] => format!("the plan has nothing that serves {}: guests do without", serves.word()),
        names => {
            let names: Vec<String> = names.iter().map(|n| format!("the {n}")).collect();
            let then = if serves == Serves::Powder { " and " } else { ", then " };
            format!("{what} {}", names.join(then))
        }
    }
}

/// Of the evening: what the file leaves out, then what guests do, which no file says.
pub fn evening(world: &World) -> Vec<String> {
    let scenario = &world.scenario;
    if scenario.is_scripted() {
        return vec![];
    }
    let left_out = scenario.unsaid.iter().filter_map(|key| {
        Some(match *key {
            "occasion" => format!("The occasion is {}", scenario.occasion.word()),
            "guests" => format!("{} guests come", scenario.guests),
            "start" => format!("It starts at {} (common practice)", clock(scenario.start, 0)),
            "lasts" => lasts(scenario),
            "hosts" => format!("{} hosts greet, pour and carry (common practice)", scenario.hosts),
            "weather" => "The weather is mild".into(),
            "mix" => "All guests are adults who walk without a stick or a frame".into(),
            "limits" => format!("You want the evening to be {}", Grade::Lively.word()),
            _ => return None,
        })
    });
    left_out.chain(coming(world)).chain(served(scenario)).chain(wanting(scenario)).collect()
}

/// Of a plan and the guests it is held against: the evening too, if it was simulated.
pub fn for_review(world: &World, asked: &Asked) -> Vec<String> {
    let mut lines = house(world);
    if asked.weather.is_none() {
        lines.push("Coats are counted for a cold evening: nobody says the weather".into());
    }
    match asked.spent {
        Some(_) => lines.extend(evening(world)),
        None if world.scenario.unsaid.contains(&"occasion") => {
            lines.push(format!("The occasion is {}", world.scenario.occasion.word()))
        }
        None => {}
    }
    lines
}

fn lasts(scenario: &Scenario) -> String {
    let source = match scenario.occasion {
        Occasion::Cocktails => "etiquette press: 2 to 3 h",
        Occasion::Buffet => "dinner takes 2 to 4 h: common practice",
    };
    format!("It lasts {} ({source})", duration(scenario.lasts))
}

fn coming(world: &World) -> Vec<String> {
    let scenario = &world.scenario;
    let mut lines = vec![];
    if let Arrivals::Curve { b, .. } = scenario.arrivals
        && scenario.unsaid.contains(&"arrivals")
    {
        // the curve's median
        let half = b * std::f64::consts::LN_2.sqrt() - 30.0;
        lines.push(format!("Half the guests are there {half:.0} min after the start (803 people at 26 gatherings: Hickey 2014)"));
    }
    let [one, two, three, four] = PARTY_SIZES;
    lines
        .push(format!("Of parties that arrive together {one}% are one guest, {two}% two, {three}% three, {four}% four (BTS, NHTS 2001; Coleman & James 1961)"));
    let [usual, slowest, fastest] = [PACE[0], PACE[2], PACE[3]].map(|p| pace(p, world.plan.system));
    lines.push(format!(
        "Guests stroll at {usual} on average, from {slowest} to {fastest} (Weidmann 1993)"
    ));
    let coats = percent(scenario.weather.coat_share(scenario.rain));
    let weather = match scenario.weather {
        Weather::Hot => "hot",
        Weather::Mild => "mild",
        Weather::Cold => "cold",
    };
    let rain = if scenario.rain { " and wet" } else { "" };
    lines.push(format!("{coats} of guests bring a coat in {weather}{rain} weather (coat-check firms; common practice between)"));
    lines
}

fn wanting(scenario: &Scenario) -> Vec<String> {
    let needs = &scenario.needs;
    let rate = |n: f64, one: &str, many: &str| {
        if n == 1.0 { format!("one {one}") } else { format!("{n} {many}") }
    };
    let mut lines = vec![format!(
        "Each guest has {} in the first hour and {} an hour after it (caterers; Drug Alcohol Rev 2012)",
        rate(needs.drinks_first, "drink", "drinks"),
        rate(needs.drinks_later, "drink", "drinks")
    )];
    if needs.bites > 0.0 {
        lines.push(format!(
            "Each guest goes for bites {} times an hour in the first two hours (Colorado State Univ. guide; two pieces a trip: common practice)",
            needs.bites
        ));
    }
    if needs.meal {
        let second = percent(needs.seconds);
        lines.push(format!(
            "Everybody eats when the food is out, {} a plate, and {second} go for seconds (rental notes; common practice)",
            duration(needs.eating)
        ));
    }
    lines.push(format!(
        "Each guest uses the powder room {} times an hour (event sanitation rule, with alcohol)",
        needs.powder
    ));
    let sit = format!("{} of guests want a seat at some time", percent(needs.sitters));
    lines.push(if needs.meal {
        format!("{sit}, with a plate (common practice)")
    } else {
        format!(
            "{sit}, for {} at a time (planners: 20 to 60%; common practice)",
            duration(needs.sitting)
        )
    });
    lines.push("Two thirds of guests leave within 20 min of the end (common practice)".into());
    lines.push(format!(
        "People talk in groups of about two, {} at most, for about {} (Coleman & James 1961; Dunbar et al. 1995; the time is common practice)",
        scenario.talk.most,
        duration(scenario.talk.spell)
    ));
    lines
}

fn served(scenario: &Scenario) -> Vec<String> {
    let serving = |serves: Serves| {
        (serves.usual_serving(), scenario.serving.get(serves.word()).copied().unwrap_or_default())
    };
    let time = |serves: Serves, does: &str, source: &str| {
        let (usual, said) = serving(serves);
        said.time.is_none().then(|| format!("{does} takes {} ({source})", duration(usual.time)))
    };
    let food = || {
        let (usual, said) = serving(Serves::Food);
        let headway = said
            .headway
            .is_none()
            .then(|| format!("One side of the buffet serves a guest every {} (wedding hosts: 200 guests on one side in 100 min)", duration(usual.headway)));
        let at = said.at.is_none().then(|| {
            format!("The food is out {} after the start (common practice)", duration(usual.at))
        });
        [at, headway]
    };
    let bites = || [time(Serves::Food, "Taking bites", "common practice"), None];
    let food = if scenario.needs.meal { food() } else { bites() };
    let rest = [
        time(Serves::Door, "Greeting a guest at the door", "common practice"),
        time(Serves::Coats, "Hanging up a coat", "common practice"),
        time(Serves::Drinks, "Pouring one’s own drink", "common practice"),
        time(Serves::Powder, "A visit to the powder room", "Rawls 1988, public sites"),
    ];
    food.into_iter().chain(rest).flatten().collect()
}
