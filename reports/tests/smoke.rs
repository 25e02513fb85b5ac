//! The real executable starts, answers and exits as documented.

use std::process::Command;

fn elbowroom(args: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_elbowroom")).args(args).output();
    let Ok(output) = output else {
        return (-1, String::new(), "the program did not start".into());
    };
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap_or(-1), text(&output.stdout), text(&output.stderr))
}

#[test]
fn the_program_starts_and_says_what_it_is_not() {
    let (code, out, err) = elbowroom(&["--help"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("not an occupant load"));
}

#[test]
fn a_file_that_is_not_there_exits_with_three() {
    let (code, _, err) = elbowroom(&["run", "no-such-plan.toml", "--json"]);
    assert_eq!(code, 3);
    assert!(err.contains("no-such-plan.toml"));
}

/// A search that is killed in the middle leaves no answer; what it was at is cleared away by the
/// next run.
#[test]
fn what_is_interrupted_leaves_no_half_file() -> std::io::Result<()> {
    let desk = tempfile::TempDir::new()?;
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenarios/winter-cocktails.toml");
    let mut search = Command::new(env!("CARGO_BIN_EXE_elbowroom"));
    let mut child = search
        .current_dir(desk.path())
        .args(["capacity", demo, "--out", "answer", "--trials", "100000", "--quiet"])
        .spawn()?;
    std::thread::sleep(std::time::Duration::from_secs(2));
    assert!(child.try_wait()?.is_none(), "it ended before it could be interrupted");
    child.kill()?;
    child.wait()?;
    assert!(!desk.path().join("answer").exists(), "half an answer was left behind");
    let checked = Command::new(env!("CARGO_BIN_EXE_elbowroom"))
        .current_dir(desk.path())
        .args(["check", demo, "--out", "plan"])
        .output()?;
    assert!(checked.status.success());
    assert_eq!(std::fs::read_dir(desk.path())?.count(), 1, "something was left behind");
    Ok(())
}
