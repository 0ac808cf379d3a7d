use crate::table::read_day;
use jiff::civil::Date;

use crate::acts::error::Rejection;
use crate::acts::{ActError, Result};
use crate::words::{Said, say};

/// What to trace, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TraceText {
    /// Tickets, by what people call them.
    pub tickets: Vec<String>,
    /// A cohort: its name, or its record.
    pub cohort: Option<String>,
    /// A harvest, by its record.
    pub harvest: Option<String>,
    pub supplier: Option<String>,
    pub buyer: Option<String>,
    /// First day of a supplier's tickets or a buyer's sales.
    pub from: Option<String>,
    pub to: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TraceFrom {
    /// Tickets, onward.
    Tickets(Vec<String>),
    /// All tickets of a supplier in a span of days, onward.
    Supplier(String, Days),
    Cohort(String),
    Harvest(String),
    /// All sales to a buyer in a span of days, back.
    Buyer(String, Days),
}

/// First and last day, both among them; `None` is open.
pub type Days = (Option<Date>, Option<Date>);

impl TraceFrom {
    pub fn read(text: &TraceText) -> Result<Self> {
        let given = |text: &Option<String>| {
            let text = text.as_deref().map(str::trim).unwrap_or_default();
            (!text.is_empty()).then(|| text.to_owned())
        };
        let tickets: Vec<String> = (text.tickets.iter())
            .map(|one| one.trim().to_owned())
            .filter(|one| !one.is_empty())
            .collect();
        let days = (day("from", given(&text.from))?, day("to", given(&text.to))?);
        if let (Some(from), Some(to)) = days
            && to < from
        {
            return Err(
                Rejection::new("to", to.to_string(), say!("accepted-or-later", from)).into(),
            );
        }
        let of_days =
            |text, begin: fn(String, Days) -> Self| given(text).map(|name| begin(name, days));
        let mut begins = Vec::new();
        if !tickets.is_empty() {
            begins.push(("tickets", Self::Tickets(tickets)));
        }
        let named = [
            ("--cohort", given(&text.cohort).map(Self::Cohort)),
            ("--harvest", given(&text.harvest).map(Self::Harvest)),
            ("--supplier", of_days(&text.supplier, Self::Supplier)),
            ("--buyer", of_days(&text.buyer, Self::Buyer)),
        ];
        let named = named.into_iter();
        begins.extend(named.filter_map(|(word, begin)| Some((word, begin?))));
        let (1, Some((_, begin))) = (begins.len(), begins.first().cloned()) else {
            let words: Vec<&str> = begins.iter().map(|(word, _)| *word).collect();
            return Err(Rejection::new("of", words.join(", "), say!("accepted-begin")).into());
        };
        let has_days = matches!(begin, Self::Supplier(..) | Self::Buyer(..));
        let stray = [("from", days.0), ("to", days.1)];
        let stray = (stray.into_iter()).find_map(|(field, day)| Some((field, day?)));
        match stray {
            Some((field, day)) if !has_days => {
                Err(Rejection::new(field, day.to_string(), say!("accepted-no-days")).into())
            }
            _ => Ok(begin),
        }
    }
}

fn day(field: &'static str, text: Option<String>) -> Result<Option<Date>> {
    let read = |text: String| {
        read_day(&text).map_err(|accepted| ActError::from(Rejection::new(field, text, accepted)))
    };
    text.map(read).transpose()
}

/// The days in words, with a comma in front; nothing where both ends are open.
pub(crate) fn in_days(of: Said, days: Days) -> Said {
    let days = match days {
        (None, None) => return of,
        (Some(bound), None) => say!("range-from", bound),
        (None, Some(what)) => say!("up-to", what),
        (Some(low), Some(high)) => say!("from-to", low, high),
    };
    Said::joined([of, days], ", ")
}
