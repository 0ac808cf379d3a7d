use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::daybook::Book;
use crate::quantity::{Decimal, Division, Grams, MassUnit};
use crate::report::{Owner, RefusedLoad, Spoiled, TrendMonth, Weighed, weekday_index};
use crate::stream::{StreamId, Verdict};

use super::ActError;
use super::month::Month;
use super::month_basis::{Basis, flow_row};

const TREND_MONTHS: usize = 12;

/// What an owner looks at besides the figures.
pub(super) fn owner(book: &Book, month: Month, basis: &Basis) -> Result<Owner, ActError> {
    let (from, to) = basis.bounds;
    let mut owner = Owner {
        trend: trend(book, month, basis)?,
        ..Owner::default()
    };
    let mut streams: BTreeMap<StreamId, Grams> = BTreeMap::new();
    for ticket in book.tickets_told(from, to, None, basis.as_of)? {
        if ticket.struck_why.is_some() || ticket.bought {
            continue;
        }
        let at = ticket
            .at
            .to_zoned_datetime(basis.farm.zone.clone())
            .datetime();
        if ticket.verdict == Verdict::Refuse {
            owner.refused.push(RefusedLoad {
                number: ticket.number,
                at,
                supplier: ticket.supplier,
                stream: ticket.stream,
                net: ticket.net_g,
                reason: ticket.reason,
            });
            continue;
        }
        owner.weekdays[weekday_index(at.weekday())] += ticket.net_g;
        *streams.entry(ticket.stream).or_default() += ticket.net_g;
    }
    owner.top = streams.into_iter().collect();
    owner
        .top
        .sort_by_key(|(_, grams)| std::cmp::Reverse(*grams));
    let (fed, lost) = book.feed_left(from, to, basis.as_of)?;
    owner.spoiled = Spoiled { fed, lost };
    Ok(owner)
}

fn trend(book: &Book, month: Month, basis: &Basis) -> Result<Vec<TrendMonth>, ActError> {
    let mut months = Vec::new();
    let mut at = month;
    for _ in 0..TREND_MONTHS {
        let (from, to) = at.bounds(&basis.farm)?;
        let mut told = TrendMonth {
            month: at.to_string(),
            received: Grams::ZERO,
            diverted: Grams::ZERO,
        };
        if let Some(row) = book.moves_between(from, to, basis.as_of)? {
            let (_, _, _, flow) = flow_row(row);
            told.received = flow.received;
            told.diverted = flow.diverted(basis.rule());
        }
        months.push(told);
        at = at.before();
    }
    months.reverse();
    // Months before the farm began say nothing.
    let first = months
        .iter()
        .position(|told| told.received != Grams::ZERO || told.diverted != Grams::ZERO);
    months.drain(..first.unwrap_or(TREND_MONTHS - 1));
    Ok(months)
}

/// How often each stream was on the scale, with the division of that reading.
pub(super) fn weighed(
    book: &Book,
    from: Timestamp,
    to: Timestamp,
    basis: &Basis,
) -> Result<Vec<Weighed>, ActError> {
    let own = basis.farm.units.division.kg();
    let told = book.weighings(from, to, basis.as_of)?;
    Ok(told
        .into_iter()
        .map(|weighings| {
            let text = weighings.division.as_deref();
            let is_net = text.is_some();
            Weighed {
                stream: weighings.stream,
                bought: weighings.bought,
                // A division in words this program does not read counts as today's.
                division_kg: text.and_then(division_kg).unwrap_or(own),
                nets: if is_net { weighings.count } else { 0 },
                readings: if is_net { 0 } else { weighings.count },
            }
        })
        .collect())
}

/// A division as a ticket keeps it, such as `0.1 lb`.
pub(super) fn division_kg(text: &str) -> Option<f64> {
    let (step, unit) = text.split_once(' ')?;
    let division = Division::new(Decimal::parse(step).ok()?, MassUnit::from_word(unit)?);
    Some(division.ok()?.kg())
}
