//! A farm lived on the page alone: from no book at all to a closed month, with
//! the network lost in between, and every touch counted.

use std::cell::Cell;

use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::dock_support::Farm;
use super::{GRAIN, IS_DONE};

const PAIL: &str = ".tares label:has(input[value='pail'])";

/// A person at a tablet, who counts touches.
pub(super) struct Hand {
    pub(super) browser: Browser,
    port: u16,
    touches: Cell<usize>,
}

impl Hand {
    pub(super) const fn at(browser: Browser, port: u16) -> Self {
        let touches = Cell::new(0);
        Self {
            browser,
            port,
            touches,
        }
    }

    pub(super) async fn page(&self, path: &str) {
        self.browser
            .goto(&format!("http://localhost:{}{path}", self.port))
            .await;
    }

    pub(super) async fn touch(&self, what: &str) {
        self.touches.set(self.touches.get() + 1);
        self.browser.touch(what).await;
    }

    /// A tile of a set; where the chosen one has made room, that one first.
    pub(super) async fn choose(&self, set: &str, value: &str) {
        let tile = format!("{set} label:has(input[value='{value}'])");
        let seen = format!("return document.querySelector(\"{tile}\").checkVisibility()");
        if self.browser.run(&seen).await != json!(true) {
            self.touch(&format!("{set} label:has(:checked)")).await;
        }
        self.touch(&tile).await;
    }

    /// Fields as a person fills them in, without counting.
    pub(super) async fn fill(&self, fields: &[(&str, &str)]) {
        for (name, value) in fields {
            let set = format!(
                "const field = document.querySelector('form[data-api] [name=\"{name}\"]');
                field.closest('details')?.setAttribute('open', '');
                field.value = {}; field.dispatchEvent(new Event('input', {{ bubbles: true }}));
                field.dispatchEvent(new Event('change', {{ bubbles: true }}));",
                json!(value)
            );
            self.browser.run(&set).await;
        }
    }

    pub(super) async fn keep(&self) {
        self.touch("#keep").await;
        self.browser.until(IS_DONE).await;
    }

    /// The first lot's card, opened to what is done with it, up to its first field.
    async fn card(&self, act: &str, field: &str) {
        self.page("/stock").await;
        self.touch("details.lot summary").await;
        self.touch(&format!("details.lot[open] a[href*='act={act}']"))
            .await;
        let there = format!("document.querySelector('#lot [name={field}]')");
        self.browser.until(&there).await;
    }

    /// How many touches something took.
    async fn counted(&self, most: usize, what: &str, deed: impl Future<Output = ()>) {
        self.touches.set(0);
        deed.await;
        let took = self.touches.get();
        assert!(took <= most, "{what}: {took} touches, at most {most}");
    }

    async fn weight(&self, line: &str) {
        self.browser.types(&format!("{line}\n")).await;
        let number = line.trim_end_matches(" lb");
        self.browser
            .until(&format!(
                "document.querySelector('#read').textContent.includes('{number}')"
            ))
            .await;
    }
}

