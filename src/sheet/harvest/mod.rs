//! What cohorts made of their feed, which mixes worked, what the records teach.

pub(super) mod learn;
pub(super) mod mixes;
pub(super) mod yields;

pub use learn::{
    AdoptedLine, BeliefLine, KeepingLine, LearnSheet, Offered, RationLine, RationTotal,
    learn_document, learn_table,
};
pub use mixes::{MIX_MEASURES, MixesSheet, TriedMix, mixes_document, mixes_table};
pub use yields::{
    CohortYield, FeedPart, HarvestPart, YieldSheet, sieving_cautions, sold_caution,
    yields_document, yields_table,
};
