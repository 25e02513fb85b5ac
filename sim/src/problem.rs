//! What can be wrong with an input. Knows items and keys, not lines and columns: `read` knows where they stand.

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
    /// The item and key as a path from the top of the file: `furniture/2/north`, `limits/wait/food`, or empty.
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
    pub fn unknown_name(file: File, at: impl Into<String>, what: &str, name: &str, known: &[&str]) -> Self {
        let problem = Problem::new(file, at, format!("there is no {what} `{name}`"));
        problem.hint(nearest(name, known).map_or_else(|| one_of(known), |near| format!("did you mean `{near}`?")))
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}: {}", self.at, self.says)?;
        self.hint.as_ref().map_or(Ok(()), |h| write!(f, " ({h})"))
    }
}

/// The known name most like `name`, if one is near enough to be a slip of the fingers.
pub fn nearest<'a>(name: &str, known: &[&'a str]) -> Option<&'a str> {
    let lower = name.to_lowercase();
    let near = known.iter().map(|k| (strsim::damerau_levenshtein(&lower, &k.to_lowercase()), *k)).min()?;
    (near.0 <= (name.chars().count() / 3).max(1)).then_some(near.1)
}

/// "expected one of …", at most twelve names.
pub fn one_of(known: &[&str]) -> String {
    let shown: Vec<String> = known.iter().take(12).map(|k| format!("`{k}`")).collect();
    match known.len() {
        0 => "there is none to choose from".into(),
        1..=12 => format!("expected one of {}", shown.join(", ")),
        more => format!("expected one of {} and {} more", shown.join(", "), more - 12),
    }
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
    }
}
