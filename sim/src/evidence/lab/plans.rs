//! Texts of plans and scripts for checks: corridors at any angle, loops, halls between rooms, rooms
//! with an exit.

use std::fmt::Write;

/// The beginning of a plan in meters.
pub const METRES: &str = "format = 1\nunits = \"m\"\nwalls = \"0.1m\"\n";

/// A corridor 2 m by `length` meters, turned by `degrees`, with a way in at one end and an opening
/// near the other, called `far end`.
pub fn corridor(length: f64, degrees: f64) -> String {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let corners = [(0.0, 0.0), (length, 0.0), (length, 2.0), (0.0, 2.0)]
        .map(|(x, y)| (x * cos - y * sin, x * sin + y * cos));
    format!(
        "{METRES}room = [{{ name = \"corridor\", use = \"other\", at = [0, 0], outline = {} }}]\n\
         opening = [{{ joins = [\"outside\", \"corridor\"], wall = \"west\", style = \"cased\", width = \"1.2m\" }},\n\
                    {{ name = \"far end\", joins = [\"outside\", \"corridor\"], wall = \"east\", style = \"cased\", width = \"1.2m\" }}]\n",
        outline(&corners)
    )
}

fn outline(points: &[(f64, f64)]) -> String {
    let inner: Vec<String> = points.iter().map(|(x, y)| format!("[{x:.6}, {y:.6}]")).collect();
    format!("[{}]", inner.join(", "))
}

/// Two rooms joined by a straight hall of a width and length, south to north, with a way in at the
/// south.
pub fn two_rooms_and_a_hall(width: &str, length: &str) -> String {
    format!(
        "{METRES}room = [\n\
           {{ name = \"south room\", use = \"other\", size = [\"6m\", \"5m\"] }},\n\
           {{ name = \"passage\", use = \"other\", size = [\"{width}\", \"{length}\"], north_of = \"south room\", offset = \"2.5m\" }},\n\
           {{ name = \"north room\", use = \"other\", size = [\"6m\", \"5m\"], north_of = \"passage\", offset = \"-2.5m\" }},\n\
         ]\n\
         opening = [\n\
           {{ joins = [\"outside\", \"south room\"], wall = \"south\" }},\n\
           {{ joins = [\"south room\", \"passage\"], style = \"cased\", width = \"{width}\" }},\n\
           {{ joins = [\"passage\", \"north room\"], style = \"cased\", width = \"{width}\" }},\n\
         ]\n"
    )
}

/// Two rooms on two levels and a flight of stairs of a width, a length on the plan and a rise,
/// going up to the north; a way in on each level.
pub fn two_levels(width: &str, run: &str, rise: &str) -> String {
    format!(
        "{METRES}levels = [\"lower\", \"upper\"]\n\
         room = [\n\
           {{ name = \"lower room\", use = \"other\", size = [\"6m\", \"5m\"] }},\n\
           {{ name = \"stairs\", size = [\"{width}\", \"{run}\"], north_of = \"lower room\", offset = \"2m\", up = \"north\", rise = \"{rise}\" }},\n\
           {{ name = \"upper room\", use = \"other\", level = \"upper\", size = [\"6m\", \"5m\"], north_of = \"stairs\", offset = \"-2m\" }},\n\
         ]\n\
         opening = [\n\
           {{ name = \"lower door\", joins = [\"outside\", \"lower room\"], wall = \"south\" }},\n\
           {{ name = \"upper door\", joins = [\"outside\", \"upper room\"], wall = \"north\" }},\n\
           {{ joins = [\"lower room\", \"stairs\"], style = \"cased\", width = \"{width}\" }},\n\
           {{ joins = [\"stairs\", \"upper room\"], style = \"cased\", width = \"{width}\" }},\n\
         ]\n"
    )
}

/// A script for one group: how many, from where, at what pace, to which stops.
pub fn group(guests: u32, from: &str, pace: &str, stops: &[&str]) -> String {
    if guests == 0 {
        return String::new();
    }
    let stops: Vec<String> = stops.iter().map(|s| format!("\"{s}\"")).collect();
    format!(
        "[[errand]]\nguests = {guests}\nfrom = \"{from}\"\npace = \"{pace}\"\nstops = [{}]\n",
        stops.join(", ")
    )
}

/// The head of a scenario with a script, and what else is to be said before its tables.
pub fn script(more: &str) -> String {
    format!("format = 1\nplan = \"plan.toml\"\n{more}\n")
}

/// So many guests go north through a hall while others go south.
pub fn crossing(north_going: u32, south_going: u32, pace: &str) -> String {
    script("")
        + &group(north_going, "south room", pace, &["north room"])
        + &group(south_going, "north room", pace, &["south room"])
}

/// A loop: two straight runs joined by half rings.
#[derive(Clone, Copy, Debug)]
pub struct Loop {
    /// Width of the way.
    pub width: f64,
    /// Length of a straight run.
    pub straight: f64,
    /// Inner radius of the half rings.
    pub radius: f64,
}

/// The wall between the parts of a loop, in meters.
const JOINT: f64 = 0.1;
/// People a square meter that a script fills a room with at most.
const FULLEST: f64 = 2.99;
/// Pieces of a half ring.
const PIECES: u32 = 24;

impl Loop {
    /// Length of the middle line, in meters.
    pub fn length(self) -> f64 {
        2.0 * self.straight
            + 2.0 * std::f64::consts::PI * (self.radius + self.width / 2.0)
            + 4.0 * JOINT
    }

    /// The south run as west, south, east, north, in meters.
    pub fn south_run(self) -> (f64, f64, f64, f64) {
        let west = self.radius + self.width + JOINT;
        (west, 0.0, west + self.straight, self.width)
    }

