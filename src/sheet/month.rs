use crate::quantity::Grams;
use crate::report::{DIVERTED_RULE, Flow, MonthReport};

use super::document::{Align, Document, Grid, Tone};
use super::words::{Units, csv_text, plural};

/// The month as a page.
#[must_use]
pub fn month_document(report: &MonthReport, units: Units, head: &str) -> Document {
    let mut document = Document::titled(format!(
        "Month {} ({}), version {}",
        report.month, report.zone, report.version
    ));
    document.line(format!(
        "{}, {} refused",
        plural(report.total.loads, "load", "loads"),
        report.total.refused_loads
    ));
    document.toned(
        Tone::Good,
        format!(
            "Received {}, diverted {}",
            units.both(report.total.received),
            units.both(report.total.diverted())
        ),
    );
    document.toned(Tone::Small, DIVERTED_RULE);
    document.heading("By supplier and stream");
    document.table(suppliers(report, units));
    if report.total.estimated > Grams::ZERO {
        document.toned(
            Tone::Caution,
            format!(
                "Of the received weight {} was estimated by volume, not weighed.",
                units.both(report.total.estimated)
            ),
        );
    }
    document.heading("Where it went");
    document.table(destinations(report, units));
    document.heading("Balance");
    document.table(balance(report, units));
    let gap = report.balance.gap();
    if gap == Grams::ZERO {
        document.line("Left and right are equal to the gram; shrink is what no record explains (scale remainders, drying, drip).");
    } else {
        document.toned(
            Tone::Out,
            format!(
                "The balance does not close: {} g. Run `trayful check`.",
                gap.get()
            ),
        );
    }
    document.toned(Tone::Small, format!("Weights from the farm's own scale, wet weight as received; packaging is not deducted unless weighed as tare. Book head {head}."));
    document
}

fn suppliers(report: &MonthReport, units: Units) -> Grid {
    let mut grid = Grid::new(&[
        ("supplier", Align::Left),
        ("stream", Align::Left),
        ("loads", Align::Right),
        ("received", Align::Right),
        ("picked out", Align::Right),
        ("refused", Align::Right),
        ("diverted", Align::Right),
    ]);
    let mut row = |supplier: &str, stream: &str, flow: &Flow| {
        let received = format!(
            "{}{}",
            units.weight(flow.received),
            if flow.estimated > Grams::ZERO {
                " *"
            } else {
                ""
            }
        );
        grid.row([
            supplier.to_owned(),
            stream.to_owned(),
            flow.loads.to_string(),
            received,
            units.weight(flow.picked_out),
            units.weight(flow.refused),
            units.weight(flow.diverted()),
        ]);
    };
    for supplier in &report.suppliers {
        row(&supplier.supplier, "all", &supplier.flow);
        for stream in &supplier.streams {
            row("", stream.stream.as_str(), &stream.flow);
        }
    }
    row("All suppliers", "", &report.total);
    grid
}

fn destinations(report: &MonthReport, units: Units) -> Grid {
    let went = report.destinations;
    let mut grid = Grid::new(&[("destination", Align::Left), ("weight", Align::Right)]);
    for (name, grams) in [
        ("fed to larvae", went.fed),
        ("compost", went.composted),
        ("back to the supplier", went.returned),
        ("landfill", went.landfilled),
        ("liquor drained", went.liquor),
        ("parts picked out", went.picked_out),
        ("turned away at the dock", went.refused),
    ] {
        grid.row([name.to_owned(), units.both(grams)]);
    }
    grid
}

fn balance(report: &MonthReport, units: Units) -> Grid {
    let sum = report.balance;
    let mut grid = Grid::new(&[
        ("comes", Align::Left),
        ("", Align::Right),
        ("goes", Align::Left),
        (" ", Align::Right),
    ]);
    let goes = [
        ("fed", sum.fed),
        ("composted", sum.composted),
        ("returned", sum.returned),
        ("landfilled", sum.landfilled),
        ("picked out", sum.picked_out),
        ("liquor", sum.liquor),
        ("closing stock", sum.closing),
        ("shrink", sum.shrink),
    ];
    let comes = [
        ("opening stock", sum.opening),
        ("received", sum.received),
        ("bought", sum.bought),
        ("water", sum.water),
    ];
    for (position, (name, grams)) in goes.into_iter().enumerate() {
        let (left, weight) = comes
            .get(position)
            .map_or((String::new(), String::new()), |(name, grams)| {
                ((*name).to_owned(), units.both(*grams))
            });
        grid.row([left, weight, name.to_owned(), units.both(grams)]);
    }
    grid
}

/// The month as CSV, whole grams, one row a supplier and stream.
///
/// # Errors
/// When the writer fails; writing to memory does not.
pub fn month_csv(report: &MonthReport) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "month",
        "zone",
        "supplier",
        "stream",
        "loads",
        "refused_loads",
        "opening_g",
        "received_g",
        "estimated_g",
        "refused_g",
        "picked_out_g",
        "fed_g",
        "composted_g",
        "returned_g",
        "landfilled_g",
        "liquor_g",
        "shrink_g",
        "closing_g",
        "diverted_g",
    ])?;
    for supplier in &report.suppliers {
        for stream in &supplier.streams {
            let flow = &stream.flow;
            let weights = [
                flow.opening,
                flow.received,
                flow.estimated,
                flow.refused,
                flow.picked_out,
                flow.fed,
                flow.composted,
                flow.returned,
                flow.landfilled,
                flow.liquor,
                flow.shrink,
                flow.closing,
                flow.diverted(),
            ];
            let mut cells = vec![
                report.month.clone(),
                csv_text(&report.zone),
                csv_text(&supplier.supplier),
                stream.stream.to_string(),
                flow.loads.to_string(),
                flow.refused_loads.to_string(),
            ];
            cells.extend(weights.iter().map(|grams| grams.get().to_string()));
            writer.write_record(cells)?;
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
