//! The night with every wish made hard: what an explanation takes apart.
//! What is on hand stays a fact; all else is a demand that can be dropped.

use crate::stream::{Measure, StreamId};

use super::super::constraints::Plan;
use super::super::model::Model;
use super::super::problem::Problem;
use super::super::requirement::{Requirement, Side};

/// Something asked of tonight's mix, in the farm's terms.
#[derive(Debug, Clone, PartialEq)]
pub enum Demand {
    /// Dry matter for a group.
    Feed {
        group: String,
        /// At least or at most this.
        side: Side,
        dm_kg: f64,
    },
    /// One side of a window or limit.
    Bound {
        group: String,
        measure: Measure,
        side: Side,
        /// The bound, a share.
        share: f64,
        /// A limit, not a window.
        is_hard: bool,
    },
    /// What the trays hold.
    Volume { group: String, litres: f64 },
    /// The largest share of a stream.
    Cap {
        group: String,
        stream: StreamId,
        /// The share as fed.
        share: f64,
    },
    /// What can be bought of a stream.
    Purchase { stream: StreamId, kg: f64 },
    /// Water that may be added.
    Water { kg: f64 },
}

/// A demand as `terms ≤ upper` on the plan's columns.
pub(super) struct Asked {
    pub demand: Demand,
    pub terms: Vec<(usize, f64)>,
    pub upper: f64,
}

pub(super) struct Strict {
    /// Columns and the rows that are facts.
    pub facts: Model,
    pub demands: Vec<Asked>,
}

/// Turns a plan into facts and demands. Two-sided rows are split, so that the side is named.
pub(super) fn strict(problem: &Problem, plan: &Plan) -> Strict {
    let mut facts = Model {
        columns: plan.model.columns.clone(),
        rows: Vec::new(),
    };
    for (column, _) in plan.shortage.terms.iter().chain(&plan.outside.terms) {
        facts.columns[*column].upper = 0.0;
    }
    let mut demands = Vec::new();
    for (row, requirement) in plan.model.rows.iter().zip(&plan.requirements) {
        let negated = || row.terms.iter().map(|(c, v)| (*c, -v)).collect::<Vec<_>>();
        match told(problem, requirement) {
            None if matches!(requirement, Requirement::Stock { .. }) => {
                facts.rows.push(row.clone());
            }
            None => {}
            Some(demand) => {
                if row.lower > f64::NEG_INFINITY {
                    demands.push(Asked {
                        demand: demand.clone(),
                        terms: negated(),
                        upper: -row.lower,
                    });
                }
                if row.upper < f64::INFINITY {
                    let demand = match demand {
                        Demand::Feed { group, dm_kg, .. } => Demand::Feed {
                            group,
                            side: Side::Most,
                            dm_kg,
                        },
                        other => other,
                    };
                    demands.push(Asked {
                        demand,
                        terms: row.terms.clone(),
                        upper: row.upper,
                    });
                }
            }
        }
    }
    limits_on_columns(problem, plan, &mut facts, &mut demands);
    Strict { facts, demands }
}

/// With one group, what may be bought or added is a bound of its column.
fn limits_on_columns(problem: &Problem, plan: &Plan, facts: &mut Model, demands: &mut Vec<Asked>) {
    for columns in &plan.groups {
        let bought = columns.bought.iter().map(|(position, column)| {
            let purchase = &problem.purchases[*position];
            let demand = Demand::Purchase {
                stream: purchase.stream.clone(),
                kg: purchase.limit.kg(),
            };
            (*column, demand, purchase.limit.kg())
        });
        let water = columns.water.map(|column| {
            let kg = problem.water_limit.kg();
            (column, Demand::Water { kg }, kg)
        });
        for (column, demand, upper) in bought.chain(water) {
            facts.columns[column].upper = f64::INFINITY;
            if plan.groups.len() == 1 {
                demands.push(Asked {
                    demand,
                    terms: vec![(column, 1.0)],
                    upper,
                });
            }
        }
    }
}

/// A requirement in the farm's terms; `None` for what is a fact or no demand of its own.
pub(super) fn told(problem: &Problem, requirement: &Requirement) -> Option<Demand> {
    let group = |position: usize| problem.groups[position].name.clone();
    Some(match requirement {
        Requirement::Feeding { group: position } => Demand::Feed {
            group: group(*position),
            side: Side::Least,
            dm_kg: problem.groups[*position].dry_matter_kg,
        },
        Requirement::Bound {
            group: position,
            measure,
            side,
            share,
            is_hard,
        } => Demand::Bound {
            group: group(*position),
            measure: measure.clone(),
            side: *side,
            share: *share,
            is_hard: *is_hard,
        },
        Requirement::Volume { group: position } => Demand::Volume {
            group: group(*position),
            litres: problem.groups[*position].volume?.get(),
        },
        Requirement::Cap {
            group: position,
            stream,
        } => Demand::Cap {
            group: group(*position),
            stream: stream.clone(),
            share: problem.groups[*position].caps.get(stream)?.get(),
        },
        Requirement::Purchase { position } => Demand::Purchase {
            stream: problem.purchases[*position].stream.clone(),
            kg: problem.purchases[*position].limit.kg(),
        },
        Requirement::Water => Demand::Water {
            kg: problem.water_limit.kg(),
        },
        Requirement::Stock { .. } | Requirement::Margin { .. } | Requirement::Change { .. } => {
            return None;
        }
    })
}
