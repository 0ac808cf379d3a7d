//! Harvests and money on the dock page: kept once, refused in words, undone.

mod dock_support;

use dock_support::{Dock, Farm, Tablet};
use serde_json::{Value, json};

fn harvest(id: &str) -> Value {
    json!({
        "id": id, "cohort": "H1", "larvae": "  +20.4 lb G", "sample_count": "100",
        "sample_g": "15.2", "residue": "25.0 lb", "residue_to": "composted", "last": "yes",
    })
}

/// What the first hidden field of a name says.
fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let field = format!("name=\"{name}\" value=\"");
    let (_, rest) = page.split_once(&field).expect("the field");
    rest.split('"').next().expect("its end")
}

fn names(farm: &Farm) -> Vec<Value> {
    let list = farm.json(&["cohort", "list"]);
    let cohorts = list.as_array().expect("a list");
    cohorts
        .iter()
        .map(|cohort| cohort["cohort"].clone())
        .collect()
}

#[test]
fn a_harvest_is_kept_once_and_undone_whole() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    let sent = harvest("auto-0000000000h1");
    let first = tablet.post(&dock, "/api/harvest", &sent);
    assert_eq!(first.status, 200, "{first:?}");
    let first = first.json();
    assert_eq!(first["already_there"], false);
    assert_eq!(first["shown"]["title"], "Harvest of H1: 20.4 lb of larvae");
    assert!(names(&farm).is_empty(), "its last part ends a cohort");
    let again = tablet.post(&dock, "/api/harvest", &sent).json();
    assert_eq!(again["already_there"], true);
    for key in ["record", "ended", "cohort_record"] {
        assert_eq!(again[key], first[key], "{key}");
    }
    let mut other = sent.clone();
    other["larvae"] = json!("21 lb");
    let conflict = tablet.post(&dock, "/api/harvest", &other);
    assert_eq!(
        (conflict.status, &conflict.json()["error"]),
        (409, &json!("conflict"))
    );
    let told = tablet.get(&dock, "/api/harvests?cohort=H1").json();
    assert_eq!(told, farm.json(&["harvest", "H1"]));
    assert_eq!(
        told["cohorts"][0]["harvests"]
            .as_array()
            .expect("a list")
            .len(),
        1
    );
    // One undo strikes the harvest and the cohort's end.
    let undo = json!({"id": "auto-0000000undo1", "record": first["shown"]["record"], "why": "wrong cohort"});
    for _ in 0..2 {
        assert_eq!(tablet.post(&dock, "/api/strike", &undo).status, 200);
    }
    assert_eq!(names(&farm), [json!("H1")]);
    let told = tablet.get(&dock, "/api/harvests?cohort=H1").json();
    assert_eq!(told["cohorts"][0]["harvests"], json!([]));
}

