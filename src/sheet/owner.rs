use super::chart::Chart;
use super::document::{Align, Document, Grid};
use super::month::MonthSheet;
use super::words::one_decimal;
use crate::quantity::Grams;

/// Trend, weekdays, top streams, what spoiled, what was turned away.
pub(super) fn owner(document: &mut Document, sheet: &MonthSheet) {
    let (owner, units) = (&sheet.owner, sheet.units);
    document.heading("For the owner");
    let kg = |grams: &Grams| grams.kg();
    document.chart(Chart::lines(
        "Received and diverted by month, kg",
        "A line for received and one for diverted weight, up to twelve months",
        owner.trend.iter().map(|told| told.month.clone()).collect(),
        vec![
            (
                "received".to_owned(),
                owner.trend.iter().map(|told| told.received.kg()).collect(),
            ),
            (
                "diverted".to_owned(),
                owner.trend.iter().map(|told| told.diverted.kg()).collect(),
            ),
        ],
    ));
    document.chart(Chart::bars(
        "Received by weekday, kg",
        "A bar for each weekday, Monday first",
        ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
            .map(str::to_owned)
            .to_vec(),
        vec![(
            "received".to_owned(),
            owner.weekdays.iter().map(kg).collect(),
        )],
    ));
    let top = &owner.top[..owner.top.len().min(8)];
    document.chart(Chart::bars(
        "Top streams, kg received",
        "A bar for each of the streams with the most accepted weight",
        top.iter().map(|(stream, _)| stream.to_string()).collect(),
        vec![(
            "received".to_owned(),
            top.iter().map(|(_, grams)| grams.kg()).collect(),
        )],
    ));
    match owner.spoiled.share() {
        Some(share) => document.line(format!(
            "Spoiled: {} % of the feed stock that left ({} of {}) went another way than to the larvae.",
            one_decimal(100.0 * share),
            units.both(owner.spoiled.lost),
            units.both(owner.spoiled.lost + owner.spoiled.fed),
        )),
        None if sheet.is_year() => document.line("Spoiled: no feed stock left in the year."),
        None => document.line("Spoiled: no feed stock left in the month."),
    }
    if sheet.is_year() {
        refused_of_year(document, sheet);
        return;
    }
    let mut grid = Grid::new(&[
        ("refused", Align::Left),
        ("when", Align::Left),
        ("supplier", Align::Left),
        ("stream", Align::Left),
        ("net", Align::Right),
        ("why", Align::Left),
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
        ("supplier", Align::Left),
        ("refused loads", Align::Right),
        ("net", Align::Right),
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
