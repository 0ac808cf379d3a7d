//! Fifty tablets that post tickets to the dock page at once, as fast as they
//! are answered. Prints how long an answer takes, and counts that every
//! acknowledged ticket is in the book once.
//!
//! `cargo bench --bench dock_load`; `DOCK_LOAD_SECONDS` sets how long (60).

#![expect(
    clippy::print_stdout,
    reason = "a bench has nowhere else to say what it measured"
)]

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

const TABLETS: usize = 50;

type Failure = Box<dyn std::error::Error + Send + Sync>;

/// One tablet: a kept-open connection with its session.
struct Tablet {
    stream: BufReader<TcpStream>,
    head: String,
}

impl Tablet {
    fn open(port: u16) -> Result<Self, Failure> {
        let stream = TcpStream::connect(("127.0.0.1", port))?;
        stream.set_nodelay(true)?;
        let mut tablet = Self {
            stream: BufReader::new(stream),
            head: String::new(),
        };
        let host = format!("Host: 127.0.0.1:{port}\r\n");
        tablet.send(&format!("GET /api/session HTTP/1.1\r\n{host}\r\n"))?;
        let (_, cookie, body) = tablet.answer()?;
        let session: Value = serde_json::from_str(&body)?;
        let token = session["token"].as_str().ok_or("no token")?;
        tablet.head = format!(
            "POST /api/weigh HTTP/1.1\r\n{host}Cookie: {}\r\nX-Trayful-Token: {token}\r\n",
            cookie.ok_or("no cookie")?
        );
        Ok(tablet)
    }

    fn send(&mut self, request: &str) -> Result<(), Failure> {
        Ok(self.stream.get_mut().write_all(request.as_bytes())?)
    }

    fn weigh(&mut self, id: &str) -> Result<i64, Failure> {
        let body = format!(
            r#"{{"id":"{id}","supplier":"Quay brewery","stream":"spent-grain","gross":"20.0 lb","container":"pail","sure":"yes"}}"#
        );
        let request = format!("{}Content-Length: {}\r\n\r\n{body}", self.head, body.len());
        self.send(&request)?;
        let (status, _, body) = self.answer()?;
        let ticket: Value = serde_json::from_str(&body)?;
        match ticket["number"].as_i64() {
            Some(number) if status == 200 => Ok(number),
            _ => Err(format!("{status}: {body}").into()),
        }
    }

    fn answer(&mut self) -> Result<(u16, Option<String>, String), Failure> {
        let (mut status, mut length, mut cookie) = (0, 0, None);
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line)?;
            let line = line.trim_end();
            if line.is_empty() {
                break;
            }
            match line.split_once(": ") {
                Some(("content-length", value)) => length = value.parse()?,
                Some(("set-cookie", value)) => {
                    cookie = value.split(';').next().map(str::to_owned);
                }
                None => status = line.split(' ').nth(1).ok_or("no status")?.parse()?,
                Some(_) => {}
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body)?;
        Ok((status, cookie, String::from_utf8(body)?))
    }
}

fn main() -> Result<(), Failure> {
    let seconds = std::env::var("DOCK_LOAD_SECONDS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(60);
    let folder = tempfile::tempdir()?;
    let trayful = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_trayful"));
        command.env("TRAYFUL_DAYBOOK", folder.path().join("farm.daybook"));
        command
    };
    for args in [
        "begin --zone America/Denver --unit lb --division 0.1 --currency USD --region us --larvae-for not-feed",
        "farm --container pail=1.5lb",
    ] {
        trayful()
            .args(args.split(' '))
            .stdout(Stdio::null())
            .status()?;
    }
    let mut dock = trayful()
        .args(["dock", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()?;
    let mut line = String::new();
    BufReader::new(dock.stdout.take().ok_or("no output")?).read_line(&mut line)?;
    let port = line.trim().trim_end_matches('/').rsplit(':').next();
    let port: u16 = port.ok_or("no port")?.parse()?;
    let told = load(port, Duration::from_secs(seconds));
    Command::new("kill")
        .args(["-TERM", &dock.id().to_string()])
        .status()?;
    dock.wait()?;
    let (mut took, numbers) = told?;
    took.sort_unstable();
    let at = |share: usize| took[(took.len() - 1) * share / 1000];
    println!(
        "{TABLETS} tablets for {seconds} s: {} tickets, {} a second; answered in p50 {:?}, p99 {:?}, most {:?}",
        took.len(),
        took.len() as u64 / seconds.max(1),
        at(500),
        at(990),
        at(1000)
    );
    let stock: Value =
        serde_json::from_slice(&trayful().args(["stock", "--json"]).output()?.stdout)?;
    let kept: Vec<i64> = stock
        .as_array()
        .ok_or("no stock")?
        .iter()
        .filter_map(|lot| lot["number"].as_i64())
        .collect();
    let acknowledged: BTreeSet<i64> = numbers.iter().copied().collect();
    println!(
        "{} acknowledged, {} of them different, {} in the book, all of them acknowledged: {}",
        numbers.len(),
        acknowledged.len(),
        kept.len(),
        kept.iter().collect::<BTreeSet<_>>() == acknowledged.iter().collect()
    );
    Ok(())
}

type Told = (Vec<Duration>, Vec<i64>);

fn load(port: u16, long: Duration) -> Result<Told, Failure> {
    let began = Instant::now();
    std::thread::scope(|scope| {
        let tablets: Vec<_> = (0..TABLETS)
            .map(|tablet| {
                scope.spawn(move || -> Result<Told, Failure> {
                    let mut connection = Tablet::open(port)?;
                    let (mut took, mut numbers) = (Vec::new(), Vec::new());
                    while began.elapsed() < long {
                        let sent = Instant::now();
                        numbers.push(
                            connection.weigh(&format!("auto-t{tablet:02}-{:08}", took.len()))?,
                        );
                        took.push(sent.elapsed());
                    }
                    Ok((took, numbers))
                })
            })
            .collect();
        let mut all = (Vec::new(), Vec::new());
        for tablet in tablets {
            let (took, numbers) = tablet.join().map_err(|_| "a tablet broke off")??;
            all.0.extend(took);
            all.1.extend(numbers);
        }
        Ok(all)
    })
}
