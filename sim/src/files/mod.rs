//! From the text of files to a plan and a scenario, or to everything that is wrong with them and
//! where. Reads no files itself: the caller hands in a way to load a path.

mod values;
mod node;
mod decode;
mod names;
mod limits;
mod plan;
mod scenario;
mod options;
mod edits;

pub use decode::{LONGEST_NAME, Places, turns_text};
pub use edits::lines;
pub use limits::check_limits;
pub use node::Place;
pub use scenario::Asked;

use crate::evening::edit::Edits;
use crate::evening::scenario::Scenario;
use crate::house::edit::edited;
use crate::house::plan::Plan;
use crate::house::plan::said::Said;
use crate::house::problem::{BadFile, BadKey, File, Named, Needed, Problem};
use decode::Decoder;
use node::{Entry, Malformed, Node, Value};
use options::{OptionNode, Pair};

/// A file's name and text.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The path as the person would write it.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// A problem, and where it stands in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Located {
    /// The problem.
    pub problem: Problem,
    /// Where, if it stands anywhere.
    pub place: Option<Place>,
}

/// Inputs that were refused.
#[derive(Clone, Debug)]
pub struct Rejected {
    /// The plan file, if it was read.
    pub plan: Option<Source>,
    /// The scenario file, if there is one.
    pub scenario: Option<Source>,
    /// Everything that is wrong.
    pub problems: Vec<Located>,
}

/// A plan and a scenario that fit each other.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// The plan.
    pub plan: Plan,
    /// The scenario.
    pub scenario: Scenario,
    /// The options of the scenario file, in its order.
    pub options: Vec<Variant>,
    /// The plan file.
    pub plan_source: Source,
    /// The scenario file.
    pub scenario_source: Option<Source>,
    /// What the plan said, with the option in force laid on it.
    said: Said,
    places: Places,
}

/// A named alternative of the scenario file, read.
#[derive(Clone, Debug)]
pub struct Variant {
    /// Its name.
    pub name: String,
    /// What the file says it costs.
    pub cost: Option<f64>,
    /// The plan with it.
    pub plan: Plan,
    /// The scenario with it.
    pub scenario: Scenario,
}

impl Loaded {
    /// The plan and scenario with changes laid on what is in force: what they are when the changes
    /// are pasted as an option, see [`lines`].
    pub fn with(&self, edits: &Edits) -> Result<(Plan, Scenario), Vec<Problem>> {
        let plan = if edits.house.is_empty() {
            self.plan.clone()
        } else {
            Plan::build(&edited(&self.said, &self.plan, &edits.house).map_err(|p| vec![p])?)?
        };
        let scenario = edits.evening(&self.scenario).map_err(|p| vec![p])?;
        let problems = names::problems(&scenario, &plan);
        if problems.is_empty() { Ok((plan, scenario)) } else { Err(problems) }
    }

    /// Turns problems found later (a spot nobody can reach) into a refusal with places.
    pub fn reject(&self, problems: Vec<Problem>) -> Rejected {
        Rejected {
            plan: Some(self.plan_source.clone()),
            scenario: self.scenario_source.clone(),
            problems: locate(problems, &self.places),
        }
    }
}

/// Finds the place of each problem, or of the nearest item above it.
fn locate(problems: Vec<Problem>, places: &Places) -> Vec<Located> {
    let find = |p: &Problem| {
        let mut at = p.at.as_str();
        loop {
            if let Some(place) = places.get(&(p.file, at.to_string())) {
                return Some(place.clone());
            }
            at = at.rsplit_once('/')?.0;
        }
    };
    let mut located: Vec<Located> = Vec::new();
    for problem in problems {
        let place = find(&problem);
        if !located.iter().any(|l| l.problem.wrong == problem.wrong && l.place == place) {
            located.push(Located { place, problem });
        }
    }
    located
}

/// How a path is loaded: the text, or why not.
pub type Load<'a> = &'a dyn Fn(&str) -> Result<String, String>;

/// Reads a plan or a scenario from `path`, with the option and overrides asked for.
/// All options of the file are checked, not only the one in force.
pub fn read(path: &str, load: Load, asked: &Asked) -> Result<Loaded, Rejected> {
    let text = load(path).map_err(|why| cannot_load(path, &why))?;
    let source = Source { name: path.to_string(), text };
    let file = if is_plan(&source.text) { File::Plan } else { File::Scenario };
    match file {
        File::Plan => read_pair(source, None, asked, load),
        File::Scenario => read_pair_of(source, asked, load),
    }
}

