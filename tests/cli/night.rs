//! The feeder's night and the owner's month.

use crate::farm::Farm;

#[test]
fn tonight_s_sheet_is_golden() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["mix", "--id", "M1"]));
    // The same question again finds the same sheet.
    let again = farm.json(&["mix"]);
    assert_eq!(
        (again["verdict"].as_str(), again["sheet"].as_str()),
        (Some("inside"), Some("r9"))
    );
}

/// Twenty instants of one evening, 18:00 to 22:45: one sheet, of one problem to
/// the last digit, as a tie turns on less.
#[test]
fn one_night_has_one_sheet_whenever_it_is_asked() {
    let farm = Farm::stocked();
    let at = |quarter: u32| {
        let at = format!(
            "2026-03-10 {:02}:{:02}",
            18 + quarter / 4,
            15 * (quarter % 4)
        );
        let sheet = farm.json(&[
            "mix",
            "--look",
            "--at",
            &at,
            "--model",
            "night.mps",
            "--over",
        ]);
        assert!(sheet["groups"][0]["draws"].is_array(), "{sheet}");
        let goals = std::fs::read_dir(farm.folder()).expect("a folder");
        let mut goals: Vec<_> = goals
            .map(|entry| entry.expect("a file").path())
            .filter(|path| path.extension().is_some_and(|of| of == "mps"))
            .collect();
        goals.sort();
        assert!(goals.len() > 2, "{goals:?}");
        let models = goals
            .iter()
            .map(|path| std::fs::read(path).expect("a model"));
        (sheet["groups"].clone(), models.collect::<Vec<_>>())
    };
    let first = at(0);
    assert!((1..20).all(|quarter| at(quarter) == first));
}

#[test]
fn fed_as_printed_or_with_changes() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["fed"]));
    farm.json(&["mix"]);
    let before = farm.json(&["stock"]);
    insta::assert_snapshot!(farm.run(&["fed", "--change", "A3=900lb"]));
    assert_eq!(
        before,
        farm.json(&["stock"]),
        "a refused act changes nothing"
    );
    insta::assert_snapshot!(farm.run(&[
        "fed",
        "--change",
        "A3=2.0lb",
        "--change",
        "water=1lb",
        "--id",
        "F1"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "fed",
        "--change",
        "A3=2.0lb",
        "--change",
        "growing:water=1lb",
        "--id",
        "F1"
    ]));
    insta::assert_snapshot!(farm.run(&["fed"]));
    let struck = farm.run(&["strike", "A1", "--why", "wrong bucket"]);
    assert!(
        struck.contains("what hangs on it: meal fed r10") && struck.ends_with("exit 1\n"),
        "{struck}"
    );
    let undone = farm.run(&["strike", "r10", "--why", "fed tomorrow", "--id", "U1"]);
    assert!(undone.ends_with("exit 0\n"), "{undone}");
    assert_eq!(
        before,
        farm.json(&["stock"]),
        "a strike restores the stock exactly"
    );
}

#[test]
fn what_leaves_another_way_is_told_apart() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&[
        "lot", "A6", "discard", "--to", "compost", "--weight", "2lb", "--why", "slimy", "--id",
        "D1"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "lot", "A6", "discard", "--to", "landfill", "--weight", "900lb"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "lot", "A4", "discard", "--to", "liquor", "--weight", "1lb", "--id", "D2"
    ]));
    insta::assert_snapshot!(farm.run(&["lot", "A2", "weigh", "--weight", "28.8lb", "--id", "R1"]));
    insta::assert_snapshot!(farm.run(&["month", "2026-03"]));
}

