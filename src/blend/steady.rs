//! Staying close to the mix before, as a fifth goal.
//!
//! *min Σ |x_s − σ_s W|*: the L1 distance of shares times the fed weight, which
//! keeps it linear.

use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::meet;
use crate::stream::StreamId;

use super::constraints::Plan;
use super::problem::Problem;
use super::requirement::Requirement;

/// The shares of the fed weight each stream had before, by group.
pub type LastShares = BTreeMap<String, BTreeMap<StreamId, f64>>;

/// Shares of kilograms.
#[must_use]
pub fn shares_of(kg: &BTreeMap<StreamId, f64>) -> BTreeMap<StreamId, f64> {
    let total: f64 = kg.values().sum();
    let part = |(stream, kg): (&StreamId, &f64)| (stream.clone(), kg / total);
    if total > 0.0 {
        kg.iter().map(part).collect()
    } else {
        BTreeMap::new()
    }
}

/// The mix before of a group, or of one that shared with it then or does now.
fn before<'a>(last: &'a LastShares, group: &str) -> Option<&'a BTreeMap<StreamId, f64>> {
    let found = last.iter().find(|(name, _)| meet(name, group));
    found.map(|(_, shares)| shares)
}

/// Fifth goal: `min Σ_s v_s` with `v_s ≥ |Σ_{i∈s} x − σ_s·W|`, W the fed weight
/// [kg]. That is the L1 distance of shares times W, which keeps it linear; with
/// feeding held W hardly moves. Sudden changes set larvae back (common
/// practice, no source). A group that was not fed before has no goal.
pub(super) fn stay_close(problem: &Problem, plan: &mut Plan, last: &LastShares) {
    for (position, group) in problem.groups.iter().enumerate() {
        let Some(before) = before(last, &group.name).filter(|shares| !shares.is_empty()) else {
            continue;
        };
        let columns = plan.groups[position].clone();
        let mut by_stream: BTreeMap<&StreamId, Vec<usize>> = BTreeMap::new();
        for (pool, column) in &columns.draws {
            let lot = &problem.lots[plan.pools[*pool].members[0]];
            by_stream.entry(&lot.stream).or_default().push(*column);
        }
        for (purchase, column) in &columns.bought {
            let stream = &problem.purchases[*purchase].stream;
            by_stream.entry(stream).or_default().push(*column);
        }
        let all: Vec<usize> = by_stream
            .values()
            .flatten()
            .copied()
            .chain(columns.water)
            .collect();
        let streams: BTreeSet<&StreamId> = by_stream.keys().copied().chain(before.keys()).collect();
        for stream in streams {
            let share = before.get(stream).copied().unwrap_or(0.0);
            let of_stream = by_stream.get(stream).map_or(&[][..], Vec::as_slice);
            let off: Vec<(usize, f64)> = all
                .iter()
                .map(|column| {
                    let own = if of_stream.contains(column) { 1.0 } else { 0.0 };
                    (*column, own - share)
                })
                .filter(|(_, coefficient)| *coefficient != 0.0)
                .collect();
            let change = plan.model.column(
                format!("change {} {}", group.name, stream.as_str()),
                0.0,
                f64::INFINITY,
            );
            plan.steady.terms.push((change, 1.0));
            for sign in [1.0, -1.0] {
                let mut terms: Vec<(usize, f64)> =
                    off.iter().map(|(c, v)| (*c, sign * v)).collect();
                terms.push((change, -1.0));
                let side = if sign > 0.0 { "above" } else { "below" };
                let name = format!("change {side} {} {}", group.name, stream.as_str());
                plan.requirements
                    .push(Requirement::Change { group: position });
                plan.model.at_most(name, terms, 0.0);
            }
        }
    }
}
