//! A bucket at the page, from the first touch to the ticket.

use std::time::Duration;

use fantoccini::key::Key;
use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::{BAKERY, BREAD, BREWERY, GRAIN, IS_DONE, used_farm, weighs_grain};

#[test]
fn three_touches_and_a_scale_weigh_a_bucket_in() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        browser.touch(BREWERY).await;
        let first = browser
            .run("return document.querySelector('#streams input').value")
            .await;
        assert_eq!(
            first,
            json!("spent-grain"),
            "that supplier's usual is not first"
        );
        browser.touch(GRAIN).await;
        // A moving scale is told, and asked again.
        browser.types("US,NT,   3.1 kg\n").await;
        browser
            .until("document.querySelector('#read').textContent.includes('while the scale moved')")
            .await;
        browser.types("  +27.2 lb G\n").await;
        browser
            .until("document.querySelector('#read').textContent.includes('27.2 lb')")
            .await;
        browser.picture("weigh-1280").await;
        assert!(
            farm.lots().len() == 3,
            "the scale's Enter or blanks pressed a button"
        );
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        browser.picture("done-1280").await;
        assert_eq!(browser.text("[data-show=number]").await, "4");
        assert_eq!(browser.text("[data-show=net]").await, "25.7 lb");
        assert_eq!(
            browser.text(".done .verdict").await.to_lowercase().trim(),
            "feed"
        );
        assert!(
            browser
                .text(".done .put")
                .await
                .contains("feed shelf, oldest in front")
        );
        assert_eq!(farm.lots().len(), 4);
        // One touch undoes it; the ticket stays in the book, struck.
        browser.touch("[data-do=undo] button").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        assert_eq!(farm.lots().len(), 3);
        // What was entered is in the form again: only what was wrong is mended,
        // and nothing is weighed anew.
        assert_eq!(browser.value("#gross").await, "+27.2 lb G");
        browser.touch(BAKERY).await;
        browser.touch(BREAD).await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        assert_eq!(browser.text("[data-show=net]").await, "25.7 lb");
        assert_eq!(farm.lots()[3]["supplier"], "Hearth bakery");
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_narrow_page_is_used_by_keyboard_alone() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(360, 740).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        // A blank presses once no scale can have begun with it.
        for choice in ["#suppliers", "#streams"] {
            browser.reach(&format!("{choice} input")).await;
            browser.types(" ").await;
            browser
                .until(&format!("document.querySelector('{choice} input:checked')"))
                .await;
        }
        browser.reach("#gross").await;
        for key in ["2", "5", ".", "4"] {
            browser.types(key).await;
            tokio::time::sleep(Duration::from_millis(90)).await;
        }
        browser.reach("#keep").await;
        browser.types(&char::from(Key::Enter).to_string()).await;
        browser.until(IS_DONE).await;
        browser.picture("done-360").await;
        assert_eq!(farm.lots().len(), 4);
        browser.client.clone().close().await.expect("closed");
    });
}

/// Waits for the answer of the last entry, and goes on to the next.
async fn next(browser: &Browser) {
    browser.until(IS_DONE).await;
    browser.touch("[data-do=next]").await;
}

