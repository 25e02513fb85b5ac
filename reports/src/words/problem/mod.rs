//! What is wrong with a file, in a sentence without full stop, and what would be right.

mod written;
mod names;
mod plan;
mod evening;

use sim::house::problem::{Problem, Wrong, nearest};

/// A sentence, and what would be right.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What is wrong.
    pub says: String,
    /// What would be right, or the nearest name.
    pub hint: Option<String>,
}

impl Told {
    fn new(says: impl Into<String>, hint: impl Into<String>) -> Told {
        Told { says: says.into(), hint: Some(hint.into()) }
    }

    fn bare(says: impl Into<String>) -> Told {
        Told { says: says.into(), hint: None }
    }
}

/// A problem in words.
pub fn told(problem: &Problem) -> Told {
    let told = match &*problem.wrong {
        Wrong::File(bad) => written::file(bad),
        Wrong::Key(bad) => written::key(bad),
        Wrong::Value(bad) => written::value(bad),
        Wrong::Name(bad) => names::name(bad),
        Wrong::Room(bad) => plan::room(bad),
        Wrong::Stairs(bad) => plan::stairs(bad),
        Wrong::Opening(bad) => plan::opening(bad),
        Wrong::Piece(bad) => plan::piece(bad),
        Wrong::Evening(bad) => evening::evening(bad),
        Wrong::Floor(bad) => evening::floor(bad),
    };
    match &problem.arrangement {
        Some(name) => Told { says: format!("with \"{name}\": {}", told.says), ..told },
        None => told,
    }
}

/// What could be meant: the nearest name, then all there are.
fn suggest(name: &str, known: &[String]) -> String {
    let names: Vec<&str> = known.iter().map(String::as_str).collect();
    let Some(near) = nearest(name, &names) else {
        return one_of(&names);
    };
    let rest: Vec<&str> = names.into_iter().filter(|k| *k != near).collect();
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

/// The nearest of some names, or all of them.
pub fn nearest_or_all(name: &str, known: &[&str]) -> String {
    nearest(name, known).map_or_else(|| one_of(known), |near| format!("did you mean `{near}`?"))
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
    fn the_nearest_name_comes_before_the_others() {
        let known = ["kitchen", "living", "hall"].map(String::from);
        assert_eq!(suggest("kichen", &known), "did you mean `kitchen`? Or `living`, `hall`");
        assert_eq!(suggest("zzz", &known), "expected one of `kitchen`, `living`, `hall`");
    }
}
