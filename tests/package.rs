//! The Debian package, installed on a machine with nothing but Debian's base and systemd in
//! it: the machine starts, the dock with it, and a day is played on its page; the dock is
//! killed, the package put in anew and purged, and the book is still there. As root, with
//! debootstrap, iproute2 and systemd-container: `cargo test --test package -- --ignored`.
//! And the static program, in a folder that holds nothing else: with musl-tools.
#![cfg(target_os = "linux")]

mod dock_support;

use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use dock_support::{Dock, Tablet};
use serde_json::{Value, json};

/// Prints the dock's process.
const MAIN: &str = "systemctl show --property=MainPID --value trayful-dock";
const BOOK: &str = "var/lib/trayful/farm.daybook";

/// What a command says that must succeed.
fn run(command: &mut Command) -> String {
    let output = command.output().expect("runs");
    let told = [output.stdout, output.stderr].concat();
    let told = String::from_utf8_lossy(&told).into_owned();
    assert!(output.status.success(), "{command:?}: {told}");
    told
}

fn sh(line: &str) -> String {
    run(Command::new("bash").args(["-euo", "pipefail", "-c", line]))
}

/// A machine's files in a folder.
struct Root(tempfile::TempDir);

impl Root {
    /// The same Debian as here, where the program was built.
    fn fresh() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let at = folder.path().display();
        sh(&format!(
            ". /etc/os-release; debootstrap --variant=minbase --include=systemd $VERSION_CODENAME {at} >&2"
        ));
        Self(folder)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn inside(&self, line: &str) -> String {
        let line = ["bash", "-euo", "pipefail", "-c", line];
        run(Command::new("chroot").arg(self.0.path()).args(line))
    }

    /// Starts it as a machine is started; the network is this machine's.
    fn started(&self, port: u16) -> Machine {
        let started = Command::new("systemd-nspawn")
            .args(["--quiet", "--register=no", "--keep-unit", "--boot", "-D"])
            .arg(self.0.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()
            .expect("systemd-nspawn, of Debian's systemd-container");
        let machine = Machine {
            dock: Dock::behind(started, port),
        };
        machine.dock.wait();
        machine
    }
}

struct Machine {
    dock: Dock,
}

/// What guards it gone, a machine would run on.
impl Drop for Machine {
    fn drop(&mut self) {
        let first = format!("pgrep --parent {}", self.dock.pid());
        let kill = format!("{first} | xargs --no-run-if-empty kill -KILL");
        let _gone = Command::new("sh").args(["-c", &kill]).status();
    }
}

impl Machine {
    /// Its first process, as this machine counts.
    fn first(&self) -> String {
        sh(&format!("pgrep --parent {}", self.dock.pid()))
            .trim()
            .to_owned()
    }

    fn inside(&self, line: &str) -> String {
        run(Command::new("nsenter")
            .args(["--all", "--target", &self.first()])
            .args(["bash", "-euo", "pipefail", "-c", line]))
    }

    fn done(&self, tablet: &Tablet, path: &str, sent: &Value) -> Value {
        let answer = tablet.post(&self.dock, path, sent);
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.json()
    }

