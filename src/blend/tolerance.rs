//! What counts as nothing, in one place. Solvers meet rows to a hair, and the
//! verdict must not hang on that hair: it is judged on printed weights, which
//! differ by whole grams.
//!
//! | what | tolerance | why |
//! |---|---|---|
//! | a row or bound of a model | 1e-6 kg or L | a thousandth of a gram; engines promise 1e-7 on scaled rows |
//! | a goal, held while the next is solved | 1e-7 of it | less is infeasible to engines, more moves the next goal |
//! | a goal that is zero | 1e-6 | as a row, since a goal is a sum of columns |
//! | a goal and the bound proved for it | 1e-7 of it | as a goal is held |
//! | a draw that is noise | 1e-6 kg | as a row |
//! | a share on printed weights | 1e-5 | weights are kept in whole grams: half a gram of 50 kg. A hundredth of what is printed |
//! | dry matter fed as wanted | 2 % of it | our default: counts of larvae are not surer |

/// Largest accepted violation of a row or bound, in the row's own unit.
pub const ROW_TOLERANCE: f64 = 1e-6;
/// Slack of the row that holds a goal while the next is solved, relative to
/// the goal's size and at least this much. Part of the definition: without it
/// engines call the next problem infeasible; with more the next goal moves.
pub const GOAL_SLACK: f64 = 1e-7;
/// Whether a bound proves a goal's value best.
pub(super) fn is_proved(value: f64, bound: f64) -> bool {
    (value - bound).abs() <= GOAL_SLACK * value.abs().max(1.0)
}

/// A goal counts as zero within this.
pub(super) const GOAL_ZERO: f64 = 1e-6;
/// Below this a draw is solver noise, not feed.
pub(super) const DUST_KG: f64 = 1e-6;
/// Shares of printed weights that differ by less are the same.
pub(super) const SAME_SHARE: f64 = 1e-5;
/// A group is fed as wanted within this share of the dry matter wanted,
/// either way (our default).
pub const FED_WITHIN: f64 = 0.02;