#[test]
fn no_container_is_chosen_for_anybody() {
    in_time(async {
        let farm = used_farm();
        farm.run(&["farm", "--container", "bin=3lb"]);
        let dock = farm.dock();
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        let chosen = "document.querySelector('[name=container]:checked')";
        browser.touch(BREWERY).await;
        browser.touch(BREAD).await;
        assert_eq!(browser.run(&format!("return {chosen}")).await, json!(null));
        browser.types("31.0 lb\n").await;
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#told').textContent.includes('the container')")
            .await;
        assert_eq!(farm.lots().len(), 3, "kept without a word on the container");
        // What this supplier brought this in last is offered.
        browser.touch(GRAIN).await;
        browser.until(&format!("{chosen}?.value === 'pail'")).await;
        // What a hand has chosen stays.
        browser.touch("label:has([value='=0'])").await;
        browser.touch(BREAD).await;
        browser.until(&format!("{chosen}?.value === '=0'")).await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        assert_eq!(browser.text("[data-show=net]").await, "31.0 lb");
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn what_was_kept_is_listed_and_has_its_tiles_at_once() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        browser.touch("#suppliers label:has([value=other])").await;
        browser
            .type_into("[name=supplier_other]", "Mill cafe")
            .await;
        browser.touch(BREAD).await;
        browser.touch("label:has([value=pail])").await;
        browser.types("21.0 lb\n").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        // A second tap of the same finger reaches nothing behind.
        browser
            .until("!document.body.classList.contains('settling')")
            .await;
        let tapped = browser
            .run(
                "document.querySelector('[data-do=next]').click();
                const there = document.elementFromPoint(500, 400);
                return [there.localName, document.activeElement.name]",
            )
            .await;
        assert_eq!(tapped, json!(["html", "gross"]));
        browser
            .until("document.querySelector('.recent').textContent.includes('Mill cafe')")
            .await;
        let tally = browser.text("[data-fresh=tally]").await;
        let newest = "Mill cafe today: 1 bucket, 19.5 lb\nHearth bakery today: 1 bucket";
        assert!(tally.starts_with(newest), "{tally}");
        browser
            .touch("#suppliers label:has([value='Mill cafe'])")
            .await;
        assert_eq!(
            browser
                .run("return document.querySelector('[name=supplier]:checked').dataset.usual")
                .await,
            json!("{\"bread\":\"pail\"}")
        );
        browser.touch(".recent li button").await;
        browser
            .until("!document.querySelector('.recent').textContent.includes('Mill cafe')")
            .await;
        assert_eq!(farm.lots().len(), 3);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_doubt_and_its_answers_are_seen_together() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        for (width, height) in [(1024, 768), (768, 1024), (360, 740)] {
            let browser = Browser::open(width, height).await;
            browser
                .goto(&format!("http://localhost:{}/weigh", dock.port))
                .await;
            weighs_grain(&browser, "1.5 lb\n").await;
            browser.touch("#keep").await;
            browser
                .until("!document.querySelector('#sure').hidden")
                .await;
            browser.picture(&format!("doubt-{width}")).await;
            let seen = browser
                .run(
                    "return ['#told p', '#sure button', '#sure a'].every((what) => {
                    const box = document.querySelector(what).getBoundingClientRect();
                    return box.top >= 0 && box.bottom <= innerHeight && box.height > 0; })",
                )
                .await;
            assert_eq!(seen, json!(true), "{width} x {height}");
            let over = "return document.querySelector('#told').matches(':modal')";
            assert_eq!(
                browser.run(over).await,
                json!(true),
                "no card over the page"
            );
            browser.touch("#sure a").await;
            browser
                .until("document.activeElement.id === 'gross' && document.querySelector('#told').hidden")
                .await;
            browser.touch("#keep").await;
            browser
                .until("!document.querySelector('#sure').hidden")
                .await;
            browser.touch("#sure button").await;
            next(&browser).await;
            browser.touch(".recent li button").await;
            browser
                .until("!document.querySelector('.recent').textContent.includes('0.0 lb')")
                .await;
            browser.client.clone().close().await.expect("closed");
        }
        assert_eq!(farm.lots().len(), 3);
    });
}

