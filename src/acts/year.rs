use jiff::Timestamp;
use jiff::civil::Date;

use crate::daybook::Book;
use crate::report::{FlowRow, NightFlow, OfYear, TrendMonth, changes, joined, month_report};
use crate::sheet::MonthSheet;

use super::ActError;
use super::error::Rejection;
use super::farm::usable;
use super::month::{Month, sheet};
use super::month_basis::{Basis, flow_row, live};

/// A month or a calendar year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Period {
    /// A month.
    Month(Month),
    /// A year.
    Year(Year),
}

/// A calendar year, `2026`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Year {
    january: Month,
}

impl Period {
    /// Reads `2026-10` or `2026`.
    ///
    /// # Errors
    /// When it is neither.
    pub fn parse(text: &str) -> Result<Self, Rejection> {
        if let Ok(january) = Month::parse(&format!("{}-01", text.trim())) {
            return Ok(Self::Year(Year { january }));
        }
        Month::parse(text).map(Self::Month).map_err(|_| {
            Rejection::new(
                "month",
                text,
                "a month such as 2026-10, or a year such as 2026",
            )
        })
    }
}

impl Year {
    /// The year a day lies in.
    #[must_use]
    pub fn of(day: Date) -> Self {
        Self {
            january: Month::of(day.first_of_year()),
        }
    }

    /// January to December.
    fn months(self) -> Vec<Month> {
        std::iter::successors(Some(self.january), |month| Some(month.after()))
            .take(12)
            .collect()
    }
}

impl std::fmt::Display for Year {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.january.to_string().trim_end_matches("-01"))
    }
}

/// The figures of a year, local [1 January 00:00, next 1 January 00:00): its
/// months as the book tells them now, and their sum. What a closed month's
/// newest version says otherwise is told beside it.
///
/// # Errors
/// When the book can't be read.
pub fn year(book: &Book, year: Year) -> Result<MonthSheet, ActError> {
    book.at_one_moment(|book| {
        let farm = usable(book.farm()?)?;
        let mut parts: Vec<Vec<FlowRow>> = Vec::new();
        let mut nights = NightFlow::default();
        let mut bounds: Option<(Timestamp, Timestamp)> = None;
        let mut months = Vec::new();
        for month in year.months() {
            let (from, to) = month.bounds(&farm)?;
            bounds = Some((bounds.map_or(from, |(first, _)| first), to));
            let (rows, night) = live(book, from, to)?;
            let rows: Vec<FlowRow> = rows.into_iter().map(flow_row).collect();
            nights.bought += night.bought;
            nights.water += night.water;
            let closed = closed_as(book, month, &rows, night)?;
            parts.push(rows.clone());
            months.push((month, rows, night, closed));
        }
        let bounds = bounds.ok_or_else(|| ActError::Time(format!("{year} has no months")))?;
        let basis = Basis::open(farm, bounds, joined(&parts), nights);
        let months: Vec<OfYear> = (months.into_iter())
            .map(|(month, rows, night, closed)| OfYear {
                report: month_report(
                    (&month.to_string(), version(closed)),
                    &basis.farm.zone_name,
                    &rows,
                    night,
                    basis.rule(),
                ),
                closed,
            })
            .collect();
        let trend = (months.iter())
            .filter(|one| !one.is_empty())
            .map(|OfYear { report, .. }| TrendMonth {
                month: report.month.clone(),
                received: report.total.received,
                diverted: report.diverted(),
            })
            .collect();
        let mut told = sheet(book, &year.to_string(), basis, trend)?;
        told.months = months;
        Ok(told)
    })
}

/// The version that these figures are, or would be if the month were closed now.
fn version(closed: Option<(i64, bool)>) -> i64 {
    closed.map_or(1, |(version, differs)| version + i64::from(differs))
}

/// The newest version a month was closed as, and whether the book tells other
/// figures by now.
fn closed_as(
    book: &Book,
    month: Month,
    rows: &[FlowRow],
    night: NightFlow,
) -> Result<Option<(i64, bool)>, ActError> {
    let Some(newest) = book.closed_versions(&month.to_string())?.pop() else {
        return Ok(None);
    };
    let closed = newest.entry;
    let nights = super::month_basis::nights_of(&closed);
    let frozen: Vec<FlowRow> = closed.rows.into_iter().map(flow_row).collect();
    let differs = nights != night || !changes(&frozen, rows).is_empty();
    Ok(Some((closed.version, differs)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_is_four_digits_and_has_twelve_months() {
        let Ok(Period::Year(year)) = Period::parse(" 2026 ") else {
            panic!("no year")
        };
        assert_eq!(year.to_string(), "2026");
        let months = year.months();
        let ends = [&months[0], &months[11]].map(ToString::to_string);
        assert_eq!(
            (months.len(), ends),
            (12, ["2026-01".into(), "2026-12".into()])
        );
        assert!(matches!(Period::parse("2026-10"), Ok(Period::Month(_))));
        for text in ["26", "2026-", "20261", "0026", "year", ""] {
            assert!(Period::parse(text).is_err(), "{text}");
        }
    }
}
