//! A PostgreSQL server of the test's own, a line to it that can be cut, and
//! five farms to send.

pub(crate) mod simulated;

use std::io::{Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, OnceLock};

use postgres::{Client, NoTls};

/// The server's own program, which is on no path where Debian keeps it.
fn program(name: &str) -> PathBuf {
    let on_path = std::env::var("PATH").unwrap_or_default();
    let of_debian = std::fs::read_dir("/usr/lib/postgresql")
        .into_iter()
        .flatten();
    let of_debian = of_debian
        .flatten()
        .map(|version| version.path().join("bin"));
    std::env::split_paths(&on_path)
        .chain(of_debian)
        .map(|folder| folder.join(name))
        .find(|path| path.is_file())
        .unwrap_or_else(|| panic!("no PostgreSQL ({name}) here: `bash tests/run` installs it"))
}

/// A server in a folder of its own; it goes when this goes.
pub(crate) struct Server {
    folder: tempfile::TempDir,
    pub(crate) port: u16,
}

impl Server {
    pub(crate) fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let free = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = free.local_addr().expect("an address").port();
        drop(free);
        let server = Self { folder, port };
        if let Some(user) = server.user() {
            done(Command::new("chown").arg(user).arg(server.folder.path()));
        }
        let data = server.data();
        let args = [
            "-U",
            "postgres",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--no-sync",
            "-D",
        ];
        done(server.as_its_user("initdb").args(args).arg(data));
        server.go_on();
        let mut owner = server.client("postgres", "postgres");
        owner
            .batch_execute("CREATE DATABASE network")
            .expect("made");
        server
    }

    pub(crate) fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// PostgreSQL refuses to run as root.
    pub(crate) fn user(&self) -> Option<&'static str> {
        let id = Command::new("id").arg("-u").output().expect("id runs");
        let is_root = id.stdout.trim_ascii() == b"0";
        let is_there = |user: &&str| {
            let found = Command::new("id").arg(user).output().expect("id runs");
            found.status.success()
        };
        is_root.then(|| {
            ["postgres", "nobody"]
                .into_iter()
                .find(is_there)
                .expect("a user")
        })
    }

    fn as_its_user(&self, name: &str) -> Command {
        let program = program(name);
        let Some(user) = self.user() else {
            return Command::new(program);
        };
        let mut command = Command::new("runuser");
        command.args(["-u", user, "--"]).arg(program);
        command.current_dir(self.folder.path());
        command
    }

    fn ctl(&self, args: &[&str]) -> Command {
        let mut command = self.as_its_user("pg_ctl");
        command.arg("-D").arg(self.data()).args(args);
        command
    }

    /// Starts the server, again after it was killed.
    pub(crate) fn go_on(&self) {
        let folder = self.folder.path().display();
        let port = self.port;
        let options = format!("-p {port} -k {folder} -c listen_addresses=127.0.0.1,127.0.0.2");
        let log = self.folder.path().join("log").display().to_string();
        done(&mut self.ctl(&["-o", &options, "-l", &log, "-w", "start"]));
    }

    /// Kills it as a power cut would: nothing is finished or written out.
    pub(crate) fn kill(&self) {
        done(&mut self.ctl(&["-m", "immediate", "stop"]));
    }

    pub(crate) fn address(&self, role: &str) -> String {
        self.address_by(role, self.port)
    }

    pub(crate) fn address_by(&self, role: &str, port: u16) -> String {
        format!("postgres://{role}@127.0.0.1:{port}/network")
    }

    pub(crate) fn client(&self, role: &str, database: &str) -> Client {
        let port = self.port;
        let address = format!("postgres://{role}@127.0.0.1:{port}/{database}");
        Client::connect(&address, NoTls).expect("connects")
    }

    /// The keeper of the network's database.
    pub(crate) fn owner(&self) -> Client {
        self.client("postgres", "network")
    }

    /// With its tables made, and roles for these sites.
    pub(crate) fn prepared(sites: &[&str]) -> Self {
        let server = Self::start();
        told(&share(&server.address("postgres"), &["--prepare"]));
        for site in sites {
            let sql = format!("CREATE ROLE {site} LOGIN IN ROLE trayful_site");
            server.owner().batch_execute(&sql).expect("a role");
        }
        server
    }

    /// Nothing in the database is other than its records say.
    pub(crate) fn assert_whole(&self) {
        let flaws = self
            .owner()
            .query("SELECT site::text, seq, what FROM trayful.flaw", &[]);
        let flaws: Vec<(String, i64, String)> = (flaws.expect("reads").iter())
            .map(|row| (row.get(0), row.get(1), row.get(2)))
            .collect();
        assert_eq!(flaws, []);
    }

    pub(crate) fn records_of(&self, site: &str) -> i64 {
        let sql = "SELECT count(*) FROM trayful.record WHERE site = $1::text";
        self.owner().query_one(sql, &[&site]).expect("reads").get(0)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _gone_already = self.ctl(&["-m", "immediate", "stop"]).output();
    }
}

