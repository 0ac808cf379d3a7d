//! The program at a terminal: a person's answers, played.

use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::process::Command;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use rustix::fs::OFlags;
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};

use crate::farm::Farm;

/// Longest wait for one question, on a busy machine in a debug build.
const PATIENCE: Duration = Duration::from_secs(60);

/// A person at a terminal: what the screen showed, and how the program ended.
pub(crate) struct Played {
    pub(crate) screen: String,
    pub(crate) code: Option<i32>,
}

/// Runs a command at a terminal and answers each question once it is shown.
pub(crate) fn play(farm: &Farm, args: &[&str], answers: &[(&str, &str)]) -> Played {
    let screen = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a terminal");
    grantpt(&screen).expect("a terminal");
    unlockpt(&screen).expect("a terminal");
    let path = ptsname(&screen, Vec::new()).expect("its name");
    let keyboard = || {
        let mut how = OpenOptions::new();
        // The test's own terminal stays what it is.
        let apart = i32::try_from(OFlags::NOCTTY.bits()).expect("a flag");
        how.read(true).write(true).custom_flags(apart);
        how.open(path.to_str().expect("text")).expect("a terminal")
    };
    let mut child = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(args)
        .current_dir(farm.folder())
        .env_clear()
        .env("TRAYFUL_NOW", farm.now())
        .env("TRAYFUL_BY", "AB")
        .env("TZ", "America/Denver")
        .stdin(keyboard())
        .stdout(keyboard())
        .stderr(keyboard())
        .spawn()
        .expect("the program runs");
    let mut hands = File::from(screen);
    let mut eyes = hands.try_clone().expect("the terminal");
    let (seen, sees) = mpsc::channel();
    std::thread::spawn(move || {
        let mut bytes = [0; 4096];
        // A terminal nobody writes to any more ends with an error.
        while let Ok(read @ 1..) = eyes.read(&mut bytes) {
            if seen.send(bytes[..read].to_vec()).is_err() {
                break;
            }
        }
    });
    let (mut shown, mut from) = (Vec::new(), 0);
    for (question, answer) in answers {
        let until = Instant::now() + PATIENCE;
        while !String::from_utf8_lossy(&shown[from..]).contains(question) {
            let wait = until.saturating_duration_since(Instant::now());
            match sees.recv_timeout(wait) {
                Ok(more) => shown.extend(more),
                Err(_) => panic!(
                    "{args:?}: `{question}` was not asked:\n{}",
                    String::from_utf8_lossy(&shown)
                ),
            }
        }
        from = shown.len();
        writeln!(hands, "{answer}").expect("an answer");
    }
    loop {
        match sees.recv_timeout(PATIENCE) {
            Ok(more) => shown.extend(more),
            Err(mpsc::RecvTimeoutError::Disconnected) => break,
            // A question nobody answers would wait for ever.
            Err(mpsc::RecvTimeoutError::Timeout) => {
                child.kill().expect("it ends");
                panic!("{args:?}: asks on:\n{}", String::from_utf8_lossy(&shown));
            }
        }
    }
    let code = child.wait().expect("an end").code();
    let screen = String::from_utf8_lossy(&shown).replace("\r\n", "\n");
    Played { screen, code }
}

/// From nothing to the first useful sheet: three commands, nothing known before.
#[test]
fn three_commands_lead_a_newcomer_to_the_first_sheet() {
    let farm = Farm::without_book();
    let begun = Instant::now();
    let told = play(
        &farm,
        &["begin"],
        &[
            ("Time zone of the farm", ""),
            ("Unit the scale shows", ""),
            ("Smallest step", ""),
            ("Currency", "dollars"),
            ("Currency", ""),
            ("Where the farm is", ""),
            ("What the larvae are for", "poultry-fish-pig"),
            ("Mark before decimals", ""),
            ("A container, weighed empty", "pail=1.5lb/5gal"),
            ("A container, weighed empty", ""),
            ("first cohort", "y"),
            ("Name on the trays", "H1"),
            ("Day they hatched", "last week"),
            ("Day they hatched", "2026-03-02"),
            ("How many larvae", "60,000"),
            ("How many trays", "16"),
            ("Size of one tray", "60x40cm"),
        ],
    );
    assert_eq!(told.code, Some(0), "{}", told.screen);
    for part in [
        "America/Denver, scale in 0.1 lb, USD",
        "`Currency`",
        "Tomorrow morning: put the first bucket on the scale",
        "In the evening: `trayful mix`",
    ] {
        let part = part.replace("`Currency`", "`dollars` is not accepted");
        assert!(told.screen.contains(&part), "{part}: {}", told.screen);
    }
    let bucket = |supplier, word, gross, tare| {
        [
            ("Supplier", supplier),
            ("Stream", word),
            ("Weight with the container", gross),
            ("Weight of the empty container", tare),
        ]
    };
    let mut answers = Vec::new();
    answers.extend(bucket("Quay brewery", "beer grain", "32.2", "pail"));
    answers.push(("Another bucket?", "y"));
    answers.extend([
        ("Supplier", "Hearth bakery"),
        ("Stream", "bakery"),
        ("1  bread (bakery)", "1"),
    ]);
    answers.extend([
        ("Weight with the container", "heavy"),
        ("is not accepted", "16.4lb"),
        ("Weight of the empty container", "0.4"),
    ]);
    answers.push(("Another bucket?", "y"));
    answers.extend(bucket("Corner grocer", "carrots", "21.9", "pail"));
    answers.push(("Another bucket?", "n"));
    let told = play(&farm, &["weigh"], &answers);
    assert_eq!(told.code, Some(0), "{}", told.screen);
    let sheet = play(&farm, &["mix"], &[]);
    assert!(matches!(sheet.code, Some(0 | 3)), "{}", sheet.screen);
    assert!(sheet.screen.contains("Tonight's mix"), "{}", sheet.screen);
    for lot in ["spent-grain", "bread", "carrot-trim"] {
        assert!(sheet.screen.contains(lot), "{lot}: {}", sheet.screen);
    }
    assert!(begun.elapsed() < Duration::from_secs(120));
}

