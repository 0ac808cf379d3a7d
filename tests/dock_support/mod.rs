//! A farm of one test, its dock page, and a plain HTTP client that can also
//! misbehave.

#![expect(dead_code, reason = "each test file uses its own part")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

/// An invented farm with a pail of 1.5 lb.
pub(crate) struct Farm {
    folder: tempfile::TempDir,
    /// The instant it is rehearsed at, where it is.
    now: Option<&'static str>,
}

impl Farm {
    /// No farm yet.
    pub(crate) fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
            now: None,
        }
    }

    /// The invented farm of the demo as it stands at an instant.
    pub(crate) fn demo(now: &'static str) -> Self {
        let farm = Self {
            now: Some(now),
            ..Self::empty()
        };
        farm.run(&["demo", &farm.path("farm.daybook").display().to_string()]);
        farm
    }

    pub(crate) fn new() -> Self {
        let farm = Self::empty();
        farm.run(&[
            "begin",
            "--zone",
            "America/Denver",
            "--unit",
            "lb",
            "--division",
            "0.1",
            "--currency",
            "USD",
            "--region",
            "us",
            "--larvae-for",
            "poultry-fish-pig",
        ]);
        farm.run(&["farm", "--container", "pail=1.5lb"]);
        farm
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn command(&self) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("trayful"));
        command
            .env("TRAYFUL_DAYBOOK", self.path("farm.daybook"))
            .env("TRAYFUL_BY", "ana")
            .env("TZ", "America/Denver")
            .env_remove("TRAYFUL_NOW")
            .envs(self.now.map(|now| ("TRAYFUL_NOW", now)));
        command
    }

    /// A file with a PIN that only its owner can read.
    pub(crate) fn pin_file(&self, name: &str, pin: &str) -> String {
        let path = self.path(name);
        std::fs::write(&path, pin).expect("written");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).expect("set");
        }
        path.display().to_string()
    }

    /// A cohort of 60000 larvae, hatched nine days ago.
    pub(crate) fn cohort(&self, name: &str) {
        self.cohort_of(name, 9);
    }

    /// The same of any age.
    pub(crate) fn cohort_of(&self, name: &str, days: i64) {
        let hatched = (jiff::Timestamp::now() - jiff::SignedDuration::from_hours(24 * days))
            .strftime("%Y-%m-%d")
            .to_string();
        let (larvae, trays, area) = ("60000", "16", "60x40cm");
        self.run(&[
            "cohort",
            "add",
            name,
            "--hatched",
            &hatched,
            "--larvae",
            larvae,
            "--trays",
            trays,
            "--tray-area",
            area,
        ]);
    }

    /// Runs a command that must succeed and returns what it printed.
    pub(crate) fn run(&self, args: &[&str]) -> String {
        let output = self.command().args(args).output().expect("runs");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let error = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{args:?}: {text}{error}");
        text
    }

    pub(crate) fn json(&self, args: &[&str]) -> Value {
        let mut args = args.to_vec();
        args.push("--json");
        serde_json::from_str(&self.run(&args)).expect("JSON")
    }

    pub(crate) fn dock(&self) -> Dock {
        self.dock_with(&[])
    }

    pub(crate) fn dock_with(&self, args: &[&str]) -> Dock {
        let mut child = self
            .command()
            .arg("dock")
            .args(args)
            .args(if args.contains(&"--port") {
                &[]
            } else {
                &["--port", "0"][..]
            })
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .stdin(Stdio::null())
            .spawn()
            .expect("starts");
        let mut said = BufReader::new(child.stdout.take().expect("stdout"));
        let mut line = String::new();
        said.read_line(&mut line).expect("a line");
        let port = line
            .trim()
            .trim_end_matches('/')
            .rsplit(':')
            .next()
            .and_then(|port| port.parse().ok())
            .unwrap_or_else(|| panic!("no port in {line:?}"));
        Dock {
            child,
            port,
            said: line,
            rest: said,
            described: std::sync::OnceLock::new(),
        }
    }

    /// Tickets that stand, by id.
    pub(crate) fn lots(&self) -> Vec<Value> {
        let stock = self.json(&["stock"]);
        stock.as_array().expect("a list").clone()
    }
}

