use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use serde::Serialize;
use sha2::{Digest, Sha256};

use super::bucket::{Bucket, Dock, PickedText};
use super::weigh_in::caller_id;
use crate::acts::doubts::Doubts;
use crate::acts::{ActError, MADE_HERE, Result, TableFile};
use crate::daybook::{Book, Daybook, DaybookError, Entry, NewRecord};
use crate::quantity::{Grams, NumberForm};
use crate::stream::{Class, StreamId, Verdict};
use crate::table::{Finding, Findings, Row, Table, folded, time_meant};
use crate::words::{Said, say};

/// Columns a file must have; a row without a tare names its container.
const NEEDED: [&str; 4] = ["weighed_at", "supplier", "stream", "gross"];
/// Every column, in the order in which a row's content tells its id.
const COLUMNS: [&str; 18] = [
    "weighed_at",
    "ticket",
    "supplier",
    "stream",
    "gross",
    "tare",
    "unit",
    "container",
    "moisture_pct",
    "picked_out",
    "picked_out_kind",
    "verdict",
    "by",
    "note",
    "volume",
    "touched",
    "bought",
    "price_per_kg",
];

#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Imported {
    pub new: i64,
    pub already_there: i64,
    /// Net weight written, refused loads left out.
    #[serde(rename = "net_g")]
    pub net: Grams,
    pub refused: i64,
    pub first_number: Option<i64>,
    pub last_number: Option<i64>,
    /// Names in the file that are no stream's id, with the stream each was taken as.
    pub taken_as: BTreeMap<String, StreamId>,
}

/// What an import is given besides the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportAsked {
    pub by: String,
    pub sure: bool,
    pub now: Timestamp,
}

/// Reads a file of tickets and writes all of it or nothing. `step` is told
/// how many rows are done of how many. The file is let go once it is read.
pub fn import(
    book: &mut Daybook,
    dock: &Dock<'_>,
    file: TableFile,
    asked: &ImportAsked,
    mut step: impl FnMut(u64, u64),
) -> Result<Imported> {
    let now = asked.now;
    if !asked.sure {
        let mut doubts = Doubts::default();
        doubts.clock(book, "at", now)?;
        doubts.settled()?;
    }
    let TableFile { name: file, bytes } = file;
    let table = Table::read(&file, &bytes, &NEEDED, |name| COLUMNS.contains(&name));
    let table = table.map_err(with_every_column)?;
    // By name: what is left of a value that was taken apart lives to the end.
    drop(bytes);
    let total = u64::try_from(table.row_count()).unwrap_or(u64::MAX) * 2;
    let mut done = 0;
    let mut tick = |done: &mut u64| {
        *done += 1;
        step(*done, total);
    };
    // Rows are read twice, to be judged and to be kept: what a large file says
    // is then nowhere held whole as records.
    let mut reading = Reading::default();
    let mut seen_ids: BTreeMap<Mark, (u64, Mark)> = BTreeMap::new();
    table.rows(|row| {
        tick(&mut done);
        let (record, doubts) = reading.record(row, dock, asked)?;
        if !asked.sure {
            doubted(row, dock, book, &record, doubts, now);
        }
        let (id, content) = (mark(&record.id), mark(&record));
        let (line, first) = *seen_ids.entry(id).or_insert((row.line(), content));
        if first != content {
            let at = say!("place-row", row = line);
            row.reject("ticket", &record.id, say!("accepted-own-id", at));
            row.is_beside(line);
        }
        Some(())
    })?;
    drop(seen_ids);
    if table.row_count() == 0 {
        let seen = say!("seen-no-row");
        let finding = Finding::at(&file, None, "", seen, say!("accepted-a-ticket"));
        return Err(Findings(vec![finding]).into());
    }
    book.write(now, |writing| {
        let mut told = Imported {
            taken_as: std::mem::take(&mut reading.taken_as),
            ..Imported::default()
        };
        reading.made_ids.clear();
        for mut row in table.each() {
            tick(&mut done);
            let (record, _) = (reading.record(&mut row, dock, asked))
                .ok_or(ActError::Daybook(DaybookError::BrokenOff))?;
            let appended = writing.append(&record)?;
            if appended.already_there {
                told.already_there += 1;
                continue;
            }
            told.new += 1;
            if let (Entry::Ticket(ticket), Some(number)) = (&record.entry, appended.number) {
                let refused = ticket.verdict == Verdict::Refuse;
                told.refused += i64::from(refused);
                told.net += if refused { Grams::ZERO } else { ticket.net_g };
                told.first_number.get_or_insert(number);
                told.last_number = Some(number);
            }
        }
        Ok(told)
    })
}

