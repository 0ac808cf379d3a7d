use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::quantity::{Grams, Units};
use crate::report::methane::MethaneTold;
use crate::report::{
    Change, Closing, DivertedRule, Flow, MonthReport, OfYear, Owner, Statement, StreamMonth,
    Weighed, covered_and_apart,
};
use crate::stream::StreamId;

#[derive(Debug, Clone, PartialEq)]
pub struct MonthSheet {
    pub report: MonthReport,
    /// The twelve months when this is a year; else none.
    pub months: Vec<OfYear>,
    /// What the book tells otherwise by now; empty when it agrees.
    pub pending: Vec<Change>,
    pub owner: Owner,
    pub around: Around,
}

#[derive(Debug, Clone, PartialEq)]
pub struct StatementSheet {
    /// Such as `2026-10`.
    pub month: String,
    pub days: (Date, Date),
    /// IANA time zone of the month.
    pub zone: String,
    pub statement: Statement,
    pub rule: DivertedRule,
    pub around: Around,
}

/// What stands around the figures of a span, whomever they are for.
#[derive(Debug, Clone, PartialEq)]
pub struct Around {
    pub units: Units,
    pub issuer: Option<String>,
    /// Why its scale counts as verified.
    pub verified_scale: Option<String>,
    /// The closing they come from; `None` while the month is open.
    pub closing: Option<Closing>,
    pub weighed: Vec<Weighed>,
    /// What was picked out at the dock, by kind.
    pub parts: Vec<(String, Grams)>,
    /// Streams the FLW Standard does not cover.
    pub not_food: BTreeSet<StreamId>,
    pub methane: Option<MethaneTold>,
    pub seal: String,
}

/// What the standard covers, and the streams it does not.
pub(super) type Covered<'a> = (Flow, BTreeMap<&'a StreamId, Flow>);

impl Around {
    fn covered<'a>(&self, streams: impl IntoIterator<Item = &'a StreamMonth>) -> Covered<'a> {
        covered_and_apart(streams, &self.not_food)
    }
}

impl StatementSheet {
    pub(super) fn covered(&self) -> Covered<'_> {
        self.around.covered(&self.statement.streams)
    }
}

impl MonthSheet {
    pub(super) fn covered(&self) -> Covered<'_> {
        let suppliers = self.report.suppliers.iter();
        self.around.covered(suppliers.flat_map(|one| &one.streams))
    }

    #[must_use]
    pub fn is_year(&self) -> bool {
        !self.months.is_empty()
    }
}
