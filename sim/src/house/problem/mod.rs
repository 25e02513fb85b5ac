//! What can be wrong with an input, and where: items and keys, not lines and columns, which `read`
//! knows; data, not sentences.

mod wrong;

pub use wrong::*;

/// Which file an item was said in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum File {
    /// The plan file.
    Plan,
    /// The scenario file.
    Scenario,
}

/// One thing wrong with an input.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The file the item belongs to.
    pub file: File,
    /// The item and key as a path from the top of the file: `furniture/2/north`,
    /// `limits/wait/food`, or empty.
    pub at: String,
    /// What is wrong.
    pub wrong: Box<Wrong>,
    /// The arrangement in which it is, if several are asked about.
    pub arrangement: Option<String>,
}

impl Problem {
    /// A problem at a path.
    pub fn new(file: File, at: impl Into<String>, wrong: impl Into<Wrong>) -> Self {
        Problem { file, at: at.into(), wrong: Box::new(wrong.into()), arrangement: None }
    }

    /// A problem at a path of the plan.
    pub fn of_plan(at: impl Into<String>, wrong: impl Into<Wrong>) -> Self {
        Problem::new(File::Plan, at, wrong)
    }

    /// A problem at a path of the scenario.
    pub fn of_scenario(at: impl Into<String>, wrong: impl Into<Wrong>) -> Self {
        Problem::new(File::Scenario, at, wrong)
    }

    /// A name that nothing has, with those that exist.
    pub fn unknown_name(
        file: File,
        at: impl Into<String>,
        what: Named,
        name: &str,
        known: &[&str],
    ) -> Self {
        Problem::new(file, at, BadName::Unknown { what, name: name.into(), known: owned(known) })
    }
}

/// Names as a problem keeps them.
pub fn owned(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| name.to_string()).collect()
}

/// What is wrong with an item of a plan, whichever item it is.
#[derive(Clone, Debug, PartialEq)]
pub struct AtKey {
    /// The key of it that is wrong, or nothing if it is the whole item.
    pub key: &'static str,
    /// What is wrong.
    pub wrong: Wrong,
}

impl AtKey {
    /// Something wrong with a key.
    pub fn new(key: &'static str, wrong: impl Into<Wrong>) -> Self {
        AtKey { key, wrong: wrong.into() }
    }

    /// As the problem of an item, such as `furniture/2`.
    pub fn of(self, item: String) -> Problem {
        let at = if self.key.is_empty() { item } else { format!("{item}/{}", self.key) };
        Problem::of_plan(at, self.wrong)
    }
}

/// Words people use for what has another word here.
const OTHER_WORDS: [(&str, &str); 31] = [
    ("couch", "sofa"),
    ("loveseat", "sofa"),
    ("settee", "sofa"),
    ("tv", "television"),
    ("refrigerator", "fridge"),
    ("stove", "range"),
    ("oven", "range"),
    ("cooktop", "range"),
    ("buffet", "sideboard"),
    ("credenza", "sideboard"),
    ("console", "sideboard"),
    ("peninsula", "counter"),
    ("bookcase", "shelf"),
    ("bookshelf", "shelf"),
    ("hutch", "cabinet"),
    ("recliner", "armchair"),
    ("fireplace", "hearth"),
    ("bbq", "grill"),
    ("vanity", "basin"),
    ("wc", "toilet"),
    ("name", "title"),
    ("people", "guests"),
    ("headcount", "guests"),
    ("duration", "lasts"),
    ("time", "start"),
    ("doors", "opening"),
    ("rooms", "room"),
    ("open", "cased"),
    ("slider", "sliding"),
    ("french", "double"),
    ("bifold", "folding"),
];

/// The known name most like `name`, if one is near enough to be a slip of the fingers, or is
/// another word for the same.
pub fn nearest<'a>(name: &str, known: &[&'a str]) -> Option<&'a str> {
    let lower = name.to_lowercase();
    let near =
        known.iter().map(|k| (strsim::damerau_levenshtein(&lower, &k.to_lowercase()), *k)).min()?;
    let slip = (near.0 <= (name.chars().count() / 3).max(1)).then_some(near.1);
    let other = OTHER_WORDS
        .iter()
        .filter(|(word, _)| *word == lower)
        .find_map(|(_, ours)| known.iter().find(|k| *k == ours).copied());
    // the first word of a name: "dining" for "dining room"
    let begun =
        || known.iter().find(|k| k.to_lowercase().starts_with(&format!("{lower} "))).copied();
    // a name of several words that ends in a known one: "table" for "coffee table"
    let ended = || {
        let last = lower.split(' ').next_back().filter(|last| *last != lower)?;
        known.iter().find(|k| k.to_lowercase() == last).copied()
    };
    other.or(slip).or_else(begun).or_else(ended)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_nonsense_finds_none() {
        let known = ["kitchen", "living", "hall"];
        assert_eq!(nearest("kichen", &known), Some("kitchen"));
        assert_eq!(nearest("Hall", &known), Some("hall"));
        assert_eq!(nearest("garage", &known), None);
        assert_eq!(nearest("coffee table", &["stool", "table"]), Some("table"));
        assert_eq!(nearest("couch", &["stool", "sofa"]), Some("sofa"));
    }
}
