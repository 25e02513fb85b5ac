//! The command line. The doc comments are the help.

use clap::{Args, Parser, Subcommand};
use sim::study::capacity::effort::{Effort, USUAL_EVENINGS};
use std::path::PathBuf;

/// How many guests a home's layout handles before it jams, and where.
///
/// Comfort and layout planning only: not an occupant load, egress, fire, acoustic or structural
/// calculation. Local codes and licensed professionals decide those.
#[derive(Debug, Parser)]
#[command(name = "elbowroom", version, arg_required_else_help = true, max_term_width = 100, after_help = EXAMPLES)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const EXAMPLES: &str = "Examples:
  elbowroom new my-house                               a commented plan and evening to start from
  elbowroom check my-house/plan.toml                   what it understood, drawn with dimensions
  elbowroom review my-house/plan.toml                  the plan held against what designers use
  elbowroom run my-house/evening.toml                  how crowded this evening is, where it jams
  elbowroom run my-house/plan.toml --guests 30 --occasion cocktails
  elbowroom capacity my-house/evening.toml             how many guests, what runs out first
  elbowroom compare my-house/evening.toml              its options against it as it is
  elbowroom where my-house/evening.toml food           the best place for the food, on a map
  elbowroom improve my-house/evening.toml              the single change that buys most

Exit: 0 done, 1 the asked check failed (evidence, --strict), 2 usage, 3 input, 4 cannot write, 5 an evening would not have ended, 130 interrupted.";

const RUN_EXAMPLES: &str = "Examples:
  elbowroom run evening.toml                           the evening as it stands in the file
  elbowroom run evening.toml --guests 35 --grade easy  more guests, held to another grade
  elbowroom run plan.toml --guests 30 --occasion buffet";
const MERGE_EXAMPLES: &str = "Examples:
  elbowroom run evening.toml --trials 0..250 --part first
  elbowroom run evening.toml --trials 250..500 --part second     on another machine, with the same build
  elbowroom merge first second                         what `run evening.toml` would have said";
const CAPACITY_EXAMPLES: &str = "Examples:
  elbowroom capacity evening.toml                      the whole house
  elbowroom capacity evening.toml --in 'great room'    only what happens there
  elbowroom capacity evening.toml --habits             which guest habit moves it most";
const COMPARE_EXAMPLES: &str = "Examples:
  elbowroom compare evening.toml                       every [[option]] of the file
  elbowroom compare evening.toml 'second bar'          one of them
  elbowroom compare today.toml remodel.toml            two scenarios";
const WHERE_EXAMPLES: &str = "Examples:
  elbowroom where evening.toml food
  elbowroom where evening.toml coats --option 'second bar'";
const IMPROVE_EXAMPLES: &str = "Examples:
  elbowroom improve evening.toml                       what makes room for more guests, then what saves time
  elbowroom improve evening.toml --in hall             what helps in one place
  elbowroom improve evening.toml --for 40              the smallest change that makes 40 guests fit";
const CHECK_EXAMPLES: &str = "Examples:
  elbowroom check plan.toml                            the plan alone
  elbowroom check evening.toml                         the plan with the evening in it";

const REVIEW_EXAMPLES: &str = "Examples:
  elbowroom review plan.toml                           the plan alone
  elbowroom review plan.toml --guests 30               seats, coats, cars and dishes for 30
  elbowroom review plan.toml evening.toml              the plan with an evening in it";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// What does this evening look like? Its grade, where it jams, when, why; every line.
    #[command(after_help = RUN_EXAMPLES)]
    Run(Run),
    /// Join parts of a run that were played apart: the same answer as one run.
    #[command(after_help = MERGE_EXAMPLES)]
    Merge(Merge),
    /// How many guests, what runs out first, what next?
    #[command(after_help = CAPACITY_EXAMPLES)]
    Capacity(Capacity),
    /// Which arrangement is better, and by how much? Options of a scenario, or several scenarios.
    #[command(after_help = COMPARE_EXAMPLES)]
    Compare(Compare),
    /// Where is the best place for the food, the drinks, the coats?
    #[command(after_help = WHERE_EXAMPLES)]
    Where(Where),
    /// Which single change is worth the most? Doors, furniture, bars, racks, widths, lines, times.
    #[command(after_help = IMPROVE_EXAMPLES)]
    Improve(Improve),
    /// Does my file say what I measured? Checks it, and draws the plan with dimensions.
    #[command(after_help = CHECK_EXAMPLES)]
    Check(Check),
    /// Is the plan itself sound for entertaining? Holds it against what designers and caterers use.
    #[command(after_help = REVIEW_EXAMPLES)]
    Review(Review),
    /// Why should I believe it? Checks the model against published values and theory; takes some
    /// minutes.
    Evidence(Evidence),
    /// Create a commented plan and evening, ready to run.
    New(New),
    /// The manual page, for `man`.
    #[command(hide = true)]
    Manual,
    /// Completions for a shell.
    #[command(hide = true)]
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
}

