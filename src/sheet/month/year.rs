//! What a year's page says besides: its months.

use crate::report::{MonthReport, OfYear};
use crate::words::{Said, say};

use super::sheet::MonthSheet;
use crate::sheet::document::{Document, Grid, grid};

pub(super) fn draft_of_year(document: &mut Document, sheet: &MonthSheet) {
    let open = sheet.months.iter().filter(|one| one.closed.is_none());
    let open = open.count();
    if open > 0 {
        document.caution(say!("year-draft", open));
    }
}

pub(super) fn months(document: &mut Document, sheet: &MonthSheet) {
    if sheet.months.is_empty() {
        return;
    }
    document.heading(say!("year-by-month"));
    document.table(brought(sheet));
    document.heading(say!("year-balance-by-month"));
    document.table(balances(sheet));
    document.line(say!("year-is-the-sum"));
    if sheet.months.iter().any(OfYear::is_empty) {
        document.line(say!("year-empty-months"));
    }
    let differing: Vec<&str> = (sheet.months.iter())
        .filter(|one| one.closed.is_some_and(|(_, differs)| differs))
        .map(|one| one.report.month.as_str())
        .collect();
    if let Some(first) = differing.first() {
        document.caution(say!("year-changed", months = differing.join(", "), first));
    }
}

fn told(sheet: &MonthSheet) -> impl Iterator<Item = (Said, &MonthReport, Said)> {
    let months = sheet.months.iter().filter(|one| !one.is_empty());
    let months = months.map(|one| (Said::from(&one.report.month), &one.report, closed(one)));
    months.chain([(say!("year-all"), &sheet.report, Said::default())])
}

fn closed(month: &OfYear) -> Said {
    match month.closed {
        None => say!("year-open"),
        Some((version, false)) => say!("version", version),
        Some((version, true)) => say!("year-version-changed", version),
    }
}

fn brought(sheet: &MonthSheet) -> Grid {
    let units = sheet.around.units;
    grid!(for (name, report, closed) in told(sheet) => {
        let total = &report.total;
        Left say!("month") => name,
        Right say!("loads") => total.loads,
        Right say!("received") => units.weight(total.received),
        Right say!("picked-out") => units.weight(total.picked_out),
        Right say!("refused") => units.weight(total.refused),
        Right say!("diverted") => units.weight(report.diverted()),
        Left say!("year-closed") => closed,
    })
}

fn balances(sheet: &MonthSheet) -> Grid {
    let weight = |grams| sheet.around.units.weight(grams);
    grid!(for (name, report, _) in told(sheet) => {
        let balance = &report.balance;
        Left say!("month") => name,
        Right say!("opening") => weight(balance.opening),
        Right say!("came") => weight(report.came()),
        Right say!("fed") => weight(balance.fed),
        Right say!("other-ways") => weight(balance.other_ways()),
        Right say!("shrink") => weight(balance.shrink),
        Right say!("closing") => weight(balance.closing),
    })
}
