//! The commands as staff meet them: output, messages, exit codes.

use std::path::Path;

use assert_cmd::Command;

use crate::support::October;

fn trayful(book: &Path, args: &[&str]) -> String {
    let mut command = Command::cargo_bin("trayful").expect("the program");
    let run = command
        .env_clear()
        .args(["--daybook", &book.display().to_string()])
        .args(["--now", "2026-11-25T18:00:00Z", "--by", "MK", "--no-input"])
        .args(args)
        .output()
        .expect("runs");
    format!(
        "exit {}\n{}{}",
        run.status.code().unwrap_or(-1),
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    )
}

#[test]
fn a_ticket_is_followed_to_the_buyers() {
    let october = October::new();
    insta::assert_snapshot!(trayful(&october.farm.path, &["trace", "T2"]));
}

#[test]
fn a_cohort_is_followed_back_to_the_suppliers() {
    let october = October::new();
    insta::assert_snapshot!(trayful(&october.farm.path, &["trace", "--cohort", "H1"]));
}

#[test]
fn the_recall_sheet_is_one_command() {
    let october = October::new();
    let book = &october.farm.path;
    insta::assert_snapshot!(trayful(book, &["recall", "T2"]));
    insta::assert_snapshot!(trayful(book, &["recall", "T2", "--csv"]));
    insta::assert_snapshot!(trayful(book, &["recall", "T2", "--lang", "es"]));
}

#[test]
fn a_sale_and_a_harvest_are_followed_back() {
    let october = October::new();
    let book = &october.farm.path;
    let harvest = format!("r{}", october.harvest);
    let told = trayful(book, &["trace", "--harvest", &harvest]);
    let title = format!("\nTrace of harvest {harvest} of cohort H1\n");
    assert!(told.starts_with("exit 0\n") && told.contains(", fed to ") && told.contains(&title));
    let told = trayful(
        book,
        &["trace", "--buyer", "Bait shop", "--from", "2026-10-18"],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn page_workbook_and_json_tell_the_same() {
    let october = October::new();
    let book = &october.farm.path;
    let folder = book.parent().expect("a folder");
    let (html, xlsx) = (folder.join("recall.html"), folder.join("recall.xlsx"));
    let [page, table] = [&html, &xlsx].map(|path| path.display().to_string());
    let told = trayful(
        book,
        &[
            "recall",
            "--supplier",
            "Corner grocer",
            "--html",
            &page,
            "--xlsx",
            &table,
        ],
    );
    assert!(told.starts_with("exit 0\nWritten: "), "{told}");
    let page = std::fs::read_to_string(&html).expect("a page");
    for part in [
        "Recall sheet: supplier Corner grocer",
        "Pond keepers",
        "Buyers to tell",
    ] {
        assert!(page.contains(part), "{part}");
    }
    assert!(std::fs::read(&xlsx).expect("a workbook").starts_with(b"PK"));
    let told = trayful(book, &["recall", "T2", "--json"]);
    let json: serde_json::Value =
        serde_json::from_str(told.trim_start_matches("exit 0\n")).expect("JSON");
    assert_eq!(json["of"], "ticket T2");
    assert_eq!(json["lots"][0]["fed_g"], 7_301);
    assert_eq!(json["alike_on_hand"][0]["lot"], "T3");
}

#[test]
fn what_is_not_there_is_told_with_what_is_near() {
    let october = October::new();
    let book = &october.farm.path;
    let told = [
        trayful(book, &["trace"]),
        trayful(book, &["trace", "T22"]),
        trayful(book, &["trace", "T1", "--cohort", "H1"]),
        trayful(book, &["trace", "T1", "--from", "2026-10-01"]),
        trayful(book, &["trace", "--supplier", "Corner grocers"]),
        trayful(
            book,
            &[
                "trace",
                "--supplier",
                "Corner grocer",
                "--from",
                "yesterday",
            ],
        ),
        trayful(
            book,
            &[
                "trace",
                "--supplier",
                "Corner grocer",
                "--from",
                "2026-10-09",
                "--to",
                "2026-10-08",
            ],
        ),
        trayful(book, &["trace", "--cohort", "H11"]),
        trayful(book, &["trace", "--harvest", "r1"]),
        trayful(book, &["recall", "--buyer", "Pond keeper"]),
    ];
    insta::assert_snapshot!(told.join("\n"));
}
