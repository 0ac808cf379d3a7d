//! Harvest: what the larvae made of the feed.
//!
//! Owns: conversion of feed into larvae, with definition, equation, basis and
//! source of every figure (`metric.rs`).
//!
//! Must not know: SQL, clocks, how a sheet looks, where records come from.
//!
//! Invariants: a figure whose inputs are not all known is not told, and says
//! which are missing; an impossible result is told as found, with what to
//! check, never clamped.
//!
//! A cohort ate on a night when it was on its trays: it came before the meal
//! was written down, and did not end before it, or ended on a later day
//! (feeding may be written down the next morning).

mod conversion;
mod doubt;
mod metric;
mod nitrogen;
mod parts;
mod yielded;

pub use conversion::{Conversion, Told, Untold, conversion};
pub use doubt::Impossible;
pub use metric::{Cited, Metric};
pub use nitrogen::NitrogenFactor;
pub use parts::{Count, Part, Residue, gathered};
pub use yielded::{StartWeight, Yield};
