//! What can be wrong with an input. Knows items and keys, not lines and columns: `read` knows where
//! they stand.

use std::fmt;

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
    /// What is wrong, in a sentence without full stop.
    pub says: String,
    /// What would be right, or the nearest name.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem at a path.
    pub fn new(file: File, at: impl Into<String>, says: impl Into<String>) -> Self {
        Problem { file, at: at.into(), says: says.into(), hint: None }
    }

    /// The same with a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// A name that nothing has, with the nearest of those that exist.
    pub fn unknown_name(
        file: File,
        at: impl Into<String>,
        what: &str,
        name: &str,
        known: &[&str],
    ) -> Self {
        Problem::new(file, at, format!("there is no {what} `{name}`")).hint(suggest(name, known))
    }
}

/// What is wrong with an item of a plan, whichever item it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    /// The key of it that is wrong, or nothing if it is the whole item.
    pub key: &'static str,
    /// What is wrong, as in [`Problem`].
    pub says: String,
    /// What would be right.
    pub hint: String,
}

impl Wrong {
    /// Something wrong with a key.
    pub fn new(key: &'static str, says: impl Into<String>, hint: impl Into<String>) -> Self {
        Wrong { key, says: says.into(), hint: hint.into() }
    }

    /// As the problem of an item, such as `furniture/2`.
    pub fn of(self, item: String) -> Problem {
        let at = if self.key.is_empty() { item } else { format!("{item}/{}", self.key) };
        Problem::new(File::Plan, at, self.says).hint(self.hint)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}: {}", self.at, self.says)?;
        self.hint.as_ref().map_or(Ok(()), |h| write!(f, " ({h})"))
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
    other.or(slip).or_else(begun)
}

/// What could be meant: the nearest name, then all there are.
pub fn suggest(name: &str, known: &[&str]) -> String {
    let Some(near) = nearest(name, known) else {
        return one_of(known);
    };
    let rest: Vec<&str> = known.iter().copied().filter(|k| *k != near).collect();
    if rest.is_empty() {
        format!("did you mean `{near}`?")
    } else {
        format!("did you mean `{near}`? Or {}", listed(&rest))
    }
}

/// "expected one of …".
pub fn one_of(known: &[&str]) -> String {
    if known.is_empty() {
        "there is none to choose from".into()
    } else {
        format!("expected one of {}", listed(known))
    }
}

/// So many names are listed at most.
const LISTED: usize = 30;

fn listed(known: &[&str]) -> String {
    let shown: Vec<String> = known.iter().take(LISTED).map(|k| format!("`{k}`")).collect();
    let more = known.len().saturating_sub(LISTED);
    if more == 0 { shown.join(", ") } else { format!("{} and {more} more", shown.join(", ")) }
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
        assert_eq!(nearest("couch", &["stool", "sofa"]), Some("sofa"));
        assert_eq!(suggest("kichen", &known), "did you mean `kitchen`? Or `living`, `hall`");
    }
}
