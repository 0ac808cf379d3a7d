//! What there is to say of a bucket besides who, what and how much.

use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::{BREAD, BREWERY, GRAIN, IS_DONE, used_farm, weighs_grain};

/// All there is to say of a bucket is on one screen, behind tiles that take
/// back what they said; a load nobody can name is kept and not fed.
#[test]
fn what_there_is_to_say_besides_is_tiles_on_the_one_screen() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1024, 768).await;
        let address = format!("http://localhost:{}/weigh", dock.port);
        browser.goto(&address).await;
        browser.picture("weigh-tiles-1024").await;
        let seen = browser
            .run(
                "return ['#suppliers', '#streams', '#more', '#keep'].map((what) => {
                    const box = document.querySelector(what).getBoundingClientRect();
                    return box.top >= 0 && box.bottom <= innerHeight; })",
            )
            .await;
        assert_eq!(seen, json!([true, true, true, true]), "needs scrolling");
        let shown = "[...document.querySelectorAll('[data-part]')].filter((part) => part.checkVisibility()).map((part) => part.dataset.part).join()";
        let parts = || async { browser.run(&format!("return {shown}")).await };
        assert_eq!(parts().await, json!(""));
        // A tile that is let go takes back what was said behind it.
        browser.touch("label:has([data-more=refuse])").await;
        browser.touch("label:has([name=refuse][value=glass])").await;
        assert_eq!(parts().await, json!("refuse"));
        browser.touch("label:has([data-more=refuse])").await;
        assert_eq!(parts().await, json!(""));
        let refuse = "return document.querySelector('[name=refuse]:checked').value";
        assert_eq!(browser.run(refuse).await, json!(""));
        browser.touch("label:has([data-more=touched])").await;
        browser.touch("label:has([name=touched_meat])").await;
        browser.touch("label:has([data-more=bought])").await;
        weighs_grain(&browser, "25.0 lb\n").await;
        browser.picture("weigh-said-1024").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        // Grain that touched meat is turned away on this farm.
        assert_eq!(
            browser.text(".done .verdict").await.to_lowercase().trim(),
            "refuse"
        );
        assert!(
            browser
                .text(".done .cautions")
                .await
                .contains("local authority")
        );
        browser.touch("[data-do=next]").await;
        assert_eq!(parts().await, json!(""), "said of the next bucket too");
        browser.touch("#streams label:has([value=other])").await;
        browser
            .type_into("[name=stream_other]", "brown flakes")
            .await;
        browser.touch("label:has([value=not-listed])").await;
        browser.touch("label:has([value=pail])").await;
        browser.types("25.0 lb\n").await;
        browser.picture("weigh-not-listed-1024").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        browser.picture("done-not-listed-1024").await;
        assert_eq!(
            browser.text(".done .verdict").await.to_lowercase().trim(),
            "ask first"
        );
        let ticket = dock.tablet().get(&dock, "/correct?lot=5").body;
        assert!(ticket.contains("brown flakes"), "{ticket}");
        browser.client.clone().close().await.expect("closed");
    });
}

/// On a phone held upright what was chosen makes room for what comes next, and
/// a touch on it brings the others back.
#[test]
fn on_a_phone_each_step_of_a_usual_load_is_on_the_screen() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(390, 768).await;
        let address = format!("http://localhost:{}/weigh", dock.port);
        browser.goto(&address).await;
        let seen = |what: &'static [&'static str]| {
            let script = format!(
                "const bar = document.querySelector('header.bar').getBoundingClientRect();
                return {}.filter((what) => {{
                    const thing = document.querySelector(what);
                    const box = thing.getBoundingClientRect();
                    return !thing.checkVisibility() || box.top < 0 || box.bottom > bar.top; }})",
                json!(what)
            );
            let browser = &browser;
            async move { browser.run(&script).await }
        };
        assert_eq!(seen(&["#suppliers", "#gross", "#keep"]).await, json!([]));
        browser.touch(BREWERY).await;
        browser.picture("weigh-phone-stream").await;
        assert_eq!(seen(&["#suppliers", "#streams"]).await, json!([]));
        browser.touch(GRAIN).await;
        browser
            .until("!document.querySelector('#streams label:has([value=bread])').checkVisibility()")
            .await;
        browser.types("25.0 lb\n").await;
        browser
            .until("document.querySelector('#read strong')?.textContent === '23.5 lb'")
            .await;
        browser.run("scrollTo(0, 0)").await;
        browser.picture("weigh-phone-weight").await;
        assert_eq!(
            seen(&[
                "#suppliers",
                "#streams",
                "#read",
                "#gross",
                ".tares",
                "#keep"
            ])
            .await,
            json!([])
        );
        // The net is the largest thing there is to read.
        let largest = browser
            .run("const size = (thing) => parseFloat(getComputedStyle(thing).fontSize);
                return [...document.querySelectorAll('main *')].every((thing) => size(thing) <= size(document.querySelector('#read strong')))")
            .await;
        assert_eq!(largest, json!(true));
        // A wrong touch is mended: the others come back, and one of them is taken.
        browser.touch(GRAIN).await;
        browser
            .until("document.querySelector('#streams label:has([value=bread])').checkVisibility()")
            .await;
        browser.touch(BREAD).await;
        browser.until("!document.querySelector('#streams label:has([value=spent-grain])').checkVisibility()").await;
        browser.touch("label:has([value=pail])").await;
        browser.touch("#keep").await;
        browser.until(IS_DONE).await;
        assert!(browser.text(".done").await.contains("Bread, white"));
        browser.client.clone().close().await.expect("closed");
    });
}