#[test]
fn a_harvest_that_can_t_be_is_refused_in_words() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    let refused = |field: &str, value: &str, status: u16, kind: &str, words: &str| {
        let mut sent = harvest("auto-0000000000h2");
        sent[field] = json!(value);
        let answer = tablet.post(&dock, "/api/harvest", &sent);
        assert_eq!(answer.status, status, "{field} {value}: {answer:?}");
        let told = answer.json();
        assert_eq!(told["error"], kind, "{field} {value}");
        let details = told["details"].to_string();
        assert!(details.contains(words), "{field} {value}: {details}");
    };
    refused(
        "larvae",
        "",
        422,
        "rejected",
        "the fresh weight of the larvae",
    );
    refused(
        "larvae",
        "US,NT, 3.1 kg",
        422,
        "rejected",
        "while the scale moved",
    );
    refused(
        "residue",
        "-3 lb",
        422,
        "rejected",
        "Residue, if weighed: -3 lb",
    );
    refused("sample_g", "", 422, "rejected", "their weight in grams");
    refused("count", "61000", 422, "rejected", "not both");
    refused("dead", "-1", 422, "rejected", "a count from 0");
    refused(
        "residue_to",
        "moon",
        422,
        "rejected",
        "kept, sold, land, composted, digestion, landfilled",
    );
    refused(
        "larvae_moisture_pct",
        "120",
        422,
        "rejected",
        "per cent from 0 to 95",
    );
    refused("cohort", "", 422, "rejected", "a cohort on its trays");
    refused("cohort", "H2", 404, "rejected", "nearest: H1");
    refused("id", "short", 422, "rejected", "12 to 60 letters");
    let slips = json!({"id": "auto-0000000000h2", "residue_to": "moon", "dead": "many"});
    let told = tablet.post(&dock, "/api/harvest", &slips).json();
    let told = told["details"].as_array().expect("every field").clone();
    assert_eq!(
        told.len(),
        4,
        "cohort, larvae, residue-to and dead: {told:?}"
    );
    // 1520 mg a larva is a slip of the comma: asked about, kept once meant.
    refused("sample_g", "152", 422, "doubtful", "1520 mg a larva");
    let bare = Tablet {
        token: "0".repeat(32),
        ..tablet.clone()
    };
    for path in ["/api/harvest", "/api/money", "/harvest", "/money"] {
        assert_eq!(
            bare.post(&dock, path, &harvest("auto-0000000000h3")).status,
            403,
            "{path}"
        );
    }
    assert_eq!(names(&farm), [json!("H1")]);
    let mut meant = harvest("auto-0000000000h2");
    meant["sample_g"] = json!("152");
    meant["sure"] = json!("yes");
    assert_eq!(tablet.post(&dock, "/api/harvest", &meant).status, 200);
}

#[test]
fn a_page_without_script_harvests_asks_and_undoes() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    let page = tablet.get(&dock, "/harvest").body;
    assert!(page.contains("value=\"H1\"") && page.contains("60\u{202f}000 larvae at the start"));
    assert!(page.contains("Caution: mask and eye protection on"));
    let fields = "id=auto-0000000000h4&cohort=H1&larvae=20.4&sample_count=100&last=yes";
    let asked = tablet.form(&dock, "/harvest", &format!("{fields}&sample_g=152"));
    assert_eq!(asked.status, 422);
    assert!(asked.body.contains("1520 mg a larva") && !asked.body.contains("id=\"sure\" hidden"));
    assert!(
        asked.body.contains("value=\"auto-0000000000h4\"") && asked.body.contains("value=\"20.4\"")
    );
    let kept = tablet.form(&dock, "/harvest", &format!("{fields}&sample_g=15.2"));
    assert_eq!(kept.status, 200);
    assert!(kept.body.contains("H1: 20.4 lb") && kept.body.contains("Insect dust causes allergy"));
    let spanish = tablet.get(&dock, "/harvest?lang=es").body;
    assert!(spanish.contains("mascarilla"), "{spanish}");
    let record = hidden(&kept.body, "record");
    let undo = format!("id=auto-00000000un42&record={record}&why=slip&back=/harvest");
    let undone = tablet.form(&dock, "/strike", &undo);
    assert_eq!(
        (undone.status, undone.header("location")),
        (303, Some("/harvest"))
    );
    assert_eq!(names(&farm), [json!("H1")]);
    let own = tablet.get(&dock, "/cohort/H1");
    assert!(own.status == 200 && own.body.contains("Nothing was harvested yet."));
    assert_eq!(tablet.get(&dock, "/cohort/H9").status, 404);
    // Nowhere but to our own pages.
    let away = format!("id=auto-00000000un43&record={record}&why=slip&back=//evil.example");
    assert_ne!(
        tablet.form(&dock, "/strike", &away).header("location"),
        Some("//evil.example")
    );
}

