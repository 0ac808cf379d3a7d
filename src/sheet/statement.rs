use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::quantity::{Grams, MassUnit, printed_to_add_up};
use crate::report::methane::MethaneTold;
use crate::report::{Closing, Destination, DivertedRule, Numbers, Statement, covered_and_apart};
use crate::stream::StreamId;

use super::chart::Chart;
use super::document::{Align, Document, Grid, Tone};
use super::methane::methane;
use super::standard::{Scope, beside_diverted, closing, scope};
use super::words::{Units, plural};

/// A supplier's statement with what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct StatementSheet {
    /// The month, such as `2026-10`.
    pub month: String,
    /// First and last local day.
    pub days: (Date, Date),
    /// IANA time zone of the month.
    pub zone: String,
    pub statement: Statement,
    /// How weights are said.
    pub units: Units,
    /// The farm's name.
    pub issuer: Option<String>,
    /// Why its scale counts as verified.
    pub verified_scale: Option<String>,
    pub rule: DivertedRule,
    /// The closing it comes from; `None` while the month is open.
    pub closing: Option<Closing>,
    /// Streams the FLW Standard does not cover; see [`Self::apart`].
    pub not_food: BTreeSet<StreamId>,
    /// Avoided methane, only when asked for.
    pub methane: Option<MethaneTold>,
    /// The seal of the book when it was told.
    pub seal: String,
}

impl StatementSheet {
    /// The same with what is no food told apart from the FLW Standard's scope.
    #[must_use]
    pub fn apart(mut self, not_food: BTreeSet<StreamId>) -> Self {
        self.not_food = not_food;
        self
    }
}

/// The statement as a page.
#[must_use]
pub fn statement_document(sheet: &StatementSheet) -> Document {
    let (told, units) = (&sheet.statement, sheet.units);
    let mut document =
        Document::titled(format!("Statement for {}, {}", told.supplier, sheet.month));
    document.line(format!(
        "From {} \u{b7} {} to {}, local days, {}",
        sheet
            .issuer
            .as_deref()
            .unwrap_or("the farm (no name said: `trayful farm --name`)"),
        sheet.days.0,
        sheet.days.1,
        sheet.zone,
    ));
    closing(&mut document, sheet.closing.as_ref(), &told.changes, units);
    match &sheet.verified_scale {
        None => document.toned(Tone::Caution, "Not weighed on a verified scale."),
        Some(why) => document.line(format!("Weighed on a verified scale: {why}.")),
    }
    document.toned(
        Tone::Good,
        format!(
            "Received {} in {}, diverted {}",
            exact(told.flow.received),
            plural(told.flow.loads, "load", "loads"),
            exact(told.flow.diverted(sheet.rule)),
        ),
    );
    document.toned(Tone::Small, sheet.rule.sentence());
    beside_diverted(
        &mut document,
        std::iter::once(&told.flow),
        sheet.rule,
        units,
    );
    document.chart(weekly(sheet));
    document.heading("Where it went in the month");
    document.table(destinations(sheet));
    document.heading("By stream");
    document.table(streams(sheet));
    if let Some(told) = &sheet.methane {
        methane(&mut document, told);
    }
    document.heading("Tickets");
    document.list(tickets(sheet));
    notes(&mut document, sheet);
    scope(
        &mut document,
        &Scope {
            timeframe: format!(
                "{} 00:00 up to the end of {}, {}",
                sheet.days.0, sheet.days.1, sheet.zone
            ),
            whose: format!("organic material brought to the farm by {}", told.supplier),
            flow: &told.flow,
            apart: &covered_and_apart(&told.streams, &sheet.not_food).1,
            parts: &told.parts,
            weighed: &told.weighed,
            units,
            verified_scale: sheet.verified_scale.as_deref(),
        },
    );
    document.toned(Tone::Small, format!(
        "Book seal {}: whoever has this page can see whether the farm's book was changed since, with `trayful check --seal {}`.",
        sheet.seal, sheet.seal
    ));
    document
}

/// Both units from exact grams: kilograms to the gram, pounds to a hundredth.
fn exact(grams: Grams) -> String {
    let (_, pounds) = printed_to_add_up(&[grams], MassUnit::Lb, 2);
    format!(
        "{} kg ({} lb)",
        decimals(i128::from(grams.get()), 3),
        decimals(pounds, 2)
    )
}

fn decimals(steps: i128, places: u32) -> String {
    let scale = 10_i128.pow(places);
    let sign = if steps < 0 { "-" } else { "" };
    let width = usize::try_from(places).unwrap_or(0);
    format!(
        "{sign}{}.{:0width$}",
        steps.abs() / scale,
        steps.abs() % scale
    )
}

