//! Files that can't be true, that never end, or that would steer a terminal: each is refused with
//! its place, and nothing is written.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{Desk, Outcome, demo, world};
use sim::base::parallel::in_order;
use sim::crowd::trial::{Keep, run as run_trial};
use sim::evening::scenario::Serves;

const PLAN: &str = r#"format = 1
room = [
  { name = "hall", size = [18, 14] },
  { name = "bath", size = [5, 8], east_of = "hall", flush = "south" },
  { name = "kitchen", size = [12, 12], north_of = "hall", flush = "west" },
  { name = "closet", size = [2, 5], west_of = "hall", flush = "south" },
]
opening = [
  { joins = ["outside", "hall"], wall = "south" },
  { joins = ["hall", "bath"] },
  { joins = ["hall", "kitchen"], style = "cased", width = "4ft" },
  { name = "closet door", joins = ["closet", "hall"] },
]
furniture = [
  { kind = "table", room = "hall" },
  { kind = "counter", room = "kitchen", north = 0 },
  { kind = "cabinet", name = "glass cabinet", room = "kitchen", east = 0 },
]
"#;

/// Evenings of each demo; many more with `ELBOWROOM_EVENINGS=2500`.
const EVENINGS: u32 = 12;

fn desk(plan: &str, scenario: &str) -> Desk {
    Desk::new().with("plan.toml", plan).with(
        "evening.toml",
        &format!("format = 1\nplan = \"plan.toml\"\nstart = \"7pm\"\nlasts = \"3h\"\n{scenario}\n"),
    )
}

/// What the program says to a plan and an evening; it has to refuse them as input.
fn refused(plan: &str, scenario: &str) -> String {
    let desk = desk(plan, scenario);
    let outcome =
        desk.run(&["run", &desk.at("evening.toml"), "--trials", "1", "--out", &desk.at("answer")]);
    assert_eq!(outcome.code, 3, "it was accepted:\n{}{}", outcome.out, outcome.err);
    assert!(!desk.path("answer").exists(), "something was written");
    outcome.err
}

fn says(text: &str, parts: &[&str]) {
    parts.iter().for_each(|part| assert!(text.contains(part), "`{part}` is not in:\n{text}"));
}

fn plan_with(from: &str, to: &str) -> String {
    assert!(PLAN.contains(from));
    PLAN.replace(from, to)
}

#[test]
fn an_evening_holds_only_times_that_are_in_it() {
    says(
        &refused(PLAN, "[serving.food]\nat = \"5am\""),
        &["not during the evening", "from 7:00 pm to 10:00 pm", "at = \"5am\"\n"],
    );
    says(&refused(PLAN, "[serving.food]\nat = \"11pm\""), &["not during the evening"]);
    says(
        &refused(PLAN, "arrivals = { times = [\"7pm\", \"11:30pm\"] }"),
        &["not during the evening"],
    );
    let bad_start = Desk::new().with("plan.toml", PLAN).with(
        "evening.toml",
        "format = 1\nplan = \"plan.toml\"\nstart = \"25pm\"\narrivals = { times = [\"9am\"] }\n",
    );
    let told = bad_start.run(&["check", &bad_start.at("evening.toml")]).err;
    says(&told, &["cannot read `25pm`", "1 problem found"]);
    says(
        &refused(PLAN, "[[option]]\nname = \"a\\nb\""),
        &["a line break or a mark", "name = \"a\\nb\"", "1 problem found"],
    );
    says(
        &refused(PLAN, "arrivals = { times = [\"7pm\"], most_within = \"1h\" }"),
        &["either at times or spread"],
    );
}

#[test]
fn a_spot_is_what_it_is_said_to_be() {
    says(
        &refused(PLAN, "[place]\npowder = [\"hall\"]"),
        &["`hall` isn't a powder room", "use = \"powder\""],
    );
    says(
        &refused(PLAN, "[place]\npowder = [\"table\"]"),
        &["a piece of furniture, not a powder room"],
    );
    says(&refused(PLAN, "[place]\nfood = [\"bath\"]"), &["`bath` is a room", "`counter`"]);
    let vanity = plan_with(
        "furniture = [",
        "furniture = [ { kind = \"counter\", name = \"vanity\", room = \"bath\", size = [\"2ft\", \"1ft\"], north = 0 },",
    );
    says(&refused(&vanity, "[place]\nfood = [\"vanity\"]"), &["nobody wants food in the `bath`"]);
    let walk_in =
        plan_with("{ name = \"closet\", size = [2, 5]", "{ name = \"closet\", size = [6, 5]");
    says(
        &refused(&walk_in, "[place]\ncoats = [\"closet\"]\n[doors]\n\"closet door\" = \"closed\""),
        &["nobody can get coats at `closet`"],
    );
    says(
        &refused(PLAN, "[serving.\"glass cabinet\"]\ntime = \"3s\""),
        &["nothing is served at `glass cabinet`"],
    );
}