fn done(command: &mut Command) {
    // Its output goes to a file: a server that lives on would hold a pipe open.
    let made = command.stdout(std::process::Stdio::null()).status();
    assert!(made.expect("runs").success(), "{command:?}");
}

pub(crate) fn trayful(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(args)
        .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
        .env("TRAYFUL_BY", "AB")
        .env_remove("PGPASSWORD")
        .output()
        .expect("the program runs")
}

pub(crate) fn share(to: &str, args: &[&str]) -> Output {
    trayful(&[&["share", "--to", to], args].concat())
}

pub(crate) fn told(output: &Output) -> String {
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{errors}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// What was refused, in words.
pub(crate) fn refused(output: &Output) -> String {
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{errors}");
    errors
}

pub(crate) const SITES: [&str; 5] = [
    "tidewall",
    "orchard_lane",
    "kiln_yard",
    "old_weir",
    "sixth_street",
];

/// The books of five farms, each with every sort of record that moves weight,
/// is struck, corrected or closed; copies for one test.
pub(crate) fn five_books() -> (tempfile::TempDir, Vec<String>) {
    static MADE: OnceLock<tempfile::TempDir> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let demo = Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args(["demo", "--sites", "5", "--days", "32"])
            .current_dir(folder.path())
            .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
            .output();
        told(&demo.expect("the program runs"));
        for site in 1..=5 {
            more(
                &folder
                    .path()
                    .join(format!("demo-sites/site-{site}.daybook")),
                site,
            );
        }
        folder
    });
    let folder = tempfile::tempdir().expect("a folder");
    let copied = |site: usize| {
        let name = format!("site-{site}.daybook");
        let copy = folder.path().join(&name);
        std::fs::copy(made.path().join("demo-sites").join(&name), &copy).expect("copied");
        copy.to_str().expect("text").to_owned()
    };
    let books = (1..=5).map(copied).collect();
    (folder, books)
}

