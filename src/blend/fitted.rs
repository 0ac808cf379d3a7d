//! From the solver's point to weights that keep to what the point keeps to.
//! A point stands on the edge of its windows, so rounding alone can push a
//! figure out. Then the goals are solved again with a margin for rounding:
//! each bound that was pushed out by *a* kilograms at *DM* kilograms of dry
//! matter becomes `terms + (a/DM) · Σ d x ≤ 0`, and so on until nothing is out
//! or no margin helps. What no margin mends, the scale is too coarse for.

use crate::quantity::Division;

use super::assess::{Assessment, assess};
use super::constraints::{GroupColumns, Plan};
use super::crumbs::without_crumbs;
use super::problem::Problem;
use super::requirement::Requirement;
use super::rounding::{Fixed, Weighed, WeighedGroup, weigh};
use super::tiers::goals_in_order;
use super::tolerance::{FED_WITHIN, GOAL_ZERO, SAME_SHARE};
use super::weights::as_columns;

/// Weights with their figures, and what the scale can't show finely enough.
pub(super) struct Fitted {
    pub weighed: Weighed,
    pub assessment: Assessment,
    pub too_coarse: Vec<TooCoarse>,
}

/// A group whose mix is inside before rounding and not after it.
pub(super) struct TooCoarse {
    pub group: usize,
    /// It gets no feed: any weights would break its limits.
    pub left_out: bool,
    /// The scale it was weighed on.
    pub division: Division,
    /// The coarsest division tried that would do.
    pub would_do: Option<Division>,
}

/// Times the goals are solved again.
const AGAIN_MOST: usize = 6;
/// A margin is a little more than what was pushed out, so that it holds.
const MORE: f64 = 1.1;
/// The whole mix a little smaller or larger rounds otherwise, and all of it is within what counts as fed.
const SIZES: [f64; 4] = [0.995, 1.005, 0.985, 1.015];

/// The weights of a point. Where it is one night of a longer plan, the goals
/// are not solved again: tonight alone would take what later nights need.
pub(super) fn fitted(problem: &Problem, plan: &Plan, point: &[f64], is_alone: bool) -> Fitted {
    let met: Vec<bool> = (0..problem.groups.len())
        .map(|group| is_met(problem, plan, point, group))
        .collect();
    let mut best = Tried::of(problem, plan, point);
    for size in SIZES {
        if best.keeps(&met) {
            break;
        }
        let sized: Vec<f64> = point.iter().map(|kg| kg * size).collect();
        best = best.or(Tried::of(problem, plan, &sized));
    }
    let mut tightened = plan.clone();
    let mut last = best.weighed.clone();
    for _ in 0..AGAIN_MOST {
        if !is_alone || best.keeps(&met) || !tighten(plan, &mut tightened, &met, &last) {
            break;
        }
        let Ok((_, again)) = goals_in_order(&tightened) else {
            break;
        };
        let tried = Tried::of(problem, plan, &again);
        last = tried.weighed.clone();
        best = best.or(tried);
    }
    if let Some(rule) = problem.policy.few.filter(|_| is_alone) {
        best = Tried::weights(
            problem,
            without_crumbs(problem, plan, point, rule, best.weighed),
        );
    }
    best.kept_to_limits(problem, plan, point, &met)
}

/// Weights with their figures.
struct Tried {
    weighed: Weighed,
    assessment: Assessment,
}

impl Tried {
    fn of(problem: &Problem, plan: &Plan, point: &[f64]) -> Self {
        Self::weights(problem, weigh(problem, plan, point, &Fixed::new()))
    }

    fn weights(problem: &Problem, weighed: Weighed) -> Self {
        Self {
            assessment: assess(problem, &weighed),
            weighed,
        }
    }

    /// Whether every group that is inside before rounding is so after it.
    fn keeps(&self, met: &[bool]) -> bool {
        self.assessment
            .groups
            .iter()
            .zip(met)
            .all(|(figures, met)| !met || figures.is_inside())
    }

    fn or(self, other: Self) -> Self {
        if other.assessment.badness() < self.assessment.badness() {
            other
        } else {
            self
        }
    }

