//! What the page does to a reading: taken whole or refused, never shortened,
//! never over another, and its line ends press nothing.

use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::{BREWERY, GRAIN, IS_DONE, used_farm};

/// Opens the page anew, with nothing half entered.
async fn anew(browser: &Browser, port: u16) {
    browser.run("sessionStorage.clear()").await;
    browser
        .goto(&format!("http://localhost:{port}/weigh"))
        .await;
}

async fn reads(browser: &Browser, text: &str) {
    browser
        .until(&format!(
            "document.querySelector('#read').textContent.includes({})",
            json!(text)
        ))
        .await;
}

const HOLDS: &str = "document.querySelector('.ask')";

#[test]
fn a_slow_keyboard_s_reading_is_taken_whole() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        let lines = [
            ("", "14.4lb\n", "14.4 lb"),
            ("#gross", "  +22.4lb G\r\n", "22.4 lb"),
            ("#keep", " 22.4 lb\r\n", "22.4 lb"),
            ("[name=supplier]", "ST,GS,+ 8.300kg\t", "18.3 lb"),
            ("#gross", "18:30:22 8.3kg\t", "18.3 lb"),
            ("#keep", "12.5 kg", "27.6 lb"),
        ];
        for (seed, (focus, line, shown)) in (1..).zip(lines) {
            anew(&browser, dock.port).await;
            if !focus.is_empty() {
                browser
                    .run(&format!("document.querySelector('{focus}').focus()"))
                    .await;
            }
            browser.jitters(line, seed).await;
            reads(&browser, shown).await;
            assert_eq!(
                browser.value("#gross").await.trim(),
                line.trim(),
                "{line:?}"
            );
            let said = browser
                .run("return document.querySelector('#told').hidden")
                .await;
            assert_eq!(said, json!(true), "{line:?} pressed Keep");
        }
        // A hand's digit and the scale's go together as they were typed.
        anew(&browser, dock.port).await;
        browser.touch_into("#gross").await;
        browser.keys("14.4lb\n", [0, 90, 0, 0, 0, 0, 0]).await;
        reads(&browser, "14.4 lb").await;
        // The finger is on Keep while the scale still types.
        anew(&browser, dock.port).await;
        browser.touch(BREWERY).await;
        browser.touch(GRAIN).await;
        browser.touch_into("#gross").await;
        browser
            .run(
                "setTimeout(() => document.querySelector('#keep').click(), 300);
                setTimeout(() => document.querySelector('#keep').focus(), 500)",
            )
            .await;
        browser
            .keys("24.4lb\n", [0, 400, 400, 400, 400, 400, 0])
            .await;
        browser.until(IS_DONE).await;
        assert_eq!(browser.text("[data-show=net]").await, "22.9 lb");
        assert_eq!(farm.lots().len(), 4);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_reading_never_goes_over_another() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        browser.touch(BREWERY).await;
        browser.touch(GRAIN).await;
        for (focus, button, kept) in [("#keep", 0, "22.4 lb"), ("#gross", 1, "31.0 lb")] {
            browser.types("22.4 lb\n").await;
            reads(&browser, "22.4 lb").await;
            // The same line once more is the same reading.
            browser.types("22.4 lb\n").await;
            browser
                .run(&format!("document.querySelector('{focus}').focus()"))
                .await;
            browser.jitters("31.0 lb\n", 7).await;
            browser.until(HOLDS).await;
            browser.picture(&format!("two-readings-{button}")).await;
            assert_eq!(browser.value("#gross").await, "22.4 lb");
            // While it is open nothing is kept.
            browser.run("document.querySelector('#keep').click()").await;
            let buttons = browser.text(".ask").await;
            assert!(
                buttons.contains("22.4 lb") && buttons.contains("31.0 lb"),
                "{buttons}"
            );
            browser
                .touch(&format!(".ask button:nth-of-type({})", button + 1))
                .await;
            reads(&browser, kept).await;
            assert_eq!(browser.value("#gross").await, kept);
            assert_eq!(browser.run(&format!("return {HOLDS}")).await, json!(null));
            browser.run("const gross = document.querySelector('#gross');
                gross.value = ''; gross.dispatchEvent(new Event('input', { bubbles: true })); gross.focus()").await;
        }
        assert_eq!(farm.lots().len(), 3);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_line_without_a_weight_is_told_and_the_next_takes_its_place() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        for (focus, line, told) in [
            ("#keep", "OL\n", "overload"),
            ("#gross", "US,NT,   3.1 kg\r\n", "while the scale moved"),
            ("#gross", "-0.3 kg\n", "below zero"),
        ] {
            browser
                .run(&format!("document.querySelector('{focus}').focus()"))
                .await;
            browser.types(line).await;
            reads(&browser, told).await;
            assert!(!browser.text("#read").await.contains("`text`"));
        }
        browser.types("22.4 lb\n").await;
        reads(&browser, "22.4 lb").await;
        assert_eq!(browser.value("#gross").await, "22.4 lb");
        assert_eq!(farm.lots().len(), 3);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_reading_in_a_note_goes_to_its_weight_and_a_note_stays() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        browser.touch("label:has([data-more=note])").await;
        browser.type_into("[name=note]", "wet ").await;
        browser
            .run("window.was = document.querySelector('[name=note]').value")
            .await;
        // After a pause what comes is no part of the note.
        tokio::time::sleep(std::time::Duration::from_millis(1300)).await;
        browser.jitters("ST,GS,+ 8.300kg\n", 3).await;
        reads(&browser, "18.3 lb").await;
        assert_eq!(browser.value("[name=note]").await, "wet ");
        assert_eq!(browser.value("#gross").await, "ST,GS,+ 8.300kg");
        browser.touch_into("[name=note]").await;
        browser.keys("from 12 bags\n", std::iter::repeat(70)).await;
        assert_eq!(browser.value("[name=note]").await, "wet from 12 bags");
        assert_eq!(browser.value("#gross").await, "ST,GS,+ 8.300kg");
        // Parts picked out have a weight of their own.
        browser.touch("label:has([data-more=picked])").await;
        browser.touch_into("#picked").await;
        browser.jitters("1.1 lb\n", 5).await;
        browser
            .until("document.querySelector('#read-picked').textContent.includes('1.1 lb')")
            .await;
        assert_eq!(browser.value("#gross").await, "ST,GS,+ 8.300kg");
        assert_eq!(farm.lots().len(), 3, "a line end pressed Keep");
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn the_code_on_a_label_opens_its_lot_from_anywhere() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        for (page, focus) in [
            ("weigh", "#gross"),
            ("weigh", "#keep"),
            ("stock", "body"),
            ("harvest", "#larvae"),
        ] {
            browser
                .goto(&format!("http://localhost:{}/{page}", dock.port))
                .await;
            if page == "weigh" {
                browser.touch(BREWERY).await;
            }
            browser
                .run(&format!("document.querySelector('{focus}').focus()"))
                .await;
            browser.jitters("trayful lot 2\n", 11).await;
            browser
                .until("location.pathname === '/trace' && document.querySelector('h1')?.textContent.includes('2')")
                .await;
        }
        // What was half entered is there still, without the code.
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        browser
            .until("document.querySelector('[name=supplier]:checked')?.value === 'Quay brewery'")
            .await;
        assert_eq!(browser.value("#gross").await, "");
        // Kept as a weight it is none, whatever way it came.
        let refused = dock
            .tablet()
            .post(&dock, "/api/reading", &json!({"text": "trayful lot 2"}));
        assert_eq!(refused.status, 422);
        browser
            .goto(&format!("http://localhost:{}/labels", dock.port))
            .await;
        browser.picture("labels-coded").await;
        browser.client.clone().close().await.expect("closed");
    });
}
