pub(super) mod basis;
pub(super) mod owner;
pub(super) mod sites;
pub(super) mod statement;
pub(super) mod year;

use crate::acts::error::{Rejection, reason};
use crate::acts::farm::usable;
use crate::acts::month::basis::{Basis, Month, local, nights, nights_of};
use crate::acts::month::owner::{around, owner, trend};
use crate::acts::{ActError, Asked, Result};
use crate::daybook::{Book, Daybook, Entry, MonthClosed};
use crate::report::TrendMonth;
use crate::sheet::MonthSheet;
use crate::words::say;

/// The figures of a month: of the version asked for, else the newest closed
/// one, else as the book tells them now.
pub fn month(book: &Book, month: Month, version: Option<i64>) -> Result<MonthSheet> {
    book.at_one_moment(|book| {
        let basis = Basis::of(book, month, version)?;
        let trend = trend(book, month, &basis)?;
        sheet(book, &month.to_string(), &basis, trend)
    })
}

/// What a page tells of a span, whether a month or a year.
pub(crate) fn sheet(
    book: &Book,
    name: &str,
    basis: &Basis,
    trend: Vec<TrendMonth>,
) -> Result<MonthSheet> {
    let report = basis.report(name);
    Ok(MonthSheet {
        months: Vec::new(),
        pending: basis.pending(book)?,
        owner: owner(book, &report, basis, trend)?,
        around: around(book, None, basis)?,
        report,
    })
}

/// Closes a month, or makes another version of it where figures changed since.
pub fn close_month(
    book: &mut Daybook,
    month: Month,
    why: Option<&str>,
    asked: &Asked,
) -> Result<i64> {
    let why = why.map(|why| reason("--why", why)).transpose()?;
    book.write(asked.now, |writing| {
        writing.whole()?;
        if let Some(version) = repeated(writing, month, asked)? {
            return Ok(version);
        }
        let versions = writing.closed_versions(&month.to_string())?;
        let farm = usable(writing.farm()?)?;
        // Another zone would be another month: later versions keep the first one's.
        let (zone, (from, to)) = match versions.first() {
            Some(first) => (first.entry.zone.clone(), (first.entry.from, first.entry.to)),
            None => (farm.zone_name.clone(), month.bounds(&farm)?),
        };
        if asked.now < to {
            return Err(ActError::MonthRuns {
                month: month.to_string(),
                until: local(to, &farm),
            });
        }
        let (rows, nights) = (writing.month_rows(from, to)?, nights(writing, from, to)?);
        if let Some(last) = versions.last() {
            if last.entry.rows == rows && nights_of(&last.entry) == nights {
                return Err(ActError::NothingChanged {
                    month: month.to_string(),
                    version: last.entry.version,
                });
            }
            if why.is_none() {
                return Err(Rejection::new("--why", "", say!("accepted-reason-again")).into());
            }
        }
        let version = versions.last().map_or(1, |last| last.entry.version + 1);
        writing.append(&asked.record(Entry::MonthClosed(MonthClosed {
            month: month.to_string(),
            version,
            zone,
            from,
            to,
            night_bought_g: nights.bought,
            night_water_g: nights.water,
            why: why.map(str::to_owned),
            rows,
        })))?;
        Ok(version)
    })
}

/// The version a repeated request made the first time.
fn repeated(book: &Book, month: Month, asked: &Asked) -> Result<Option<i64>> {
    let versions = book.closed_versions(&month.to_string())?;
    let same = versions.iter().find(|version| version.id == asked.id);
    Ok(same.map(|version| version.entry.version))
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
