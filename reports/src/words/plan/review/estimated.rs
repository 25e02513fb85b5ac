//! Estimates: what each says, by which formula from which source, and what it is worth.

use super::{many, room};
use crate::words::{area, area_each, capital, guests, list};
use sim::floor::world::World;
use sim::house::plan::Plan;
use sim::review::estimated::lacks::Lacks;
use sim::review::{Guess, Unsaid};

/// What an estimate is of.
pub fn subject(guess: &Guess) -> &'static str {
    match guess {
        Guess::HomeRule(_) => "guests",
        Guess::Dishes(_) | Guess::Unknown(Unsaid::Dishes, _) => "dishwashing",
        Guess::Owned(_) => "plates and glasses",
        Guess::Talk(_) | Guess::Unknown(Unsaid::Talk, _) => "noise",
        Guess::Bedroom(_) | Guess::NoBedroomNextDoor | Guess::Unknown(Unsaid::Bedrooms, _) => {
            "sleep"
        }
        Guess::Machines => "hood and dishwasher",
        Guess::Children(_) | Guess::Unknown(Unsaid::Children, _) => "children",
        Guess::Cars(_) | Guess::Unknown(Unsaid::Parking, _) => "parking",
        Guess::Air(_) | Guess::Unknown(Unsaid::Air, _) => "air",
        Guess::Heat(_) => "warmth",
        Guess::Spilled(_) => "floors",
    }
}

