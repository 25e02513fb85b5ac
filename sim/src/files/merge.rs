//! Two changes in one: the texts of two options as the text of one.

/// The text of an option for two changes, or `None` if they want different things of the same.
pub fn merged(a: &str, b: &str) -> Option<String> {
    let parse = |text: &str| text.parse::<toml::Table>().ok();
    let both = joined(toml::Value::Table(parse(a)?), toml::Value::Table(parse(b)?))?;
    let lines = both.as_table()?.iter().map(|(key, value)| format!("{key} = {value}\n"));
    Some(lines.collect())
}

/// Two values in one: tables key by key, lists of additions one after the other.
fn joined(a: toml::Value, b: toml::Value) -> Option<toml::Value> {
    use toml::Value::{Array, Table};
    match (a, b) {
        (a, b) if a == b => Some(a),
        (Table(mut a), Table(b)) => {
            for (key, theirs) in b {
                let both = match a.remove(&key) {
                    // pieces added or removed stand side by side; anything else that both say
                    // differs
                    Some(Array(ours)) if matches!(key.as_str(), "furniture" | "remove") => {
                        Array(ours.into_iter().chain(theirs.as_array()?.clone()).collect())
                    }
                    Some(ours) => joined(ours, theirs)?,
                    None => theirs,
                };
                a.insert(key, both);
            }
            Some(Table(a))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::merged;

    const TABLE: &str = "change = { \"table\" = { at = [\"1in\", \"2in\"] } }\n";
    const BAR: &str = "place = { drinks = [\"bar\", \"second bar\"] }\nadd.furniture = [{ kind = \"bar\", name = \"second bar\" }]\n";
    const CHAIRS: &str = "add.furniture = [{ kind = \"bench\", name = \"folding chairs\" }]\n";

    #[test]
    fn two_changes_are_one_option() {
        let all = merged(TABLE, BAR)
            .and_then(|both| merged(&both, CHAIRS))
            .and_then(|all| all.parse::<toml::Table>().ok());
        let at = all.as_ref().map(|all| &all["change"]["table"]["at"][1]);
        assert_eq!(at.and_then(toml::Value::as_str), Some("2in"));
        let added = all.as_ref().and_then(|all| all["add"]["furniture"].as_array());
        assert_eq!(added.map(Vec::len), Some(2));
    }

    #[test]
    fn what_two_changes_want_otherwise_is_no_option() {
        assert!(merged(BAR, &BAR.replace("second bar", "cart")).is_none());
        assert!(merged(TABLE, &TABLE.replace("1in", "3in")).is_none());
    }
}
