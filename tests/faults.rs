//! Faults of the machine: whatever happens, the book is whole and holds all of
//! a request or nothing of it.

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const NOW: &str = "2026-03-10T18:00:00Z";

fn trayful(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trayful"));
    command
        .current_dir(folder)
        .env_clear()
        .env("TRAYFUL_NOW", NOW)
        .env("TRAYFUL_BY", "AB");
    command
}

fn run(folder: &Path, args: &[&str]) -> Output {
    trayful(folder)
        .args(args)
        .output()
        .expect("the program runs")
}

fn begun() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let begun = run(
        folder.path(),
        &[
            "begin",
            "--zone",
            "UTC",
            "--unit",
            "kg",
            "--division",
            "0.1",
            "--currency",
            "EUR",
            "--region",
            "eu",
            "--larvae-for",
            "not-feed",
        ],
    );
    assert!(
        begun.status.success(),
        "{}",
        String::from_utf8_lossy(&begun.stderr)
    );
    folder
}

fn tickets(name: &str, rows: usize) -> String {
    let mut file = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note\n".to_owned();
    for row in 0..rows {
        file.push_str(&format!(
            "2026-03-09T08:00,{name}-{row},Quay brewery,spent-grain,14.5,0.7,kg,,,,,,AB,\n"
        ));
    }
    file
}

/// Tickets in a book that must be whole.
fn tickets_in_whole_book(folder: &Path) -> u64 {
    let check = run(folder, &["check", "--json"]);
    let told: serde_json::Value = serde_json::from_slice(&check.stdout).expect("JSON");
    assert_eq!(told["whole"], true, "{told}");
    told["tickets"].as_u64().expect("a count")
}

