//! From the text of files to a plan and a scenario, or to everything that is wrong with them and where.
//! Reads no files itself: the caller hands in a way to load a path.

mod decode;
mod node;
mod plan;
mod scenario;
mod values;

pub use decode::Places;
pub use node::Place;
pub use scenario::Asked;

use crate::plan::Plan;
use crate::problem::{File, Problem, one_of};
use crate::scenario::Scenario;
use decode::{Decoder, Table};
use node::{Entry, Malformed, Node, Value, merge};

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
    /// Names of the options in the scenario file.
    pub options: Vec<String>,
    /// The plan file.
    pub plan_source: Source,
    /// The scenario file.
    pub scenario_source: Option<Source>,
    places: Places,
}

impl Loaded {
    /// Turns problems found later (a spot nobody can reach) into a refusal with places.
    pub fn reject(&self, problems: Vec<Problem>) -> Rejected {
        Rejected { plan: Some(self.plan_source.clone()), scenario: self.scenario_source.clone(), problems: locate(problems, &self.places) }
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
        if !located.iter().any(|l| l.problem.says == problem.says && l.place == place) {
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
    let problem = Problem::new(File::Plan, "", format!("cannot read `{path}`: {why}")).hint("check the path; `elbowroom new DIR` writes a plan to start from");
    Rejected { plan: None, scenario: None, problems: vec![Located { problem, place: None }] }
}

fn is_plan(text: &str) -> bool {
    let (root, _) = node::parse(text, File::Plan);
    matches!(&root.value, Value::Table(entries) if entries.iter().any(|e| e.key == "room") || !entries.iter().any(|e| e.key == "plan"))
}

/// The scenario's own text, and the plan it names.
fn read_pair_of(scenario: Source, asked: &Asked, load: Load) -> Result<Loaded, Rejected> {
    let (root, _) = node::parse(&scenario.text, File::Scenario);
    let named = text_of(&root, "plan").unwrap_or_default();
    let path = beside(&scenario.name, &named);
    match load(&path) {
        Ok(text) => read_pair(Source { name: path, text }, Some(scenario), asked, load),
        Err(why) => {
            let place = entry(&root, "plan").map(|e| e.node.place.clone());
            let problem = Problem::new(File::Scenario, "plan", format!("cannot read the plan `{path}`: {why}"))
                .hint("plan = \"plan.toml\" counts from the scenario's folder");
            Err(Rejected { plan: None, scenario: Some(scenario), problems: vec![Located { problem, place }] })
        }
    }
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
        Value::Table(entries) => entries.iter().position(|e| e.key == key).map(|i| entries.remove(i)),
        _ => None,
    }
}

fn text_of(node: &Node, key: &str) -> Option<String> {
    match &entry(node, key)?.node.value {
        Value::Text(text) => Some(text.clone()),
        _ => None,
    }
}

/// Both texts, decoded for the option asked for, and once more for every other option to find its mistakes.
fn read_pair(plan: Source, scenario: Option<Source>, asked: &Asked, load: Load) -> Result<Loaded, Rejected> {
    let (plan_root, mut malformed) = node::parse(&plan.text, File::Plan);
    let empty = Node { place: node::Place { file: File::Scenario, span: 0..0 }, value: Value::Table(vec![]) };
    let mut scenario_root = empty;
    if let Some(source) = &scenario {
        let (root, more) = node::parse(&source.text, File::Scenario);
        malformed.extend(more);
        scenario_root = root;
    }
    if !malformed.is_empty() {
        return Err(Rejected { plan: Some(plan), scenario, problems: malformed.into_iter().map(explain).collect() });
    }
    let mut pair = Pair { plan: plan_root, scenario: scenario_root, has_scenario: scenario.is_some() };
    let mut d = Decoder::new(File::Scenario);
    let options = pair.take_options(&mut d);
    let names: Vec<String> = options.iter().map(|o| o.name.clone()).collect();
    let mut problems = std::mem::take(&mut d.problems);
    let mut places = std::mem::take(&mut d.places);
    let wanted = match &asked.option {
        None => None,
        Some(name) => {
            let found = names.iter().position(|n| n == name);
            if found.is_none() {
                let known: Vec<&str> = names.iter().map(String::as_str).collect();
                problems.push(Problem::unknown_name(File::Scenario, "option", "option called", name, &known));
            }
            found
        }
    };
    let mut in_force = None;
    for which in std::iter::once(None).chain((0..options.len()).map(Some)) {
        let option = which.map(|i: usize| &options[i]);
        let decoded = pair.clone().with(option, &plan.name, load, asked);
        let ours = which == wanted;
        if decoded.problems.is_empty() {
            if ours {
                places = decoded.places.clone();
                in_force = decoded.pair;
            }
        } else {
            places.extend(decoded.places);
            problems.extend(decoded.problems);
        }
    }
    match in_force {
        Some((plan_data, mut scenario_data)) if problems.is_empty() => {
            scenario_data.option = wanted.map(|i| names[i].clone());
            Ok(Loaded { plan: plan_data, scenario: scenario_data, options: names, plan_source: plan, scenario_source: scenario, places })
        }
        _ => Err(Rejected { plan: Some(plan), scenario, problems: locate(problems, &places) }),
    }
}

fn explain(m: Malformed) -> Located {
    let duplicate = m.says.contains("duplicate key");
    let hint = if duplicate {
        "use either [[room]] blocks or one room = [...] list, not both, and every key once"
    } else {
        "this is not TOML: check quotes, brackets and commas near here"
    };
    Located { problem: Problem::new(m.place.file, "", m.says).hint(hint), place: Some(m.place) }
}

/// The two documents.
#[derive(Clone)]
struct Pair {
    plan: Node,
    scenario: Node,
    has_scenario: bool,
}

/// A named alternative.
struct OptionNode {
    name: String,
    node: Node,
}

/// What decoding a pair gives.
struct Decoded {
    pair: Option<(Plan, Scenario)>,
    problems: Vec<Problem>,
    places: Places,
}

impl Pair {
    fn take_options(&mut self, d: &mut Decoder) -> Vec<OptionNode> {
        let Some(entry) = take_entry(&mut self.scenario, "option") else {
            return vec![];
        };
        d.note("option", &entry.key_place);
        let Value::List(items) = entry.node.value else {
            d.expected("option", "[[option]] tables", &entry.node.value);
            return vec![];
        };
        let mut options: Vec<OptionNode> = vec![];
        for (i, mut node) in items.into_iter().enumerate() {
            let at = format!("option/{i}");
            d.note(&at, &node.place);
            let named = take_entry(&mut node, "name").and_then(|e| d.text(&format!("{at}/name"), &e.node));
            match named {
                Some(name) if options.iter().any(|o| o.name == name) => {
                    d.wrong(&at, format!("there are two options called `{name}`"), "names of options are unique")
                }
                Some(name) => options.push(OptionNode { name, node }),
                None => d.wrong(&at, "`name` is missing", "give the option a name"),
            }
        }
        options
    }

