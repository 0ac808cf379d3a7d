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
    assert!(sheet.contains("in of 2.0 in"), "{sheet}");
}

#[test]
fn a_crowd_is_asked_about_with_its_unit() {
    let farm = Farm::begun();
    let add = [
        "cohort",
        "add",
        "H1",
        "--hatched",
        "2026-03-01",
        "--larvae",
        "150000",
    ];
    let trays = ["--trays", "2", "--tray-area", "60x40cm"];
    let told = farm.run(&[&add[..], &trays[..]].concat());
    assert!(told.contains("31.2 larvae a cm2"), "{told}");
    assert!(told.ends_with("exit 1\n"), "{told}");
    assert_eq!(farm.json(&["cohort", "list"]), serde_json::json!([]));
    let bad = farm.run(&[&add[..], &trays[..], &["--feeding", "every-1"]].concat());
    assert!(
        bad.contains("every-N") && bad.ends_with("exit 2\n"),
        "{bad}"
    );
}

/// A farm that feeds every third day: what the feeder sees night by night,
/// what the plan ahead says, and what is learned at the end.
#[test]
fn a_farm_that_feeds_every_third_day() {
    let mut farm = Farm::begun();
    let third = ["--feeding", "every-3"];
    cohort(&farm, "H1", "2026-03-05", "30000", "5", &third);
    let night = |farm: &mut Farm, day: u32| farm.at(&format!("2026-03-{day}T20:00:00Z"));
    // From the curve: days 5 to 7 ask for 68 mg, 8 to 10 for 162, 11 to 13 for 148.
    let meals = [(10, 2.04, 3), (13, 4.86, 3), (16, 4.44, 3), (19, 0.66, 1)];
    let mut before_cm = -0.01;
    for (at, (day, dm_kg, days)) in meals.into_iter().enumerate() {
        night(&mut farm, day);
        let ticket = |load: &str| format!("{load}{day}");
        for (load, stream, gross) in [("G", "spent-grain", "60lb"), ("B", "barley", "8lb")] {
            farm.weigh(&ticket(load), "Quay brewery", stream, gross, &[]);
        }
        farm.weigh(&ticket("C"), "Corner grocer", "carrot-trim", "30lb", &[]);
        let mix = farm.json(&["mix"]);
        let group = &mix["groups"][0];
        let near = |value: &Value, wanted: f64, by: f64| {
            let value = value.as_f64().expect("a number");
            assert!(
                (value - wanted).abs() < by,
                "{value}, not {wanted}: {group:#}"
            );
        };
        near(&group["wanted_dm_kg"], dm_kg, 1e-6);
        near(&group["dm_kg"], dm_kg, 0.15);
        let trays = trays_of(&mix, "H1");
        assert_eq!(trays["days"], days, "{trays}");
        let lies = trays["from_before_cm"].as_f64().expect("a layer");
        assert!(
            lies > before_cm && trays["layer_cm"].as_f64() < Some(5.01),
            "{trays}"
        );
        before_cm = lies;
        if at == 0 {
            let sheet = farm.run(&["mix", "--look"]);
            assert!(sheet.contains("(day 5, for 3 days)"), "{sheet}");
        }
        let fed = farm.run(&["fed"]);
        assert!(fed.ends_with("exit 0\n"), "{fed}");
    }
    night(&mut farm, 14);
    let told = farm.run(&["mix", "--look"]);
    assert!(told.contains("H1 (next on 2026-03-16)"), "{told}");
    assert!(told.ends_with("exit 1\n"), "{told}");
    let list = farm.run(&["cohort", "list"]);
    assert!(list.contains("every 3 nights, next 2026-03-16"), "{list}");
    let ahead = farm.json(&["ahead", "--nights", "6", "--weeks", "0"]);
    let fed_on = |night: &Value| {
        let groups = night["groups"].as_array().expect("groups");
        (!groups.is_empty()).then(|| night["night"].as_str().expect("a day").to_owned())
    };
    let nights = ahead["nights"].as_array().expect("nights");
    let fed_on: Vec<String> = nights.iter().filter_map(fed_on).collect();
    assert_eq!(fed_on, ["2026-03-16", "2026-03-19"]);

    night(&mut farm, 21);
    let end = farm.run(&["cohort", "end", "H1", "--why", "harvested"]);
    assert!(end.ends_with("exit 0\n"), "{end}");
    let learned = farm.json(&["learn"]);
    for line in learned["rations_mg"].as_array().expect("rations") {
        assert_eq!(line["left_out"], 0, "{line}");
        let (got, asked) = (&line["own"]["median"], &line["asked"]);
        let ratio = got.as_f64().expect("got") / asked.as_f64().expect("asked");
        assert!((ratio - 1.0).abs() < 0.1, "{line}");
    }
    let total = &learned["ration_total"];
    assert_eq!(
        (&total["asked_mg"], &total["days"]),
        (&400.0.into(), &10.0.into())
    );
    assert!(
        (total["got_mg"].as_f64().expect("got") - 400.0).abs() < 20.0,
        "{total}"
    );
    assert_eq!(learned["proposals"], serde_json::json!([]));
}

