use std::collections::BTreeSet;

use super::document::{Around, DocumentPage, Headline, Page, ranked};
use super::*;
use crate::acts::{Month, Period, month, statement, year};
use crate::daybook::Book;
use crate::quantity::Flow;
use crate::report::{DivertedRule, StreamMonth};
use crate::sheet::{
    DataTable, MonthSheet, StatementSheet, data_csv, data_xlsx, month_document, month_table,
    month_tables, statement_document, statement_table, statement_tables,
};
use crate::words::{Said, say};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(rename = "Wanted")]
pub(crate) struct MonthWanted {
    /// Such as 2026-10; this month when left out
    pub(crate) month: String,
}

/// So many months stand in a list: ten years.
const LISTED_MOST: usize = 120;

/// The month named, else the one that runs.
pub(crate) fn month_or_this(at: &At, named: &str) -> Result<Month> {
    match named.trim() {
        "" => Ok(Month::at(at.now, &at.farm.zone)),
        named => Ok(Month::parse(named)?),
    }
}

/// Months to choose from: this one back to the book's first record, and the one shown.
pub(super) fn months(at: &At, frame: &Frame, shown: Month) -> Result<Vec<(String, String)>> {
    let this = Month::at(at.now, &at.farm.zone);
    let begins = at.book.begins_at()?.unwrap_or(at.now);
    let first = Month::at(begins, &at.farm.zone).min(shown);
    let back = std::iter::successors(Some(this.max(shown)), |month| Some(month.before()));
    let named = |month: Month| (month.to_string(), frame.say(&month.said()));
    let all = back.take_while(|month| *month >= first).take(LISTED_MOST);
    Ok(all.map(named).collect())
}

fn the_month(at: &At, wanted: &Wanted) -> Result<(Month, MonthSheet)> {
    let named = month_or_this(at, &wanted.month)?;
    let mut sheet = month(at.book, named, None)?;
    sheet.around.not_food = at.tables.not_food();
    Ok((named, sheet))
}

