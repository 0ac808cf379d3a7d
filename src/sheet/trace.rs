use jiff::civil::DateTime;

use crate::harvest::{LotTraced, SaleTraced, Trace, UseLeft};

use super::document::Document;
use super::trace_page::Page;
use super::words::Units;

/// A trace with what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceSheet {
    /// What was asked for, such as `ticket 12` or `cohort H1`.
    pub subject: String,
    /// Whether it runs from lots to buyers; else it runs back to the lots.
    pub onward: bool,
    /// Who ate what and who got it.
    pub trace: Trace,
    /// Whose larvae, and what they may be used for.
    pub uses: Vec<(String, UseLeft)>,
    /// Lots of the same suppliers and streams on hand; only looked for in a recall.
    pub alike: Vec<LotTraced>,
    /// Further cohorts that ate of the same lots, when it runs back.
    pub others: Vec<String>,
    /// Sales since then that name no cohort.
    pub of_no_cohort: Vec<SaleTraced>,
    /// What else a reader must know of what was asked.
    pub notes: Vec<String>,
    /// The farm's name.
    pub issuer: Option<String>,
    /// How weights are said.
    pub units: Units,
    /// ISO 4217 code.
    pub currency: String,
    /// Local time it was made.
    pub at: DateTime,
    /// The seal of the book then.
    pub seal: String,
}

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
