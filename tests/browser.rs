//! The dock page in a real browser. Needs Debian's `chromium` and
//! `chromium-driver`, and axe-core under `target/browser` (`tests/run` brings
//! them); built only with the feature `browser-tests`.

mod browser_support;
mod dock_support;

use std::time::Duration;

use browser_support::{Browser, in_time};
use dock_support::{Farm, bucket};
use fantoccini::key::Key;
use fantoccini::wd::{PrintConfiguration, PrintMargins, PrintSize};
use serde_json::json;

/// A farm with a few tickets, so that there are tiles.
fn used_farm() -> Farm {
    let farm = Farm::new();
    for (no, supplier, stream) in [
        (1, "Corner grocer", "plum-culls"),
        (2, "Quay brewery", "spent-grain"),
        (3, "Hearth bakery", "bread"),
    ] {
        let ticket = format!("auto-seed{no}");
        farm.run(&[
            "weigh",
            "--ticket",
            &ticket,
            "--supplier",
            supplier,
            "--stream",
            stream,
            "--gross",
            "30lb",
            "--container",
            "pail",
        ]);
    }
    farm.cohort("H1");
    farm
}

const BREWERY: &str = "#suppliers label:has(input[value='Quay brewery'])";
const GRAIN: &str = "#streams label:has(input[value='spent-grain'])";
const IS_DONE: &str = "!document.querySelector('#done').hidden";

#[test]
fn three_touches_and_a_scale_weigh_a_bucket_in() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{}/", dock.port))
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
        assert_eq!(browser.text("[data-show=net]").await, "25.7 lb (11.66 kg)");
        assert_eq!(
            browser.text(".done .verdict").await.to_lowercase().trim(),
            "feed"
        );
        assert!(
            browser
                .text(".done .put")
                .await
                .contains("feed stock, oldest in front")
        );
        assert_eq!(farm.lots().len(), 4);
        // One touch undoes it; the ticket stays in the book, struck.
        browser.touch("[data-do=undo] button").await;
        browser
            .until("document.querySelector('#told').textContent.includes('Undone')")
            .await;
        assert_eq!(farm.lots().len(), 3);
        // The same bucket twice within three seconds is asked about.
        for press in 0..2 {
            browser.touch(BREWERY).await;
            browser.touch(GRAIN).await;
            browser.types("31.0 lb\n").await;
            browser.touch("#keep").await;
            if press == 0 {
                browser.until(IS_DONE).await;
                browser.touch("[data-do=next]").await;
            }
        }
        browser
            .until("document.querySelector('#told').textContent.includes('twice')")
            .await;
        assert_eq!(farm.lots().len(), 4);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn an_entry_waits_on_the_tablet_until_the_book_is_back() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let browser = Browser::open(1280, 800).await;
        browser.goto(&format!("http://localhost:{port}/")).await;
        dock.kill();
        for gross in ["20.0 lb\n", "21.0 lb\n"] {
            browser.touch(BREWERY).await;
            browser.touch(GRAIN).await;
            browser.types(gross).await;
            browser.touch("#keep").await;
            browser.until("!document.querySelector('#waiting').hidden && !document.querySelector('#keep').disabled").await;
        }
        browser
            .until("document.querySelector('#count').textContent === '2'")
            .await;
        browser.picture("waiting-1280").await;
        assert_eq!(farm.lots().len(), 3);
        // The program is back, with new tokens: the page finds its way by itself.
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        browser
            .until("document.querySelector('#waiting').hidden")
            .await;
        assert_eq!(farm.lots().len(), 5);
        // An answer that got lost: the entry is sent again and kept once.
        let sent = farm.lots();
        let id = "auto-00000000000000000001";
        let tablet = dock.tablet();
        assert_eq!(
            tablet
                .post(&dock, "/api/weigh", &bucket(id, "22 lb"))
                .status,
            200
        );
        let entry =
            json!({"id": id, "entered_at": "2026-01-01T00:00:00Z", "fields": bucket(id, "22 lb")});
        let put = format!(
            "localStorage.setItem('trayful.wait.{id}', {}); location.reload()",
            json!(entry.to_string())
        );
        browser.run(&put).await;
        browser.until("document.readyState === 'complete' && !localStorage.getItem('trayful.wait.auto-00000000000000000001')").await;
        assert_eq!(farm.lots().len(), sent.len() + 1);
        // The same id with another content needs a person, and says so.
        let entry =
            json!({"id": id, "entered_at": "2026-01-01T00:00:00Z", "fields": bucket(id, "29 lb")});
        let put = format!(
            "localStorage.setItem('trayful.wait.{id}', {}); location.reload()",
            json!(entry.to_string())
        );
        browser.run(&put).await;
        browser.until("document.querySelector('#waiting .out')?.textContent.includes('is in the book as record')").await;
        browser.picture("conflict-1280").await;
        assert_eq!(farm.lots().len(), sent.len() + 1);
        browser.client.clone().close().await.expect("closed");
    });
}

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
        browser.goto(&format!("http://localhost:{port}/")).await;
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
                .contains("sharps")
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
        let pause = || tokio::time::sleep(Duration::from_millis(200));
        browser.reach("[name=cohort]").await;
        browser.types(" ").await;
        pause().await;
        browser.reach("#larvae").await;
        for key in ["2", "0", ".", "4"] {
            browser.types(key).await;
            tokio::time::sleep(Duration::from_millis(90)).await;
        }
        browser.reach("[name=last]").await;
        browser.types(" ").await;
        pause().await;
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
        tokio::time::sleep(Duration::from_millis(200)).await;
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

