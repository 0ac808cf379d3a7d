//! Tonight's sheet at its page: what is ticked off is what is shown.

use serde_json::{Value, json};

use super::browser_support::{Browser, in_time};
use super::dock_support::{Dock, Farm, bucket};
use super::{IS_DONE, used_farm};

fn kept_sheet(farm: &Farm, dock: &Dock) -> (String, Vec<Value>) {
    let tablet = dock.tablet();
    let kept = tablet.post(dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
    assert_eq!(kept.status, 200, "{kept:?}");
    let night = tablet.get(dock, "/api/tonight").json();
    let lines = night["kept"]["lines"].as_array().expect("lines").clone();
    assert!(lines.len() > 1, "{} lots", farm.lots().len());
    (
        kept.json()["sheet"].as_str().expect("a sheet").to_owned(),
        lines,
    )
}

fn on_hand(farm: &Farm, lot: &Value) -> i64 {
    let lots = farm.lots();
    let found = lots.iter().find(|one| one["lot"] == *lot).expect("on hand");
    found["on_hand_g"].as_i64().expect("grams")
}

#[test]
fn a_line_is_fed_when_it_was_ticked_or_weighed_and_the_others_are_asked_about() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let (_, lines) = kept_sheet(&farm, &dock);
        let before: Vec<i64> = lines
            .iter()
            .map(|line| on_hand(&farm, &line["lot"]))
            .collect();
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/tonight", dock.port))
            .await;
        browser.picture("tonight-ticks-1024").await;
        let weights = "return [...document.querySelectorAll('.tick strong')].map((one) => parseFloat(one.textContent))";
        let weights = browser.run(weights).await;
        let weights: Vec<f64> = serde_json::from_value(weights).expect("weights");
        let heaviest_first = weights.is_sorted_by(|one, next| one >= next);
        assert!(weights.len() > 1 && heaviest_first, "{weights:?}");
        // A reading without a line it belongs to is told, and taken nowhere.
        browser.types("3.0 lb\n").await;
        browser
            .until("document.querySelector('#told').textContent.includes('3.0 lb')")
            .await;
        browser.touch_into("#w1").await;
        browser.jitters("2.0lb\r\n", 5).await;
        browser
            .until("document.querySelector('#read-w1').textContent.includes('2.0 lb') && document.querySelector('.ticks input').checked")
            .await;
        browser.touch("#keep").await;
        browser
            .until("!document.querySelector('[data-asks=open]').hidden")
            .await;
        browser.picture("not-ticked-1024").await;
        let seen = browser
            .run("const box = document.querySelector('#told').getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight")
            .await;
        assert_eq!(seen, json!(true));
        assert_eq!(
            on_hand(&farm, &lines[0]["lot"]),
            before[0],
            "recorded unasked"
        );
        browser.touch("[data-asks=open] button[value=left]").await;
        browser.until(IS_DONE).await;
        browser.picture("fed-1024").await;
        assert_eq!(
            browser.text("[data-show=title]").await,
            "Fed: 2.0 lb of 23.9 lb"
        );
        assert_eq!(on_hand(&farm, &lines[0]["lot"]), before[0] - 907);
        assert_eq!(on_hand(&farm, &lines[1]["lot"]), before[1]);
        // Undone where it was made, with what was ticked still there.
        browser.touch("[data-do=undo] button").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        assert_eq!(on_hand(&farm, &lines[0]["lot"]), before[0]);
        assert_eq!(browser.value("#w1").await, "2.0lb");
        browser.touch("#keep").await;
        browser
            .until("!document.querySelector('[data-asks=open]').hidden")
            .await;
        browser.touch("[data-asks=open] button[value=fed]").await;
        browser.until(IS_DONE).await;
        assert!(on_hand(&farm, &lines[1]["lot"]) < before[1]);
        browser.touch("[data-do=next]").await;
        // Later too, from the page itself.
        browser.until("document.querySelector('.recent li')").await;
        browser.picture("tonight-fed-1024").await;
        browser
            .until("document.querySelector('#what-was-fed')")
            .await;
        let said = browser
            .run("return document.querySelector('#what-was-fed').innerText")
            .await;
        let said = said.as_str().expect("words");
        let line = ": 2.0 lb where the sheet says ";
        assert!(
            said.contains("Not as on the sheet") && said.contains(line),
            "{said}"
        );
        assert_eq!(said.matches("where the sheet says").count(), 1, "{said}");
        browser.touch(".recent li button").await;
        browser.until("document.querySelector('#fed')").await;
        assert_eq!(on_hand(&farm, &lines[0]["lot"]), before[0]);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn what_is_ticked_on_one_tablet_is_ticked_on_another_and_after_a_start() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let (sheet, lines) = kept_sheet(&farm, &dock);
        let page = format!("http://localhost:{port}/tonight");
        let (one, other) = (
            Browser::open(1024, 768).await,
            Browser::open(390, 844).await,
        );
        for browser in [&one, &other] {
            browser.goto(&page).await;
        }
        let first = "document.querySelectorAll('.tick input')[0].checked";
        let second = "document.querySelectorAll('.tick input')[1].checked";
        one.touch(".tick").await;
        let began = std::time::Instant::now();
        other.until(first).await;
        let took = began.elapsed();
        assert!(took < std::time::Duration::from_secs(2), "{took:?}");
        // The other one weighs a line, and takes the first tick back.
        other.touch_into("#w2").await;
        other.types("2.0lb\n").await;
        other.until(second).await;
        other.touch(".tick").await;
        one.until(&format!(
            "!{first} && {second} && document.querySelector('#w2').value === '2.0lb'"
        ))
        .await;
        // A page opened anew has it without script too, and one loaded again.
        let tablet = dock.tablet();
        let bare = tablet.get(&dock, "/tonight").body;
        assert_eq!(bare.matches(" checked>").count(), 1, "{bare}");
        assert!(bare.contains("value=\"2.0lb\""), "{bare}");
        one.goto(&page).await;
        one.until(&format!("!{first} && {second}")).await;
        one.picture("tonight-shared-1024").await;
        // The program forgets; the tablets do not.
        dock.kill();
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        let (group, lot) = (lines[1]["group"].as_str(), lines[1]["lot"].as_str());
        let key = format!("t:{}:{}", group.expect("a group"), lot.expect("a lot"));
        let tablet = dock.tablet();
        let told = |line: &str| json!({"sheet": sheet, "lines": {line: "yes"}});
        one.until("document.querySelector('#away').hidden").await;
        let mut seen = 0;
        for _ in 0..100 {
            let bare = tablet.get(&dock, "/tonight").body;
            seen = bare.matches(" checked>").count();
            if seen == 1 {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        }
        assert_eq!(seen, 1, "told again after a start");
        // What is no line of the sheet is refused, and so is what is no sheet.
        assert_eq!(tablet.post(&dock, "/api/ticks", &told(&key)).status, 200);
        assert_eq!(
            tablet.post(&dock, "/api/ticks", &told("t:none:99")).status,
            422
        );
        let none = json!({"sheet": "r1", "lines": {}});
        assert!(tablet.post(&dock, "/api/ticks", &none).status >= 400);
        for browser in [one, other] {
            browser.client.clone().close().await.expect("closed");
        }
        assert_eq!(farm.json(&["check"])["whole"], true);
    });
}

