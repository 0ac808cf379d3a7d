//! One mix for groups whose bounds meet: fewer lines to weigh, and each mix is
//! larger than the scale's error.
//!
//! Groups `A` become one with `D = Σ D_a` and, of every bound, the stricter one.
//! What holds for the whole holds for each share `D_a/D` of it, as all bounds
//! are on shares of the mix; trays hold it where `V = min V_a·D/D_a`.
//!
//! On the invented demo farm played for a year, 339 nights with three groups to
//! feed: on 211 one mix served all, on 34 two groups shared one, on 94 each had
//! its own. Lines, median 7 in all, 4 to weigh.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::quantity::{Litres, SHARES_WITH};
use crate::words::say;

use super::constraints::Plan;
use super::ordered::{Ordered, begun, ordered};
use super::patience::Waiting;
use super::problem::{Group, Problem, TrayRoom};
use super::solve::Unsolved;
use super::tiers::Tiers;
use super::tolerance::GOAL_ZERO;

/// What sharing may cost in one night of each goal from sureness on, a share of
/// its value or of 1 (our default). What is not used tonight may be tomorrow.
const MAY_COST: f64 = 0.25;

/// Solves with one mix for as many groups as can share it, at no cost to feed,
/// windows and water; else with a mix for each.
///
/// # Errors
/// When no engine can verify a goal; with the problem it was.
pub(super) fn shared_where_it_fits(
    problem: Problem,
    plan: impl Fn(&Problem) -> Plan,
    waiting: &Waiting,
) -> (Problem, Result<Ordered, Unsolved>) {
    let policy = &problem.policy;
    if !policy.one_mix || policy.first.is_some() || problem.groups.len() < 2 {
        let found = ordered(&problem, plan(&problem), waiting);
        return (problem, found);
    }
    let found = begun(&problem, plan(&problem)).and_then(|begun| begun.reached(&problem));
    let apart = match found {
        Ok(apart) => apart,
        Err(unsolved) => return (problem, Err(unsolved)),
    };
    let best = apart.tiers();
    let wanted_kg = problem.groups.iter().map(|group| group.dry_matter_kg).sum();
    for together in ways(problem.groups.len()) {
        let Some(one) = with_one_mix(&problem, together) else {
            continue;
        };
        if !waiting.goes_on(|| say!("undone-one-mix")) {
            break;
        }
        if let Ok(begun) = begun(&one, plan(&one))
            && costs_no_feed(wanted_kg, &begun.tiers(), &best)
            && let Ok(shared) = begun.reached(&one)
            && is_near(&shared.tiers(), &best)
        {
            let shared = shared.with_few_lines(&one, waiting);
            if is_near(&shared.tiers, &best) {
                return (one, Ok(shared));
            }
        }
    }
    let apart = apart.with_few_lines(&problem, waiting);
    (problem, Ok(apart))
}

/// Neighbours that may share, most of them first, then the last: the youngest
/// are the first to have a mix of their own.
fn ways(groups: usize) -> impl Iterator<Item = Range<usize>> {
    let sizes = (2..=groups).rev();
    sizes.flat_map(move |size| (0..=groups - size).rev().map(move |at| at..at + size))
}

fn within(by: f64, shared: f64, apart: f64) -> bool {
    shared - apart <= by * apart.abs().max(1.0)
}

/// Whether sharing costs nothing of the goals before sureness, to what they are held with.
fn costs_no_feed(wanted_kg: f64, shared: &Tiers, apart: &Tiers) -> bool {
    shared.short_dm_kg - apart.short_dm_kg <= GOAL_ZERO * wanted_kg.max(1.0)
        && within(GOAL_ZERO, shared.outside, apart.outside)
        && within(GOAL_ZERO, shared.water_kg, apart.water_kg)
}

/// Whether sharing costs little of the goals from sureness on.
fn is_near(shared: &Tiers, apart: &Tiers) -> bool {
    within(MAY_COST, shared.unsure, apart.unsure)
        && within(MAY_COST, -shared.urgent_kg, -apart.urgent_kg)
        && within(MAY_COST, shared.cost, apart.cost)
}

/// The problem with the groups at these positions made one; `None` where no mix can suit them all.
fn with_one_mix(problem: &Problem, at: Range<usize>) -> Option<Problem> {
    let mut groups = problem.groups.clone();
    let one = one_of(&groups[at.clone()])?;
    groups.splice(at, [one]);
    Some(Problem {
        groups,
        ..problem.clone()
    })
}

fn one_of(groups: &[Group]) -> Option<Group> {
    let dry_matter_kg: f64 = groups.iter().map(|group| group.dry_matter_kg).sum();
    let names: Vec<&str> = groups.iter().map(|group| group.name.as_str()).collect();
    let mut one = Group {
        name: names.join(SHARES_WITH),
        dry_matter_kg,
        others: u8::try_from(groups.len() - 1).unwrap_or(u8::MAX),
        assumed_density: groups[0].assumed_density,
        ..Group::default()
    };
    for group in groups {
        let share = group.dry_matter_kg / dry_matter_kg;
        for (measure, window) in &group.windows {
            let of = one.windows.entry(measure.clone()).or_default();
            *of = of.and(window);
            if of.contradiction().is_some() {
                return None;
            }
        }
        for (name, cap) in &group.caps {
            let of = one.caps.entry(name.clone()).or_insert(*cap);
            if cap.get() < of.get() {
                *of = *cap;
            }
        }
        agree(&mut one.kinds, &group.kinds)?;
        agree(&mut one.assumed, &group.assumed)?;
        if group.assumed_density != groups[0].assumed_density {
            return None;
        }
        if let Some(volume) = group.volume {
            let most = one.volume.map_or(f64::INFINITY, Litres::get);
            one.volume = Litres::new(most.min(volume.get() / share)).ok();
        }
        one.trays.extend(group.trays.iter().map(|room| TrayRoom {
            share: room.share * share,
            ..room.clone()
        }));
    }
    Some(one)
}

/// Takes over what another says, unless the two differ.
fn agree<K: Ord + Clone, V: PartialEq + Clone>(
    one: &mut BTreeMap<K, V>,
    other: &BTreeMap<K, V>,
) -> Option<()> {
    for (key, value) in other {
        if one.entry(key.clone()).or_insert_with(|| value.clone()) != value {
            return None;
        }
    }
    Some(())
}