#[test]
fn money_is_written_down_once_and_reckoned() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let labour = |id: &str, rate: &str| {
        let mut sent = json!({"id": id, "item": "labour", "minutes": "90", "what": "feeding"});
        if !rate.is_empty() {
            sent["rate"] = json!(rate);
        }
        tablet.post(&dock, "/api/money", &sent)
    };
    let first = labour("auto-0000000000m1", "18.00").json();
    assert_eq!(
        (&first["amount"], &first["currency"]),
        (&json!(27.0), &json!("USD"))
    );
    let second = labour("auto-0000000000m2", "").json();
    assert_eq!(
        second["reckoned"],
        "90 min at 18.00 an hour, the rate of the last time"
    );
    // A later rate does not turn a repeated sending into another entry.
    assert_eq!(labour("auto-0000000000m3", "20").status, 200);
    let again = labour("auto-0000000000m2", "");
    assert_eq!(
        (again.status, &again.json()["already_there"]),
        (200, &json!(true))
    );
    let told = tablet.get(&dock, "/api/money").json();
    assert_eq!(told["ledger"]["costs"]["labour"], 84.0);
    assert_eq!(tablet.get(&dock, "/api/money?month=soon").status, 422);
    let page = tablet.get(&dock, "/money").body;
    assert!(page.contains("84.00") && page.contains("feeding") && page.contains("<svg"));
    let refused = |sent: Value, words: &str| {
        let answer = tablet.post(&dock, "/api/money", &sent);
        assert_eq!(answer.status, 422, "{answer:?}");
        assert!(
            answer.json()["details"].to_string().contains(words),
            "{answer:?}"
        );
    };
    let id = "auto-0000000000m4";
    let slips = json!({"id": id, "item": "rent", "amount": "a lot"});
    refused(slips.clone(), "gate-fee");
    refused(slips, "at most two decimals");
    refused(
        json!({"id": id, "item": "rent", "amount": "9"}),
        "gate-fee, sold-live",
    );
    refused(
        json!({"id": id, "item": "energy"}),
        "an amount such as 96.00",
    );
    refused(
        json!({"id": id, "item": "energy", "amount": "lots"}),
        "Amount: lots is not taken",
    );
    refused(
        json!({"id": id, "item": "energy", "minutes": "5"}),
        "of labour alone",
    );
    refused(
        json!({"id": id, "item": "sold-live", "amount": "40"}),
        "the weight sold",
    );
    let sold = json!({"id": id, "item": "sold-live", "amount": "40", "weight": "12 lb", "party": "A fish farm"});
    let sold = tablet.post(&dock, "/api/money", &sold).json();
    assert!(
        sold["shown"]["cautions"][0]
            .as_str()
            .expect("a caution")
            .contains("a recall goes by it")
    );
    // Undone from the list below the form.
    let undo =
        json!({"id": "auto-000000000un5", "record": sold["shown"]["record"], "why": "not sold"});
    assert_eq!(tablet.post(&dock, "/api/strike", &undo).status, 200);
    assert_eq!(
        tablet.get(&dock, "/api/money").json()["ledger"]["income"],
        0.0
    );
    let form = tablet.form(
        &dock,
        "/money",
        "id=auto-0000000000m6&item=energy&kwh=12&rate=0.25",
    );
    assert!(
        form.status == 200 && form.body.contains("12 kWh at 0.25 a kWh"),
        "{form:?}"
    );
    let refused = tablet.form(
        &dock,
        "/money",
        "id=auto-0000000000m7&item=energy&amount=lots",
    );
    assert!(
        refused.status == 422
            && refused
                .body
                .contains("<details class=\"screen-only\" id=\"write\" open>")
    );
}

