//! The program: one short function for each command.

/// The command line.
pub mod args;
/// Problems with their place, underlined.
pub mod diagnostic;
/// What is printed and written.
mod write;
/// Some evenings of a run, to be joined with the others.
mod part;
/// Questions about an evening.
mod ask;
mod check;
mod evidence;
mod new;
mod review;

pub use write::beside::clean_up_when_interrupted;

use crate::command::args::{Cli, Command, Input, Over};
use crate::words;
use crate::words::problem::nearest_or_all;
use clap::{CommandFactory, Parser};
use sim::base::parallel::Endless;
use sim::evening::scenario::Occasion;
use sim::files::{Asked, Loaded, Rejected, read};
use sim::floor::world::World;
use std::cell::Cell;
use std::ffi::OsString;
use std::io::{IsTerminal, Read, Write};

/// How a command ends short of its answer, with its exit code.
#[derive(Debug)]
pub(crate) enum Stop {
    /// The asked check failed.
    Failed,
    /// Wrong use.
    Usage(String),
    /// Wrong input.
    Input(Box<Rejected>),
    /// Parts that are not parts of one run, and why.
    Parts(Vec<String>),
    /// Cannot write.
    Write(String),
    /// An evening would not have ended.
    Endless(Endless),
}

impl From<std::io::Error> for Stop {
    fn from(e: std::io::Error) -> Stop {
        Stop::Write(e.to_string())
    }
}

impl From<serde_json::Error> for Stop {
    fn from(e: serde_json::Error) -> Stop {
        Stop::Write(e.to_string())
    }
}

impl From<crate::pictures::Undrawn> for Stop {
    fn from(e: crate::pictures::Undrawn) -> Stop {
        Stop::Write(format!("a picture could not be drawn: {}", e.0))
    }
}

/// Runs the program with arguments (the first is the program's name) and returns its exit code.
/// Results go to `out`, messages and progress to `err`.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    run_on(args, false, out, err)
}

/// The same; with `terminal`, `out` shows bold and color. A reader who goes away early changes
/// neither what is written to files nor the exit code.
pub fn run_on(
    args: impl IntoIterator<Item = OsString>,
    terminal: bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let (gone, unheard) = (Cell::new(false), Cell::new(false));
    let out: &mut dyn Write = &mut Heard { by: out, has_gone: &gone };
    let err: &mut dyn Write = &mut Heard { by: err, has_gone: &unheard };
    let mut cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(e) => {
            let to_out = !e.use_stderr();
            let text = e.render().to_string();
            let _ = if to_out {
                out.write_all(text.as_bytes())
            } else {
                err.write_all(text.as_bytes())
            };
            return if to_out { 0 } else { 2 };
        }
    };
    if let Some(output) = cli.command.output_mut() {
        output.terminal = terminal;
    }
    let result = match &cli.command {
        Command::Run(args) if args.watch => ask::watch::watch(args, &|| gone.get(), out, err),
        Command::Run(args) => ask::run::run(args, out, err),
        Command::Merge(args) => ask::merge::merge(args, out, err),
        Command::Capacity(args) => ask::capacity::capacity(args, out, err),
        Command::Compare(args) => ask::compare::compare(args, out, err),
        Command::Where(args) => ask::where_to::where_to(args, out, err),
        Command::Improve(args) => ask::improve::improve(args, out, err),
        Command::Check(args) => check::check(args, out, err),
        Command::Review(args) => review::review(args, out, err),
        Command::Evidence(args) => evidence::evidence(args, out, err),
        Command::New(args) => new::new(args, out),
        Command::Manual => manual(out),
        Command::Completions { shell } => {
            let mut text = vec![];
            clap_complete::generate(*shell, &mut Cli::command(), "elbowroom", &mut text);
            out.write_all(&text).map_err(Stop::from)
        }
    };
    match result {
        Ok(()) => 0,
        Err(stop) => explain(&stop, err),
    }
}

/// Output that goes on without its reader.
struct Heard<'a> {
    by: &'a mut dyn Write,
    has_gone: &'a Cell<bool>,
}

impl Heard<'_> {
    fn unless_gone<T>(&mut self, done: std::io::Result<T>, otherwise: T) -> std::io::Result<T> {
        if done.as_ref().is_err_and(|e| e.kind() == std::io::ErrorKind::BrokenPipe) {
            self.has_gone.set(true);
        }
        if self.has_gone.get() { Ok(otherwise) } else { done }
    }
}

impl Write for Heard<'_> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        if self.has_gone.get() {
            return Ok(bytes.len());
        }
        let done = self.by.write(bytes);
        self.unless_gone(done, bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        if self.has_gone.get() {
            return Ok(());
        }
        let done = self.by.flush();
        self.unless_gone(done, ())
    }
}

/// The manual page: the program, then every command.
fn manual(out: &mut dyn Write) -> Result<(), Stop> {
    let whole = Cli::command();
    clap_mangen::Man::new(whole.clone()).render(out)?;
    for command in whole.get_subcommands().filter(|c| !c.is_hide_set()) {
        let command = command.clone();
        writeln!(out, ".SH COMMAND {}", command.get_name().to_uppercase())?;
        let page = clap_mangen::Man::new(command);
        page.render_synopsis_section(out)?;
        page.render_description_section(out)?;
        page.render_options_section(out)?;
    }
    Ok(())
}

