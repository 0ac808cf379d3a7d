use std::collections::BTreeMap;

use jiff::civil::{Date, Weekday};

use super::basis::{Basis, Month};
use super::owner::around;
use crate::acts::night::local_day;
use crate::acts::{ActError, Result};
use crate::daybook::{Book, Listed, TicketTold};
use crate::quantity::Grams;
use crate::report::{NumberIs, Numbers, Statement, StatementTicket, StreamMonth, Week, accounted};
use crate::sheet::StatementSheet;
use crate::stream::Verdict;
use crate::table::same_name;
use crate::words::{Said, say};

/// A supplier's month: of the version asked for, else the newest closed one,
/// else as the book tells it now.
pub fn statement(
    book: &Book,
    supplier: &str,
    month: Month,
    version: Option<i64>,
) -> Result<StatementSheet> {
    let supplier = supplier.trim();
    book.at_one_moment(|book| {
        book.whole()?;
        let basis = Basis::of(book, month, version)?;
        let statement = of_supplier(book, supplier, month, &basis)?;
        let around = around(book, Some(&statement.supplier), &basis)?;
        let (from, to) = (basis.span.from, basis.span.to);
        let last = local_day(to, &basis.farm.zone);
        Ok(StatementSheet {
            month: month.to_string(),
            days: (
                local_day(from, &basis.farm.zone),
                last.yesterday().unwrap_or(last),
            ),
            statement,
            zone: basis.farm.zone_name.clone(),
            rule: basis.rule(),
            around,
        })
    })
}

fn of_supplier(book: &Book, supplier: &str, month: Month, basis: &Basis) -> Result<Statement> {
    let report = basis.report(&month.to_string());
    let names = || report.suppliers.iter().map(|one| one.supplier.clone());
    let one = (report.suppliers.iter())
        .find(|one| one.supplier == supplier)
        .or_else(|| (report.suppliers.iter()).find(|one| same_name(&one.supplier, supplier)))
        .ok_or_else(|| ActError::NotFound {
            what: "supplier-in-month",
            seen: supplier.to_owned(),
            nearest: names().collect(),
        })?;
    let supplier = one.supplier.as_str();
    let mut told = book.tickets_told(basis.span, Listed::Of(supplier))?;
    told.retain(|ticket| !ticket.bought && ticket.struck_why.is_none());
    let tickets: Vec<_> = told.iter().map(|ticket| listed(ticket, basis)).collect();
    Ok(Statement {
        supplier: supplier.to_owned(),
        flow: one.flow.clone(),
        weeks: weeks(&tickets, &one.streams),
        numbers: numbers(book, supplier, &tickets, basis)?,
        changes: (basis.closing.iter())
            .flat_map(|closing| &closing.changes)
            .filter(|change| change.supplier == supplier)
            .cloned()
            .collect(),
        streams: one.streams.clone(),
        tickets,
    })
}

fn listed(ticket: &TicketTold, basis: &Basis) -> StatementTicket {
    let refused = ticket.verdict == Verdict::Refuse;
    StatementTicket {
        number: ticket.number,
        weighed_at: ticket
            .at
            .to_zoned_datetime(basis.farm.zone.clone())
            .datetime(),
        stream: ticket.stream.clone(),
        // A page handed to one supplier names no other.
        first_written_as: (ticket.first.as_ref()).map(|(supplier, stream)| {
            if *supplier == ticket.supplier {
                Said::from(stream)
            } else {
                say!("statement-of-another", stream)
            }
        }),
        gross_g: ticket.gross_g,
        tare_g: ticket.tare_g,
        net_g: ticket.net_g,
        picked_out_g: ticket.picked_out_g,
        estimated: ticket.estimated,
        scale: ticket.scale.clone(),
        refused: refused.then(|| ticket.reason.clone()),
    }
}

/// Accepted weight by week, Monday first, cut at the month's ends.
fn weeks(tickets: &[StatementTicket], streams: &[StreamMonth]) -> Vec<Week> {
    let mut weeks: BTreeMap<Date, Week> = BTreeMap::new();
    for ticket in tickets.iter().filter(|ticket| ticket.refused.is_none()) {
        let day = ticket.weighed_at.date();
        let back = i64::from(day.weekday().since(Weekday::Monday));
        let monday = day.saturating_sub(jiff::Span::new().days(back));
        let sunday = monday.saturating_add(jiff::Span::new().days(6));
        let week = weeks.entry(monday).or_insert_with(|| Week {
            first: monday.max(day.first_of_month()),
            last: sunday.min(day.last_of_month()),
            grams: vec![Grams::ZERO; streams.len()],
        });
        let at = streams.iter().position(|one| one.stream == ticket.stream);
        if let Some(grams) = at.and_then(|at| week.grams.get_mut(at)) {
            *grams += ticket.net_g;
        }
    }
    weeks.into_values().collect()
}

fn numbers(
    book: &Book,
    supplier: &str,
    tickets: &[StatementTicket],
    basis: &Basis,
) -> Result<Option<Numbers>> {
    let (Some(first), Some(last)) = (tickets.first(), tickets.last()) else {
        return Ok(None);
    };
    let span = (first.number, last.number);
    let told = book.numbers_told(span, supplier, basis.span)?;
    let mut listed = tickets.iter().map(|ticket| ticket.number).peekable();
    let told: Vec<(i64, NumberIs)> = told
        .into_iter()
        .map(|told| {
            let is = match told.struck_why {
                _ if listed.next_if_eq(&told.number).is_some() => NumberIs::Listed,
                Some(why) if told.own => NumberIs::Struck(why),
                None if told.own && !told.in_span => NumberIs::OtherMonth,
                _ => NumberIs::Other,
            };
            (told.number, is)
        })
        .collect();
    Ok(Some(accounted(span.0, span.1, &told)))
}
