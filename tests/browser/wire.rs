//! A scale on a wire and the page beside it: no keyboard.

use super::browser_support::{Browser, in_time};
use super::scale_support::SimulatedScale;
use super::{BREWERY, GRAIN, IS_DONE, used_farm};

const PAIL: &str = ".tares label:has(input[value='pail'])";
const BUCKETS: i64 = 100;

#[test]
fn a_hundred_buckets_are_weighed_by_touch_alone() {
    in_time(async {
        let farm = used_farm();
        let scale = SimulatedScale::streaming(&farm.path(""), "scale");
        let dock = farm.dock_with(&["--scale", &format!("dock={}", scale.port())]);
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        for tile in [BREWERY, GRAIN, PAIL] {
            browser.touch(tile).await;
        }
        let mut grams = Vec::new();
        for bucket in 0..BUCKETS {
            let load = 9_000 + 37 * (bucket * 31 % BUCKETS);
            grams.push(load - 680);
            scale.load(load);
            let text = format!("{}.{:03} kg", load / 1000, load % 1000);
            browser
                .until(&format!("document.querySelector('#gross').value === '{text}' && document.querySelector('#done').hidden"))
                .await;
            if bucket == 1 {
                browser.picture("wire-steady").await;
            }
            browser.touch("#keep").await;
            browser.until(IS_DONE).await;
            // Lifted off: the weight is gone from the scale before the next one.
            scale.load(0);
            let empty = "document.querySelector('.wire.empty')";
            browser.until(empty).await;
        }
        let lots = farm.lots();
        let mut nets: Vec<i64> = (lots.iter())
            .filter(|lot| lot["supplier"] == "Quay brewery")
            .filter_map(|lot| lot["on_hand_g"].as_i64())
            .collect();
        // The farm's own first bucket was typed in.
        grams.push(30 * 453_592 / 1000 - 680);
        nets.sort_unstable();
        grams.sort_unstable();
        let apart = nets
            .iter()
            .zip(&grams)
            .filter(|(seen, put)| (*seen - *put).abs() > 1);
        assert_eq!(
            (nets.len(), apart.count()),
            (grams.len(), 0),
            "{nets:?} {grams:?}"
        );
        let month = jiff::Timestamp::now()
            .in_tz("America/Denver")
            .expect("a zone");
        let month = month.strftime("%Y-%m").to_string();
        let told = farm.json(&["statement", "Quay brewery", &month]);
        let tickets = told["tickets"].as_array().expect("tickets");
        let sent = tickets.iter().filter(|ticket| ticket["scale"] == "dock");
        assert_eq!(sent.count(), usize::try_from(BUCKETS).expect("a count"));
    });
}

#[test]
fn a_weight_that_moves_is_never_in_the_field_and_a_hand_may_type_over_it() {
    in_time(async {
        let farm = used_farm();
        let scale = SimulatedScale::streaming(&farm.path(""), "scale");
        let dock = farm.dock_with(&["--scale", &format!("dock={}", scale.port())]);
        for (width, height) in [(1024, 768), (390, 844)] {
            let browser = Browser::open(width, height).await;
            scale.load(12_000);
            browser
                .goto(&format!("http://localhost:{}/weigh", dock.port))
                .await;
            browser
                .until("document.querySelector('#gross').value === '12.000 kg'")
                .await;
            scale.load(15_000);
            browser
                .until("!document.querySelector('.wire.steady')")
                .await;
            let held = browser.run("return document.querySelector('#gross').value + document.querySelector('[name=reading]').value").await;
            assert!(
                held == "" || held.as_str().is_some_and(|held| held.starts_with("15.000")),
                "{held}"
            );
            browser
                .until("document.querySelector('#gross').value === '15.000 kg'")
                .await;
            browser.picture(&format!("wire-{width}")).await;
            browser.run("const gross = document.querySelector('#gross'); gross.value = '9 lb'; gross.dispatchEvent(new Event('input', { bubbles: true })); gross.dispatchEvent(new Event('change', { bubbles: true }));").await;
            scale.load(16_000);
            browser
                .until("document.querySelector('.wire.steady output')?.textContent === '16.000 kg'")
                .await;
            let held = browser.run("return document.querySelector('#gross').value + document.querySelector('[name=reading]').value").await;
            assert_eq!(held, "9 lb");
        }
    });
}