fn cannot_load(path: &str, why: &str) -> Rejected {
    let problem = Problem::of_plan("", BadFile::Unread { path: path.into(), why: why.into() });
    Rejected { plan: None, scenario: None, problems: vec![Located { problem, place: None }] }
}

/// Keys that only a scenario has.
const OF_SCENARIOS: [&str; 8] =
    ["plan", "occasion", "guests", "invited", "start", "lasts", "place", "option"];

fn is_plan(text: &str) -> bool {
    let (root, _) = node::parse(text, File::Plan);
    matches!(&root.value, Value::Table(entries)
        if entries.iter().any(|e| e.key == "room") || !entries.iter().any(|e| OF_SCENARIOS.contains(&e.key.as_str()) || is_slip(&e.key)))
}

/// Whether a key is a slip of the fingers for `plan`.
fn is_slip(key: &str) -> bool {
    key != "plan" && strsim::damerau_levenshtein(key, "plan") == 1
}

/// The scenario's own text, and the plan it names.
fn read_pair_of(scenario: Source, asked: &Asked, load: Load) -> Result<Loaded, Rejected> {
    let (root, _) = node::parse(&scenario.text, File::Scenario);
    let Some(named) = text_of(&root, "plan") else {
        return Err(without_plan(scenario, &root));
    };
    let path = beside(&scenario.name, &named);
    match load(&path) {
        Ok(text) => read_pair(Source { name: path, text }, Some(scenario), asked, load),
        Err(why) => {
            let place = entry(&root, "plan").map(|e| e.node.place.clone());
            let problem = Problem::of_scenario("plan", BadFile::UnreadPlan { path, why });
            Err(Rejected {
                plan: None,
                scenario: Some(scenario),
                problems: vec![Located { problem, place }],
            })
        }
    }
}

/// A scenario that names no plan.
fn without_plan(scenario: Source, root: &Node) -> Rejected {
    let slip = match &root.value {
        Value::Table(entries) => entries.iter().find(|e| is_slip(&e.key)),
        _ => None,
    };
    let problem = match (slip, entry(root, "plan")) {
        (Some(e), None) => {
            let known = vec!["plan".into()];
            Problem::of_scenario("", BadKey::Unknown { key: e.key.clone(), known })
        }
        (_, Some(_)) => Problem::of_scenario("plan", BadKey::PlanIsNoText),
        (None, None) => Problem::of_scenario("", BadKey::Missing(Needed::Plan)),
    };
    let place = slip
        .map(|e| e.key_place.clone())
        .or_else(|| entry(root, "plan").map(|e| e.node.place.clone()));
    Rejected { plan: None, scenario: Some(scenario), problems: vec![Located { problem, place }] }
}

/// A path that counts from the folder of another file.
fn beside(file: &str, named: &str) -> String {
    match file.rsplit_once('/') {
        Some((folder, _)) if !named.starts_with('/') => format!("{folder}/{named}"),
        _ => named.to_string(),
    }
}

fn entry<'a>(node: &'a Node, key: &str) -> Option<&'a Entry> {
    match &node.value {
        Value::Table(entries) => entries.iter().find(|e| e.key == key),
        _ => None,
    }
}

fn take_entry(node: &mut Node, key: &str) -> Option<Entry> {
    match &mut node.value {
        Value::Table(entries) => {
            entries.iter().position(|e| e.key == key).map(|i| entries.remove(i))
        }
        _ => None,
    }
}

fn text_of(node: &Node, key: &str) -> Option<String> {
    match &entry(node, key)?.node.value {
        Value::Text(text) => Some(text.clone()),
        _ => None,
    }
}