/// Fed once in eight days: by night fed that is a great deal a larva, by day
/// on the trays it is not, and for cohorts said to be fed daily it is no record.
#[test]
fn one_meal_in_eight_days_is_no_daily_ration() {
    let learned = |feeding: &str| {
        let mut farm = Farm::begun();
        farm.at("2026-03-10T20:00:00Z");
        supplied(&farm);
        let names = ["H1", "H2", "H3", "H4", "H5"];
        for name in names {
            let plan = ["--feeding", feeding];
            cohort(&farm, name, "2026-03-05", "3000", "2", &plan);
        }
        farm.json(&["mix"]);
        let fed = farm.run(&["fed"]);
        assert!(fed.ends_with("exit 0\n"), "{fed}");
        farm.at("2026-03-18T18:00:00Z");
        for name in names {
            farm.run(&["cohort", "end", name, "--why", "harvested"]);
        }
        assert_eq!(farm.json(&["learn"])["proposals"], serde_json::json!([]));
        (
            farm.json(&["learn"])["rations_mg"].take(),
            farm.run(&["learn"]),
        )
    };
    let (rations, page) = learned("daily");
    assert_eq!(rations[0]["left_out"], 5, "{rations}");
    assert_eq!(rations[0]["own"]["cohorts"], Value::Null, "{rations}");
    assert!(page.contains("fed on 5 of 35 nights"), "{page}");
    assert!(page.contains("Alciatore et al. 2024"), "{page}");
    let (rations, _) = learned("once");
    let own = &rations[0]["own"];
    assert_eq!(
        (&rations[0]["left_out"], &own["cohorts"]),
        (&0.into(), &5.into())
    );
    let per_day = own["median"].as_f64().expect("a ration");
    assert!(
        (per_day - 40.0).abs() < 4.0,
        "400 mg over 10 days: {rations}"
    );
}

/// Four-day larvae get no coffee grounds, shell, citrus or onion at all, of
/// the table's or of the farm's own streams.
#[test]
fn young_larvae_are_spared_what_the_stage_names() {
    let farm = Farm::begun();
    supplied(&farm);
    farm.file(
        "farm.streams.csv",
        "stream,name,class,moisture_pct,moisture_sd,protein_dm_pct,protein_dm_sd,fat_dm_pct,fat_dm_sd,fibre_dm_pct,fibre_dm_sd,lignin_dm_pct,ash_dm_pct,bulk_density_kg_m3,inedible_pct,inedible_kind,keeps_days,price_per_kg,source\n\
         orange-halves,Orange halves,produce,77,4,7,2,1,1,20,4,,3,500,,,1,,farm\n",
    );
    let none = ["coffee-grounds", "eggshell", "onion-trim", "orange-halves"];
    for stream in none {
        farm.weigh(
            &format!("N-{stream}"),
            "Corner grocer",
            stream,
            "9lb",
            &["--sure"],
        );
    }
    cohort(&farm, "H1", "2026-03-06", "500000", "30", &[]);
    let mix = farm.json(&["mix", "--look"]);
    let draws = mix["groups"][0]["draws"].as_array().expect("draws");
    assert!(!draws.is_empty());
    let drawn = |stream: &&str| draws.iter().any(|draw| draw["stream"] == **stream);
    assert_eq!(none.into_iter().filter(drawn).count(), 0, "{mix:#}");
    let sheet = farm.run(&["mix", "--look", "--full"]);
    assert!(
        sheet.contains("N-orange-halves: `") && sheet.contains("gets none of it"),
        "{sheet}"
    );
}

