use jiff::Timestamp;
use jiff::civil::Date;

use crate::daybook::Book;
use crate::quantity::Grams;
use crate::report::{Flow, MonthReport, NightFlow, month_report};

use super::error::Rejection;
use super::{ActError, FarmSettings};

/// A calendar month, `2026-10`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Month {
    first: Date,
}

impl Month {
    /// Reads `2026-10`.
    ///
    /// # Errors
    /// When it is no month.
    pub fn parse(text: &str) -> Result<Self, Rejection> {
        let refused = || Rejection::new("month", text, "a month such as 2026-10");
        let (year, month) = text.trim().split_once('-').ok_or_else(refused)?;
        if year.len() != 4 || month.len() != 2 {
            return Err(refused());
        }
        let first = Date::new(
            year.parse().map_err(|_| refused())?,
            month.parse().map_err(|_| refused())?,
            1,
        )
        .map_err(|_| refused())?;
        if !(1970..=9000).contains(&first.year()) {
            return Err(refused());
        }
        Ok(Self { first })
    }

    /// The month a day lies in.
    #[must_use]
    pub fn of(day: Date) -> Self {
        Self {
            first: day.first_of_month(),
        }
    }

    /// The month before.
    #[must_use]
    pub fn before(self) -> Self {
        Self {
            first: self
                .first
                .yesterday()
                .map_or(self.first, Date::first_of_month),
        }
    }

    /// `[first 00:00, next first 00:00)` in the farm's zone.
    fn bounds(self, farm: &FarmSettings) -> Result<(Timestamp, Timestamp), ActError> {
        let next = self
            .first
            .last_of_month()
            .tomorrow()
            .map_err(|error| ActError::Time(error.to_string()))?;
        let midnight = |day: Date| {
            day.to_zoned_datetime(farm.zone.clone())
                .map(|zoned| zoned.timestamp())
                .map_err(|error| ActError::Time(error.to_string()))
        };
        Ok((midnight(self.first)?, midnight(next)?))
    }
}

impl std::fmt::Display for Month {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.first.strftime("%Y-%m"))
    }
}

/// The figures of a month, and the head of the book they were read from.
///
/// # Errors
/// When the book can't be read.
pub fn month(
    book: &Book,
    farm: &FarmSettings,
    month: Month,
) -> Result<(MonthReport, String), ActError> {
    let (from, to) = month.bounds(farm)?;
    book.at_one_moment(|book| {
        let rows: Vec<_> = book
            .month_rows(from, to)?
            .into_iter()
            .map(|row| {
                let (received, bought) = if row.bought {
                    (Grams::ZERO, row.received_g)
                } else {
                    (row.received_g, Grams::ZERO)
                };
                let flow = Flow {
                    opening: row.opening_g,
                    received,
                    estimated: row.estimated_g,
                    bought,
                    refused: row.refused_g,
                    picked_out: row.picked_out_g,
                    fed: row.fed_g,
                    composted: row.composted_g,
                    returned: row.returned_g,
                    landfilled: row.landfilled_g,
                    liquor: row.liquor_g,
                    shrink: row.shrink_g,
                    closing: row.closing_g,
                    loads: row.loads,
                    refused_loads: row.refused_loads,
                };
                (row.supplier, row.stream, row.bought, flow)
            })
            .collect();
        let mut nights = NightFlow::default();
        for inflow in book.inflows_between(from, to)? {
            match inflow.stream {
                Some(_) => nights.bought += inflow.grams,
                None => nights.water += inflow.grams,
            }
        }
        Ok((
            month_report(&month.to_string(), &farm.zone_name, &rows, nights),
            book.head()?.short(),
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_as_typed() {
        assert_eq!(
            Month::parse("2026-10").map(|month| month.to_string()),
            Ok("2026-10".to_owned())
        );
        assert_eq!(
            Month::parse("2026-01").map(|month| month.before().to_string()),
            Ok("2025-12".to_owned())
        );
        for text in [
            "2026",
            "2026-13",
            "2026-1",
            "26-10",
            "october",
            "2026-10-01",
            "",
        ] {
            assert!(Month::parse(text).is_err(), "{text}");
        }
    }
}
