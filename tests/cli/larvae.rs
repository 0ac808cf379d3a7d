//! Larvae on their trays: how deep, how often, how much.

use serde_json::Value;

use crate::farm::Farm;

/// Enough of what keeps, so that no night goes short of stock.
fn supplied(farm: &Farm) {
    for (ticket, stream, gross) in [
        ("W1", "spent-grain", "90lb"),
        ("W2", "spent-grain", "90lb"),
        ("W3", "carrot-trim", "90lb"),
        ("W4", "barley", "60lb"),
    ] {
        farm.weigh(ticket, "Quay brewery", stream, gross, &["--sure"]);
    }
}

fn cohort(farm: &Farm, name: &str, hatched: &str, larvae: &str, trays: &str, more: &[&str]) {
    let mut args = vec![
        "cohort",
        "add",
        name,
        "--hatched",
        hatched,
        "--larvae",
        larvae,
    ];
    args.extend(["--trays", trays, "--tray-area", "60x40cm"]);
    args.extend(more);
    let told = farm.run(&args);
    assert!(told.ends_with("exit 0\n"), "{told}");
}

/// Of the first group: a cohort's entry by name.
fn trays_of<'a>(mix: &'a Value, name: &str) -> &'a Value {
    let cohorts = mix["groups"][0]["cohorts"].as_array().expect("cohorts");
    let found = cohorts.iter().find(|cohort| cohort["cohort"] == name);
    found.expect("the cohort")
}

/// Two trays of 150,000 larvae beside 30 trays of 20,000: averaged over all
/// trays the layer would be 0.8 cm where the two get 12 cm.
#[test]
fn depth_is_each_cohort_s_own() {
    let farm = Farm::begun();
    supplied(&farm);
    cohort(&farm, "crowded", "2026-03-01", "150000", "2", &["--sure"]);
    cohort(&farm, "roomy", "2026-03-01", "20000", "30", &[]);
    let mix = farm.json(&["mix", "--look"]);
    assert_eq!(mix["verdict"], "nearest", "{mix:#}");
    let (crowded, roomy) = (trays_of(&mix, "crowded"), trays_of(&mix, "roomy"));
    let layer = |trays: &Value| trays["layer_cm"].as_f64().expect("a layer");
    assert!((4.0..5.05).contains(&layer(crowded)), "{crowded}");
    assert!(layer(roomy) < 0.1, "{roomy}");
    assert_eq!(
        (&crowded["trays"], &roomy["trays"]),
        (&2.into(), &30.into())
    );
    let grams = |trays: &Value| trays["per_tray_g"].as_f64().expect("a weight");
    let wet_g = 1000.0 * mix["groups"][0]["wet_kg"].as_f64().expect("a weight");
    let all = 2.0 * grams(crowded) + 30.0 * grams(roomy);
    assert!((all - wet_g).abs() < 32.0, "{all} of {wet_g}");
    let sheet = farm.run(&["mix", "--look"]);
    assert!(sheet.contains("cm of 5.0"), "{sheet}");
}