    /// Lays an option on the pair and decodes the result.
    fn with(mut self, option: Option<&OptionNode>, plan_name: &str, load: Load, asked: &Asked) -> Decoded {
        let mut plan_decoder = Decoder::new(File::Plan);
        let mut d = Decoder::new(File::Scenario);
        if let Some(option) = option {
            self.lay(option.node.clone(), plan_name, load, &mut d);
        }
        let decoded = plan::decode(self.plan, &mut plan_decoder);
        if !self.has_scenario {
            self.scenario = with_format(self.scenario);
        }
        let scenario = scenario::decode(self.scenario, asked, &mut d);
        let mut problems = plan_decoder.problems;
        let mut plan = None;
        if let Some(decoded) = decoded {
            match Plan::build(&decoded.said) {
                Ok(p) => plan = decoded.whole.then_some(p),
                Err(more) => problems.extend(more.into_iter().map(|p| decoded.renumber(p))),
            }
        }
        if let (Some(p), Some(s)) = (&plan, &scenario) {
            scenario::check_names(s, p, &mut d);
        }
        problems.extend(d.problems);
        let mut places = plan_decoder.places;
        places.extend(d.places);
        let pair = plan.zip(scenario).filter(|_| problems.is_empty());
        Decoded { pair, problems, places }
    }

