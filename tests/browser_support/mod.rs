//! A browser driven over WebDriver, one for each test.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::error::CmdError;
use fantoccini::wd::PrintConfiguration;
use fantoccini::{Client, ClientBuilder, Locator, key::Key};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

/// A browser of one test, ended with it.
pub(crate) struct Browser {
    driver: Child,
    pub(crate) client: Client,
    port: String,
    profile: tempfile::TempDir,
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _gone = self.driver.kill();
        let _gone = self.driver.wait();
        // After a failed test its browser would stay: it is known by its profile.
        let profile = self.profile.path().display().to_string();
        for entry in std::fs::read_dir("/proc").into_iter().flatten().flatten() {
            let line = std::fs::read(entry.path().join("cmdline")).unwrap_or_default();
            if String::from_utf8_lossy(&line).contains(&profile) {
                let _gone = Command::new("kill").arg(entry.file_name()).status();
            }
        }
    }
}

/// A driver and the port it listens on; `None` when it ended before it did.
fn started() -> Option<(Child, String)> {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver starts");
    let out = driver.stdout.take().expect("stdout");
    let mut lines = BufReader::new(out).lines().map_while(Result::ok);
    let port = lines.find_map(|line| {
        let (_, port) = line.split_once("successfully on port ")?;
        Some(port.trim_end_matches('.').to_owned())
    });
    if let Some(port) = port {
        return Some((driver, port));
    }
    let _gone = driver.wait();
    None
}

impl Browser {
    pub(crate) async fn open(width: u32, height: u32) -> Self {
        Self::open_at(width, height, 1.0).await
    }

    /// The same with so many dots to a pixel.
    pub(crate) async fn open_at(width: u32, height: u32, ratio: f64) -> Self {
        Self::open_with(width, height, ratio, None).await
    }

    /// The same where a key is trusted, by the digest of it that Chromium wants.
    pub(crate) async fn open_trusting(width: u32, height: u32, key: &str) -> Self {
        let flag = format!("--ignore-certificate-errors-spki-list={key}");
        Self::open_with(width, height, 1.0, Some(flag)).await
    }

