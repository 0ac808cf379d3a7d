//! The goals of a plan, in their order.

use super::constraints::Plan;
use super::model::Goal;

pub(super) const GOALS: usize = 7;
/// Position of the goal of sureness among them: those before it are settled
/// without margins.
pub(super) const SURE: usize = 3;

impl Plan {
    /// The goals in their order, each with the name of the row that holds it.
    /// One without terms is not asked for.
    #[must_use]
    pub fn goals(&self) -> [(&'static str, &Goal); GOALS] {
        [
            ("goal shortage", &self.shortage),
            ("goal outside", &self.outside),
            ("goal water", &self.water),
            ("goal sure", &self.sure),
            ("goal urgent", &self.urgent),
            ("goal cost", &self.cost),
            ("goal steady", &self.steady),
        ]
    }
}

/// The point where no kilogram is fed: it meets every row, unless storage is
/// too small for what comes.
pub(super) fn nothing_fed(plan: &Plan) -> Vec<f64> {
    let mut point = vec![0.0; plan.model.columns.len()];
    for group in &plan.groups {
        point[group.short] = plan.model.columns[group.short].upper;
    }
    point
}
