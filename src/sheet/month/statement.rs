use jiff::civil::Date;

use crate::quantity::{Grams, MassUnit, printed_to_add_up};
use crate::report::{Destination, DivertedRule, Flow, Numbers};
use crate::words::{Said, say};

use super::sections::methane;
use super::sheet::StatementSheet;
use super::standard::{beside_diverted, closing, scope};
use crate::sheet::chart::{Chart, Form};
use crate::sheet::document::{Document, Grid, Tone, grid};

pub fn statement_document(sheet: &StatementSheet) -> Document {
    let (told, around, units) = (&sheet.statement, &sheet.around, sheet.around.units);
    let (supplier, month, zone) = (&told.supplier, &sheet.month, &sheet.zone);
    let mut document = Document::titled(say!("statement-title", supplier, month));
    let (first, last) = sheet.days;
    let farm = sheet.around.issuer.as_ref().map(Said::from);
    let farm = farm.unwrap_or_else(|| say!("statement-farm-without-name"));
    document.line(say!("statement-from", farm, first, last, zone));
    closing(
        &mut document,
        sheet.around.closing.as_ref(),
        &told.changes,
        units,
    );
    match &sheet.around.verified_scale {
        None => document.caution(say!("statement-scale-not-verified")),
        Some(why) => document.line(say!("statement-scale-verified", why)),
    }
    let received = say!(
        "statement-received",
        received = exact(told.flow.received),
        loads = told.flow.loads,
        diverted = exact(told.flow.diverted(sheet.rule)),
    );
    document.answer(Tone::Good, received);
    document.small(sheet.rule.said());
    let flows = std::iter::once(&told.flow);
    beside_diverted(&mut document, flows, sheet.rule, units);
    document.chart(weekly(sheet));
    document.heading(say!("statement-where-it-went"));
    document.table(destinations(sheet));
    document.heading(say!("statement-by-stream"));
    document.table(streams(sheet));
    if let Some(told) = &sheet.around.methane {
        methane(&mut document, told);
    }
    document.heading(say!("statement-tickets"));
    document.list(tickets(sheet));
    notes(&mut document, sheet);
    let when = say!("scope-days", first, last, zone);
    scope(
        &mut document,
        (when, say!("scope-one-supplier", supplier)),
        &told.flow,
        &sheet.covered().1,
        around,
    );
    document.small(say!("statement-seal", seal = &sheet.around.seal));
    document
}

/// Both units from exact grams: kilograms to the gram, pounds to a hundredth.
fn exact(grams: Grams) -> String {
    let (_, pounds) = printed_to_add_up(&[grams], MassUnit::Lb, 2);
    format!("{} kg ({} lb)", kg(grams), decimals(pounds, 2))
}

