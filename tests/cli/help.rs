//! Help is by when a command is used, and its examples run.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};

use crate::farm::Farm;

/// A farm's first days, in an order in which the examples can be run.
const ORDER: [&str; 25] = [
    "begin",
    "farm",
    "streams",
    "stages",
    "weigh",
    "correct",
    "allow",
    "cohort",
    "stock",
    "mix",
    "fed",
    "lot",
    "harvest",
    "money",
    "learn",
    "ahead",
    "month",
    "statement",
    "trace",
    "recall",
    "strike",
    "check",
    "keep",
    "papers",
    "demo",
];

/// The examples a command's help ends with, without the program's name.
fn examples(farm: &Farm, command: &str) -> Vec<String> {
    let help = farm.run(&[command, "--help"]);
    let told = help.split("Example:").nth(1);
    let told = told.unwrap_or_else(|| panic!("no example: {help}"));
    let told = told.split("\nexit ").next().expect("its end");
    let one_line = |example: &str| example.split_whitespace().collect::<Vec<_>>().join(" ");
    let examples: Vec<String> = told.split("\n  trayful ").skip(1).map(one_line).collect();
    assert!(!examples.is_empty(), "{help}");
    examples
}

#[test]
fn each_command_s_example_runs() {
    let mut farm = Farm::without_book();
    farm.at("2026-11-26T01:00:00Z");
    for command in ORDER {
        for line in examples(&farm, command) {
            let words: Vec<String> = (line.split('"').enumerate())
                .flat_map(|(nth, part)| match nth % 2 {
                    0 => part.split_whitespace().map(ToOwned::to_owned).collect(),
                    _ => vec![part.to_owned()],
                })
                .collect();
            assert_eq!(words[0], command, "{line}");
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let told = farm.run(&words);
            let ended = told.ends_with("exit 0\n") || told.ends_with("exit 3\n");
            assert!(ended, "{line}\n{told}");
        }
    }
    page_answers(&farm, &examples(&farm, "dock").join(" "));
}

/// The page is served until someone ends it. A port of its own, so that any
/// number of tests can run.
fn page_answers(farm: &Farm, example: &str) {
    let mut serving = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(example.split(' '))
        .args(["--port", "0"])
        .current_dir(farm.folder())
        .env("TRAYFUL_NOW", farm.now())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    let mut told = BufReader::new(serving.stdout.take().expect("its words")).lines();
    let place = told.find_map(|line| {
        let line = line.expect("text");
        let (_, after) = line.split_once("http://")?;
        Some(after.split(['/', ' ']).next()?.to_owned())
    });
    let answer = place.map(|place| {
        let mut page = TcpStream::connect(&place).expect("it is reached");
        let asks = format!("GET / HTTP/1.1\r\nHost: {place}\r\nConnection: close\r\n\r\n");
        page.write_all(asks.as_bytes()).expect("asked");
        let mut answer = String::new();
        page.read_to_string(&mut answer).expect("text");
        answer
    });
    serving.kill().expect("it is stopped");
    serving.wait().expect("its end");
    let answer = answer.expect("it says where it is");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
}

/// Kept for one version; help no longer lists them.
#[test]
fn names_that_changed_say_the_new_one() {
    let farm = Farm::stocked();
    let help = farm.run(&["--help"]);
    for (former, now) in [
        (&["assay", "A2", "--squeeze", "just"][..], "lot LOT test"),
        (&["look", "A2", "--fit"], "lot LOT look"),
        (&["reweigh", "A2", "--weight", "20lb"], "lot LOT weigh"),
        (
            &["discard", "A2", "--to", "compost", "--weight", "1lb"],
            "lot LOT discard",
        ),
        (&["mixes"], "learn --mixes"),
    ] {
        let told = farm.run(former);
        let note = format!("`trayful {}` is now `trayful {now}`", former[0]);
        assert!(told.contains(&note) && told.ends_with("exit 0\n"), "{told}");
        assert!(!help.contains(&format!("\n  {} ", former[0])), "{help}");
    }
}

#[test]
fn help_is_by_when_a_command_is_used() {
    let farm = Farm::without_book();
    insta::assert_snapshot!(farm.run(&["--help"]));
    let weigh = farm.run(&["weigh", "--help"]);
    let place = |part: &str| {
        weigh
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {weigh}"))
    };
    let order = [
        "--stream <",
        "--gross",
        "--tare",
        "--file",
        "For every command:",
        "--streams",
        "Example:",
    ];
    assert!(order.map(place).is_sorted(), "{weigh}");
}

/// Each of these was once answered with words of the parser's.
#[test]
fn errors_say_what_was_meant() {
    let farm = Farm::stocked();
    let told = [
        &["ahead", "--nights", "60,000"][..],
        &["ahead", "--seconds", "soon"],
        &["demo", "--days", "60,000"],
        &["month", "--version", "1.5"],
        &["lot", "A1", "look", "--fit", "--night", "11/20/2026"],
        &["mix", "--night", "3/4/2026"],
        &["cohort", "add", "H2", "--hatched", "11/20/2026"],
        &["weigh", "-5lb"],
        &["lot", "A1", "discard", "--to", "compost", "-5lb"],
        &["farm", "--container", "-5lb"],
        &[
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5lb",
            "--tare",
            "0",
            "--volume",
            "-5L",
        ],
        &["weigh", "--straem", "bread"],
        &["wiegh"],
        &["mix", "--stock"],
        &["keep", "farm.daybook"],
        &["lot", "A1", "discard", "--to", "bin"],
    ]
    .map(|args| farm.run(args));
    insta::assert_snapshot!(told.join("\n"));
}
