//! The goal of sureness: a soft margin for each side of each window.
//!
//! For side *r* with its row `a(x)`, spread `σ(x) = ‖B x‖` and quantile `z` of
//! the chance asked for, `v` standard deviations short:
//!
//! `a(x) + z·σ(x) ≤ v·σ̄`, `v ≥ 0`, `min Σ v`
//!
//! Each side has its own `v`, so that one that can't be kept at the chance does
//! not loosen the others. `σ̄` [the row's kilograms] is `σ` at the mix before;
//! where the new mix has another by more than [`UNIT_OFF`], it is solved again.
//! A side that the goals before leave outside its window is left out: no margin
//! brings it in. A window narrower than its two margins asks for its middle:
//! `z ≤ −(a_min + a_max)/(σ̄_min + σ̄_max)`, as the two rows' sum is the width.
//!
//! The cone is the upper envelope of its tangents, so rows are added where a
//! point breaks it by more than [`BREAK_SD`] until none does.
//!
//! What it costs, on the invented demo farm played for a year each (some 360
//! nights fed by our default policy with another chance asked for; its loads
//! have no price, so nothing of money):
//!
//! | chance asked for | INSIDE of nights fed | composted of what left |
//! |---|---|---|
//! | none | 90 % | 10.7 % |
//! | 6 in 10 | 86 % | 12.7 % |
//! | 7 in 10 | 84 % | 15.3 % |
//! | 8 in 10 | 82 % | 15.2 % |
//! | 9 in 10 | 84 % | 15.4 % |
//!
//! To be surer takes more of what is dry and known tonight, and other nights lack it.

use std::collections::BTreeMap;

use crate::stream::Measure;

use super::super::constraints::Plan;
use super::super::model::{Row, value_of};
use super::super::problem::Problem;
use super::super::requirement::Requirement;
use super::super::tolerance::{GOAL_ZERO, ROW_TOLERANCE};
use super::cones::{Cone, cones};
use super::spread::Spreads;

/// Largest accepted break of a cone in standard deviations of its measure: at
/// most 0.8 points of chance.
const BREAK_SD: f64 = 0.02;
/// The unit of a shortfall may be off the standard deviation by this share.
const UNIT_OFF: f64 = 0.25;
/// A spread below this is none, kilograms.
const NO_SPREAD_KG: f64 = 1e-9;

/// One side of a window with its margin.
#[derive(Debug, Clone)]
struct Side {
    cone: Cone,
    /// The window's row without its excess.
    terms: Vec<(usize, f64)>,
    /// Column of the standard deviations short.
    short: usize,
    /// The quantile asked for, before the window's width is looked at.
    asked: f64,
    z: f64,
    /// `σ̄`, kilograms.
    unit: f64,
}

/// The margins of a plan, and the tangents found so far: the side and the
/// gradient of its spread.
#[derive(Debug, Clone)]
pub(in crate::blend) struct Margins {
    sides: Vec<Side>,
    tangents: Vec<(usize, Vec<(usize, f64)>)>,
}

impl Margins {
    /// The margins at a chance of the sides that a point of the goals before is
    /// inside of; their columns and goal are added to the plan, and to the point.
    pub(in crate::blend) fn new(
        problem: &Problem,
        spreads: &Spreads,
        chance: f64,
        plan: &mut Plan,
        point: &mut Vec<f64>,
    ) -> Self {
        let mut sides = Vec::new();
        for cone in cones(problem, plan, spreads) {
            let row = &plan.model.rows[cone.row];
            let Some((excess, _)) = row.terms.last().copied() else {
                continue;
            };
            let unit = cone.margin(point);
            if unit <= NO_SPREAD_KG || point[excess] > GOAL_ZERO {
                continue;
            }
            let terms = row.terms[..row.terms.len() - 1].to_vec();
            let name = format!("short of margin: {}", row.name);
            let short = plan.model.column(name, 0.0, f64::INFINITY);
            plan.sure.terms.push((short, 1.0));
            let asked = cone.quantile(chance);
            sides.push(Side {
                cone,
                terms,
                short,
                asked,
                z: asked,
                unit,
            });
        }
        let mut margins = Self {
            sides,
            tangents: Vec::new(),
        };
        margins.narrow(plan, point);
        for side in &margins.sides {
            point.push((side.value(point) / side.unit + side.z).max(0.0));
        }
        margins.broken(point, -1.0);
        margins
    }

