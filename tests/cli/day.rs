//! Intake staff's day.

use crate::farm::Farm;

#[test]
fn without_a_daybook_the_next_step_is_named() {
    insta::assert_snapshot!(Farm::without_book().run(&[]));
}

#[test]
fn begin_says_what_holds_now() {
    let farm = Farm::without_book();
    insta::assert_snapshot!(farm.run(&[
        "begin",
        "--zone",
        "Mars/Base",
        "--unit",
        "stone",
        "--division",
        "0",
        "--currency",
        "dollars",
        "--region",
        "us",
        "--larvae-for",
        "cats"
    ]));
    insta::assert_snapshot!(farm.run(&["begin", "--zone", "Europe/Madrid"]));
    let begun = farm.run(&[
        "begin",
        "--zone",
        "Europe/Madrid",
        "--unit",
        "kg",
        "--division",
        "0.05",
        "--currency",
        "eur",
        "--region",
        "eu",
        "--larvae-for",
        "pet",
        "--id",
        "B1",
    ]);
    insta::assert_snapshot!(begun);
    let again = farm.run(&[
        "begin",
        "--zone",
        "Europe/Madrid",
        "--unit",
        "kg",
        "--division",
        "0.05",
        "--currency",
        "eur",
        "--region",
        "eu",
        "--larvae-for",
        "pet",
    ]);
    insta::assert_snapshot!(again);
}

#[test]
fn a_bucket_is_weighed_in() {
    let farm = Farm::begun();
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "A1",
        "--stream",
        "spent-grain",
        "--supplier",
        "Quay brewery",
        "--gross",
        "32.2lb",
        "--tare",
        "1.5lb"
    ]));
    // The same request again changes nothing; another content under that id is refused.
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "A1",
        "--stream",
        "spent-grain",
        "--supplier",
        "Quay brewery",
        "--gross",
        "32.2lb",
        "--tare",
        "1.5lb"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "A1",
        "--stream",
        "spent-grain",
        "--supplier",
        "Quay brewery",
        "--gross",
        "33.2lb",
        "--tare",
        "1.5lb"
    ]));
}

#[test]
fn pounds_and_kilograms_mean_the_same_bucket() {
    let farm = Farm::begun();
    let net = |gross: &str, tare: &str| {
        let ticket = farm.json(&[
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            gross,
            "--tare",
            tare,
            "--sure",
        ]);
        ticket["net_g"].as_i64().expect("grams")
    };
    assert_eq!(net("32.2lb", "1.5lb"), 14_606 - 680);
    assert_eq!(net("14.606 kg", "680g"), 14_606 - 680);
    assert_eq!(net("32.2", "1lb8oz"), 14_606 - 680);
}

#[test]
fn what_is_barred_or_foul_never_becomes_stock() {
    let farm = Farm::begun();
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "K1",
        "--stream",
        "restaurant-mix",
        "--supplier",
        "Green bowl kitchen",
        "--gross",
        "28lb",
        "--tare",
        "1.5lb"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--ticket",
        "K2",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "14lb",
        "--tare",
        "0.3lb",
        "--refuse",
        "glass"
    ]));
    // Bone in the bucket means it touched meat, whatever the label says.
    let boned = farm.json(&[
        "weigh",
        "--ticket",
        "K3",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "14.2lb",
        "--tare",
        "0.3lb",
        "--picked-out",
        "0.2lb=bone",
    ]);
    assert_eq!(boned["verdict"], "refuse");
    let touched = farm.json(&[
        "weigh",
        "--ticket",
        "K4",
        "--stream",
        "carrot-trim",
        "--supplier",
        "Corner grocer",
        "--gross",
        "20lb",
        "--tare",
        "1.5lb",
        "--touched",
        "kitchen",
    ]);
    assert_eq!(touched["verdict"], "refuse");
    let woody = farm.json(&[
        "weigh",
        "--ticket",
        "K5",
        "--stream",
        "sawdust",
        "--supplier",
        "Yard and sons",
        "--gross",
        "20lb",
        "--tare",
        "0.3lb",
    ]);
    assert_eq!(woody["verdict"], "compost");
    let stock = farm.json(&["stock"]);
    let lots: Vec<&str> = stock
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|lot| lot["lot"].as_str())
        .collect();
    assert_eq!(lots, ["K5"]);
}