    /// Leaves out groups whose limits no weights keep to, and names those the scale is too coarse for.
    fn kept_to_limits(
        mut self,
        problem: &Problem,
        plan: &Plan,
        point: &[f64],
        met: &[bool],
    ) -> Fitted {
        let mut too_coarse = Vec::new();
        for (group, figures) in self.assessment.groups.iter().enumerate() {
            let is_broken = figures.breaks_a_limit();
            if !is_broken && (figures.is_inside() || !met[group]) {
                continue;
            }
            if is_broken {
                self.weighed.groups[group] = WeighedGroup::default();
            }
            let columns = columns_of(&plan.groups[group]);
            let division = problem.division_for(columns.map(|column| point[column]).sum());
            too_coarse.push(TooCoarse {
                group,
                left_out: is_broken || figures.wet.get() == 0,
                would_do: would_do(problem, plan, point, (group, division)),
                division,
            });
        }
        Fitted {
            assessment: assess(problem, &self.weighed),
            weighed: self.weighed,
            too_coarse,
        }
    }
}

/// Whether a group is fed inside all its bounds at the point, to the tolerance of goals.
fn is_met(problem: &Problem, plan: &Plan, point: &[f64], group: usize) -> bool {
    let (kept, wanted) = (quantities(plan, point), problem.groups[group].dry_matter_kg);
    point[plan.groups[group].short] <= FED_WITHIN * wanted
        && rows_of(plan, group)
            .all(|row| plan.model.rows[row].above(&kept) <= GOAL_ZERO * wanted.max(1.0))
}

/// The coarsest finer division with which the group is inside.
fn would_do(
    problem: &Problem,
    plan: &Plan,
    point: &[f64],
    (group, division): (usize, Division),
) -> Option<Division> {
    division.finer().into_iter().find(|finer| {
        let mut trial = Problem {
            division: *finer,
            ..problem.clone()
        };
        trial.policy.small_scale = None;
        assess(&trial, &weigh(&trial, plan, point, &Fixed::new())).groups[group].is_inside()
    })
}

/// Rows a group's own weights can push out.
fn rows_of(plan: &Plan, of: usize) -> impl Iterator<Item = usize> {
    let is_of = move |requirement: &Requirement| match requirement {
        Requirement::Bound { group, .. }
        | Requirement::Volume { group }
        | Requirement::Cap { group, .. } => *group == of,
        _ => false,
    };
    let rows = plan.requirements.iter().enumerate();
    rows.filter(move |(_, requirement)| is_of(requirement))
        .map(|(row, _)| row)
}

/// What is drawn, bought and added at a point, without what softens rows.
fn quantities(plan: &Plan, point: &[f64]) -> Vec<f64> {
    let mut only = vec![0.0; point.len()];
    for column in plan.groups.iter().flat_map(columns_of) {
        only[column] = point[column];
    }
    only
}

fn columns_of(group: &GroupColumns) -> impl Iterator<Item = usize> {
    let parts = group
        .draws
        .iter()
        .chain(&group.bought)
        .map(|(_, column)| *column);
    parts.chain(group.water)
}

/// Adds a margin to each row that holds at the point and not with the weights; whether there was one.
fn tighten(plan: &Plan, tightened: &mut Plan, met: &[bool], weighed: &Weighed) -> bool {
    let now = as_columns(plan, weighed);
    let mut any = false;
    for (group, columns) in plan
        .groups
        .iter()
        .enumerate()
        .filter(|(group, _)| met[*group])
    {
        let feeding = &plan.model.rows[columns.feeding].terms;
        let dry: Vec<(usize, f64)> = feeding
            .iter()
            .copied()
            .filter(|(column, _)| *column != columns.short)
            .collect();
        let dry_kg: f64 = dry.iter().map(|(column, dry)| dry * now[*column]).sum();
        if dry_kg <= 0.0 {
            continue;
        }
        for row in rows_of(plan, group) {
            let pushed = plan.model.rows[row].above(&now);
            if pushed <= SAME_SHARE / 10.0 * dry_kg {
                continue;
            }
            any = true;
            let margin = MORE * pushed / dry_kg;
            let terms = &mut tightened.model.rows[row].terms;
            for (column, dry) in &dry {
                match terms.iter_mut().find(|(of, _)| of == column) {
                    Some((_, by)) => *by += margin * dry,
                    None => terms.push((*column, margin * dry)),
                }
            }
        }
    }
    any
}
