//! Trace: who ate what, what was taken off, who got it.
//!
//! Owns: what a trace is made of, what counts in it, what larvae may still be
//! used for after what they ate.
//!
//! Must not know: SQL, clocks, how a sheet looks, where records come from.
//!
//! Invariant: each line of feeding is shared by itself, to the gram, so both
//! ways of tracing agree.

mod uses;

use std::collections::BTreeMap;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::wire::Amount;
use crate::quantity::{Grams, Money};
use crate::stream::{Class, StreamId, Verdict};
use crate::words::Said;

pub use uses::{UseLeft, Uses};

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// A lot, by the position of its ticket.
    Lot(i64),
    /// Bought and fed the same night; no ticket.
    Bought(StreamId),
    Water,
}

/// A cohort's share of what a feed group got of one origin on one night.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Portion {
    pub fed_seq: i64,
    pub night: Date,
    pub group: String,
    pub origin: Origin,
    pub cohort_seq: i64,
    /// Its share, as fed; zero where the share rounds to nothing.
    pub grams: Grams,
}

/// Weight fed to a group in which no cohort of the book was due.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Unplaced {
    /// Of feeding.
    #[serde(rename = "record")]
    pub fed_seq: i64,
    #[schemars(with = "String")]
    pub night: Date,
    pub group: String,
    /// Position of the lot's ticket.
    #[serde(rename = "lot")]
    pub lot_seq: i64,
    pub grams: Grams,
    /// Cohorts on their trays then, by name.
    pub on_trays: Vec<String>,
}

/// A lot as a trace tells it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LotTraced {
    /// Its ticket.
    #[serde(rename = "record")]
    pub seq: i64,
    #[serde(rename = "lot")]
    pub name: String,
    pub supplier: String,
    pub stream: StreamId,
    #[schemars(with = "String")]
    pub came: Date,
    #[serde(rename = "net_g")]
    pub net: Grams,
    /// What staff were told to do.
    pub verdict: Verdict,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    /// What was fed of it, to whomever.
    #[serde(rename = "fed_g")]
    pub fed: Grams,
    #[serde(rename = "on_hand_g")]
    pub on_hand: Grams,
    pub left: Vec<LeftAnotherWay>,
}

/// Weight that left a lot and was not fed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeftAnotherWay {
    #[serde(rename = "record")]
    pub seq: i64,
    #[schemars(with = "String")]
    pub day: Date,
    pub way: Said,
    /// Shrink may be below zero.
    pub grams: Grams,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CohortTraced {
    pub seq: i64,
    /// The name on its trays; with its record where several here share it.
    pub name: String,
    pub hatched: Date,
    pub trays: i64,
    /// The local day it ended, and why; `None` while it is on its trays.
    pub ended: Option<(Date, String)>,
}

/// A harvest as a trace tells it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HarvestTraced {
    #[serde(rename = "record")]
    pub seq: i64,
    #[serde(rename = "cohort")]
    pub cohort_seq: i64,
    #[schemars(with = "String")]
    pub day: Date,
    /// Fresh.
    #[serde(rename = "larvae_g")]
    pub larvae: Grams,
    #[serde(rename = "residue_g")]
    pub residue: Option<Grams>,
    pub residue_to: Option<&'static str>,
}

/// A sale as a trace tells it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SaleTraced {
    #[serde(rename = "record")]
    pub seq: i64,
    #[schemars(with = "String")]
    pub day: Date,
    pub product: Said,
    /// Where it was said.
    pub grams: Option<Grams>,
    #[serde(with = "Amount")]
    pub paid: Money,
    /// Where it was said.
    pub buyer: Option<String>,
    #[serde(rename = "cohorts")]
    pub cohort_seqs: Vec<i64>,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// The lots, in the order of their tickets.
    pub lots: Vec<LotTraced>,
    /// Every cohort that ate of them, whatever its share, in the order of writing.
    pub cohorts: Vec<CohortTraced>,
    /// Night by night, who got how much of what.
    pub portions: Vec<Portion>,
    /// What nobody knows who ate.
    pub unplaced: Vec<Unplaced>,
    /// Harvests of those cohorts since they ate of it.
    pub harvests: Vec<HarvestTraced>,
    /// Sales of those cohorts since they ate of it.
    pub sales: Vec<SaleTraced>,
    /// Records of harvests and sales from before they ate of it.
    pub before: Vec<i64>,
}