/// One record of each kind the page makes, in an order they can be undone in.
fn made_on_the_page(dock: &Dock, tablet: &Tablet, round: &str) -> Vec<(&'static str, String)> {
    let post = |path: &str, mut sent: Value| {
        sent["id"] = json!(format!("auto-{round}{}", path.replace('/', "-")));
        sent["sure"] = json!("yes");
        let answer = tablet.post(dock, path, &sent);
        assert_eq!(answer.status, 200, "{path}: {answer:?}");
        answer.json()
    };
    let shown = |told: &Value| {
        told["shown"]["record"]
            .as_str()
            .expect("a record")
            .to_owned()
    };
    let bread = json!({"supplier": "Hearth bakery", "stream": "bread", "gross": "31 lb", "container": "pail"});
    let ticket = post("/api/weigh", bread);
    let (lot, ticket) = (ticket["number"].to_string(), shown(&ticket));
    let parts = json!({"lot": lot, "weight": "0.4 lb", "kind": "plastic"});
    let parts = shown(&post("/api/discard", parts));
    let sheet = post("/api/sheet", json!({}))["sheet"].clone();
    let fed = shown(&post("/api/fed", json!({"sheet": sheet})));
    let money = shown(&post(
        "/api/money",
        json!({"item": "energy", "amount": "12"}),
    ));
    let taken = shown(&post("/api/harvest", harvest("")));
    let sheet = sheet.as_str().expect("a sheet").to_owned();
    vec![
        ("/discard", parts),
        ("/harvest", taken),
        ("/money", money),
        ("/tonight", fed),
        ("/tonight", sheet),
        ("/weigh", ticket),
    ]
}

#[test]
fn what_a_page_made_is_undone_there_and_after_two_minutes_with_a_reason() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    for (no, (page, record)) in made_on_the_page(&dock, &tablet, "one").iter().enumerate() {
        let listed = tablet.get(&dock, page).body;
        assert_eq!(hidden(&listed, "record"), "", "{page}: the last answer's");
        assert!(
            listed.contains(&format!("name=\"record\" value=\"{record}\"")),
            "{page} does not list {record}"
        );
        let undo = json!({"id": format!("auto-undone-one-{no}"), "record": record});
        let struck = tablet.post(&dock, "/api/strike", &undo);
        assert_eq!(struck.status, 200, "{page}: {struck:?}");
    }
    assert!(farm.lots().is_empty() && names(&farm) == [json!("H1")]);
    let made = made_on_the_page(&dock, &tablet, "two");
    drop(dock);
    let later = jiff::Timestamp::now() + jiff::SignedDuration::from_secs(121);
    let dock = farm.dock_with(&["--now", &later.to_string()]);
    let tablet = dock.tablet();
    for (no, (page, record)) in made.iter().enumerate() {
        let undo = json!({"id": format!("auto-undone-two-{no}"), "record": record});
        let late = tablet.post(&dock, "/api/strike", &undo);
        let kind = late.json()["error"].clone();
        assert_eq!((late.status, kind), (409, json!("late")), "{page}");
        let form = format!("id=auto-undone-two-{no}&record={record}&back={page}");
        let asks = tablet.form(&dock, "/strike", &form);
        let asked = asks.header("location").expect("a place").to_owned();
        assert_eq!(asked, format!("/undo?record={record}&back={page}"));
        let asks = tablet.get(&dock, &asked);
        assert!(asks.status == 200 && asks.body.contains("name=\"why\" required"));
        assert_eq!(hidden(&asks.body, "record"), record);
        let undone = tablet.form(&dock, "/strike", &format!("{form}&why=wrong+one"));
        assert_eq!(
            (undone.status, undone.header("location")),
            (303, Some(*page))
        );
    }
    assert!(farm.lots().is_empty() && names(&farm) == [json!("H1")]);
    assert_eq!(tablet.get(&dock, "/undo?record=r99&back=/").status, 404);
    assert_eq!(farm.json(&["check"])["whole"], true);
}

