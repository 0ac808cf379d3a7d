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
