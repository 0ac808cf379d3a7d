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
//! (goals in order, by `solve`) → `rounding` and `repair` → `assess` → `verdict` →
//! `propose` (the mix).

mod assess;
mod constraints;
mod eligible;
mod joined;
mod merged;
pub mod model;
mod problem;
mod propose;
mod repair;
mod rounding;
pub mod solve;
mod stock_file;
mod targets;
mod tiers;
mod verdict;

pub use assess::{Assessment, GroupFigures, MeasureFigure, Standing, assess};
pub use constraints::{Plan, build};
pub use joined::{NightPlan, Role, joined};
pub use problem::{Composition, Group, Lot, Problem, Purchase};
pub use propose::{
    DrawnLot, GroupMix, HeldBack, LeftOver, Mix, in_order, propose, settle, stopped,
};
pub use rounding::{Weighed, WeighedGroup};
pub use stock_file::read_stock;
pub use targets::{Targets, read_targets};
pub use tiers::{GOAL_SLACK, Tiers, goals_in_order};
pub use verdict::MixVerdict;
