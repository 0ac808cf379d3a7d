use super::chart::Chart;
use super::document::{Align, Document, Grid};
use super::month::MonthSheet;
use super::words::one_decimal;
use crate::quantity::Grams;
use crate::words::say;

/// Trend, weekdays, top streams, what spoiled, what was turned away.
pub(super) fn owner(document: &mut Document, sheet: &MonthSheet) {
    let (owner, units) = (&sheet.owner, sheet.units);
    document.heading(say!("owner-heading"));
    let of_trend = |of: fn(&crate::report::TrendMonth) -> Grams| {
        owner.trend.iter().map(|told| of(told).kg()).collect()
    };
    document.chart(Chart::lines(
        say!("owner-trend"),
        say!("owner-trend-drawn"),
        owner.trend.iter().map(|told| &told.month).collect(),
        vec![
            (say!("received"), of_trend(|told| told.received)),
            (say!("diverted"), of_trend(|told| told.diverted)),
        ],
    ));
    document.chart(Chart::bars(
        say!("owner-weekdays"),
        say!("owner-weekdays-drawn"),
        (0..7).map(|day| say!("weekday", day)).collect(),
        vec![(
            say!("received"),
            owner.weekdays.iter().map(|grams| grams.kg()).collect(),
        )],
    ));
    let top = &owner.top[..owner.top.len().min(8)];
    document.chart(Chart::bars(
        say!("owner-top"),
        say!("owner-top-drawn"),
        top.iter().map(|(stream, _)| stream).collect(),
        vec![(
            say!("received"),
            top.iter().map(|(_, grams)| grams.kg()).collect(),
        )],
    ));
    let spoiled = owner.spoiled;
    document.line(match spoiled.share() {
        Some(share) => say!(
            "owner-spoiled",
            pct = one_decimal(100.0 * share),
            lost = units.both(spoiled.lost),
            all = units.both(spoiled.lost + spoiled.fed),
        ),
        None if sheet.is_year() => say!("owner-nothing-left-in-year"),
        None => say!("owner-nothing-left-in-month"),
    });
    if sheet.is_year() {
        refused_of_year(document, sheet);
        return;
    }
    let mut grid = Grid::new(&[
        (say!("refused"), Align::Left),
        (say!("when"), Align::Left),
        (say!("supplier"), Align::Left),
        (say!("stream"), Align::Left),
        (say!("net"), Align::Right),
        (say!("why"), Align::Left),
    ]);
    for load in &owner.refused {
        grid.row([
            format!("#{}", load.number),
            load.at.strftime("%Y-%m-%d %H:%M").to_string(),
            load.supplier.clone(),
            load.stream.to_string(),
            units.weight(load.net),
            load.reason.clone(),
        ]);
    }
    document.table(grid);
}

/// A year may have turned hundreds away: by supplier here, one by one on the
/// months' own pages.
fn refused_of_year(document: &mut Document, sheet: &MonthSheet) {
    let mut grid = Grid::new(&[
        (say!("supplier"), Align::Left),
        (say!("refused-loads"), Align::Right),
        (say!("net"), Align::Right),
    ]);
    for one in &sheet.report.suppliers {
        if one.flow.refused_loads > 0 {
            grid.row([
                one.supplier.clone(),
                one.flow.refused_loads.to_string(),
                sheet.units.weight(one.flow.refused),
            ]);
        }
    }
    document.table(grid);
}
