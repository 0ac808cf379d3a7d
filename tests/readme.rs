//! What README and `examples/` show is what the program prints.
//!
//! Answers are written anew with `INSTA_UPDATE=always`, as snapshots are; then read the diff.

#[path = "cli/masked.rs"]
mod masked;

use std::path::{Path, PathBuf};
use std::process::Command;

use masked::masked;

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

/// What one command answered, or else remarked, without its last line end.
fn answer(folder: &Path, clock: &str, line: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(words(line))
        .current_dir(folder)
        .env("TRAYFUL_NOW", clock)
        .env("TRAYFUL_BY", "Ana")
        .output()
        .expect("the program runs");
    let mut told = String::from_utf8(output.stdout).expect("text");
    if told.is_empty() {
        told.push_str(&String::from_utf8_lossy(&output.stderr));
    }
    assert!(
        matches!(output.status.code(), Some(0 | 3)),
        "{line}: {told}"
    );
    masked(told.trim_end())
}

/// A text with the answer to each command of its consoles as it is now, and
/// how many commands these are. The clock stands in a comment before them.
fn answered(text: &str, folder: &Path) -> (String, usize) {
    let (mut clock, mut console, mut commands) = ("", false, 0);
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines() {
        let command = line.strip_prefix("$ trayful").filter(|_| console);
        if let Some(instant) = line.strip_prefix("<!-- clock ") {
            clock = instant.trim_end_matches(" -->");
        }
        if let Some(command) = command {
            commands += 1;
            lines.extend([line.to_owned(), answer(folder, clock, command)]);
        } else if !console || line == "```" {
            lines.push(line.to_owned());
        }
        console = line == "```console" || (console && line != "```");
    }
    (lines.join("\n") + "\n", commands)
}

fn shipped(path: &str) -> (PathBuf, String) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let text = std::fs::read_to_string(&path).expect("a file of the project");
    (path, text)
}

/// Holds a file to what it should say, or writes it anew where asked.
fn held((path, written): (PathBuf, String), now: String) {
    if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
        std::fs::write(&path, now).expect("written");
    } else {
        let differ = now
            .lines()
            .zip(written.lines())
            .find(|(now, was)| now != was);
        assert_eq!(differ, None, "{}", path.display());
        assert_eq!(now.len(), written.len(), "{}", path.display());
    }
}

#[test]
fn the_farm_of_the_examples_answers_as_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let night = folder.path().join("examples/one-night");
    std::fs::create_dir_all(&night).expect("a folder");
    for file in ["stock.csv", "targets.toml"] {
        let (path, _) = shipped(&format!("examples/one-night/{file}"));
        std::fs::copy(path, night.join(file)).expect("copied");
    }
    let weeks = shipped("examples/README.md");
    let (answers, commands) = answered(&weeks.1, folder.path());
    assert!(commands >= 35, "{commands} commands were found");

    let readme = shipped("README.md");
    let (_, sheet) = answers.split_once("$ trayful mix\n").expect("a mix");
    let (sheet, _) = sheet.split_once("\n$ ").expect("its end");
    let (before, after) = readme.1.split_once("```text\n").expect("a sheet");
    let (_, after) = after.split_once("\n```").expect("its end");
    let now = format!("{before}```text\n{sheet}\n```{after}");
    assert!(now.lines().count() <= 150, "README is to stay short");

    held(weeks, answers);
    held(readme, now);
}

/// Names in backticks.
fn named(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

/// No act is missing at a terminal or on the page, unless the table says why.
#[test]
fn every_act_stands_in_the_table_of_readme() {
    let (_, readme) = shipped("README.md");
    let table = readme.split("| what you do |").nth(1).expect("the table");
    let rows = table
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with('|'));
    let rows: Vec<Vec<&str>> = rows
        .map(|row| row.split('|').map(str::trim).collect())
        .collect();
    assert!(rows.len() > 15, "{rows:?}");
    let column =
        |nth: usize| -> Vec<&str> { rows.iter().flat_map(|row| named(row[nth])).collect() };
    let help = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .arg("--help")
        .output()
        .expect("runs");
    let help = String::from_utf8(help.stdout).expect("text");
    let commands = help
        .split("Every day, at the scale:")
        .nth(1)
        .expect("groups");
    let commands = commands
        .split("For every command:")
        .next()
        .expect("commands");
    let commands = commands
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split(' ').next());
    let at_terminal = column(2);
    for command in commands.filter(|word| !word.is_empty()) {
        assert!(
            at_terminal.contains(&command),
            "`{command}` is not in README's table"
        );
    }
    let (_, router) = shipped("src/dock/router.rs");
    let on_page = column(3);
    let mut pages = 0;
    for line in router.lines().map(str::trim) {
        if line.starts_with("form::<") || line.starts_with("seen(\"") {
            let page = line.split('"').nth(1).expect("a path");
            assert!(on_page.contains(&page), "{page} is not in README's table");
            pages += 1;
        }
    }
    assert!(pages > 15, "{pages} pages");
    for row in &rows {
        let led = named(row[3]).iter().any(|name| name.starts_with('/'));
        assert!(
            led || row[3].starts_with("by the terminal: "),
            "no page and no reason: {row:?}"
        );
    }
}
