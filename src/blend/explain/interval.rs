//! All values a worth can have: one at most optima, an interval at degenerate ones.

use std::cell::RefCell;

use super::super::chain::Walk;
use super::super::model::{Goal, Model};
use super::super::solve::{Optimum, solve};
use super::dual::{Dual, ZERO};

/// A multiplier of this size has no end.
const FAR: f64 = 1e7;
/// Nothing goes on past this.
const BEYOND: f64 = 2.0 * FAR;

/// Whose worth to ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    Row(usize),
    Column(usize),
}

/// From lowest to highest; `None` where it has no end.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Interval {
    /// Lowest.
    pub low: Option<f64>,
    /// Highest.
    pub high: Option<f64>,
}

impl Interval {
    /// Whether it is zero throughout.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.low.is_some_and(|low| low.abs() < ZERO)
            && self.high.is_some_and(|high| high.abs() < ZERO)
    }

    /// Both ends times a factor.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        let ends = [self.low, self.high].map(|end| end.map(|end| end * by));
        let [low, high] = if by < 0.0 { [ends[1], ends[0]] } else { ends };
        Self { low, high }
    }
}

/// All multipliers that go with one best point.
pub struct Beside<'a> {
    dual: &'a Dual,
    model: Model,
    /// Where the last end was found: the next one is not far.
    walk: RefCell<Walk>,
}

impl<'a> Beside<'a> {
    pub(super) fn new(dual: &'a Dual, model: Model) -> Self {
        let walk = RefCell::new(from_nothing(&model));
        Self { dual, model, walk }
    }

    /// All values a worth can have: one at most optima, an interval at
    /// degenerate ones, whose ends are the worth of one unit less and one more.
    #[must_use]
    pub fn interval(&self, of: Of) -> Interval {
        let terms: Vec<(usize, f64)> = self.sides(of).collect();
        ends(&self.model, &mut self.walk.borrow_mut(), &terms).scaled(self.dual.sign())
    }

    /// The intervals of several. A sum of them with weights of no pattern is the
    /// same throughout only where each of them is, so that its two ends settle all
    /// that are one figure; those that differ between its ends are asked alone.
    #[must_use]
    pub fn intervals(&self, asked: &[Of]) -> Vec<Interval> {
        let mut found: Vec<Option<Interval>> = vec![None; asked.len()];
        let mut open: Vec<usize> = (0..asked.len()).collect();
        while open.len() > 1 {
            let of: Vec<Of> = open.iter().map(|at| asked[*at]).collect();
            let (Some(low), Some(high)) = (self.weighed(&of, false), self.weighed(&of, true))
            else {
                break;
            };
            let before = open.len();
            let mut same = Vec::new();
            for (at, (low, high)) in open.iter().zip(low.iter().zip(high)) {
                if (low - high).abs() < ZERO {
                    same.push((*at, f64::midpoint(*low, high)));
                } else {
                    found[*at] = Some(self.interval(asked[*at]));
                }
            }
            if same.len() == before {
                for (at, worth) in same {
                    let [low, high] = [Some(worth); 2];
                    found[at] = Some(Interval { low, high });
                }
                break;
            }
            open = same.into_iter().map(|(at, _)| at).collect();
        }
        (found.into_iter().zip(asked))
            .map(|(found, of)| found.unwrap_or_else(|| self.interval(*of)))
            .collect()
    }

    /// The worths where their weighted sum ends; `None` where it has no end.
    fn weighed(&self, asked: &[Of], maximise: bool) -> Option<Vec<f64>> {
        /// Multiples of the golden ratio share no pattern with prices and moistures.
        const STEP: f64 = 0.618_033_988_749_895;
        let mut weight = 0.0;
        let mut terms = Vec::new();
        for of in asked {
            weight = (weight + STEP) % 1.0;
            terms.extend(
                self.sides(*of)
                    .map(|(side, sign)| (side, sign * (1.0 + weight))),
            );
        }
        let goal = Goal { terms, maximise };
        let optimum = end(&self.model, &mut self.walk.borrow_mut(), &goal)?;
        let worth = |of: &Of| -> f64 {
            let sides = self.sides(*of);
            let sum: f64 = sides.map(|(side, sign)| sign * optimum.point[side]).sum();
            sum * self.dual.sign()
        };
        Some(asked.iter().map(worth).collect())
    }

