//! Pages as they look: clear to everyone, and on paper.

use fantoccini::wd::{PrintConfiguration, PrintMargins, PrintSize};
use serde_json::{Value, json};

use super::browser_support::{Browser, in_time};
use super::dock_support::Farm;
use super::used_farm;

/// Every control's height and width, of those that are seen.
/// How much of what was shown moved by itself while the page came up, as the
/// browser counts it (cumulative layout shift).
const SHIFTED: &str = "
    const done = arguments[arguments.length - 1];
    let sum = 0;
    new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) if (!entry.hadRecentInput) sum += entry.value;
    }).observe({ type: 'layout-shift', buffered: true });
    setTimeout(() => done(sum), 100);
";
const SMALL_TARGETS: &str = "return [...document.querySelectorAll('a, button, summary, select, .tile, input:not([type=hidden], [type=radio], .tile input)')]
    .filter((e) => e.checkVisibility() && !e.closest('.skip'))
    .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect(), innerWidth < 700 && e.closest('header.bar') ? 56 : 72])
    .filter(([, r, wide]) => r.width > 2 && (r.height < 72 || r.width < wide)).map(([text, r]) => `${r.width} x ${r.height}: ${text}`)";

/// Ids that are read where people say a name.
const IDS: &str =
    "return (document.body.innerText.match(/(spent-grain|plum-culls)(?!-)/g) ?? []).join(' ')";

const AXE: &str = "const done = arguments[arguments.length - 1];
    axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], rules: { 'color-contrast-enhanced': { enabled: true } } })
    .then((found) => done({ passes: found.passes.map((one) => one.id), faults: found.violations.map((one) => `${one.impact} ${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`) }), (error) => done({ passes: [], faults: [String(error)] }));";

/// What is not clear to everyone of a page as it stands.
async fn unclear(browser: &Browser, at: &str) -> Vec<String> {
    let axe = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/browser/node_modules/axe-core/axe.min.js");
    let axe =
        std::fs::read_to_string(&axe).unwrap_or_else(|error| panic!("{}: {error}", axe.display()));
    browser.run(&axe).await;
    let told = browser.client.execute_async(AXE, Vec::new()).await;
    let told = told.expect("axe");
    let passes = told["passes"].as_array().expect("passes");
    assert!(
        passes.contains(&json!("color-contrast-enhanced")),
        "{at}: contrast was not looked at"
    );
    let small = browser.run(SMALL_TARGETS).await;
    let texts = |list: &Value| list.as_array().expect("a list").clone();
    let mut faults: Vec<_> = texts(&told["faults"])
        .iter()
        .map(|fault| format!("{at}: {fault}"))
        .collect();
    faults.extend(
        texts(&small)
            .iter()
            .map(|fault| format!("{at}: small {fault}")),
    );
    let wide = browser
        .run("return document.documentElement.scrollWidth > innerWidth")
        .await;
    if wide == json!(true) {
        faults.push(format!("{at}: wider than the screen"));
    }
    faults
}

/// That nothing of it is unclear.
pub(super) async fn assert_clear(browser: &Browser, at: &str) {
    let faults = unclear(browser, at).await;
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn pages_are_clear_to_everyone_at_every_width_and_look() {
    in_time(async {
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
                    "/weigh",
                    "/stock",
                    "/lot?lot=1",
                    "/office",
                    "/tonight",
                    "/cohorts",
                    "/cohort/H1",
                    "/cohorts/add",
                    "/harvest",
                    "/discard?lot=1",
                    "/undo?record=r3&back=/",
                    "/month",
                    "/money",
                    "/month/close",
                    "/correct?lot=1",
                    "/settings",
                    "/containers",
                    "/streams",
                    "/day",
                    "/check",
                    "/ahead",
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
                            "http://localhost:{}{path}{more}look={look}&lang={lang}",
                            dock.port
                        ))
                        .await;
                    let path_alone = path.split('?').next().unwrap_or(path);
                    let name = path_alone.trim_matches('/').replace('/', "-");
                    browser
                        .picture(&format!(
                            "{}-{look}-{width}",
                            if name.is_empty() { "today" } else { &name }
                        ))
                        .await;
                    // Before anything is unfolded here, which moves what is below.
                    let shifted = browser.client.execute_async(SHIFTED, Vec::new()).await;
                    let shifted = shifted.expect("a sum").as_f64().expect("a number");
                    if shifted > 0.05 {
                        faults.push(format!("{at}: what was there moved by {shifted}"));
                    }
                    // What is folded away is looked at too.
                    browser
                        .run("document.querySelectorAll('details').forEach((more) => { more.open = true; })")
                        .await;
                    let ids = browser.run(IDS).await;
                    if ids != json!("") {
                        faults.push(format!("{at}: streams by their ids: {ids}"));
                    }
                    faults.extend(unclear(&browser, &at).await);
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
        // So little bread that no mix serves all three groups: the longest sheet.
        let farm = Farm::new();
        for (cohort, days) in [("H1", 9), ("H2", 2), ("H3", 13)] {
            farm.cohort_of(cohort, days);
        }
        let dock = farm.dock();
        let tablet = dock.tablet();
        for (nth, stream, gross) in [(1, "spent-grain", "36 lb"), (2, "bread", "4 lb")] {
            let id = format!("auto-00000000three{nth}");
            let sent = json!({"id": id, "supplier": "Quay brewery", "stream": stream, "gross": gross, "container": "pail"});
            assert_eq!(tablet.post(&dock, "/api/weigh", &sent).status, 200);
        }
        let kept = tablet.post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
        assert_eq!(kept.status, 200);
        let groups = kept.json()["groups"].as_array().map(Vec::len);
        assert_eq!(groups, Some(3), "{kept:?}");
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
                let pdf = browser.print(&paper).await;
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
                assert_eq!(boxes.len(), 1, "{path} {name}: pages");
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