#[test]
fn too_late_for_one_touch_undo_asks_for_a_reason() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        weighs_grain(&browser, "20.0 lb\n").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        drop(dock);
        let later = jiff::Timestamp::now() + jiff::SignedDuration::from_secs(121);
        let port = port.to_string();
        let dock = farm.dock_with(&["--port", &port, "--now", &later.to_string()]);
        browser.touch("[data-do=undo] button").await;
        browser
            .until("location.pathname === '/undo' && document.querySelector('[name=why]')")
            .await;
        browser.picture("undo-why-1024").await;
        assert_eq!(farm.lots().len(), 4);
        browser.type_into("[name=why]", "wrong pail").await;
        browser.touch("main form button").await;
        browser
            .until("location.pathname === '/weigh' && document.querySelector('#weigh')")
            .await;
        assert_eq!(farm.lots().len(), 3);
        drop(dock);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_load_to_pick_out_leads_to_the_weight_of_its_parts_which_waits_like_any() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        browser
            .touch("#suppliers label:has(input[value='Corner grocer'])")
            .await;
        browser
            .touch("#streams label:has(input[value='plum-culls'])")
            .await;
        browser.types("25.4 lb\n").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        browser.picture("done-pick-out-1024").await;
        browser.touch("[data-show=parts]").await;
        browser
            .until("location.pathname === '/discard' && document.querySelector('[name=lot]:checked')?.value === '4'")
            .await;
        dock.kill();
        browser.types("0.6 lb\n").await;
        browser
            .until("document.querySelector('#weight').value === '0.6 lb'")
            .await;
        browser.picture("discard-1024").await;
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#count').textContent === '1'")
            .await;
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        browser
            .until("document.querySelector('#arrived .card')?.textContent.includes('Lot 4: pit, 0.6 lb')")
            .await;
        let verdict = || {
            farm.lots()
                .iter()
                .find(|lot| lot["lot"] == "4")
                .expect("on hand")["verdict"]
                .clone()
        };
        assert_eq!(verdict(), "feed");
        // Its tile says what is left, beside the card that says it arrived.
        let tile = "document.querySelector('label:has([name=lot][value=\"4\"])').textContent";
        let left = farm.lots().into_iter().find(|lot| lot["lot"] == "4");
        let left = left.expect("on hand")["kg"].as_f64().expect("kg") / 0.453_592_37;
        browser
            .until(&format!("{tile}.includes('{left:.1} lb')"))
            .await;
        browser.picture("discard-arrived-1024").await;
        browser.touch("#arrived button").await;
        // Kept at once, its answer fills the screen and undoes it.
        browser.touch("label:has([name=lot][value='1'])").await;
        browser.types("0.5 lb\n").await;
        browser
            .until("document.querySelector('#weight').value === '0.5 lb'")
            .await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        browser.picture("discard-done-1024").await;
        assert_eq!(
            browser.text("[data-show=title]").await,
            "Lot 1: pit, 0.5 lb"
        );
        browser.touch("[data-do=undo] button").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        assert!(
            farm.lots()
                .iter()
                .any(|lot| lot["lot"] == "1" && lot["verdict"] == "pick out")
        );
        drop(dock);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn the_same_bucket_on_a_second_tablet_is_asked_about() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let address = format!("http://localhost:{}/weigh", dock.port);
        let (one, other) = (
            Browser::open(1024, 768).await,
            Browser::open(768, 1024).await,
        );
        for tablet in [&one, &other] {
            tablet.goto(&address).await;
            weighs_grain(tablet, "20.0 lb\n").await;
            tablet
                .until("document.querySelector('#gross').value === '20.0 lb'")
                .await;
        }
        one.touch("#keep").await;
        one.until(IS_DONE).await;
        other.touch("#keep").await;
        other.until("!document.querySelector('#sure').hidden").await;
        let told = other.text("#told").await;
        assert!(
            told.contains("the same 18.5 lb of Spent grain, wet (brewers') was weighed in"),
            "{told}"
        );
        other.picture("same-bucket-768").await;
        assert_eq!(farm.lots().len(), 4, "kept twice without a question");
        // It is another one: kept, and each tablet has its own ticket.
        other.touch("#sure button").await;
        other.until(IS_DONE).await;
        assert_eq!(other.text("[data-show=number]").await, "5");
        assert_eq!(farm.lots().len(), 5);
        one.client.clone().close().await.expect("closed");
        other.client.clone().close().await.expect("closed");
    });
}
