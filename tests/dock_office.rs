//! What the office of the page does: settings, containers, a ticket corrected,
//! a month closed, files to take away; and the page of today.

mod dock_support;

use dock_support::{Dock, Farm, Tablet, bucket};
use serde_json::{Value, json};

fn weighed(tablet: &Tablet, dock: &Dock) {
    let kept = tablet.post(
        dock,
        "/api/weigh",
        &bucket("auto-00000000000000lot1", "32.2 lb"),
    );
    assert_eq!(kept.status, 200, "{}", kept.body);
}

fn done(tablet: &Tablet, dock: &Dock, api: &str, sent: &Value) -> Value {
    let answer = tablet.post(dock, api, sent);
    assert_eq!(answer.status, 200, "{api}: {}", answer.body);
    let again = tablet.post(dock, api, sent);
    assert_eq!(again.status, 200, "{api} again: {}", again.body);
    assert_eq!(again.json()["shown"]["already"], true, "{}", again.body);
    answer.json()
}

#[test]
fn settings_are_shown_changed_and_refused_in_the_form_s_words() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let page = tablet.get(&dock, "/settings").body;
    assert!(page.contains("value=\"America/Denver\""), "{page}");
    let sent = json!({"id": "auto-0000000setting1", "name": "Yard 3 larvae", "sure": "0.9",
        "small_scale": "1g:5kg", "most_lots": "5"});
    done(&tablet, &dock, "/api/settings", &sent);
    let page = tablet.get(&dock, "/settings").body;
    for kept in [
        "Yard 3 larvae",
        "value=\"0.90\"",
        "1 g:5000g",
        "value=\"5\"",
        "America/Denver",
    ] {
        assert!(page.contains(kept), "{kept}: {page}");
    }
    // What is sent blank goes back to the default; what is left out stays.
    let sent = json!({"id": "auto-0000000setting2", "sure": "", "name": ""});
    done(&tablet, &dock, "/api/settings", &sent);
    let page = tablet.get(&dock, "/settings").body;
    assert!(
        !page.contains("Yard 3 larvae") && page.contains("1 g:5000g"),
        "{page}"
    );

    let wrong = json!({"id": "auto-0000000setting3", "zone": "Mars", "region": "moon"});
    let refused = tablet.post(&dock, "/api/settings", &wrong);
    assert_eq!(refused.status, 422, "{}", refused.body);
    let details = refused.json()["details"].to_string();
    assert!(
        details.contains("Time zone") && details.contains("rules on use"),
        "{details}"
    );
    let form = tablet.form(&dock, "/settings", "id=auto-0000000setting4&zone=Mars");
    assert_eq!(form.status, 422);
    assert!(
        form.body.contains("value=\"Mars\""),
        "what was typed is gone: {}",
        form.body
    );
}

#[test]
fn a_container_is_named_and_a_ticket_corrected() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    weighed(&tablet, &dock);
    let crate_of = json!({"id": "auto-000000container1", "name": "grey crate", "weight": "4.4 lb", "holds": "40L"});
    done(&tablet, &dock, "/api/container", &crate_of);
    assert!(tablet.get(&dock, "/weigh").body.contains("grey crate"));
    let none = json!({"id": "auto-000000container2", "name": "lid"});
    let refused = tablet.post(&dock, "/api/container", &none);
    assert_eq!(refused.status, 422, "{}", refused.body);

    let correction =
        json!({"id": "auto-0000000correct1", "lot": "1", "note": "second gate", "why": "left out"});
    let told = done(&tablet, &dock, "/api/correct", &correction);
    assert!(
        told["shown"]["lines"][0]
            .as_str()
            .is_some_and(|line| line.contains("second gate")),
        "{told}"
    );
    let none = json!({"id": "auto-0000000correct2", "lot": "1", "note": "no reason"});
    assert_eq!(tablet.post(&dock, "/api/correct", &none).status, 422);
    let lost = json!({"id": "auto-0000000correct3", "lot": "77", "note": "x", "why": "y"});
    assert_eq!(tablet.post(&dock, "/api/correct", &lost).status, 404);
    assert!(tablet.get(&dock, "/stock").body.contains("/correct?lot=1"));
}