/// What an estimate says.
pub fn estimate(world: &World, guess: &Guess) -> String {
    let plan = &world.plan;
    match guess {
        Guess::HomeRule(h) => {
            let each = h.each().zip(h.come).map(|(each, come)| {
                format!(
                    " {} {} each.",
                    many(come, "guest has", "guests have"),
                    area_each(each, plan.system)
                )
            });
            format!(
                "By the home rule, {} of floor takes {}; to have that many come, invite {}.{}",
                area(h.floor, plan.system),
                guests(h.guests),
                h.invite,
                each.unwrap_or_default()
            )
        }
        Guess::Dishes(d) => {
            let machines = if d.machines == 1 {
                format!(
                    "{:.0} h in one dishwasher, {:.0} h in two",
                    d.hours(1),
                    d.hours(2)
                )
            } else {
                format!("{:.0} h in {} dishwashers", d.hours(d.machines), d.machines)
            };
            let loads = if d.loads == 1 { "1 load".into() } else { format!("{} loads", d.loads) };
            format!(
                "{} {loads} of {} settings: {machines}.",
                many(d.guests, "guest makes", "guests make"),
                d.settings
            )
        }
        Guess::Owned(d) => {
            let one = |k: usize, what: &str| match d.owned[k] {
                Some(n) => format!("{} {what} ({n} owned)", d.used[k]),
                None => format!("{} {what}", d.used[k]),
            };
            let unsaid = if d.owned.contains(&None) {
                " To compare, add [owns] plates = … and glasses = … to the plan."
            } else {
                ""
            };
            format!(
                "{} {} and {}.{unsaid}",
                many(d.guests, "guest uses", "guests use"),
                one(0, "glasses"),
                one(1, "plates")
            )
        }
        Guess::Talk(s) => {
            let rooms: Vec<String> =
                s.rooms.iter().map(|&r| room(plan, r)).collect();
            let (most, rooms) = (s.most_talking(), list(&rooms));
            let [strict, kind] = s.shouting();
            let talk = format!(
                "from {} guests on, people raise their voices there ({strict} to {kind} by MacLean's rule)",
                most + 1
            );
            match s.level() {
                Some(level) => format!(
                    "About {:.0} of your guests in {rooms} make about {level:.0} dB; {talk}.",
                    s.guests.unwrap_or(0.0)
                ),
                None => format!("In {rooms}: {talk}."),
            }
        }
        Guess::Bedroom(b) => {
            let where_to = if b.floor { "on the other side of its floor" } else { "next door" };
            let [one, two] = if b.floor {
                ["carpet and pad make", "a ceiling on resilient channels"]
            } else {
                ["a solid door makes", "an insulated wall and a sealed door"]
            };
            format!(
                "With the party at {:.0} dB {where_to}, {} hears about {:.0} dB; {one} {:.0}, {two} {:.0}. Sleep wants 30, 45 at most.",
                b.party,
                room(plan, b.room),
                b.now,
                b.better[0],
                b.better[1]
            )
        }
        Guess::NoBedroomNextDoor => {
            "No bedroom shares a wall or a floor with the rooms guests gather in.".into()
        }
        Guess::Machines => {
            "Guests talk over a hood of up to 3 sones (about 56 dB) and a dishwasher of up to 45 dB; look for these figures on the label.".into()
        }
        Guess::Children(c) => {
            let level = if c.same_level { "on the level of the party" } else { "on another level" };
            let bath = if c.bath { "with a bathroom" } else { "without a bathroom" };
            let watched = if c.watched > 0.0 {
                format!("in view from {:.0}% of the main room", (c.watched * 100.0).max(1.0))
            } else {
                "out of view from the main room".into()
            };
            format!(
                "{} takes {}, {level}, {bath}, {watched}.",
                capital(&room(plan, c.room)),
                many(c.takes, "child", "children")
            )
        }
        Guess::Cars(c) => {
            let cars = |n: u32| if n == 1 { "1 car".to_string() } else { format!("{n} cars") };
            let room = format!("There is room for {}", cars(c.places()));
            match (c.come, c.over()) {
                (Some(come), Some([over, blocked])) => {
                    let end = match (over, blocked) {
                        (0, 0) => "and nobody is blocked in".into(),
                        (0, n) => format!("and {} blocked in", many(n, "car is", "cars are")),
                        (n, _) => format!("so {} no place", many(n, "car finds", "cars find")),
                    };
                    format!("{room}; {}, {end}.", many(come, "comes", "come"))
                }
                _ if c.blocked == 0 => format!("{room}."),
                _ => format!("{room}, {} behind another.", c.blocked),
            }
        }
        Guess::Air(a) => {
            let open = a.open.map_or("no door opens to the outdoors".into(), |ppm| {
                format!("{} with the widest door to the outdoors open", round(ppm))
            });
            let cold = if a.stays_shut { "; on a cold or wet evening it stays shut" } else { "" };
            format!(
                "{} the air to about {} ppm of carbon dioxide in an hour with doors shut, {open}{cold}.",
                many(a.guests, "guest brings", "guests bring"),
                round(a.shut)
            )
        }
        Guess::Heat(a) => format!(
            "{} off about {:.1} kW of heat, {:.1} kW with moisture (an electric heater gives 1.5).",
            many(a.guests, "guest gives", "guests give"),
            a.heat[0] / 1000.0,
            a.heat[1] / 1000.0
        ),
        Guess::Spilled(s) => {
            let room = room(plan, s.room);
            let share = s.share.map_or(String::new(), |share| {
                format!(" (guests spend {:.0}% of their time there)", share * 100.0)
            });
            match s.finish {
                Some(finish) => format!("Drinks are spilled in {room}{share}: {} lies there.", finish.word()),
                None => format!(
                    "Drinks are spilled in {room}{share}. To judge its floor, add finish = \"wood\", tile, vinyl, … to it."
                ),
            }
        }
        Guess::Unknown(what, lacks) => capital(&format!("{}.", add(plan, *what, *lacks))),
    }
}

/// To tens.
fn round(ppm: f64) -> String {
    let tens = (ppm / 10.0).round() as i64 * 10;
    if tens >= 1000 { format!("{},{:03}", tens / 1000, tens % 1000) } else { tens.to_string() }
}

