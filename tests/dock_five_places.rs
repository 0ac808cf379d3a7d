//! What the five places of the page hold besides forms told elsewhere: a lot's acts, the office.

mod dock_support;

use dock_support::{Farm, bucket};
use serde_json::json;

#[test]
fn a_lot_is_tested_looked_at_weighed_anew_and_sent_away_on_the_page() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let kept = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-00000000000000lot1", "32.2 lb"),
    );
    assert_eq!(kept.status, 200, "{}", kept.body);

    let mut number = 0;
    let mut act = |more: serde_json::Value| {
        number += 1;
        let mut sent = json!({"id": format!("auto-0000000000000act{number}"), "lot": "1"});
        let fields = sent.as_object_mut().expect("an object");
        fields.extend(more.as_object().expect("an object").clone());
        tablet.post(&dock, "/api/lot", &sent)
    };
    let told = act(json!({"act": "dried", "wet": "100", "dry": "23.5"}));
    assert_eq!(told.status, 200, "{}", told.body);
    let told = told.json();
    assert!(
        told["shown"]["title"]
            .as_str()
            .is_some_and(|title| title.contains("76.5 %")),
        "{told}"
    );
    assert!(
        told["shown"]["cautions"][0]
            .as_str()
            .is_some_and(|said| said.contains("char")),
        "{told}"
    );
    // A drying log: the dish comes off, the last weight counts once it is dry.
    let log = json!({"act": "dried", "dish": "40", "wet": "140", "dry": "70", "dry2": "66"});
    let wet = act(log.clone());
    assert_eq!(
        (wet.status, &wet.json()["error"]),
        (422, &json!("doubtful")),
        "{}",
        wet.body
    );
    let detail = wet.json()["details"][0]
        .as_str()
        .expect("a detail")
        .to_owned();
    assert!(
        detail.contains("4.0 g apart") && detail.contains("one minute more"),
        "{detail}"
    );
    let mut dried = log;
    dried["dry3"] = json!("65.1");
    assert_eq!(
        act(dried.clone()).status,
        200,
        "0.9 g of 100 g is little enough"
    );
    dried["dry3"] = json!("39");
    assert_eq!(act(dried).status, 422, "less than the dish");
    let tested = tablet.get(&dock, "/api/stock").json();
    assert_eq!(tested[0]["moisture_pct"], 74.9, "{tested}");
    let squeezed = act(json!({"act": "squeezed", "squeeze": "just"}));
    assert_eq!(squeezed.status, 200, "{}", squeezed.body);
    let looked = act(json!({"act": "not-fit", "note": "mould on top"}));
    assert_eq!(looked.status, 200, "{}", looked.body);
    let weighed = act(json!({"act": "reweigh", "weight": "30.0 lb"}));
    assert_eq!(weighed.status, 200, "{}", weighed.body);
    let away = act(json!({"act": "away", "to": "composted", "weight": "10 lb", "spoiled": "yes"}));
    assert_eq!(away.status, 200, "{}", away.body);
    let stock = tablet.get(&dock, "/api/stock").json();
    assert_eq!(stock[0]["on_hand_g"], 9072, "{stock}");

    for (wrong, field) in [
        (json!({"act": "dried", "wet": "100"}), "after drying"),
        (json!({"act": "squeezed", "squeeze": "wet"}), "hand sees"),
        (json!({"act": "reweigh"}), "Weight"),
        (json!({"act": "away", "to": "moon"}), "Where it goes"),
        (json!({"act": "eaten"}), "What is done"),
        (json!({"act": "fit", "lot": ""}), "Lot"),
    ] {
        let refused = act(wrong);
        assert_eq!(refused.status, 422, "{}", refused.body);
        let refused = refused.json();
        let detail = refused["details"][0].as_str().expect("a detail");
        assert!(detail.contains(field), "{refused}");
    }
    let stock = tablet.get(&dock, "/api/stock").json();
    assert_eq!(
        stock[0]["on_hand_g"], 9072,
        "nothing more was recorded: {stock}"
    );
}

