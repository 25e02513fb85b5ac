//! Options: named alternatives laid on the two documents as trees, so that what is wrong in them
//! keeps its place.

use super::decode::{Decoder, Places, Table};
use super::node::{self, Entry, Node, Place, Value, merge};
use super::{Asked, Load, beside, entry, names, plan, scenario, take_entry, text_of};
use crate::evening::scenario::Scenario;
use crate::house::plan::Plan;
use crate::house::plan::said::Said;
use crate::house::problem::{BadFile, BadKey, BadName, BadValue, Expected, File, Needed, Problem};

/// The two documents.
#[derive(Clone, Debug)]
pub(super) struct Pair {
    pub plan: Node,
    pub scenario: Node,
    pub has_scenario: bool,
}

/// A named alternative.
pub(super) struct OptionNode {
    pub name: String,
    /// What the file says it costs, in its own money.
    pub cost: Option<f64>,
    pub node: Node,
}

/// What decoding a pair gives.
pub(super) struct Decoded {
    /// What the plan says, if that could be read.
    pub said: Option<Said>,
    pub pair: Option<(Plan, Scenario)>,
    pub problems: Vec<Problem>,
    pub places: Places,
}

/// Where an option says another plan: apart from the scenario's own.
const OPTION_PLAN: &str = "option/plan";
/// More options nobody compares.
const MOST_OPTIONS: usize = 100;

impl Pair {
    pub(super) fn take_options(&mut self, d: &mut Decoder) -> Vec<OptionNode> {
        let Some(entry) = take_entry(&mut self.scenario, "option") else {
            return vec![];
        };
        d.note("option", &entry.key_place);
        let Value::List(items) = entry.node.value else {
            d.expected("option", Expected::Options, &entry.node.value);
            return vec![];
        };
        if items.len() > MOST_OPTIONS {
            let count = items.len();
            d.wrong("option", BadKey::TooManyOptions { count, most: MOST_OPTIONS });
            return vec![];
        }
        let mut options: Vec<OptionNode> = vec![];
        for (i, mut node) in items.into_iter().enumerate() {
            let at = format!("option/{i}");
            d.note(&at, &node.place);
            let said = take_entry(&mut node, "name");
            let is_said = said.is_some();
            let named = said.and_then(|e| {
                d.note(&format!("{at}/name"), &e.node.place);
                d.line(&format!("{at}/name"), &e.node)
            });
            let cost =
                take_entry(&mut node, "cost").and_then(|e| cost(d, &format!("{at}/cost"), &e));
            match named {
                Some(name) if options.iter().any(|o| o.name == name) => {
                    d.wrong(&at, BadName::TwoOptions { name })
                }
                Some(name) => options.push(OptionNode { name, cost, node }),
                None if is_said => {}
                None => d.wrong(&at, BadKey::Missing(Needed::OptionName)),
            }
        }
        options
    }

    /// Lays an option on the pair and decodes the result.
    pub(super) fn with(
        mut self,
        option: Option<&Node>,
        plan_name: &str,
        load: Load,
        asked: &Asked,
    ) -> Decoded {
        let mut plan_decoder = Decoder::new(File::Plan);
        let mut d = Decoder::new(File::Scenario);
        if let Some(option) = option {
            self.lay(option.clone(), plan_name, load, &mut d);
        }
        let decoded = plan::decode(self.plan, &mut plan_decoder);
        if !self.has_scenario {
            self.scenario = with_format(self.scenario);
        }
        let scenario = scenario::decode(self.scenario, asked, &mut d);
        let mut problems = plan_decoder.problems;
        let (mut plan, mut said) = (None, None);
        if let Some(decoded) = decoded {
            match Plan::build(&decoded.said) {
                Ok(p) => plan = decoded.whole.then_some(p),
                Err(more) => problems.extend(more.into_iter().map(|p| decoded.renumber(p))),
            }
            said = Some(decoded.said);
        }
        problems.extend(d.problems);
        if let (Some(p), Some(s)) = (&plan, &scenario) {
            problems.extend(names::problems(s, p));
        }
        let mut places = plan_decoder.places;
        places.extend(d.places);
        let pair = plan.zip(scenario).filter(|_| problems.is_empty());
        Decoded { said, pair, problems, places }
    }

    fn lay(&mut self, mut option: Node, plan_name: &str, load: Load, d: &mut Decoder) {
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
                    let known = item_names(&mut self.plan);
                    d.wrong("remove", BadName::NothingToRemove { name, known });
                }
            }
        }
        if let Some(change) = change {
            let table = Table::open(change.node, "change", d);
            for (name, at, node) in table.map(|t| t.rest(d)).unwrap_or_default() {
                match find_item(&mut self.plan, &name) {
                    Some(item) => change_item(item, node),
                    None => {
                        let known = item_names(&mut self.plan);
                        d.wrong(&at, BadName::NothingToChange { name, known })
                    }
                }
            }
        }
        if let Some(add) = add.and_then(|a| Table::open(a.node, "add", d)) {
            self.add(add, d);
        }
        merge(&mut self.scenario, option);
    }

    fn replace_plan(&mut self, node: &Node, plan_name: &str, load: Load, d: &mut Decoder) {
        d.note(OPTION_PLAN, &node.place);
        let Some(named) = d.text(OPTION_PLAN, node) else {
            return;
        };
        match load(&beside(plan_name, &named)) {
            Ok(text) => {
                let (root, malformed) = node::parse(&text, File::Scenario);
                if malformed.is_empty() {
                    self.plan = stand_at(root, &node.place);
                } else {
                    let parser = malformed[0].says.clone();
                    d.wrong(OPTION_PLAN, BadFile::MalformedOptionPlan { path: named, parser });
                }
            }
            Err(why) => d.wrong(OPTION_PLAN, BadFile::UnreadOptionPlan { path: named, why }),
        }
    }

    fn add(&mut self, mut add: Table, d: &mut Decoder) {
        for key in ["room", "opening", "furniture"] {
            let Some(node) = add.take(key, d) else {
                continue;
            };
            let Value::List(items) = node.value else {
                d.expected(&add.at(key), Expected::Tables, &node.value);
                continue;
            };
            let place = node.place;
            if let Value::Table(entries) = &mut self.plan.value {
                match entries.iter_mut().find(|e| e.key == key) {
                    Some(Entry { node: Node { value: Value::List(list), .. }, .. }) => {
                        list.extend(items)
                    }
                    _ => entries.push(Entry {
                        key: key.into(),
                        key_place: place.clone(),
                        node: Node { place, value: Value::List(items) },
                    }),
                }
            }
        }
        add.finish(d);
    }
}