/// A running dock page. Killed when dropped.
pub(crate) struct Dock {
    child: Child,
    pub(crate) port: u16,
    said: String,
    rest: BufReader<std::process::ChildStdout>,
    /// What the API says of itself, once asked for.
    described: std::sync::OnceLock<Value>,
}

impl Drop for Dock {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}

/// An answer.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(':')?;
            key.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }
}

impl Dock {
    /// One that a child started, at a port known before; to be waited for.
    pub(crate) fn behind(mut child: Child, port: u16) -> Self {
        Self {
            rest: BufReader::new(child.stdout.take().expect("stdout")),
            child,
            port,
            said: String::new(),
            described: std::sync::OnceLock::new(),
        }
    }

    /// Waits until it answers.
    pub(crate) fn wait(&self) {
        let asked = || self.try_request("GET", "/", &[], "");
        let answered = (0..300).any(|_| {
            std::thread::sleep(Duration::from_millis(100));
            // Where it asks for the PIN first, that is an answer too.
            asked().is_ok_and(|answer| matches!(answer.status, 200 | 303))
        });
        assert!(answered, "no page at port {}: {:?}", self.port, asked());
    }

    /// Kills it as a power cut would.
    pub(crate) fn kill(mut self) {
        self.child.kill().expect("killed");
        self.child.wait().expect("gone");
    }

    pub(crate) fn pid(&self) -> u32 {
        self.child.id()
    }

    /// Tells it to stop and waits: exit code, and all it said.
    pub(crate) fn stop(mut self) -> (Option<i32>, String) {
        let pid = self.child.id().to_string();
        Command::new("kill")
            .args(["-TERM", &pid])
            .status()
            .expect("kill");
        let status = self.child.wait().expect("ends");
        let mut said = std::mem::take(&mut self.said);
        self.rest.read_to_string(&mut said).expect("text");
        let mut errors = self.child.stderr.take().expect("stderr");
        errors.read_to_string(&mut said).expect("text");
        (status.code(), said)
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connects");
        stream
            .set_read_timeout(Some(Duration::from_secs(30)))
            .expect("a timeout");
        stream
    }

    pub(crate) fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// One request as written, to the end of its answer.
    pub(crate) fn raw(&self, request: &str) -> std::io::Result<Answer> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(Duration::from_secs(30)))?;
        stream.write_all(request.as_bytes())?;
        read_answer(&mut stream)
    }

    /// Asks for a page; the answer is yet to be read.
    pub(crate) fn ask(&self, path: &str, tablet: &Tablet, more: &str) -> TcpStream {
        let mut stream = self.connect();
        let (host, cookie) = (self.host(), &tablet.cookie);
        let asked =
            format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n{more}\r\n");
        stream.write_all(asked.as_bytes()).expect("asked");
        stream
    }

    /// An answer as it came, head and all.
    pub(crate) fn raw_get(&self, path: &str, tablet: &Tablet) -> Vec<u8> {
        let mut stream = self.ask(path, tablet, "Connection: close\r\n");
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).expect("an answer");
        bytes
    }

    pub(crate) fn get(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        self.try_request("GET", path, headers, "")
            .expect("an answer")
    }

    pub(crate) fn try_request(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &str,
    ) -> std::io::Result<Answer> {
        let mut request = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            request.push_str(&format!("Host: {}\r\n", self.host()));
        }
        for (name, value) in headers {
            request.push_str(&format!("{name}: {value}\r\n"));
        }
        request.push_str(&format!("Content-Length: {}\r\n\r\n{body}", body.len()));
        self.raw(&request)
    }

    pub(crate) fn tablet(&self) -> Tablet {
        let answer = self.get("/api/session", &[]);
        assert_eq!(answer.status, 200, "{answer:?}");
        Tablet {
            cookie: cookie_of(&answer),
            token: answer.json()["token"].as_str().expect("a token").to_owned(),
        }
    }

    /// A tablet that came in by this PIN.
    pub(crate) fn tablet_in(&self, pin: &str) -> Tablet {
        let page = self.get("/pin", &[]);
        let token = page.body.split("name=\"token\" value=\"").nth(1);
        let token = token
            .and_then(|rest| rest.split('"').next())
            .expect("a token");
        let cookie = cookie_of(&page);
        let headers = [
            ("Cookie", cookie.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
        ];
        let entered = format!("token={token}&pin={pin}");
        let entered = self.try_request("POST", "/pin", &headers, &entered);
        let cookie = cookie_of(&entered.expect("an answer"));
        let session = self.get("/api/session", &[("Cookie", &cookie)]).json();
        let token = session["token"].as_str().expect("a token").to_owned();
        Tablet { cookie, token }
    }

    /// The numbers of the book's last record as an open page hears them.
    pub(crate) fn events(&self, tablet: &Tablet) -> impl Iterator<Item = i64> + use<> {
        let lines = BufReader::new(self.ask("/events", tablet, ""))
            .lines()
            .map_while(Result::ok);
        lines.filter_map(|line| line.strip_prefix("data: ")?.parse().ok())
    }
}

