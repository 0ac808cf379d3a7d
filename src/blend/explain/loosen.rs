//! Loosening windows, as a cure: as little as it takes and never beyond a limit.

use crate::stream::{Bound, Measure, Side};

use super::super::problem::Problem;
use super::super::propose::Mix;
use super::conflict::Conflict;
use super::cures::{Change, Cure, bisect, fits, proven};
use super::strict::Demand;

/// Each window of a conflict alone, as far as it must go and not beyond its limit; else all that are out together.
pub(super) fn loosened(problem: &Problem, nearest: &Mix, conflicts: &[Conflict]) -> Vec<Cure> {
    let windows: Vec<&Demand> = conflicts
        .iter()
        .flat_map(|conflict| &conflict.demands)
        .filter(|demand| matches!(demand, Demand::Bound { is_hard: false, .. }))
        .collect();
    let alone: Vec<Cure> = windows
        .iter()
        .filter_map(|demand| loosened_alone(problem, demand))
        .collect();
    if alone.is_empty() {
        loosened_together(problem, nearest).into_iter().collect()
    } else {
        alone
    }
}

/// Bounds are loosened in steps of a tenth of a point.
const TENTHS: f64 = 1000.0;

fn loosened_alone(problem: &Problem, demand: &Demand) -> Option<Cure> {
    let Demand::Bound {
        group,
        measure,
        side,
        share,
        ..
    } = demand
    else {
        return None;
    };
    let window = *problem
        .groups
        .iter()
        .find(|of| of.name == *group)?
        .windows
        .get(measure)?;
    let end = match side {
        Side::Most => window.limit_max.unwrap_or(match measure {
            Measure::Moisture => 0.99,
            _ => measure.bound_max() / 100.0,
        }),
        Side::Least => window.limit_min.unwrap_or(0.0),
    };
    let at = |tenths: u32| match side {
        Side::Most => ((share * TENTHS).floor() + f64::from(tenths)).min(end * TENTHS) / TENTHS,
        Side::Least => ((share * TENTHS).ceil() - f64::from(tenths)).max(end * TENTHS) / TENTHS,
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at most a thousand tenths of a point"
    )]
    let most = ((end - share).abs() * TENTHS).ceil() as u32 + 1;
    let changed = |tenths: u32| with_bound(problem, group, measure, *side, at(tenths));
    if !fits(&changed(most)) {
        return None;
    }
    let least = bisect(most, |tenths| fits(&changed(tenths)));
    (least..=most).take(3).find_map(|tenths| {
        let windows = vec![(demand.clone(), at(tenths))];
        proven(Change::Loosen { windows }, None, changed(tenths))
    })
}

fn with_bound(problem: &Problem, group: &str, measure: &Measure, side: Side, to: f64) -> Problem {
    let mut changed = problem.clone();
    let window = changed
        .groups
        .iter_mut()
        .filter(|of| of.name == group)
        .find_map(|of| of.windows.get_mut(measure));
    if let Some(window) = window {
        *window.bound_mut(side, false) = Some(to);
    }
    changed
}

/// Every window that the nearest mix leaves, loosened to what it reaches; a
/// few tenths more where the scale's rounding needs them.
fn loosened_together(problem: &Problem, nearest: &Mix) -> Option<Cure> {
    (0..4_u32).find_map(|more| loosened_to(problem, nearest, f64::from(more)))
}

fn loosened_to(problem: &Problem, nearest: &Mix, more: f64) -> Option<Cure> {
    let mut changed = problem.clone();
    let mut windows = Vec::new();
    for group in &nearest.groups {
        for figure in &group.figures.measures {
            let (Some(value), window) = (figure.value, figure.window) else {
                continue;
            };
            let missed = |bound: &Bound| !bound.is_hard && bound.missed_by(value) > 0.0;
            for Bound { side, share, .. } in window.bounds().filter(missed) {
                let (least, most) = window.range(true);
                let to = match side {
                    Side::Most => {
                        (((value * TENTHS).ceil() + more) / TENTHS).min(most.unwrap_or(1.0))
                    }
                    Side::Least => {
                        (((value * TENTHS).floor() - more) / TENTHS).max(least.unwrap_or(0.0))
                    }
                };
                changed = with_bound(&changed, &group.name, &figure.measure, side, to);
                let demand = Demand::Bound {
                    group: group.name.clone(),
                    measure: figure.measure.clone(),
                    side,
                    share,
                    is_hard: false,
                };
                windows.push((demand, to));
            }
        }
    }
    if windows.is_empty() {
        return None;
    }
    proven(Change::Loosen { windows }, None, changed)
}
