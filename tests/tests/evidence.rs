//! `evidence`: the table, its verdicts and its errors. The slow checks run in `.ci/run`.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::run;

#[test]
fn the_fast_checks_hold() {
    let outcome = run(&["evidence", "--fast", "--quiet"]);
    assert_eq!(outcome.code, 0, "{}", outcome.out);
    assert!(
        outcome.out.contains("Do lines obey queueing theory?") && outcome.out.contains("0 fail."),
        "{}",
        outcome.out
    );
    assert!(outcome.out.contains("nothing here is an approval"), "the head says what it is not");
    assert!(outcome.out.contains("egress"), "the caution is there");
}

#[test]
fn a_check_that_is_not_known_is_told_with_the_nearest_name() {
    let outcome = run(&["evidence", "--only", "W11"]);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.err.contains("`W11`") && outcome.err.contains("did you mean `W1`"),
        "{}",
        outcome.err
    );
}

#[test]
fn a_run_that_checks_nothing_fails() {
    let outcome = run(&["evidence", "--only", "L1", "--fast"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.err.contains("nothing is left"), "{}", outcome.err);
}

#[test]
fn every_figure_says_where_it_comes_from_and_how_that_is_known() {
    let outcome = run(&["evidence", "--only", "W1,Q5,P2", "--json"]);
    assert_eq!(outcome.code, 0, "{}", outcome.out);
    let table: serde_json::Value = serde_json::from_str(&outcome.out).unwrap();
    let checks = table["checks"].as_array().unwrap();
    assert_eq!(checks.len(), 3);
    for check in checks {
        assert!(
            !check["source"].as_str().unwrap().is_empty()
                && !check["known"].as_str().unwrap().is_empty()
        );
        let figures = check["figures"].as_array().unwrap();
        assert!(
            !figures.is_empty() && figures.iter().all(|f| f["measured"]["value"].is_f64()),
            "{check}"
        );
    }
}

#[test]
fn the_figures_do_not_depend_on_threads() {
    let [one, two] =
        ["1", "2"].map(|n| run(&["evidence", "--only", "W7,R1b", "--json", "--threads", n]).out);
    assert_eq!(one, two);
}
