//! The small language of the tests: files in a folder of their own, the program run on them
//! in-process, what it printed and wrote. Helpers panic with what went wrong; that is what a test
//! wants.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

/// What `review` says of a plan.
pub mod review;

pub use sim::evidence::lab::plans::{
    corridor, crossing, group, script, two_levels, two_rooms_and_a_hall,
};
use std::collections::BTreeMap;
use std::path::PathBuf;
use tempfile::TempDir;

/// A folder with files, and the program run in it.
pub struct Desk {
    dir: TempDir,
}

/// What a run of the program did.
#[derive(Debug)]
pub struct Outcome {
    /// Exit code.
    pub code: u8,
    /// What it printed.
    pub out: String,
    /// What it complained about.
    pub err: String,
}

/// One line of a trace.
#[derive(Clone, Debug)]
pub struct Row {
    /// Trial.
    pub trial: u32,
    /// Seconds.
    pub time: f64,
    /// Person.
    pub guest: u32,
    /// Level, from the lowest.
    pub level: u32,
    /// Metres.
    pub x: f64,
    /// Metres.
    pub y: f64,
    /// What the person is doing.
    pub doing: String,
}

impl Default for Desk {
    fn default() -> Self {
        Desk::new()
    }
}

impl Desk {
    /// An empty folder.
    pub fn new() -> Desk {
        Desk { dir: TempDir::new().expect("a temporary folder") }
    }

    /// Puts a file in the folder.
    pub fn with(self, name: &str, text: &str) -> Desk {
        std::fs::write(self.path(name), text).expect("a file in the folder");
        self
    }

