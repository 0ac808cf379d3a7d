//! Off the trays: the harvest, what it made of the feed, and the money.

use crate::farm::Farm;

/// A night fed, two harvests in parts, the last one ends the cohort.
fn harvested() -> Farm {
    let farm = Farm::stocked();
    farm.json(&["mix"]);
    farm.json(&["fed"]);
    farm
}

#[test]
fn a_harvest_in_parts_is_golden() {
    let farm = harvested();
    insta::assert_snapshot!(farm.run(&["harvest"]));
    insta::assert_snapshot!(farm.run(&[
        "harvest",
        "H1",
        "--larvae",
        "1.2lb",
        "--larvae-moisture",
        "67",
        "--sample",
        "100=15.2",
        "--id",
        "H1"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "harvest",
        "H1",
        "--larvae",
        "0.8lb",
        "--larvae-moisture",
        "68",
        "--count",
        "2400",
        "--larvae-nitrogen",
        "7.4",
        "--dead",
        "30",
        "--residue",
        "6.5lb",
        "--residue-moisture",
        "45",
        "--residue-to",
        "kept",
        "--last",
        "--id",
        "Y2"
    ]));
    // The same request again is harmless, though the cohort has ended by now.
    let again = farm.json(&[
        "harvest",
        "H1",
        "--larvae",
        "0.8lb",
        "--larvae-moisture",
        "68",
        "--count",
        "2400",
        "--larvae-nitrogen",
        "7.4",
        "--dead",
        "30",
        "--residue",
        "6.5lb",
        "--residue-moisture",
        "45",
        "--residue-to",
        "kept",
        "--last",
        "--id",
        "Y2",
    ]);
    assert_eq!(again["already_there"], true);
    insta::assert_snapshot!(farm.run(&["harvest", "H1", "--nitrogen-factor", "4.76"]));
    insta::assert_snapshot!(farm.run(&["harvest", "--csv"]));
    let told = farm.json(&["harvest"]);
    assert_eq!(told["cohorts"][0]["larvae_kg"], 0.907);
    for page in [&["harvest"][..], &["harvest", "H1"]] {
        insta::assert_snapshot!(farm.run(&[page, &["--lang", "es"]].concat()));
    }
}

#[test]
fn what_can_t_be_harvested_is_refused_and_nothing_is_kept() {
    let farm = harvested();
    let before = farm.json(&["check"]);
    for args in [
        &["harvest", "H9", "--larvae", "1lb"][..],
        &["harvest", "H1", "--larvae", "20lb", "--sample", "100=1"],
        &[
            "harvest",
            "H1",
            "--larvae",
            "1lb",
            "--larvae-moisture",
            "120",
            "--residue-to",
            "land",
        ],
        &["harvest", "H1", "--larvae", "1lb", "--residue-to", "moon"],
        &["harvest", "H1", "--larvae", "1lb", "--sample", "100"],
        &["harvest", "H1", "--last"],
        &["harvest", "H1", "--nitrogen-factor", "62.5"],
    ] {
        insta::assert_snapshot!(farm.run(args));
    }
    assert_eq!(before, farm.json(&["check"]));
}

#[test]
fn a_month_s_money_is_golden() {
    let farm = harvested();
    farm.json(&[
        "harvest",
        "H1",
        "--larvae",
        "2lb",
        "--larvae-moisture",
        "67",
        "--sample",
        "100=15.2",
        "--residue",
        "6.5lb",
        "--residue-moisture",
        "45",
        "--last",
    ]);
    insta::assert_snapshot!(farm.run(&["money"]));
    insta::assert_snapshot!(farm.run(&[
        "money",
        "add",
        "labour",
        "--minutes",
        "45",
        "--rate",
        "18.00",
        "--what",
        "feeding"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "money",
        "add",
        "labour",
        "--minutes",
        "20",
        "--what",
        "sieving",
        "--cohort",
        "H1"
    ]));
    farm.json(&["money", "add", "energy", "--kwh", "12.5", "--rate", "0.21"]);
    farm.json(&["money", "add", "other", "40", "--what", "rent"]);
    insta::assert_snapshot!(farm.run(&[
        "money",
        "add",
        "sold-live",
        "3.00",
        "--weight",
        "2lb",
        "--party",
        "Pond keepers",
        "--cohort",
        "H1"
    ]));
    farm.json(&[
        "money",
        "add",
        "gate-fee",
        "12.00",
        "--party",
        "Quay brewery",
    ]);
    insta::assert_snapshot!(farm.run(&["money", "--fixed", "labour=80"]));
    insta::assert_snapshot!(farm.run(&["money", "--csv"]));
    let told = farm.json(&["money"]);
    let (ledger, cohort) = (&told["ledger"], &told["cohorts"][0]["ledger"]);
    assert_eq!(ledger["cost"], cohort["cost"], "one cohort bears it all");
    insta::assert_snapshot!(farm.run(&["money", "--lang", "es"]));
}