pub(crate) fn cookie_of(answer: &Answer) -> String {
    let set = answer.header("set-cookie").expect("a cookie");
    set.split(';').next().expect("its value").to_owned()
}

pub(crate) fn read_answer(stream: &mut impl Read) -> std::io::Result<Answer> {
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let broken = || std::io::Error::new(std::io::ErrorKind::UnexpectedEof, "no whole answer");
    let (head, body) = text.split_once("\r\n\r\n").ok_or_else(broken)?;
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok())
        .ok_or_else(broken)?;
    Ok(Answer {
        status,
        head: head.to_owned(),
        body: body.to_owned(),
    })
}

/// A tablet with its session.
#[derive(Debug, Clone)]
pub(crate) struct Tablet {
    pub(crate) cookie: String,
    pub(crate) token: String,
}

impl Tablet {
    pub(crate) fn post(&self, dock: &Dock, path: &str, body: &Value) -> Answer {
        self.try_post(dock, path, body).expect("an answer")
    }

    pub(crate) fn try_post(
        &self,
        dock: &Dock,
        path: &str,
        body: &Value,
    ) -> std::io::Result<Answer> {
        let headers = [
            ("Cookie", self.cookie.as_str()),
            ("X-Trayful-Token", self.token.as_str()),
            ("Content-Type", "application/json"),
        ];
        let answer = dock.try_request("POST", path, &headers, &body.to_string())?;
        self.is_as_described(dock, "post", path, &answer);
        Ok(answer)
    }

    pub(crate) fn get(&self, dock: &Dock, path: &str) -> Answer {
        let answer = dock.get(path, &[("Cookie", self.cookie.as_str())]);
        self.is_as_described(dock, "get", path, &answer);
        answer
    }

    /// Every answer of the API in these tests has the form the API describes.
    fn is_as_described(&self, dock: &Dock, method: &str, path: &str, answer: &Answer) {
        let path = path.split('?').next().expect("a path");
        if !path.starts_with("/api/") || ![200, 404, 409, 422].contains(&answer.status) {
            return;
        }
        let cookie = [("Cookie", self.cookie.as_str())];
        let asked = || dock.try_request("GET", "/api/openapi.json", &cookie, "");
        let described = match dock.described.get() {
            Some(described) => described,
            // A dock that was killed since can't be asked any more.
            None => match asked() {
                Ok(answer) => dock.described.get_or_init(|| answer.json()),
                Err(_) => return,
            },
        };
        let schema = if answer.status == 200 {
            let path = path.replace('/', "~1");
            format!("paths/{path}/{method}/responses/200")
        } else {
            "components/responses/Refused".to_owned()
        };
        let document = "http://dock/openapi.json";
        let mut schemas = boon::Schemas::new();
        let mut compiler = boon::Compiler::new();
        (compiler.add_resource(document, described.clone())).expect("a document");
        let at = format!("{document}#/{schema}/content/application~1json/schema");
        let schema = compiler.compile(&at, &mut schemas).expect("a schema");
        if let Err(error) = schemas.validate(&answer.json(), schema) {
            panic!("{method} {path}: {error:#}\n{}", answer.body);
        }
    }

    /// Sends a form as a page without script does.
    pub(crate) fn form(&self, dock: &Dock, path: &str, fields: &str) -> Answer {
        let headers = [
            ("Cookie", self.cookie.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
        ];
        let body = format!("token={}&{fields}", self.token);
        dock.try_request("POST", path, &headers, &body)
            .expect("an answer")
    }
}

/// A bucket of spent grain in a pail.
pub(crate) fn bucket(id: &str, gross: &str) -> Value {
    json!({"id": id, "supplier": "Quay brewery", "stream": "spent-grain", "gross": gross, "container": "pail"})
}