#[test]
fn a_month_is_closed_and_handed_out_and_a_copy_taken_away() {
    let farm = Farm::new();
    let dock = farm.dock();
    let none = dock.tablet().get(&dock, "/month/close").body;
    assert!(none.contains("There is no month to close yet"), "{none}");
    assert!(!none.contains("id=\"keep\""), "{none}");
    dock.kill();
    let now = jiff::Timestamp::now().to_zoned_datetime(jiff::tz::TimeZone::UTC);
    let today = now.date();
    let last = today
        .first_of_month()
        .yesterday()
        .expect("a day")
        .to_string();
    farm.run(&[
        "weigh",
        "--supplier",
        "Quay brewery",
        "--stream",
        "spent-grain",
        "--gross",
        "22 lb",
        "--tare",
        "1.5 lb",
        "--at",
        &format!("{last}T09:00"),
        "--sure",
    ]);
    let dock = farm.dock();
    let tablet = dock.tablet();
    weighed(&tablet, &dock);
    let page = tablet.get(&dock, "/month").body;
    let why = page.split("<details class=\"screen-only why\">").nth(1);
    let why = why
        .and_then(|rest| rest.split("</details>").next())
        .expect("why");
    let figure = page.split("<p class=\"lead\">").nth(1);
    let figure = figure
        .and_then(|rest| rest.split(" counts as kept").next())
        .expect("a figure");
    assert!(
        why.contains(&format!("<dt>all</dt><dd>{figure}</dd>")),
        "{figure}: {why}"
    );
    assert!(why.contains(", 1 load</dt>"), "{why}");
    let form = tablet.get(&dock, "/month/close").body;
    let month = form
        .split("name=\"month\"")
        .nth(1)
        .and_then(|rest| rest.split("\" selected").next());
    let month = month
        .and_then(|rest| rest.rsplit('"').next())
        .expect("a month");
    let close = json!({"id": "auto-000000000close1", "month": month});
    assert_eq!(
        done(&tablet, &dock, "/api/month/close", &close)["version"],
        1
    );
    let again = json!({"id": "auto-000000000close2", "month": month});
    assert_eq!(tablet.post(&dock, "/api/month/close", &again).status, 409);
    let runs = tablet.post(
        &dock,
        "/api/month/close",
        &json!({"id": "auto-000000000close3", "month": "2199-01"}),
    );
    assert_eq!(runs.status, 409, "{}", runs.body);

    let table = tablet.get(&dock, "/month.csv");
    assert!(
        table.body.starts_with("month,zone,version,supplier"),
        "{}",
        table.body
    );
    assert!(
        table
            .header("content-disposition")
            .is_some_and(|said| said.contains("attachment"))
    );
    assert!(table.body.contains("Quay brewery"), "{}", table.body);
    let statement = tablet.get(&dock, "/statement.csv?supplier=Quay+brewery");
    assert_eq!(statement.status, 200, "{}", statement.body);
    assert_eq!(tablet.get(&dock, "/month.xlsx").status, 200);
    assert_eq!(
        tablet
            .get(&dock, "/statement.xlsx?supplier=Quay+brewery")
            .status,
        200
    );
    let year = &month[..4];
    assert!(
        tablet
            .get(&dock, &format!("/month?month={year}"))
            .body
            .contains(year)
    );

    let whole = tablet.get(&dock, "/check").body;
    assert!(whole.contains("class=\"good lead\""), "{whole}");
    let copy = tablet.get(&dock, "/copy");
    assert_eq!(copy.status, 200);
    assert!(copy.body.starts_with("SQLite format 3"));
    let beside = std::fs::read_dir(farm.path("")).expect("a folder");
    let beside: Vec<_> = beside
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    let unfinished = |name: &std::ffi::OsString| name.to_string_lossy().contains("part");
    assert!(!beside.iter().any(unfinished), "{beside:?}");
}

#[test]
fn today_shows_what_is_likely_next_and_who_wrote_what() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let empty = tablet.get(&dock, "/").body;
    assert!(
        empty.contains("href=\"/cohorts/add\""),
        "no larvae yet: {empty}"
    );
    farm.cohort("H1");
    weighed(&tablet, &dock);
    let home = tablet.get(&dock, "/").body;
    assert!(home.contains("Came in: 1 load"), "{home}");
    assert!(home.contains("Due tonight"), "{home}");
    let kept = tablet.post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
    assert_eq!(kept.status, 200, "{}", kept.body);
    let home = tablet.get(&dock, "/").body;
    let large = home
        .split("main keep\" href=\"")
        .nth(1)
        .expect("a large button");
    assert!(
        large.starts_with("/tonight"),
        "a sheet waits to be fed: {home}"
    );
    let day = tablet.get(&dock, "/day").body;
    assert!(day.contains("ticket 1") && day.contains(">sheet<"), "{day}");
    // What each record is of.
    assert!(day.contains("larvae on trays, H1"), "{day}");
    let learned = tablet.get(&dock, "/learn");
    assert_eq!(learned.status, 200, "{}", learned.body);
    let none = json!({"id": "auto-0000000000take1", "proposal": "keeps-days:none"});
    assert_eq!(tablet.post(&dock, "/api/learn/take", &none).status, 404);
}