/// A month: this one, or the one named in the address; or a year.
pub(crate) fn show(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Page {
    if let Ok(Period::Year(named)) = Period::parse(wanted.month.trim()) {
        let mut sheet = year(at.book, named)?;
        sheet.around.not_food = at.tables.not_food();
        let this = Month::at(at.now, &at.farm.zone);
        let around = around(at, &frame, this, named.to_string())?;
        return Ok(DocumentPage::of(frame, &month_document(&sheet), around));
    }
    let (named, sheet) = the_month(at, &wanted)?;
    let document = month_document(&sheet);
    let around = around(at, &frame, named, named.to_string())?;
    let title = frame.say(&named.said());
    let headline = of_month(at, &frame, named, &sheet);
    let page = DocumentPage::of(frame, &document, around);
    Ok(page.under(title, headline))
}

/// The months and years to go to beside the one shown.
fn around(at: &At, frame: &Frame, month: Month, shown: String) -> Result<Around> {
    let mut months = months(at, frame, month)?;
    let years: BTreeSet<_> = months
        .iter()
        .map(|(month, _)| month[..4].to_owned())
        .collect();
    let whole = |year: String| (year.clone(), frame.with("dock-month-year", year));
    months.extend(years.into_iter().rev().map(whole));
    Ok(Around::Month {
        month,
        months,
        shown,
    })
}

fn of_month(at: &At, frame: &Frame, named: Month, sheet: &MonthSheet) -> Headline {
    let (units, report) = (at.farm.units, &sheet.report);
    let month_before = named.before().to_string();
    let before = (sheet.owner.trend.iter()).find(|told| told.month == month_before);
    let suppliers = report.suppliers.iter();
    let suppliers = suppliers.map(|one| (one.supplier.clone(), one.flow.diverted(report.rule)));
    Headline {
        figure: units.weight(report.diverted()),
        said: diverted(
            units,
            &report.total,
            report.rule,
            say!("dock-month-diverted"),
        ),
        beside: rest(units, &report.total, report.rule)
            .into_iter()
            .chain(before.into_iter().map(|told| {
                let weight = units.weight(told.diverted);
                say!("dock-month-before", month = named.before().said(), weight)
            }))
            .collect(),
        parts: parts(units, &report.total, report.rule),
        why: why(at, frame, (&report.total, report.rule), &report.streams),
        state: state(report.version),
        ranking: ranked(units, suppliers),
    }
}

/// What a figure of diverted weight is the sum of, and the weight it begins with.
fn why(
    at: &At,
    frame: &Frame,
    (flow, rule): (&Flow, DivertedRule),
    streams: &[StreamMonth],
) -> Vec<(Said, Vec<(String, String)>)> {
    let weight = |grams| at.farm.units.weight(grams);
    let parts = flow.diverted_parts(rule).into_iter();
    let parts = parts.filter(|(_, grams)| *grams != Grams::ZERO);
    let parts = parts.map(|(way, grams)| (frame.say(&way), weight(grams)));
    let came = streams.iter().filter(|of| of.flow.received != Grams::ZERO);
    let came = came.map(|of| {
        let loads = frame.with("dock-why-loads", of.flow.loads);
        let name = frame.called(&of.stream);
        (format!("{name}, {loads}"), weight(of.flow.received))
    });
    let sum = |name: String, grams| std::iter::once((name, weight(grams)));
    let all = frame.t("all");
    vec![
        (
            say!("dock-why-diverted"),
            parts.chain(sum(all.clone(), flow.diverted(rule))).collect(),
        ),
        (
            say!("dock-why-received"),
            came.chain(sum(all, flow.received)).collect(),
        ),
    ]
}

/// Whether what lies in stock still counts as diverted, and there is some.
fn counts_what_waits(flow: &Flow, rule: DivertedRule) -> bool {
    rule == DivertedRule::Default && flow.closing > Grams::ZERO
}

/// What of the diverted was fed, and what counts though it lies on the farm still.
fn parts(units: Units, flow: &Flow, rule: DivertedRule) -> Vec<(String, Said)> {
    if !counts_what_waits(flow, rule) {
        return Vec::new();
    }
    let fed = (units.weight(flow.fed), say!("dock-month-fed"));
    let waits = (units.weight(flow.closing), say!("dock-month-waits"));
    vec![fed, waits]
}

/// What the diverted weight is called: not as if all of it were used, where some waits.
fn diverted(units: Units, flow: &Flow, rule: DivertedRule, said: Said) -> Said {
    match counts_what_waits(flow, rule) {
        true => say!(
            "dock-month-counts",
            weight = units.weight(flow.diverted(rule))
        ),
        false => said,
    }
}

/// What makes those parts the diverted weight.
fn rest(units: Units, flow: &Flow, rule: DivertedRule) -> Option<Said> {
    let rest = flow.opening + flow.diverted(rule) - flow.fed - flow.closing;
    let is_told = counts_what_waits(flow, rule);
    (is_told && (rest != Grams::ZERO || flow.opening != Grams::ZERO)).then(|| {
        let told = |grams: Grams| match grams {
            Grams::ZERO => "none".to_owned(),
            grams => units.weight(grams),
        };
        say!(
            "dock-month-rest",
            rest = told(rest),
            opening = told(flow.opening)
        )
    })
}

fn state(version: Option<i64>) -> Said {
    match version {
        Some(version) => say!("dock-month-closed", version),
        None => say!("dock-month-draft"),
    }
}

/// Of what a supplier brought, what was kept from disposal.
fn of_statement(at: &At, frame: &Frame, sheet: &StatementSheet) -> Headline {
    let (units, of) = (at.farm.units, &sheet.statement);
    let streams = of.streams.iter();
    let streams = streams.map(|one| (frame.called(&one.stream), one.flow.diverted(sheet.rule)));
    let closing = sheet.around.closing.as_ref();
    Headline {
        figure: units.weight(of.flow.diverted(sheet.rule)),
        said: diverted(units, &of.flow, sheet.rule, say!("dock-statement-diverted")),
        beside: rest(units, &of.flow, sheet.rule).into_iter().collect(),
        parts: parts(units, &of.flow, sheet.rule),
        why: why(at, frame, (&of.flow, sheet.rule), &of.streams),
        state: state(closing.map(|closing| closing.version)),
        ranking: ranked(units, streams),
    }
}

pub(crate) fn csv(at: &At, wanted: &Wanted) -> Result<Taken, Unkept> {
    let (month, sheet) = the_month(at, wanted)?;
    as_csv(&format!("month-{month}"), &month_table(&sheet))
}

pub(crate) fn workbook(at: &At, wanted: &Wanted) -> Result<Taken, Unkept> {
    let (month, sheet) = the_month(at, wanted)?;
    as_workbook(&format!("month-{month}"), &month_tables(&sheet))
}

fn as_csv(name: &str, table: &DataTable) -> Result<Taken, Unkept> {
    let text = data_csv(table).map_err(|error| Unkept::Broke(error.to_string()))?;
    Ok(Taken {
        name: format!("{name}.csv"),
        kind: "text/csv; charset=utf-8",
        bytes: text.into_bytes(),
    })
}

fn as_workbook(name: &str, tables: &[DataTable]) -> Result<Taken, Unkept> {
    Ok(Taken {
        name: format!("{name}.xlsx"),
        kind: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        bytes: data_xlsx(tables).map_err(|error| Unkept::Broke(error.to_string()))?,
    })
}

fn the_statement(at: &At, month: Month, supplier: &str) -> Result<StatementSheet> {
    let mut sheet = statement(at.book, supplier, month, None)?;
    sheet.around.not_food = at.tables.not_food();
    Ok(sheet)
}

pub(crate) fn statement_csv(at: &At, wanted: &Wanted) -> Result<Taken, Unkept> {
    let month = month_or_this(at, &wanted.month)?;
    let sheet = the_statement(at, month, &wanted.supplier)?;
    as_csv(&format!("statement-{month}"), &statement_table(&sheet))
}

pub(crate) fn statement_workbook(at: &At, wanted: &Wanted) -> Result<Taken, Unkept> {
    let month = month_or_this(at, &wanted.month)?;
    let sheet = the_statement(at, month, &wanted.supplier)?;
    as_workbook(&format!("statement-{month}"), &statement_tables(&sheet))
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
    let (mut headline, mut title) = (None, frame.t("dock-nav-statement"));
    if !supplier.is_empty() {
        let sheet = the_statement(at, month, &supplier)?;
        document = statement_document(&sheet);
        title.push_str(&format!(": {supplier}, {}", frame.say(&month.said())));
        headline = Some(of_statement(at, &frame, &sheet));
    }
    let months = months(at, &frame, month)?;
    let around = Around::Statement {
        month,
        months,
        suppliers,
        supplier,
    };
    let page = DocumentPage::of(frame, &document, around);
    Ok(match headline {
        Some(headline) => page.under(title, headline),
        None => page,
    })
}

fn suppliers_of(book: &Book, asked: Month) -> Result<Vec<String>> {
    let suppliers = month(book, asked, None)?.report.suppliers;
    Ok(suppliers.into_iter().map(|of| of.supplier).collect())
}
