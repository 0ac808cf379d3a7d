use crate::table::month_meant;
use jiff::civil::Date;

use super::basis::{Basis, Month, figures_of, flow_rows, nights};
use super::sheet;
use crate::acts::Result;
use crate::acts::error::Rejection;
use crate::acts::farm::usable;
use crate::daybook::Book;
use crate::report::{Figures, OfYear, TrendMonth, changes, joined, month_report};
use crate::sheet::MonthSheet;
use crate::words::say;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Period {
    Month(Month),
    Year(Year),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Year {
    january: Month,
}

impl Period {
    pub fn parse(text: &str) -> Result<Self, Rejection> {
        if let Ok(january) = Month::parse(&format!("{}-01", text.trim())) {
            return Ok(Self::Year(Year { january }));
        }
        Month::parse(text).map(Self::Month).map_err(|_| {
            let accepted = month_meant(text).unwrap_or_else(|| say!("accepted-month-or-year"));
            Rejection::new("month", text, accepted)
        })
    }
}

impl Year {
    #[must_use]
    pub fn of(day: Date) -> Self {
        Self {
            january: Month::of(day.first_of_year()),
        }
    }

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
pub fn year(book: &Book, year: Year) -> Result<MonthSheet> {
    book.at_one_moment(|book| {
        let farm = usable(book.farm()?)?;
        let mut bounds = vec![year.january.bounds(&farm)?.0];
        for month in year.months() {
            bounds.push(month.bounds(&farm)?.1);
        }
        let mut figures: Vec<Figures> = Vec::new();
        for (rows, ends) in (book.month_rows_of(&bounds)?.into_iter()).zip(bounds.windows(2)) {
            figures.push((flow_rows(rows), nights(book, ends[0], ends[1])?));
        }
        let ends = (bounds[0], bounds[bounds.len() - 1]);
        let basis = Basis::open(farm, ends, joined(&figures));
        let mut months = Vec::new();
        for (month, figures) in year.months().into_iter().zip(&figures) {
            let closed = closed_as(book, month, figures)?;
            let (name, zone) = (month.to_string(), &basis.farm.zone_name);
            let report = month_report((&name, version(closed)), zone, figures, basis.rule());
            months.push(OfYear { report, closed });
        }
        let trend = (months.iter())
            .filter(|one| !one.is_empty())
            .map(|OfYear { report, .. }| TrendMonth {
                month: report.month.clone(),
                received: report.total.received,
                diverted: report.diverted(),
            })
            .collect();
        let mut told = sheet(book, &year.to_string(), &basis, trend)?;
        told.months = months;
        Ok(told)
    })
}

/// The version that these figures are, where they were handed out as one.
fn version(closed: Option<(i64, bool)>) -> Option<i64> {
    let (version, differs) = closed?;
    (!differs).then_some(version)
}

/// The newest version a month was closed as, and whether the book tells other
/// figures by now.
fn closed_as(book: &Book, month: Month, now: &Figures) -> Result<Option<(i64, bool)>> {
    let Some(newest) = book.closed_versions(&month.to_string())?.pop() else {
        return Ok(None);
    };
    let differs = !changes(&figures_of(&newest.entry), now).is_empty();
    Ok(Some((newest.entry.version, differs)))
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
