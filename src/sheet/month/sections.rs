//! What a month's page has besides its figures: what an owner looks at, a
//! year's months, avoided methane.

use super::sheet::MonthSheet;
use crate::quantity::Grams;
use crate::report::methane::{Avoided, CARBON_OF_DRY, MethaneTold, decomposed_after};
use crate::report::{MonthReport, OfYear};
use crate::sheet::chart::{Chart, Form};
use crate::sheet::document::{Document, Grid, grid};
use crate::sheet::words::one_decimal;
use crate::words::{Said, say};

pub(super) fn owner(document: &mut Document, sheet: &MonthSheet) {
    let (owner, units) = (&sheet.owner, sheet.around.units);
    document.heading(say!("owner-heading"));
    let (unit, amount) = (units.unit(), |grams: &Grams| units.amount_kg(grams.kg()));
    let of_trend = |of: fn(&crate::report::TrendMonth) -> Grams| {
        owner.trend.iter().map(|told| amount(&of(told))).collect()
    };
    document.chart(Chart::new(
        Form::Lines,
        say!("owner-trend", unit),
        say!("owner-trend-drawn"),
        owner.trend.iter().map(|told| &told.month).collect(),
        vec![
            (say!("received"), of_trend(|told| told.received)),
            (say!("diverted"), of_trend(|told| told.diverted)),
        ],
    ));
    document.chart(Chart::new(
        Form::Bars,
        say!("owner-weekdays", unit),
        say!("owner-weekdays-drawn"),
        (0..7).map(|day| say!("weekday", day)).collect(),
        vec![(
            say!("received"),
            owner.weekdays.iter().map(amount).collect(),
        )],
    ));
    let top = &owner.top[..owner.top.len().min(8)];
    document.chart(Chart::new(
        Form::Bars,
        say!("owner-top", unit),
        say!("owner-top-drawn"),
        top.iter().map(|(stream, _)| stream).collect(),
        vec![(
            say!("received"),
            top.iter().map(|(_, grams)| amount(grams)).collect(),
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

/// Avoided methane as a section: a range, its inputs and what it is not.
pub(super) fn methane(document: &mut Document, told: &MethaneTold) {
    document.heading(say!("methane-heading"));
    let k = told.climate.decay();
    document.table(grid!(for line in &told.lines => {
        let none = |why: Said| [why, Said::default(), Said::default()];
        let [methane, carbon, first] = match line.avoided {
            Avoided::Range { low_kg, high_kg } => {
                [1.0, told.gwp.factor(), decomposed_after(1, k)].map(|factor| {
                    say!("from-to", low = digits(low_kg * factor), high = digits(high_kg * factor))
                })
            }
            Avoided::Nothing => [say!("methane-not-landfilled"), 0.into(), 0.into()],
            Avoided::Unknown => none(say!("methane-outlet-unknown")),
            Avoided::Mandated => none(say!("methane-law")),
            Avoided::NoWeight => none(say!("methane-no-weight")),
            Avoided::LeftOut => none(say!("methane-see-below")),
        };
        Left say!("supplier") => &line.supplier,
        Left say!("methane-former-outlet") => say!("methane-outlet", outlet = line.outlet.as_str()),
        Right say!("diverted") => format!("{:.1} kg", line.diverted_kg),
        Right say!("methane-dry") => format!("{:.1} kg", line.dry_kg),
        Right say!("methane-all-years") => methane,
        Right say!("methane-carbon") => carbon,
        Right say!("methane-first-year") => first,
    }));
    for line in told.lines.iter().filter(|line| !line.left_out.is_empty()) {
        let each = line.left_out.iter().map(|of| {
            say!(
                "methane-left-out-stream",
                of.stream,
                kg = format!("{:.1}", of.kg),
                of.why
            )
        });
        let streams = Said::joined(each, ", ");
        document.small(say!("methane-left-out", line.supplier, streams));
    }
    let shares = [1, 5, 10, 20].map(|years| format!("{:.1}", 100.0 * decomposed_after(years, k)));
    let climate = say!("methane-climate", climate = told.climate.as_str());
    let shares = shares.join(", ");
    document.small(say!("methane-lifetime", k, climate, shares));
    let pct = |share: f64| format!("{:.0}", 100.0 * share);
    document.small(say!(
        "methane-inputs",
        carbon_low = CARBON_OF_DRY.0,
        carbon_high = CARBON_OF_DRY.1,
        captured_low = pct(told.captured.0),
        captured_high = pct(told.captured.1),
        is_default = told.captured_is_default,
        gwp = told.gwp.said(),
    ));
    document.caution(say!("methane-no-offset"));
}

/// Two significant digits: the inputs carry no more.
fn digits(value: f64) -> String {
    if value <= 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let mut unit = 1.0_f64;
    while value / unit >= 100.0 {
        unit *= 10.0;
    }
    while value / unit < 9.95 {
        unit /= 10.0;
    }
    let mut places = 0;
    let mut step = unit;
    while step < 0.99 {
        step *= 10.0;
        places += 1;
    }
    format!("{:.places$}", (value / unit).round() * unit)
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn two_digits_are_left() {
        let told = [1234.0, 99.4, 9.96, 1.26, 0.0345, 0.0, 560.0].map(digits);
        assert_eq!(told, ["1200", "99", "10", "1.3", "0.035", "0", "560"]);
    }
}
