//! How soon a touch is answered, on a tablet a quarter as fast as this machine.
//! Prints what it measured; nothing is asserted of time, which machines share.

use serde_json::json;

use super::browser_support::{Browser, within};
use super::used_farm;

/// Marks what can be touched and gives each its name; what opens a dialog of the
/// browser or saves a file answers outside the page.
const MARKED: &str = "
    const can = [...document.querySelectorAll('button, summary, a[href], label:has(input[type=radio], input[type=checkbox])')]
        .filter((one) => one.checkVisibility() && !one.closest('.skip') && !one.matches('[download], [data-do=print]'));
    can.forEach((one, at) => { one.dataset.tap = at; });
    return can.map((one) => `${one.localName} ${one.innerText.trim().replace(/\\s+/g, ' ').slice(0, 40)}`);
";
/// Notes when a touch begins, and how long the browser took to paint after it (less
/// than two frames is not told). The next page finds it too.
const WATCHED: &str = "
    sessionStorage.clear();
    new PerformanceObserver((list) => {
        const longest = Math.max(Number(sessionStorage.getItem('painted')), ...list.getEntries().map((one) => one.duration));
        sessionStorage.setItem('painted', longest);
    }).observe({ type: 'event', durationThreshold: 16 });
    addEventListener('pointerdown', () => sessionStorage.setItem('tapped', Date.now()), true);
    window.before = true;
";
/// Milliseconds until this page showed that it was touched, and until the next one
/// stood there, where one came.
const ANSWERED: &str = "
    const first = performance.getEntriesByName('first-contentful-paint')[0];
    const next = performance.timeOrigin + (first?.startTime ?? 0) - Number(sessionStorage.getItem('tapped'));
    return [Number(sessionStorage.getItem('painted')), window.before ? null : Math.round(next)];
";

#[test]
#[ignore = "prints times, minutes"]
#[expect(clippy::print_stdout, reason = "times are what it is run for")]
fn every_touch_and_how_soon_it_is_answered() {
    within(40, async {
        let farm = used_farm();
        let dock = farm.dock();
        let tablet = dock.tablet();
        let kept = tablet.post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
        assert_eq!(kept.status, 200);
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/", dock.port))
            .await;
        browser.slowed(4).await;
        for path in ["/", "/weigh", "/stock", "/tonight", "/office"] {
            let page = format!("http://localhost:{}{path}", dock.port);
            browser.goto(&page).await;
            let names = browser.run(MARKED).await;
            let names = names.as_array().expect("a list").clone();
            let (mut took, mut pages) = (Vec::new(), Vec::new());
            for (at, name) in names.iter().enumerate() {
                let one = format!("[data-tap='{at}']");
                let mut tries = Vec::new();
                // A slow one may be the machine's: of three the middle one counts.
                while tries.is_empty() || (tries.len() < 3 && tries[0] > 100.0) {
                    browser.goto(&page).await;
                    browser.stands_whole().await;
                    browser.run(MARKED).await;
                    browser.run(WATCHED).await;
                    let is_there = format!("return Boolean(document.querySelector({one:?}))");
                    if browser.run(&is_there).await != json!(true) {
                        break;
                    }
                    browser.touch(&one).await;
                    tokio::time::sleep(std::time::Duration::from_millis(1500)).await;
                    let told = browser.run(ANSWERED).await;
                    tries.push(told[0].as_f64().unwrap_or(f64::NAN));
                    pages.extend(told[1].as_f64());
                }
                tries.sort_by(f64::total_cmp);
                let Some(ms) = tries.get(tries.len() / 2) else {
                    continue;
                };
                let name = name.as_str().unwrap_or_default();
                took.push((*ms, name.to_owned()));
            }
            pages.sort_by(f64::total_cmp);
            if let (Some(half), Some(most)) = (pages.get(pages.len() / 2), pages.last()) {
                println!(
                    "{path}: {} led to a page, half there within {half:.0} ms, all within {most:.0}",
                    pages.len()
                );
            }
            took.sort_by(|a, b| b.0.total_cmp(&a.0));
            let slow = took.iter().filter(|(ms, _)| *ms > 100.0).count();
            let half = took.get(took.len() / 2).map_or(0.0, |(ms, _)| *ms);
            println!(
                "{path}: {} touches, {slow} above 100 ms, half within {half:.0} ms",
                took.len()
            );
            for (ms, name) in took.iter().take(4) {
                println!("  {ms:>5.0} ms {name}");
            }
        }
        browser.client.clone().close().await.expect("closed");
    });
}