#[test]
fn a_narrow_page_is_used_by_keyboard_alone() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(360, 740).await;
        browser
            .goto(&format!("http://localhost:{}/", dock.port))
            .await;
        browser.reach("#suppliers input").await;
        browser.types(" ").await;
        tokio::time::sleep(Duration::from_millis(200)).await;
        browser.reach("#streams input").await;
        browser.types(" ").await;
        tokio::time::sleep(Duration::from_millis(200)).await;
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

/// Every control's height and width, of those that are seen.
const SMALL_TARGETS: &str = "return [...document.querySelectorAll('a, button, summary, select, .tile, input:not([type=hidden], [type=radio], .tile input)')]
    .filter((e) => e.checkVisibility() && !e.closest('.skip'))
    .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])
    .filter(([, r]) => r.width > 2 && (r.height < 72 || r.width < 72)).map(([text, r]) => `${r.width} x ${r.height}: ${text}`)";

const AXE: &str = "const done = arguments[arguments.length - 1];
    axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], rules: { 'color-contrast-enhanced': { enabled: true } } })
    .then((found) => done({ passes: found.passes.map((one) => one.id), faults: found.violations.map((one) => `${one.impact} ${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`) }), (error) => done({ passes: [], faults: [String(error)] }));";

#[test]
fn pages_are_clear_to_everyone_at_every_width_and_look() {
    in_time(async {
        let axe = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("target/browser/node_modules/axe-core/axe.min.js");
        let axe = std::fs::read_to_string(&axe)
            .unwrap_or_else(|error| panic!("{}: {error}", axe.display()));
        let farm = used_farm();
        farm.cohort("H0");
        let dock = farm.dock();
        let tablet = dock.tablet();
        assert_eq!(
            tablet
                .post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}))
                .status,
            200
        );
        for (id, cohort, last) in [
            ("auto-00000000seedh1", "H0", "yes"),
            ("auto-00000000seedh2", "H1", ""),
        ] {
            let harvest = json!({"id": id, "cohort": cohort, "larvae": "20 lb", "sample_count": "100",
                "sample_g": "15.2", "residue": "25 lb", "last": last});
            assert_eq!(tablet.post(&dock, "/api/harvest", &harvest).status, 200);
        }
        for (id, item, amount) in [
            ("auto-00000000seedm1", "sold-live", "60"),
            ("auto-00000000seedm2", "energy", "75"),
        ] {
            let money = json!({"id": id, "item": item, "amount": amount, "weight": "40 lb"});
            assert_eq!(tablet.post(&dock, "/api/money", &money).status, 200);
        }
        let mut faults = Vec::new();
        for (width, height) in [(360, 740), (1280, 800)] {
            let browser = Browser::open(width, height).await;
            for look in ["light", "dark"] {
                for path in [
                    "/",
                    "/stock",
                    "/tonight",
                    "/cohorts",
                    "/cohort/H1",
                    "/harvest",
                    "/month",
                    "/money",
                    "/learn",
                    "/mixes",
                    "/trace?of=1",
                    "/statement",
                    "/labels",
                    "/pin",
                ] {
                    let lang = if look == "dark" { "es" } else { "en" };
                    let at = format!("{path} {look} {width}");
                    let more = if path.contains('?') { '&' } else { '?' };
                    browser
                        .goto(&format!(
                            "http://localhost:{}{path}{more}look={look}",
                            dock.port
                        ))
                        .await;
                    browser
                        .goto(&format!(
                            "http://localhost:{}{path}{more}lang={lang}",
                            dock.port
                        ))
                        .await;
                    let path_alone = path.split('?').next().unwrap_or(path);
                    let name = path_alone.trim_matches('/').replace('/', "-");
                    browser
                        .picture(&format!(
                            "{}-{look}-{width}",
                            if name.is_empty() { "weigh" } else { &name }
                        ))
                        .await;
                    // What is folded away is looked at too.
                    browser
                        .run("document.querySelectorAll('details').forEach((more) => { more.open = true; })")
                        .await;
                    browser.run(&axe).await;
                    let told = browser
                        .client
                        .execute_async(AXE, Vec::new())
                        .await
                        .expect("axe");
                    let passes = told["passes"].as_array().expect("passes");
                    assert!(
                        passes.contains(&json!("color-contrast-enhanced")),
                        "{at}: contrast was not looked at"
                    );
                    faults.extend(
                        told["faults"]
                            .as_array()
                            .expect("faults")
                            .iter()
                            .map(|fault| format!("{at}: {fault}")),
                    );
                    let small = browser.run(SMALL_TARGETS).await;
                    faults.extend(
                        small
                            .as_array()
                            .expect("a list")
                            .iter()
                            .map(|fault| format!("{at}: small {fault}")),
                    );
                    let wide = browser
                        .run("return document.documentElement.scrollWidth > innerWidth")
                        .await;
                    if wide == json!(true) {
                        faults.push(format!("{at}: wider than the screen"));
                    }
                }
            }
            browser.client.clone().close().await.expect("closed");
        }
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
}