#[test]
fn killed_at_any_moment_an_import_is_all_or_nothing() {
    const ROWS: usize = 2_000;
    let folder = begun();
    let mut kept = 0;
    for round in 0..12_u64 {
        let name = format!("k{round}");
        std::fs::write(folder.path().join("tickets.csv"), tickets(&name, ROWS)).expect("a file");
        let mut child = trayful(folder.path())
            .args(["weigh", "--file", "tickets.csv"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        std::thread::sleep(Duration::from_millis(round * 45));
        // An error only says that it had ended by itself.
        let _ended = child.kill();
        child.wait().expect("its end");
        let now = tickets_in_whole_book(folder.path());
        assert!(
            now == kept || now == kept + ROWS as u64,
            "{now} after {kept}"
        );
        kept = now;
    }
    std::fs::write(folder.path().join("tickets.csv"), tickets("k0", ROWS)).expect("a file");
    assert!(
        run(folder.path(), &["weigh", "--file", "tickets.csv"])
            .status
            .success()
    );
}

/// Read once while nobody may write to it, a book can be written to again afterwards.
#[cfg(unix)]
#[test]
fn a_book_that_was_closed_off_leaves_nothing_that_shuts_it() {
    use std::os::unix::fs::PermissionsExt;
    let folder = begun();
    let book = folder.path().join("farm.daybook");
    let allow =
        |mode| std::fs::set_permissions(&book, std::fs::Permissions::from_mode(mode)).expect("set");
    allow(0o444);
    assert!(run(folder.path(), &["stock"]).status.success());
    assert!(!folder.path().join("farm.daybook-shm").exists());
    let weigh = [
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "5kg",
        "--tare",
        "0",
    ];
    let told = run(folder.path(), &weigh);
    let error = String::from_utf8_lossy(&told.stderr);
    assert!(
        !told.status.success() && error.contains("can be read but not written to"),
        "{error}"
    );
    allow(0o644);
    assert!(run(folder.path(), &weigh).status.success());
}

/// Beyond what any farm has, a file is refused at once.
#[test]
fn files_beyond_all_measure_are_refused_at_once() {
    let folder = begun();
    let columns: String = (0..300_000).map(|no| format!("c{no},")).collect();
    let groups: String = (0..3_000)
        .map(|no| format!("[group.g{no}]\ndry_matter_kg = 1\n"))
        .collect();
    let caps: String = (0..30_000).map(|no| format!("s{no} = 1\n")).collect();
    let caps = format!("[group.g]\ndry_matter_kg = 1\n[group.g.cap]\n{caps}");
    let file =
        |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("a file");
    file("columns.csv", &columns);
    file("groups.toml", &groups);
    file("caps.toml", &caps);
    file("stock.csv", include_str!("../examples/one-night/stock.csv"));
    let large = std::fs::File::create(folder.path().join("large.csv")).expect("a file");
    large.set_len(129 << 20).expect("set");
    let began = std::time::Instant::now();
    for (args, told) in [
        (
            &["weigh", "--file", "columns.csv"][..],
            "at most 200 columns",
        ),
        (
            &["mix", "--stock", "stock.csv", "--targets", "groups.toml"],
            "`group`: `3000` is not accepted; accepted: at most 60",
        ),
        (
            &["mix", "--stock", "stock.csv", "--targets", "caps.toml"],
            "`30000` is not accepted; accepted: at most 500",
        ),
        (&["weigh", "--file", "large.csv"], "has more than 128 MiB"),
    ] {
        let refused = run(folder.path(), args);
        let error = String::from_utf8_lossy(&refused.stderr);
        assert!(
            !refused.status.success() && error.contains(told),
            "{told}: {error}"
        );
    }
    assert!(
        began.elapsed() < Duration::from_secs(20),
        "{:?}",
        began.elapsed()
    );
}

/// A group too small for the scale goes without or gets more than its due, and
/// is named; the others are mixed all the same.
#[test]
fn one_small_group_stops_nobody_else_s_mix() {
    let folder = begun();
    let window = "window.moisture_pct = { min = 64, max = 72, limit_min = 60, limit_max = 76 }";
    let targets = format!(
        "[group.grower]\ndry_matter_kg = 5\n{window}\n[group.nursery]\ndry_matter_kg = 0.06\n{window}\n"
    );
    std::fs::write(folder.path().join("targets.toml"), targets).expect("a file");
    let stock = include_str!("../examples/one-night/stock.csv");
    std::fs::write(folder.path().join("stock.csv"), stock).expect("a file");
    let files = "--stock stock.csv --targets targets.toml --json";
    for (asked, left_out) in [("--apart", false), ("--apart", true), ("--plain", true)] {
        let division = if left_out { "0.5lb" } else { "0.1kg" };
        let line = format!("mix {files} {asked} --division {division}");
        let told = run(folder.path(), &line.split(' ').collect::<Vec<_>>());
        assert_eq!(told.status.code(), Some(3), "{line}: {told:?}");
        let mix: serde_json::Value = serde_json::from_slice(&told.stdout).expect("JSON");
        let of = |name: &str| {
            let groups = mix["groups"].as_array().expect("groups").iter();
            let mut named = groups.filter(|group| group["group"] == name);
            named.next().cloned().expect("a group")
        };
        let dry = |name: &str| of(name)["dm_kg"].as_f64().expect("a figure");
        assert!((4.9..5.2).contains(&dry("grower")), "{mix}");
        assert_eq!(dry("nursery") < 1e-9, left_out, "{mix}");
        let coarse = &mix["too_coarse"];
        let named = coarse.as_array().is_some_and(|all| all.len() == 1);
        assert!(named && coarse.to_string().contains("nursery"), "{coarse}");
    }
}

/// What was asked for and could not be printed is an error; that the reader
/// had enough is none.
#[cfg(unix)]
#[test]
fn what_can_t_be_printed_is_said() {
    let folder = begun();
    for args in [
        &["month", "--csv"][..],
        &["month", "--json"],
        &["stock", "--json"],
        &["farm"],
        &["--help"],
        &["month", "--help"],
    ] {
        let full = std::fs::File::options().write(true).open("/dev/full");
        let told = trayful(folder.path())
            .args(args)
            .stdout(full.expect("a full disk"))
            .output()
            .expect("runs");
        let error = String::from_utf8_lossy(&told.stderr);
        assert_eq!(told.status.code(), Some(1), "{args:?}: {error}");
        assert!(
            error.contains("error: Not all of it could be printed: No space left"),
            "{args:?}: {error}"
        );
    }
    let line = format!(
        "'{}' month --json | true; '{}' --help | head -c 1",
        env!("CARGO_BIN_EXE_trayful"),
        env!("CARGO_BIN_EXE_trayful")
    );
    let told = Command::new("bash")
        .args(["-c", &format!("set -o pipefail; {line}")])
        .current_dir(folder.path())
        .env("TRAYFUL_NOW", NOW)
        .output()
        .expect("a shell");
    assert!(told.status.success() && told.stderr.is_empty(), "{told:?}");
}

/// Whatever is under way: what was said to be done is in the book once, and
/// what was killed is in it whole or not at all.
#[test]
fn fifty_kills_lose_nothing_that_was_acknowledged() {
    let folder = begun();
    let path = |name: &str| folder.path().join(name);
    let mut acknowledged = 0;
    for round in 0..50_u64 {
        let ticket = format!("w{round}");
        let kept = format!("kept-{round}.daybook");
        let weigh = [
            "weigh",
            "--ticket",
            &ticket,
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5kg",
            "--tare",
            "0",
            "--sure",
        ];
        let args: &[&str] = match round % 5 {
            0 => &["keep", &kept],
            1 => &["month", "2026-02", "--close", "--why", "again"],
            _ => &weigh,
        };
        let mut child = trayful(folder.path())
            .args(args)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        // Others may keep this machine busy: a third is left to end by itself.
        if round % 3 != 0 {
            std::thread::sleep(Duration::from_millis(round * 13 % 90));
            let _ended = child.kill();
        }
        let ended = child.wait().expect("its end").success();
        acknowledged += u64::from(ended && round % 5 > 1);
        if round % 5 == 0 && path(&kept).exists() {
            let whole = run(folder.path(), &["check", "--daybook", &kept]);
            assert!(whole.status.success(), "{kept} is there and not whole");
        }
    }
    let kept = tickets_in_whole_book(folder.path());
    assert!(
        (acknowledged..=30).contains(&kept) && acknowledged >= 8,
        "{acknowledged} acknowledged, {kept} kept"
    );
    let stock = run(folder.path(), &["stock", "--json"]);
    let lots: Vec<serde_json::Value> = serde_json::from_slice(&stock.stdout).expect("JSON");
    let ids: std::collections::BTreeSet<String> =
        lots.iter().map(|lot| lot["lot"].to_string()).collect();
    assert_eq!(ids.len(), lots.len());
}

#[test]
fn a_book_in_use_is_said_so() {
    let folder = begun();
    let other = rusqlite::Connection::open(folder.path().join("farm.daybook")).expect("the book");
    other.execute_batch("BEGIN IMMEDIATE").expect("held");
    let refused = run(
        folder.path(),
        &[
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5kg",
            "--tare",
            "0",
        ],
    );
    let told = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(1), "{told}");
    assert!(
        told.contains("in use by another program; nothing was written") && told.contains("hint: "),
        "{told}"
    );
    other.execute_batch("ROLLBACK").expect("let go");
    assert_eq!(tickets_in_whole_book(folder.path()), 0);
}

/// A limit on the file's size stands for a disk that is full.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_nothing_half_written() {
    let folder = begun();
    std::fs::write(folder.path().join("tickets.csv"), tickets("f", 4_000)).expect("a file");
    let before = tickets_in_whole_book(folder.path());
    let limited = format!(
        "ulimit -f 600; trap '' XFSZ; exec '{}' weigh --file tickets.csv",
        env!("CARGO_BIN_EXE_trayful")
    );
    let refused = Command::new("sh")
        .args(["-c", &limited])
        .current_dir(folder.path())
        .env("TRAYFUL_NOW", NOW)
        .env("TRAYFUL_BY", "AB")
        .output()
        .expect("a shell");
    let told = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(1), "{told}");
    assert!(
        told.starts_with("error: ") && !told.contains("panicked"),
        "{told}"
    );
    assert_eq!(tickets_in_whole_book(folder.path()), before);
}