#[test]
fn what_dried_larvae_took_of_fresh_ones_is_told_from_their_moisture() {
    let farm = harvested();
    farm.json(&["money", "add", "sold-dried", "9.00", "--weight", "0.5lb"]);
    let untold = farm.run(&["money"]);
    assert!(untold.contains("no harvest of the month has a moisture test"));
    let harvest = [
        "harvest",
        "H1",
        "--larvae",
        "2lb",
        "--larvae-moisture",
        "67",
        "--last",
    ];
    farm.json(&harvest);
    // (100 - 67) / (100 - 10) = 0.3667; 0.5 lb / 0.3667 = 1.36 lb, by hand.
    let told = farm.run(&["money", "--dried-moisture", "10"]);
    let line = told.lines().find(|line| line.starts_with("Drying: "));
    insta::assert_snapshot!(line.expect("told"), @"Drying: (100 - 67.0) / (100 - 10.0) = 0.367 dried of one fresh. So the 0.5 lb sold dried took 1.4 lb fresh (dried to 10.0 %: our default unless --dried-moisture says it).");
    let bad = farm.run(&["money", "--dried-moisture", "wet"]);
    assert!(bad.ends_with("exit 2\n"), "{bad}");
}

#[test]
fn money_that_does_not_add_up_is_refused() {
    let farm = harvested();
    let before = farm.json(&["check"]);
    for args in [
        &["money", "add", "lottery", "5"][..],
        &["money", "add", "labour", "--minutes", "45"],
        &["money", "add", "energy", "3", "--minutes", "45"],
        &["money", "add", "sold-live", "3.005", "--weight", "2lb"],
        &["money", "add", "sold-live", "3.00"],
        &[
            "money",
            "add",
            "sold-live",
            "3.00",
            "--weight",
            "2lb",
            "--cohort",
            "H9",
        ],
        &["money", "2026-13"],
        &["money", "--fixed", "labour=180"],
    ] {
        insta::assert_snapshot!(farm.run(args));
    }
    assert_eq!(before, farm.json(&["check"]));
}

#[test]
fn a_note_is_one_line_here_as_everywhere() {
    let farm = Farm::stocked();
    let told = farm.run(&["harvest", "H1", "--larvae", "2lb", "--note", "one\ntwo"]);
    assert!(
        told.contains("`note`: `one") && told.ends_with("exit 2\n"),
        "{told}"
    );
}

#[test]
fn feed_written_down_the_morning_after_the_last_harvest_is_still_that_night_s() {
    let mut farm = Farm::stocked();
    farm.json(&["mix"]);
    farm.at("2026-03-11T14:00:00Z");
    farm.json(&["harvest", "H1", "--larvae", "2lb", "--last"]);
    farm.at("2026-03-11T15:00:00Z");
    farm.json(&["fed", "--night", "2026-03-10"]);
    let told = farm.json(&["harvest", "H1"]);
    assert_eq!(told["cohorts"][0]["nights_fed"], 1, "{told}");
    let back = farm.json(&["trace", "--cohort", "H1"]);
    assert_eq!(back["cohorts"][0]["cohort"], "H1", "{back}");
    // On the night after that nobody is due.
    let none = farm.run(&["mix", "--night", "2026-03-11"]);
    assert!(none.ends_with("exit 1\n"), "{none}");
}
