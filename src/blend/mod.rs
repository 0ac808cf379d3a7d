//! The blend: what to mix tonight, and whether what is printed holds.
//!
//! Owns: the problem as plain data, the linear model, the four goals held in
//! order, rounding to the scale, and the separate arithmetic that checks it.
//!
//! Must not know: the daybook, clocks, files, how a sheet looks.
//!
//! Invariants: only `solve` names a solver crate; [`assess()`] knows none of
//! the model; no draw exceeds what is there; a figure that leaves this room
//! was recomputed from the rounded weights.
//!
//! The way through: `problem` → `eligible` (who may enter, and why not) →
//! `merged` (equal lots as one column) → `constraints` (rows) → `tiers`
//! (goals in order, by `solve`) → `fitted` (`rounding` and `repair`, `assess`, with
//! a margin where rounding needs one) → `verdict` → `propose` (the mix).

mod assess;
mod bound;
mod buckets;
mod chain;
mod constraints;
mod crumbs;
mod eligible;
pub mod explain;
mod few;
mod fitted;
mod goals;
mod joined;
mod merged;
pub mod model;
mod mps;
mod ordered;
mod patience;
mod problem;
mod propose;
mod repair;
mod requirement;
mod rounding;
mod shared;
mod simplex;
mod slot;
pub mod solve;
pub mod solve_whole;
mod steady;
mod stock_file;
pub mod sureness;
mod targets;
mod tiers;
mod tolerance;
mod trust;
mod verdict;
mod weights;

pub use assess::{Assessment, GroupFigures, MeasureFigure, Standing, assess};
pub use buckets::{BucketRule, BucketTip, Bucketed, bucket_model};
pub(crate) use chain::Walk;
pub use chain::best_alone;
pub use constraints::{Plan, build};
pub use joined::{NightPlan, Role, joined};
pub(crate) use merged::by_makeup;
pub use mps::mps;
pub use patience::Patience;
pub use problem::{Composition, Few, Group, Lot, Policy, Problem, Purchase, TrayRoom};
pub use propose::{
    DrawnLot, GroupMix, HeldBack, LeftOver, Mix, in_order, propose, settle, stopped,
};
pub use requirement::{Requirement, Side};
pub use rounding::{Weighed, WeighedGroup};
pub use steady::{LastShares, shares_of};
pub use stock_file::read_stock;
pub use targets::{Targets, read_targets};
pub use tiers::{Tiers, goals_in_order, goals_shown};
pub use tolerance::{FED_WITHIN, GOAL_SLACK, ROW_TOLERANCE};
pub use trust::{Trust, Wishes, propose_with};
pub use verdict::MixVerdict;