#[test]
fn the_lot_s_page_works_without_script_and_is_reached_from_the_stock() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let kept = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-00000000000000lot1", "32.2 lb"),
    );
    assert_eq!(kept.status, 200, "{}", kept.body);
    let stock = tablet.get(&dock, "/stock").body;
    assert!(stock.contains("href=\"/lot?lot=1\""), "{stock}");
    let page = tablet.get(&dock, "/lot?lot=1&lang=es").body;
    assert!(page.contains("Humedad: secar una muestra"), "{page}");
    let done = tablet.form(
        &dock,
        "/lot",
        "id=auto-0000000000000form&lot=1&act=dried&wet=100&dry=24",
    );
    assert_eq!(done.status, 200, "{}", done.body);
    assert!(done.body.contains("76.0 %"), "{}", done.body);
    let again = tablet.form(
        &dock,
        "/lot",
        "id=auto-0000000000000form&lot=1&act=dried&wet=100&dry=24",
    );
    assert_eq!(again.status, 200, "{}", again.body);
}

/// What the next nights lack stands on the page, and is reached from the office.
#[test]
fn the_nights_ahead_stand_on_the_page() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    let kept = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-00000000000000lot1", "32.2 lb"),
    );
    assert_eq!(kept.status, 200, "{}", kept.body);
    let office = tablet.get(&dock, "/office").body;
    assert!(office.contains("href=\"/ahead\""), "{office}");
    let ahead = tablet.get(&dock, "/ahead");
    assert_eq!(ahead.status, 200, "{}", ahead.body);
    assert!(ahead.body.contains("<svg"), "{}", ahead.body);
    // What is worked out is shown again, but never past a record.
    let seal = |farm: &Farm| farm.json(&["check"])["seal"].to_string();
    let before = seal(&farm);
    let kept = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-00000000000000lot2", "20 lb"),
    );
    assert_eq!(kept.status, 200, "{}", kept.body);
    assert_ne!(seal(&farm), before);
    let again = tablet.get(&dock, "/ahead");
    assert!(
        ahead.body.contains(before.trim_matches('"')),
        "{before} {}",
        ahead.body
    );
    let now = seal(&farm);
    assert!(
        again.body.contains(now.trim_matches('"')),
        "{now} {}",
        again.body
    );
}

#[test]
fn larvae_are_put_on_trays_and_ended_on_the_page() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let hatched = jiff::Timestamp::now() - jiff::SignedDuration::from_hours(24 * 6);
    let hatched = hatched.strftime("%Y-%m-%d").to_string();
    let sent = json!({
        "id": "auto-0000000000cohort1", "name": "H7", "hatched": hatched, "larvae": "60000",
        "trays": "16", "tray_area": "60x40cm", "counted": "3 samples of 1 g",
    });
    let kept = tablet.post(&dock, "/api/cohort", &sent);
    assert_eq!(kept.status, 200, "{}", kept.body);
    let again = tablet.post(&dock, "/api/cohort", &sent);
    assert_eq!(again.json()["shown"]["already"], true, "{}", again.body);
    let cohorts = tablet.get(&dock, "/api/cohorts").json();
    assert_eq!(cohorts[0]["trays"], 16, "{cohorts}");

    let thin = json!({"id": "auto-0000000000cohort2", "name": "H8", "hatched": "yesterday"});
    let refused = tablet.post(&dock, "/api/cohort", &thin);
    assert_eq!(refused.status, 422, "{}", refused.body);
    let details = refused.json()["details"].as_array().map_or(0, Vec::len);
    assert_eq!(details, 4, "{}", refused.body);
    let crowd = json!({
        "id": "auto-0000000000cohort3", "name": "H9", "hatched": hatched,
        "larvae": "600000000", "trays": "2", "tray_area": "60x40cm",
    });
    let asked = tablet.post(&dock, "/api/cohort", &crowd);
    assert_eq!(asked.json()["error"], "doubtful", "{}", asked.body);

    let end = json!({"id": "auto-0000000000cohort4", "name": "H7", "end": "yes", "why": "lost"});
    let ended = tablet.post(&dock, "/api/cohort", &end);
    assert_eq!(ended.status, 200, "{}", ended.body);
    let cohorts = tablet.get(&dock, "/api/cohorts").json();
    assert_eq!(cohorts, json!([]));
    let page = tablet.get(&dock, "/cohorts/add").body;
    assert!(page.contains("Name on the trays"), "{page}");
}