fn weekly(sheet: &StatementSheet) -> Chart {
    let told = &sheet.statement;
    let label = |first: Date, last: Date| {
        if first == last {
            first.day().to_string()
        } else {
            format!("{}\u{2013}{}", first.day(), last.day())
        }
    };
    let weeks = told.weeks.iter();
    let series = told.streams.iter().enumerate().map(|(at, one)| {
        let of = |week: &crate::report::Week| week.grams.get(at).copied().unwrap_or_default().kg();
        (
            one.stream.to_string(),
            told.weeks.iter().map(of).collect::<Vec<f64>>(),
        )
    });
    Chart::bars(
        "Received by week and stream, kg",
        "A bar for each week of the month, stacked by stream; the figures are in the table below",
        weeks.map(|week| label(week.first, week.last)).collect(),
        // A stream that only left stock this month received nothing.
        series
            .filter(|(_, values)| values.iter().any(|kg| *kg > 0.0))
            .collect(),
    )
}

/// Columns in kilograms to the gram and in pounds, printed so that each column adds up.
fn streams(sheet: &StatementSheet) -> Grid {
    let told = &sheet.statement;
    let of = |figure: &dyn Fn(&crate::report::Flow) -> Grams| -> Vec<Grams> {
        told.streams.iter().map(|one| figure(&one.flow)).collect()
    };
    let received = of(&|flow| flow.received);
    let diverted = of(&|flow| flow.diverted(sheet.rule));
    let (received_lb, received_all) = printed_to_add_up(&received, MassUnit::Lb, 2);
    let (diverted_lb, diverted_all) = printed_to_add_up(&diverted, MassUnit::Lb, 2);
    let mut grid = Grid::new(&[
        ("stream", Align::Left),
        ("loads", Align::Right),
        ("refused", Align::Right),
        ("received kg", Align::Right),
        ("received lb", Align::Right),
        ("picked out kg", Align::Right),
        ("diverted kg", Align::Right),
        ("diverted lb", Align::Right),
    ]);
    let kg = |grams: Grams| decimals(i128::from(grams.get()), 3);
    for (at, one) in told.streams.iter().enumerate() {
        let mark = if one.flow.estimated > Grams::ZERO {
            " *"
        } else {
            ""
        };
        grid.row([
            one.stream.to_string(),
            one.flow.loads.to_string(),
            one.flow.refused_loads.to_string(),
            format!("{}{mark}", kg(received[at])),
            decimals(received_lb[at], 2),
            kg(one.flow.picked_out),
            kg(diverted[at]),
            decimals(diverted_lb[at], 2),
        ]);
    }
    grid.row([
        "all".to_owned(),
        told.flow.loads.to_string(),
        told.flow.refused_loads.to_string(),
        kg(told.flow.received),
        decimals(received_all, 2),
        kg(told.flow.picked_out),
        kg(told.flow.diverted(sheet.rule)),
        decimals(diverted_all, 2),
    ]);
    grid
}

/// Destinations that were reached, by the standard's names, and stock.
fn destinations(sheet: &StatementSheet) -> Grid {
    let flow = &sheet.statement.flow;
    let (covered, apart) = covered_and_apart(&sheet.statement.streams, &sheet.not_food);
    let mut rows = vec![
        ("opening stock".to_owned(), flow.opening),
        ("received".to_owned(), flow.received),
    ];
    for (stream, flow) in apart {
        let left: Grams = Destination::ALL.iter().map(|way| flow.reached(*way)).sum();
        if left != Grams::ZERO {
            rows.push((format!("{stream}, not covered by the standard"), left));
        }
    }
    for way in Destination::ALL {
        let grams = covered.reached(way);
        if grams != Grams::ZERO {
            let note = match way {
                Destination::AnimalFeed => " (fed to larvae)",
                Destination::Discards if flow.picked_out > Grams::ZERO => " (parts picked out)",
                Destination::Sewer if flow.liquor > Grams::ZERO => " (liquor)",
                _ => "",
            };
            rows.push((format!("{}{note}", way.name()), grams));
        }
    }
    if flow.returned != Grams::ZERO {
        rows.push(("back to you".to_owned(), flow.returned));
    }
    rows.push(("closing stock".to_owned(), flow.closing));
    rows.push(("shrink (drying, drip, scale)".to_owned(), flow.shrink));
    let mut grid = Grid::new(&[
        ("stock and destination (FLW Standard)", Align::Left),
        ("kg", Align::Right),
    ]);
    for (name, grams) in rows {
        grid.row([name, decimals(i128::from(grams.get()), 3)]);
    }
    grid
}

