use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::daybook::stock::marks;

/// Marks the file as a daybook: `TRYF` in the header's application id.
pub(crate) const APPLICATION_ID: i32 = 0x5452_5946;

/// A step from one schema to the next. A step that has shipped is never edited.
struct Migration {
    sql: &'static str,
    /// Tables the step adds, each with the conditions under which a row of it
    /// stands in the way of `NEW`: `REPLACE` deletes such a row without asking
    /// any delete trigger.
    grows: &'static [(&'static str, &'static [&'static str])],
}

const MIGRATIONS: &[Migration] = &[
    Migration {
        sql: include_str!("schema.sql"),
        grows: &[
            ("record", &["seq >= NEW.seq", "id = NEW.id"]),
            ("farm", &["seq = NEW.seq"]),
            ("container", &["seq = NEW.seq"]),
            ("ticket", &["seq = NEW.seq", "number = NEW.number"]),
            ("picked_out", &["seq = NEW.seq AND ord = NEW.ord"]),
            ("strike", &["seq = NEW.seq", "target_seq = NEW.target_seq"]),
            ("assay", &["seq = NEW.seq"]),
            ("reweigh", &["seq = NEW.seq"]),
            ("cohort", &["seq = NEW.seq"]),
            ("cohort_end", &["seq = NEW.seq"]),
            ("sheet", &["seq = NEW.seq"]),
            ("sheet_draw", &["seq = NEW.seq AND ord = NEW.ord"]),
            ("sheet_addition", &["seq = NEW.seq AND ord = NEW.ord"]),
            ("fed", &["seq = NEW.seq"]),
            ("discard", &["seq = NEW.seq"]),
            ("outflow", &["seq = NEW.seq AND ord = NEW.ord"]),
            ("inflow", &["seq = NEW.seq AND ord = NEW.ord"]),
        ],
    },
    Migration {
        sql: include_str!("schema-month.sql"),
        grows: &[
            (
                "month_closed",
                &[
                    "seq = NEW.seq",
                    "month = NEW.month AND version = NEW.version",
                ],
            ),
            ("month_figure", &["seq = NEW.seq AND ord = NEW.ord"]),
        ],
    },
    Migration {
        sql: include_str!("schema-harvest.sql"),
        grows: &[
            ("harvest", &["seq = NEW.seq"]),
            ("money", &["seq = NEW.seq"]),
            ("money_cohort", &["seq = NEW.seq AND ord = NEW.ord"]),
            ("adopted", &["seq = NEW.seq"]),
        ],
    },
    Migration {
        sql: include_str!("schema-marks.sql"),
        grows: &[(
            "stock_mark",
            &["seq = NEW.seq AND supplier = NEW.supplier
               AND stream = NEW.stream AND bought = NEW.bought"],
        )],
    },
    Migration {
        sql: include_str!("schema-words.sql"),
        grows: &[
            ("correction", &["seq = NEW.seq"]),
            ("look", &["seq = NEW.seq"]),
            ("leave", &["seq = NEW.seq"]),
        ],
    },
    Migration {
        sql: include_str!("schema-streams.sql"),
        grows: &[("own_stream", &["seq = NEW.seq"])],
    },
];

/// The newest schema this program knows.
pub(crate) const KNOWN: i64 = MIGRATIONS.len() as i64;

/// The schema the file has.
pub(crate) fn version(conn: &Connection) -> rusqlite::Result<i64> {
    conn.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Brings the file to the newest schema, in one transaction, forward only.
pub(crate) fn bring_up(conn: &Connection) -> rusqlite::Result<()> {
    if version(conn)? >= KNOWN {
        return Ok(());
    }
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate)?;
    // Read again under the lock: another program may have just done it.
    let mut at = version(&tx)?;
    for step in MIGRATIONS.iter().skip(usize::try_from(at).unwrap_or(0)) {
        tx.execute_batch(step.sql)?;
        for (table, in_the_way) in step.grows {
            tx.execute_batch(&guards(table, in_the_way))?;
        }
        at += 1;
    }
    marks::keep_up(&tx)?;
    tx.pragma_update(None, "application_id", APPLICATION_ID)?;
    tx.pragma_update(None, "user_version", at)?;
    tx.commit()
}

/// Triggers that keep a table append-only, whichever program writes to it.
fn guards(table: &str, in_the_way: &[&str]) -> String {
    // One search each: a single one with OR costs several times as much.
    let taken: Vec<String> = (in_the_way.iter())
        .map(|row| format!("EXISTS (SELECT 1 FROM {table} WHERE {row})"))
        .collect();
    let taken = taken.join(" OR ");
    format!(
        "CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
             BEGIN SELECT RAISE(ABORT, 'append only'); END;
         CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
             BEGIN SELECT RAISE(ABORT, 'append only'); END;
         CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table}
             WHEN {taken}
             BEGIN SELECT RAISE(ABORT, 'append only'); END;"
    )
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::*;
    use crate::daybook::fixture::{chosen_farm, fullest_book};
    use crate::daybook::store::chain;

    fn tables(conn: &Connection) -> Vec<String> {
        let mut statement = conn
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
            .expect("prepares");
        let names = statement.query_map([], |row| row.get(0)).expect("queries");
        names.map(|name| name.expect("a name")).collect()
    }

    /// A migration that has shipped is never edited: its text, with the guards
    /// it makes, is pinned. A new one adds its line.
    #[test]
    fn shipped_migrations_never_change() {
        let digests: Vec<String> = (MIGRATIONS.iter())
            .map(|step| {
                let guards = step.grows.iter().map(|(table, rows)| guards(table, rows));
                let text: String = guards.fold(step.sql.to_owned(), |text, more| text + &more);
                chain::hex(&Sha256::digest(text))
            })
            .collect();
        let pinned = [
            "50e06a376b5a7c50fef7c5f2c9dbfe20a573ce4398bf673d728bd9281ca3de82",
            "3d11081c99c8a37e520eac138fee1727bbbd1a652a21a3ad38559c06fe0f7f4e",
            "5d62f6ba01ba4da694e9a75f8cc7364adee76a90a7cfa1f8552f33d54aa30583",
            "e201c8ad0aa1525fa1e2203d0b62a2db2d733e0ee2119a2580cf8af61ebe266f",
            "ac559a7010a2eea799af5b6794dd4900c3f6a7cf4d8947747c0fbc2053bc3168",
            "89fba0fa849eac572c9956474fc498a65af2764270913f9a1a2f1947883dda78",
        ];
        assert_eq!(digests, pinned);
    }

    #[test]
    fn every_table_is_strict_and_guarded() {
        let conn = Connection::open_in_memory().expect("opens");
        bring_up(&conn).expect("migrates");
        let guarded: Vec<&str> = MIGRATIONS
            .iter()
            .flat_map(|step| step.grows.iter().map(|(table, _)| *table))
            .collect();
        for table in tables(&conn) {
            assert!(guarded.contains(&table.as_str()), "{table} has no guard");
            let strict: bool = conn
                .query_row(
                    "SELECT strict FROM pragma_table_list WHERE name = ?1",
                    [&table],
                    |row| row.get(0),
                )
                .expect("listed");
            assert!(strict, "{table} is not strict");
        }
        assert_eq!(version(&conn).ok(), Some(KNOWN));
        bring_up(&conn).expect("a second time changes nothing");
    }

    /// A book of schema 1, made by its own SQL, comes up to the same schema as
    /// a new one, keeps its records and takes the new kinds.
    #[test]
    fn an_old_book_comes_up_and_still_reads() {
        let conn = Connection::open_in_memory().expect("opens");
        conn.execute_batch(MIGRATIONS[0].sql).expect("schema 1");
        for (table, in_the_way) in MIGRATIONS[0].grows {
            conn.execute_batch(&guards(table, in_the_way))
                .expect("guards");
        }
        conn.execute_batch(
            "INSERT INTO record VALUES (1, 'a', 'farm', '2026-03-01T12:00:00Z',
                 '2026-03-01T12:00:00Z', 'AB', hex(zeroblob(32)));
             INSERT INTO farm VALUES (1, 'UTC', 'kg', '0.1', 'EUR', 'eu', 'pet');",
        )
        .expect("an old record");
        conn.pragma_update(None, "user_version", 1).expect("marks");
        bring_up(&conn).expect("migrates");
        let parts = |conn: &Connection| -> Vec<(String, String)> {
            let sql = "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name";
            let mut statement = conn.prepare(sql).expect("prepares");
            let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)));
            rows.expect("queries")
                .map(|row| row.expect("a row"))
                .collect()
        };
        let fresh = Connection::open_in_memory().expect("opens");
        bring_up(&fresh).expect("migrates");
        assert_eq!(parts(&conn), parts(&fresh));
        let name: Option<String> = conn
            .query_row("SELECT name FROM farm", [], |row| row.get(0))
            .expect("reads");
        assert_eq!(name, None);
        let told: String = conn
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .expect("checks");
        assert_eq!(told, "ok");
        let closed = "INSERT INTO record VALUES (2, 'b', 'month-closed', '2026-03-01T12:00:00Z',
             '2026-03-01T12:00:00Z', 'AB', hex(zeroblob(32)))";
        conn.execute_batch(closed).expect("takes the new kind");
        let other = closed
            .replace("month-closed", "other")
            .replace("2, 'b'", "3, 'c'");
        assert!(conn.execute_batch(&other).is_err(), "takes any kind");
    }

    #[test]
    fn no_row_is_changed_removed_or_replaced() {
        let book = fullest_book();
        let conn = &book.conn;
        for table in tables(conn) {
            for sql in [
                format!("UPDATE {table} SET seq = seq"),
                format!("DELETE FROM {table}"),
                format!("INSERT OR REPLACE INTO {table} SELECT * FROM {table} LIMIT 1"),
            ] {
                let error = conn.execute(&sql, []).expect_err(&sql).to_string();
                assert!(error.contains("append only"), "{sql}: {error}");
            }
        }
        assert_eq!(book.farm().ok(), Some(chosen_farm()));
    }
}
