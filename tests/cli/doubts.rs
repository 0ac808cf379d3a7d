//! What is unlikely is asked about, and taken with `--sure`; what is only odd is not.

use crate::farm::Farm;

/// Refused with these words of the table, and kept when it is said to be meant.
#[track_caller]
fn asked(farm: &Farm, args: &[&str], words: &[&str]) {
    let told = farm.run(args);
    assert!(
        told.contains("run it again with --sure") && told.ends_with("exit 1\n"),
        "{told}"
    );
    for words in words {
        assert!(told.contains(words), "{words} in {told}");
    }
    let kept = farm.run(&[args, &["--sure"]].concat());
    assert!(kept.ends_with("exit 0\n"), "{kept}");
}

fn cohort<'a>(name: &'a str, changed: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec!["cohort", "add", name];
    for pair in [
        ["--hatched", "2026-03-05"],
        ["--larvae", "60,000"],
        ["--trays", "12"],
        ["--tray-area", "60x40cm"],
    ] {
        if !changed.contains(&pair[0]) {
            args.extend(pair);
        }
    }
    args.extend(changed);
    args
}

#[test]
fn of_a_cohort() {
    let farm = Farm::begun();
    assert!(farm.run(&cohort("A", &[])).ends_with("exit 0\n"));
    asked(
        &farm,
        &cohort("B", &["--larvae", "6"]),
        &["`larvae`: 6 larvae", "below 100"],
    );
    asked(
        &farm,
        &cohort("C", &["--larvae", "600,000,000"]),
        &[
            "above 10000000",
            "larvae a cm2",
            "common practice, no source",
        ],
    );
    asked(
        &farm,
        &cohort("D", &["--hatched", "2027-03-05"]),
        &["`hatched`: hatched 2027-03-05"],
    );
    asked(
        &farm,
        &cohort("E", &["--tray-area", "24"]),
        &["`tray-area`: 24 m2", "60x40cm is 0.24"],
    );
    asked(
        &farm,
        &cohort("F", &["--depth", "50"]),
        &["`depth`: 50 cm", "above 15 cm"],
    );
}

#[test]
fn of_a_load() {
    let farm = Farm::begun();
    let weigh = |stream: &'static str, supplier: &'static str, gross: &'static str| {
        vec![
            "weigh",
            "--stream",
            stream,
            "--supplier",
            supplier,
            "--tare",
            "0",
            "--gross",
            gross,
        ]
    };
    let with = |mut args: Vec<&'static str>, more: &[&'static str]| {
        args.extend(more);
        args
    };
    let bread = |gross| weigh("bread", "Hearth bakery", gross);
    asked(
        &farm,
        &with(bread("14.1lb"), &["--moisture", "0.36"]),
        &["36, not 0.36"],
    );
    asked(
        &farm,
        &with(bread("14.2lb"), &["--moisture", "92"]),
        &["standard deviations"],
    );
    asked(
        &farm,
        &with(bread("14.4lb"), &["--at", "1999-01-01T10:00"]),
        &["Is the year right?"],
    );
    asked(
        &farm,
        &bread("14.4 t"),
        &["Are unit and decimal mark right?"],
    );
    assert!(farm.run(&bread("14.3lb")).ends_with("exit 0\n"));
    asked(
        &farm,
        &bread("14.3lb"),
        &["was weighed in a few minutes before or after"],
    );
    // The decimal mark was lost; no container says how much it holds.
    asked(&farm, &bread("144"), &["where 14.", "is usual"]);
    // A pail that is a tenth full is no doubt.
    farm.run(&["farm", "--container", "pail=1.5lb/5gal"]);
    let pail = [
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--container",
        "pail",
    ];
    let told = farm.run(&[&pail[..], &["--gross", "2.4lb"]].concat());
    assert!(told.ends_with("exit 0\n"), "{told}");
    asked(
        &farm,
        &[&pail[..], &["--gross", "58.5lb"]].concat(),
        &["is 11.4 lb/gal"],
    );
}

#[test]
fn of_a_test_a_harvest_a_sale_and_a_meal() {
    let farm = Farm::stocked();
    asked(
        &farm,
        &["lot", "A3", "test", "--squeeze", "just"],
        &["`moisture`: 77.5 %", "table has"],
    );
    farm.json(&["mix"]);
    assert!(farm.run(&["fed"]).ends_with("exit 0\n"));
    let cohorts = farm.json(&["cohort", "list"]);
    let name = cohorts["cohorts"][0]["name"]
        .as_str()
        .or(cohorts[0]["name"].as_str());
    let name = name.unwrap_or("H1").to_owned();
    asked(
        &farm,
        &[
            "harvest",
            &name,
            "--larvae",
            "500lb",
            "--larvae-moisture",
            "0.67",
        ],
        &["of larvae from", "36, not 0.36"],
    );
    asked(
        &farm,
        &["money", "add", "sold-live", "96.00", "--weight", "555lb"],
        &["lb sold of", "harvested"],
    );
}

/// A machine that begins without a network may take it for 1970, or for any year.
#[test]
fn of_this_machine_s_clock() {
    let mut farm = Farm::stocked();
    let weigh = |gross| {
        [
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--tare",
            "0",
            "--gross",
            gross,
        ]
    };
    farm.file("tickets.csv", "weighed_at,supplier,stream,gross,tare,unit\n2026-03-10T08:00,Hearth bakery,bread,21,0,lb\n");
    for (now, gross) in [
        ("1970-01-01T00:00:00Z", "14.1lb"),
        ("2099-01-01T00:00:00Z", "15.1lb"),
    ] {
        farm.at(now);
        let told = farm.run(&["weigh", "--file", "tickets.csv"]);
        assert!(
            told.contains("Is this machine's clock right?") && told.ends_with("exit 1\n"),
            "{told}"
        );
        asked(
            &farm,
            &weigh(gross),
            &[
                "this machine's clock says",
                "Is this machine's clock right?",
            ],
        );
    }
    // Right again: asked once, and no more.
    farm.at("2026-03-10T18:10:00Z");
    asked(&farm, &weigh("16.1lb"), &["Is this machine's clock right?"]);
    farm.at("2026-03-10T18:06:00Z");
    let told = farm.run(&weigh("17.1lb"));
    assert!(told.ends_with("exit 0\n"), "{told}");
}

/// The next night is planned, and recorded as fed before it comes.
#[test]
fn of_a_night_to_come() {
    let farm = Farm::stocked();
    farm.json(&["mix", "--night", "2026-03-14"]);
    asked(
        &farm,
        &["fed", "--night", "2026-03-14"],
        &["`night`: the night of 2026-03-14"],
    );
}

#[test]
fn names_are_one_whatever_their_case_and_blanks() {
    let farm = Farm::stocked();
    let weigh = |supplier, gross| {
        [
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            supplier,
            "--tare",
            "0",
            "--gross",
            gross,
        ]
    };
    let ticket = |supplier, gross| {
        let told = farm.json(&weigh(supplier, gross));
        told["supplier"].as_str().expect("a name").to_owned()
    };
    assert_eq!(ticket("hearth  BAKERY", "9lb"), "Hearth bakery");
    assert_eq!(ticket("A", "8lb"), "A");
    assert_eq!(ticket("B", "7lb"), "B");
    asked(
        &farm,
        &weigh("Hearht bakery", "6lb"),
        &["`Hearth bakery` is there already"],
    );
    let told = farm.run(&["statement", "hearth bakery", "2026-03"]);
    assert!(
        told.contains("Hearth bakery") && told.ends_with("exit 0\n"),
        "{told}"
    );
}