/// What a demo does not do by itself, at times that lie in both months.
fn more(book: &Path, site: usize) {
    let book = book.to_str().expect("text");
    let run = |args: &[&str]| {
        told(&trayful(
            &[args, &["--daybook", book, "--no-input"]].concat(),
        ))
    };
    let stock: serde_json::Value = serde_json::from_str(&run(&["stock", "--json"])).expect("JSON");
    let is_large =
        |lot: &&serde_json::Value| lot["on_hand_g"].as_i64() > Some(3000) && lot["bought"] == false;
    let lots: Vec<String> = (stock.as_array().expect("lots").iter())
        .filter(is_large)
        .map(|lot| lot["lot"].as_str().expect("a name").to_owned())
        .collect();
    let [first, second, third, fourth, ..] = &lots[..] else {
        panic!("few lots: {lots:?}");
    };
    run(&[
        "lot", first, "discard", "--to", "landfill", "--weight", "1.5lb", "--why", "mould",
    ]);
    run(&[
        "lot", second, "discard", "--to", "animals", "--weight", "2.0lb", "--why", "hens",
    ]);
    run(&["lot", third, "weigh", "--weight", "9.1lb"]);
    run(&[
        "correct",
        first,
        "--supplier",
        "Dockside brewery",
        "--why",
        "wrong name",
    ]);
    run(&[
        "correct",
        first,
        "--supplier",
        "Nobody",
        "--why",
        "wrong again",
        "--id",
        "slip",
    ]);
    run(&["strike", "slip", "--why", "it was right"]);
    run(&[
        "correct",
        second,
        "--supplier",
        "Nobody",
        "--why",
        "wrong name",
    ]);
    run(&[
        "correct",
        second,
        "--supplier",
        "Pier canteen",
        "--why",
        "wrong again",
    ]);
    run(&[
        "correct",
        fourth,
        "--stream",
        "okara",
        "--why",
        "wrong stream",
    ]);
    if site.is_multiple_of(2) {
        run(&["month", "2026-10", "--close"]);
    }
    let buckets = [
        "weigh",
        "--supplier",
        "Corner grocer",
        "--stream",
        "carrot-trim",
    ];
    run(&[
        &buckets[..],
        &["--gross", "12.0lb", "--container", "pail", "--id", "twice"],
    ]
    .concat());
    run(&["strike", "twice", "--why", "typed twice"]);
}

/// A line to a port that is cut where it is told to be.
pub(crate) struct Line {
    pub(crate) port: u16,
    pub(crate) cuts: Arc<AtomicUsize>,
}

/// After how many bytes a connection is cut, and on which way.
#[derive(Clone, Copy)]
pub(crate) enum Cut {
    Out(usize),
    Back(usize),
}

impl Line {
    /// The first connections are cut as told, all that follow are not.
    pub(crate) fn to(port: u16, cuts: Vec<Cut>) -> Self {
        let door = TcpListener::bind("127.0.0.1:0").expect("a port");
        let line = Self {
            port: door.local_addr().expect("an address").port(),
            cuts: Arc::default(),
        };
        let made = Arc::clone(&line.cuts);
        let plan = Mutex::new(cuts.into_iter());
        std::thread::spawn(move || {
            for near in door.incoming() {
                let near = near.expect("a connection");
                let far = TcpStream::connect(("127.0.0.1", port)).expect("the server");
                let cut = plan.lock().expect("the plan").next();
                let (out, back) = match cut {
                    Some(Cut::Out(bytes)) => (Some(bytes), None),
                    Some(Cut::Back(bytes)) => (None, Some(bytes)),
                    None => (None, None),
                };
                let ends = || {
                    (
                        near.try_clone().expect("one"),
                        far.try_clone().expect("one"),
                    )
                };
                let (near_again, far_again) = ends();
                let counts = [Arc::clone(&made), Arc::clone(&made)];
                let [one, other] = counts;
                std::thread::spawn(move || carry(near_again, far_again, out, &one));
                std::thread::spawn(move || carry(far, near, back, &other));
            }
        });
        line
    }
}

fn carry(mut from: TcpStream, mut to: TcpStream, most: Option<usize>, cuts: &AtomicUsize) {
    let (mut buffer, mut left) = ([0; 4096], most.unwrap_or(usize::MAX));
    while let Ok(read @ 1..) = from.read(&mut buffer) {
        let passed = read.min(left);
        if to.write_all(&buffer[..passed]).is_err() {
            break;
        }
        left -= passed;
        if left == 0 {
            cuts.fetch_add(1, Ordering::SeqCst);
            break;
        }
    }
    let _ends = [from.shutdown(Shutdown::Both), to.shutdown(Shutdown::Both)];
}
