//! Weights as a point of the model's columns.

use super::constraints::Plan;
use super::rounding::Weighed;

/// What is drawn, bought and added, by column; what softens rows is zero.
pub(super) fn as_columns(plan: &Plan, weighed: &Weighed) -> Vec<f64> {
    let mut only = vec![0.0; plan.model.columns.len()];
    for (columns, weights) in plan.groups.iter().zip(&weighed.groups) {
        for (pool, column) in &columns.draws {
            let members = &plan.pools[*pool].members;
            let draws = weights
                .draws
                .iter()
                .filter(|(lot, _)| members.contains(lot));
            only[*column] = draws.map(|(_, grams)| grams.kg()).sum();
        }
        for (item, column) in &columns.bought {
            let bought = weights.bought.iter().filter(|(bought, _)| bought == item);
            only[*column] = bought.map(|(_, grams)| grams.kg()).sum();
        }
        if let Some(column) = columns.water {
            only[column] = weights.water.kg();
        }
    }
    only
}
