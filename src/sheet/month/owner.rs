use super::sheet::MonthSheet;
use crate::quantity::Grams;
use crate::sheet::chart::{Chart, Form};
use crate::sheet::document::{Document, grid};
use crate::sheet::words::one_decimal;
use crate::words::say;

pub(super) fn owner(document: &mut Document, sheet: &MonthSheet) {
    let (owner, units) = (&sheet.owner, sheet.around.units);
    document.heading(say!("owner-heading"));
    let of_trend = |of: fn(&crate::report::TrendMonth) -> Grams| {
        owner.trend.iter().map(|told| of(told).kg()).collect()
    };
    document.chart(Chart::new(
        Form::Lines,
        say!("owner-trend"),
        say!("owner-trend-drawn"),
        owner.trend.iter().map(|told| &told.month).collect(),
        vec![
            (say!("received"), of_trend(|told| told.received)),
            (say!("diverted"), of_trend(|told| told.diverted)),
        ],
    ));
    document.chart(Chart::new(
        Form::Bars,
        say!("owner-weekdays"),
        say!("owner-weekdays-drawn"),
        (0..7).map(|day| say!("weekday", day)).collect(),
        vec![(
            say!("received"),
            owner.weekdays.iter().map(|grams| grams.kg()).collect(),
        )],
    ));
    let top = &owner.top[..owner.top.len().min(8)];
    document.chart(Chart::new(
        Form::Bars,
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
    document.table(grid!(for load in &owner.refused => {
        Left say!("refused") => format!("#{}", load.number),
        Left say!("when") => load.at.strftime("%Y-%m-%d %H:%M"),
        Left say!("supplier") => &load.supplier,
        Left say!("stream") => &load.stream,
        Right say!("net") => units.weight(load.net),
        Left say!("why") => &load.reason,
    }));
}

/// A year may have turned hundreds away: by supplier here, one by one on the
/// months' own pages.
fn refused_of_year(document: &mut Document, sheet: &MonthSheet) {
    let suppliers = sheet.report.suppliers.iter();
    document.table(
        grid!(for one in suppliers.filter(|one| one.flow.refused_loads > 0) => {
            Left say!("supplier") => &one.supplier,
            Right say!("refused-loads") => one.flow.refused_loads,
            Right say!("net") => sheet.around.units.weight(one.flow.refused),
        }),
    );
}
