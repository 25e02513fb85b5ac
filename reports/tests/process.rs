//! The program as the system sees it: interrupted, killed, without a reader, beside another run.
//! Whatever happens, no file is lost and nothing is left lying about.
#![cfg(unix)]
#![allow(clippy::unwrap_used)]

use sha2::{Digest, Sha256};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// Runs that are killed; many more with `ELBOWROOM_KILLS=500`.
const KILLS: u32 = 25;

const PLAN: &str = r#"format = 1
room = [{ name = "hall", size = [12, 9] }]
opening = [{ joins = ["outside", "hall"], wall = "south" }]
furniture = [{ kind = "bar", room = "hall", north = 0 }]
"#;

/// A folder with a plan.
struct Desk(TempDir);

impl Desk {
    fn new() -> Desk {
        let desk = Desk(tempfile::tempdir().unwrap());
        std::fs::write(desk.path("plan.toml"), PLAN).unwrap();
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn program(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_elbowroom"));
        command.current_dir(self.0.path()).args(args).stdin(Stdio::null());
        command
    }

    fn run(&self, args: &[&str]) -> Output {
        self.program(args).output().unwrap()
    }

    fn start(&self, args: &[&str]) -> Child {
        self.program(args).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
    }

    fn hidden(&self) -> Vec<String> {
        let names = std::fs::read_dir(self.0.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
        names.filter(|n| n.starts_with('.')).collect()
    }

    /// Waits until a run has begun, which shows by its hidden folder.
    fn until_begun(&self) {
        let since = Instant::now();
        while self.hidden().is_empty() && since.elapsed() < Duration::from_secs(20) {
            std::thread::sleep(Duration::from_millis(5));
        }
        assert!(!self.hidden().is_empty(), "the run never began");
    }
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn says(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Whether a folder holds the files of its list as they were written, and nothing else.
fn is_whole(folder: &Path) -> bool {
    let list = std::fs::read_to_string(folder.join("files.sha256")).unwrap_or_default();
    let listed: Vec<(&str, &str)> = list.lines().filter_map(|l| l.split_once("  ")).collect();
    let sum = |name: &str| {
        std::fs::read(folder.join(name))
            .map(|b| Sha256::digest(b).iter().map(|b| format!("{b:02x}")).collect::<String>())
    };
    let there = std::fs::read_dir(folder).map_or(0, Iterator::count);
    listed.len() >= 3
        && there == listed.len() + 1
        && listed.iter().all(|(s, name)| sum(name).is_ok_and(|is| is == *s))
}

#[test]
fn an_interrupted_run_leaves_nothing() {
    for signal in ["INT", "TERM"] {
        let desk = Desk::new();
        let mut run = desk.start(&[
            "run",
            "plan.toml",
            "--guests",
            "20",
            "--trials",
            "20000",
            "--out",
            "answer",
        ]);
        desk.until_begun();
        Command::new("kill").args([&format!("-{signal}"), &run.id().to_string()]).status().unwrap();
        assert_eq!(run.wait().unwrap().code(), Some(130), "{signal}");
        assert!(
            desk.hidden().is_empty() && !desk.path("answer").exists(),
            "{signal}: {:?}",
            desk.hidden()
        );
    }
}

#[test]
fn however_a_run_is_killed_an_answer_stands_whole_and_the_next_run_clears_up() {
    let kills = std::env::var("ELBOWROOM_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(KILLS);
    let desk = Desk::new();
    let check = ["check", "plan.toml", "--out", "answer", "--force"];
    let started = Instant::now();
    assert_eq!(code(&desk.run(&check)), 0);
    let takes = started.elapsed();
    for k in 0..kills {
        let mut run = desk.start(&check);
        // spread over the whole run, and a little beyond
        std::thread::sleep(takes.mul_f64(f64::from(k) / f64::from(kills) * 1.1));
        run.kill().unwrap();
        run.wait().unwrap();
        assert!(is_whole(&desk.path("answer")), "kill {k} of {kills}");
    }
    assert_eq!(code(&desk.run(&check)), 0);
    assert!(is_whole(&desk.path("answer")) && desk.hidden().is_empty(), "{:?}", desk.hidden());
}

#[test]
fn an_answer_is_written_though_nobody_reads() {
    let desk = Desk::new();
    let strict = [
        "run",
        "plan.toml",
        "--guests",
        "8",
        "--trials",
        "2",
        "--strict",
        "--clear-floor",
        "100 sq ft",
        "--out",
        "answer",
    ];
    let mut run =
        desk.program(&strict).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    drop(run.stdout.take());
    assert_eq!(
        run.wait().unwrap().code(),
        Some(1),
        "a limit that does not hold is told by the exit code"
    );
    assert!(is_whole(&desk.path("answer")));
    let mut completions = desk
        .program(&["completions", "bash"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(completions.stdout.take());
    assert!(completions.wait_with_output().unwrap().status.success());
}

#[test]
fn a_second_run_into_one_folder_is_told_before_it_simulates() {
    let desk = Desk::new();
    let args = ["run", "plan.toml", "--guests", "20", "--trials", "20000", "--out", "answer"];
    let mut first = desk.start(&args);
    desk.until_begun();
    let second = desk.run(&args);
    assert!(code(&second) == 4 && says(&second).contains("another run"), "{}", says(&second));
    first.kill().unwrap();
    first.wait().unwrap();
    let third = desk.run(&["check", "plan.toml", "--out", "answer"]);
    assert_eq!(code(&third), 0, "what a killed run left is cleared away: {}", says(&third));
}

#[test]
fn only_folders_of_ours_are_replaced() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("letters")).unwrap();
    std::fs::write(desk.path("letters/answer.json"), "{\"program\": \"elbowroom 0.1.0\"}").unwrap();
    std::os::unix::fs::symlink("letters", desk.path("link")).unwrap();
    for out in [".", "letters", "link", "plan.toml", "nowhere/answer"] {
        let refused = desk.run(&["check", "plan.toml", "--out", out, "--force"]);
        assert!(
            code(&refused) == 4 && says(&refused).starts_with("error: "),
            "{out}: {}",
            says(&refused)
        );
    }
    assert!(
        std::fs::read_to_string(desk.path("letters/answer.json"))
            .is_ok_and(|t| t.contains("elbowroom"))
    );
    assert!(
        std::fs::symlink_metadata(desk.path("link")).unwrap().is_symlink()
            && desk.hidden().is_empty()
    );
}

#[test]
fn traces_go_only_where_nothing_or_traces_were() {
    let desk = Desk::new();
    std::fs::write(desk.path("notes.csv"), "mine").unwrap();
    std::os::unix::fs::symlink("notes.csv", desk.path("link.csv")).unwrap();
    let traced = |to: &str| {
        desk.run(&["run", "plan.toml", "--guests", "3", "--trials", "1", "--json", "--traces", to])
    };
    for to in ["plan.toml", "notes.csv", "link.csv", "/dev/null", "nowhere/t.csv"] {
        let refused = traced(to);
        assert!(
            code(&refused) == 4 && says(&refused).contains("--traces"),
            "{to}: {}",
            says(&refused)
        );
    }
    assert_eq!(std::fs::read_to_string(desk.path("plan.toml")).unwrap(), PLAN);
    for _ in 0..2 {
        assert_eq!(code(&traced("t.csv")), 0, "traces replace traces");
    }
    let plain = std::fs::metadata(desk.path("plan.toml")).unwrap().permissions().mode();
    assert_eq!(
        std::fs::metadata(desk.path("t.csv")).unwrap().permissions().mode(),
        plain,
        "as readable as any other file"
    );
    assert!(desk.hidden().is_empty());
}

#[test]
fn a_watched_run_answers_again_when_a_file_changes_and_says_what_is_wrong_with_it() {
    let desk = Desk::new();
    let (out, err) = (desk.path("out"), desk.path("err"));
    let mut command =
        desk.program(&["run", "plan.toml", "--guests", "4", "--trials", "30", "--watch"]);
    command.stdout(std::fs::File::create(&out).unwrap());
    command.stderr(std::fs::File::create(&err).unwrap());
    let mut watching = command.spawn().unwrap();
    let until = |path: &Path, what: &str| {
        let since = Instant::now();
        let says = || std::fs::read_to_string(path).unwrap_or_default();
        while !says().contains(what) {
            assert!(since.elapsed() < Duration::from_secs(60), "no {what:?} in\n{}", says());
            std::thread::sleep(Duration::from_millis(20));
        }
    };
    until(&out, "First look, 24 evenings: 4 guests");
    until(&out, "Watching plan.toml");
    std::fs::write(desk.path("plan.toml"), PLAN.replace("bar", "bra")).unwrap();
    until(&err, "did you mean `bar`");
    std::fs::write(desk.path("plan.toml"), PLAN.replace("\"bar\"", "\"bar\", name = \"tiki bar\""))
        .unwrap();
    until(&out, "tiki bar");
    watching.kill().unwrap();
    watching.wait().unwrap();
    assert_eq!(desk.hidden(), Vec::<String>::new());
}

#[test]
fn a_watched_run_ends_when_nobody_reads() {
    let desk = Desk::new();
    let mut command =
        desk.program(&["run", "plan.toml", "--guests", "4", "--trials", "30", "--watch"]);
    let mut watching = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    drop(watching.stdout.take());
    let since = Instant::now();
    while watching.try_wait().unwrap().is_none() {
        assert!(since.elapsed() < Duration::from_secs(60), "it goes on for nobody");
        std::thread::sleep(Duration::from_millis(20));
    }
}
