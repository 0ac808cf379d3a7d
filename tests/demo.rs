//! The demo tells one day's story in one screen, in a folder of its own.

use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, args: &[&str]) -> Output {
    run_at("2026-11-25T23:00:00Z", folder, args)
}

fn run_at(now: &str, folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(args)
        .current_dir(folder)
        .env("TRAYFUL_NOW", now)
        .env("TRAYFUL_BY", "AB")
        .output()
        .expect("the program runs")
}

fn told(output: &Output) -> String {
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{errors}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn the_demo_tells_a_day_in_one_screen_and_what_to_try_next() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let shown = told(&run(folder, &["demo"]));
    let lines = shown.lines().count();
    assert!(lines <= 60, "{lines} lines:\n{shown}");
    let parts = [
        "Buckets came in",
        "REFUSE",
        "meat-fish",
        "stopped at the dock: there was bone in it",
        "Tonight's mix, night of 2026-11-25",
        "FEED THIS",
        "Month 2026-11",
        "diverted",
        "Of this, today: ",
        "Three things to try next",
    ];
    let places = parts.map(|part| {
        shown
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {shown}"))
    });
    assert!(places.is_sorted(), "{shown}");
    // Each of the three can be run as it stands.
    let next = shown
        .split("Three things to try next")
        .nth(1)
        .expect("next");
    let book = Path::new("demo-farm").join("farm.daybook");
    let commands: Vec<&str> = next
        .lines()
        .filter_map(|line| line.split_once(": "))
        .map(|(_, command)| command)
        .collect();
    assert_eq!(commands.len(), 3, "{next}");
    for command in commands {
        let words: Vec<&str> = command.split(' ').skip(1).collect();
        assert_eq!(words[..2], ["--daybook", book.to_str().expect("text")]);
        if !words.contains(&"weigh") {
            told(&run(folder, &words));
        }
    }
    let whole = ["check", "--daybook", "demo-farm/farm.daybook"];
    assert!(told(&run(folder, &whole)).contains("The book is whole"));
}

#[test]
fn the_demo_is_never_in_the_way_of_a_farm() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    told(&run(folder, &["demo", "--days", "7"]));
    told(&run(folder, &["demo", "--days", "7"]));
    told(&run(
        folder,
        &["demo", "--days", "7", "--daybook", "mine.daybook"],
    ));
    for (path, is_there) in [
        ("farm.daybook", false),
        ("demo-farm/farm.daybook", true),
        ("demo-farm-2/farm.daybook", true),
        ("mine.daybook", true),
    ] {
        assert_eq!(folder.join(path).exists(), is_there, "{path}");
    }
}

/// A night that what is to be done first mends is not told as one that nothing mends.
#[test]
fn what_mends_a_night_ahead_is_not_denied() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |args: &[&str]| told(&run_at("2026-11-28T11:00:00Z", folder.path(), args));
    at(&["demo"]);
    let book = "demo-farm/farm.daybook";
    let ahead = at(&["ahead", "--nights", "3", "--weeks", "1", "--daybook", book]);
    assert!(ahead.starts_with("FITS WITH THE ADVICE TAKEN"), "{ahead}");
    assert!(
        ahead.contains("1. Sat 28 Nov is too high in fibre"),
        "{ahead}"
    );
    assert!(ahead.contains("The advice below mends it"), "{ahead}");
}

/// Five farms, none of them another's twin, each whole and marked as invented.
#[test]
fn five_farms_differ_and_each_is_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let shown = told(&run(folder, &["demo", "--sites", "5", "--days", "30"]));
    assert_eq!(shown.matches("(invented)").count(), 5, "{shown}");
    let mut seen = std::collections::BTreeSet::new();
    for site in 1..=5 {
        let book = format!("demo-sites/site-{site}.daybook");
        let whole = told(&run(folder, &["check", "--daybook", &book]));
        assert!(whole.contains("The book is whole"), "{whole}");
        let month = ["month", "--last", "--json", "--daybook", &book];
        let month: serde_json::Value =
            serde_json::from_str(&told(&run(folder, &month))).expect("JSON");
        let received = month["received_g"].as_i64().expect("grams");
        assert!(
            received > 0 && seen.insert(received),
            "{received}: {seen:?}"
        );
    }
}
