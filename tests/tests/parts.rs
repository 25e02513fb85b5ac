//! Evenings played apart and joined give the answer of one run, and nothing else can be joined.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, Outcome, demo};
use proptest::prelude::*;

const GUESTS: &str = "12";

fn play(desk: &Desk, trials: &str, part: &str, more: &[&str]) -> Outcome {
    let (file, path) = (demo("winter-cocktails.toml"), desk.at(part));
    let args = ["run", &file, "--guests", GUESTS, "--trials", trials, "--part", &path, "--quiet"];
    desk.run(&[&args, more].concat())
}

fn merge(desk: &Desk, parts: &[&str]) -> Outcome {
    let paths: Vec<String> = parts.iter().map(|p| desk.at(p)).collect();
    let paths: Vec<&str> = paths.iter().map(String::as_str).collect();
    desk.run(&[&["merge", "--json"], paths.as_slice()].concat())
}

fn whole(desk: &Desk, trials: &str) -> String {
    let file = demo("winter-cocktails.toml");
    let args = ["run", &file, "--guests", GUESTS, "--trials", trials, "--json", "--quiet"];
    desk.run(&args).out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn any_cut_joined_in_any_order_is_the_whole(
        cuts in proptest::collection::btree_set(3u32..14, 0..4),
        (first, turn) in (0u32..3, any::<bool>()),
    ) {
        let desk = Desk::new();
        let ends: Vec<u32> = [first].into_iter().chain(cuts).chain([14]).collect();
        let mut names = vec![];
        for (i, pair) in ends.windows(2).enumerate() {
            let name = format!("part-{i}");
            prop_assert_eq!(play(&desk, &format!("{}..{}", pair[0], pair[1]), &name, &[]).code, 0);
            names.push(name);
        }
        if turn {
            names.reverse();
        }
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let joined = merge(&desk, &names);
        prop_assert_eq!(joined.code, 0, "{}", joined.err);
        prop_assert_eq!(joined.out, whole(&desk, &format!("{first}..14")));
    }
}

#[test]
fn parts_of_other_runs_are_refused_all_at_once_and_nothing_is_written() {
    let desk = Desk::new().with("notes.txt", "milk, ice, lemons\n");
    play(&desk, "0..3", "a", &[]);
    play(&desk, "5..6", "gap", &[]);
    play(&desk, "2..4", "again", &[]);
    play(&desk, "3..5", "seed", &["--seed", "2"]);
    play(&desk, "3..5", "grade", &["--grade", "easy"]);
    let mut cut = std::fs::read(desk.path("a")).unwrap();
    cut.truncate(cut.len() - 1);
    std::fs::write(desk.path("cut"), cut).unwrap();
    let all = ["a", "gap", "again", "seed", "grade", "cut", "notes.txt", "nothing"];
    let refused = merge(&desk, &all);
    assert_eq!((refused.code, refused.out.as_str()), (3, ""));
    for what in [
        "again: evening 2 is also in",
        "evening 4 is missing between",
        "seed: it was played with a different seed than",
        "grade: it was played with different options than",
        "cut: it is cut short or was changed",
        "notes.txt: it is no part of a run",
        "nothing: there is no such file",
    ] {
        assert!(refused.err.contains(what), "no {what:?} in\n{}", refused.err);
    }
}

#[test]
fn a_part_replaces_only_a_part() {
    let desk = Desk::new().with("plan.toml", "mine");
    let refused = play(&desk, "0..2", "plan.toml", &[]);
    assert_eq!(refused.code, 4);
    assert!(refused.err.contains("holds no part of a run"), "{}", refused.err);
    assert_eq!(std::fs::read_to_string(desk.path("plan.toml")).unwrap(), "mine");
    assert_eq!(play(&desk, "0..2", "part", &[]).code, 0);
    assert_eq!(play(&desk, "0..3", "part", &[]).code, 0);
    assert_eq!(merge(&desk, &["part"]).out, whole(&desk, "3"));
}

#[test]
fn evenings_within_a_longer_part_are_told_once_and_nothing_is_missing() {
    let desk = Desk::new();
    for (trials, name) in [("0..6", "a"), ("1..3", "b"), ("6..8", "c")] {
        play(&desk, trials, name, &[]);
    }
    let refused = merge(&desk, &["c", "b", "a"]);
    assert!(refused.err.contains("b: evening 1 is also in"), "{}", refused.err);
    assert!(!refused.err.contains("missing"), "{}", refused.err);
    assert_eq!(merge(&desk, &["c", "a"]).out, whole(&desk, "8"));
}

#[test]
fn the_same_files_elsewhere_are_the_same_files() {
    const PLAN: &str = "format = 1\nroom = [{ name = \"den\", size = [12, 9] }]\n\
        opening = [{ joins = [\"outside\", \"den\"], wall = \"south\" }]\n";
    let (here, there) = (Desk::new().with("p.toml", PLAN), Desk::new().with("p.toml", PLAN));
    let part = |desk: &Desk, trials: &str, name: &str| {
        let (file, to) = (desk.at("p.toml"), here.at(name));
        let args = ["run", &file, "--guests", "3", "--trials", trials, "--part", &to];
        assert_eq!(desk.run(&args).code, 0);
    };
    part(&here, "0..2", "a");
    part(&there, "2..4", "b");
    let file = here.at("p.toml");
    let args = ["run", &file, "--guests", "3", "--trials", "4", "--json"];
    assert_eq!(merge(&here, &["b", "a"]).out, here.run(&args).out);
}