/// Kilograms to the gram.
fn kg(grams: Grams) -> String {
    decimals(i128::from(grams.get()), 3)
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
    let (told, units) = (&sheet.statement, sheet.around.units);
    let label = |first: Date, last: Date| {
        if first == last {
            first.day().to_string()
        } else {
            format!("{}\u{2013}{}", first.day(), last.day())
        }
    };
    let weeks = told.weeks.iter();
    let series = told.streams.iter().enumerate().map(|(at, one)| {
        let of = |week: &crate::report::Week| {
            let grams = week.grams.get(at).copied().unwrap_or_default();
            units.amount_kg(grams.kg())
        };
        (&one.stream, told.weeks.iter().map(of).collect::<Vec<f64>>())
    });
    Chart::new(
        Form::Bars,
        say!("statement-weeks", unit = units.unit()),
        say!("statement-weeks-drawn"),
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
    let pounds = |figure: fn(&Flow, DivertedRule) -> Grams| {
        let each = told.streams.iter().map(|one| figure(&one.flow, sheet.rule));
        let (mut pounds, all) = printed_to_add_up(&each.collect::<Vec<_>>(), MassUnit::Lb, 2);
        pounds.push(all);
        pounds.into_iter().map(|steps| decimals(steps, 2))
    };
    let streams = told.streams.iter().map(|one| {
        let estimated = one.flow.estimated > Grams::ZERO;
        let mark = if estimated { " *" } else { "" };
        (Said::from(&one.stream), &one.flow, mark)
    });
    let rows = (streams.chain(std::iter::once((say!("all"), &told.flow, ""))))
        .zip(pounds(|flow, _| flow.received))
        .zip(pounds(Flow::diverted));
    grid!(for (((name, flow, mark), received_lb), diverted_lb) in rows => {
        Left say!("stream") => name,
        Right say!("loads") => flow.loads,
        Right say!("refused") => flow.refused_loads,
        Right say!("statement-received-kg") => format!("{}{mark}", kg(flow.received)),
        Right say!("statement-received-lb") => received_lb,
        Right say!("statement-picked-out-kg") => kg(flow.picked_out),
        Right say!("statement-diverted-kg") => kg(flow.diverted(sheet.rule)),
        Right say!("statement-diverted-lb") => diverted_lb,
    })
}

/// Destinations that were reached, by the standard's names, and stock.
fn destinations(sheet: &StatementSheet) -> Grid {
    let flow = &sheet.statement.flow;
    let (covered, apart) = sheet.covered();
    let mut rows = vec![
        (say!("statement-opening"), flow.opening),
        (say!("received"), flow.received),
    ];
    for (stream, flow) in apart {
        let left: Grams = Destination::ALL.iter().map(|way| flow.reached(*way)).sum();
        if left != Grams::ZERO {
            rows.push((say!("statement-not-covered", stream), left));
        }
    }
    for way in Destination::ALL {
        let grams = covered.reached(way);
        if grams != Grams::ZERO {
            let name = match way {
                Destination::AnimalFeed => say!("flw-fed-to-larvae", way = way.said()),
                Destination::Discards if flow.picked_out > Grams::ZERO => {
                    say!("flw-parts-picked-out", way = way.said())
                }
                Destination::Sewer if flow.liquor > Grams::ZERO => {
                    say!("flw-liquor", way = way.said())
                }
                _ => way.said(),
            };
            rows.push((name, grams));
        }
    }
    if flow.returned != Grams::ZERO {
        rows.push((say!("statement-back-to-you"), flow.returned));
    }
    rows.push((say!("statement-closing"), flow.closing));
    rows.push((say!("statement-shrink"), flow.shrink));
    grid!(for (name, grams) in rows => {
        Left say!("statement-stock-and-destination") => name,
        Right "kg" => kg(grams),
    })
}

fn tickets(sheet: &StatementSheet) -> Grid {
    let unit = sheet.around.units.unit();
    let in_pounds = unit == MassUnit::Lb;
    let bare = |grams: Grams| {
        let text = sheet.around.units.weight(grams);
        text.split(' ').next().unwrap_or_default().to_owned()
    };
    let reading = |grams: Option<Grams>| grams.map_or_else(|| "\u{2013}".to_owned(), bare);
    grid!(for ticket in &sheet.statement.tickets => {
        let mark = match (&ticket.refused, ticket.estimated) {
            (Some(_), _) => " r",
            (None, true) => " *",
            (None, false) => "",
        };
        Right say!("statement-number") => ticket.number,
        Left say!("cohort-day") => ticket.weighed_at.strftime("%m-%d %H:%M"),
        Left say!("stream") => &ticket.stream,
        Right say!("statement-gross", unit) => reading(ticket.gross_g),
        Right say!("statement-tare", unit) => reading(ticket.tare_g),
        Right say!("statement-net", unit) => format!("{}{mark}", bare(ticket.net_g)),
        Right say!("statement-net", unit = if in_pounds { "kg" } else { "lb" }) => if in_pounds {
            kg(ticket.net_g)
        } else {
            decimals(printed_to_add_up(&[ticket.net_g], MassUnit::Lb, 2).1, 2)
        },
    })
}

fn notes(document: &mut Document, sheet: &StatementSheet) {
    let tickets = &sheet.statement.tickets;
    let weighed = tickets.iter().filter(|ticket| !ticket.estimated);
    let (sent, typed): (Vec<_>, Vec<_>) = weighed.partition(|ticket| ticket.scale.is_some());
    let (sent, typed) = (sent.len(), typed.len());
    document.small(say!("statement-weighed", sent, typed));
    if tickets.iter().any(|ticket| ticket.estimated) {
        document.small(say!("statement-estimated"));
    }
    for ticket in tickets {
        if let Some(first) = &ticket.first_written_as {
            document.small(say!("statement-corrected", ticket.number, first));
        }
        if let Some(why) = &ticket.refused {
            document.small(say!("statement-refused", ticket.number, why));
        }
    }
    if let Some(numbers) = &sheet.statement.numbers {
        document.small(accounted(numbers));
        if !numbers.missing.is_empty() {
            let missing = ranges(&numbers.missing);
            document.out(say!("statement-missing", missing));
        }
    }
}

fn accounted(numbers: &Numbers) -> Said {
    let mut told = vec![say!("numbers-listed", count = numbers.listed)];
    if !numbers.struck.is_empty() {
        let each = numbers.struck.iter();
        let each = each.map(|of| say!("numbers-struck-why", number = of.ticket, of.why));
        let (count, which) = (numbers.struck.len(), Said::joined(each, "; "));
        told.push(say!("numbers-struck", count, which));
    }
    if !numbers.other_month.is_empty() {
        let which = ranges(&numbers.other_month);
        let count = numbers.other_month.len();
        told.push(say!("numbers-other-month", count, which));
    }
    if numbers.other > 0 {
        told.push(say!("numbers-other", count = numbers.other));
    }
    let (first, last) = (numbers.first, numbers.last);
    let (all, told) = (last - first + 1, Said::joined(told, ", "));
    say!("numbers", first, last, all, told)
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
