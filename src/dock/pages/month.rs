use super::*;
use crate::acts::{Month, month, statement};
use crate::daybook::Book;
use crate::sheet::{month_document, statement_document};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    /// Such as 2026-10; this month when left out
    pub(in crate::dock) month: String,
}

impl Wanted {
    /// The month named, else the one that runs.
    pub(in crate::dock) fn or_this(&self, at: &At) -> Result<Month, ActError> {
        match self.month.trim() {
            "" => Ok(Month::of(
                at.now.to_zoned_datetime(at.farm.zone.clone()).date(),
            )),
            named => Month::parse(named).map_err(ActError::from),
        }
    }
}

#[derive(Template)]
#[template(path = "month.html", config = "src/askama.toml")]
pub(in crate::dock) struct MonthPage {
    frame: Frame,
    title: String,
    month: Month,
    blocks: Vec<Block<String>>,
}

/// A month: this one, or the one named in the address.
pub(in crate::dock) fn show(
    at: &At,
    frame: Frame,
    Query(wanted): Query<Wanted>,
) -> Result<MonthPage, ActError> {
    let wanted = wanted.or_this(at)?;
    let mut sheet = month(at.book, wanted, None)?;
    sheet.around.not_food = at.tables.not_food();
    let document = month_document(&sheet);
    Ok(MonthPage {
        title: frame.say(&document.title),
        month: wanted,
        blocks: frame.blocks(&document),
        frame,
    })
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct StatementWanted {
    month: String,
    supplier: String,
}

#[derive(Template)]
#[template(path = "statement.html", config = "src/askama.toml")]
pub(in crate::dock) struct StatementPage {
    frame: Frame,
    title: String,
    month: Month,
    suppliers: Vec<String>,
    supplier: String,
    blocks: Vec<Block<String>>,
}

/// What a supplier gets for a month: the month before this one (this one while
/// that has nobody) and its first supplier, or those named in the address.
pub(in crate::dock) fn of_supplier(
    at: &At,
    frame: Frame,
    Query(StatementWanted { month, supplier }): Query<StatementWanted>,
) -> Result<StatementPage, ActError> {
    let is_named = !month.trim().is_empty();
    let mut month = Wanted { month }.or_this(at)?;
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
    let supplier = Some(supplier.trim().to_owned()).filter(|named| !named.is_empty());
    let supplier = supplier.unwrap_or_else(first);
    let mut document = Document::titled(frame.t("dock-nav-statement"));
    if !supplier.is_empty() {
        let mut sheet = statement(at.book, &supplier, month, None)?;
        sheet.around.not_food = at.tables.not_food();
        document = statement_document(&sheet);
    }
    Ok(StatementPage {
        title: frame.say(&document.title),
        month,
        suppliers,
        supplier,
        blocks: frame.blocks(&document),
        frame,
    })
}

fn suppliers_of(book: &Book, asked: Month) -> Result<Vec<String>, ActError> {
    let suppliers = month(book, asked, None)?.report.suppliers;
    Ok(suppliers.into_iter().map(|of| of.supplier).collect())
}
