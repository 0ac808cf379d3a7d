//! Why the mix is what it is, and what would cure a night that doesn't fit.
//! Figures and names only; the words are the sheet's.

mod conflict;
mod cures;
pub(super) mod dual;
mod interval;
mod loosen;
mod moves;
mod press;
mod roomier;
mod strict;
mod worth;

pub use conflict::{Conflict, PlainReason, conflicts};
pub(super) use conflict::{all_beyond, may_enter};
pub use cures::{Change, Cure, LIQUOR_DRY, Offered};
pub use dual::{Dual, Solved, Worths, goals_with_worths};
pub use interval::{Beside, Interval, Of};
pub use moves::{FARTHEST_POINTS, Near, Room, Step};
pub use strict::Demand;
pub use worth::{Binding, Effect, GoalKind, LotWorth, Used};

use crate::words::{Said, say};

use super::constraints::Plan;
use super::patience::Waiting;
use super::problem::Problem;
use super::propose::Mix;
use super::verdict::MixVerdict;

/// What an explanation may use.
#[derive(Debug, Clone, PartialEq)]
pub struct WhyAsked {
    /// What can be bought besides tonight's purchases, for cures.
    pub offers: Vec<Offered>,
    /// Dry matter of drained or pressed liquor, a share.
    pub liquor_dry: f64,
    /// Worths too, not only what can't hold together.
    pub in_full: bool,
}

impl Default for WhyAsked {
    fn default() -> Self {
        Self {
            offers: Vec::new(),
            liquor_dry: LIQUOR_DRY,
            in_full: false,
        }
    }
}

/// An explanation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Why {
    /// What can't hold together; empty when all fits.
    pub conflicts: Vec<Conflict>,
    /// What would cure it, cheapest first.
    pub cures: Vec<Cure>,
    /// What binds tonight and what it is worth.
    pub bindings: Vec<Binding>,
    pub lots: Vec<LotWorth>,
    /// How far used lots may move.
    pub rooms: Vec<Room>,
    /// Unused lots that were near.
    pub near: Vec<Near>,
    /// What could not be explained, and why.
    pub unexplained: Option<Said>,
}

/// Explains a mix of a problem in order. A night that fits has no conflicts and no cures.
pub(super) fn explain(
    problem: &Problem,
    plan: &Plan,
    mix: &Mix,
    asked: &WhyAsked,
    waiting: &Waiting,
) -> Why {
    let mut why = Why::default();
    if matches!(
        mix.verdict,
        MixVerdict::Nearest | MixVerdict::Nothing { .. }
    ) {
        match conflict::conflicts_while(problem, plan, waiting) {
            Ok(found) => why.conflicts = found,
            Err(unsolved) => why.unexplained = Some(unsolved.said()),
        }
        if !why.conflicts.is_empty() {
            why.cures = cures::cures(problem, mix, &why.conflicts, asked, waiting);
        }
    }
    let goes_on = || waiting.goes_on(|| say!("undone-worths"));
    if asked.in_full && goes_on() {
        match goals_with_worths(plan) {
            Ok(solved) => {
                if goes_on() {
                    why.bindings = worth::bindings(problem, plan, &solved);
                }
                if goes_on() {
                    why.lots = worth::lot_worths(problem, plan, &solved);
                }
                why.rooms = moves::rooms(problem, plan, &solved, waiting);
                why.near = moves::near(problem, plan, &solved, waiting);
            }
            Err(unsolved) => why.unexplained = Some(unsolved.said()),
        }
    }
    why
}
