//! What can't hold together: an elastic filter finds a small set of demands
//! that can't all be met, deletion makes it irreducible.
//!
//! All wishes made hard, two-sided rows split, what is on hand kept as fact;
//! "clash" is *min Σ stretch > 1e-6 kg*, not an engine's word. Irreducible is
//! not always smallest: deletion runs both ways and the smaller set is told.

use crate::quantity::Division;
use crate::stream::{Bound, Measure};
use crate::words::say;

use super::super::chain::best_alone;
use super::super::constraints::Plan;
use super::super::eligible::{Figures, figures};
use super::super::model::Goal;
use super::super::patience::Waiting;
use super::super::problem::{Group, Problem};
use super::super::requirement::Side;
use super::super::solve::Unsolved;
use super::super::tolerance::ROW_TOLERANCE;
use super::strict::{Demand, Strict, strict};

/// Demands that can't all be met with what is on hand; without any one of them they can.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    pub demands: Vec<Demand>,
    pub plain: Option<PlainReason>,
}

/// What can be said in one sentence of why a night does not fit.
#[derive(Debug, Clone, PartialEq)]
pub enum PlainReason {
    /// All that may be fed to the group lies beyond the bound.
    AllBeyond {
        group: String,
        measure: Measure,
        /// Side of the bound.
        side: Side,
        /// The bound, a share.
        bound: f64,
        /// What comes nearest: a lot or a stream that can be bought.
        nearest: String,
        /// Its value, a share.
        value: f64,
    },
    /// All that may be fed to the group holds less dry matter than wanted.
    TooLittle { group: String, dm_kg: f64 },
    /// Nothing on hand may be fed to the group.
    Nothing { group: String },
    /// The scale shows nothing so small as the mix.
    TooCoarse { division: Division },
}

/// What may be fed to a group: a lot or a stream that can be bought, its
/// figures for the group, and how much there is of it, kilograms.
pub(in super::super) type Part = (String, Figures, f64);

pub(in super::super) fn may_enter(problem: &Problem, group: &Group) -> Vec<Part> {
    let lots = problem.lots.iter().filter(|lot| lot.barred.is_none());
    let lots = lots.map(|lot| (lot.name.clone(), &lot.composition, lot.edible.kg()));
    let bought = problem.purchases.iter().map(|purchase| {
        let name = purchase.stream.as_str().to_owned();
        (name, &purchase.composition, purchase.limit.kg())
    });
    lots.chain(bought)
        .filter(|(_, _, kg)| *kg > 0.0)
        .filter_map(|(name, composition, kg)| Some((name, figures(composition, group).ok()?, kg)))
        .collect()
}

/// That each of these parts lies beyond one side of a window or limit, where it is so.
pub(in super::super) fn all_beyond(
    parts: &[Part],
    group: &Group,
    measure: &Measure,
    bound: Bound,
) -> Option<PlainReason> {
    let mut analytes = (group.windows.keys()).filter(|key| **key != Measure::Moisture);
    let analyte = analytes.position(|key| key == measure);
    let value = |(_, figures, _): &Part| match analyte {
        Some(position) => figures.analytes[position].value(),
        None => figures.moisture,
    };
    let beyond = |part: &Part| bound.missed_by(value(part));
    let nearest = (parts.iter()).min_by(|a, b| beyond(a).total_cmp(&beyond(b)))?;
    (beyond(nearest) > 0.0).then(|| PlainReason::AllBeyond {
        group: group.name.clone(),
        measure: measure.clone(),
        side: bound.side,
        bound: bound.share,
        nearest: nearest.0.clone(),
        value: value(nearest),
    })
}

/// A set counts as met when its demands are broken by no more than this in all, kilograms.
const MET: f64 = ROW_TOLERANCE;
/// Conflicts named at most; more would not be read.
const NAMED_MOST: usize = 3;

/// The conflicts of a night, smallest first; empty when all demands can be met.
///
/// # Errors
/// When no engine can verify a step.
pub fn conflicts(problem: &Problem, plan: &Plan) -> Result<Vec<Conflict>, Unsolved> {
    conflicts_while(problem, plan, &Waiting::default())
}

/// The same, as many as are found in time.
pub(super) fn conflicts_while(
    problem: &Problem,
    plan: &Plan,
    waiting: &Waiting,
) -> Result<Vec<Conflict>, Unsolved> {
    let strict = strict(problem, plan);
    let mut open: Vec<usize> = (0..strict.demands.len()).collect();
    let mut found: Vec<Conflict> = Vec::new();
    while found.len() < NAMED_MOST {
        let Some(set) = irreducible(&strict, &open, waiting)? else {
            break;
        };
        let is_feed = |&index: &usize| matches!(strict.demands[index].demand, Demand::Feed { .. });
        let only_feed = set.iter().all(is_feed);
        open.retain(|index| !set.contains(index) || (is_feed(index) && !only_feed));
        let demands: Vec<Demand> = set
            .iter()
            .map(|&index| strict.demands[index].demand.clone())
            .collect();
        found.push(Conflict {
            plain: plain(problem, &demands),
            demands,
        });
    }
    found.sort_by_key(|conflict| conflict.demands.len());
    Ok(found)
}

