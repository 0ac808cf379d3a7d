//! What is in no list: a stream of the farm's own by one it is like, and a
//! load nobody can name yet, which waits for the owner.

mod dock_support;

use dock_support::{Farm, bucket};
use serde_json::{Value, json};

fn lot(farm: &Farm, lot: &str) -> Value {
    let lots = farm.lots().into_iter();
    let mut found = lots.filter(|one| one["lot"] == lot);
    found.next().expect("on hand")
}

/// What a command says, done or refused.
fn told(farm: &Farm, args: &[&str]) -> String {
    let told = farm.command().args(args).output().expect("runs");
    [told.stdout, told.stderr]
        .map(|text| String::from_utf8_lossy(&text).into_owned())
        .concat()
}

#[test]
fn a_stream_like_bread_is_named_weighed_in_and_taken_back() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let own = json!({"id": "auto-00000000stream1", "stream": "Rye ends", "like": "bread",
        "moisture_pct": "41", "keeps": "2.5", "verdict": "ask first"});
    for already in [false, true] {
        let told = tablet.post(&dock, "/api/stream", &own);
        assert_eq!(told.status, 200, "{}", told.body);
        let told = told.json();
        assert_eq!(told["stream"], "rye-ends", "{told}");
        assert_eq!(told["verdict"], "ask first", "{told}");
        assert_eq!(told["shown"]["already"], already, "{told}");
        assert!(told.to_string().contains("stand in for Rye ends"), "{told}");
    }
    // Its page, the tiles and the terminal have it at once.
    let page = tablet.get(&dock, "/streams").body;
    assert!(page.contains("41.0") && page.contains("Bread"), "{page}");
    assert!(tablet.get(&dock, "/weigh").body.contains("Rye ends"));
    let mut load = bucket("auto-0000000000000own1", "20.0 lb");
    load["stream"] = json!("rye ends");
    load["stream_other"] = json!("");
    assert_eq!(tablet.post(&dock, "/api/weigh", &load).status, 200);
    let held = lot(&farm, "1");
    assert_eq!(
        (&held["verdict"], &held["stream"]),
        (&json!("ask first"), &json!("rye-ends"))
    );
    assert_eq!(held["moisture_pct"], 41.0, "{held}");

    for (field, wrong, said) in [
        ("stream", "stale bread", "this one means bread"),
        ("stream", "bread", "this one means bread"),
        ("stream", "¿?", "letters a to z"),
        ("like", "moon dust", "stream table"),
        ("like", "not-listed", "stream table"),
        ("moisture_pct", "140", "0 to 99"),
        ("moisture_pct", "0.4", "share"),
        ("keeps", "0", "0.01 to 3650"),
        ("verdict", "feed", "pick out, ask first, compost, refuse"),
    ] {
        let mut sent = own.clone();
        sent["id"] = json!("auto-00000000stream2");
        sent["stream"] = json!("Rye crusts");
        sent[field] = json!(wrong);
        let refused = tablet.post(&dock, "/api/stream", &sent);
        assert!(
            [409, 422].contains(&refused.status),
            "{field} {wrong}: {}",
            refused.body
        );
        assert!(
            refused.body.contains(said),
            "{field} {wrong}: {}",
            refused.body
        );
    }

    // It can't be taken back from under a load; once there is none it can.
    let strike = json!({"id": "auto-0000000strike1", "record": "auto-00000000stream1"});
    let refused = tablet.post(&dock, "/api/strike", &strike);
    assert!(
        refused.body.contains("loads of it stand"),
        "{}",
        refused.body
    );
    let load = json!({"id": "auto-0000000strike2", "record": "auto-0000000000000own1"});
    assert_eq!(tablet.post(&dock, "/api/strike", &load).status, 200);
    let undone = tablet.post(&dock, "/api/strike", &strike);
    assert_eq!(undone.status, 200, "{}", undone.body);
    assert!(!tablet.get(&dock, "/weigh").body.contains("Rye ends"));
}

