//! README's first command: the demo shows the main job.

use std::process::Command;

#[test]
fn the_demo_shows_stock_sheet_and_last_month() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |args: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args(args)
            .current_dir(folder.path())
            .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
            .env("TRAYFUL_BY", "AB")
            .output()
            .expect("the program runs")
    };
    let shown = run(&["demo"]);
    let told = String::from_utf8_lossy(&shown.stdout);
    assert_eq!(
        shown.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&shown.stderr)
    );
    for part in [
        "Stock on hand",
        "Flags",
        "Tonight's mix, night of 2026-11-25",
        "INSIDE",
        "Month 2026-10",
        "In and out add up exactly",
    ] {
        assert!(told.contains(part), "`{part}` is not in the demo:\n{told}");
    }
    // A feeder's sheet is one page: at 60 lines an A4 page is full.
    let sheet = told.split("Tonight's mix").nth(1).expect("a sheet");
    let sheet = sheet.split("Book seal").next().expect("its part");
    let lines = sheet.lines().count();
    assert!(lines <= 58, "{lines} lines:\n{sheet}");
    let whole = run(&["check", "--daybook", "demo-2026-11-25.daybook"]);
    assert!(String::from_utf8_lossy(&whole.stdout).contains("The book is whole"));
}