    /// The multipliers of a worth with their signs.
    fn sides(&self, of: Of) -> impl Iterator<Item = (usize, f64)> {
        let [lower, upper] = match of {
            Of::Row(row) => self.dual.rows[row],
            Of::Column(column) => self.dual.bounds[column],
        };
        [(lower, 1.0), (upper, -1.0)]
            .into_iter()
            .filter_map(|(side, sign)| Some((side?, sign)))
    }

    /// How far the goal's coefficients of some columns may move together
    /// before the point is no longer best: the same multipliers with
    /// `… = c + δ` in those columns' equations.
    #[must_use]
    pub fn coefficient_range(&self, columns: &[usize]) -> Interval {
        let mut model = self.model.clone();
        let shift = [1.0, -1.0].map(|way| (model.column("shift", 0.0, BEYOND), way));
        for column in columns {
            let terms = &mut model.rows[*column].terms;
            terms.extend(shift.map(|(shift, way)| (shift, -way)));
        }
        ends(&model, &mut from_nothing(&model), &shift).scaled(self.dual.sign())
    }
}

fn from_nothing(model: &Model) -> Walk {
    Walk::new(model.clone(), vec![0.0; model.columns.len()])
}

fn ends(model: &Model, walk: &mut Walk, terms: &[(usize, f64)]) -> Interval {
    let mut end = |maximise| {
        let terms = terms.to_vec();
        end(model, walk, &Goal { terms, maximise }).map(|optimum| optimum.value)
    };
    Interval {
        low: end(false),
        high: end(true),
    }
}

/// `None` where the goal has no end: beyond [`FAR`] an end is the engine's, not
/// the problem's. So the goal is kept from going on for ever, which engines take
/// long to find out.
fn end(model: &Model, walk: &mut Walk, goal: &Goal) -> Option<Optimum> {
    let found = walk.next(goal).or_else(|| {
        let mut model = model.clone();
        model.between("beyond", goal.terms.clone(), -BEYOND, BEYOND);
        solve(&model, goal).ok()
    });
    found.filter(|optimum| optimum.value.abs() < FAR)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// max x + y + z, x ≤ 1, y ≤ 1, x + y ≤ 2, z ≤ 3: with a, b, c the worths of the
    /// first three rows, a + c = b + c = 1, so each is 0 to 1; that of the last is 1.
    #[test]
    fn several_at_once_are_each_as_alone() {
        let mut model = Model::default();
        let [x, y, z] = ["x", "y", "z"].map(|name| model.column(name, 0.0, f64::INFINITY));
        model.at_most("a", vec![(x, 1.0)], 1.0);
        model.at_most("b", vec![(y, 1.0)], 1.0);
        model.at_most("c", vec![(x, 1.0), (y, 1.0)], 2.0);
        model.at_most("d", vec![(z, 1.0)], 3.0);
        model.at_most("d times two", vec![(x, 1.0), (z, 2.0)], 90.0);
        let goal = Goal::maximise(vec![(x, 1.0), (y, 1.0), (z, 1.0)]);
        let point = solve(&model, &goal).expect("optimum").point;
        let dual = Dual::of(&model, &goal);
        let beside = dual.at(&model, &point);
        let asked: Vec<Of> = (0..5).map(Of::Row).collect();
        let at_once = beside.intervals(&asked);
        let ends = [(0.0, 1.0), (0.0, 1.0), (0.0, 1.0), (1.0, 1.0), (0.0, 0.0)];
        for ((of, interval), (low, high)) in asked.iter().zip(at_once).zip(ends) {
            let alone = beside.interval(*of);
            for (found, alone, end) in [
                (interval.low, alone.low, low),
                (interval.high, alone.high, high),
            ] {
                let (found, alone) = (found.expect("an end"), alone.expect("an end"));
                assert!((found - end).abs() < 1e-9, "{of:?}: {interval:?}");
                assert!((alone - end).abs() < 1e-9, "{of:?}: {alone}");
            }
        }
    }
}
