use crate::quantity::Grams;

use super::document::{Document, Tone, grid};
use super::trace_page::{Page, TraceSheet};

/// The trace as a page; of each table the first `most` rows.
pub fn trace_document(sheet: &TraceSheet, most: usize) -> Document {
    let mut page = Page::titled(format!("Trace of {}", sheet.subject), sheet, most);
    if sheet.onward {
        page.heading("Where it went");
        page.lots();
        page.left_another_way();
        page.heading("Who ate of it");
        page.cohorts(|_| true);
        page.portions();
    } else {
        page.heading("Whose feed it was");
        page.cohorts(|_| true);
        page.heading("What went in");
        page.eaten();
        page.others();
    }
    page.heading("Harvests");
    page.harvests();
    page.heading("Sales");
    page.sales();
    page.cannot_tell();
    page.uses();
    page.foot();
    page.document
}

/// The trace as a sheet to act on; of each table the first `most` rows.
pub fn recall_document(sheet: &TraceSheet, most: usize) -> Document {
    let mut page = Page::titled(format!("Recall sheet: {}", sheet.subject), sheet, most);
    let trace = &sheet.trace;
    if sheet.onward {
        page.heading("What is recalled");
        page.lots();
    }
    page.heading("1. Still on trays: feed them nothing more of it, sell nothing of them");
    page.cohorts(|cohort| cohort.ended.is_none());
    page.heading("2. Taken off: hold what is still in the store");
    if trace.cohorts.iter().any(|cohort| cohort.ended.is_some()) {
        page.cohorts(|cohort| cohort.ended.is_some());
    }
    page.harvests();
    let harvested = |seq: i64| trace.harvests.iter().any(|one| one.cohort_seq == seq);
    let gone = (trace.cohorts.iter()).filter(|one| one.ended.is_some() && !harvested(one.seq));
    let gone: Vec<&str> = gone.map(|one| one.name.as_str()).collect();
    if !gone.is_empty() {
        page.document.toned(
            Tone::Caution,
            format!(
                "Ended, and no harvest since is on record; ask where they went: {}",
                gone.join(", ")
            ),
        );
    }
    page.heading("3. Buyers to tell: who got what, and when");
    page.sales();
    page.cannot_tell();
    page.heading("4. On hand: set aside, mark, feed nothing of it");
    on_hand(&mut page, sheet);
    page.heading("5. Left another way");
    page.left_another_way();
    if !sheet.onward {
        page.heading("6. What went in");
        page.eaten();
        page.others();
    }
    page.uses();
    page.document.toned(
        Tone::Next,
        "Whom to tell, how fast and in which words is for your local authority to say: call it before you call it done.",
    );
    page.foot();
    page.document
}

fn on_hand(page: &mut Page<'_>, sheet: &TraceSheet) {
    let own = if sheet.onward {
        "what is recalled"
    } else {
        "they ate of it"
    };
    let held = (sheet.trace.lots.iter()).filter(|lot| lot.on_hand != Grams::ZERO);
    let alike = sheet
        .alike
        .iter()
        .map(|lot| (lot, "same supplier and stream"));
    let grid = grid!(for (lot, why) in held.map(|lot| (lot, own)).chain(alike) => {
        Left "lot" => &lot.name,
        Left "stream" => &lot.stream,
        Left "supplier" => &lot.supplier,
        Left "came" => lot.came,
        Right "on hand" => page.small(lot.on_hand),
        Left "why" => why,
    });
    page.table(grid, "Nothing on hand.");
}
