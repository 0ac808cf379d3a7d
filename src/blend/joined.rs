//! One model out of several nights': what holds within a night is written by
//! the same code as tonight's mix; rows that tie nights together are the
//! caller's.

use super::constraints::{Plan, night, share_out};
use super::fitted::fitted;
use super::model::{Goal, Model};
use super::problem::Problem;
use super::propose::{Mix, mix_of, settle};
use super::tiers::Tiers;

/// What a column of a night stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A draw from a pool of equal lots.
    Draw {
        /// The group that is fed.
        group: usize,
        pool: usize,
    },
    /// A purchase.
    Bought {
        /// The group that is fed.
        group: usize,
        purchase: usize,
    },
    Water {
        group: usize,
    },
    /// Dry matter not fed.
    Short {
        group: usize,
    },
}

/// One night of a plan: the rows that hold within it.
#[derive(Debug, Clone)]
pub struct NightPlan {
    plan: Plan,
}

impl NightPlan {
    /// Writes what holds within the night of `problem`, whose lots must be in
    /// the order of [`super::in_order`]. Equal lots of one class become one column.
    #[must_use]
    pub fn new(problem: &Problem, class: impl Fn(usize) -> usize) -> Self {
        Self {
            plan: night(problem, class),
        }
    }

    /// How many columns it has.
    #[must_use]
    pub fn width(&self) -> usize {
        self.plan.model.columns.len()
    }

    /// The columns that have a role, in the order they were written.
    #[must_use]
    pub fn roles(&self) -> Vec<(usize, Role)> {
        let mut roles = Vec::new();
        for (group, columns) in self.plan.groups.iter().enumerate() {
            let draws = columns
                .draws
                .iter()
                .map(|(pool, column)| (*column, Role::Draw { group, pool: *pool }));
            let bought = columns.bought.iter().map(|(purchase, column)| {
                let purchase = *purchase;
                (*column, Role::Bought { group, purchase })
            });
            let water = columns.water.map(|column| (column, Role::Water { group }));
            roles.extend(draws.chain(bought).chain(water));
            roles.push((columns.short, Role::Short { group }));
        }
        roles
    }

    /// Positions of the lots in a pool.
    #[must_use]
    pub fn pool(&self, pool: usize) -> &[usize] {
        &self.plan.pools[pool].members
    }

    /// The four goals of this night alone at a point of its own columns.
    #[must_use]
    pub fn tiers_at(&self, point: &[f64]) -> Tiers {
        let short = |group: &super::constraints::GroupColumns| point[group.short];
        Tiers {
            short_dm_kg: self.plan.groups.iter().map(short).sum(),
            outside: self.plan.outside.value(point),
            water_kg: self.plan.water.value(point),
            urgent_kg: self.plan.urgent.value(point),
            cost: self.plan.cost.value(point),
            ..Tiers::default()
        }
    }

    /// The night's sheet at a point of its own columns, rounded and recomputed.
    #[must_use]
    pub fn settle(&self, problem: &Problem, tiers: Tiers, point: &[f64]) -> Mix {
        mix_of(problem, tiers, fitted(problem, &self.plan, point, false))
    }

    /// The same where there is no other night: as a mix for tonight is settled.
    #[must_use]
    pub fn settle_alone(&self, problem: &Problem, tiers: Tiers, point: &[f64]) -> Mix {
        let mut plan = self.plan.clone();
        share_out(problem, &mut plan);
        settle(problem, &plan, tiers, point)
    }
}

/// All nights beside one another, in one model; columns of a night begin at
/// the sum of the widths before it. Names carry the night's number.
#[must_use]
pub fn joined(nights: &[NightPlan]) -> Plan {
    let mut all = Plan::empty(Vec::new());
    for (number, NightPlan { plan }) in nights.iter().enumerate() {
        let (columns, rows) = (all.model.columns.len(), all.model.rows.len());
        let moved = |terms: &[(usize, f64)]| -> Vec<(usize, f64)> {
            terms
                .iter()
                .map(|(column, coefficient)| (column + columns, *coefficient))
                .collect()
        };
        for column in &plan.model.columns {
            let name = format!("n{number} {}", column.name);
            all.model.column(name, column.lower, column.upper);
        }
        for row in &plan.model.rows {
            let name = format!("n{number} {}", row.name);
            all.model
                .between(name, moved(&row.terms), row.lower, row.upper);
        }
        for (goal, of_night) in [
            (&mut all.shortage, &plan.shortage),
            (&mut all.outside, &plan.outside),
            (&mut all.urgent, &plan.urgent),
            (&mut all.cost, &plan.cost),
            (&mut all.tie_break, &plan.tie_break),
        ] {
            goal.terms.extend(moved(&of_night.terms));
        }
        for group in &plan.groups {
            let mut group = group.clone();
            group.draws.clear();
            group.bought.clear();
            group.water = None;
            group.short += columns;
            group.feeding += rows;
            group.volume = group.volume.map(|row| row + rows);
            group
                .excesses
                .iter_mut()
                .for_each(|column| *column += columns);
            all.groups.push(group);
        }
    }
    all
}

impl Plan {
    /// The model in which all demand, with the trays that go with it, is
    /// multiplied by a factor to be made large, everyone fed and nothing
    /// outside; and the factor's column.
    ///
    /// `DM = λ D`, `Σ x/ρ + w ≤ λ V`, `s = 0`, `e = 0`.
    #[must_use]
    pub fn with_demand_scaled(&self) -> (Model, Goal, usize) {
        let mut model = self.model.clone();
        let factor = model.column("demand factor", 0.0, f64::INFINITY);
        for group in &self.groups {
            model.columns[group.short].upper = 0.0;
            for excess in &group.excesses {
                model.columns[*excess].upper = 0.0;
            }
            for row in [Some(group.feeding), group.volume].into_iter().flatten() {
                let row = &mut model.rows[row];
                row.terms.push((factor, -row.upper));
                if row.lower.is_finite() {
                    row.lower = 0.0;
                }
                row.upper = 0.0;
            }
        }
        let goal = Goal::maximise(vec![(factor, 1.0)]);
        (model, goal, factor)
    }
}