/// Both texts, decoded for the option asked for, and once more for every other option to find its
/// mistakes.
fn read_pair(
    plan: Source,
    scenario: Option<Source>,
    asked: &Asked,
    load: Load,
) -> Result<Loaded, Rejected> {
    let (mut pair, malformed) = documents(&plan, scenario.as_ref());
    if !malformed.is_empty() {
        return Err(match is_no_plan(&pair, &malformed, &plan.name) {
            Some(problem) => Rejected { plan: None, scenario, problems: vec![problem] },
            None => {
                let problems = malformed.into_iter().map(explain).collect();
                Rejected { plan: Some(plan), scenario, problems }
            }
        });
    }
    let mut d = Decoder::new(File::Scenario);
    let options = pair.take_options(&mut d);
    let mut problems = std::mem::take(&mut d.problems);
    let wanted = match wanted(&options, asked, scenario.is_some()) {
        Ok(wanted) => wanted,
        Err(problem) => {
            problems.push(problem);
            None
        }
    };
    let mut located = locate(problems, &d.places);
    let mut in_force = None;
    let mut variants = vec![];
    for which in std::iter::once(None).chain((0..options.len()).map(Some)) {
        let option = which.map(|i: usize| &options[i]);
        let decoded = pair.clone().with(option.map(|o| &o.node), &plan.name, load, asked);
        let Some((plan_data, mut scenario_data)) = decoded.pair else {
            // each by its own places: what an option replaces stands elsewhere in the file than
            // what it lies on
            let more = locate(decoded.problems, &decoded.places);
            let new: Vec<Located> = more.into_iter().filter(|l| !located.contains(l)).collect();
            located.extend(new.into_iter().map(|mut l| {
                l.problem.arrangement = option.map(|o| o.name.clone());
                l
            }));
            continue;
        };
        scenario_data.option = option.map(|o| o.name.clone());
        if which == wanted {
            let said = decoded.said.map(|said| (said, decoded.places));
            in_force = said.map(|said| (plan_data.clone(), scenario_data.clone(), said));
        }
        variants.extend(option.map(|o| Variant {
            name: o.name.clone(),
            cost: o.cost,
            plan: plan_data,
            scenario: scenario_data,
        }));
    }
    match in_force {
        Some((plan_data, scenario_data, (said, places))) if located.is_empty() => Ok(Loaded {
            plan: plan_data,
            scenario: scenario_data,
            options: variants,
            plan_source: plan,
            scenario_source: scenario,
            said,
            places,
        }),
        _ => Err(Rejected { plan: Some(plan), scenario, problems: located }),
    }
}

/// Both texts as trees, and where they are not TOML.
fn documents(plan: &Source, scenario: Option<&Source>) -> (Pair, Vec<Malformed>) {
    let (plan_root, mut malformed) = node::parse(&plan.text, File::Plan);
    let nothing =
        Node { place: Place { file: File::Scenario, span: 0..0 }, value: Value::Table(vec![]) };
    let scenario_root = scenario.map_or(nothing, |source| {
        let (root, more) = node::parse(&source.text, File::Scenario);
        malformed.extend(more);
        root
    });
    let pair = Pair { plan: plan_root, scenario: scenario_root, has_scenario: scenario.is_some() };
    (pair, malformed)
}

/// What names no format is no plan of ours, and its lines are nobody's business.
fn is_no_plan(pair: &Pair, malformed: &[Malformed], name: &str) -> Option<Located> {
    let names_a_format = entry(&pair.plan, "format").or(entry(&pair.plan, "room")).is_some();
    let is_readable = malformed.iter().all(|m| m.place.file != File::Plan);
    if !pair.has_scenario || is_readable || names_a_format {
        return None;
    }
    let place = entry(&pair.scenario, "plan").map(|e| e.node.place.clone());
    let problem = Problem::of_scenario("plan", BadFile::NoPlan { path: name.into() });
    Some(Located { problem, place })
}

/// Which option is asked for, if any.
fn wanted(
    options: &[OptionNode],
    asked: &Asked,
    has_scenario: bool,
) -> Result<Option<usize>, Problem> {
    let Some(name) = &asked.option else {
        return Ok(None);
    };
    if !has_scenario {
        return Err(Problem::of_plan("", BadFile::PlanHasNoOptions));
    }
    let names: Vec<&str> = options.iter().map(|o| o.name.as_str()).collect();
    let found = names.iter().position(|n| n == name).ok_or_else(|| {
        Problem::unknown_name(File::Scenario, "option", Named::Option, name, &names)
    })?;
    Ok(Some(found))
}

/// A text in quotes as a TOML 1.0 basic string, fit for a key or a value.
pub fn quoted(text: &str) -> String {
    let escaped = text.chars().map(|c| match c {
        '"' | '\\' => format!("\\{c}"),
        c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
        c => c.to_string(),
    });
    format!("\"{}\"", escaped.collect::<String>())
}

fn explain(m: Malformed) -> Located {
    let parser = m.says;
    let wrong = if parser.contains("duplicate key") {
        BadFile::DuplicateKey { parser }
    } else {
        BadFile::Malformed { parser }
    };
    Located { problem: Problem::new(m.place.file, "", wrong), place: Some(m.place) }
}
