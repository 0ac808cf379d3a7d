pub(super) mod data;
mod page;

pub use data::{trace_table, trace_tables};
pub use page::TraceSheet;

use super::document::{Document, Grid, Tone, grid};
use crate::quantity::Grams;
use crate::stream::Ruling;
use crate::trace::{Origin, UseLeft};
use crate::words::{Said, say};
use page::{Page, classes, origin_name};

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
        Right say!("stock-on-hand") => page.weight(lot.on_hand),
        Left say!("why") => why,
    });
    page.table(grid, say!("stock-nothing"));
}

impl Page<'_> {
    /// Where a person has to look because the book says nothing.
    fn cannot_tell(&mut self) {
        let told = [
            (say!("trace-whose-unknown"), self.unplaced_grid()),
            (
                say!("trace-no-cohort-sales"),
                self.sales_grid(&self.sheet.of_no_cohort),
            ),
        ];
        for (at, (what, grid)) in (told.into_iter())
            .filter(|(_, grid)| !grid.rows.is_empty())
            .enumerate()
        {
            if at == 0 {
                self.heading(say!("trace-ask"));
            }
            self.document.caution(what);
            self.table(grid, Said::default());
        }
    }

    fn unplaced_grid(&self) -> Grid {
        let trace = &self.sheet.trace;
        grid!(for one in &trace.unplaced => {
            Left say!("night") => one.night,
            Left say!("feed-group") => say!("stage-called", what = &one.group),
            Left say!("stock-lot") => origin_name(trace, &Origin::Lot(one.lot_seq)),
            Right say!("weight") => self.weight(one.grams),
            Left say!("trace-on-trays-then") => match one.on_trays.as_slice() {
                [] => say!("trace-none-then"),
                names => names.join(", ").into(),
            },
            Left say!("record") => format!("r{}", one.fed_seq),
        })
    }

    fn uses(&mut self) {
        self.heading(say!("trace-rules"));
        for (whose, left) in &self.sheet.uses {
            self.use_left(whose, left);
        }
        self.document.small(say!("trace-strictest"));
    }

    fn use_left(&mut self, whose: &Said, left: &UseLeft) {
        self.document.line(say!(
            "trace-classes",
            whose,
            classes = classes(&left.classes)
        ));
        let mut indented =
            |tone, line| (self.document).toned(tone, Said::joined([Said::default(), line], "  "));
        for (at, (larvae_for, rule)) in left.uses.iter().enumerate() {
            let (tone, what) = match rule {
                None => (Tone::Plain, say!("not-known")),
                Some(rule) => (
                    match rule.ruling {
                        Ruling::Allowed => Tone::Plain,
                        Ruling::Ask => Tone::Caution,
                        Ruling::Barred => Tone::Out,
                    },
                    say!(
                        "trace-rule",
                        ruling = rule.ruling.as_str(),
                        of = &rule.applies_to,
                        reason = &rule.reason,
                        source = &rule.source,
                        origin = rule.origin(),
                    ),
                ),
            };
            indented(tone, say!("trace-use", larvae_for, own = at == 0, what));
        }
        if !left.decided_by.is_empty() {
            let by = Said::joined(left.decided_by.iter().cloned(), "; ");
            indented(Tone::Plain, say!("trace-brought-in-by", by));
        }
        if !left.unknown.is_empty() {
            let streams = Said::joined(left.unknown.iter().map(Said::from), ", ");
            indented(Tone::Caution, say!("trace-class-unknown", streams));
        }
    }

    fn foot(&mut self) {
        self.document.small(say!("trace-shared-group"));
        self.document.small(say!("trace-whole-weight"));
        self.document.small(say!("month-seal", self.sheet.seal));
    }
}
