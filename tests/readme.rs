//! README's walk-through is run as it stands.

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

#[test]
fn a_day_by_hand_works_as_written() {
    let readme = include_str!("../README.md");
    let day = readme
        .split("## A day by hand")
        .nth(1)
        .expect("the walk-through");
    let day = day.split("\n## ").next().expect("its end");
    let folder = tempfile::tempdir().expect("a folder");
    let mut ran = 0;
    for line in day
        .lines()
        .filter_map(|line| line.strip_prefix("$ trayful "))
    {
        let output = Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args(words(line))
            .current_dir(folder.path())
            .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
            .env("TRAYFUL_BY", "AB")
            .output()
            .expect("the program runs");
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(
            matches!(output.status.code(), Some(0 | 3)),
            "{line}: {told}"
        );
        ran += 1;
    }
    assert!(ran >= 12, "{ran} commands of the walk-through were found");
}
