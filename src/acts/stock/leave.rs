use crate::table::read_day;
use jiff::civil::Date;

use crate::acts::error::{is_text, is_text_if_any, must, shown};
use crate::acts::night::local_day;
use crate::acts::{ActError, Asked, FarmSettings, Result, Tables, stock_now};
use crate::daybook::{Daybook, Entry};
use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::{Leave, Ruling, Verdict};
use crate::words::say;

/// An authority's leave, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LeaveText {
    pub stream: String,
    /// Whose loads; all when absent.
    pub supplier: Option<String>,
    pub by_whom: String,
    /// The day it was given; the day it is entered when absent.
    pub on: Option<String>,
    pub what_for: String,
}

/// A leave in the book, and what waited for it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeaveKept {
    pub record: i64,
    pub leave: Leave,
    /// Lots that were held back for want of it, by name.
    pub freed: Vec<String>,
    /// Their weight that may be drawn.
    pub grams: Grams,
    pub already_there: bool,
}

/// Records that an authority gave leave to feed a stream that is "ask first".
pub fn record_leave(
    book: &mut Daybook,
    farm: &FarmSettings,
    tables: &Tables,
    text: &LeaveText,
    asked: &Asked,
) -> Result<LeaveKept> {
    let today = local_day(asked.at, &farm.zone);
    let leave = read(farm, tables, text, today)?;
    let appended = book.write(asked.now, |writing| {
        Ok::<_, ActError>(writing.append(&asked.record(Entry::Leave(leave.clone())))?)
    })?;
    let waited = |lot: &&StockLot| {
        lot.book.stream == leave.stream && lot.book.dock_verdict == Verdict::AskFirst
    };
    let stock = stock_now((book, farm, tables), asked.now.max(asked.at))?;
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

fn read(farm: &FarmSettings, tables: &Tables, text: &LeaveText, today: Date) -> Result<Leave> {
    let words = [&text.by_whom, &text.what_for].map(|text| text.trim().to_owned());
    let [given_by, what_for] = words;
    let supplier = text.supplier.as_deref().map(|name| name.trim().to_owned());
    let given_on = match text.on.as_deref().map(str::trim) {
        None => Ok(today),
        Some(seen) => match read_day(seen) {
            Ok(day) if day > today => Err(say!("accepted-day-past", today)),
            read => read,
        },
    };
    let seen = text.stream.trim();
    let stream = tables.streams.called(seen).ok();
    let rules = tables.rules(farm)?;
    let barred = (stream.and_then(|stream| rules.strictest(stream, &[])))
        .filter(|rule| rule.ruling == Ruling::Barred);
    let rejections = must! {
        is_text(&given_by, 200) => "--by-whom", given_by, say!("accepted-text", most = 200);
        is_text(&what_for, 200) => "--for", what_for, say!("accepted-text", most = 200);
        is_text_if_any(&supplier, 200) =>
            "--supplier", shown(&supplier), say!("accepted-text", most = 200);
        given_on.is_ok() => "--on", shown(&text.on),
            given_on.clone().err().unwrap_or_default();
        stream.is_some() => "stream", seen, tables.streams.accepted(seen);
        stream.is_none_or(|stream| !stream.is_not_listed()) =>
            "stream", seen, say!("accepted-leave-listed");
        barred.is_none() => "stream", seen, say!(
            "accepted-ask-first",
            why = barred.map_or("", |rule| &rule.reason)
        );
    };
    match (stream, given_on) {
        (Some(stream), Ok(given_on)) if rejections.is_empty() => Ok(Leave {
            stream: stream.id.clone(),
            supplier,
            given_by,
            given_on,
            what_for,
        }),
        _ => Err(ActError::Rejected(rejections)),
    }
}