/// Fish of half a month was fed; now a lot past its time is fed only where
/// someone looked, and far past it only where he meant it.
#[test]
fn age_keeps_lots_out_until_someone_looks() {
    let mut farm = Farm::begun();
    farm.weigh("G1", "Quay brewery", "spent-grain", "60lb", &[]);
    farm.weigh("B1", "Quay brewery", "barley", "30lb", &[]);
    farm.weigh("C1", "Corner grocer", "carrot-trim", "40lb", &[]);
    cohort(&farm, "H1", "2026-03-05", "90000", "16", &[]);
    let drawn = |farm: &Farm, lot: &str| {
        let mix = farm.json(&["mix", "--look"]);
        let draws = mix["groups"][0]["draws"].as_array().expect("draws").clone();
        draws.iter().any(|draw| draw["lot"] == lot)
    };
    let plan =
        |farm: &Farm| farm.json(&["ahead", "--nights", "1", "--weeks", "0"])["nights"].to_string();
    // Grain keeps 2 days: after 3 it asks for a look, after 5 it is out.
    farm.at("2026-03-13T20:00:00Z");
    let sheet = farm.run(&["mix", "--look"]);
    assert!(drawn(&farm, "G1"), "{sheet}");
    assert!(
        sheet.contains("look first, past their keeping time: G1"),
        "{sheet}"
    );
    assert!(plan(&farm).contains("\"G1\"") || plan(&farm).contains("spent-grain"));
    let told = farm.run(&[
        "lot",
        "G1",
        "look",
        "--not-fit",
        "--note",
        "grey fur",
        "--id",
        "L1",
    ]);
    insta::assert_snapshot!(told);
    let sheet = farm.run(&["mix", "--look", "--full"]);
    assert!(!drawn(&farm, "G1"), "{sheet}");
    assert!(
        sheet.contains("G1: not fit tonight, says AB: grey fur"),
        "{sheet}"
    );
    farm.run(&["lot", "G1", "look", "--fit"]);
    let sheet = farm.run(&["mix", "--look"]);
    assert!(
        drawn(&farm, "G1") && !sheet.contains("look first"),
        "{sheet}"
    );

    farm.at("2026-03-15T20:00:00Z");
    assert!(
        !drawn(&farm, "G1"),
        "a look holds for its night, and 5 days are more than twice 2"
    );
    assert!(!plan(&farm).contains("spent-grain"), "{}", plan(&farm));
    let doubted = farm.run(&["lot", "G1", "look", "--fit"]);
    assert!(
        doubted.contains("--sure") && doubted.ends_with("exit 1\n"),
        "{doubted}"
    );
    let sure = farm.run(&["lot", "G1", "look", "--fit", "--sure"]);
    assert!(sure.ends_with("exit 0\n"), "{sure}");
    assert!(drawn(&farm, "G1") && plan(&farm).contains("spent-grain"));
    for (args, word) in [
        (&["lot", "G1", "look"][..], "--fit"),
        (&["lot", "G1", "look", "--not-fit"], "--note"),
        (&["lot", "Z9", "look", "--fit"], "Z9"),
    ] {
        let told = farm.run(args);
        assert!(told.contains(word) && !told.ends_with("exit 0\n"), "{told}");
    }
}

/// The weight of larvae on the day they came is subtracted from what was harvested.
#[test]
fn a_start_sample_is_kept_and_used() {
    let mut farm = Farm::begun();
    for bad in ["200", "0=0.31", "200=0", "x=1"] {
        let told = farm.run(&[
            "cohort",
            "add",
            "B1",
            "--hatched",
            "2026-03-05",
            "--larvae",
            "30000",
            "--trays",
            "10",
            "--tray-area",
            "60x40cm",
            "--start-sample",
            bad,
        ]);
        assert!(
            told.contains("start-sample") && !told.ends_with("exit 0\n"),
            "{told}"
        );
    }
    cohort(
        &farm,
        "H1",
        "2026-03-05",
        "30000",
        "10",
        &["--start-sample", "200=0.31"],
    );
    farm.at("2026-03-12T20:00:00Z");
    let told = farm.run(&[
        "harvest",
        "H1",
        "--larvae",
        "5lb",
        "--larvae-moisture",
        "67",
        "--last",
        "--sure",
    ]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    let sheet = farm.run(&["harvest", "H1"]);
    assert!(sheet.contains("its own sample, 1.55 mg fresh"), "{sheet}");
    let asked = farm.run(&["harvest", "H1", "--start-weight", "0.7"]);
    assert!(
        !asked.contains("its own sample") && asked.contains("0.7"),
        "{asked}"
    );
}
