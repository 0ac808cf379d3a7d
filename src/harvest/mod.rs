//! Harvest: what the larvae made of the feed, what it cost, what to learn.
//!
//! Owns: conversion of feed into larvae with definition, basis and source of
//! every figure; what larvae cost, where profit is nil and what would turn it;
//! what the farm's records say against the book's defaults; who ate what and who got it.
//!
//! Must not know: SQL, clocks, how a sheet looks, where records come from.
//!
//! Invariants: a figure whose inputs are not all known is not told, and says
//! which are missing; an impossible result is told as found, with what to
//! check, never clamped.
//!
//! Every figure stands in `metric.rs` with definition, equation, basis and
//! source; one whose inputs are not all known says which are missing; one that
//! can't be is told as found, with what to check. A cohort ate on a night when
//! it was on its trays: it came before the meal was written down, and did not
//! end before it, or ended on a later day (feeding may be written down the next
//! morning).

mod cholesky;
mod conversion;
mod doubt;
pub mod learn;
mod metric;
pub mod money;
mod nitrogen;
mod parts;
mod ridge;
mod trace;
mod yielded;

pub use conversion::{Conversion, Told, Untold, conversion};
pub use metric::{Cited, Metric};
pub use nitrogen::NitrogenFactor;
pub use parts::{Began, Count, Fed, Part, Residue, gathered};
pub use ridge::{FEWEST_COHORTS, Fate, Ridge, RidgeUntold, Row, ridge, ridge_at};
pub use trace::{
    CohortTraced, Eaten, HarvestTraced, LeftAnotherWay, LotTraced, Origin, Portion, SaleTraced,
    Trace, Unplaced, UseLeft,
};
pub use yielded::{StartWeight, Yield};