#[test]
fn a_month_sums_exactly() {
    let farm = Farm::stocked();
    farm.json(&["mix", "--plain"]);
    farm.run(&["fed", "--id", "F1"]);
    farm.run(&["lot", "A6", "discard", "--to", "landfill", "--id", "D1"]);
    farm.weigh(
        "B1",
        "Mill lane merchants",
        "wheat-bran",
        "41.5lb",
        &["--bought"],
    );
    farm.weigh(
        "B2",
        "Hearth bakery",
        "bread",
        "20lb",
        &["--refuse", "putrid"],
    );
    farm.weigh("B3", "Hearth bakery", "bread", "20lb", &["--sure"]);
    let struck = farm.run(&["strike", "B3", "--why", "typed twice"]);
    assert!(struck.ends_with("exit 0\n"), "{struck}");
    let month = farm.json(&["month", "2026-03"]);
    let grams = |value: &serde_json::Value, key: &str| value[key].as_i64().expect(key);
    let balance = &month["balance"];
    let comes: i64 = ["opening_g", "received_g", "bought_g", "water_g"]
        .iter()
        .map(|key| grams(balance, key))
        .sum();
    let goes: i64 = [
        "fed_g",
        "composted_g",
        "returned_g",
        "landfilled_g",
        "picked_out_g",
        "liquor_g",
        "closing_g",
        "shrink_g",
    ]
    .iter()
    .map(|key| grams(balance, key))
    .sum();
    assert_eq!(comes, goes);
    let suppliers = month["suppliers"].as_array().expect("a list");
    for key in ["received_g", "picked_out_g", "diverted_g"] {
        assert_eq!(
            suppliers
                .iter()
                .map(|supplier| grams(supplier, key))
                .sum::<i64>(),
            grams(&month, key),
            "{key}"
        );
    }
    // lb as entered: 32.2, 30.8, 16.4, 21.9, 24.0, 14.0, each less 1.5, in whole grams; 1.1 lb of pits; the lettuce went to landfill.
    let received = 14_606 + 13_971 + 7_439 + 9_934 + 10_886 + 6_350 - 6 * 680;
    let lettuce = 6_350 - 680;
    assert_eq!(grams(&month, "received_g"), received);
    assert_eq!(grams(&month, "diverted_g"), received - 499 - lettuce);
    assert_eq!(grams(balance, "bought_g"), 18_824 - 680);
    let outputs = [
        farm.run(&["month", "2026-03", "--csv"]),
        farm.run(&["month", "2026-13"]),
        farm.run(&["month", "2026-02"]),
    ];
    insta::assert_snapshot!(outputs.join("\n"));
}

#[test]
fn nothing_due_and_nothing_fit() {
    let farm = Farm::begun();
    insta::assert_snapshot!(farm.run(&["mix"]));
    farm.run(&[
        "cohort",
        "add",
        "H1",
        "--hatched",
        "2026-03-01",
        "--larvae",
        "60000",
        "--trays",
        "16",
        "--tray-area",
        "0.24",
    ]);
    insta::assert_snapshot!(farm.run(&["mix"]));
    farm.weigh("W1", "Corner grocer", "lettuce-trim", "24.0lb", &[]);
    farm.weigh(
        "W2",
        "Quay brewery",
        "spent-grain",
        "31.0lb",
        &["--moisture", "77"],
    );
    insta::assert_snapshot!(farm.run(&["mix", "--water", "40lb", "--look"]));
    let cured = farm.json(&[
        "mix",
        "--buy",
        "wheat-bran=40lb@0.45",
        "--buy",
        "chick-feed=20lb@0.6",
        "--look",
    ]);
    assert!(
        cured["groups"][0]["bought"]
            .as_array()
            .is_some_and(|bought| !bought.is_empty()),
        "{cured}"
    );
}

#[test]
fn cohorts_come_and_go() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["cohort", "list"]));
    insta::assert_snapshot!(farm.run(&[
        "cohort",
        "add",
        "H1",
        "--hatched",
        "2026-03-05",
        "--larvae",
        "10",
        "--trays",
        "1",
        "--tray-area",
        "0.24"
    ]));
    insta::assert_snapshot!(farm.run(&["cohort", "end", "H2", "--why", "harvested"]));
    insta::assert_snapshot!(farm.run(&["cohort", "end", "H1", "--why", "harvested", "--id", "E1"]));
    insta::assert_snapshot!(farm.run(&["cohort", "list"]));
}