fn tickets(sheet: &StatementSheet) -> Grid {
    let unit = sheet.units.unit();
    let (gross, tare, net) = (
        format!("gross {unit}"),
        format!("tare {unit}"),
        format!("net {unit}"),
    );
    let in_pounds = unit == MassUnit::Lb;
    let mut grid = Grid::new(&[
        ("no.", Align::Right),
        ("day", Align::Left),
        ("stream", Align::Left),
        (&gross, Align::Right),
        (&tare, Align::Right),
        (&net, Align::Right),
        (if in_pounds { "net kg" } else { "net lb" }, Align::Right),
    ]);
    let bare = |grams: Grams| {
        let text = sheet.units.weight(grams);
        text.split(' ').next().unwrap_or_default().to_owned()
    };
    for ticket in &sheet.statement.tickets {
        let mark = match (&ticket.refused, ticket.estimated) {
            (Some(_), _) => " r",
            (None, true) => " *",
            (None, false) => "",
        };
        let reading = |grams: Option<Grams>| grams.map_or_else(|| "\u{2013}".to_owned(), bare);
        grid.row([
            ticket.number.to_string(),
            ticket.at.strftime("%m-%d %H:%M").to_string(),
            ticket.stream.to_string(),
            reading(ticket.gross),
            reading(ticket.tare),
            format!("{}{mark}", bare(ticket.net)),
            if in_pounds {
                decimals(i128::from(ticket.net.get()), 3)
            } else {
                decimals(printed_to_add_up(&[ticket.net], MassUnit::Lb, 2).1, 2)
            },
        ]);
    }
    grid
}

fn notes(document: &mut Document, sheet: &StatementSheet) {
    let tickets = &sheet.statement.tickets;
    if tickets.iter().any(|ticket| ticket.estimated) {
        document.toned(
            Tone::Small,
            "* estimated by volume and bulk density, not weighed.",
        );
    }
    for ticket in tickets {
        if let Some(first) = &ticket.first {
            document.toned(
                Tone::Small,
                format!("#{} corrected; first written as {first}.", ticket.number),
            );
        }
        if let Some(why) = &ticket.refused {
            document.toned(
                Tone::Small,
                format!("r #{} refused, not received: {why}.", ticket.number),
            );
        }
    }
    if let Some(numbers) = &sheet.statement.numbers {
        document.toned(Tone::Small, accounted(numbers));
        if !numbers.missing.is_empty() {
            document.toned(
                Tone::Out,
                format!(
                    "Not in the book: {}. The book is not whole; run `trayful check`.",
                    ranges(&numbers.missing)
                ),
            );
        }
    }
}

/// Every number between the first and the last, in words.
fn accounted(numbers: &Numbers) -> String {
    let all = numbers.last - numbers.first + 1;
    let mut told = vec![format!("{} listed here", numbers.listed)];
    if !numbers.struck.is_empty() {
        let struck: Vec<String> = (numbers.struck.iter())
            .map(|(number, why)| format!("#{number}: {why}"))
            .collect();
        told.push(format!("{} struck ({})", struck.len(), struck.join("; ")));
    }
    if !numbers.other_month.is_empty() {
        told.push(format!(
            "{} of yours weighed in another month ({})",
            numbers.other_month.len(),
            ranges(&numbers.other_month)
        ));
    }
    if numbers.other > 0 {
        told.push(format!(
            "{} of other suppliers or bought stock",
            numbers.other
        ));
    }
    format!(
        "Ticket numbers run without gaps over the whole farm. #{} to #{} are {all}: {}.",
        numbers.first,
        numbers.last,
        told.join(", ")
    )
}

/// Numbers in rising order, those in a row as a range.
fn ranges(numbers: &[i64]) -> String {
    let mut told: Vec<(i64, i64)> = Vec::new();
    for number in numbers {
        match told.last_mut() {
            Some((_, last)) if *number == last.saturating_add(1) => *last = *number,
            _ => told.push((*number, *number)),
        }
    }
    let words = told.iter().map(|(first, last)| {
        if first == last {
            format!("#{first}")
        } else {
            format!("#{first}\u{2013}{last}")
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_a_range() {
        assert_eq!(ranges(&[4, 7, 8, 9, 12]), "#4, #7\u{2013}9, #12");
        assert_eq!(ranges(&[]), "");
    }

    #[test]
    fn exact_weights_to_the_gram() {
        assert_eq!(exact(Grams::new(453_592)), "453.592 kg (1000.00 lb)");
        assert_eq!(exact(Grams::new(-1)), "-0.001 kg (0.00 lb)");
    }
}