#[test]
fn without_script_the_others_are_asked_about_too() {
    let farm = used_farm();
    let dock = farm.dock();
    let (sheet, lines) = kept_sheet(&farm, &dock);
    let tablet = dock.tablet();
    let (group, lot) = (
        lines[0]["group"].as_str().expect("a group"),
        lines[0]["lot"].as_str().expect("a lot"),
    );
    let field = format!("id=auto-fed-00000001f&sheet={sheet}&ticks=yes&t%3A{group}%3A{lot}=yes");
    let asked = tablet.form(&dock, "/fed", &field);
    assert_eq!(asked.status, 422, "{asked:?}");
    assert!(asked.body.contains("Were these fed too?") && asked.body.contains("checked"));
    assert!(
        asked.body.contains("value=\"auto-fed-00000001f\""),
        "{}",
        asked.body
    );
    let none = format!("id=auto-fed-00000002f&sheet={sheet}&ticks=yes&open=left");
    assert_eq!(tablet.form(&dock, "/fed", &none).status, 422);
    assert_eq!(
        tablet
            .form(&dock, "/fed", &format!("{field}&open=left"))
            .status,
        303
    );
    assert!(
        tablet
            .get(&dock, "/tonight")
            .body
            .contains("Fed and written down")
    );
}

#[test]
fn the_lines_to_tick_are_those_of_the_sheet_that_is_shown() {
    let farm = used_farm();
    let dock = farm.dock();
    let (sheet, _) = kept_sheet(&farm, &dock);
    // What the kept sheet drew on is gone from the book: its figures can't be had again.
    let tablet = dock.tablet();
    let says = |page: &str| {
        let changed = page.contains("This sheet is out of date");
        // Old weights are mixed by nobody who has not said so.
        assert_eq!(page.contains("<details class=\"old-sheet\">"), changed);
        changed
    };
    let page = tablet.get(&dock, "/tonight").body;
    assert!(!says(&page));
    // The one that holds pits says so on its own line, and on its own page what to do.
    assert_eq!(page.matches("✂ PICK OUT, then weigh").count(), 1, "{page}");
    let lot = tablet.get(&dock, "/lot?lot=1").body;
    assert!(lot.contains("href=\"/discard?lot=1\""), "{lot}");
    let late = bucket("auto-000000000late", "44 lb");
    assert_eq!(tablet.post(&dock, "/api/weigh", &late).status, 200);
    let outdated = tablet.get(&dock, "/tonight").body;
    assert!(
        says(&outdated) && outdated.contains("ticket 4, 42.5 lb"),
        "{outdated}"
    );
    farm.run(&["strike", "auto-000000000late", "--why", "typed twice"]);
    assert!(!says(&tablet.get(&dock, "/tonight").body), "taken back");
    dock_strikes_a_lot(&farm);
    assert!(says(&tablet.get(&dock, "/tonight").body));
    for no in 0..4 {
        let sent = bucket(&format!("auto-0000000later{no}"), &format!("4{no} lb"));
        assert_eq!(tablet.post(&dock, "/api/weigh", &sent).status, 200);
    }
    dock.kill();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let page = tablet.get(&dock, "/tonight").body;
    assert!(page.contains(&format!("value=\"{sheet}\"")), "{page}");
    assert!(
        !page.contains("<p class=\"verdict-line"),
        "another mix above the lines: {page}"
    );
    let anew = tablet.get(&dock, "/tonight?anew=yes").body;
    assert!(
        anew.contains("verdict-line") && !anew.contains("action=\"/fed\""),
        "{anew}"
    );
}

/// Strikes the newest lot with a reason, as at the terminal.
fn dock_strikes_a_lot(farm: &Farm) {
    farm.run(&["strike", "auto-seed3", "--why", "typed twice"]);
}