fn explain(stop: &Stop, err: &mut dyn Write) -> u8 {
    let (text, code) = match stop {
        Stop::Failed => (String::new(), 1),
        Stop::Usage(text) => (format!("error: {text}\n"), 2),
        Stop::Input(rejected) => (
            diagnostic::render(
                rejected,
                std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none(),
            ),
            3,
        ),
        Stop::Parts(why) => (why.iter().map(|why| format!("error: {why}\n")).collect(), 3),
        Stop::Write(text) => (format!("error: {text}\n"), 4),
        Stop::Endless(which) => (format!("error: {}\n", words::endless(*which)), 5),
    };
    let _ = err.write_all(text.as_bytes());
    code
}

/// Reads the input and puts it on the floor.
pub(crate) fn load(input: &Input) -> Result<(Loaded, World), Stop> {
    let loaded = load_file(&input.file, input.option.clone(), &input.over)?;
    let world = laid(&loaded)?;
    Ok((loaded, world))
}

/// Puts on the floor what was read.
fn laid(loaded: &Loaded) -> Result<World, Stop> {
    let refused = |problems| Stop::Input(Box::new(loaded.reject(problems)));
    let world = World::new(loaded.plan.clone(), loaded.scenario.clone()).map_err(refused)?;
    let is_as_written = loaded.scenario.option.is_none();
    let idle = if is_as_written { world.idle_servings() } else { vec![] };
    if idle.is_empty() { Ok(world) } else { Err(refused(idle)) }
}

/// The same, for a question about the evening's guests: they have to fit on the floor.
pub(crate) fn on_the_floor(loaded: &Loaded) -> Result<World, Stop> {
    let world = laid(loaded)?;
    match world.too_many() {
        Some(problem) => Err(Stop::Input(Box::new(loaded.reject(vec![problem])))),
        None => Ok(world),
    }
}

/// Reads an evening and puts it on the floor.
pub(crate) fn load_evening(input: &Input) -> Result<(Loaded, World), Stop> {
    let loaded = load_file(&input.file, input.option.clone(), &input.over)?;
    let world = on_the_floor(&loaded)?;
    Ok((loaded, world))
}

/// Reads a file.
fn load_file(file: &str, option: Option<String>, over: &Over) -> Result<Loaded, Stop> {
    let asked = asked(option, over)?;
    read(file, &from_disk, &asked).map_err(|r| Stop::Input(Box::new(r)))
}

/// No plan is larger, in bytes.
const LARGEST_FILE: u64 = 1_000_000;

/// Why a file cannot be read.
fn cannot_read(e: std::io::Error) -> String {
    if e.kind() == std::io::ErrorKind::NotFound {
        "there is no such file".into()
    } else {
        e.to_string()
    }
}

/// A text file; nothing that never ends.
fn from_disk(path: &str) -> Result<String, String> {
    let there = std::fs::metadata(path).map_err(cannot_read)?;
    if there.is_dir() {
        return Err("it is a folder".into());
    }
    if !there.is_file() {
        return Err("it is a device or a pipe, not a file".into());
    }
    let mut bytes = vec![];
    std::fs::File::open(path)
        .and_then(|f| f.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        .map_err(cannot_read)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(format!("it is larger than any plan (over {} MB)", LARGEST_FILE / 1_000_000));
    }
    String::from_utf8(bytes).map_err(|e| {
        let line =
            e.as_bytes()[..e.utf8_error().valid_up_to()].iter().filter(|b| **b == b'\n').count()
                + 1;
        format!("line {line} is not text in UTF-8; save it as UTF-8")
    })
}

fn asked(option: Option<String>, over: &Over) -> Result<Asked, Stop> {
    let occasion = match &over.occasion {
        None => None,
        Some(word) => Some(Occasion::from_word(word).ok_or_else(|| {
            let known = Occasion::ALL.map(Occasion::word);
            let hint = nearest_or_all(word, &known);
            Stop::Usage(format!("--occasion `{word}` is not known; {hint}"))
        })?),
    };
    let most = i64::from(sim::evening::scenario::MOST_INSIDE);
    let guests = match over.guests {
        None => None,
        Some(n) if (1..=most).contains(&n) => Some(n as u32),
        Some(n) => {
            return Err(Stop::Usage(format!(
                "--guests {n} is out of range; expected a whole number from 1 to {most}"
            )));
        }
    };
    let limits = over.limits.said();
    match sim::files::check_limits(&limits).first() {
        Some(p) => {
            let told = words::problem::told(p);
            let hint = told.hint.map_or(String::new(), |h| format!("; {h}"));
            Err(Stop::Usage(format!("{}: {}{hint}", p.at.replace('/', " "), told.says)))
        }
        None => Ok(Asked { guests, occasion, option, limits }),
    }
}
