//! What waits on the tablet, and what becomes of it.

use serde_json::{Value, json};

use super::browser_support::{Browser, in_time};
use super::clear::assert_clear;
use super::dock_support::bucket;
use super::{BREWERY, used_farm, weighs_grain};

#[test]
fn an_entry_waits_on_the_tablet_until_the_book_is_back() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let browser = Browser::open(1280, 800).await;
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        dock.kill();
        for gross in ["20.0 lb\n", "21.0 lb\n"] {
            weighs_grain(&browser, gross).await;
            browser.touch("#keep").await;
            browser.until("!document.querySelector('#waiting').hidden && !document.querySelector('#keep').disabled").await;
        }
        let told = waiting(&browser, 2).await;
        for gross in ["20.0", "21.0"] {
            let line = format!("{gross} lb with container · Spent grain");
            assert!(told.contains(&line), "{told}");
        }
        let holds = told.matches("Hold this bucket aside until its answer comes");
        assert_eq!(
            holds.count(),
            2,
            "where a bucket goes that has no answer yet: {told}"
        );
        browser.picture("waiting-1280").await;
        assert_clear(&browser, "waiting").await;
        assert_eq!(farm.lots().len(), 3);
        // The program is back, with new tokens: the page finds its way by itself.
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        browser
            .until("document.querySelector('#count').textContent === '0'")
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
        browser.until("document.querySelector('#waiting .out')?.textContent.includes('is in the book already, as record')").await;
        browser.picture("conflict-1280").await;
        assert_eq!(farm.lots().len(), sent.len() + 1);
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_late_entry_s_verdict_stays_until_it_was_seen() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let port = dock.port;
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        dock.kill();
        weighs_grain(&browser, "20.0 lb\n").await;
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#count').textContent === '1' && !document.querySelector('#away').hidden")
            .await;
        let listed = browser.text("#left").await;
        assert!(!listed.contains('Z') && !listed.contains("202"), "{listed}");
        // A link leads nowhere now, so the page stays with what is on it.
        browser.touch(BREWERY).await;
        browser.touch("nav a[href='/stock']").await;
        browser
            .until("location.pathname === '/weigh' && document.querySelector('[name=supplier]:checked')")
            .await;
        browser.picture("away-1024").await;
        let dock = farm.dock_with(&["--port", &port.to_string()]);
        // Sent from any page, and shown there.
        browser
            .goto(&format!("http://localhost:{port}/stock"))
            .await;
        browser
            .until("document.querySelector('#arrived .card')")
            .await;
        browser.picture("arrived-1024").await;
        let card = browser.text("#arrived").await;
        for told in ["Ticket 4", "18.5 lb", "feed", "Quay brewery"] {
            assert!(card.contains(told), "{told}: {card}");
        }
        browser
            .goto(&format!("http://localhost:{port}/weigh"))
            .await;
        browser
            .until("document.querySelector('#arrived .card')")
            .await;
        browser
            .until("document.querySelector('[name=supplier]:checked') && document.querySelector('#away').hidden")
            .await;
        browser.touch("#arrived li button").await;
        browser
            .until("document.querySelector('#waiting').hidden")
            .await;
        assert_eq!(farm.lots().len(), 3, "undone where it was told");
        drop(dock);
        browser.client.clone().close().await.expect("closed");
    });
}

/// Has entries wait: each an id, how many minutes, and its fields.
fn put(entries: &[(&str, i64, Value)]) -> String {
    let entries = json!(entries);
    format!(
        "for (const [id, minutes, fields] of {entries}) {{
            const entered_at = new Date(Date.now() - minutes * 60000).toISOString();
            localStorage.setItem(`trayful.wait.${{id}}`, JSON.stringify({{ id, entered_at, fields }}));
        }}
        location.reload()"
    )
}

/// What is told of so many entries that wait.
async fn waiting(tablet: &Browser, count: usize) -> String {
    let counted = format!("document.querySelector('#count').textContent === '{count}'");
    tablet.until(&counted).await;
    tablet.text("#left").await
}

#[test]
fn a_waiting_weight_is_told_as_its_answer_will_tell_it() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let address = format!("http://localhost:{}/weigh", dock.port);
        let (one, other) = (
            Browser::open(1024, 768).await,
            Browser::open(390, 844).await,
        );
        let net = "document.querySelector('#read strong')?.textContent === '18.5 lb'";
        for tablet in [&one, &other] {
            tablet.goto(&address).await;
            weighs_grain(tablet, "20.0 lb\n").await;
            tablet.until(net).await;
        }
        dock.kill();
        // The book had read it: what is left without the container.
        one.touch("#keep").await;
        let told = waiting(&one, 1).await;
        assert!(told.contains("18.5 lb · Spent grain"), "{told}");
        assert!(!told.contains("20.0") && !told.contains("pail"), "{told}");
        // Of another container it has not, and what it read before is gone.
        other.touch("label:has(input[value='=0'])").await;
        other
            .until("document.querySelector('#read').textContent === ''")
            .await;
        other.touch("label:has(input[value='pail'])").await;
        other.touch("#keep").await;
        let told = waiting(&other, 1).await;
        assert!(told.contains("20.0 lb with container · Spent"), "{told}");
        // A bare number has the farm's unit.
        other.touch("label:has(input[value='=0'])").await;
        other.type_into("#gross", "7").await;
        other.touch("#keep").await;
        let told = waiting(&other, 2).await;
        assert!(told.contains("7 lb · Spent grain"), "{told}");
        other.picture("waiting-390").await;
        for browser in [one, other] {
            browser.client.clone().close().await.expect("closed");
        }
    });
}

