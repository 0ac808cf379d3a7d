use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::Grams;
use crate::report::methane::MethaneTold;
use crate::report::{
    Change, Closing, Flow, MonthReport, OfYear, Owner, Weighed, covered_and_apart,
};
use crate::stream::StreamId;

use crate::sheet::words::Units;

#[derive(Debug, Clone, PartialEq)]
pub struct MonthSheet {
    pub report: MonthReport,
    /// The twelve months when this is a year; else none.
    pub months: Vec<OfYear>,
    pub units: Units,
    pub issuer: Option<String>,
    /// Why its scale counts as verified.
    pub verified_scale: Option<String>,
    /// The closing they come from; `None` while the month is open.
    pub closing: Option<Closing>,
    /// What the book tells otherwise by now; empty when it agrees.
    pub pending: Vec<Change>,
    /// Readings behind the figures.
    pub weighed: Vec<Weighed>,
    /// What was picked out at the dock, by kind.
    pub parts: Vec<(String, Grams)>,
    pub owner: Owner,
    /// Streams the FLW Standard does not cover; see [`Self::apart`].
    pub not_food: BTreeSet<StreamId>,
    /// Avoided methane, only when asked for.
    pub methane: Option<MethaneTold>,
    pub seal: String,
}

impl MonthSheet {
    /// The same with what is no food told apart from the FLW Standard's table.
    #[must_use]
    pub fn apart(mut self, not_food: BTreeSet<StreamId>) -> Self {
        self.not_food = not_food;
        self
    }

    /// What the standard covers, and the streams it does not.
    pub(super) fn covered(&self) -> (Flow, BTreeMap<&StreamId, Flow>) {
        let suppliers = self.report.suppliers.iter();
        covered_and_apart(suppliers.flat_map(|one| &one.streams), &self.not_food)
    }

    #[must_use]
    pub fn is_year(&self) -> bool {
        !self.months.is_empty()
    }
}
