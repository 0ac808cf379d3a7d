pub(super) mod data;
mod known;
mod page;

pub use data::{trace_table, trace_tables};
pub use page::TraceSheet;

use crate::quantity::Grams;
use crate::words::say;

use super::document::{Document, grid};
use page::Page;

pub fn trace_document(sheet: &TraceSheet, most: usize) -> Document {
    let mut page = Page::titled(say!("trace-title", sheet.subject), sheet, most);
    if sheet.onward {
        page.heading(say!("month-where-it-went"));
        page.lots();
        page.left_another_way();
        page.heading(say!("trace-who-ate"));
        page.cohorts(|_| true);
        page.portions();
    } else {
        page.heading(say!("trace-whose-feed"));
        page.cohorts(|_| true);
        page.heading(say!("trace-went-in"));
        page.eaten();
        page.others();
    }
    page.heading(say!("trace-harvests"));
    page.harvests();
    page.heading(say!("trace-sales"));
    page.sales();
    page.cannot_tell();
    page.uses();
    page.foot();
    page.document
}

/// The trace as a sheet to act on; of each table the first `most` rows.
pub fn recall_document(sheet: &TraceSheet, most: usize) -> Document {
    let mut page = Page::titled(say!("recall-title", sheet.subject), sheet, most);
    let trace = &sheet.trace;
    if sheet.onward {
        page.heading(say!("recall-what"));
        page.lots();
    }
    page.heading(say!("recall-on-trays"));
    page.cohorts(|cohort| cohort.ended.is_none());
    page.heading(say!("recall-taken-off"));
    if trace.cohorts.iter().any(|cohort| cohort.ended.is_some()) {
        page.cohorts(|cohort| cohort.ended.is_some());
    }
    page.harvests();
    let harvested = |seq: i64| trace.harvests.iter().any(|one| one.cohort_seq == seq);
    let gone = (trace.cohorts.iter()).filter(|one| one.ended.is_some() && !harvested(one.seq));
    let gone: Vec<&str> = gone.map(|one| one.name.as_str()).collect();
    if !gone.is_empty() {
        let gone = say!("recall-gone", cohorts = gone.join(", "));
        page.document.caution(gone);
    }
    page.heading(say!("recall-buyers"));
    page.sales();
    page.cannot_tell();
    page.heading(say!("recall-on-hand"));
    on_hand(&mut page, sheet);
    page.heading(say!("recall-left"));
    page.left_another_way();
    if !sheet.onward {
        page.heading(say!("recall-went-in"));
        page.eaten();
        page.others();
    }
    page.uses();
    page.document.next(say!("recall-whom-to-tell"));
    page.foot();
    page.document
}

fn on_hand(page: &mut Page<'_>, sheet: &TraceSheet) {
    let own = match sheet.onward {
        true => say!("recall-own"),
        false => say!("recall-eaten"),
    };
    let held = (sheet.trace.lots.iter()).filter(|lot| lot.on_hand != Grams::ZERO);
    let held = held.map(|lot| (lot, own.clone()));
    let alike = sheet.alike.iter().map(|lot| (lot, say!("recall-alike")));
    let grid = grid!(for (lot, why) in held.chain(alike) => {
        Left say!("stock-lot") => &lot.name,
        Left say!("stream") => &lot.stream,
        Left say!("supplier") => &lot.supplier,
        Left say!("came") => lot.came,
        Right say!("stock-on-hand") => page.small(lot.on_hand),
        Left say!("why") => why,
    });
    page.table(grid, say!("stock-nothing"));
}
