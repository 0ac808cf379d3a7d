//! What no option takes is told in our words, whatever the option.

use crate::farm::Farm;

/// An authority's leave, with all it needs.
const ALLOW: &[&str] = &[
    "allow",
    "retail-mixed-surplus",
    "--by-whom",
    "vet",
    "--for",
    "fish",
];

/// Commands with options, and what they need besides to get as far as these.
const COMMANDS: &[&[&str]] = &[
    &["begin"],
    &["farm"],
    &["weigh"],
    ALLOW,
    &["correct", "A1", "--why", "slip"],
    &["lot", "A1", "test"],
    &["lot", "A1", "look"],
    &["lot", "A1", "weigh"],
    &["lot", "A1", "discard"],
    &["cohort", "add", "H9"],
    &["mix", "--look"],
    &["fed"],
    &["harvest", "H1"],
    &["money"],
    &["money", "add", "labour"],
    &["learn"],
    &["month"],
    &["ahead"],
    &["statement", "Quay brewery"],
    &["trace"],
    &["recall"],
    &["strike", "A1"],
    &["check"],
    &["demo"],
];

/// The options of a command that take a value, with its name.
fn options(farm: &Farm, command: &[&str]) -> Vec<(String, String)> {
    let words = command
        .iter()
        .filter(|word| word.starts_with(|c: char| c.is_lowercase()));
    let mut asked: Vec<&str> = words.copied().filter(|word| !word.contains('-')).collect();
    asked.truncate(if ["lot", "cohort", "money"].contains(&asked[0]) {
        2
    } else {
        1
    });
    asked.push("--help");
    let help = farm.run(&asked);
    assert!(help.ends_with("exit 0\n"), "{help}");
    let option = |line: &str| {
        let (flag, rest) = line.trim_start().strip_prefix("--")?.split_once(" <")?;
        let value = rest.split('>').next()?;
        Some((format!("--{flag}"), value.to_owned()))
    };
    help.lines().filter_map(option).collect()
}

#[test]
fn no_option_answers_in_the_words_of_a_library() {
    let farm = Farm::stocked();
    let mut told_of = 0;
    for command in COMMANDS {
        for (flag, value) in options(&farm, command) {
            if value == "FILE" {
                continue;
            }
            for text in ["-5lb", "1e999,5"] {
                let mut args = command.to_vec();
                args.extend([flag.as_str(), text, "--no-input"]);
                let told = farm.run(&args);
                for theirs in [
                    "invalid",
                    "failed to parse",
                    "unexpected",
                    "Usage:",
                    "tip:",
                    "ParseInt",
                    "out of range",
                    "panicked",
                ] {
                    assert!(!told.contains(theirs), "{args:?}: {told}");
                }
                told_of += 1;
            }
        }
    }
    assert!(told_of > 150, "only {told_of}");
}

/// Whatever takes a day, a time or a month, with what it needs besides.
const DAYS: &[(&[&str], &str)] = &[
    (&["mix", "--look"], "--night"),
    (&["fed"], "--night"),
    (&["lot", "A1", "look", "--fit"], "--night"),
    (&["cohort", "add", "H9"], "--hatched"),
    (ALLOW, "--on"),
    (&["trace", "--buyer", "Bait shop"], "--from"),
    (&["trace", "--buyer", "Bait shop"], "--to"),
    (&["recall", "--buyer", "Bait shop"], "--from"),
    (&["recall", "--buyer", "Bait shop"], "--to"),
];

#[test]
fn a_day_written_another_way_is_told_as_meant_by_every_option() {
    let farm = Farm::stocked();
    for command in COMMANDS {
        for (flag, value) in options(&farm, command) {
            let is_in = DAYS
                .iter()
                .any(|(of, day)| of[0] == command[0] && *day == flag);
            assert!(
                value != "DAY" || is_in,
                "{command:?} {flag} is tried nowhere"
            );
        }
    }
    let told = |before: &[&str], given: &[&str]| {
        let told = farm.run(&[before, given, &["--no-input"]].concat());
        assert!(!told.ends_with("exit 0\n"), "{told}");
        told
    };
    for (before, flag) in DAYS {
        for (given, meant) in [
            ("11/20/2025", "year, month, day: 2025-11-20"),
            ("20.11.2025", "year, month, day: 2025-11-20"),
            ("3/4/2025", "year, month, day: 2025-03-04 or 2025-04-03"),
            ("soon", "a day such as"),
        ] {
            let told = told(before, &[flag, given]);
            assert!(told.contains(meant) && told.contains(given), "{told}");
        }
    }
    let time = told(&["stock"], &["--at", "3/20/2026 18:30"]);
    assert!(
        time.contains("year, month, day: 2026-03-20T18:30"),
        "{time}"
    );
    for before in [&["month"][..], &["money"], &["statement", "Quay brewery"]] {
        let month = told(before, &["3/2026"]);
        assert!(month.contains("year and month: 2026-03"), "{month}");
    }
}
