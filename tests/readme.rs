//! README's walk-throughs are run as they stand.

use std::path::Path;
use std::process::Command;

/// Words of a command line with double quotes, as a shell splits them.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for character in line.chars() {
        match character {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().expect("a word").push(other),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

fn run(folder: &Path, line: &str) {
    let output = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(words(line))
        .current_dir(folder)
        .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
        .env("TRAYFUL_BY", "AB")
        .output()
        .expect("the program runs");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0 | 3)),
        "{line}: {told}"
    );
}

/// Runs every command of a section, each ending in `more`.
fn walk_through(section: &str, folder: &Path, more: &str) -> usize {
    let readme = include_str!("../README.md");
    let text = readme.split(section).nth(1).expect("the walk-through");
    let text = text.split("\n## ").next().expect("its end");
    let commands = text
        .lines()
        .filter_map(|line| line.strip_prefix("$ trayful "));
    commands
        .map(|line| run(folder, &format!("{line}{more}")))
        .count()
}

#[test]
fn a_day_by_hand_works_as_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = walk_through("## A day by hand", folder.path(), "");
    assert!(ran >= 12, "{ran} commands of the walk-through were found");
}

/// On the demo farm, whose book has an October.
#[test]
fn a_month_is_handed_out_corrected_and_handed_out_anew_as_written() {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), "demo");
    let more = " --daybook demo-2026-11-25.daybook";
    let ran = walk_through("## The month that is handed out", folder.path(), more);
    assert!(ran >= 7, "{ran} commands of the walk-through were found");
}