    fn weighed(&self, tablet: &Tablet, no: usize, stream: &str, gross: &str) {
        let bucket = json!({"id": format!("auto-00000000bucket{no}"), "supplier": "Quay brewery",
            "stream": stream, "gross": gross, "container": "pail"});
        self.done(tablet, "/api/weigh", &bucket);
    }
}

/// What man, shells and systemd look for lies where they look.
fn is_well_put(root: &Root) {
    for command in ["trayful", "trayful-weigh", "trayful-dock"] {
        let page = format!("zcat /usr/share/man/man1/{command}.1.gz");
        assert!(root.inside(&page).contains(".SH SYNOPSIS"), "{command}");
    }
    let completed = root.inside(
        "source /usr/share/bash-completion/completions/trayful; \
         COMP_WORDS=(trayful wei) COMP_CWORD=1; _trayful trayful wei trayful; \
         printf '%s ' \"${COMPREPLY[@]}\"",
    );
    assert_eq!(completed.trim(), "weigh");
    for file in [
        "zsh/vendor-completions/_trayful",
        "fish/vendor_completions.d/trayful.fish",
        "doc/trayful/copyright",
        "doc/trayful/changelog.Debian.gz",
    ] {
        assert!(root.path("usr/share").join(file).is_file(), "{file}");
    }
    let version = concat!("trayful ", env!("CARGO_PKG_VERSION"));
    assert_eq!(root.inside("trayful --version").trim(), version);
}

/// The unit is as systemd wants it, and leaves the dock no more than it needs.
fn is_held(machine: &Machine) {
    let verified = machine.inside("systemd-analyze verify --man=no trayful-dock.service");
    assert_eq!(verified.trim(), "");
    machine.inside(
        "systemd-analyze security --no-pager --threshold=15 trayful-dock.service >/dev/null",
    );
    let of = |what: &str| machine.inside(&format!("stat -c '%U %a' {what}"));
    assert_eq!(of("/var/lib/trayful").trim(), "trayful 750");
    assert_eq!(of("/var/lib/trayful/farm.daybook").trim(), "trayful 600");
    let who = machine.inside(&format!("stat -c %U /proc/$({MAIN})"));
    assert_eq!(who.trim(), "trayful");
}

/// An address of a private network, of this machine as long as it is held.
struct Network(&'static str);

impl Network {
    fn joined() -> Self {
        let address = "10.213.77.1";
        sh(&format!("ip address replace {address}/32 dev lo"));
        Self(address)
    }
}

impl Drop for Network {
    fn drop(&mut self) {
        let leave = ["address", "delete", &format!("{}/32", self.0), "dev", "lo"];
        let _left = Command::new("ip").args(leave).status();
    }
}

/// What a tablet on the farm's network gets.
fn from_the_network(port: u16, path: &str) -> String {
    let network = Network::joined();
    let address = format!("{}:{port}", network.0);
    let mut tablet = TcpStream::connect(&address).expect("let in");
    let asked = format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    tablet.write_all(asked.as_bytes()).expect("asked");
    let mut answer = String::new();
    tablet.read_to_string(&mut answer).expect("answered");
    answer
}

/// What the file of options says of the farm's network, done.
fn lets_tablets_in(machine: &Machine, port: u16) -> String {
    let pin = "/var/lib/trayful/pin";
    machine.inside(&format!(
        "install -o trayful -g trayful -m 600 /dev/null {pin}; echo 471147 > {pin}"
    ));
    let options = format!("TRAYFUL_DOCK=\"--port {port} --lan --pin-file {pin}\"\n");
    let write = format!("printf '%s' '{options}' > /etc/default/trayful-dock");
    machine.inside(&format!("{write}; systemctl restart trayful-dock"));
    machine.dock.wait();
    // Nothing but the question for the PIN.
    let stock = from_the_network(port, "/stock");
    assert!(stock.starts_with("HTTP/1.1 303"), "{stock}");
    assert!(!stock.contains("Quay brewery"), "{stock}");
    let asked = from_the_network(port, "/pin");
    assert!(asked.contains("name=\"pin\""), "{asked}");
    options
}

/// From no farm to its month; what the month says.
fn day(machine: &Machine) -> Value {
    let dock = &machine.dock;
    let tablet = dock.tablet();
    let done = |path, sent| machine.done(&tablet, path, &sent);
    assert!(tablet.get(dock, "/").body.contains("/settings"));
    done(
        "/api/settings",
        json!({"id": "auto-000000settings1", "name": "Yard 3 larvae", "region": "us", "larvae_for": "poultry-fish-pig"}),
    );
    done(
        "/api/container",
        json!({"id": "auto-00000container1", "name": "pail", "weight": "0.7 kg", "holds": "20L"}),
    );
    let hatched = jiff::Timestamp::now() - jiff::SignedDuration::from_hours(24 * 9);
    done(
        "/api/cohort",
        json!({"id": "auto-0000000cohort1", "name": "H1", "larvae": "60000", "trays": "16",
            "hatched": hatched.strftime("%Y-%m-%d").to_string(), "tray_area": "60x40cm"}),
    );
    let buckets = [
        ("spent-grain", "12.7 kg"),
        ("bread", "13.1 kg"),
        ("spent-grain", "14.9 kg"),
    ];
    for (no, (stream, gross)) in buckets.into_iter().enumerate() {
        machine.weighed(&tablet, no, stream, gross);
    }
    // What was acknowledged is there when systemd has the dock up again.
    machine.inside(&format!("kill -KILL $({MAIN})"));
    std::thread::sleep(std::time::Duration::from_secs(1));
    dock.wait();
    let tablet = dock.tablet();
    let done = |path, sent| machine.done(&tablet, path, &sent);
    let stock = tablet.get(dock, "/api/stock").json();
    assert_eq!(stock.as_array().map(Vec::len), Some(3), "{stock}");
    let sheet = done("/api/sheet", json!({"id": "auto-sheet-000001"}));
    let night = tablet.get(dock, "/api/tonight").json();
    let lines = night["kept"]["lines"].as_array().map_or(0, Vec::len);
    assert!(lines > 0, "{sheet} {night}");
    done(
        "/api/fed",
        json!({"id": "auto-fed-00000001", "sheet": sheet["sheet"]}),
    );
    done(
        "/api/harvest",
        json!({"id": "auto-0000000harvest1", "cohort": "H1", "larvae": "9.2 kg", "sample_count": "100",
            "sample_g": "15.2", "residue": "11 kg", "residue_to": "composted", "last": "yes"}),
    );
    tablet.get(dock, "/api/month").json()
}

/// What is handed out, built.
fn build(here: &Path, what: &[&str]) {
    // Without what cargo tells a test, which would have it build crates anew.
    let mut build = Command::new("bash");
    build.arg(here.join("data/package/build")).args(what);
    let told = |name: &str| name.starts_with("CARGO_") && name != "CARGO_HOME";
    for (name, _) in std::env::vars().filter(|(name, _)| told(name)) {
        build.env_remove(name);
    }
    run(&mut build);
}

#[test]
#[ignore = "minutes, as root: a release build with the musl target"]
fn the_static_program_plays_a_day_where_nothing_else_is() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    build(here, &["static"]);
    let root = tempfile::tempdir().expect("a folder");
    let packed = here.join("target/trayful-static.tar.gz");
    run(Command::new("tar")
        .args(["-xzf"])
        .arg(packed)
        .arg("-C")
        .arg(root.path()));
    for file in [
        "man/trayful.1",
        "completions/_trayful",
        "licences-of-crates.gz",
        "LICENSE",
    ] {
        assert!(root.path().join("trayful").join(file).is_file(), "{file}");
    }
    // No library, no shell, no time zones: nothing but what was packed.
    let trayful = |args: &[&str]| {
        let mut chroot = Command::new("chroot");
        run(chroot.arg(root.path()).arg("/trayful/trayful").args(args))
    };
    assert!(trayful(&["demo", "/demo.daybook"]).contains("Tonight's mix"));
    trayful(&["check", "--daybook", "/demo.daybook"]);
    let month = trayful(&["month", "--json", "--daybook", "/demo.daybook"]);
    let month: Value = serde_json::from_str(&month).expect("JSON");
    assert!(month["received_g"].as_i64() > Some(0), "{month}");
}

#[test]
#[ignore = "minutes, as root: a release build, Debian's base system from its mirror"]
fn an_installed_dock_lives_through_a_day_and_its_book_through_a_purge() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let _stale = std::fs::remove_dir_all(here.join("target/debian"));
    build(here, &[]);
    let root = Root::fresh();
    sh(&format!(
        "cp {}/target/debian/*.deb {}",
        here.display(),
        root.path("srv/trayful.deb").display()
    ));
    root.inside("dpkg --install /srv/trayful.deb");
    is_well_put(&root);
    // Any free port, so that a dock of this machine is left alone.
    let free = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = free.local_addr().expect("an address").port();
    drop(free);
    let options = format!("TRAYFUL_DOCK=\"--port {port}\"\n");
    std::fs::write(root.path("etc/default/trayful-dock"), &options).expect("written");

    let machine = root.started(port);
    let month = day(&machine);
    is_held(&machine);
    let options = lets_tablets_in(&machine, port);
    machine.inside("dpkg --install /srv/trayful.deb");
    machine.dock.wait();
    let kept = std::fs::read_to_string(root.path("etc/default/trayful-dock"));
    assert_eq!(kept.expect("the options"), options);

    let said = machine.inside("dpkg --purge trayful");
    assert!(said.contains("/var/lib/trayful"), "{said}");
    assert!(machine.dock.try_request("GET", "/", &[], "").is_err());
    drop(machine);
    let trayful = |what: &str| {
        let trayful = &mut Command::new(assert_cmd::cargo::cargo_bin!("trayful"));
        run(trayful
            .arg("--daybook")
            .arg(root.path(BOOK))
            .args([what, "--json"]))
    };
    trayful("check");
    let told: Value = serde_json::from_str(&trayful("month")).expect("JSON");
    assert_eq!(told, month);
    assert_eq!(month["received_g"], 38_600, "{month}");
    assert!(month["balance"]["fed_g"].as_i64() > Some(0), "{month}");
}