    /// How many tangents were found so far.
    pub(in crate::blend) fn found(&self) -> usize {
        self.tangents.len()
    }

    /// The rows of the tangents found so far.
    pub(in crate::blend) fn rows(&self) -> impl Iterator<Item = Row> {
        let tangents = self.tangents.iter();
        tangents.map(|(position, gradient)| self.sides[*position].tangent("tangent", gradient))
    }

    /// Adds the rows of the tangents from one on to a plan.
    pub(in crate::blend) fn add_to(&self, plan: &mut Plan, from: usize) {
        for (position, gradient) in &self.tangents[from..] {
            let side = &self.sides[*position];
            let name = &plan.model.rows[side.cone.row].name;
            let row = side.tangent(name, gradient);
            plan.requirements
                .push(Requirement::Margin { row: side.cone.row });
            plan.model.rows.push(row);
        }
    }

    /// Takes the spreads of a point as units; whether any was too far off.
    pub(in crate::blend) fn measured_at(&mut self, plan: &Plan, point: &[f64]) -> bool {
        let spreads = self.sides.iter().map(|side| side.cone.margin(point));
        let spreads: Vec<f64> = spreads.collect();
        let off = (self.sides.iter().zip(&spreads))
            .any(|(side, spread)| (side.unit - spread).abs() > UNIT_OFF * side.unit);
        if off {
            for (side, spread) in self.sides.iter_mut().zip(spreads) {
                side.unit = spread.max(NO_SPREAD_KG);
            }
            self.narrow(plan, point);
        }
        off
    }

    /// Lets windows narrower than their two margins ask for their middle.
    fn narrow(&mut self, plan: &Plan, point: &[f64]) {
        let mut by_window: BTreeMap<(usize, &Measure), Vec<usize>> = BTreeMap::new();
        for (position, side) in self.sides.iter().enumerate() {
            if let Requirement::Bound { group, measure, .. } = &plan.requirements[side.cone.row] {
                by_window
                    .entry((*group, measure))
                    .or_default()
                    .push(position);
            }
        }
        for positions in by_window.into_values() {
            let [one, other] = positions[..] else {
                continue;
            };
            let [one, other] = [one, other].map(|position| &self.sides[position]);
            let width = -(one.value(point) + other.value(point));
            let most = width / (one.unit + other.unit);
            for position in positions {
                let side = &mut self.sides[position];
                side.z = side.asked.min(most);
            }
        }
    }

    pub(in crate::blend) fn called_for(&mut self, point: &[f64]) -> Vec<Row> {
        self.broken(point, BREAK_SD)
    }

    /// Notes a tangent for each side that a point breaks by more than so many
    /// standard deviations, and returns their rows.
    fn broken(&mut self, point: &[f64], by_sd: f64) -> Vec<Row> {
        let mut rows = Vec::new();
        for (position, side) in self.sides.iter().enumerate() {
            let spread = side.cone.margin(point);
            let over = side.value(point) + side.z * spread - side.unit * point[side.short];
            if over > by_sd * spread + ROW_TOLERANCE {
                let gradient = side.cone.gradient(point, spread);
                rows.push(side.tangent("tangent", &gradient));
                self.tangents.push((position, gradient));
            }
        }
        rows
    }
}

impl Side {
    /// `a(x)`.
    fn value(&self, point: &[f64]) -> f64 {
        value_of(&self.terms, point)
    }

    /// The tangent `a(x) + z·∇‖B x̂‖·x ≤ v·σ̄`.
    fn tangent(&self, of: &str, gradient: &[(usize, f64)]) -> Row {
        let mut terms: BTreeMap<usize, f64> = self.terms.iter().copied().collect();
        for (column, slope) in gradient {
            *terms.entry(*column).or_default() += self.z * slope;
        }
        terms.insert(self.short, -self.unit);
        Row {
            name: format!("margin of {of}"),
            terms: terms.into_iter().collect(),
            lower: f64::NEG_INFINITY,
            upper: 0.0,
        }
    }
}
