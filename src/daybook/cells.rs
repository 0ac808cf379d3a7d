use jiff::Timestamp;
use jiff::civil::Date;
use rusqlite::Row;
use rusqlite::types::{FromSql, Type};

use super::error::BadCell;
use super::instants;
use crate::quantity::{Grams, MassUnit};
use crate::stream::{Class, StreamId, Verdict};

/// Reads the cells of a row from left to right, each in the one form in which
/// the book writes it: were two forms read alike, a changed cell would not show.
pub(super) struct Cells<'a> {
    row: &'a Row<'a>,
    next: usize,
}

impl<'a> Cells<'a> {
    pub(super) fn of(row: &'a Row<'a>) -> Self {
        Self { row, next: 0 }
    }

    pub(super) fn cell<T: FromSql>(&mut self) -> rusqlite::Result<T> {
        self.next += 1;
        self.row.get(self.next - 1)
    }

    pub(super) fn grams(&mut self) -> rusqlite::Result<Grams> {
        self.cell().map(Grams::new)
    }

    pub(super) fn grams_if_any(&mut self) -> rusqlite::Result<Option<Grams>> {
        Ok(self.cell::<Option<i64>>()?.map(Grams::new))
    }

    pub(super) fn text_as<T>(&mut self, parse: impl Fn(&str) -> Option<T>) -> rusqlite::Result<T> {
        self.text_if_any(parse)?
            .ok_or_else(|| self.bad("NULL".to_owned()))
    }

    pub(super) fn text_if_any<T>(
        &mut self,
        parse: impl Fn(&str) -> Option<T>,
    ) -> rusqlite::Result<Option<T>> {
        self.next += 1;
        let seen = self.row.get_ref(self.next - 1)?.as_str_or_null();
        match seen.map_err(|error| self.bad(error.to_string()))? {
            None => Ok(None),
            Some(text) => match parse(text) {
                Some(value) => Ok(Some(value)),
                None => Err(self.bad(text.to_owned())),
            },
        }
    }

    pub(super) fn instant(&mut self) -> rusqlite::Result<Timestamp> {
        self.text_as(instants::read)
    }

    pub(super) fn date(&mut self) -> rusqlite::Result<Date> {
        self.text_as(|text| {
            text.parse()
                .ok()
                .filter(|date: &Date| date.to_string() == text)
        })
    }

    pub(super) fn stream(&mut self) -> rusqlite::Result<StreamId> {
        self.text_as(StreamId::parse)
    }

    pub(super) fn verdict(&mut self) -> rusqlite::Result<Verdict> {
        self.verdict_if_any()?
            .ok_or_else(|| self.bad("NULL".to_owned()))
    }

    pub(super) fn verdict_if_any(&mut self) -> rusqlite::Result<Option<Verdict>> {
        self.text_if_any(|text| {
            Verdict::ALL
                .into_iter()
                .find(|verdict| verdict.as_str() == text)
        })
    }

    pub(super) fn unit(&mut self) -> rusqlite::Result<MassUnit> {
        self.text_as(|text| MassUnit::from_word(text).filter(|unit| unit.to_string() == text))
    }

    pub(super) fn classes(&mut self) -> rusqlite::Result<Vec<Class>> {
        self.text_as(|text| match text {
            "" => Some(Vec::new()),
            some => some.split(',').map(Class::parse).collect(),
        })
    }

    /// A yes or no, as 1 or 0 and nothing else.
    pub(super) fn flag(&mut self) -> rusqlite::Result<bool> {
        match self.cell::<i64>()? {
            0 => Ok(false),
            1 => Ok(true),
            other => Err(self.bad(other.to_string())),
        }
    }

    /// The error for the cell read last.
    pub(super) fn bad(&self, seen: String) -> rusqlite::Error {
        let at = self.next.saturating_sub(1);
        let column = self.row.as_ref().column_name(at).unwrap_or("?").to_owned();
        let error = Box::new(BadCell { column, seen });
        rusqlite::Error::FromSqlConversionFailure(at, Type::Text, error)
    }
}
