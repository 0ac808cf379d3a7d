//! Each side of a window as a second-order cone: `a(x) + z·‖B x‖ ≤ 0`, `a` the
//! window's own row, one row of `B` for each thing that errs, `z` the normal
//! quantile. Lots merged into one pool err together here, an upper bound for
//! tested ones; the printed chance is reckoned lot by lot.

use std::collections::BTreeMap;

use crate::quantity::quantile;
use crate::stream::{Analyte, Measure};

use super::super::constraints::Plan;
use super::super::model::value_of;
use super::super::problem::{Composition, Problem};
use super::super::requirement::Requirement;
use super::spread::{Factor, Spread, Spreads};

/// One side of a window as a cone.
#[derive(Debug, Clone, PartialEq)]
pub struct Cone {
    /// The row of the window in the plan.
    pub row: usize,
    /// `B`: column and coefficient, one list for each factor, in the row's own kilograms.
    pub factors: Vec<Vec<(usize, f64)>>,
    /// Whether the window has another side.
    pub is_two_sided: bool,
}

impl Cone {
    /// The quantile for a chance: a window with two sides takes half the risk on each.
    #[must_use]
    pub fn quantile(&self, chance: f64) -> f64 {
        quantile(if self.is_two_sided {
            f64::midpoint(1.0, chance)
        } else {
            chance
        })
    }

    /// `‖B x‖`.
    pub(super) fn margin(&self, point: &[f64]) -> f64 {
        let each = self.factors.iter().map(|terms| value_of(terms, point));
        each.map(|by| by * by).sum::<f64>().sqrt()
    }

    /// The gradient of a margin, none where that is nought.
    pub(super) fn gradient(&self, point: &[f64], margin: f64) -> Vec<(usize, f64)> {
        let mut gradient: BTreeMap<usize, f64> = BTreeMap::new();
        for terms in self.factors.iter().filter(|_| margin > 0.0) {
            let by = value_of(terms, point);
            for (column, coefficient) in terms {
                *gradient.entry(*column).or_default() += by * coefficient / margin;
            }
        }
        gradient.into_iter().collect()
    }
}

/// The cones of all windows.
#[must_use]
pub fn cones(problem: &Problem, plan: &Plan, spreads: &Spreads) -> Vec<Cone> {
    plan.requirements
        .iter()
        .enumerate()
        .filter_map(|(row, requirement)| {
            let Requirement::Bound {
                group,
                measure,
                share,
                is_hard: false,
                ..
            } = requirement
            else {
                return None;
            };
            let window = problem.groups[*group].windows.get(measure)?;
            let mut factors: BTreeMap<Factor, Vec<(usize, f64)>> = BTreeMap::new();
            for (column, item) in items(problem, plan, spreads, *group) {
                for (factor, by) in item.by(problem, *group, measure, *share) {
                    if by != 0.0 {
                        factors.entry(factor).or_default().push((column, by));
                    }
                }
            }
            Some(Cone {
                row,
                factors: factors.into_values().collect(),
                is_two_sided: window.min.is_some() && window.max.is_some(),
            })
        })
        .collect()
}

/// A column's composition with its spread.
struct Item<'a> {
    composition: &'a Composition,
    spread: Spread,
    moisture: Factor,
    stream: &'a crate::stream::StreamId,
}

impl Item<'_> {
    /// Spread of the row's coefficient by factor. Moisture row `m − r·d` with
    /// `r = M/(1−M)`: `s/(1−M)`. Row `(above − C·below)·d`: `d·s_c` times what the
    /// bracket moves with each analyte, and `−(above − C·below)·s_m`.
    fn by(
        &self,
        problem: &Problem,
        group: usize,
        measure: &Measure,
        bound: f64,
    ) -> Vec<(Factor, f64)> {
        let moisture_sd = self.spread.moisture.unwrap_or(0.0);
        let Some(quotient) = measure.quotient() else {
            return vec![(self.moisture.clone(), moisture_sd / (1.0 - bound))];
        };
        let share = |analyte: &Analyte| {
            let known = self.composition.analytes.get(analyte);
            let share = known.or_else(|| problem.groups[group].assumed.get(analyte))?;
            Some(share.get())
        };
        let parts = quotient.above.at(share).zip(quotient.below.at(share));
        let beyond = parts.map_or(0.0, |(above, below)| above - bound * below);
        let dry = 1.0 - self.composition.moisture.map_or(0.0, |share| share.get());
        let mut by = vec![(self.moisture.clone(), -beyond * moisture_sd)];
        by.extend(quotient.analytes().map(|analyte| {
            let sd = self.spread.analytes.get(analyte).copied().unwrap_or(0.0);
            let slope = quotient.above.slope(analyte) - bound * quotient.below.slope(analyte);
            let factor = Factor::Analyte(self.stream.clone(), analyte.clone());
            (factor, dry * sd * slope)
        }));
        by
    }
}

fn items<'a>(
    problem: &'a Problem,
    plan: &Plan,
    spreads: &Spreads,
    group: usize,
) -> Vec<(usize, Item<'a>)> {
    let columns = &plan.groups[group];
    let drawn = columns.draws.iter().map(|(pool, column)| {
        let members = &plan.pools[*pool].members;
        let lot = &problem.lots[members[0]];
        let of = |lot: &usize| spreads.lots.get(&problem.lots[*lot].name);
        let mut spread = of(&members[0]).cloned().unwrap_or_default();
        spread.is_tested = members
            .iter()
            .all(|lot| of(lot).is_some_and(|of| of.is_tested));
        spread.moisture = members
            .iter()
            .filter_map(|lot| of(lot)?.moisture)
            .max_by(f64::total_cmp);
        let moisture = if spread.is_tested {
            Factor::Test(lot.name.clone())
        } else {
            Factor::Moisture(lot.stream.clone())
        };
        let item = Item {
            composition: &lot.composition,
            spread,
            moisture,
            stream: &lot.stream,
        };
        (*column, item)
    });
    let bought = columns.bought.iter().map(|(position, column)| {
        let purchase = &problem.purchases[*position];
        let item = Item {
            composition: &purchase.composition,
            spread: spreads
                .purchases
                .get(&purchase.stream)
                .cloned()
                .unwrap_or_default(),
            moisture: Factor::Moisture(purchase.stream.clone()),
            stream: &purchase.stream,
        };
        (*column, item)
    });
    drawn.chain(bought).collect()
}
