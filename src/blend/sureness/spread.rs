use std::collections::BTreeMap;

use crate::stream::{Analyte, Measure, Stream, StreamId};

/// How uncertain the composition of a lot or purchase is. Absent is unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spread {
    /// One standard deviation of its moisture, a share.
    pub moisture: Option<f64>,
    /// Whether that is a test of its own: then it errs alone.
    pub is_tested: bool,
    /// One standard deviation of each analyte, a share of dry matter; always the book's.
    pub analytes: BTreeMap<Analyte, f64>,
}

impl Spread {
    /// The book's spreads of a stream.
    #[must_use]
    pub fn of(stream: &Stream) -> Self {
        Self {
            moisture: stream.moisture.and_then(|estimate| estimate.sd),
            is_tested: false,
            analytes: stream
                .analytes
                .iter()
                .filter_map(|(analyte, estimate)| Some((analyte.clone(), estimate.sd?)))
                .collect(),
        }
    }

    /// Whether every spread that a measure errs with is known.
    #[must_use]
    pub fn is_known(&self, measure: &Measure) -> bool {
        let of = measure.quotient();
        let mut analytes = of.iter().flat_map(|of| of.analytes());
        self.moisture.is_some() && analytes.all(|name| self.analytes.contains_key(name))
    }

    /// The same with the spread of one lot around what was learned of its
    /// supplier's stream; untested lots still err together, which is an upper bound.
    #[must_use]
    pub fn learned(mut self, sd: f64) -> Self {
        self.moisture = Some(sd);
        self
    }

    /// The same with a moisture test of the lot's own.
    #[must_use]
    pub fn tested(mut self, sd: f64) -> Self {
        self.moisture = Some(sd);
        self.is_tested = true;
        self
    }
}

/// The spreads of a night, by lot and by stream bought.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spreads {
    pub lots: BTreeMap<String, Spread>,
    pub purchases: BTreeMap<StreamId, Spread>,
}

/// One standard deviation of a moisture stated at the dock or in a stock
/// table without its spread, a share (our default: 2 points).
pub const STATED_MOISTURE_SD: f64 = 0.02;
/// One standard deviation of a moisture test to come, a share (our default: 1
/// point, an oven test of a well mixed sample).
pub const TEST_SD: f64 = 0.01;

/// What errs together: one unknown number of mean 0 and spread 1.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// Book moisture of a stream: all its lots without a test err together.
    Moisture(StreamId),
    /// A lot's own moisture test.
    Test(String),
    /// Book value of an analyte of a stream.
    Analyte(StreamId, Analyte),
}

/// One part of a mix with what is uncertain about it.
#[derive(Debug, Clone, PartialEq)]
pub struct UncertainPart {
    /// The lot; `None` for what is bought.
    pub lot: Option<String>,
    pub stream: StreamId,
    /// Kilograms as fed.
    pub kg: f64,
    /// Moisture, a share.
    pub moisture: f64,
    /// Analytes of the group's windows, shares of dry matter.
    pub analytes: BTreeMap<Analyte, f64>,
    pub spread: Spread,
}

impl UncertainPart {
    /// What its moisture errs with.
    #[must_use]
    pub fn moisture_factor(&self) -> Factor {
        match &self.lot {
            Some(lot) if self.spread.is_tested => Factor::Test(lot.clone()),
            _ => Factor::Moisture(self.stream.clone()),
        }
    }
}
