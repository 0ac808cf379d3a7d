//! What waits on the tablet, and what becomes of it.

use serde_json::json;

use super::browser_support::{Browser, in_time};
use super::dock_support::bucket;
use super::{BREWERY, GRAIN, used_farm};

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
        browser.until("document.querySelector('#waiting .out')?.textContent.includes('is in the book as record')").await;
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
        browser.touch(BREWERY).await;
        browser.touch(GRAIN).await;
        browser.types("20.0 lb\n").await;
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
        browser.touch("#arrived button:nth-of-type(2)").await;
        browser
            .until("document.querySelector('#waiting').hidden")
            .await;
        assert_eq!(farm.lots().len(), 3, "undone where it was told");
        drop(dock);
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
            "localStorage.setItem('trayful.wait.a', '{{\"id\":'); localStorage.setItem('trayful.wait.b', '7'); {} {} location.reload()",
            entry("auto-00000000000000000001", "22 lb"),
            entry("auto-00000000000000000002", "1.5 lb"),
        );
        browser.run(&put).await;
        browser
            .until("document.readyState === 'complete' && !localStorage.getItem('trayful.wait.auto-00000000000000000001')")
            .await;
        browser
            .until("document.querySelector('#left .out + button, #left') && document.querySelector('#count').textContent === '3'")
            .await;
        browser
            .until("document.querySelector('#left').textContent.includes('net weight is zero')")
            .await;
        browser.picture("spoilt-1024").await;
        assert_eq!(farm.lots().len(), 4);
        // Put back in the form, a reload loses nothing; it is kept once.
        let again = "[...document.querySelectorAll('#left button')].find((one) => one.textContent === 'Put back in the form')";
        browser.run(&format!("{again}.click()")).await;
        browser
            .until("document.querySelector('#gross').value === '1.5 lb'")
            .await;
        browser.run("location.reload()").await;
        browser
            .until("document.readyState === 'complete' && document.querySelector('#gross').value === '1.5 lb' && document.querySelector('#count').textContent === '3'")
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
            .until("document.querySelector('#count').textContent === '2'")
            .await;
        // What can't be read is taken off at the second press.
        for left in ["1", "0"] {
            browser.touch("#left button").await;
            browser.touch("#left button").await;
            browser
                .until(&format!(
                    "document.querySelector('#count').textContent === '{left}'"
                ))
                .await;
        }
        browser.client.clone().close().await.expect("closed");
    });
}