#[test]
fn what_is_picked_out_after_the_dock_is_weighed_and_the_rest_is_feed() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let plums = json!({"id": "auto-0000000plums", "supplier": "Corner grocer", "stream": "plum-culls", "gross": "25.4 lb", "container": "pail"});
    let told = tablet.post(&dock, "/api/weigh", &plums).json();
    assert_eq!(
        (&told["verdict"], &told["shown"]["parts"]),
        (&json!("pick out"), &json!("1"))
    );
    let lot = || farm.lots()[0].clone();
    let whole = lot()["edible_g"].clone();
    assert_eq!(
        (&lot()["verdict"], &whole),
        (&json!("pick out"), &json!(10_190))
    );
    let stock = tablet.get(&dock, "/stock").body;
    assert!(stock.contains("href=\"/discard?lot=1\""), "{stock}");
    let page = tablet.get(&dock, "/discard?lot=1").body;
    assert!(
        page.contains("value=\"1\" data-lot=\"1\" checked") && page.contains("pit: about 1.4 lb")
    );
    // Without a kind it is what the stream table expects.
    let parts = json!({"id": "auto-0000000parts", "lot": "1", "weight": "  +0.6 lb N"});
    for already in [false, true] {
        let done = tablet.post(&dock, "/api/discard", &parts);
        assert_eq!(done.status, 200, "{done:?}");
        let done = done.json();
        assert_eq!(done["already_there"], already);
        assert_eq!(
            (&done["kind"], &done["picked_out_g"]),
            (&json!("pit"), &json!(272))
        );
        assert_eq!(done["shown"]["title"], "Lot 1: pit, 0.6 lb");
    }
    let page = tablet.get(&dock, "/discard?lot=1").body;
    assert!(page.contains("pit: 0.6 lb taken out"), "{page}");
    assert!(
        !page.contains("about 1.4 lb"),
        "the same parts are asked for twice"
    );
    // What was expected is out: all that is left may be drawn.
    let sorted = lot();
    assert_eq!(
        (&sorted["verdict"], &sorted["on_hand_g"]),
        (&json!("feed"), &json!(10_569))
    );
    assert_eq!(sorted["edible_g"], 10_569);
    let went = farm.json(&["month"]);
    assert!(went.to_string().contains("\"picked_out_g\":272"), "{went}");
    let refused = |field: &str, value: &str, status: u16, words: &str| {
        let mut sent = json!({"id": "auto-0000000part2", "lot": "1", "weight": "0.6 lb"});
        sent[field] = json!(value);
        let answer = tablet.post(&dock, "/api/discard", &sent);
        assert_eq!(answer.status, status, "{field} {value}: {answer:?}");
        let details = answer.json()["details"].to_string();
        assert!(details.contains(words), "{field} {value}: {details}");
    };
    refused("lot", "", 422, "a lot on hand");
    refused("lot", "9", 404, "no lot 9");
    refused("weight", "", 422, "the weight of the parts");
    refused("weight", "0 lb", 422, "above zero");
    refused("weight", "-1 lb", 422, "weight");
    refused("weight", "US,NT, 3.1 kg", 422, "while the scale moved");
    refused("weight", "60 lb", 409, "holds");
    refused("kind", &"x".repeat(501), 422, "500");
    // Bone found later means it touched meat, as it does at the dock.
    let form = "id=auto-0000000part3&lot=1&weight=0.2&kind=Chicken+bone";
    let kept = tablet.form(&dock, "/discard", form);
    assert!(
        kept.status == 200 && kept.body.contains("chicken bone, 0.2 lb"),
        "{kept:?}"
    );
    assert_ne!(lot()["verdict"], "feed");
    let undo = json!({"id": "auto-0000000unpart", "record": hidden(&kept.body, "record")});
    assert_eq!(tablet.post(&dock, "/api/strike", &undo).status, 200);
    let again = lot();
    for key in ["verdict", "reason", "edible_g"] {
        assert_eq!(again[key], sorted[key], "{key}");
    }
    assert_eq!(farm.json(&["check"])["whole"], true);
}