impl Trace {
    /// Leaves out what was harvested or sold before the day any cohort it came
    /// from first ate of what is traced: larvae can't hold what they ate later.
    ///
    /// What was on that very day stays: a record of feeding bears the time it
    /// was written down, and nobody may be missed for that (our default).
    pub fn since_they_ate(mut self) -> Self {
        let mut first: BTreeMap<i64, Date> = BTreeMap::new();
        for portion in &self.portions {
            let night = first.entry(portion.cohort_seq).or_insert(portion.night);
            *night = portion.night.min(*night);
        }
        let ate_by = |cohort: &i64, day: Date| first.get(cohort).is_some_and(|ate| *ate <= day);
        let mut before = Vec::new();
        self.harvests.retain(|harvest| {
            let since = ate_by(&harvest.cohort_seq, harvest.day);
            before.extend((!since).then_some(harvest.seq));
            since
        });
        self.sales.retain(|sale| {
            let since = sale.cohort_seqs.iter().any(|one| ate_by(one, sale.day));
            before.extend((!since).then_some(sale.seq));
            since
        });
        before.sort_unstable();
        self.before = before;
        self.portions
            .sort_by(|a, b| portion_key(a).cmp(&portion_key(b)));
        self
    }

    pub fn eaten(&self) -> BTreeMap<i64, Eaten> {
        let mut eaten: BTreeMap<i64, Eaten> = BTreeMap::new();
        for portion in &self.portions {
            let night = portion.night;
            let one = eaten.entry(portion.cohort_seq).or_insert_with(|| Eaten {
                total: Grams::ZERO,
                of: BTreeMap::new(),
                nights: (night, night),
            });
            one.total += portion.grams;
            *one.of.entry(portion.origin.clone()).or_default() += portion.grams;
            one.nights = (one.nights.0.min(night), one.nights.1.max(night));
        }
        eaten
    }

    /// The first night any of it was fed, to whomever.
    pub fn first_night(&self) -> Option<Date> {
        let placed = self.portions.iter().map(|portion| portion.night);
        let unplaced = self.unplaced.iter().map(|one| one.night);
        placed.chain(unplaced).min()
    }

    /// A cohort's name, or its record where it is not in the trace.
    pub fn cohort_name(&self, cohort_seq: i64) -> String {
        let at = (self.cohorts).binary_search_by_key(&cohort_seq, |one| one.seq);
        at.map_or_else(
            |_| format!("r{cohort_seq}"),
            |at| self.cohorts[at].name.clone(),
        )
    }

    pub fn lot(&self, lot_seq: i64) -> Option<&LotTraced> {
        let at = self.lots.binary_search_by_key(&lot_seq, |lot| lot.seq);
        at.ok().map(|at| &self.lots[at])
    }
}

/// What a cohort ate of what is traced. Weights as fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Eaten {
    pub total: Grams,
    pub of: BTreeMap<Origin, Grams>,
    pub nights: (Date, Date),
}

impl Eaten {
    /// Share of one origin in all that was eaten [% as fed]; `None` where
    /// nothing was.
    pub fn share_pct(&self, origin: &Origin) -> Option<f64> {
        let part = self.of.get(origin).copied().unwrap_or_default();
        (self.total > Grams::ZERO).then(|| 100.0 * part.kg() / self.total.kg())
    }
}

fn portion_key(portion: &Portion) -> (Date, i64, &str, &Origin, i64) {
    (
        portion.night,
        portion.fed_seq,
        &portion.group,
        &portion.origin,
        portion.cohort_seq,
    )
}