/// What to add to a file.
fn add(plan: &Plan, what: Unsaid, lacks: Lacks) -> String {
    match lacks {
        Lacks::Ceiling(r) => format!("add ceiling = \"9ft\" to the plan, or to {}", room(plan, r)),
        Lacks::Finish(r) => format!(
            "add finish = \"wood\", laminate, vinyl, tile, stone, concrete, rug or carpet to the plan, or to {}",
            room(plan, r)
        ),
        Lacks::Walls => "add inside_walls = \"plain\", insulated or double to the plan".into(),
        Lacks::Core(o) => format!(
            "add core = \"hollow\", solid or sealed to {}",
            crate::words::door(plan, &plan.openings[o])
        ),
        Lacks::Guests if what == Unsaid::Bedrooms => "say how many guests come".into(),
        Lacks::Guests => "say how many guests come (--guests 30, or a scenario)".into(),
        Lacks::Parking => {
            "add [parking] with drive = [\"18ft\", \"40ft\"], street = \"60ft\" or spaces = 2"
                .into()
        }
        Lacks::Kids => "no room has use = \"kids\"".into(),
        Lacks::Dishwasher => {
            "no dishwasher is drawn; add kind = \"dishwasher\", and place_settings if you know them"
                .into()
        }
    }
}

/// Formula, source, and what an estimate is worth.
pub fn basis(guess: &Guess) -> [&'static str; 3] {
    match guess {
        Guess::HomeRule(_) => [
            "(floor − counters and tables) / 16 sq ft; invite (guests + 5) / 0.8; fails under 6 sq ft each",
            "a TV host's rule, noted 2009; caterers",
            "a rule of thumb; run and capacity simulate the evening",
        ],
        Guess::Dishes(_) | Guess::Unknown(Unsaid::Dishes, _) => [
            "loads = fullest of glasses / 2, plates / 3, cutlery / 5 per setting; 2 h 20 min each",
            "rental notes; trade",
            "within a load or two",
        ],
        Guess::Owned(_) => [
            "3 glasses; 3 plates at a buffet, 2 small ones at cocktails",
            "rental notes",
            "guests differ by half",
        ],
        Guess::Talk(_) | Guess::Unknown(Unsaid::Talk, _) => [
            "L = 93 − 20 log(3.5 A / N), A with 0.4 m2 a guest; MacLean: 3.5 (1 + (D² + d²) / (d² S))",
            "Rindel 2010, from memory; MacLean 1959; held against published parties",
            "within 3 dB where talk is easy; an upper bound in a crowd. No acoustic design",
        ],
        Guess::Bedroom(_) | Guess::NoBedroomNextDoor | Guess::Unknown(Unsaid::Bedrooms, _) => [
            "L − TL + 10 log(S / 10 m2), TL of wall and door together less 5 dB",
            "textbook; drywall notes; floors from memory; WHO 1999",
            "within 5 dB; sound also goes around. No acoustic design",
        ],
        Guess::Machines => [
            "1 sone is 40 phon, and 10 more for each doubling",
            "definition of the sone; EPA 1974: 45 dB indoors; common practice",
            "a rule for buying",
        ],
        Guess::Children(_) | Guess::Unknown(Unsaid::Children, _) => {
            ["floor / 35 sq ft", "licensed care", "planning only; somebody has to watch"]
        }
        Guess::Cars(_) | Guess::Unknown(Unsaid::Parking, _) => [
            "guests / 2.05; 19 ft on a drive, 23 ft at a curb",
            "BTS, NHTS 2001; town codes",
            "fewer where guests walk or share rides",
        ],
        Guess::Air(_) | Guess::Unknown(Unsaid::Air, _) => [
            "V dC/dt = Q (420 − C) + N G, G 0.006 L/s; door 0.6 A/3 √(g H ΔT/T), 5 K warmer inside",
            "ASHRAE FAQ 35; mass balance; Warren, from memory",
            "a cue to open doors, not health advice; ventilation is a professional's",
        ],
        Guess::Heat(_) => [
            "75 W a standing guest, 130 W with moisture",
            "ASHRAE Fundamentals 2013",
            "good to a fifth; sizing equipment is a professional's",
        ],
        Guess::Spilled(_) => [
            "rooms where guests spend most time, or where drinks and food are",
            "common practice",
            "where, not how much",
        ],
    }
}
