use std::collections::HashMap;
use std::sync::Arc;

use crate::quantity::{Density, ShareAsFed};
use crate::stream::{Stream, StreamId};
use crate::words::Said;

use super::StockLot;

/// What the farm's own tests say of a supplier's stream, for lots without one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learned {
    /// Moisture of a lot without a test.
    pub moisture: Option<Expected<ShareAsFed>>,
    pub density: Option<Expected<Density>>,
}

/// Moisture to reckon with: a lot's own test [%], else what was learned of the
/// supplier's stream, else the stream table.
pub fn moisture_of(
    tested_pct: Option<f64>,
    learned: Option<&Learned>,
    stream: &Stream,
) -> Option<ShareAsFed> {
    let tested = tested_pct.and_then(|pct| ShareAsFed::from_pct(pct).ok());
    let learned = || Some(learned?.moisture.as_ref()?.value);
    let book = || stream.moisture.map(|estimate| estimate.value);
    tested.or_else(learned).or_else(book)
}

/// Bulk density likewise: no lot has a test of its own.
pub fn density_of(learned: Option<&Learned>, stream: &Stream) -> Option<Density> {
    let learned = learned.and_then(|own| Some(own.density.as_ref()?.value));
    learned.or(stream.bulk_density)
}

/// A value to expect of a lot that was not tested.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected<T> {
    pub value: T,
    /// One standard deviation of one lot around it, in the value's unit.
    pub sd: f64,
    /// Where it comes from, as printed beside it.
    pub origin: Said,
}

pub type LearnedBySupplier = HashMap<(String, StreamId), Arc<Learned>>;

impl StockLot {
    /// What was learned of its moisture, where the lot has no test of its own.
    pub fn learned_moisture(&self) -> Option<&Expected<ShareAsFed>> {
        let untested = self.book.tested_moisture.is_none();
        self.learned
            .as_ref()
            .filter(|_| untested)?
            .moisture
            .as_ref()
    }

    /// Where its moisture comes from: how it was tested itself, else `learned` or `book`.
    pub fn moisture_from(&self) -> &str {
        match &self.book.tested_moisture {
            Some(tested) => &tested.method,
            None if self.learned_moisture().is_some() => "learned",
            None => "book",
        }
    }
}