#[test]
fn what_was_sent_is_one_short_list_in_the_order_it_was_entered() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        for (width, height) in [(1024, 768), (390, 844)] {
            let browser = Browser::open(width, height).await;
            browser
                .goto(&format!("http://localhost:{}/weigh", dock.port))
                .await;
            let before = farm.lots().len();
            // Their ids are in no order, as ids made by dice are.
            let of = |at: usize| {
                let id = format!("auto-{width}0000000000000{}", 9 - at);
                let (supplier, stream) = match at {
                    2 => ("Corner grocer", "plum-culls"),
                    _ => ("Quay brewery", "spent-grain"),
                };
                let gross = format!("{}.{at} lb", width / 40);
                let fields = json!({"supplier": supplier, "stream": stream, "gross": gross, "container": "pail"});
                (id, 9 - i64::try_from(at).expect("small"), fields)
            };
            let of: Vec<_> = (0..5).map(of).collect();
            let entries: Vec<_> = of
                .iter()
                .map(|(id, at, of)| (id.as_str(), *at, of.clone()))
                .collect();
            browser.run(&put(&entries)).await;
            browser
                .until("document.querySelectorAll('#arrived li').length === 5")
                .await;
            browser.picture(&format!("sent-{width}")).await;
            assert_clear(&browser, &format!("sent {width}")).await;
            // Each weighs a tenth of a pound more than the one before it.
            let tenths = browser
                .run("return [...document.querySelectorAll('#arrived li')].map((row) => row.textContent.match(/Ticket \\d+ · \\d+\\.(\\d) lb/)[1]).join('')")
                .await;
            // What is no plain feed comes first, whatever the list hides of the others.
            let (first, others) = tenths.as_str().expect("tenths").split_at(1);
            assert_eq!(others, "56789".replace(first, ""));
            let shown = browser.text("#arrived li:first-child .verdict").await;
            assert!(shown.contains("pick out"), "{shown}");
            let others = browser.text("#arrived ul").await;
            assert_eq!(others.matches("pick out").count(), 1, "{others}");
            let apart = "const undo = [...document.querySelectorAll('#arrived li button')].map((one) => one.getBoundingClientRect());
                const ok = [...document.querySelectorAll('#arrived button')].filter((one) => one.textContent === 'OK').map((one) => one.getBoundingClientRect());
                return [undo.length, ok.length, Math.min(...undo.map((one) => Math.max(one.left - ok[0].right, ok[0].left - one.right, one.top - ok[0].bottom)))]";
            let apart = browser.run(apart).await;
            assert_eq!([&apart[0], &apart[1]], [&json!(5), &json!(1)]);
            assert!(
                apart[2].as_f64().is_some_and(|apart| apart >= 48.0),
                "{apart}"
            );
            let foot =
                "return document.querySelector('#suppliers .tile').getBoundingClientRect().bottom";
            let foot = browser.run(foot).await;
            assert!(
                foot.as_f64().is_some_and(|foot| foot <= f64::from(height)),
                "the form is off the screen: {foot}"
            );
            // One is taken back by itself; all others are seen by one touch.
            browser.touch("#arrived li:nth-child(2) button").await;
            browser
                .until("document.querySelectorAll('#arrived li').length === 4")
                .await;
            assert_eq!(farm.lots().len(), before + 4);
            browser.touch("#arrived button").await;
            browser
                .until("document.querySelector('#waiting').hidden")
                .await;
            assert_eq!(farm.lots().len(), before + 4);
            browser.client.clone().close().await.expect("closed");
        }
    });
}