#[test]
fn the_sheet_and_the_labels_print_on_both_papers() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let tablet = dock.tablet();
        let kept = tablet.post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
        assert_eq!(kept.status, 200);
        let browser = Browser::open(1280, 800).await;
        let margin = PrintMargins {
            top: 1.2,
            bottom: 1.5,
            left: 1.4,
            right: 1.4,
        };
        for path in ["tonight", "labels"] {
            browser
                .goto(&format!("http://localhost:{}/{path}?look=dark", dock.port))
                .await;
            // Points, as the PDF says them.
            for (name, size, wide, high) in [
                ("a4", PrintSize::A4, "595", "842"),
                ("letter", PrintSize::US_LETTER, "612", "792"),
            ] {
                let paper = PrintConfiguration::builder()
                    .size(size)
                    .margins(margin.clone())
                    .build()
                    .expect("a paper");
                let pdf = browser.client.print(paper).await.expect("a PDF");
                let text = String::from_utf8_lossy(&pdf);
                let near = |number: &str, wanted: &str| {
                    let number: f64 = number.parse().expect("a number");
                    (number - wanted.parse::<f64>().expect("a number")).abs() < 1.0
                };
                let boxes: Vec<&str> = text
                    .split("/MediaBox [")
                    .skip(1)
                    .filter_map(|rest| rest.split(']').next())
                    .collect();
                assert!(
                    (1..=2).contains(&boxes.len()),
                    "{path} {name}: {} pages",
                    boxes.len()
                );
                let sides: Vec<&str> = boxes[0].split(' ').collect();
                assert!(
                    near(sides[2], wide) && near(sides[3], high),
                    "{path} {name}: {sides:?}"
                );
                let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                    .join("target/browser/pictures");
                std::fs::create_dir_all(&folder).expect("a folder");
                std::fs::write(folder.join(format!("{path}-{name}.pdf")), &pdf).expect("written");
            }
        }
        browser.client.clone().close().await.expect("closed");
    });
}
