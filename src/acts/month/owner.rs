use std::collections::BTreeSet;

use jiff::Timestamp;

use super::basis::{Basis, Month};
use crate::acts::Result;
use crate::daybook::{Book, Listed, MonthRow, Span};
use crate::quantity::{Division, Grams};
use crate::report::{MonthReport, Owner, RefusedLoad, Spoiled, TrendMonth, Weighed, weekday_index};
use crate::sheet::Around;

const TREND_MONTHS: usize = 12;

/// What an owner looks at besides the figures.
pub(crate) fn owner(
    book: &Book,
    report: &MonthReport,
    basis: &Basis,
    trend: Vec<TrendMonth>,
) -> Result<Owner> {
    let mut owner = Owner {
        trend,
        ..Owner::default()
    };
    let local = |at: Timestamp| at.to_zoned_datetime(basis.farm.zone.clone()).datetime();
    book.each_load(basis.span, |at, net_g| {
        owner.weekdays[weekday_index(local(at).weekday())] += net_g;
    })?;
    let refused = book.tickets_told(basis.span, Listed::Refused)?.into_iter();
    owner.refused = refused
        .filter(|ticket| ticket.struck_why.is_none() && !ticket.bought)
        .map(|ticket| RefusedLoad {
            number: ticket.number,
            at: local(ticket.at),
            supplier: ticket.supplier,
            stream: ticket.stream,
            net: ticket.net_g,
            reason: ticket.reason,
        })
        .collect();
    owner.top = (report.streams.iter())
        .map(|one| (one.stream.clone(), one.flow.received))
        .filter(|(_, grams)| *grams != Grams::ZERO)
        .collect();
    owner
        .top
        .sort_by_key(|(_, grams)| std::cmp::Reverse(*grams));
    let (fed, lost) = book.feed_left(basis.span)?;
    owner.spoiled = Spoiled { fed, lost };
    Ok(owner)
}

/// The month and the eleven before it.
pub(crate) fn trend(book: &Book, month: Month, basis: &Basis) -> Result<Vec<TrendMonth>> {
    let mut months = Vec::new();
    let back = std::iter::successors(Some(month), |month| Some(month.before()));
    for at in back.take(TREND_MONTHS) {
        let (from, to) = at.bounds(&basis.farm)?;
        let mut told = TrendMonth {
            month: at.to_string(),
            received: Grams::ZERO,
            diverted: Grams::ZERO,
        };
        let as_of = basis.span.as_of;
        if let Some(MonthRow { flow, .. }) = book.moves_in(Span { from, to, as_of })? {
            told.received = flow.received;
            told.diverted = flow.diverted(basis.rule());
        }
        months.push(told);
    }
    months.reverse();
    // Months before the farm began say nothing.
    let first = months
        .iter()
        .position(|told| told.received != Grams::ZERO || told.diverted != Grams::ZERO);
    months.drain(..first.unwrap_or(TREND_MONTHS - 1));
    Ok(months)
}

/// What stands around the figures of all suppliers, or of one.
pub(super) fn around(book: &Book, supplier: Option<&str>, basis: &Basis) -> Result<Around> {
    Ok(Around {
        units: basis.farm.units,
        issuer: basis.farm.said.name.clone(),
        verified_scale: basis.farm.said.verified_scale.clone(),
        closing: basis.closing.clone(),
        weighed: weighed(book, supplier, basis)?,
        parts: book.parts_picked_out(basis.span, supplier)?,
        not_food: BTreeSet::new(),
        methane: None,
        seal: basis.seal(book)?,
    })
}

/// How often each stream was on the scale, with the division of that reading;
/// of a supplier the nets of its tickets only.
fn weighed(book: &Book, supplier: Option<&str>, basis: &Basis) -> Result<Vec<Weighed>> {
    let today = basis.farm.units.division;
    let told = book.weighings(basis.span, supplier)?;
    Ok(told
        .into_iter()
        .map(|weighings| {
            let text = weighings.division.as_deref();
            let is_net = text.is_some();
            let division = text.and_then(|text| Division::parse(text, today.unit()));
            Weighed {
                stream: weighings.stream,
                bought: weighings.bought,
                // A division in words this program does not read counts as today's.
                division_kg: division.unwrap_or(today).kg(),
                nets: if is_net { weighings.count } else { 0 },
                readings: if is_net { 0 } else { weighings.count },
            }
        })
        .collect())
}