    /// The text of the plan: rooms `south`, `east`, `north`, `west`, openings `one` to `four`
    /// counter-clockwise from the south-east.
    pub fn plan(self) -> String {
        let (w, r) = (self.width, self.radius);
        let (west, _, east, _) = self.south_run();
        let middle = r + w;
        let rectangle = |low: f64| [(west, low), (east, low), (east, low + w), (west, low + w)];
        let mut text = format!("{METRES}room = [\n");
        let mut room = |name: &str, points: &[(f64, f64)]| {
            let least =
                |f: fn(&(f64, f64)) -> f64| points.iter().map(f).fold(f64::INFINITY, f64::min);
            let (x, y) = (least(|p| p.0), least(|p| p.1));
            let _ = writeln!(
                text,
                "  {{ name = \"{name}\", use = \"other\", at = [{x:.6}, {y:.6}], outline = {} }},",
                outline(points)
            );
        };
        room("south", &rectangle(0.0));
        room("east", &half_ring((east + JOINT, middle), r, w, 1.0));
        room("north", &rectangle(middle + r));
        room("west", &half_ring((west - JOINT, middle), r, w, -1.0));
        text += "]\nopening = [\n";
        for (name, a, b) in [
            ("one", "south", "east"),
            ("two", "east", "north"),
            ("three", "north", "west"),
            ("four", "west", "south"),
        ] {
            let _ = writeln!(
                text,
                "  {{ name = \"{name}\", joins = [\"{a}\", \"{b}\"], style = \"cased\", width = \"{w:.4}m\" }},"
            );
        }
        text + "  { joins = [\"outside\", \"north\"], wall = \"north\", style = \"cased\", width = \"0.7m\" },\n]\n"
    }

    /// A script that sends so many people round the loop for so many seconds, of paces in turn,
    /// spread over its four parts. With `both_ways` every second one goes the other way.
    pub fn script(self, people: u32, paces: &[f64], ends: f64, both_ways: bool) -> String {
        let ring = std::f64::consts::PI * (self.radius + self.width / 2.0);
        let total = 2.0 * self.straight + 2.0 * ring;
        let bounds = [0.0, self.straight, self.straight + ring, 2.0 * self.straight + ring, total];
        let rooms = [("south", 0), ("east", 1), ("north", 2), ("west", 3)];
        let openings = ["one", "two", "three", "four"];
        // a script fills a room to half of what can stand there at most
        let most = [self.straight, ring, self.straight, ring]
            .map(|length| (length * self.width * FULLEST).floor() as u32);
        let mut filled = [0; 4];
        let mut counts: Vec<Vec<[u32; 2]>> = vec![vec![[0; 2]; paces.len()]; 4];
        for k in 0..people {
            // spread evenly over the loop; pace and direction by turns that do not follow the place
            let at = (f64::from(k) + 0.5) / f64::from(people) * total;
            let even = (0..4).rfind(|&p| bounds[p] <= at).unwrap_or(0);
            let part =
                (0..4).map(|i| (even + i) % 4).find(|&p| filled[p] < most[p]).unwrap_or(even);
            filled[part] += 1;
            counts[part][(k * 7 % paces.len() as u32) as usize]
                [usize::from(both_ways && k % 2 == 1)] += 1;
        }
        let mut text = script(&format!("[model]\nends = \"{ends}s\""));
        for (room, part) in rooms {
            for (pace, ways) in paces.iter().zip(&counts[part]) {
                let pace = format!("{pace}m/s");
                let on: Vec<&str> = (0..4).map(|i| openings[(part + i) % 4]).collect();
                let back: Vec<&str> = (0..4).map(|i| openings[(part + 7 - i) % 4]).collect();
                for (n, stops) in ways.iter().zip([on, back]) {
                    let one = group(*n, room, &pace, &stops);
                    text += &one;
                    if !one.is_empty() {
                        text += "repeat = 500\n";
                    }
                }
            }
        }
        text
    }
}

/// Half a ring about a point, to the east (1) or the west (-1).
fn half_ring((cx, cy): (f64, f64), radius: f64, width: f64, side: f64) -> Vec<(f64, f64)> {
    let angle = |k: u32| (f64::from(k) / f64::from(PIECES) - 0.5) * std::f64::consts::PI;
    let arc = |r: f64, k: u32| (cx + side * r * angle(k).cos(), cy + side * r * angle(k).sin());
    let outer = (0..=PIECES).map(|k| arc(radius + width, k));
    outer.chain((0..=PIECES).rev().map(|k| arc(radius, k))).collect()
}

/// A room of 8 m by 10 m to the south of a corridor that ends in an exit of a width, with floor to
/// walk on beyond it, all in meters.
pub fn exit(corridor: f64, run: f64, width: f64, more: &str) -> String {
    let offset = (8.0 - corridor) / 2.0;
    format!(
        "{METRES}room = [\n\
           {{ name = \"waiting room\", use = \"other\", size = [\"8m\", \"10m\"] }},\n\
           {{ name = \"corridor\", use = \"other\", size = [\"{corridor}m\", \"{run}m\"], north_of = \"waiting room\", offset = \"{offset}m\" }},\n\
           {{ name = \"beyond\", use = \"other\", size = [\"8m\", \"5m\"], north_of = \"corridor\", offset = \"-{offset}m\" }},\n\
         ]\n\
         opening = [\n\
           {{ joins = [\"waiting room\", \"corridor\"], style = \"cased\", width = \"{corridor}m\" }},\n\
           {{ name = \"exit\", joins = [\"corridor\", \"beyond\"], clear = \"{width:.4}m\", {more} }},\n\
           {{ joins = [\"outside\", \"beyond\"], wall = \"north\", style = \"cased\", width = \"7m\" }},\n\
         ]\n"
    )
}
