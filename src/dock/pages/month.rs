use super::document::{Around, DocumentPage, Page};
use super::*;
use crate::acts::{Month, month, statement};
use crate::daybook::Book;
use crate::sheet::{month_document, statement_document};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(rename = "Wanted")]
pub(crate) struct MonthWanted {
    /// Such as 2026-10; this month when left out
    pub(crate) month: String,
}

/// The month named, else the one that runs.
pub(crate) fn month_or_this(at: &At, named: &str) -> Result<Month> {
    match named.trim() {
        "" => Ok(Month::at(at.now, &at.farm.zone)),
        named => Ok(Month::parse(named)?),
    }
}

/// A month: this one, or the one named in the address.
pub(crate) fn show(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Page {
    let wanted = month_or_this(at, &wanted.month)?;
    let mut sheet = month(at.book, wanted, None)?;
    sheet.around.not_food = at.tables.not_food();
    let (document, around) = (month_document(&sheet), Around::Month(wanted));
    Ok(DocumentPage::of(frame, &document, around))
}

/// What a supplier gets for a month: the month before this one (this one while
/// that has nobody) and its first supplier, or those named in the address.
pub(crate) fn of_supplier(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Page {
    let is_named = !wanted.month.trim().is_empty();
    let mut month = month_or_this(at, &wanted.month)?;
    let mut suppliers = Vec::new();
    if !is_named {
        suppliers = suppliers_of(at.book, month.before())?;
    }
    if suppliers.is_empty() {
        suppliers = suppliers_of(at.book, month)?;
    } else {
        month = month.before();
    }
    let first = || suppliers.first().cloned().unwrap_or_default();
    let supplier = given(&wanted.supplier).unwrap_or_else(first);
    let mut document = Document::titled(frame.t("dock-nav-statement"));
    if !supplier.is_empty() {
        let mut sheet = statement(at.book, &supplier, month, None)?;
        sheet.around.not_food = at.tables.not_food();
        document = statement_document(&sheet);
    }
    let around = Around::Statement {
        month,
        suppliers,
        supplier,
    };
    Ok(DocumentPage::of(frame, &document, around))
}

fn suppliers_of(book: &Book, asked: Month) -> Result<Vec<String>> {
    let suppliers = month(book, asked, None)?.report.suppliers;
    Ok(suppliers.into_iter().map(|of| of.supplier).collect())
}
