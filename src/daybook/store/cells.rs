//! Reads rows into plain data: a struct by the names of its columns, a tuple
//! and all else from left to right, a list out of one text between commas.

use rusqlite::Row;
use rusqlite::types::{Type, ValueRef};
use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, Error, IntoDeserializer, MapAccess, SeqAccess,
    Visitor,
};
use serde::forward_to_deserialize_any;

use crate::daybook::error::BadCell;

/// A row and the cell to read next.
pub(crate) struct Cells<'a> {
    row: &'a Row<'a>,
    next: usize,
}

impl<'a> Cells<'a> {
    pub(in crate::daybook) fn of(row: &'a Row<'a>) -> Self {
        Self { row, next: 0 }
    }

    /// The next of it, and for a struct all that is left.
    pub(in crate::daybook) fn read<T: DeserializeOwned>(&mut self) -> rusqlite::Result<T> {
        T::deserialize(&mut *self).map_err(|_| {
            let at = self.next.saturating_sub(1);
            let column = self.row.as_ref().column_name(at).unwrap_or("?").to_owned();
            let seen = match self.row.get_ref(at) {
                Ok(ValueRef::Null) | Err(_) => "NULL".to_owned(),
                Ok(ValueRef::Integer(number)) => number.to_string(),
                Ok(ValueRef::Real(number)) => number.to_string(),
                Ok(ValueRef::Text(text) | ValueRef::Blob(text)) => {
                    String::from_utf8_lossy(text).into_owned()
                }
            };
            let error = Box::new(BadCell { column, seen });
            rusqlite::Error::FromSqlConversionFailure(at, Type::Text, error)
        })
    }

    fn cell(&mut self) -> Result<ValueRef<'a>, Unread> {
        self.next += 1;
        self.row.get_ref(self.next - 1).map_err(Unread::custom)
    }

    fn text(&mut self) -> Result<&'a str, Unread> {
        self.cell()?.as_str().map_err(Unread::custom)
    }
}

/// That a cell has no meaning here; which one it was, the reader knows.
#[derive(Debug, thiserror::Error)]
#[error("a cell without a meaning")]
pub(crate) struct Unread;

impl Error for Unread {
    fn custom<T: std::fmt::Display>(_: T) -> Self {
        Self
    }
}

impl<'de> Deserializer<'de> for &mut Cells<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self.cell()? {
            ValueRef::Null => visitor.visit_unit(),
            ValueRef::Integer(number) => visitor.visit_i64(number),
            ValueRef::Real(number) => visitor.visit_f64(number),
            ValueRef::Text(text) => {
                visitor.visit_str(std::str::from_utf8(text).map_err(Unread::custom)?)
            }
            ValueRef::Blob(_) => Err(Unread),
        }
    }

    /// A yes or no, as 1 or 0 and nothing else.
    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self.cell()? {
            ValueRef::Integer(0) => visitor.visit_bool(false),
            ValueRef::Integer(1) => visitor.visit_bool(true),
            _ => Err(Unread),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        if matches!(self.row.get_ref(self.next), Ok(ValueRef::Null)) {
            self.next += 1;
            return visitor.visit_none();
        }
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Unread> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        let word: StrDeserializer<'_, Unread> = self.text()?.into_deserializer();
        visitor.visit_enum(word)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        let text = self.text()?;
        let words = text.split(',').filter(|_| !text.is_empty());
        visitor.visit_seq(serde::de::value::SeqDeserializer::new(words))
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_seq(self)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        visitor.visit_map(self)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_map(self)
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf
        unit unit_struct tuple_struct identifier ignored_any
    }
}

impl<'de> SeqAccess<'de> for &mut Cells<'_> {
    type Error = Unread;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Unread> {
        seed.deserialize(&mut **self).map(Some)
    }
}

impl<'de> MapAccess<'de> for &mut Cells<'_> {
    type Error = Unread;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Unread> {
        let Ok(column) = self.row.as_ref().column_name(self.next) else {
            return Ok(None);
        };
        let key: StrDeserializer<'_, Unread> = column.into_deserializer();
        seed.deserialize(key).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Unread> {
        seed.deserialize(&mut **self)
    }
}