/// What holds of a stream by its name holds of the farm's own that is like it.
#[test]
fn a_rule_and_a_cap_on_a_stream_bind_what_is_like_it() {
    let farm = Farm::new();
    let verdict = |name: &str, more: &[&str]| {
        farm.json(&[&["streams", name], more].concat())[0]["verdict"].clone()
    };
    assert_eq!(
        verdict("Crates", &["--like", "retail-mixed-surplus"]),
        "ask first"
    );
    // Stricter, never milder.
    assert_eq!(
        verdict("Pine dust", &["--like", "sawdust", "--verdict", "pick-out"]),
        "compost"
    );
    assert_eq!(
        verdict("Old rolls", &["--like", "bread", "--verdict", "compost"]),
        "compost"
    );
    assert_eq!(verdict("Older rolls", &["--like", "old-rolls"]), "compost");
    assert_eq!(verdict("Old rolls", &["--like", "bread"]), "feed");
}

#[test]
fn what_is_not_listed_waits_until_the_owner_says_what_it_is() {
    let farm = Farm::new();
    farm.cohort("H1");
    let (staff, owner) = (
        farm.pin_file("staff", "271828"),
        farm.pin_file("owner", "314159"),
    );
    let dock = farm.dock_with(&["--lan", "--pin-file", &staff, "--owner-pin-file", &owner]);
    let (staff, owner) = (dock.tablet_in("271828"), dock.tablet_in("314159"));
    let mut load = bucket("auto-000000000000odd1", "40.0 lb");
    load["stream"] = json!("not-listed");
    load["stream_other"] = json!("brown flakes");
    let kept = staff.post(&dock, "/api/weigh", &load);
    assert_eq!(kept.status, 200, "{}", kept.body);
    let kept = kept.json();
    assert_eq!(kept["verdict"], "ask first", "{kept}");
    assert!(kept.to_string().contains("The owner looks at it"), "{kept}");

    // It is shown as one to ask about, and no mix may have it, leave or none.
    let stock = staff.get(&dock, "/stock").body;
    assert!(stock.contains("ask the owner"), "{stock}");
    let leave = told(
        &farm,
        &["allow", "not-listed", "--by-whom", "county", "--for", "all"],
    );
    assert!(leave.contains("say first what this is"), "{leave}");
    let mix = told(&farm, &["mix", "--look", "--full"]);
    assert!(!mix.contains("Take"), "{mix}");
    assert!(mix.contains("nobody has said yet what it is"), "{mix}");

    // Staff can't say it; the owner can, and then it is feed.
    let said = json!({"id": "auto-00000000said1", "lot": "1", "stream": "wheat-bran",
        "why": "looked at it"});
    let refused = staff.post(&dock, "/api/correct", &said);
    assert_eq!(refused.status, 422, "{}", refused.body);
    assert!(refused.body.contains("Only the owner"), "{}", refused.body);
    let done = owner.post(&dock, "/api/correct", &said);
    assert_eq!(done.status, 200, "{}", done.body);
    assert_eq!(lot(&farm, "1")["verdict"], "feed");
    let mix = told(&farm, &["mix", "--look"]);
    assert!(mix.contains("wheat-bran"), "{mix}");
}

/// A day of more records than a page holds is told page by page.
#[test]
fn a_long_day_goes_on_on_a_second_page() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let mut file = String::from("weighed_at,supplier,stream,gross,tare,unit\n");
    for minute in 0..503 {
        let (hour, minute) = (minute / 60, minute % 60);
        file += &format!(
            "2020-03-01T{hour:02}:{minute:02}:00Z,Quay brewery,spent-grain,3{minute},1,lb\n"
        );
    }
    std::fs::write(farm.path("loads.csv"), file).expect("written");
    let path = farm.path("loads.csv").display().to_string();
    farm.run(&["weigh", "--file", &path, "--sure"]);
    let first = tablet.get(&dock, "/day").body;
    assert!(first.contains("The newest 500 records"), "{first}");
    let link = first.split("/day?before=").nth(1).expect("goes on");
    let before = link.split('"').next().expect("a record");
    let rest = tablet.get(&dock, &format!("/day?before={before}")).body;
    // The loads, the container and the settings, less the first page.
    assert!(rest.contains("5 records more since midnight"), "{rest}");
    assert!(
        rest.contains("settings") && !rest.contains("/day?before"),
        "{rest}"
    );
}