/// What is read, for every question.
#[derive(Clone, Debug, Args)]
pub struct Input {
    /// A plan, or a scenario that names one.
    #[arg(value_name = "FILE", value_hint = clap::ValueHint::FilePath)]
    pub file: String,
    /// Use this option from the scenario.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// Overrides the file.
    #[command(flatten)]
    pub over: Over,
}

/// What is asked over what the file says.
#[derive(Clone, Debug, Args)]
pub struct Over {
    /// Guests, instead of the file's (1 to 1,000).
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(i64))]
    pub guests: Option<i64>,
    /// Occasion, instead of the file's: cocktails or buffet.
    #[arg(long, value_name = "NAME")]
    pub occasion: Option<String>,
    /// Overrides the file's limits.
    #[command(flatten)]
    pub limits: Limits,
}

/// What the host accepts, over what the file says.
#[derive(Clone, Debug, Default, Args)]
#[command(next_help_heading = "Limits, over the file's")]
pub struct Limits {
    /// The grade to ask about: easy, lively (the usual) or packed.
    #[arg(long, value_name = "GRADE")]
    pub grade: Option<String>,
    /// Longest time the worst spot may be jammed, on 9 evenings in 10: 5min.
    #[arg(long, value_name = "TIME")]
    pub jammed: Option<String>,
    /// Longest wait for 9 visits in 10: food=5min; repeat it for drinks, powder, coats, door.
    #[arg(long, value_name = "SPOT=TIME")]
    pub wait: Vec<String>,
    /// Largest share of guests looking for a seat who find none: 10%.
    #[arg(long, value_name = "SHARE")]
    pub seats_short: Option<String>,
    /// Most coats with nowhere to go: 2.
    #[arg(long, value_name = "N")]
    pub coats_over: Option<String>,
    /// Least clear floor per guest: "7 sq ft".
    #[arg(long, value_name = "AREA")]
    pub clear_floor: Option<String>,
}

impl Limits {
    /// Keys of `[limits]` and their values, as a file would have them.
    pub fn said(&self) -> Vec<(String, String)> {
        let single = [
            ("grade", &self.grade),
            ("jammed", &self.jammed),
            ("seats_short", &self.seats_short),
            ("coats_over", &self.coats_over),
            ("clear_floor", &self.clear_floor),
        ];
        let single =
            single.into_iter().filter_map(|(key, value)| Some((key.to_string(), value.clone()?)));
        let waits = self.wait.iter().map(|w| {
            w.split_once('=').map_or((format!("wait/{w}"), String::new()), |(spot, time)| {
                (format!("wait/{spot}"), time.into())
            })
        });
        single.chain(waits).collect()
    }
}

/// Where answers go.
#[derive(Debug, Args)]
pub struct Output {
    /// Folder for the answer (default: numbered after scenario and question).
    #[arg(long, value_name = "DIR", value_hint = clap::ValueHint::DirPath)]
    pub out: Option<PathBuf>,
    /// Replace a folder that an earlier run wrote.
    #[arg(long)]
    pub force: bool,
    /// Print answer.json; write no files unless --out is given.
    #[arg(long)]
    pub json: bool,
    /// No progress bar.
    #[arg(long, short)]
    pub quiet: bool,
    /// Whether bold and color can be shown.
    #[arg(skip)]
    pub terminal: bool,
}