    /// The path of a file in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// The same as text.
    pub fn at(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    /// Runs the program.
    pub fn run(&self, args: &[&str]) -> Outcome {
        run(args)
    }

    /// Runs a scripted scenario of the folder and returns its traces by person.
    pub fn traces(&self, scenario: &str, more: &[&str]) -> BTreeMap<(u32, u32), Vec<Row>> {
        let (file, csv) = (self.at(scenario), self.at("traces.csv"));
        let mut args = vec!["run", file.as_str(), "--traces", csv.as_str(), "--json", "--quiet"];
        args.extend(more);
        let outcome = run(&args);
        assert_eq!(outcome.code, 0, "{}", outcome.err);
        let text = std::fs::read_to_string(&csv).expect("traces");
        let mut people: BTreeMap<(u32, u32), Vec<Row>> = BTreeMap::new();
        for row in text.lines().skip(1).map(row) {
            people.entry((row.trial, row.guest)).or_default().push(row);
        }
        people
    }
}

/// What people read of a text with markup: without tags, entities as their letters, and one space
/// for any.
pub fn words_of(markup: &str) -> String {
    let mut text = String::new();
    for (i, part) in markup.split('<').enumerate() {
        let read = if i == 0 { part } else { part.split_once('>').map_or("", |p| p.1) };
        text.push(' ');
        text.push_str(read);
    }
    for (entity, letter) in [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&apos;", "'"),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ] {
        text = text.replace(entity, letter);
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A plan, an evening and an option whose names try to break out of everything they are written
/// into.
pub fn hostile(desk: Desk) -> Desk {
    let long = "very long ".repeat(400);
    // as long as a name may be
    let unbroken = "x".repeat(60);
    let plan = format!(
        r##"format = 1
title = "</title><script>window.ran=1</script> {long}"
room = [
  {{ name = "<script>window.ran=1</script>", size = [6, 20] }},
  {{ name = "\"><img src=x onerror=window.ran=1>", size = [18, 20], east_of = "<script>window.ran=1</script>" }},
  {{ name = "{unbroken}", size = [8, 8], west_of = "<script>window.ran=1</script>", use = "powder" }},
  {{ name = "غرفة المعيشة", size = [16, 12], north_of = "\"><img src=x onerror=window.ran=1>", use = "living" }},
]
opening = [
  {{ joins = ["outside", "<script>window.ran=1</script>"], wall = "south", name = "</svg><script>window.ran=1</script>" }},
  {{ joins = ["<script>window.ran=1</script>", "\"><img src=x onerror=window.ran=1>"], style = "cased", width = "40in", name = "gnp.exe]]>--><!--" }},
  {{ joins = ["<script>window.ran=1</script>", "{unbroken}"], name = "' onload='window.ran=1" }},
  {{ joins = ["\"><img src=x onerror=window.ran=1>", "غرفة المعيشة"], style = "cased", width = "5ft", name = "#010203" }},
]
furniture = [
  {{ kind = "bar", name = "</style><style>body{{display:none}}", room = "\"><img src=x onerror=window.ran=1>", north = 0, east = "1ft" }},
  {{ kind = "table", name = "🎉🥳🍷", room = "غرفة المعيشة" }},
  {{ kind = "rack", name = "{{{{7*7}}}} ${{7*7}} &lt;b&gt;", room = "<script>window.ran=1</script>", north = 0 }},
]
"##
    );
    let evening = r#"format = 1
plan = "plan.toml"
title = "<b>Party</b> \u2028 </script><script>window.ran=1</script>"
occasion = "cocktails"
guests = 16
start = "7pm"
lasts = "1h"
[[option]]
name = "</script><script>window.ran=1</script>"
remove = ["🎉🥳🍷"]
"#;
    desk.with("plan.toml", &plan).with("evening.toml", evening)
}

fn row(line: &str) -> Row {
    let f: Vec<&str> = line.split(',').collect();
    let number = |i: usize| f[i].parse::<f64>().expect("a number in a trace");
    Row {
        trial: number(0) as u32,
        time: number(1),
        guest: number(2) as u32,
        level: number(3) as u32,
        x: number(4),
        y: number(5),
        doing: f[6].to_string(),
    }
}

/// Runs the program with arguments.
pub fn run(args: &[&str]) -> Outcome {
    let (mut out, mut err) = (vec![], vec![]);
    let all =
        std::iter::once("elbowroom").chain(args.iter().copied()).map(std::ffi::OsString::from);
    let code = reports::run(all, &mut out, &mut err);
    Outcome {
        code,
        out: String::from_utf8(out).expect("text"),
        err: String::from_utf8(err).expect("text"),
    }
}

/// A file of the demos.
pub fn demo(name: &str) -> String {
    format!("{}/../scenarios/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// Seconds from the first line of a trace to the last moment under way.
pub fn walking_time(rows: &[Row]) -> f64 {
    let under_way = |r: &&Row| r.doing == "walk" || r.doing == "squeeze";
    let first = rows.iter().find(under_way).map_or(0.0, |r| r.time);
    // the moment the walk ends is noted with what follows it
    let last = rows
        .iter()
        .rposition(|r| r.doing == "walk" || r.doing == "squeeze")
        .map_or(0.0, |i| rows.get(i + 1).map_or(rows[i].time, |r| r.time));
    last - first
}

/// The world of a scenario file, with guests or an option other than its own.
pub fn world(file: &str, guests: Option<u32>, option: Option<&str>) -> sim::floor::world::World {
    let load = |p: &str| std::fs::read_to_string(p).map_err(|e| e.to_string());
    let asked =
        sim::files::Asked { guests, option: option.map(String::from), ..Default::default() };
    let loaded = sim::files::read(file, &load, &asked)
        .unwrap_or_else(|r| panic!("{file}: {:?}", r.problems));
    sim::floor::world::World::new(loaded.plan, loaded.scenario)
        .unwrap_or_else(|p| panic!("{file}: {p:?}"))
}

/// Numbers that look drawn, the same for one seed on every machine (Steele, Lea & Flood 2014:
/// SplitMix64).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice of a seed.
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }

    /// A number from 0 to one below `many`, which is at least 1.
    pub fn below(&mut self, many: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % many as u64) as usize
    }
}