/// What is accepted as a header, with the columns that may be left out.
fn with_every_column(mut findings: Findings) -> Findings {
    let needed = NEEDED.join(",");
    let of_header = say!("accepted-columns", columns = &needed);
    let further = COLUMNS.iter().filter(|name| !NEEDED.contains(name));
    let further = further.copied().collect::<Vec<_>>().join(",");
    for finding in &mut findings.0 {
        if finding.accepted == of_header {
            finding.accepted = say!(
                "accepted-columns-further",
                needed = &needed,
                further = &further
            );
        }
    }
    findings
}

/// Bytes of the digest in the id of a row without one.
const MADE_OF: usize = 10;

/// What tells one text or record from another.
type Mark = [u8; 16];

fn mark(of: &impl Serialize) -> Mark {
    let digest = Sha256::digest(serde_json::to_vec(of).unwrap_or_default());
    std::array::from_fn(|at| digest[at])
}

/// What earlier rows of a file say about later ones.
#[derive(Default)]
struct Reading {
    /// How often a row without an id was there already, by what it says.
    made_ids: BTreeMap<[u8; MADE_OF], u32>,
    /// The first spelling of each supplier, which holds for the whole file.
    names: BTreeMap<String, String>,
    taken_as: BTreeMap<String, StreamId>,
}

impl Reading {
    fn record(
        &mut self,
        row: &mut Row<'_>,
        dock: &Dock<'_>,
        asked: &ImportAsked,
    ) -> Option<(NewRecord, Doubts)> {
        let (mut record, doubts) = read_row(row, dock, asked, &mut self.made_ids)?;
        if let Entry::Ticket(ticket) = &mut record.entry {
            let word = row.text("stream").unwrap_or_default();
            if word != ticket.stream.as_str() {
                self.taken_as.insert(word.to_owned(), ticket.stream.clone());
            }
            let first = self.names.entry(folded(&ticket.supplier));
            let first = first.or_insert_with(|| ticket.supplier.clone());
            ticket.supplier.clone_from(first);
        }
        Some((record, doubts))
    }
}

/// Notes what is doubtful of a row beside the book.
fn doubted(
    row: &mut Row<'_>,
    dock: &Dock<'_>,
    book: &Book,
    record: &NewRecord,
    mut doubts: Doubts,
    now: Timestamp,
) {
    let (id, at) = (&record.id, record.at);
    if let Entry::Ticket(ticket) = &record.entry {
        let found = doubts
            .when(book, "weighed_at", at, now)
            .and_then(|()| dock.doubts_of_book(book, ticket, (id, at), &mut doubts));
        if let Err(error) = found {
            row.reject("ticket", id, error.said());
        }
    }
    for doubt in doubts.iter() {
        let seen = say!("doubt-bounded", seen = &doubt.said, doubt.bound);
        row.reject(doubt.field, seen, say!("accepted-likely"));
    }
}

