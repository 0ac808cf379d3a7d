//! A mix from files, without a farm.

use crate::farm::Farm;

const STOCK: &str = include_str!("../../examples/one-night/stock.csv");
const TARGETS: &str = include_str!("../../examples/one-night/targets.toml");

fn mix(stock: impl AsRef<[u8]>, targets: impl AsRef<[u8]>) -> String {
    let farm = Farm::without_book();
    farm.file("stock.csv", stock);
    farm.file("targets.toml", targets);
    farm.run(&["mix", "--stock", "stock.csv", "--targets", "targets.toml"])
}

#[test]
fn the_example_night_is_golden() {
    insta::assert_snapshot!(mix(STOCK, TARGETS));
}

#[test]
fn json_holds_the_printed_weights() {
    let farm = Farm::without_book();
    farm.file("stock.csv", STOCK);
    farm.file("targets.toml", TARGETS);
    let mix = farm.json(&[
        "mix",
        "--stock",
        "stock.csv",
        "--targets",
        "targets.toml",
        "--division",
        "0.5",
    ]);
    assert_eq!(mix["verdict"], "inside");
    for group in mix["groups"].as_array().expect("groups") {
        let drawn: f64 = group["draws"]
            .as_array()
            .expect("draws")
            .iter()
            .filter_map(|draw| draw["kg"].as_f64())
            .sum();
        let bought: f64 = group["bought"]
            .as_array()
            .expect("bought")
            .iter()
            .filter_map(|item| item["kg"].as_f64())
            .sum();
        assert!(
            (drawn + bought + group["water_kg"].as_f64().expect("water")
                - group["wet_kg"].as_f64().expect("wet"))
            .abs()
                < 1e-9
        );
        for draw in group["draws"].as_array().expect("draws") {
            let steps = draw["kg"].as_f64().expect("kg") / 0.5;
            assert!((steps - steps.round()).abs() < 1e-9, "{draw}");
        }
        assert!(
            group["measures"]
                .as_array()
                .expect("measures")
                .iter()
                .all(|measure| measure["inside"] == true)
        );
    }
    assert_eq!(mix["held_back"][0]["lot"], "A8");
}

#[test]
fn too_wet_is_the_nearest_mix_and_exit_three() {
    let stock = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n1,spent-grain,40,1,77,,\n2,lettuce-trim,30,1,,,\n";
    let targets = "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { max = 70.0, limit_max = 85.0 }\n[water]\nlimit_kg = 50.0\n";
    insta::assert_snapshot!(mix(stock, targets));
}

#[test]
fn nothing_fits_says_why_and_exits_one() {
    let stock =
        "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n2,lettuce-trim,30,1,,,\n";
    let targets =
        "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { limit_max = 80.0 }\n";
    insta::assert_snapshot!(mix(stock, targets));
}
