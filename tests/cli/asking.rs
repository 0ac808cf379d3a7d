//! Loads that may be fed only with leave, and loads that may hold bones.

use crate::farm::Farm;

/// A farm whose larvae are no feed: kitchen waste and litter are ask first there.
fn not_feed() -> Farm {
    let farm = Farm::without_book();
    let begun = farm.run(&[
        "begin",
        "--zone",
        "America/Denver",
        "--unit",
        "lb",
        "--division",
        "0.1",
        "--currency",
        "USD",
        "--region",
        "us",
        "--larvae-for",
        "not-feed",
    ]);
    assert!(begun.ends_with("exit 0\n"), "{begun}");
    let cohort = farm.run(&[
        "cohort",
        "add",
        "H1",
        "--hatched",
        "2026-03-01",
        "--larvae",
        "60000",
        "--counted",
        "samples",
        "--trays",
        "16",
        "--tray-area",
        "60x40cm",
    ]);
    assert!(cohort.ends_with("exit 0\n"), "{cohort}");
    farm
}

fn verdict(farm: &Farm, lot: &str) -> String {
    let stock = farm.json(&["stock"]);
    let lots = stock.as_array().expect("lots");
    let found = lots.iter().find(|one| one["lot"] == lot);
    found.expect("the lot")["verdict"]
        .as_str()
        .expect("a verdict")
        .to_owned()
}

/// Whether tonight's sheet, or the nights ahead, take anything of a lot.
fn uses(farm: &Farm, lot: &str) -> bool {
    let sheet = farm.output(&["mix", "--look", "--json"]).stdout;
    let sheet: serde_json::Value = serde_json::from_slice(&sheet).expect("JSON");
    let groups = sheet["groups"].as_array().expect("groups");
    let mut draws = groups.iter().filter_map(|group| group["draws"].as_array());
    draws.any(|draws| draws.iter().any(|draw| draw["lot"] == lot))
}

#[test]
fn ask_first_waits_in_a_holding_place_until_leave_is_in_the_book() {
    let farm = not_feed();
    farm.weigh(
        "C1",
        "Green bowl",
        "cooked-rice",
        "40.0lb",
        &["--moisture", "68"],
    );
    farm.weigh(
        "C2",
        "Blue bowl",
        "cooked-rice",
        "40.0lb",
        &["--moisture", "68"],
    );
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "C3",
        "--supplier",
        "Green bowl",
        "--stream",
        "cooked-beans",
        "--gross",
        "20.0lb",
        "--tare",
        "1.5lb"
    ]));
    assert_eq!(verdict(&farm, "C1"), "ask first");
    assert!(!uses(&farm, "C1"), "fed before leave was given");
    let refused = farm.run(&["mix", "--buy", "cooked-pasta=10lb@0.1", "--look"]);
    assert!(refused.contains("ask first"), "{refused}");
    insta::assert_snapshot!(farm.run(&[
        "allow",
        "cooked-rice",
        "--by-whom",
        "county office",
        "--on",
        "2026-03-09",
        "--for",
        "compost larvae, no feed",
        "--supplier",
        "green bowl",
        "--id",
        "L1"
    ]));
    assert_eq!(verdict(&farm, "C1"), "feed");
    assert_eq!(verdict(&farm, "C2"), "ask first");
    assert!(uses(&farm, "C1") && !uses(&farm, "C2"));
    let struck = farm.run(&["strike", "L1", "--why", "taken back"]);
    assert!(struck.ends_with("exit 0\n"), "{struck}");
    assert_eq!(verdict(&farm, "C1"), "ask first");
}

#[test]
fn leave_is_asked_for_what_can_have_it() {
    insta::assert_snapshot!(not_feed().run(&[
        "allow",
        "no-such",
        "--by-whom",
        " ",
        "--on",
        "2026-03-11",
        "--for",
        "x"
    ]));
    insta::assert_snapshot!(Farm::begun().run(&[
        "allow",
        "restaurant-mix",
        "--by-whom",
        "county office",
        "--for",
        "x"
    ]));
}

#[test]
fn a_load_that_may_hold_bones_is_asked_about() {
    let farm = not_feed();
    let weigh = [
        "weigh",
        "--ticket",
        "K1",
        "--supplier",
        "Green bowl",
        "--stream",
        "household-mix",
        "--gross",
        "30.0lb",
        "--tare",
        "1.5lb",
    ];
    insta::assert_snapshot!(farm.run(&weigh));
    let picked: Vec<&str> = weigh
        .iter()
        .copied()
        .chain(["--picked-out", "1.2lb=bone"])
        .collect();
    let kept = farm.run(&picked);
    assert!(kept.contains("ASK FIRST"), "{kept}");
    let bones = farm.run(&[
        "weigh",
        "--ticket",
        "K2",
        "--supplier",
        "Green bowl",
        "--stream",
        "bones",
        "--gross",
        "9.0lb",
        "--tare",
        "1.5lb",
    ]);
    assert!(bones.contains("COMPOST: nothing but bone"), "{bones}");
    let mouldy = farm.run(&[
        "weigh",
        "--ticket",
        "K3",
        "--supplier",
        "Hearth bakery",
        "--stream",
        "bread",
        "--gross",
        "9.0lb",
        "--tare",
        "0.3lb",
        "--refuse",
        "mouldy",
    ]);
    assert!(
        mouldy.contains("Use: usually barred (source undated"),
        "{mouldy}"
    );
}
