//! The page in a real browser. Needs Chromium, node and the packages of `browser/`; without them
//! these tests are counted as ignored, and fail if ignored ones are asked for.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, hostile};
use std::process::Command;

/// Drives the browser over folders of answers, and panics with what is wrong.
fn looked_at(desk: &Desk, folders: &[&str]) {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/browser/look.mjs");
    let browser = option_env!("BROWSER").unwrap_or("chromium");
    let look = Command::new("node")
        .args([script, browser])
        .args(folders.iter().map(|f| desk.at(f)))
        .output()
        .unwrap();
    let (out, err) = (String::from_utf8_lossy(&look.stdout), String::from_utf8_lossy(&look.stderr));
    println!("{out}");
    assert!(look.status.success(), "{out}{err}");
}

/// Twenty evenings of a demo that starts at 7 pm, with their traces beside the page.
fn played<'a>(desk: &Desk, name: &'a str, guests: u32) -> &'a str {
    let (file, out, traces) = (demo(&format!("{name}.toml")), desk.at(name), desk.at("traces.csv"));
    let ran =
        desk.run(&["run", &file, "--trials", "20", "--traces", &traces, "--quiet", "--out", &out]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    std::fs::rename(&traces, desk.path(name).join("traces.csv")).unwrap();
    std::fs::write(
        desk.path(name).join("traced.json"),
        format!(r#"{{ "guests": {guests}, "start": 1140 }}"#),
    )
    .unwrap();
    name
}

#[test]
#[cfg_attr(not(browser), ignore = "needs Chromium, node, and `npm ci` in tests/browser")]
#[cfg_attr(browser, ignore = "takes minutes: `.ci/run` runs it")]
fn in_a_browser_pages_of_every_question_work_on_a_phone_a_desk_paper_and_without_scripts() {
    let desk = Desk::new();
    let (buffet, ranch) = (demo("buffet-dinner.toml"), demo("ranch.toml"));
    let orchard = demo("orchard-house.toml");
    let asked: [&[&str]; 6] = [
        &["review", &orchard, "--guests", "45"],
        &["check", &ranch],
        &["compare", &buffet, "--trials", "6"],
        &["where", &buffet, "food", "--trials", "6"],
        &["improve", &buffet, "--trials", "6", "--guests", "14"],
        &["capacity", &buffet, "--trials", "64"],
    ];
    let mut folders =
        vec![played(&desk, "winter-cocktails", 40), played(&desk, "housewarming", 32)];
    for args in asked {
        let out = desk.at(args[0]);
        let ran = desk.run(&[args, &["--quiet", "--out", &out]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        folders.push(args[0]);
    }
    looked_at(&desk, &folders);
}

#[test]
#[cfg_attr(not(browser), ignore = "needs Chromium, node, and `npm ci` in tests/browser")]
fn in_a_browser_no_text_from_a_file_runs_in_the_page_or_breaks_it() {
    let desk = hostile(Desk::new());
    let evening = desk.at("evening.toml");
    for (question, more) in [("run", ["--trials", "4"]), ("compare", ["--trials", "3"])] {
        let out = desk.at(question);
        let ran = desk.run(&[&[question, &evening, "--quiet", "--out", &out][..], &more].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    looked_at(&desk, &["run", "compare"]);
}