#[test]
fn with_two_pins_staff_do_the_daily_work_and_the_owner_all_of_it() {
    let farm = Farm::new();
    let (staff, owner) = (
        farm.pin_file("staff", "271828"),
        farm.pin_file("owner", "314159"),
    );
    let same = farm
        .command()
        .args([
            "dock",
            "--lan",
            "--pin-file",
            &staff,
            "--owner-pin-file",
            &staff,
        ])
        .output();
    let same = same.expect("runs");
    assert_eq!(same.status.code(), Some(2), "{same:?}");
    let dock = farm.dock_with(&["--lan", "--pin-file", &staff, "--owner-pin-file", &owner]);
    let staff = dock.tablet_in("271828");
    weighed(&staff, &dock);
    for path in [
        "/settings",
        "/containers",
        "/money",
        "/month/close",
        "/learn",
        "/check",
        "/copy",
    ] {
        let refused = staff.get(&dock, path);
        assert_eq!(refused.status, 403, "{path}");
        assert!(
            refused.body.contains("Only the owner"),
            "{path}: {}",
            refused.body
        );
    }
    let money = json!({"id": "auto-00000000money1", "item": "energy", "amount": "12"});
    let refused = staff.post(&dock, "/api/money", &money);
    assert_eq!(
        (refused.status, refused.json()["error"].as_str()),
        (403, Some("owner"))
    );
    let office = staff.get(&dock, "/office").body;
    assert!(
        !office.contains("href=\"/money\"") && office.contains("href=\"/month\""),
        "{office}"
    );

    let owner = dock.tablet_in("314159");
    let kept = owner.post(&dock, "/api/money", &money);
    assert_eq!(kept.status, 200, "{}", kept.body);
    let record = kept.json()["shown"]["record"].clone();
    let strike = json!({"id": "auto-0000000strike1", "record": record});
    assert_eq!(
        staff.post(&dock, "/api/strike", &strike).status,
        422,
        "what the owner wrote"
    );
    assert_eq!(owner.post(&dock, "/api/strike", &strike).status, 200);
    assert_eq!(owner.get(&dock, "/settings").status, 200);
}

/// What one tablet keeps another hears of.
#[test]
fn an_open_page_hears_that_the_book_has_grown() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let mut heard = dock.events(&tablet);
    let first = heard.next().expect("where the book stands");
    weighed(&tablet, &dock);
    let next = heard.next().expect("that it has grown");
    assert!(next > first, "{first} {next}");
    // It ends with the page: no stop waits for who listens.
    let (code, _) = dock.stop();
    assert_eq!(code, Some(0));
    assert_eq!(heard.next(), None);
}

/// All that the first page needs, typeface and drawings with it, comes quickly
/// over a farm's network.
#[test]
fn the_first_page_is_small() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let page = dock.raw_get("/weigh", &tablet);
    let text = String::from_utf8_lossy(&page);
    let assets: std::collections::BTreeSet<&str> = (text.split('"'))
        .filter(|word| word.starts_with('/') && word.contains('.'))
        .map(|word| word.split('#').next().expect("a path"))
        .collect();
    // What style and scripts bring besides.
    let more = ["/hyperlegible-bold.woff2", "/reading.js"];
    let all = assets
        .iter()
        .copied()
        .chain(more)
        .filter(|path| *path != "/manifest.json");
    let bytes = page.len()
        + all
            .map(|path| dock.raw_get(path, &tablet).len())
            .sum::<usize>();
    assert!(assets.len() > 5, "{assets:?}");
    assert!(bytes < 200_000, "{bytes} bytes");
}

/// What it is may be said as people call it; what could be several things is
/// asked, with the nearest told.
#[test]
fn a_stream_is_said_as_people_call_it() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let bucket = |id: &str, word: &str| {
        let mut sent = bucket(id, "20 lb");
        sent["stream"] = json!("other");
        sent["stream_other"] = json!(word);
        tablet.post(&dock, "/api/weigh", &sent)
    };
    let kept = bucket("auto-000000000word1", "stale bread");
    assert_eq!(kept.json()["stream"], "bread", "{}", kept.body);
    let kept = bucket("auto-000000000word2", "bagazo de cerveza");
    assert_eq!(kept.json()["stream"], "spent-grain", "{}", kept.body);
    let asked = bucket("auto-000000000word4", "cafe");
    assert_eq!(
        asked.status, 422,
        "coffee grounds or a cafe's scraps: {}",
        asked.body
    );
    let asked = bucket("auto-000000000word3", "scraps");
    assert_eq!(asked.status, 422, "{}", asked.body);
    assert!(
        asked.json()["details"][0]
            .as_str()
            .is_some_and(|said| said.contains("household-mix")),
        "{}",
        asked.body
    );
}

/// Who has chosen none reads the farm's language, from the next page on.
#[test]
fn pages_are_in_the_language_the_farm_chose() {
    let farm = Farm::new();
    farm.run(&["farm", "--language", "es"]);
    let dock = farm.dock();
    let tablet = dock.tablet();
    let shown = |lang: &str| {
        let page = tablet.get(&dock, "/");
        assert!(
            page.body.contains(&format!("<html lang=\"{lang}\"")),
            "{lang}: {page:?}"
        );
    };
    shown("es");
    let settings = json!({"id": "auto-language-0001", "language": "en"});
    let kept = tablet.post(&dock, "/api/settings", &settings);
    assert_eq!(kept.status, 200, "{kept:?}");
    shown("en");
}