    fn lay(&mut self, mut option: Node, plan_name: &str, load: Load, d: &mut Decoder) {
        take_entry(&mut option, "cost");
        if let Some(other) = take_entry(&mut option, "plan") {
            self.replace_plan(&other.node, plan_name, load, d);
        }
        let change = take_entry(&mut option, "change");
        let remove = take_entry(&mut option, "remove");
        let add = take_entry(&mut option, "add");
        if let Some(remove) = remove {
            d.note("remove", &remove.node.place);
            for name in d.names("remove", &remove.node).unwrap_or_default() {
                if !remove_item(&mut self.plan, &name) {
                    d.wrong("remove", format!("the plan has nothing called `{name}` to remove"), self.names_hint());
                }
            }
        }
        if let Some(change) = change {
            let table = Table::open(change.node, "change", d);
            for (name, at, node) in table.map(|t| t.rest(d)).unwrap_or_default() {
                match find_item(&mut self.plan, &name) {
                    Some(item) => merge(item, node),
                    None => d.wrong(&at, format!("the plan has nothing called `{name}` to change"), self.names_hint()),
                }
            }
        }
        if let Some(add) = add.and_then(|a| Table::open(a.node, "add", d)) {
            self.add(add, d);
        }
        merge(&mut self.scenario, option);
    }

    fn replace_plan(&mut self, node: &Node, plan_name: &str, load: Load, d: &mut Decoder) {
        d.note("plan", &node.place);
        let Some(named) = d.text("plan", node) else {
            return;
        };
        match load(&beside(plan_name, &named)) {
            Ok(text) => {
                let (root, malformed) = node::parse(&text, File::Scenario);
                if malformed.is_empty() {
                    self.plan = stand_at(root, &node.place);
                } else {
                    d.wrong("plan", format!("`{named}` is not TOML: {}", malformed[0].says), "check that file by itself");
                }
            }
            Err(why) => d.wrong("plan", format!("cannot read the plan `{named}`: {why}"), "the path counts from the plan's folder"),
        }
    }

    fn add(&mut self, mut add: Table, d: &mut Decoder) {
        for key in ["room", "opening", "furniture"] {
            let Some(node) = add.take(key, d) else {
                continue;
            };
            let Value::List(items) = node.value else {
                d.expected(&add.at(key), "a list of tables", &node.value);
                continue;
            };
            let place = node.place;
            if let Value::Table(entries) = &mut self.plan.value {
                match entries.iter_mut().find(|e| e.key == key) {
                    Some(Entry { node: Node { value: Value::List(list), .. }, .. }) => list.extend(items),
                    _ => entries.push(Entry { key: key.into(), key_place: place.clone(), node: Node { place, value: Value::List(items) } }),
                }
            }
        }
        add.finish(d);
    }