/// Figures said for a spot are left over where a change serves elsewhere: that is no mistake.
#[test]
fn figures_for_a_spot_do_not_stop_a_change_that_serves_elsewhere() {
    let option = "[place]\nfood = [\"counter\"]\ndrinks = [\"table\"]\n[serving.counter]\ntime = \"20s\"\n[[option]]\nname = \"food on the table\"\nplace = { food = [\"table\"] }\n";
    let desk = desk(PLAN, &format!("guests = 8\n{option}"));
    for args in [["compare", "--trials"], ["improve", "--trials"]] {
        let told = desk.run(&[args[0], &desk.at("evening.toml"), args[1], "2", "--json"]);
        assert_eq!(told.code, 0, "{}: {}", args[0], told.err);
    }
    let told = desk.run(&["where", &desk.at("evening.toml"), "food", "--trials", "2", "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&told.out).unwrap();
    assert!(answer["looked_at"].as_array().unwrap().len() > 3, "places but today's: {}", told.out);
}

#[test]
fn figures_below_nothing_are_told_instead_of_bent() {
    let told = refused(
        PLAN,
        "[talk]\nrate = -3\n[talk.pull]\nhall = -1\n[habits]\nperch = -1\nheld_below = 4",
    );
    says(
        &told,
        &["`-3` is out of range", "from 0.01 to 10", "`4` is out of range", "4 problems found"],
    );
}

#[test]
fn shapes_that_cannot_be_are_told() {
    let crossing = plan_with(
        "{ kind = \"table\", room = \"hall\" }",
        "{ kind = \"table\", room = \"hall\", outline = [[0, 0], [4, 0], [0, 4], [4, 4]] }",
    );
    says(&refused(&crossing, ""), &["the outline of `table` crosses or touches itself"]);
    let both = plan_with(
        "{ kind = \"table\", room = \"hall\" }",
        "{ kind = \"table\", room = \"hall\", size = [4, 4], outline = [[0, 0], [4, 0], [0, 4]] }",
    );
    says(&refused(&both, ""), &["either size or outline"]);
    says(
        &refused(
            &plan_with(
                "east_of = \"hall\", flush = \"south\"",
                "east_of = \"hall\", flush = \"south\", offset = 1",
            ),
            "",
        ),
        &["either flush"],
    );
    says(
        &refused(&plan_with("format = 1", "format = 1\nwalls = \"100m\""), ""),
        &["`100m` is out of range", "16 in thick"],
    );
    says(
        &refused(&plan_with("east_of = \"hall\"", "east_of = \"bath\""), ""),
        &["`bath` is placed beside itself", "1 problem found"],
    );
    says(
        &refused(
            &plan_with(
                "{ joins = [\"hall\", \"bath\"] }",
                "{ joins = [\"hall\", \"bath\"], width = \"10in\" }",
            ),
            "",
        ),
        &["8 in clear: nobody gets through"],
    );
    let bad_chain = plan_with("size = [18, 14]", "size = [0.1, 14]");
    assert!(
        !refused(&bad_chain, "").contains("are each placed by the other"),
        "one bad room is one mistake"
    );
}

#[test]
fn gaps_that_disagree_are_told_with_the_inches() {
    let plan = plan_with(
        "{ kind = \"table\", room = \"hall\" }",
        "{ kind = \"table\", room = \"hall\", size = [\"7ft\", \"3ft\"], west = \"1ft\", east = \"2ft\", turn = 0 }",
    );
    let desk = desk(&plan, "");
    let checked = desk.run(&["check", &desk.at("plan.toml"), "--json"]);
    assert_eq!(checked.code, 0, "{}", checked.err);
    says(
        &checked.out,
        &["One measure disagrees", "24 in to the east wall in the file, but 120 in are left there"],
    );
}

#[test]
fn nothing_is_endless() {
    let desk = desk(PLAN, "");
    let told = |args: &[&str]| {
        let outcome: Outcome = desk.run(args);
        assert_eq!(outcome.code, 3, "{}{}", outcome.out, outcome.err);
        outcome.err
    };
    says(&told(&["check", "/dev/zero"]), &["a device or a pipe"]);
    let many: String = (0..5000)
        .map(|i| format!("{{ name = \"r{i}\", size = [9, 9], at = [{}, 0] }},", i * 10))
        .collect();
    says(
        &refused(&format!("format = 1\nroom = [{many}]\n"), ""),
        &["there are 5000 of `room`", "at most 150"],
    );
    let levels: Vec<String> = (0..40).map(|k| format!("\"level {k}\"")).collect();
    says(
        &refused(
            &plan_with("format = 1", &format!("format = 1\nlevels = [{}]", levels.join(", "))),
            "",
        ),
        &["there are 40 of `levels`", "at most 6"],
    );
    says(
        &refused(
            &plan_with("[18, 14]", "[600, 600]").replace("format = 1", "format = 1\n"),
            "[model]\ncell = \"1in\"",
        ),
        &["too large to be walked"],
    );
    says(&refused(PLAN, "guests = 900"), &["900 guests don't fit on the floor", "4.5 sq ft"]);
    let endless = self::desk(PLAN, "[model]\nmost_events = 2000");
    let out = endless.at("answer");
    for (question, what) in [
        ("run", &["--trials", "2"] as &[&str]),
        ("capacity", &["--trials", "64"]),
        ("where", &["food", "--trials", "10"]),
    ] {
        let told = endless
            .run(&[&[question, &endless.at("evening.toml")], what, &["--out", &out]].concat());
        assert_eq!(told.code, 5, "{question:?}: {}{}", told.out, told.err);
        says(&told.err, &["does not come to an end", "of seed 1 with", "was next"]);
        assert!(!std::path::Path::new(&out).exists(), "{question:?} wrote something");
    }
    says(
        &refused(
            PLAN,
            "[[errand]]\nguests = 100000\nrepeat = 10000\nstops = [\"bath\", \"leave\"]",
        ),
        &["stops of scripted guests"],
    );
}

#[test]
fn a_small_room_for_many_comes_to_an_end() {
    let stops = desk(PLAN, "[[errand]]\nguests = 20\nstops = [\"bath\", \"leave\"]");
    let scripted = stops.run(&[
        "run",
        &stops.at("evening.toml"),
        "--trials",
        "4",
        "--out",
        &stops.at("answer"),
    ]);
    assert_eq!(scripted.code, 0, "{}{}", scripted.out, scripted.err);
    says(&scripted.out, &["80 scripted guests in 4 trials; 80 of them left the house."]);
    let full = desk(PLAN, "[[errand]]\nguests = 30\nstops = [\"bath\"]");
    let stuck = full.run(&["run", &full.at("evening.toml"), "--trials", "2", "--json"]);
    assert_eq!(stuck.code, 0, "who can't get into a full bath gives up: {}", stuck.err);
    let crowd = desk(PLAN, "[[errand]]\nguests = 600000\nstops = [\"leave\"]");
    let through = crowd.run(&["run", &crowd.at("evening.toml"), "--trials", "1", "--json"]);
    assert_eq!(through.code, 0, "many at one moment are not endless: {}", through.err);
    let at_once = "guests = 30\narrivals = { times = [\"7pm\"] }";
    let cabinet = format!("{at_once}\n[place]\nglasses = \"glass cabinet\"");
    let together = desk(PLAN, &cabinet);
    let together = together.run(&["run", &together.at("evening.toml"), "--trials", "4", "--json"]);
    assert_eq!(together.code, 0, "a full line for glasses is tried again later: {}", together.err);
    let cabinet = desk(PLAN, "guests = 12\n[place]\nglasses = \"glass cabinet\"");
    let answer = cabinet.run(&["run", &cabinet.at("evening.toml"), "--trials", "20", "--json"]);
    assert_eq!(answer.code, 0, "{}{}", answer.out, answer.err);
    let answer: serde_json::Value = serde_json::from_str(&answer.out).unwrap();
    for evening in answer["per_trial"].as_array().unwrap() {
        assert_eq!(evening["left"], 12, "everybody gets home: {evening}");
        assert!(
            evening["served"]["glasses"].as_u64() >= Some(10),
            "most get their glass: {evening}"
        );
    }
}

#[test]
fn a_coat_is_hung_once_and_fetched_once() {
    let rack = "furniture = [\n  { kind = \"rack\", room = \"hall\", west = 0, rod = \"30ft\" },";
    let plan = plan_with("  { name = \"closet door\", joins = [\"closet\", \"hall\"] },\n", "")
        .replace(
            "  { name = \"closet\", size = [2, 5], west_of = \"hall\", flush = \"south\" },\n",
            "",
        )
        .replace("furniture = [", rack);
    let desk = desk(&plan, "guests = 40\nweather = \"cold\"");
    let told = desk.run(&["run", &desk.at("evening.toml"), "--trials", "8", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let answer: serde_json::Value = serde_json::from_str(&told.out).unwrap();
    let coats =
        answer["spots"].as_array().unwrap().iter().find(|s| s["serves"] == "coats").unwrap();
    assert!(coats["turned_away"].as_f64() > Some(0.0), "the line is full at times: {coats}");
    for evening in answer["per_trial"].as_array().unwrap() {
        assert_eq!(evening["left"], 40, "{evening}");
        assert_eq!(evening["wanted"]["coats"], evening["served"]["coats"], "{evening}");
    }
}

#[test]
fn nothing_in_a_file_steers_a_terminal_or_shows_other_files() {
    for (mark, name) in [
        ("\\u001b[31m", "escape"),
        ("\\u202e", "right to left"),
        ("\\n", "line break"),
        ("\\u0085", "next line"),
    ] {
        let told = refused(
            &plan_with("{ name = \"kitchen\"", &format!("{{ name = \"kit{mark}chen\"")),
            "",
        );
        says(&told, &["a line break or a mark that cannot be shown"]);
        assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{name}: {told:?}");
    }
    says(
        &refused(&plan_with("\"kitchen\"", &format!("\"{}\"", "k".repeat(61))), ""),
        &["over 60 characters"],
    );
    let desk = Desk::new()
        .with("secret.txt", "root: 123\n")
        .with("evening.toml", "format = 1\nplan = \"secret.txt\"\n");
    let told = desk.run(&["check", &desk.at("evening.toml")]).err;
    assert!(told.contains("is no plan") && !told.contains("root"), "{told}");
}

#[test]
fn slips_are_told_for_what_they_are() {
    let desk = Desk::new()
        .with("plan.toml", PLAN)
        .with("paln.toml", "format = 1\npaln = \"plan.toml\"\n")
        .with("none.toml", "format = 1\noccasion = \"buffet\"\n");
    says(
        &desk.run(&["run", &desk.at("paln.toml")]).err,
        &["unknown key `paln`", "did you mean `plan`?"],
    );
    says(&desk.run(&["run", &desk.at("none.toml")]).err, &["`plan` is missing"]);
    says(
        &desk.run(&["run", &desk.at("plan.toml"), "--option", "x"]).err,
        &["a plan alone has no options"],
    );
    std::fs::write(desk.path("latin.toml"), b"format = 1\ntitle = \"caf\xe9\"\n").unwrap();
    says(&desk.run(&["check", &desk.at("latin.toml")]).err, &["line 2 is not text in UTF-8"]);
    let option = "[[option]]\nname = \"other\"\nplan = \"nowhere.toml\"";
    says(&refused(PLAN, option), &["cannot read the plan `nowhere.toml`", "evening.toml:7:8"]);
}

#[test]
fn arrangements_are_compared_with_the_same_guests() {
    let desk = desk(PLAN, "guests = 8")
        .with("more.toml", "format = 1\nplan = \"plan.toml\"\nguests = 12\n");
    let compared = desk.run(&[
        "compare",
        &desk.at("evening.toml"),
        &desk.at("more.toml"),
        "--trials",
        "2",
        "--json",
    ]);
    assert_eq!(compared.code, 2, "{}", compared.out);
    says(&compared.err, &["compared with the same guests", "--guests 8"]);
}

/// Who stands outside to the end has waited until then: an evening that lets half of its guests in
/// is not easy.
#[test]
fn who_never_gets_in_counts() {
    let slow = desk(PLAN, "guests = 20\n[serving.door]\ntime = \"20min\"");
    let answer = slow.run(&["run", &slow.at("evening.toml"), "--trials", "4", "--json"]);
    says(&answer.out, &["20 guests: too many", "\"fits\": false"]);
    let shut = desk(PLAN, "guests = 20\n[serving.powder]\ntime = \"48h\"");
    let answer = shut.run(&["run", &shut.at("evening.toml"), "--trials", "4", "--json"]);
    says(&answer.out, &["20 guests: too many", "the bath"]);
}

/// Ranges of an answer: value, low and high of every figure.
fn ranges(answer: &serde_json::Value, at: &str, found: &mut Vec<(String, [f64; 3])>) {
    if let Some([value, low, high]) = ["value", "low", "high"]
        .map(|k| answer[k].as_f64())
        .into_iter()
        .collect::<Option<Vec<f64>>>()
        .as_deref()
    {
        found.push((
            format!("{at} {}", answer["name"].as_str().unwrap_or_default()),
            [*value, *low, *high],
        ));
    }
    match answer {
        serde_json::Value::Array(all) => all.iter().for_each(|v| ranges(v, at, found)),
        serde_json::Value::Object(all) => {
            all.iter().for_each(|(k, v)| ranges(v, &format!("{at}/{k}"), found))
        }
        _ => {}
    }
}

/// Two evenings tell little, but never less than nothing or more than all.
#[test]
fn ranges_keep_to_what_is_possible() {
    for (file, guests) in
        [("winter-cocktails.toml", "70"), ("buffet-dinner.toml", "70"), ("housewarming.toml", "20")]
    {
        let outcome = elbowroom_tests::run(&[
            "run",
            &demo(file),
            "--guests",
            guests,
            "--trials",
            "2",
            "--json",
        ]);
        let mut found = vec![];
        ranges(&serde_json::from_str(&outcome.out).unwrap(), "", &mut found);
        assert!(found.len() > 30, "{}", found.len());
        for (at, [value, low, high]) in found {
            assert!(
                0.0 <= low && low <= value && value <= high,
                "{file} {at}: {value} ({low} to {high})"
            );
            assert!(
                high <= 1.0 || !(at.contains("risk") || at.contains("seats short")),
                "{file} {at}: {value} ({low} to {high})"
            );
        }
    }
}

#[test]
fn every_guest_is_counted_on_every_evening() {
    let evenings =
        std::env::var("ELBOWROOM_EVENINGS").ok().and_then(|n| n.parse().ok()).unwrap_or(EVENINGS);
    for (demo_file, guests) in [
        ("winter-cocktails.toml", 55),
        ("buffet-dinner.toml", 30),
        ("housewarming.toml", 40),
        ("summer-evening.toml", 40),
    ] {
        let world = world(&demo(demo_file), Some(guests), None);
        let door = world.spots_for(Serves::Door)[0];
        let trials: Vec<u32> = (0..evenings).collect();
        for tally in
            in_order(&trials, |&trial| run_trial(&world, 5, trial, Keep::default()).0, &|| ())
        {
            let which = format!("{demo_file}, trial {}", tally.trial);
            assert_eq!(
                tally.waits[door].len(),
                guests as usize,
                "each comes to the door once: {which}"
            );
            assert_eq!(
                tally.came,
                tally.left + tally.stayed,
                "who is in and not out is still there: {which}"
            );
            for serves in Serves::ALL {
                let spots = world.spots_for(serves);
                let ended: usize = spots.iter().map(|&s| tally.waits[s].len()).sum();
                assert_eq!(
                    tally.wanted[serves as usize] as usize,
                    ended,
                    "each visit is served or given up: {} of {which}",
                    serves.word()
                );
                assert!(
                    spots.iter().all(|&s| tally.served[s] as usize <= tally.waits[s].len()),
                    "{which}"
                );
            }
            assert!(
                tally.came <= guests
                    && tally.left <= tally.came
                    && tally.peak <= tally.came
                    && tally.endless.is_none(),
                "{which}"
            );
            assert!(
                tally.came == guests && tally.left == guests,
                "everybody gets in and home: {} and {} of {guests}, {which}",
                tally.came,
                tally.left
            );
        }
    }
}
