use std::collections::BTreeSet;

use super::*;
use crate::daybook::fixture::{farm_record, later_kinds, now, one_of_each};
use crate::daybook::store::migrate;

/// Each record of the fixtures as its digest sees it.
const CANONICAL: &str = include_str!("canonical.txt");

/// Digests of the chain at some of them.
const PINNED: [(i64, &str); 4] = [
    (
        1,
        "68d514a5236f45bc52fa1ecf7b0f65dc3ac7a9852f43603a65c04a41f0766f60",
    ),
    (
        22,
        "01959931f6c1fcef290e18a61aa880deb4a46c76134ebdb6fc30b1a0865f1a28",
    ),
    (
        23,
        "f8c9d891c51b5cfe3ae692117f88cb98ab5e5cec8d0c6c8aed591c9ae5991d87",
    ),
    (
        26,
        "234b305388d72f85214decebcf8d15ebd203abbdfe26220580d17b674ea14dd0",
    ),
];

/// Pins the file format: a change here means that old books stop verifying,
/// be it only the order of two fields. Lines are added, never changed.
#[test]
fn the_bytes_under_a_digest_never_change() {
    let records = [farm_record()]
        .into_iter()
        .chain(one_of_each())
        .chain(later_kinds());
    let mut lines = CANONICAL.lines();
    let mut kinds = BTreeSet::new();
    let mut before = String::new();
    for (seq, content) in (1..).zip(records) {
        kinds.insert(content.entry.kind().to_owned());
        let sealed = Sealed {
            seq,
            recorded_at: now(),
            content: &content,
        };
        let bytes = serde_json::to_string(&sealed).expect("plain data");
        assert_eq!(Some(bytes.as_str()), lines.next(), "record {seq}");
        before = digest(&before, seq, now(), &content).expect("plain data");
        let pinned = PINNED.iter().find(|(at, _)| *at == seq);
        assert!(
            pinned.is_none_or(|(_, digest)| before == *digest),
            "record {seq}: {before}"
        );
    }
    assert_eq!(lines.next(), None);
    assert_eq!(
        kinds,
        kinds_of_the_schema(),
        "a kind without a pinned record"
    );
}

/// The kinds that the newest schema lets a record have.
fn kinds_of_the_schema() -> BTreeSet<String> {
    let conn = Connection::open_in_memory().expect("opens");
    migrate::bring_up(&conn).expect("migrates");
    let sql = "SELECT sql FROM sqlite_schema WHERE name = 'record'";
    let sql: String = conn.query_row(sql, [], |row| row.get(0)).expect("reads");
    let words = sql.split("kind = '").skip(1);
    words
        .map(|word| word.split('\'').next().unwrap_or_default().to_owned())
        .collect()
}

#[test]
fn a_printed_seal_reads_back() {
    let seal = Seal {
        seq: 57,
        digest: "1a2b3c4d".repeat(8),
    };
    assert_eq!(seal.short(), "57-1a2b-3c4d-1a2b-3c4d");
    let mark: SealMark = seal.short().parse().expect("a seal");
    assert_eq!((mark.seq, mark.prefix.as_str()), (57, "1a2b3c4d1a2b3c4d"));
    // As sheets printed it before.
    let mark: SealMark = "57-1A2b3c4d".parse().expect("a seal");
    assert_eq!(mark.to_string(), "57-1a2b3c4d");
    for text in [
        "",
        "57",
        "57-",
        "57-1a2b",
        "0-1a2b3c4d",
        "x-1a2b3c4d",
        "57-1a2b3c4g",
    ] {
        let error = text.parse::<SealMark>().expect_err(text);
        assert!(matches!(error, DaybookError::NotASeal { .. }));
    }
}