#[test]
fn parts_of_a_corrected_lot_are_those_its_stream_as_told_now_has() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let culls = json!({"id": "auto-0000000culls", "supplier": "Corner grocer", "stream": "apple-culls", "gross": "25.4 lb", "container": "pail"});
    assert_eq!(tablet.post(&dock, "/api/weigh", &culls).status, 200);
    farm.json(&["correct", "1", "--stream", "plum-culls", "--why", "plums"]);
    let parts = json!({"id": "auto-0000000parts", "lot": "1", "weight": "0.6 lb"});
    let done = tablet.post(&dock, "/api/discard", &parts);
    assert_eq!(done.status, 200, "{done:?}");
    assert_eq!(done.json()["kind"], "pit");
}

#[test]
fn a_page_asks_and_refuses_in_plain_words_of_either_language() {
    let farm = Farm::new();
    farm.cohort("H1");
    let dock = farm.dock();
    let tablet = dock.tablet();
    let told = |path: &str, lang: &str, sent: &Value| {
        let headers = [
            ("Cookie", tablet.cookie.as_str()),
            ("X-Trayful-Token", tablet.token.as_str()),
            ("Content-Type", "application/json"),
            ("Accept-Language", lang),
        ];
        let answer = dock.try_request("POST", path, &headers, &sent.to_string());
        let details = answer.expect("an answer").json()["details"].clone();
        let lines: Vec<String> = serde_json::from_value(details).expect("lines");
        lines.join("\n")
    };
    let mut bread = json!({"id": "auto-0000000bread", "supplier": "Hearth bakery", "stream": "bread", "gross": "31 lb", "container": "pail"});
    assert_eq!(tablet.post(&dock, "/api/weigh", &bread).status, 200);
    bread["id"] = json!("auto-0000000brea2");
    bread["moisture_pct"] = json!("0.36");
    bread["supplier"] = json!("Harth bakery");
    insta::assert_snapshot!(told("/api/weigh", "en", &bread), @"
    Moisture: 0.36 %. Moisture is in per cent: 36, not 0.36.
    Supplier: Harth bakery is new in the book; Hearth bakery is there already. If it is the same one, use the name in the book.
    ");
    insta::assert_snapshot!(told("/api/weigh", "es", &bread), @"
    Humedad: 0.36 %. La humedad va en tanto por ciento: 36, no 0,36.
    Proveedor: Harth bakery es nuevo en el libro; Hearth bakery ya está. Si es el mismo, use el nombre del libro.
    ");
    bread["moisture_pct"] = json!("wet");
    bread["tare"] = json!("");
    bread["container"] = json!("");
    insta::assert_snapshot!(told("/api/weigh", "en", &bread), @"
    Moisture: wet is not taken. Taken: a number from 0 to 100
    Container is missing. Taken: the empty container's weight (0 if there is none), or a named container
    ");
    insta::assert_snapshot!(told("/api/weigh", "es", &bread), @"
    Humedad: wet no vale. Vale: un número de 0 a 100
    Falta: Recipiente. Vale: el peso del recipiente vacío (0 si no hay), o un recipiente con nombre
    ");
    // A page has no terminal to type a command into.
    let sheet = json!({"id": "auto-00000sheet-1"});
    let sheet = tablet.post(&dock, "/api/sheet", &sheet).json()["sheet"].clone();
    farm.run(&["fed", "--without-sheet", "--change", "growing:1=2.0lb"]);
    let second = json!({"id": "auto-00000000fed2", "sheet": sheet});
    insta::assert_snapshot!(told("/api/fed", "en", &second), @"Feed group: growing was fed 2.0 lb that night. Maybe this meal was written down already. A mix asked for anew says what is still due.");
    insta::assert_snapshot!(told("/api/fed", "es", &second), @"Grupo de alimentación: crecimiento recibió 2.0 lb esa noche. Quizá esta comida ya está anotada. Una mezcla pedida de nuevo dice lo que falta por dar.");
}