fn read_row(
    row: &mut Row<'_>,
    dock: &Dock<'_>,
    asked: &ImportAsked,
    made_ids: &mut BTreeMap<[u8; MADE_OF], u32>,
) -> Option<(NewRecord, Doubts)> {
    let zone = &dock.farm.zone;
    row.needed("weighed_at", say!("accepted-time"));
    let at = row
        .text("weighed_at")
        .map(ToOwned::to_owned)
        .and_then(|text| match read_instant(&text, zone) {
            Ok(at) => Some(at),
            Err(accepted) => {
                row.reject("weighed_at", &text, accepted);
                None
            }
        });
    let by = row.text("by").unwrap_or(&asked.by).to_owned();
    let id = match row.text("ticket") {
        Some(id) => id.to_owned(),
        None => made_id(row, made_ids),
    };
    if let Err(rejection) = caller_id(&id) {
        row.reject("ticket", &id, &rejection.accepted);
    }
    let bucket = bucket_of(row, asked.sure);
    let judged = match dock.judge(&bucket) {
        Ok(judged) => judged,
        Err(rejections) => {
            for rejection in rejections {
                row.reject(rejection.field, &rejection.seen, &rejection.accepted);
            }
            return None;
        }
    };
    let record = NewRecord {
        id,
        at: at?,
        by,
        entry: Entry::Ticket(judged.ticket),
    };
    Some((record, judged.doubts))
}

fn bucket_of(row: &mut Row<'_>, sure: bool) -> Bucket {
    let verdict = row.parsed("verdict", say!("accepted-verdict-cell"), Verdict::read);
    let touched = row.parsed("touched", say!("accepted-classes-cell"), |text| {
        text.split_whitespace()
            .map(Class::parse)
            .collect::<Option<Vec<_>>>()
    });
    let bought = row.parsed("bought", say!("accepted-yes-no-cell"), |text| match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    });
    let text = |row: &Row<'_>, column: &str| row.text(column).map(ToOwned::to_owned);
    let picked = text(row, "picked_out").filter(|weight| !is_zero(weight));
    let kind = text(row, "picked_out_kind");
    if picked.is_none() && kind.is_some() {
        row.reject("picked_out", "", say!("accepted-picked-weight"));
    }
    Bucket {
        supplier: text(row, "supplier").unwrap_or_default(),
        stream: text(row, "stream").unwrap_or_default(),
        gross: text(row, "gross"),
        tare: text(row, "tare"),
        unit: text(row, "unit"),
        form: Some(NumberForm::Plain),
        container: text(row, "container"),
        volume: text(row, "volume"),
        moisture_pct: text(row, "moisture_pct"),
        picked_out: picked
            .into_iter()
            .map(|weight| PickedText {
                weight,
                kind: kind.clone().unwrap_or_default(),
            })
            .collect(),
        refuse: None,
        verdict,
        touched: touched.unwrap_or_default(),
        bought: bought.unwrap_or(false),
        price_per_kg: text(row, "price_per_kg"),
        price: None,
        note: text(row, "note"),
        sure,
        scale: None,
    }
}

fn is_zero(text: &str) -> bool {
    text.chars().all(|c| matches!(c, '0' | '.' | ','))
}

/// An id for a row without one: the same row of the same file gets the same
/// id again, so that a repeated import changes nothing; equal rows are counted.
fn made_id(row: &Row<'_>, made: &mut BTreeMap<[u8; MADE_OF], u32>) -> String {
    let mut hash = Sha256::new();
    for column in COLUMNS {
        hash.update(row.text(column).unwrap_or_default().as_bytes());
        hash.update([0]);
    }
    let digest = hash.finalize();
    let digest: [u8; MADE_OF] = std::array::from_fn(|at| digest[at]);
    let times = made.entry(digest).or_insert(0);
    *times += 1;
    let digest: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    format!("{MADE_HERE}{digest}-{times}")
}

/// Reads an instant: with an offset or `Z` as it stands, else in the farm's zone.
pub(crate) fn read_instant(text: &str, zone: &TimeZone) -> Result<Timestamp, Said> {
    let text = text.trim();
    // A zone in brackets would be passed over.
    if text.contains('[') {
        return Err(say!("accepted-time"));
    }
    if let Ok(instant) = text.parse::<Timestamp>() {
        return Ok(instant);
    }
    let local: DateTime = text
        .parse()
        .map_err(|_| time_meant(text).unwrap_or_else(|| say!("accepted-time")))?;
    let zoned = zone.to_ambiguous_zoned_datetime(local).unambiguous();
    let instant = zoned.map(|zoned| zoned.timestamp());
    instant.map_err(|_| say!("accepted-time-with-offset"))
}
