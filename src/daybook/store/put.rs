//! Writes records: each field into the column of its name, each list into a
//! table of its own, row by row.

use rusqlite::types::Value as Cell;
use rusqlite::{Connection, params_from_iter};
use serde::Serialize;
use serde_json::{Map, Value, json};

use super::instants;
use crate::daybook::{Addition, Entry, NewRecord, OutflowKind};

/// A record about to be written: its place, and what the book adds to it.
pub(crate) struct Place<'a> {
    pub(in crate::daybook) seq: i64,
    /// The ticket number, used when the record is a ticket.
    pub(in crate::daybook) number: i64,
    pub(in crate::daybook) recorded_utc: &'a str,
    pub(in crate::daybook) digest: &'a str,
}

/// Writes a settled record into `record` and the tables of its kind.
pub(crate) fn record(
    conn: &Connection,
    place: &Place<'_>,
    new: &NewRecord,
) -> rusqlite::Result<()> {
    let kind = new.entry.kind();
    let at = instants::text(new.at);
    let spine = json!({
        "id": new.id, "kind": kind, "at_utc": at, "recorded_utc": place.recorded_utc,
        "by_whom": new.by, "digest": place.digest,
    });
    insert(conn, "record", place.seq, spine)?;
    let mut head = value(&new.entry)?;
    let left = |row: Value, kind: OutflowKind| {
        with(row, [("at_utc", at.as_str()), ("kind", kind.as_str())])
    };
    let lists = match &new.entry {
        Entry::Ticket(ticket) => {
            head["number"] = place.number.into();
            head["at_utc"] = at.as_str().into();
            let words: Vec<&str> = ticket.touched.iter().map(|class| class.as_str()).collect();
            head["touched"] = words.join(",").into();
            vec![("picked_out", values(&ticket.picked_out)?)]
        }
        Entry::Reweigh(reweigh) => {
            let lost = reweigh.book_g.get().saturating_sub(reweigh.found_g.get());
            let row = json!({"lot_seq": reweigh.lot_seq, "grams": lost});
            vec![("outflow", vec![left(row, OutflowKind::Shrink)])]
        }
        Entry::Discard(discard) => {
            head = json!({"why": discard.why});
            let row = json!({"lot_seq": discard.lot_seq, "grams": discard.grams});
            vec![("outflow", vec![left(row, OutflowKind::To(discard.to))])]
        }
        Entry::Sheet(sheet) => vec![
            ("sheet_draw", values(&sheet.draws)?),
            ("sheet_addition", additions(&sheet.additions)?),
        ],
        Entry::Fed(fed) => {
            let fed_out = values(&fed.draws)?
                .into_iter()
                .map(|row| left(row, OutflowKind::Fed));
            let shrunk = values(&fed.remainders)?
                .into_iter()
                .map(|row| left(row, OutflowKind::Shrink));
            vec![
                ("outflow", fed_out.chain(shrunk).collect()),
                ("inflow", additions(&fed.additions)?),
            ]
        }
        Entry::Money(money) => {
            let rows = money
                .cohort_seqs
                .iter()
                .map(|seq| json!({"cohort_seq": seq}));
            vec![("money_cohort", rows.collect())]
        }
        Entry::MonthClosed(closed) => {
            let rows = closed.rows.iter().map(|row| {
                let of = json!({
                    "supplier": row.supplier, "stream": row.stream, "bought": row.bought,
                    "loads": row.flow.loads, "refused_loads": row.flow.refused_loads,
                });
                (row.flow.columns())
                    .fold(of, |of, (column, grams)| with(of, [(column, grams.get())]))
            });
            vec![("month_figure", rows.collect())]
        }
        _ => Vec::new(),
    };
    insert(conn, &kind.replace('-', "_"), place.seq, head)?;
    for (table, rows) in lists {
        for (ord, row) in rows.into_iter().enumerate() {
            insert(conn, table, place.seq, with(row, [("ord", ord)]))?;
        }
    }
    Ok(())
}

fn value(of: &impl Serialize) -> rusqlite::Result<Value> {
    let fault = |error| rusqlite::Error::ToSqlConversionFailure(Box::new(error));
    serde_json::to_value(of).map_err(fault)
}

fn values(list: &[impl Serialize]) -> rusqlite::Result<Vec<Value>> {
    list.iter().map(value).collect()
}

fn additions(list: &[Addition]) -> rusqlite::Result<Vec<Value>> {
    let row = |added: &Addition| Ok(with(value(added)?, [("kind", added.kind())]));
    list.iter().map(row).collect()
}

fn with<const N: usize>(mut row: Value, more: [(&str, impl Into<Value>); N]) -> Value {
    for (column, value) in more {
        row[column] = value.into();
    }
    row
}

/// Writes what has a column of its own; lists have tables.
fn insert(conn: &Connection, table: &str, seq: i64, row: Value) -> rusqlite::Result<()> {
    let fields = match row {
        Value::Object(fields) => fields,
        _ => Map::new(),
    };
    let (mut columns, mut cells) = ("seq".to_owned(), vec![Cell::Integer(seq)]);
    for (field, value) in fields {
        let cell = match value {
            Value::Null => Cell::Null,
            Value::Bool(yes) => Cell::Integer(yes.into()),
            Value::String(text) => Cell::Text(text),
            Value::Number(number) => match (number.as_i64(), number.as_f64()) {
                (Some(whole), _) => Cell::Integer(whole),
                (None, Some(real)) => Cell::Real(real),
                (None, None) => Cell::Null,
            },
            Value::Array(_) | Value::Object(_) => continue,
        };
        let column = match (table, field.as_str()) {
            ("record", "kind")
            | ("outflow" | "inflow" | "sheet_addition" | "picked_out", "kind") => "kind",
            (_, "kind") | ("reweigh", "book_g") => continue,
            (_, "group") => "group_name",
            ("money", "amount") => "hundredths",
            ("month_closed", "from") => "from_utc",
            ("month_closed", "to") => "to_utc",
            (_, same) => same,
        };
        columns.extend([", ", column]);
        cells.push(cell);
    }
    let marks = vec!["?"; cells.len()].join(", ");
    let sql = format!("INSERT INTO {table} ({columns}) VALUES ({marks})");
    conn.prepare_cached(&sql)?
        .execute(params_from_iter(cells))?;
    Ok(())
}