    async fn open_with(width: u32, height: u32, ratio: f64, more: Option<String>) -> Self {
        // A port picked by one driver may be taken by another before it listens.
        let (driver, port) = (0..3)
            .find_map(|_| started())
            .expect("chromedriver says its port");
        let profile = tempfile::tempdir().expect("a folder");
        let flags = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            // Shared memory is small in a container, and printing takes much of it.
            "--disable-dev-shm-usage",
        ];
        let mut flags: Vec<String> = flags.map(str::to_owned).into();
        flags.extend(more);
        flags.push(format!("--user-data-dir={}", profile.path().display()));
        // A window can't be as narrow as a small tablet; the emulated device can.
        let device = json!({"deviceMetrics": {"width": width, "height": height, "pixelRatio": ratio, "touch": true}});
        let options = json!({"args": flags, "mobileEmulation": device});
        let wanted = json!({"goog:chromeOptions": options});
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(wanted.as_object().expect("a map").clone())
            .connect(&format!("http://127.0.0.1:{port}"))
            .await
            .expect("a session");
        Self {
            driver,
            client,
            port,
            profile,
        }
    }

    pub(crate) async fn goto(&self, address: &str) {
        self.client.goto(address).await.expect("the page");
    }

    /// Touches once the page takes touches: a screen that has just come up
    /// lets none through for a moment. What lies under the bar is brought clear
    /// of it first, as a finger would; a list made anew meanwhile is found anew.
    pub(crate) async fn touch(&self, what: &str) {
        let mut touched = Ok(());
        for _ in 0..3 {
            self.until("!document.body.classList.contains('settling')")
                .await;
            self.run(&format!(
                "document.querySelector({what:?})?.scrollIntoView({{ block: 'center' }})"
            ))
            .await;
            let found = self.client.find(Locator::Css(what)).await;
            let Ok(found) = found else {
                let there = self
                    .run("return `${location.href} ${document.body.innerText}`")
                    .await;
                panic!("{what} is not on {there}");
            };
            touched = found.click().await;
            let stale = |error: &CmdError| error.to_string().contains("stale element");
            if !touched.as_ref().is_err_and(stale) {
                break;
            }
        }
        touched.unwrap_or_else(|error| panic!("{what}: {error}"));
    }

    /// Types as a keyboard does that takes 0 to 400 ms for a key, to whatever
    /// has the focus by then: Enter for a line end, Tab for a tab.
    pub(crate) async fn jitters(&self, text: &str, seed: u64) {
        let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        let gaps = std::iter::repeat_with(move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state % 401
        });
        self.keys(text, gaps).await;
    }

    /// Types with these gaps in front of the keys, in milliseconds.
    pub(crate) async fn keys(&self, text: &str, gaps: impl IntoIterator<Item = u64>) {
        let mut keys = KeyActions::new("scale".to_owned());
        for (letter, gap) in text.chars().zip(gaps) {
            let value = match letter {
                '\n' | '\r' => char::from(Key::Enter),
                '\t' => char::from(Key::Tab),
                other => other,
            };
            let duration = Duration::from_millis(gap);
            keys = keys
                .then(KeyAction::Pause { duration })
                .then(KeyAction::Down { value })
                .then(KeyAction::Up { value });
        }
        self.client.perform_actions(keys).await.expect("typed");
    }

    /// Has the page run so many times slower, by the browser's own throttle.
    pub(crate) async fn slowed(&self, times: u32) {
        let session = self.client.session_id().await.expect("asked").expect("one");
        let rate = json!({"cmd": "Emulation.setCPUThrottlingRate", "params": {"rate": times}});
        let (rate, port) = (rate.to_string(), &self.port);
        let length = rate.len();
        let asked = format!(
            "POST /session/{session}/goog/cdp/execute HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\nContent-Length: {length}\r\n\r\n{rate}"
        );
        let mut driver = TcpStream::connect(format!("127.0.0.1:{port}")).expect("the driver");
        driver.write_all(asked.as_bytes()).expect("asked");
        // The driver keeps the connection open: its first words are enough.
        let mut told = [0; 1024];
        let read = driver.read(&mut told).expect("an answer");
        let told = String::from_utf8_lossy(&told[..read]);
        assert!(told.contains(" 200 OK"), "{told}");
    }

    /// What a field holds.
    pub(crate) async fn value(&self, field: &str) -> String {
        let script = format!("return document.querySelector({}).value", json!(field));
        self.run(&script)
            .await
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Touches a field until it has the focus: on a busy machine the page may
    /// still move under the first touch.
    pub(crate) async fn touch_into(&self, field: &str) {
        let has_focus = format!("return document.activeElement.matches({field:?})");
        for _ in 0..20 {
            self.touch(field).await;
            if self.run(&has_focus).await == json!(true) {
                return;
            }
        }
        panic!("{field} never took the focus");
    }

    /// Touches an empty field and types until it holds the text: on an emulated
    /// tablet the driver's keys now and then reach the page as key presses alone,
    /// without the letters they stand for.
    pub(crate) async fn type_into(&self, field: &str, text: &str) {
        let value = format!("return document.querySelector({field:?}).value");
        for _ in 0..20 {
            self.touch_into(field).await;
            self.types(text).await;
            let holds = self.run(&value).await;
            if holds == json!(text) {
                return;
            }
            assert_eq!(holds, json!(""), "{field} took a part of `{text}`");
        }
        panic!("{field} never took `{text}`");
    }

    /// Types to whatever has the focus, as fast as a scale.
    pub(crate) async fn types(&self, text: &str) {
        let focused = self.client.active_element().await.expect("a focus");
        focused.send_keys(text).await.expect("typed");
    }

    pub(crate) async fn run(&self, script: &str) -> Value {
        self.client
            .execute(script, Vec::new())
            .await
            .unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    /// Waits until a script says true.
    pub(crate) async fn until(&self, script: &str) {
        for _ in 0..150 {
            if self.run(&format!("return Boolean({script})")).await == json!(true) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        self.picture("stuck").await;
        let seen = self.run("return document.body.innerText").await;
        panic!("never true: {script}\n{seen}");
    }

    /// Goes on by Tab until an element has the focus.
    pub(crate) async fn reach(&self, what: &str) {
        let has_focus = format!(
            "return Boolean(document.activeElement.matches({}))",
            json!(what)
        );
        for _ in 0..60 {
            if self.run(&has_focus).await == json!(true) {
                return;
            }
            self.types(&char::from(Key::Tab).to_string()).await;
            tokio::time::sleep(Duration::from_millis(70)).await;
        }
        panic!("`{what}` is not reached by Tab");
    }

    pub(crate) async fn text(&self, what: &str) -> String {
        // Between the two the page may have put a newer part there.
        patient(async || {
            let found = self.client.find(Locator::Css(what)).await?;
            found.text().await
        })
        .await
    }

    /// Waits for all that a page is made of.
    pub(crate) async fn stands_whole(&self) {
        self.until("document.readyState === 'complete' && document.fonts.status === 'loaded'")
            .await;
    }

    /// The page as a PDF, once it stands whole.
    pub(crate) async fn print(&self, paper: &PrintConfiguration) -> Vec<u8> {
        self.stands_whole().await;
        patient(async || self.client.print(paper.clone()).await).await
    }

    /// A picture for a person to look at, kept out of the repository.
    pub(crate) async fn picture(&self, name: &str) {
        let folder =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/browser/pictures");
        std::fs::create_dir_all(&folder).expect("a folder");
        let bytes = patient(async || self.client.screenshot().await).await;
        std::fs::write(folder.join(format!("{name}.png")), bytes).expect("written");
    }
}

/// Asks again what a browser that is busy may fail to give; what is tested is
/// what comes out once it does.
async fn patient<T>(ask: impl AsyncFn() -> Result<T, CmdError>) -> T {
    for _ in 0..4 {
        if let Ok(given) = ask().await {
            return given;
        }
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
    ask()
        .await
        .unwrap_or_else(|error| panic!("not given: {error}"))
}

/// Runs a test, and ends one that hangs: ten minutes are far beyond the longest.
pub(crate) fn in_time<F: Future<Output = ()>>(test: F) {
    within(10, test);
}

/// The same within so many minutes.
pub(crate) fn within<F: Future<Output = ()>>(minutes: u64, test: F) {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime")
        .block_on(async {
            tokio::time::timeout(Duration::from_secs(60 * minutes), test)
                .await
                .expect("in time");
        });
}
