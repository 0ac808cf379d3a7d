//! What a year's page says besides: its months.

use crate::report::{MonthReport, OfYear};
use crate::words::{Said, say};

use super::document::{Align, Document, Grid, Tone};
use super::month::MonthSheet;

/// Says how many months may still change.
pub(super) fn draft_of_year(document: &mut Document, sheet: &MonthSheet) {
    let open = sheet.months.iter().filter(|one| one.closed.is_none());
    let open = open.count();
    if open > 0 {
        document.toned(Tone::Caution, say!("year-draft", open));
    }
}

/// The months of a year, each with its weights and its balance.
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
        let months = differing.join(", ");
        document.toned(Tone::Caution, say!("year-changed", months, first));
    }
}

fn brought(sheet: &MonthSheet) -> Grid {
    let units = sheet.units;
    let mut grid = Grid::new(&[
        (say!("month"), Align::Left),
        (say!("loads"), Align::Right),
        (say!("received"), Align::Right),
        (say!("picked-out"), Align::Right),
        (say!("refused"), Align::Right),
        (say!("diverted"), Align::Right),
        (say!("year-closed"), Align::Left),
    ]);
    let mut row = |name: Said, report: &MonthReport, closed: Said| {
        let total = &report.total;
        grid.row([
            name,
            total.loads.into(),
            units.weight(total.received).into(),
            units.weight(total.picked_out).into(),
            units.weight(total.refused).into(),
            units.weight(report.diverted()).into(),
            closed,
        ]);
    };
    for one in told(sheet) {
        row((&one.report.month).into(), &one.report, closed(one));
    }
    row(say!("year-all"), &sheet.report, Said::default());
    grid
}

fn told(sheet: &MonthSheet) -> impl Iterator<Item = &OfYear> {
    sheet.months.iter().filter(|one| !one.is_empty())
}

fn closed(month: &OfYear) -> Said {
    match month.closed {
        None => say!("year-open"),
        Some((version, false)) => say!("version", version),
        Some((version, true)) => say!("year-version-changed", version),
    }
}

fn balances(sheet: &MonthSheet) -> Grid {
    let weight = |grams| Said::from(sheet.units.weight(grams));
    let mut grid = Grid::new(&[
        (say!("month"), Align::Left),
        (say!("opening"), Align::Right),
        (say!("came"), Align::Right),
        (say!("fed"), Align::Right),
        (say!("other-ways"), Align::Right),
        (say!("shrink"), Align::Right),
        (say!("closing"), Align::Right),
    ]);
    let mut row = |name: Said, report: &MonthReport| {
        let balance = &report.balance;
        grid.row([
            name,
            weight(balance.opening),
            weight(report.came()),
            weight(balance.fed),
            weight(balance.left() - balance.fed - balance.shrink),
            weight(balance.shrink),
            weight(balance.closing),
        ]);
    };
    for one in told(sheet) {
        row((&one.report.month).into(), &one.report);
    }
    row(say!("year-all"), &sheet.report);
    grid
}
