//! The page, the card and the replay from outside, without a browser: the same words and numbers
//! everywhere, one file that asks for nothing.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, demo, hostile, words_of};
use serde_json::Value;
use std::path::Path;

/// A question's answer as it was told in four ways.
struct Told {
    terminal: String,
    json: Value,
    page: String,
    card: String,
}

fn ask(desk: &Desk, args: &[&str]) -> Told {
    let out = desk.at(args[0]);
    let ran = desk.run(&[args, &["--quiet", "--out", &out]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let read = |name: &str| std::fs::read_to_string(Path::new(&out).join(name)).unwrap();
    Told {
        terminal: ran.out,
        json: serde_json::from_str(&read("answer.json")).unwrap(),
        page: read("report.html"),
        card: read("card.svg"),
    }
}

/// Every figure of the page is that of answer.json.
fn figures_agree(told: &Told) {
    let figures: Vec<&str> = told.page.split("<data value=\"").skip(1).collect();
    assert!(figures.len() >= 8, "{} figures", figures.len());
    for figure in figures {
        let (value, rest) = figure.split_once("\" data-key=\"").unwrap();
        let key = rest.split_once('"').unwrap().0;
        let exact = told.json.pointer(key).and_then(Value::as_f64);
        assert_eq!(exact, value.parse().ok(), "{key}");
    }
}

/// The sentence of a question and what is told as the headcount are the same on the terminal, in
/// answer.json, on the page and on the card.
fn agrees(told: &Told) {
    figures_agree(told);
    let sentence = told.json["answer"].as_str().unwrap();
    assert!(unfolded(&told.terminal).contains(sentence), "the terminal does not say: {sentence}");
    let page = words_of(&told.page);
    assert!(page.contains(&words_of(sentence)), "the page does not say: {sentence}");
    let card = words_of(&told.card);
    // where it jams the card shows on the house
    let [how_many, _, change]: [String; 3] = facts(&told.page).try_into().unwrap();
    for fact in [how_many, change] {
        assert!(card.contains(&fact), "the card does not say `{fact}`: {card}");
    }
    assert!(
        card.contains("not occupant load, fire, egress or structure"),
        "no caution on the card"
    );
    assert!(page.contains("not an occupant load, egress, fire"), "no caution on the page");
    let seed = format!("seed {}", told.json["seed"]);
    assert!(page.contains(&seed), "no seed");
}

/// A text of the terminal in one line.
fn unfolded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The three things to know, as the page has them.
fn facts(page: &str) -> Vec<String> {
    let list = page.split("<dl class=\"facts\">").nth(1).unwrap().split("</dl>").next().unwrap();
    let facts: Vec<String> = list
        .split("<strong>")
        .skip(1)
        .map(|f| words_of(f.split("</strong>").next().unwrap()))
        .collect();
    assert_eq!(facts.len(), 3);
    facts
}

fn headcount(told: &Told) -> f64 {
    told.json["headcount"]["value"].as_f64().unwrap()
}

#[test]
fn a_run_says_the_same_everywhere() {
    let desk = Desk::new();
    let told = ask(&desk, &["run", &demo("winter-cocktails.toml"), "--trials", "12"]);
    agrees(&told);
    let page = words_of(&told.page);
    let listed =
        told.terminal.split("\n\n").find(|part| part.contains("jammed at the worst spot")).unwrap();
    // a number begins two columns in, and goes on four columns in
    let numbers: Vec<String> = unfolded(&listed.replace("\n    ", " ").replace("\n", " | "))
        .split(" | ")
        .map(String::from)
        .collect();
    assert_eq!(numbers.len(), 3, "{numbers:?}");
    for number in numbers {
        let number = number.replacen(": ", " ", 1);
        assert!(page.contains(&number), "the page does not say: {number}");
    }
    assert!(facts(&told.page)[0].starts_with(&format!("{} guests", headcount(&told))));
}

#[test]
#[ignore = "takes minutes: `.ci/run` runs it"]
fn every_other_question_says_the_same_everywhere() {
    let desk = Desk::new();
    // the buffet, because few guests play fast
    let buffet = demo("buffet-dinner.toml");
    let capacity = ask(&desk, &["capacity", &buffet, "--trials", "64"]);
    agrees(&capacity);
    assert_eq!(facts(&capacity.page)[0], format!("Lively to {} guests", headcount(&capacity)));
    let orchard = demo("orchard-house.toml");
    let asked: [&[&str]; 9] = [
        &["review", &orchard, "--guests", "45", "--seed", "7"],
        &["compare", &buffet, "--trials", "6"],
        &["where", &buffet, "food", "--trials", "6"],
        &["improve", &buffet, "--trials", "6", "--guests", "14"],
        &["improve", &buffet, "--trials", "6", "--guests", "14", "--in", "hall"],
        &["improve", &buffet, "--trials", "6", "--for", "8"],
        &["improve", &buffet, "--trials", "6", "--for", "34"],
        &["capacity", &buffet, "--trials", "64", "--in", "hall"],
        &["run", &buffet, "--trials", "4", "--option", "buffet on the dining table"],
    ];
    for args in asked {
        agrees(&ask(&Desk::new(), args));
    }
}

#[test]
fn a_check_has_a_page_and_a_card_too() {
    let desk = Desk::new();
    let out = desk.at("plan");
    assert_eq!(desk.run(&["check", &demo("row-house.toml"), "--out", &out]).code, 0);
    let page = words_of(&std::fs::read_to_string(desk.path("plan/report.html")).unwrap());
    assert!(page.contains("dining room to kitchen") && page.contains("42 in"), "{page}");
    assert!(desk.path("plan/card.png").exists());
}

#[test]
fn the_page_is_one_file_that_asks_for_nothing() {
    let desk = hostile(Desk::new());
    let evening = desk.at("evening.toml");
    let told = ask(&desk, &["run", &evening, "--trials", "3"]);
    assert!(told.page.len() < 2_000_000, "{} bytes", told.page.len());
    let known = "http://www.w3.org/2000/svg";
    let addresses = told.page.matches("http").count() - told.page.matches("http-equiv").count();
    assert_eq!(addresses, told.page.matches(known).count(), "an address other than {known}");
    assert_eq!(told.page.matches("<script").count(), 2, "a script of somebody else");
    assert!(
        !told.page.contains("<img")
            && !told.page.contains("\" onload=")
            && !told.page.contains("<b>")
    );
    for picture in ["card", "holdups", "crowding", "lines", "plan"] {
        let svg = std::fs::read_to_string(desk.path("run").join(format!("{picture}.svg"))).unwrap();
        assert!(
            !svg.contains("<script") && !svg.contains("<img"),
            "{picture}.svg holds a text as markup"
        );
        assert!(desk.path("run").join(format!("{picture}.png")).metadata().unwrap().len() > 1000);
    }
}

#[test]
fn every_file_is_the_same_at_one_and_two_threads() {
    let desk = Desk::new();
    let file = demo("winter-cocktails.toml");
    let written = |threads: &str| {
        let out = desk.at(threads);
        assert_eq!(
            desk.run(&[
                "run",
                &file,
                "--trials",
                "6",
                "--threads",
                threads,
                "--quiet",
                "--out",
                &out
            ])
            .code,
            0
        );
        let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(out)
            .unwrap()
            .map(|f| f.unwrap().path())
            .map(|f| {
                (f.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(f).unwrap())
            })
            .collect();
        files.sort();
        files
    };
    let (one, two) = (written("1"), written("2"));
    let names = |files: &[(String, Vec<u8>)]| files.iter().map(|f| f.0.clone()).collect::<Vec<_>>();
    assert_eq!(names(&one), names(&two));
    for (one, two) in one.iter().zip(&two) {
        assert!(one == two, "{} differs", one.0);
    }
}

fn evenings(page: &str) -> (usize, Value) {
    let data = page
        .split("<script class=\"evenings\" type=\"application/json\">")
        .nth(1)
        .unwrap()
        .split("</script>")
        .next()
        .unwrap();
    (data.len(), serde_json::from_str(data).unwrap())
}

#[test]
fn the_evenings_to_watch_are_the_middle_one_and_one_that_nine_in_ten_are_no_worse_than() {
    let told = ask(&Desk::new(), &["run", &demo("winter-cocktails.toml"), "--trials", "3..24"]);
    let lost = |t: &Value| t["lost_s"].as_f64().unwrap() + t["waited_s"].as_f64().unwrap();
    let mut evenings_in_order: Vec<&Value> =
        told.json["per_trial"].as_array().unwrap().iter().collect();
    evenings_in_order.sort_by(|a, b| lost(a).total_cmp(&lost(b)));
    let (_, watched) = evenings(&told.page);
    // of 21: the 11th, and the 19th, which 18 are no worse than
    assert_eq!(watched[0]["trial"], evenings_in_order[10]["trial"]);
    assert_eq!(watched[1]["trial"], evenings_in_order[18]["trial"]);
    let jams = told.json["per_trial"]
        .as_array()
        .unwrap()
        .iter()
        .find(|t| t["trial"] == watched[1]["trial"])
        .unwrap()["jams"]
        .as_u64()
        .unwrap();
    assert!(
        watched[1]["jams"].as_array().unwrap().len() as u64 >= jams,
        "the jams of that evening are missing"
    );
}

#[test]
fn from_fifty_guests_the_card_says_it_louder_too() {
    let card = |guests: &str| {
        words_of(
            &ask(
                &Desk::new(),
                &[
                    "run",
                    &demo("ranch.toml"),
                    "--guests",
                    guests,
                    "--occasion",
                    "cocktails",
                    "--trials",
                    "1",
                ],
            )
            .card,
        )
    };
    assert!(!card("40").contains("ASSEMBLY RULES"));
    assert!(
        card("50").contains("MAY FALL UNDER ASSEMBLY RULES: ask the building or fire department."),
        "{}",
        card("50")
    );
}

#[test]
fn sixty_guests_for_four_hours_are_watched_in_less_than_a_megabyte() {
    let evening = std::fs::read_to_string(demo("summer-evening.toml"))
        .unwrap()
        .replace("ranch.toml", &demo("ranch.toml"));
    let evening = evening.replace("guests   = 50", "guests   = 60").replace("3h 30min", "4h");
    assert!(evening.contains("guests   = 60") && evening.contains("\"4h\""));
    let desk = Desk::new().with("evening.toml", &evening);
    let told = ask(&desk, &["run", &desk.at("evening.toml"), "--trials", "3"]);
    let (size, watched) = evenings(&told.page);
    assert_eq!(watched.as_array().unwrap().len(), 2);
    assert!(watched[0]["seconds"].as_f64().unwrap() > 4.0 * 3600.0);
    assert!(size > 50_000 && size < 1_000_000, "{size} bytes");
}

#[test]
fn one_guest_on_one_evening_has_a_page() {
    let told = ask(
        &Desk::new(),
        &["run", &demo("ranch.toml"), "--guests", "1", "--occasion", "cocktails", "--trials", "1"],
    );
    agrees(&told);
    let (_, watched) = evenings(&told.page);
    assert_eq!(watched.as_array().unwrap().len(), 1);
}
