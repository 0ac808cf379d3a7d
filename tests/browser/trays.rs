//! Harvests and money at their pages.

use std::time::Duration;

use fantoccini::key::Key;
use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::{IS_DONE, used_farm};

#[test]
fn a_harvest_is_weighed_by_the_scale_waits_and_is_undone() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let harvests = || {
            let told = farm.json(&["harvest", "H1"]);
            let parts = told["cohorts"][0]["harvests"].as_array().expect("a list");
            parts.len()
        };
        let browser = Browser::open(360, 740).await;
        browser
            .goto(&format!("http://localhost:{port}/harvest"))
            .await;
        // Nothing chosen yet: said, and nothing sent.
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Choose a cohort')")
            .await;
        browser.touch("form label:has(input[value='H1'])").await;
        // The scale goes to the larvae first, then to the weight last touched.
        browser.types("  +20.4 lb G\n").await;
        browser
            .until("document.querySelector('#read-larvae').textContent.includes('20.4 lb')")
            .await;
        browser.touch_into("#residue").await;
        browser.types("US,NT,   3.1 kg\n").await;
        browser
            .until("document.querySelector('#read-residue').textContent.includes('while the scale moved')")
            .await;
        browser.types("25.0 lb\n").await;
        browser
            .until("document.querySelector('#read-residue').textContent.includes('= 25.0 lb')")
            .await;
        for (field, text) in [("sample_count", "100"), ("sample_g", "152")] {
            browser.type_into(&format!("[name={field}]"), text).await;
        }
        browser.touch("label.last").await;
        browser.picture("harvest-filled-360").await;
        browser.touch("#keep").await;
        // 1520 mg a larva: asked, and nothing kept until someone is sure.
        browser
            .until("!document.querySelector('#sure').hidden")
            .await;
        assert_eq!(harvests(), 0);
        // The question stands over the form until it is answered.
        browser.touch("#told [data-do=change]").await;
        browser
            .run("document.querySelector('[name=sample_g]').value = '15.2'")
            .await;
        // The book is away: the harvest waits, and is kept once when it is back.
        dock.kill();
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#count').textContent === '1'")
            .await;
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        browser
            .until("!Object.keys(localStorage).some((key) => key.startsWith('trayful.wait.'))")
            .await;
        assert_eq!(harvests(), 1);
        assert_eq!(farm.json(&["cohort", "list"]), json!([]));
        browser
            .goto(&format!("http://localhost:{port}/harvest"))
            .await;
        browser.touch(".recent li button").await;
        browser
            .until("document.querySelector('form input[value=H1]')")
            .await;
        assert_eq!(harvests(), 0);
        browser.touch("form label:has(input[value='H1'])").await;
        browser.types("20.4\n").await;
        browser
            .until("document.querySelector('#read-larvae').textContent.includes('20.4 lb')")
            .await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        browser.picture("harvest-done-360").await;
        assert!(browser.text("[data-show=lines]").await.contains("No count"));
        assert!(
            browser
                .text("[data-show=cautions]")
                .await
                .contains("may need heat treatment")
        );
        browser.touch("[data-do=undo] button").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        assert_eq!(harvests(), 0);
        drop(dock);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_narrow_harvest_is_kept_and_undone_by_keyboard_alone() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(360, 740).await;
        browser
            .goto(&format!("http://localhost:{}/harvest", dock.port))
            .await;
        browser.reach("[name=cohort]").await;
        browser.types(" ").await;
        browser
            .until("document.querySelector('[name=cohort]').checked")
            .await;
        browser.reach("#larvae").await;
        for key in ["2", "0", ".", "4"] {
            browser.types(key).await;
            tokio::time::sleep(Duration::from_millis(90)).await;
        }
        browser.reach("[name=last]").await;
        browser.types(" ").await;
        browser
            .until("document.querySelector('[name=last]').checked")
            .await;
        browser.reach("#keep").await;
        let enter = char::from(Key::Enter).to_string();
        browser.types(&enter).await;
        browser.until(IS_DONE).await;
        assert_eq!(farm.json(&["cohort", "list"]), json!([]));
        browser.reach("[data-do=undo] button").await;
        browser.types(&enter).await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        let on_trays = farm.json(&["cohort", "list"]);
        assert_eq!(on_trays[0]["cohort"], "H1");
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn money_is_written_down_by_keyboard_alone() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/money", dock.port))
            .await;
        browser.reach("#write summary").await;
        browser.types(" ").await;
        browser.until("document.querySelector('#write').open").await;
        browser.reach("[name=item]").await;
        browser.types("lab").await;
        for (field, text) in [("minutes", "90"), ("rate", "18"), ("what", "feeding")] {
            browser.reach(&format!("#money [name={field}]")).await;
            for key in text.chars() {
                browser.types(&key.to_string()).await;
                tokio::time::sleep(Duration::from_millis(80)).await;
            }
        }
        browser.reach("#keep").await;
        browser.picture("money-filled-1280").await;
        browser.types(&char::from(Key::Enter).to_string()).await;
        browser.until(IS_DONE).await;
        browser.picture("money-done-1280").await;
        assert_eq!(
            browser.text("[data-show=title]").await,
            "labour: 27.00 USD (out)"
        );
        assert!(
            browser
                .text("[data-show=lines]")
                .await
                .contains("90 min at 18.00 an hour")
        );
        assert_eq!(farm.json(&["money"])["ledger"]["cost"], 27.0);
        browser.client.clone().close().await.expect("closed");
    });
}