#[test]
fn unlikely_figures_need_sure() {
    let farm = Farm::begun();
    let heavy_for_a_pail = [
        "weigh",
        "--ticket",
        "S1",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "60lb",
        "--tare",
        "1.5lb",
        "--volume",
        "5gal",
    ];
    insta::assert_snapshot!(farm.run(&heavy_for_a_pail));
    let sure: Vec<&str> = heavy_for_a_pail.iter().copied().chain(["--sure"]).collect();
    insta::assert_snapshot!(farm.run(&sure));
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "20lb",
        "--tare",
        "1.5lb",
        "--at",
        "2026-03-11T18:00"
    ]));
    insta::assert_snapshot!(farm.run(&[
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "1lb",
        "--tare",
        "1.5lb"
    ]));
}

#[test]
fn a_volume_can_stand_for_a_weight_and_says_so() {
    let farm = Farm::begun();
    let ticket = farm.json(&[
        "weigh",
        "--stream",
        "carrot-trim",
        "--supplier",
        "Corner grocer",
        "--volume",
        "20L",
        "--estimated",
    ]);
    assert_eq!(
        (ticket["estimated"].as_bool(), ticket["net_g"].as_i64()),
        (Some(true), Some(10_820))
    );
    let month = farm.json(&["month"]);
    assert_eq!(month["estimated_g"].as_i64(), Some(10_820));
    assert!(
        farm.run(&["month"])
            .contains("estimated by volume, not weighed")
    );
}

#[test]
fn stock_shows_age_and_flags() {
    let mut farm = Farm::stocked();
    farm.at("2026-03-12T04:00:00Z");
    insta::assert_snapshot!(farm.run(&["stock"]));
    insta::assert_snapshot!(farm.run(&[]));
}

#[test]
fn a_moisture_test_changes_what_the_mix_reckons_with() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&[
        "lot", "A2", "test", "--wet", "100", "--dry", "21.5", "--id", "T1"
    ]));
    insta::assert_snapshot!(farm.run(&["lot", "A4", "test", "--squeeze", "runs", "--id", "T2"]));
    insta::assert_snapshot!(farm.run(&["lot", "A4", "test", "--wet", "100", "--dry", "121"]));
    insta::assert_snapshot!(farm.run(&["lot", "A44", "test", "--squeeze", "runs"]));
    let stock = farm.json(&["stock"]);
    let of = |lot: &str| {
        stock
            .as_array()
            .and_then(|lots| lots.iter().find(|entry| entry["lot"] == lot))
            .expect("the lot")["moisture_pct"]
            .as_f64()
    };
    assert_eq!(
        (of("A1"), of("A2"), of("A4")),
        (Some(76.0), Some(78.5), Some(83.0))
    );
}

#[test]
fn streams_are_told_with_their_source() {
    let farm = Farm::without_book();
    insta::assert_snapshot!(farm.run(&["streams", "spent-grain"]));
    insta::assert_snapshot!(farm.run(&["streams", "spent-grian"]));
    let listed = farm.json(&["streams"]);
    let listed = listed.as_array().expect("a list");
    assert!(
        listed.len() >= 45
            && listed
                .iter()
                .all(|stream| stream["stream"].is_string() && stream["verdict"].is_string())
    );
}

/// Windows are told with what they are drawn from, and none as if inside it
/// larvae were shown to convert better.
#[test]
fn stages_lay_out_what_their_windows_are_drawn_from() {
    let farm = Farm::without_book();
    insta::assert_snapshot!(farm.run(&["stages"]));
    let told = farm.json(&["stages"]);
    let studies = told["studies"].as_array().expect("studies");
    let known = ["moisture_pct", "protein_dm_pct", "fat_dm_pct"];
    for key in known {
        assert!(studies.iter().any(|study| study["measure"] == key), "{key}");
    }
    assert!(studies.iter().all(|study| study["evidence"].is_string()));
}

