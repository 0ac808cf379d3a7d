//! The page over TLS with a certificate of its own: it opens without the network.

use serde_json::json;
use sha2::{Digest, Sha256};

use super::browser_support::{Browser, in_time};
use super::{used_farm, weighs_grain};

/// As Chromium wants a digest: RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let bits = three
            .iter()
            .fold(0_u32, |bits, byte| bits << 8 | u32::from(*byte));
        let bits = bits << (8 * (3 - three.len()));
        for nth in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * nth)) as usize & 63];
            text.push(if nth > three.len() {
                '='
            } else {
                char::from(letter)
            });
        }
    }
    text
}

#[test]
fn base64_as_published() {
    for (bytes, text) in [
        ("f", "Zg=="),
        ("fo", "Zm8="),
        ("foo", "Zm9v"),
        ("foob", "Zm9vYg=="),
    ] {
        assert_eq!(base64(bytes.as_bytes()), text, "RFC 4648, section 10");
    }
}

#[test]
fn over_tls_the_page_opens_with_the_program_gone_and_what_is_entered_waits() {
    use rcgen::PublicKeyData;
    in_time(async {
        let farm = used_farm();
        let dock = farm.dock_with(&["--make-certificate"]);
        let port = dock.port.to_string();
        let key = std::fs::read_to_string(farm.path("farm.key.pem")).expect("a key");
        let key = rcgen::KeyPair::from_pem(&key).expect("a key");
        let trusted = base64(&Sha256::digest(key.subject_public_key_info()));
        let browser = Browser::open_trusting(1024, 768, &trusted).await;
        let weigh = format!("https://127.0.0.1:{port}/weigh");
        // By the address as it is typed, without the scheme's letter.
        browser
            .goto(&format!("http://127.0.0.1:{port}/weigh"))
            .await;
        browser
            .until("location.protocol === 'https:' && isSecureContext")
            .await;
        // Once the worker is there, a page is kept as it is opened.
        browser.until("navigator.serviceWorker.controller").await;
        browser.goto(&weigh).await;
        browser.until("document.querySelector('#gross')").await;
        dock.kill();
        browser.goto(&weigh).await;
        browser
            .until("!document.querySelector('#away').hidden")
            .await;
        weighs_grain(&browser, "20.0 lb\n").await;
        browser.touch("#keep").await;
        browser
            .until("document.querySelector('#count').textContent === '1'")
            .await;
        browser.picture("tls-away-1024").await;
        assert_eq!(farm.lots().len(), 3);
        let (cert, key) = (farm.path("farm.certificate.pem"), farm.path("farm.key.pem"));
        let files = [cert, key].map(|path| path.display().to_string());
        let args = [
            "--port",
            &port,
            "--certificate",
            &files[0],
            "--key",
            &files[1],
        ];
        let dock = farm.dock_with(&args);
        browser
            .until("document.querySelector('#count').textContent === '0'")
            .await;
        assert_eq!(farm.lots().len(), 4);
        let cookies = browser.client.get_all_cookies().await.expect("cookies");
        let secure = cookies.iter().map(|cookie| cookie.secure());
        assert!(
            secure.clone().count() > 0 && secure.eq(cookies.iter().map(|_| Some(true))),
            "{cookies:?}"
        );
        assert_eq!(
            browser.run("return location.protocol").await,
            json!("https:")
        );
        drop(dock);
        browser.client.clone().close().await.expect("closed");
    });
}
