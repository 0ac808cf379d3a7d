use std::fs;

use super::*;
use crate::daybook::fixture::*;

#[test]
fn what_is_no_daybook_is_told_and_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = |name: &str| folder.path().join(name);
    fs::write(place("empty"), "").expect("writes");
    fs::write(place("text"), "hello ".repeat(500)).expect("writes");
    fs::create_dir(place("folder")).expect("makes");
    let foreign = Connection::open(place("foreign")).expect("opens");
    let sql = "CREATE TABLE cheese (kind)";
    foreign.execute_batch(sql).expect("makes");
    drop(foreign);
    let mut told = Vec::new();
    for name in ["none", "empty", "text", "folder", "foreign"] {
        let before = fs::read(place(name)).ok();
        let error = Daybook::open(&place(name)).expect_err(name);
        let there = folder.path().to_string_lossy();
        told.push(error.to_string().replace(&*there, "."));
        assert_eq!(fs::read(place(name)).ok(), before);
    }
    insta::assert_snapshot!(told.join("\n"), @"
    there is no daybook at `./none`
    `./empty` is not a daybook: it is empty
    `./text` is not a daybook: it is no SQLite file
    `./folder` is not a daybook: it is a folder
    `./foreign` is not a daybook: it is a database of another program
    ");
    assert_eq!(names(folder.path()), ["empty", "folder", "foreign", "text"]);
}

#[test]
fn a_newer_schema_is_refused_with_both_numbers() {
    let book = new_book();
    book.run("PRAGMA user_version = 99");
    let (_folder, path) = book.closed();
    match Daybook::open(&path) {
        Err(DaybookError::NewerSchema { found, known, .. }) => {
            assert_eq!((found, known), (99, migrate::KNOWN));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_new_book_appears_whole_or_not_at_all() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("farm.daybook");
    let mut blank = farm_record();
    blank.by = String::new();
    for wrong in [blank, ticket_record("a", now())] {
        let error = Daybook::create(&path, &wrong, now()).expect_err("refused");
        assert!(matches!(error, DaybookError::NotAccepted { .. }));
        assert_eq!(names(folder.path()), [""; 0]);
    }
    let book = Daybook::create(&path, &farm_record(), now()).expect("a new book");
    assert_eq!(book.farm().expect("settings"), farm());
    book.close().expect("closes");
    assert_eq!(names(folder.path()), ["farm.daybook"]);
    let error = Daybook::create(&path, &farm_record(), now()).expect_err("is there");
    assert!(matches!(error, DaybookError::Exists { .. }));
    let nowhere = folder.path().join("none/farm.daybook");
    let error = Daybook::create(&nowhere, &farm_record(), now()).expect_err("no folder");
    assert!(matches!(error, DaybookError::File { .. }));
    assert_eq!(names(folder.path()), ["farm.daybook"]);
}

#[test]
fn settings_are_those_the_book_promises() {
    let book = new_book();
    let told = |pragma: &str| -> String {
        let value = |row: &rusqlite::Row<'_>| row.get_ref(0).map(|cell| format!("{cell:?}"));
        book.conn
            .pragma_query_value(None, pragma, value)
            .expect(pragma)
    };
    assert_eq!(told("journal_mode"), "Text([119, 97, 108])"); // wal
    for (pragma, wanted) in [
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("trusted_schema", 0),
        ("cell_size_check", 1),
        ("busy_timeout", 5_000),
        ("user_version", migrate::KNOWN),
        ("application_id", i64::from(migrate::APPLICATION_ID)),
    ] {
        assert_eq!(told(pragma), format!("Integer({wanted})"), "{pragma}");
    }
}

#[test]
fn a_still_book_is_read_and_not_written_to() {
    let mut book = full_book();
    let odd = book.folder.path().join("a%20?#.daybook");
    book.keep(&odd).expect("keeps");
    let seal = book.head();
    let (conn, mark) = open_still(&odd, PATIENCE).expect("opens still");
    assert_eq!(mark, migrate::APPLICATION_ID);
    let still = Daybook::of(conn, &odd, &odd, true).and_then(Daybook::readable);
    let mut still = still.expect("is of this schema");
    assert!(still.is_read_only());
    assert_eq!(still.seal().expect("a seal"), seal);
    assert!(still.check(None).expect("checks").is_whole());
    let error = still.append(&[ticket_record("a", now())], now());
    assert!(matches!(error, Err(DaybookError::ReadOnly { .. })));

    // With pages beside it, a still file would tell an older story.
    book.add(&[ticket_record("a", now())]);
    let error = open_still(book.path(), PATIENCE).expect_err("refused");
    assert!(matches!(error, DaybookError::Unfolded { .. }));
}

/// Source: SQLite's file format; a page overwritten is what a failing disk leaves.
#[test]
fn a_damaged_file_is_told_as_damaged() {
    let mut book = full_book();
    book.add(&tickets("t", 50));
    let (_folder, path) = book.closed();
    let mut bytes = fs::read(&path).expect("reads");
    bytes[4096..].fill(0xA5);
    fs::write(&path, bytes).expect("writes");
    let told = Daybook::open(&path).and_then(|book| book.farm());
    assert!(
        matches!(told, Err(DaybookError::Damaged { .. })),
        "{told:?}"
    );
}

/// A power cut may leave any part of the file of pages beside the book: what
/// is read then is always the state after some whole transaction.
#[test]
fn a_torn_file_of_pages_gives_whole_transactions() {
    let mut book = new_book();
    book.run("PRAGMA wal_autocheckpoint = 0");
    let mut seals = vec![book.head()];
    for at in 0..4 {
        book.add(&tickets(&format!("t{at}-"), 3));
        seals.push(book.head());
    }
    let db = fs::read(book.path()).expect("reads");
    let wal = fs::read(suffixed(book.path(), "-wal")).expect("reads");
    let torn = book.folder.path().join("torn.daybook");
    let mut seen = std::collections::BTreeSet::new();
    for cut in (0..=wal.len()).step_by(1_741).chain([wal.len()]) {
        fs::write(&torn, &db).expect("writes");
        fs::write(suffixed(&torn, "-wal"), &wal[..cut]).expect("writes");
        let read = Daybook::open(&torn).expect("opens");
        let report = read.check(None).expect("checks");
        assert!(report.is_whole(), "cut at {cut}: {:?}", report.flaws);
        let whole = seals.iter().position(|seal| *seal == report.seal);
        seen.insert(whole.expect("the seal of a whole transaction"));
        read.close().expect("closes");
    }
    assert_eq!(seen.len(), seals.len(), "every state was met");
}