fn lived(width: u32, height: u32, lang: &str) {
    in_time(async {
        let farm = Farm::empty();
        let dock = farm.dock_with(&["--begin"]);
        let hand = Hand::at(Browser::open(width, height).await, dock.port);
        let at = format!("{lang}-{width}");
        let hatched = (jiff::Timestamp::now() - jiff::SignedDuration::from_hours(24 * 9))
            .strftime("%Y-%m-%d")
            .to_string();

        // What a new farm is asked for, one page each.
        hand.page(&format!("/?lang={lang}")).await;
        hand.browser.picture(&format!("day-begun-{at}")).await;
        hand.touch(".steps a[href='/settings']").await;
        hand.browser.until("document.querySelector('#plain')").await;
        hand.fill(&[("name", "Yard 3 larvae"), ("larvae_for", "not-feed")])
            .await;
        hand.keep().await;
        hand.page("/").await;
        hand.touch(".steps a[href='/containers']").await;
        hand.browser.until("document.querySelector('#plain')").await;
        hand.fill(&[("name", "pail"), ("weight", "1.5 lb"), ("holds", "5gal")])
            .await;
        hand.keep().await;
        hand.page("/").await;
        hand.touch(".steps a[href='/cohorts/add']").await;
        hand.browser.until("document.querySelector('#plain')").await;
        let cohort = [
            ("name", "H1"),
            ("hatched", &hatched),
            ("larvae", "60000"),
            ("trays", "16"),
            ("tray_area", "60x40cm"),
        ];
        hand.fill(&cohort).await;
        hand.keep().await;
        hand.page("/").await;
        let left = hand
            .browser
            .run("return document.querySelectorAll('.steps').length")
            .await;
        assert_eq!(left, json!(0), "nothing more is asked for");

        // The first bucket names who brings what; the next ones are touches.
        hand.page("/weigh").await;
        hand.fill(&[
            ("supplier_other", "Quay brewery"),
            ("stream_other", "spent-grain"),
        ])
        .await;
        hand.touch(PAIL).await;
        hand.weight("32.2 lb").await;
        hand.keep().await;
        hand.page("/weigh").await;
        hand.browser
            .run("sessionStorage.clear(); location.reload()")
            .await;
        hand.browser.until("document.readyState === 'complete' && !document.querySelector('[name=supplier]:checked')").await;
        hand.counted(3, "a bucket weighed in", async {
            hand.touch("#suppliers label:has(input[value='Quay brewery'])")
                .await;
            hand.touch(GRAIN).await;
            hand.weight("30.0 lb").await;
            hand.keep().await;
        })
        .await;
        hand.counted(1, "the next pail of the same", async {
            hand.weight("31.1 lb").await;
            hand.keep().await;
        })
        .await;
        hand.counted(1, "taken back", async {
            hand.touch("[data-do=undo] button").await;
            hand.browser
                .until("document.querySelector('#told.good')")
                .await;
        })
        .await;
        hand.counted(3, "turned away", async {
            hand.touch("label:has([data-more=refuse])").await;
            hand.touch("label:has([name=refuse][value=mouldy])").await;
            hand.keep().await;
        })
        .await;
        hand.browser.picture(&format!("day-refused-{at}")).await;

        // Without the network an entry waits, and is there when it is back.
        hand.touch("[data-do=next]").await;
        dock.kill();
        hand.browser.types("33.3 lb\n").await;
        hand.touch("#keep").await;
        hand.browser
            .until("document.querySelector('#count').textContent === '1'")
            .await;
        let port = hand.port.to_string();
        let dock = farm.dock_with(&["--port", &port]);
        hand.browser
            .until("document.querySelector('#arrived .card')")
            .await;
        hand.touch("#arrived button").await;
        for (supplier, stream, gross) in [
            ("Hearth bakery", "bread", "20.0 lb"),
            ("Corner grocer", "lettuce-trim", "25.0 lb"),
        ] {
            hand.page("/weigh").await;
            hand.choose("#suppliers", "other").await;
            hand.choose("#streams", "other").await;
            hand.fill(&[("supplier_other", supplier), ("stream_other", stream)])
                .await;
            hand.touch(PAIL).await;
            hand.weight(gross).await;
            hand.keep().await;
        }

        // A lot is tested and part of it sent away, from its card.
        hand.counted(5, "a moisture test", async {
            hand.card("dried", "wet").await;
            hand.fill(&[("wet", "100"), ("dry", "24")]).await;
            hand.keep().await;
        })
        .await;
        hand.counted(4, "sent away", async {
            hand.card("away", "to").await;
            hand.touch("label:has([name=to][value=composted])").await;
            hand.fill(&[("weight", "1.0 lb")]).await;
            hand.keep().await;
        })
        .await;

        // The evening: a sheet kept, its lines ticked, one taken otherwise.
        hand.page("/").await;
        hand.browser.picture(&format!("day-evening-{at}")).await;
        hand.page("/tonight").await;
        hand.touch("form[action='/tonight'] button").await;
        hand.browser.until("document.querySelector('#fed')").await;
        hand.browser.picture(&format!("day-sheet-{at}")).await;
        let lines = hand
            .browser
            .run("return document.querySelectorAll('.tick input').length")
            .await;
        assert!(lines.as_u64().is_some_and(|lines| lines > 0), "{lines}");
        for line in 0..lines.as_u64().unwrap_or_default() {
            let tick = format!("document.querySelectorAll('.tick input')[{line}].click()");
            hand.browser.run(&tick).await;
        }
        hand.keep().await;

        // Larvae come off, money is written down, the month before is closed.
        hand.page("/harvest").await;
        hand.touch("label:has([name=cohort][value='H1'])").await;
        hand.fill(&[
            ("larvae", "20 lb"),
            ("sample_count", "100"),
            ("sample_g", "15.2"),
        ])
        .await;
        hand.keep().await;
        hand.page("/money").await;
        hand.fill(&[("item", "sold-live"), ("amount", "60"), ("weight", "12 lb")])
            .await;
        hand.keep().await;
        hand.page("/month").await;
        hand.browser.picture(&format!("day-month-{at}")).await;
        hand.page("/check").await;
        assert_eq!(
            hand.browser
                .run("return document.querySelectorAll('main .good').length")
                .await,
            json!(1)
        );
        hand.page("/day").await;
        hand.browser.picture(&format!("day-records-{at}")).await;
        drop(dock);
        hand.browser.client.clone().close().await.expect("closed");
        // The terminal tells the same book: nothing was lost, nothing stands twice.
        let stock = farm.json(&["stock"]);
        assert!(
            stock.as_array().is_some_and(|lots| lots.len() <= 5),
            "{stock}"
        );
        let day = farm.json(&[]);
        assert_eq!(
            (&day["loads"], &day["refused_loads"], &day["fed"]),
            (&json!(5), &json!(1), &json!(true)),
            "{day}"
        );
    });
}

#[test]
fn a_day_is_lived_on_a_tablet_in_english() {
    lived(1024, 768, "en");
}

#[test]
fn a_day_is_lived_on_a_phone_in_spanish() {
    lived(390, 844, "es");
}