#[test]
fn begin_keeps_what_was_answered_and_asks_only_what_is_missing_or_wrong() {
    let farm = Farm::without_book();
    let flags = ["begin", "--zone", "Europe/Madrid", "--unit", "stone"];
    let told = play(
        &farm,
        &flags,
        &[
            ("Unit the scale shows (lb, kg; Enter for kg)", "lbs of it"),
            ("`lbs of it` is not accepted", "kg"),
            ("Smallest step", "0.05"),
            ("Enter for EUR", ""),
            ("Enter for eu", ""),
            ("What the larvae are for", "pet"),
            ("Enter for comma", ""),
            ("A container, weighed empty", "cubo"),
            ("is not accepted", "cubo=0,7kg/20L"),
            ("A container, weighed empty", ""),
            ("first cohort", "n"),
        ],
    );
    assert_eq!(told.code, Some(0), "{}", told.screen);
    let next = "As soon as there are larvae on trays: `trayful cohort add`";
    assert!(told.screen.contains(next), "{}", told.screen);
    let farm_now = farm.json(&["farm"]);
    assert_eq!(farm_now["currency"], "EUR");
    assert_eq!(farm_now["containers"][0]["tare_g"], 700);
    let again = play(&farm, &["begin"], &[]);
    assert_eq!(again.code, Some(1), "{}", again.screen);
}

#[test]
fn mix_without_larvae_offers_to_put_them_down() {
    let farm = Farm::begun();
    farm.weigh(
        "A1",
        "Quay brewery",
        "spent-grain",
        "60lb",
        &["--moisture", "70"],
    );
    let elsewhere = farm.run(&["mix"]);
    assert!(elsewhere.contains("trayful cohort add"), "{elsewhere}");
    let told = play(
        &farm,
        &["mix"],
        &[
            ("Put down a cohort now?", "y"),
            ("Name on the trays", "H1"),
            ("Day they hatched", "2026-03-02"),
            ("How many larvae", "60000"),
            ("How many trays", "16"),
            ("Size of one tray", "60x40cm"),
        ],
    );
    assert!(told.screen.contains("Tonight's mix"), "{}", told.screen);
}

/// README: at a terminal, whatever you leave out is asked for.
#[test]
fn what_is_left_out_is_asked_for() {
    let farm = Farm::stocked();
    for (args, answers) in [
        (
            vec!["lot", "test"],
            vec![
                ("Lot", "A1"),
                ("How wet", "100"),
                ("Grams after drying", "24"),
            ],
        ),
        (
            vec!["lot", "A2", "test"],
            vec![("How wet", "soggy"), ("How wet", "holds")],
        ),
        (
            vec!["lot", "discard"],
            vec![
                ("Lot", "A1"),
                ("Where it goes", "bin"),
                ("Where it goes", "compost"),
                ("How much of it", "2lb"),
            ],
        ),
        (
            vec!["lot", "look"],
            vec![
                ("Lot", "A2"),
                ("May it be fed", "perhaps"),
                ("May it be fed", "no"),
                ("What was seen", "grey mould"),
            ],
        ),
        (
            vec!["lot", "weigh"],
            vec![("Lot", "A2"), ("What the scale says now", "29.0lb")],
        ),
        (
            vec!["money", "add"],
            vec![
                ("What it is", "gift"),
                ("What it is", "gate-fee"),
                ("How much, in USD", "96.00"),
            ],
        ),
        (
            vec!["cohort", "end"],
            vec![("Cohort", "H1"), ("Why", "lost")],
        ),
        (
            vec!["strike"],
            vec![("Ticket", "A3"), ("Why", "never came")],
        ),
        (
            vec!["correct", "--note", "wet"],
            vec![("Ticket", "A4"), ("Why", "it was")],
        ),
        (vec!["keep"], vec![("File for the copy", "copy.daybook")]),
    ] {
        let told = play(&farm, &args, &answers);
        assert_eq!(told.code, Some(0), "{args:?}: {}", told.screen);
        let elsewhere = farm.run(&args);
        assert!(elsewhere.contains(" is missing; accepted: "), "{elsewhere}");
        assert!(elsewhere.ends_with("exit 2\n"), "{elsewhere}");
    }
}
