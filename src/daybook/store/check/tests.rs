use super::*;
use crate::daybook::Daybook;
use crate::daybook::fixture::*;

/// The flaws after someone dropped the guards and ran `sql`.
fn told_after(sql: &str) -> Vec<String> {
    let book = full_book();
    book.disarm();
    book.run("PRAGMA ignore_check_constraints = ON");
    book.run(sql);
    let report = book.check(None).expect("checks");
    let flaws = report.flaws.into_iter().map(|flaw| flaw.what.in_english());
    flaws
        .filter(|what| !what.starts_with("the trigger"))
        .collect()
}

#[test]
fn a_whole_book_has_no_flaws() {
    let book = full_book();
    let report = book.check(None).expect("checks");
    assert_eq!(report.flaws, []);
    assert_eq!((report.records, report.tickets), (12, 1));
    assert_eq!(report.seal, book.head());
}

#[test]
fn missing_guards_show() {
    let book = full_book();
    book.run(
        "DROP TRIGGER fed_no_update;
         CREATE TRIGGER sly AFTER INSERT ON fed BEGIN SELECT 1; END;
         DROP VIEW live_inflow; CREATE VIEW live_inflow AS SELECT * FROM inflow;",
    );
    let report = book.check(None).expect("checks");
    let told: Vec<String> = (report.flaws.iter())
        .map(|flaw| flaw.what.in_english())
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    the trigger `fed_no_update` is missing
    the view `live_inflow` was changed
    the trigger `sly` is none of the book's
    ");
}

/// Every cell of every table, changed one at a time, shows.
#[test]
fn any_changed_cell_shows() {
    let book = fullest_book();
    book.disarm();
    let conn = &book.conn;
    book.run("PRAGMA ignore_check_constraints = ON");
    let cells: Vec<(String, String, String)> = rows(
        conn,
        "SELECT t.name, c.name, c.type FROM sqlite_schema t, pragma_table_info(t.name) c
         WHERE t.type = 'table'",
        [],
    )
    .expect("lists cells");
    assert!(cells.len() > 90);
    let mut changes = 0;
    for (table, column, sort) in cells {
        let others: &[&str] = match sort.as_str() {
            "TEXT" => &["|| '1'", "|| 's'", "|| ','", "|| ' '", "IS NULL"],
            _ => &["+ 1", "+ 2", "* -1", "IS NULL"],
        };
        for (other, end) in others
            .iter()
            .flat_map(|other| [(other, "MIN"), (other, "MAX")])
        {
            let sql = format!(
                "UPDATE {table} SET {column} = {column} {other}
                 WHERE seq = (SELECT {end}(seq) FROM {table})
                   AND {column} IS NOT ({column} {other})"
            );
            book.run("BEGIN");
            let changed = conn.execute(&sql, []).unwrap_or(0);
            let mut flaws = Vec::new();
            record_flaws(conn, &mut flaws).expect("reads");
            book.run("ROLLBACK");
            assert!(changed == 0 || !flaws.is_empty(), "{sql}");
            changes += changed;
        }
    }
    assert!(changes > 250, "{changes} changes were tried");
}

#[test]
fn changed_and_missing_records_are_named() {
    for (sql, wanted) in [
        (
            "UPDATE ticket SET net_g = 13000",
            "record 3 was changed, or the digest of record 2 was: content and digest before do not give its digest",
        ),
        (
            "DELETE FROM record WHERE seq = 1",
            "record 1 is missing, so record 2 can't be verified",
        ),
        (
            "DELETE FROM record WHERE seq IN (5, 6)",
            "records 5 to 6 are missing, so record 7 can't be verified",
        ),
        (
            "DELETE FROM cohort",
            "record 6 can't be read: record 6 has no row in the table of its kind",
        ),
        (
            "UPDATE ticket SET number = 2",
            "record 3 is ticket #2 where #1 was due",
        ),
        (
            "UPDATE outflow SET at_utc = '2026-01-01T00:00:00Z' WHERE seq = 9",
            "record 9 has a row in `outflow` that does not fit it",
        ),
        (
            "INSERT INTO outflow SELECT 3, 0, 3, at_utc, 'fed', 1, 'growing' FROM record WHERE seq = 3",
            "record 3 has a row in `outflow` that does not fit it",
        ),
        (
            "UPDATE ticket SET verdict = 'perhaps'",
            "record 3 can't be read: column `verdict` holds `perhaps`",
        ),
        (
            "DELETE FROM outflow WHERE seq = 8 AND ord = 0",
            "record 8 can't be read: record 8 has rows missing before row 1",
        ),
    ] {
        let told = told_after(sql);
        assert!(told.iter().any(|what| what == wanted), "{sql}: {told:#?}");
    }
}

/// Someone who knows the chain can forge every digest after a change, but not
/// the seal that a sheet printed before.
#[test]
fn a_cut_or_forged_end_shows_against_a_printed_seal() {
    let book = full_book();
    let printed: SealMark = (book.head().short().parse()).expect("a seal");
    assert!(book.check(Some(&printed)).expect("checks").is_whole());

    book.disarm();
    for (table, seq) in [("strike", 12), ("record", 12)] {
        book.run(&format!("DELETE FROM {table} WHERE seq = {seq}"));
    }
    let flaw_of = |book: &Daybook| {
        let report = book.check(Some(&printed)).expect("checks");
        let flaws = report.flaws.into_iter();
        let named: Vec<_> = flaws.filter(|flaw| flaw.record.is_some()).collect();
        assert_eq!(named.len(), 1, "{named:#?}");
        named[0].what.in_english()
    };
    assert!(
        flaw_of(&book)
            .contains("the book ends at record 11: at least 1 are gone. Its end was cut off")
    );
    let last = strike("other", 11);
    let mut forged = Daybook::open(book.path()).expect("opens");
    forged.append(&[last], now()).expect("appends");
    assert!(flaw_of(&forged).contains("as printed: it or one before it was replaced"));
}