/// No price is shipped: a purchase takes the one named for it, or the one last paid.
#[test]
fn a_purchase_takes_the_price_last_paid() {
    let farm = Farm::stocked();
    let buy = ["mix", "--buy", "wheat-bran=40lb", "--look"];
    let refused = farm.run(&buy);
    assert!(
        refused.contains("a price, as in --buy wheat-bran="),
        "{refused}"
    );
    let bought = ["--bought", "--price", "0.40"];
    farm.weigh("B1", "Mill lane merchants", "wheat-bran", "41.5lb", &bought);
    let priced = farm.run(&buy);
    assert!(!priced.contains("a price, as in"), "{priced}");
    let told = farm.json(&["streams", "wheat-bran"]);
    // A pound's price, on a farm that weighs in pounds.
    let of_kg = told[0]["price_per_kg"].as_f64().expect("a price");
    assert!((of_kg * 0.453_592_37 - 0.4).abs() < 1e-9, "{told}");
}

/// After four in the morning last night's sheet still waits to be written
/// down, and nothing invites to mix and feed a second time.
#[test]
fn in_the_morning_last_night_s_sheet_is_what_was_fed() {
    let mut farm = Farm::stocked();
    farm.at("2026-03-11T03:00:00Z");
    assert_eq!(farm.json(&["mix"])["night"], "2026-03-10");
    farm.at("2026-03-11T12:00:00Z");
    let today = farm.json(&[]);
    assert_eq!(
        (today["fed"].as_bool(), today["next"].as_str()),
        (Some(false), Some("trayful fed"))
    );
    let day = farm.run(&["fed", "--night", "2026-03-11"]);
    assert!(
        day.contains("there is no sheet for the night of 2026-03-11"),
        "{day}"
    );
    let fed = farm.run(&["fed", "--id", "F1"]);
    assert!(fed.starts_with("Fed, night of 2026-03-10\n"), "{fed}");
    let repeated = farm.run(&["fed", "--id", "F1"]);
    assert!(repeated.ends_with("exit 0\n"), "{repeated}");
    let again = farm.run(&["fed"]);
    assert!(
        again.contains("the sheet of the night before, r9, was fed as r10")
            && again.ends_with("exit 1\n"),
        "{again}"
    );
}

#[test]
fn today_is_told_at_the_instant_asked_for() {
    let farm = Farm::stocked();
    let told = farm.run(&["--at", "2026-03-12T09:30"]);
    assert!(
        told.starts_with("Next: trayful mix\nToday, Thu 12 Mar, 09:30\n"),
        "{told}"
    );
}

/// A night was recorded twice without a word: `mix; fed; mix; fed`.
#[test]
fn a_second_meal_is_asked_about() {
    let farm = Farm::stocked();
    farm.run(&["mix"]);
    let fed = farm.run(&["fed", "--id", "F1"]);
    assert!(fed.ends_with("exit 0\n"), "{fed}");
    let again = farm.run(&["mix"]);
    assert!(
        again.contains("fed tonight already: growing") && again.ends_with("exit 1\n"),
        "{again}"
    );
    let group_line = ["fed", "--without-sheet", "--change", "growing:A3=2.0lb"];
    let doubted = farm.run(&group_line);
    assert!(
        doubted.contains("growing was fed") && doubted.ends_with("exit 1\n"),
        "{doubted}"
    );
    let sure = farm.run(&[&group_line[..], &["--sure"]].concat());
    assert!(sure.ends_with("exit 0\n"), "{sure}");
    // The same request again is the same meal.
    assert!(farm.run(&["fed", "--id", "F1"]).ends_with("exit 0\n"));
}

#[test]
fn the_feeder_s_night_reads_in_spanish_for_who_asks() {
    let farm = Farm::stocked();
    let before = [
        farm.run(&["--lang", "es"]),
        farm.run(&["cohort", "list", "--lang", "es"]),
    ];
    farm.json(&["mix"]);
    let after = [
        farm.run(&["fed", "--lang", "es"]),
        farm.run(&["strike", "r10", "--why", "x", "--lang", "es"]),
        farm.run(&[
            "lot", "A3", "discard", "--to", "liquor", "--weight", "1lb", "--lang", "es",
        ]),
    ];
    insta::assert_snapshot!([before.join("\n"), after.join("\n")].join("\n"));
}