/// An irreducible set among the demands, or `None` when all can be met or the time is up.
fn irreducible(
    strict: &Strict,
    among: &[usize],
    waiting: &Waiting,
) -> Result<Option<Vec<usize>>, Unsolved> {
    if !goes_on(waiting) || !clash(strict, among)? {
        return Ok(None);
    }
    let filtered = elastic_filter(strict, among)?;
    let Some(mut best) = deleted(strict, &filtered, waiting)? else {
        return Ok(None);
    };
    if best.len() > 2 {
        // Which set deletion leaves depends on its order; a smaller one is read sooner.
        let backward: Vec<usize> = filtered.iter().rev().copied().collect();
        if let Some(other) = deleted(strict, &backward, waiting)?
            && other.len() < best.len()
        {
            best = other;
        }
    }
    best.sort_unstable();
    Ok(Some(best))
}

/// Demands that stretch are made hard until the rest can't stretch enough: the hard ones clash.
fn elastic_filter(strict: &Strict, among: &[usize]) -> Result<Vec<usize>, Unsolved> {
    let mut hard: Vec<usize> = Vec::new();
    loop {
        let soft: Vec<usize> = among
            .iter()
            .copied()
            .filter(|index| !hard.contains(index))
            .collect();
        let stretched = match stretch(strict, &hard, &soft) {
            Ok(stretched) => stretched,
            Err(Unsolved::Infeasible) => break,
            Err(other) => return Err(other),
        };
        let before = hard.len();
        hard.extend(
            soft.iter()
                .zip(&stretched)
                .filter(|(_, by)| **by > MET)
                .map(|(index, _)| *index),
        );
        if hard.len() == before {
            break;
        }
    }
    if clash(strict, &hard)? {
        Ok(hard)
    } else {
        Ok(among.to_vec())
    }
}

fn goes_on(waiting: &Waiting) -> bool {
    waiting.goes_on(|| say!("undone-conflicts"))
}

/// What is left when none more can go; `None` when the time is up.
fn deleted(
    strict: &Strict,
    set: &[usize],
    waiting: &Waiting,
) -> Result<Option<Vec<usize>>, Unsolved> {
    let mut kept = set.to_vec();
    for index in set {
        if !goes_on(waiting) {
            return Ok(None);
        }
        let without: Vec<usize> = kept.iter().copied().filter(|kept| kept != index).collect();
        if clash(strict, &without)? {
            kept = without;
        }
    }
    Ok(Some(kept))
}

fn clash(strict: &Strict, set: &[usize]) -> Result<bool, Unsolved> {
    Ok(stretch(strict, &[], set)?.iter().sum::<f64>() > MET)
}

/// The least stretch of the soft demands with the hard ones kept: `min Σ e, terms − e ≤ upper`.
fn stretch(strict: &Strict, hard: &[usize], soft: &[usize]) -> Result<Vec<f64>, Unsolved> {
    let mut model = strict.facts.clone();
    let mut goal = Goal::minimise(Vec::new());
    for &index in hard {
        let asked = &strict.demands[index];
        model.at_most("hard", asked.terms.clone(), asked.upper);
    }
    for &index in soft {
        let asked = &strict.demands[index];
        let by = model.column("stretch", 0.0, f64::INFINITY);
        let mut terms = asked.terms.clone();
        terms.push((by, -1.0));
        goal.terms.push((by, 1.0));
        model.at_most("soft", terms, asked.upper);
    }
    let optimum = best_alone(&model, &goal)?;
    Ok(goal
        .terms
        .iter()
        .map(|(column, _)| optimum.point[*column])
        .collect())
}

/// The reason in one sentence, for the conflicts that have one.
fn plain(problem: &Problem, demands: &[Demand]) -> Option<PlainReason> {
    let (feed, rest): (Vec<&Demand>, Vec<&Demand>) = demands
        .iter()
        .partition(|demand| matches!(demand, Demand::Feed { .. }));
    let [
        Demand::Feed {
            group: name,
            side: Side::Least,
            ..
        },
    ] = feed[..]
    else {
        return None;
    };
    let group = problem.groups.iter().find(|group| group.name == *name)?;
    let parts = may_enter(problem, group);
    if parts.is_empty() {
        return Some(PlainReason::Nothing {
            group: name.clone(),
        });
    }
    match rest[..] {
        [] if problem.groups.len() == 1 => Some(PlainReason::TooLittle {
            group: name.clone(),
            dm_kg: parts
                .iter()
                .map(|(_, figures, kg)| figures.dry() * kg)
                .sum(),
        }),
        [
            Demand::Bound {
                group: of,
                measure,
                side,
                share,
                is_hard,
            },
        ] if of == name => {
            let bound = Bound {
                side: *side,
                share: *share,
                is_hard: *is_hard,
            };
            all_beyond(&parts, group, measure, bound)
        }
        _ => None,
    }
}