/// What an option costs: a number from 0.
fn cost(d: &mut Decoder, at: &str, entry: &Entry) -> Option<f64> {
    d.note(at, &entry.node.place);
    let cost = d.number(at, &entry.node)?;
    if cost < 0.0 {
        d.wrong(at, BadValue::NegativeCost);
    }
    Some(cost).filter(|c| *c >= 0.0)
}

/// Lays a change on an item of the plan. What says the same in another way gives place: a piece
/// that is put somewhere else loses the gaps it had.
fn change_item(item: &mut Node, change: Node) {
    if let (Value::Table(old), Value::Table(new)) = (&mut item.value, &change.value) {
        let said = |key: &str| new.iter().any(|e| e.key == key);
        let gone: Vec<&str> =
            new.iter().flat_map(|e| displaced(&e.key)).copied().filter(|k| !said(k)).collect();
        old.retain(|e| !gone.contains(&e.key.as_str()));
    }
    merge(item, change);
}

/// Keys that cannot stand beside a key.
fn displaced(key: &str) -> &'static [&'static str] {
    match key {
        "at" => &[
            "north", "south", "east", "west", "north_of", "south_of", "east_of", "west_of",
            "flush", "offset",
        ],
        "room" => &["at", "north", "south", "east", "west"],
        "north" => &["at", "south"],
        "south" => &["at", "north"],
        "east" => &["at", "west"],
        "west" => &["at", "east"],
        "north_of" => &["at", "south_of", "east_of", "west_of", "flush", "offset"],
        "south_of" => &["at", "north_of", "east_of", "west_of", "flush", "offset"],
        "east_of" => &["at", "north_of", "south_of", "west_of", "flush", "offset"],
        "west_of" => &["at", "north_of", "south_of", "east_of", "flush", "offset"],
        "flush" => &["offset"],
        "offset" => &["flush"],
        "size" => &["outline"],
        "outline" => &["size"],
        "width" => &["clear"],
        "clear" => &["width"],
        _ => &[],
    }
}

/// Every node of a tree at one place, for a file whose text is not shown.
fn stand_at(mut node: Node, place: &Place) -> Node {
    node.place = place.clone();
    node.value = match node.value {
        Value::List(items) => Value::List(items.into_iter().map(|n| stand_at(n, place)).collect()),
        Value::Table(entries) => Value::Table(
            entries
                .into_iter()
                .map(|e| Entry {
                    key: e.key,
                    key_place: place.clone(),
                    node: stand_at(e.node, place),
                })
                .collect(),
        ),
        other => other,
    };
    node
}

fn with_format(mut scenario: Node) -> Node {
    let place = scenario.place.clone();
    if let Value::Table(entries) = &mut scenario.value {
        entries.push(Entry {
            key: "format".into(),
            key_place: place.clone(),
            node: Node { place, value: Value::Whole(1) },
        });
    }
    scenario
}

/// Items of a plan with the names the program will give them.
fn items(plan: &mut Node) -> Vec<(String, &'static str, usize)> {
    let mut found = vec![];
    for key in ["room", "opening", "furniture"] {
        let Some(Entry { node: Node { value: Value::List(list), .. }, .. }) = entry(plan, key)
        else {
            continue;
        };
        for (i, node) in list.iter().enumerate() {
            let said = text_of(node, "name").map(|name| name.trim().to_string());
            found.push((said, default_name(key, node), key, i));
        }
    }
    let mut taken: Vec<String> = found.iter().filter_map(|f| f.0.clone()).collect();
    found
        .into_iter()
        .map(|(said, wish, key, i)| {
            let name = said.unwrap_or_else(|| {
                let name = (1..)
                    .map(|n| if n == 1 { wish.clone() } else { format!("{wish} {n}") })
                    .find(|n| !taken.contains(n))
                    .unwrap_or_default();
                taken.push(name.clone());
                name
            });
            (name, key, i)
        })
        .collect()
}

fn default_name(key: &str, node: &Node) -> String {
    match key {
        "furniture" => text_of(node, "kind").unwrap_or_default().trim().to_string(),
        "opening" => match entry(node, "joins").map(|e| &e.node.value) {
            Some(Value::List(joins)) => {
                let names: Vec<&str> =
                    joins
                        .iter()
                        .filter_map(|n| {
                            if let Value::Text(t) = &n.value { Some(t.trim()) } else { None }
                        })
                        .collect();
                match names.as_slice() {
                    [crate::house::plan::OUTSIDE, room] | [room, crate::house::plan::OUTSIDE] => {
                        crate::house::plan::door_name(room)
                    }
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
    let Some(Value::List(list)) =
        entries.iter_mut().find(|e| e.key == key).map(|e| &mut e.node.value)
    else {
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