#[test]
fn a_ticket_is_corrected_and_the_first_word_stays() {
    let farm = Farm::stocked();
    let mut told = vec![farm.run(&[
        "correct", "A3", "--price", "0.4", "--why", "the bill", "--id", "K1",
    ])];
    // A label was swapped, and nobody saw it before the meal.
    let fed = farm.run(&["mix"]) + &farm.run(&["fed"]);
    assert!(fed.ends_with("exit 0\n"), "{fed}");
    let swap = [
        "correct",
        "A1",
        "--supplier",
        " hearth Bakery",
        "--stream",
        "chicken-wings",
        "--note",
        "third shelf",
        "--why",
        "labels were swapped",
        "--sure",
        "--id",
        "K2",
    ];
    told.push(farm.run(&swap));
    // A repeated request is recorded once.
    let again = farm.json(&swap);
    assert_eq!(again["already_there"], true);
    assert_eq!(
        again["words"][0],
        serde_json::json!({"field": "supplier", "first": "Quay brewery", "now": "Hearth bakery"})
    );
    let lots = farm.json(&["stock"]);
    let lot = |name: &str| {
        let lots = lots.as_array().expect("lots").iter();
        lots.filter(|lot| lot["lot"] == name)
            .map(|lot| lot["stream"].clone())
            .next()
    };
    assert!(
        lot("A1").is_none_or(|stream| stream == "chicken-wings"),
        "{lots}"
    );
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn a_correction_that_can_not_be_is_refused_and_an_unlikely_one_asked_about() {
    let farm = Farm::stocked();
    for (args, word) in [
        (&["A3", "--price", "1/2", "--why", "x"][..], "price"),
        (&["A3", "--price", "NaN", "--why", "x"], "price"),
        (&["A99", "--price", "1", "--why", "x"], "A99"),
        (&["A3", "--price", "1", "--why", " "], "why"),
        (&["A3", "--stream", "bred", "--why", "x"], "nearest: bread"),
        (&["A3", "--supplier", " ", "--why", "x"], "supplier"),
        (
            &["A3", "--supplier", "HEARTH bakery", "--why", "x"],
            "other than what the ticket says",
        ),
        (
            &["A3", "--supplier", "Quay brewry", "--why", "x"],
            "`Quay brewery` is there already",
        ),
        (
            &["A1", "--stream", "bread", "--why", "x"],
            "where the table has",
        ),
        (&["A3", "--why", "x"], "--supplier"),
    ] {
        let told = farm.run(&[&["correct"][..], args].concat());
        assert!(
            told.contains("error:") && told.contains(word) && !told.ends_with("exit 0\n"),
            "{args:?}: {told}"
        );
    }
    // A slip in the name itself is what a correction is for.
    farm.weigh("B1", "Quay brewry", "spent-grain", "20.1lb", &["--sure"]);
    let told = farm.run(&[
        "correct",
        "B1",
        "--supplier",
        "Quay brewery",
        "--why",
        "a slip",
    ]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    farm.weigh("B2", "Quay brewery", "spent-grain", "25.1lb", &[]);
}

#[test]
fn a_ticket_reads_in_spanish_for_who_asks() {
    let farm = Farm::begun();
    let told = farm.run(&[
        "weigh",
        "--lang",
        "es",
        "--ticket",
        "A1",
        "--supplier",
        "Quay brewery",
        "--stream",
        "spent-grain",
        "--gross",
        "32.2lb",
        "--tare",
        "1.5lb",
    ]);
    assert!(told.starts_with("DAR DE COMER: "), "{told}");
    assert!(told.contains("\nTique A1 (n.º 1)\n"), "{told}");
    assert!(told.contains("Guardado con el n.º 1."), "{told}");
    let refused = farm.run(&["stock", "--lang", "fr"]);
    assert!(refused.contains("accepted: en, es"), "{refused}");
}

#[test]
fn what_is_refused_is_told_in_spanish_to_who_asks() {
    let farm = Farm::begun();
    let spanish = |args: &[&str]| farm.run(&[args, &["--lang", "es"]].concat());
    let bucket = ["--supplier", "Quay brewery", "--stream", "spent-grain"];
    let heavy = ["--gross", "2 tons", "--tare", "1.5lb"];
    insta::assert_snapshot!(spanish(&[&["weigh"], &bucket[..], &heavy].concat()), @"
    --- stderr
    error: `gross`: `2 tons` no vale; vale: lb, kg, o t para 1000 kg (`ton` puede ser 907, 1000 o 1016 kg)
    exit 2
    ");
    insta::assert_snapshot!(spanish(&["cohort", "end", "H9", "--why", "lost"]), @"
    --- stderr
    error: no hay ninguna cohorte `H9`
    consejo: `trayful cohort list` enumera las cohortes
    exit 1
    ");
    insta::assert_snapshot!(spanish(&["weigh"]), @"
    --- stderr
    error: falta `--supplier`; vale: un nombre
    consejo: en una terminal se pregunta; si no, hay que darlo
    exit 2
    ");
    insta::assert_snapshot!(spanish(&["strike", "r1", "--why", "no"]), @"
    --- stderr
    error: el registro `r1` tiene los únicos ajustes de la granja; vale: primero ajustes nuevos
    exit 1
    ");
}