    fn names_hint(&mut self) -> String {
        let names = item_names(&mut self.plan);
        one_of(&names.iter().map(String::as_str).collect::<Vec<_>>())
    }
}

/// Every node of a tree at one place, for a file whose text is not shown.
fn stand_at(mut node: Node, place: &Place) -> Node {
    node.place = place.clone();
    node.value = match node.value {
        Value::List(items) => Value::List(items.into_iter().map(|n| stand_at(n, place)).collect()),
        Value::Table(entries) => {
            Value::Table(entries.into_iter().map(|e| Entry { key: e.key, key_place: place.clone(), node: stand_at(e.node, place) }).collect())
        }
        other => other,
    };
    node
}

fn with_format(mut scenario: Node) -> Node {
    let place = scenario.place.clone();
    if let Value::Table(entries) = &mut scenario.value {
        entries.push(Entry { key: "format".into(), key_place: place.clone(), node: Node { place, value: Value::Whole(1) } });
    }
    scenario
}

/// Items of a plan with the names the program will give them.
fn items(plan: &mut Node) -> Vec<(String, &'static str, usize)> {
    let mut found = vec![];
    for key in ["room", "opening", "furniture"] {
        let Some(Entry { node: Node { value: Value::List(list), .. }, .. }) = entry(plan, key) else {
            continue;
        };
        for (i, node) in list.iter().enumerate() {
            found.push((text_of(node, "name"), default_name(key, node), key, i));
        }
    }
    let mut taken: Vec<String> = found.iter().filter_map(|f| f.0.clone()).collect();
    found
        .into_iter()
        .map(|(said, wish, key, i)| {
            let name = said.unwrap_or_else(|| {
                let name = (1..).map(|n| if n == 1 { wish.clone() } else { format!("{wish} {n}") }).find(|n| !taken.contains(n)).unwrap_or_default();
                taken.push(name.clone());
                name
            });
            (name, key, i)
        })
        .collect()
}

fn default_name(key: &str, node: &Node) -> String {
    match key {
        "furniture" => text_of(node, "kind").unwrap_or_default(),
        "opening" => match entry(node, "joins").map(|e| &e.node.value) {
            Some(Value::List(joins)) => {
                let names: Vec<&str> = joins.iter().filter_map(|n| if let Value::Text(t) = &n.value { Some(t.as_str()) } else { None }).collect();
                match names.as_slice() {
                    [crate::plan::OUTSIDE, room] | [room, crate::plan::OUTSIDE] => crate::plan::door_name(room),
                    [a, b] => format!("{a} to {b}"),
                    _ => String::new(),
                }
            }
            _ => String::new(),
        },
        _ => String::new(),
    }
}

fn item_names(plan: &mut Node) -> Vec<String> {
    items(plan).into_iter().map(|(name, ..)| name).collect()
}

fn find_item<'a>(plan: &'a mut Node, name: &str) -> Option<&'a mut Node> {
    let (_, key, i) = items(plan).into_iter().find(|(n, ..)| n == name)?;
    let Value::Table(entries) = &mut plan.value else {
        return None;
    };
    let list = entries.iter_mut().find(|e| e.key == key)?;
    match &mut list.node.value {
        Value::List(list) => list.get_mut(i),
        _ => None,
    }
}

/// Takes an item out; the file's own names of the others do not change.
fn remove_item(plan: &mut Node, name: &str) -> bool {
    let all = items(plan);
    let Some((_, key, index)) = all.iter().find(|(n, ..)| n == name).cloned() else {
        return false;
    };
    for (name, key, i) in all {
        fix_name(plan, key, i, &name);
    }
    let Value::Table(entries) = &mut plan.value else {
        return false;
    };
    match entries.iter_mut().find(|e| e.key == key).map(|e| &mut e.node.value) {
        Some(Value::List(list)) => {
            list.remove(index);
            true
        }
        _ => false,
    }
}

fn fix_name(plan: &mut Node, key: &str, i: usize, name: &str) {
    let Value::Table(entries) = &mut plan.value else {
        return;
    };
    let Some(Value::List(list)) = entries.iter_mut().find(|e| e.key == key).map(|e| &mut e.node.value) else {
        return;
    };
    let Some(node) = list.get_mut(i) else { return };
    let place = node.place.clone();
    if let Value::Table(entries) = &mut node.value
        && !entries.iter().any(|e| e.key == "name")
    {
        let text = Node { place: place.clone(), value: Value::Text(name.to_string()) };
        entries.push(Entry { key: "name".into(), key_place: place, node: text });
    }
}