impl Command {
    /// Where the answer goes, for commands that have one.
    pub fn output_mut(&mut self) -> Option<&mut Output> {
        match self {
            Command::Run(a) => Some(&mut a.output),
            Command::Merge(a) => Some(&mut a.output),
            Command::Capacity(a) => Some(&mut a.output),
            Command::Compare(a) => Some(&mut a.output),
            Command::Where(a) => Some(&mut a.output),
            Command::Improve(a) => Some(&mut a.output),
            Command::Check(a) => Some(&mut a.output),
            Command::Review(a) => Some(&mut a.output),
            Command::Evidence(_)
            | Command::New(_)
            | Command::Manual
            | Command::Completions { .. } => None,
        }
    }
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct Run {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// Simulated evenings: how many, or FIRST..END.
    #[arg(long, value_name = "N|A..B", default_value = "500", value_parser = range)]
    pub trials: std::ops::Range<u32>,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Exit with 1 if a limit does not hold.
    #[arg(long)]
    pub strict: bool,
    /// Write where everybody is every half second to this file; at most 20 trials.
    #[arg(long, value_name = "FILE.csv", value_hint = clap::ValueHint::FilePath)]
    pub traces: Option<PathBuf>,
    /// Write the evenings to this file instead of an answer; `merge` joins such parts of one run.
    #[arg(long, value_name = "FILE", value_hint = clap::ValueHint::FilePath, conflicts_with_all = ["traces", "strict", "out", "force", "json", "watch"])]
    pub part: Option<PathBuf>,
    /// Answer again whenever a file changes, a few evenings first; Ctrl-C ends it. Nothing is written.
    #[arg(long, conflicts_with_all = ["traces", "strict", "out", "force", "json"])]
    pub watch: bool,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `merge`.
#[derive(Debug, Args)]
pub struct Merge {
    /// Parts that `run --part` wrote, in any order.
    #[arg(value_name = "PART", required = true, value_hint = clap::ValueHint::FilePath)]
    pub parts: Vec<PathBuf>,
    /// Exit with 1 if a limit does not hold.
    #[arg(long)]
    pub strict: bool,
    /// Threads (default: all). The answer does not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// How evenings are drawn, and on how many threads.
#[derive(Debug, Args)]
pub struct Draw {
    /// Seed: the same seed gives the same evenings.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads (default: all). The answer does not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

/// Arguments of `capacity`.
#[derive(Debug, Args)]
pub struct Capacity {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// Count only this room or opening: jams there, and lines at its spots.
    #[arg(long = "in", value_name = "PLACE")]
    pub place: Option<String>,
    /// Also show which guest habit (talk spells, group sizes, stepping aside) moves the answer, and
    /// how far.
    #[arg(long)]
    pub habits: bool,
    /// Simulated evenings near the answer, after a first look; fewer if they tell enough, unless
    /// you ask for more than usual.
    #[arg(long, value_name = "N", default_value_t = Effort::WHOLE.spend, value_parser = clap::value_parser!(u32).range(64..=1_000_000))]
    pub trials: u32,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// The scenario to compare with.
    #[arg(value_name = "FILE", value_hint = clap::ValueHint::FilePath)]
    pub file: String,
    /// Names of its options (default: all of them), or other scenarios (FILE.toml).
    #[arg(value_name = "OPTION|FILE.toml")]
    pub others: Vec<String>,
    /// Overrides the files.
    #[command(flatten)]
    pub over: Over,
    /// Simulated evenings in each arrangement.
    #[arg(long, value_name = "N", default_value_t = USUAL_EVENINGS, value_parser = clap::value_parser!(u32).range(2..=1_000_000))]
    pub trials: u32,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `where`.
#[derive(Debug, Args)]
pub struct Where {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// What to place: food, drinks, coats or glasses.
    #[arg(value_name = "SPOT")]
    pub spot: String,
    /// Fresh simulated evenings for the best places, after a race.
    #[arg(long, value_name = "N", default_value_t = USUAL_EVENINGS, value_parser = clap::value_parser!(u32).range(2..=1_000_000))]
    pub trials: u32,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `improve`.
#[derive(Debug, Args)]
pub struct Improve {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// Find the smallest change that makes this many guests fit.
    #[arg(long = "for", value_name = "N", conflicts_with_all = ["guests", "place"])]
    pub fit: Option<i64>,
    /// Rank by minutes lost at this room or opening.
    #[arg(long = "in", value_name = "PLACE")]
    pub place: Option<String>,
    /// Fresh simulated evenings for the best changes, after a race.
    #[arg(long, value_name = "N", default_value_t = USUAL_EVENINGS, value_parser = clap::value_parser!(u32).range(2..=1_000_000))]
    pub trials: u32,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// Draw the clear floor next to furniture as dimension strings.
    #[arg(long)]
    pub dimensions: bool,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `review`.
#[derive(Debug, Args)]
pub struct Review {
    /// The file to read.
    #[command(flatten)]
    pub input: Input,
    /// A scenario on that plan: who comes, what is where.
    #[arg(value_name = "SCENARIO", value_hint = clap::ValueHint::FilePath)]
    pub scenario: Option<String>,
    /// List the points that pass as well.
    #[arg(long)]
    pub all: bool,
    /// Exit with 1 if a point fails.
    #[arg(long)]
    pub strict: bool,
    /// Seed and threads.
    #[command(flatten)]
    pub draw: Draw,
    /// Where answers go.
    #[command(flatten)]
    pub output: Output,
}

/// Arguments of `evidence`.
#[derive(Debug, Args)]
pub struct Evidence {
    /// Run only these checks, by their short names.
    #[arg(long, value_name = "ID", value_delimiter = ',', num_args = 1..)]
    pub only: Vec<String>,
    /// Leave out the slow ones.
    #[arg(long)]
    pub fast: bool,
    /// Print the table as JSON.
    #[arg(long)]
    pub json: bool,
    /// Threads (default: all). The figures do not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// No progress.
    #[arg(long, short)]
    pub quiet: bool,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// A folder that does not exist yet, or is empty.
    #[arg(value_name = "DIR", value_hint = clap::ValueHint::DirPath)]
    pub dir: PathBuf,
}

/// The most trials in one run.
const MOST_TRIALS: u32 = 1_000_000;

fn range(text: &str) -> Result<std::ops::Range<u32>, String> {
    let bad = || {
        format!(
            "expected a number of evenings such as 500, or a range such as 7..8 (at most {MOST_TRIALS})"
        )
    };
    let (from, to) = match text.split_once("..") {
        Some((a, b)) => (a.parse().map_err(|_| bad())?, b.parse().map_err(|_| bad())?),
        None => (0, text.parse().map_err(|_| bad())?),
    };
    if from < to && to - from <= MOST_TRIALS { Ok(from..to) } else { Err(bad()) }
}
