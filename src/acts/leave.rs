use jiff::civil::Date;

use crate::daybook::{Daybook, Entry};
use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::{Leave, Ruling, StreamId, Verdict};

use super::error::Rejection;
use super::{ActError, Asked, FarmSettings, Tables, stock_now};

/// An authority's leave, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LeaveText {
    /// The stream, by id.
    pub stream: String,
    /// Whose loads; all when absent.
    pub supplier: Option<String>,
    /// Who gave it.
    pub by_whom: String,
    /// The day it was given; the day it is entered when absent.
    pub on: Option<String>,
    pub what_for: String,
}

/// A leave in the book, and what waited for it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeaveKept {
    /// Position in the book.
    pub record: i64,
    pub leave: Leave,
    /// Lots that were held back for want of it, by name.
    pub freed: Vec<String>,
    /// Their weight that may be drawn.
    pub grams: Grams,
    /// Whether it was in the book before.
    pub already_there: bool,
}

/// Records that an authority gave leave to feed a stream that is "ask first".
pub fn record_leave(
    book: &mut Daybook,
    farm: &FarmSettings,
    tables: &Tables,
    text: &LeaveText,
    asked: &Asked,
) -> Result<LeaveKept, ActError> {
    let today = asked.at.to_zoned_datetime(farm.zone.clone()).date();
    let leave = read(farm, tables, text, today)?;
    let appended = book.write(asked.now, |writing| {
        Ok::<_, ActError>(writing.append(&asked.record(Entry::Leave(leave.clone())))?)
    })?;
    let waited = |lot: &&StockLot| {
        lot.book.stream == leave.stream && lot.book.dock_verdict == Verdict::AskFirst
    };
    let stock = stock_now(book, farm, tables, asked.now.max(asked.at))?;
    let freed = stock
        .lots
        .iter()
        .filter(|lot| waited(lot) && lot.may_be_fed());
    Ok(LeaveKept {
        record: appended.seq,
        grams: freed.clone().map(|lot| lot.edible).sum(),
        freed: freed.map(|lot| lot.book.name.clone()).collect(),
        already_there: appended.already_there,
        leave,
    })
}

fn read(
    farm: &FarmSettings,
    tables: &Tables,
    text: &LeaveText,
    today: Date,
) -> Result<Leave, ActError> {
    let mut rejections = Vec::new();
    let mut words = |field: &'static str, seen: &str| {
        let seen = seen.trim();
        if seen.is_empty() || seen.chars().count() > 200 || seen.chars().any(char::is_control) {
            rejections.push(Rejection::new(field, seen, "text of 1 to 200 characters"));
        }
        seen.to_owned()
    };
    let given_by = words("--by-whom", &text.by_whom);
    let what_for = words("--for", &text.what_for);
    let supplier = text
        .supplier
        .as_deref()
        .map(|name| words("--supplier", name));
    let given_on = match text.on.as_deref().map(str::trim) {
        None => Some(today),
        Some(seen) => seen.parse::<Date>().ok().filter(|day| *day <= today),
    };
    if given_on.is_none() {
        let seen = text.on.clone().unwrap_or_default();
        let accepted = format!("a day such as {today}, not one to come");
        rejections.push(Rejection::new("--on", seen, accepted));
    }
    let seen = text.stream.trim();
    let stream = StreamId::parse(seen).and_then(|id| tables.streams.get(&id));
    if stream.is_none() {
        rejections.push(Rejection::new(
            "stream",
            seen,
            tables.streams.accepted(seen),
        ));
    }
    let rules = tables.rules(farm)?;
    let rule = stream.and_then(|stream| rules.strictest(stream, &[]));
    if let Some(rule) = rule.filter(|rule| rule.ruling == Ruling::Barred) {
        let accepted = format!(
            "a stream that is `ask first`; this one is barred, which leave does not lift: {}",
            rule.reason
        );
        rejections.push(Rejection::new("stream", seen, accepted));
    }
    match (stream, given_on) {
        (Some(stream), Some(given_on)) if rejections.is_empty() => Ok(Leave {
            stream: stream.id.clone(),
            supplier,
            given_by,
            given_on,
            what_for,
        }),
        _ => Err(ActError::Rejected(rejections)),
    }
}