#[test]
fn what_needs_a_person_stands_apart_and_an_old_entry_is_not_saved_by_a_touch() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        let empty = |minutes| ("1.5 lb", minutes);
        let entries: Vec<_> = [empty(5), empty(3 * 24 * 60)]
            .iter()
            .zip(["auto-00000000000000000001", "auto-00000000000000000002"])
            .map(|((gross, minutes), id)| (id, *minutes, bucket(id, gross)))
            .collect();
        browser.run(&put(&entries)).await;
        let rows = "[...document.querySelectorAll('#look li')]";
        browser
            .until(&format!("{rows}.filter((row) => row.textContent.includes('net weight is zero')).length === 2"))
            .await;
        assert_eq!(browser.text("#look h2").await, "To look at: 2");
        let waits = "return document.querySelector('#left').checkVisibility()";
        assert_eq!(
            browser.run(waits).await,
            json!(false),
            "nothing waits to be sent"
        );
        // The older one stands first.
        let saves = format!(
            "return {rows}.map((row) => [row.textContent.includes('It is right, save it'), row.textContent.includes('ask the owner')])"
        );
        assert_eq!(
            browser.run(&saves).await,
            json!([[false, true], [true, false]])
        );
        browser.picture("look-1024").await;
        browser.touch("#look li:first-child button").await;
        browser
            .until("document.querySelector('#gross').value === '1.5 lb'")
            .await;
        assert_eq!(
            browser.run(&saves).await,
            json!([[false, true], [true, false]])
        );
        browser.client.clone().close().await.expect("closed");
    });
}

#[test]
fn a_spoilt_entry_holds_no_other_up_and_none_is_lost_in_the_form() {
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock();
        let browser = Browser::open(1024, 768).await;
        browser
            .goto(&format!("http://localhost:{}/weigh", dock.port))
            .await;
        let entry = |id: &str, gross: &str| {
            let entry = json!({"id": id, "entered_at": "2026-01-01T00:00:00Z", "fields": bucket(id, gross)});
            format!(
                "localStorage.setItem('trayful.wait.{id}', {});",
                json!(entry.to_string())
            )
        };
        let put = format!(
            "localStorage.setItem('trayful.wait.a', '{{\"id\":'); localStorage.setItem('trayful.wait.b', '7');
            localStorage.setItem('trayful.wait.c', '{{\"id\":\"c\",\"entered_at\":\"2026-01-01T00:00:00Z\",\"fields\":null}}');
            localStorage.setItem('trayful.wait.d', '{{\"id\":\"d\",\"entered_at\":\"2026-01-01T00:00:00Z\",\"fields\":{{\"supplier\":\"Quay brewery\",\"stream\":\"spent-grain\",\"gross\":\"22 lb\",\"cont');
            {} {} location.reload()",
            entry("auto-00000000000000000001", "22 lb"),
            entry("auto-00000000000000000002", "1.5 lb"),
        );
        browser.run(&put).await;
        browser
            .until("document.readyState === 'complete' && !localStorage.getItem('trayful.wait.auto-00000000000000000001')")
            .await;
        browser
            .until("document.querySelectorAll('#look li').length === 5")
            .await;
        browser
            .until("document.querySelector('#look').textContent.includes('net weight is zero')")
            .await;
        browser.picture("spoilt-1024").await;
        assert_clear(&browser, "spoilt").await;
        // What is known of it in people's words, and of two nothing.
        let told = browser.text("#look").await;
        let known = "22 lb · Spent grain, wet (brewers') · Quay brewery · ";
        let days = told.split_once(known).map(|(_, after)| after);
        assert!(
            days.is_some_and(|after| after.contains("days ago")),
            "{told}"
        );
        assert_eq!(
            told.matches("nothing of it can be read").count(),
            2,
            "{told}"
        );
        for raw in ["id", "7", "null"] {
            assert!(!told.split_whitespace().any(|word| word == raw), "{told}");
        }
        assert_eq!(farm.lots().len(), 4);
        // Put back in the form, a reload loses nothing; it is kept once.
        let again = "[...document.querySelectorAll('#look button')].find((one) => one.textContent === 'Put back in the form')";
        browser.run(&format!("{again}.click()")).await;
        browser
            .until("document.querySelector('#gross').value === '1.5 lb'")
            .await;
        browser.run("location.reload()").await;
        browser
            .until("document.readyState === 'complete' && document.querySelector('#gross').value === '1.5 lb' && document.querySelectorAll('#look li').length === 5")
            .await;
        browser.touch("#gross").await;
        browser.run("const gross = document.querySelector('#gross'); gross.value = '15 lb'; gross.dispatchEvent(new Event('input', { bubbles: true }))").await;
        browser.touch("#keep").await;
        browser
            .until("!document.querySelector('#done').hidden")
            .await;
        assert_eq!(farm.lots().len(), 5);
        browser.touch("[data-do=next]").await;
        browser
            .until("document.querySelectorAll('#look li').length === 4")
            .await;
        // What can't be read is taken off at the second press.
        for left in (0..4).rev() {
            browser.touch("#look button").await;
            browser.touch("#look button").await;
            browser
                .until(&format!(
                    "document.querySelectorAll('#look li').length === {left}"
                ))
                .await;
        }
        browser.client.clone().close().await.expect("closed");
    });
}
