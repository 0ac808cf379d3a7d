use super::document::{Around, DocumentPage, Page};
use super::*;
use crate::acts::{TraceFrom, TraceText, trace};
use crate::sheet::{TraceSheet, recall_document, trace_document};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(rename = "TraceWanted")]
pub(crate) struct Wanted {
    /// Tickets with commas between them; one of of, cohort, harvest, supplier, buyer
    of: String,
    /// A cohort: its name or its record, such as r57
    cohort: String,
    /// A harvest, by its record
    harvest: String,
    /// All tickets of a supplier
    supplier: String,
    /// All sales to a buyer
    buyer: String,
    /// First day, such as 2026-10-03, of a supplier's tickets or a buyer's sales
    from: String,
    /// Last day
    to: String,
    /// `recall` also tells lots of the same suppliers and streams on hand
    sheet: String,
}

impl Wanted {
    /// What came of it; several tickets have commas between them.
    pub(crate) fn traced(&self, at: &At) -> Result<TraceSheet> {
        let said = |text: &String| Some(text.clone());
        let from = TraceFrom::read(&TraceText {
            tickets: self.of.split(',').map(str::to_owned).collect(),
            cohort: said(&self.cohort),
            harvest: said(&self.harvest),
            supplier: said(&self.supplier),
            buyer: said(&self.buyer),
            from: said(&self.from),
            to: said(&self.to),
        })?;
        trace(
            (at.book, at.farm, at.tables),
            &from,
            self.is_recall(),
            at.now,
        )
    }

    /// Whether the sheet to act on is wanted.
    fn is_recall(&self) -> bool {
        self.sheet == "recall"
    }

    fn is_empty(&self) -> bool {
        let begins = [
            &self.of,
            &self.cohort,
            &self.harvest,
            &self.supplier,
            &self.buyer,
        ];
        begins.iter().all(|text| text.trim().is_empty())
    }
}

/// Where a ticket went, or what went into a cohort; a form while nothing is asked.
pub(crate) fn show(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Page {
    let document = if wanted.is_empty() {
        Document::titled(frame.t("dock-trace-title"))
    } else if wanted.is_recall() {
        recall_document(&wanted.traced(at)?, usize::MAX)
    } else {
        trace_document(&wanted.traced(at)?, usize::MAX)
    };
    let around = Around::Trace {
        of: wanted.of,
        cohort: wanted.cohort,
        supplier: wanted.supplier,
        buyer: wanted.buyer,
    };
    Ok(DocumentPage::of(frame, &document, around))
}
