//! What would cure a night that doesn't fit. Each cure is found by solving,
//! rounded to what can be weighed or said, then proposed anew and assessed on
//! its rounded weights; one that is not inside is not told.

use crate::quantity::{Grams, ShareAsFed};
use crate::stream::{Measure, StreamId};

use super::super::constraints::{Plan, build};
use super::super::model::Goal;
use super::super::problem::{Lot, Problem, Purchase};
use super::super::propose::{Mix, propose};
use super::super::requirement::Side;
use super::super::solve::solve;
use super::super::verdict::{GOAL_ZERO, MixVerdict};
use super::conflict::Conflict;
use super::strict::Demand;

/// A change that makes the night fit, and the mix it leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// What to do.
    pub what: Change,
    /// Money it takes on top; `None` when it takes none.
    pub money: Option<f64>,
    /// The mix it leads to, assessed.
    pub mix: Mix,
}

/// A change of the night.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Buy a stream.
    Buy {
        /// The stream.
        stream: StreamId,
        /// How much.
        grams: Grams,
        /// Price per kilogram.
        price_per_kg: f64,
    },
    /// Drain or press liquor off lots.
    Press {
        /// Lot, litres off the whole lot, its moisture after.
        lots: Vec<(String, f64, f64)>,
        /// Dry matter of the liquor that was reckoned with, a share.
        liquor_dry: f64,
    },
    /// Loosen windows.
    Loosen {
        /// What is loosened and to what share.
        windows: Vec<(Demand, f64)>,
    },
    /// Feed less dry matter.
    FeedLess {
        /// Group, dry matter wanted, dry matter that fits; kilograms.
        groups: Vec<(String, f64, f64)>,
    },
}

impl Change {
    /// What keeps all that was asked comes before what gives something up.
    fn rank(&self) -> u8 {
        match self {
            Self::Buy { .. } | Self::Press { .. } => 0,
            Self::Loosen { .. } => 1,
            Self::FeedLess { .. } => 2,
        }
    }
}

/// Dry matter of drained or pressed liquor to reckon with, a share (our default: 3 %).
pub const LIQUOR_DRY: f64 = 0.03;
/// Pressing is not reckoned below this moisture (our default).
const PRESSED_TO: f64 = 0.70;
/// Lots pressed at most, wettest kilograms of water first.
const PRESSED_MOST: usize = 6;
/// Purchases told at most.
const BOUGHT_MOST: usize = 3;
/// A single purchase is not looked for beyond this.
const BUY_MOST_KG: f64 = 5_000.0;

/// Cures, cheapest first; what gives something up comes after what doesn't.
pub(super) fn cures(
    problem: &Problem,
    nearest: &Mix,
    conflicts: &[Conflict],
    offers: &[Purchase],
    liquor_dry: f64,
) -> Vec<Cure> {
    let mut found = bought(problem, offers);
    found.extend(pressed(problem, conflicts, liquor_dry));
    found.extend(loosened(problem, nearest, conflicts));
    found.extend(fed_less(problem));
    found.sort_by(|a, b| {
        (a.what.rank().cmp(&b.what.rank()))
            .then(a.money.unwrap_or(0.0).total_cmp(&b.money.unwrap_or(0.0)))
    });
    found
}

/// The cure, if the changed night is inside once rounded and assessed.
fn proven(what: Change, money: Option<f64>, changed: &Problem) -> Option<Cure> {
    let mix = propose(changed);
    (mix.verdict == MixVerdict::Inside).then_some(Cure { what, money, mix })
}

/// Whether everyone can be fed inside every window, before rounding.
fn fits(problem: &Problem) -> bool {
    let plan = build(problem);
    let mut both = plan.shortage.terms.clone();
    both.extend(&plan.outside.terms);
    solve(&plan.model, &Goal::minimise(both)).is_ok_and(|optimum| optimum.value <= GOAL_ZERO)
}

/// The plan with shortage and excess forbidden.
fn without_excess(plan: &Plan, shortage_too: bool) -> super::super::model::Model {
    let mut model = plan.model.clone();
    let shortage = plan.shortage.terms.iter().filter(|_| shortage_too);
    for (column, _) in plan.outside.terms.iter().chain(shortage) {
        model.columns[*column].upper = 0.0;
    }
    model
}

/// The least kilograms of each offered stream that make everything fit: `min Σ b` with no shortage and no excess.
fn bought(problem: &Problem, offers: &[Purchase]) -> Vec<Cure> {
    let mut found: Vec<Cure> = offers
        .iter()
        .filter_map(|offer| {
            let with = |limit: Grams| {
                let mut changed = problem.clone();
                changed.purchases.retain(|old| old.stream != offer.stream);
                changed.purchases.push(Purchase {
                    limit,
                    ..offer.clone()
                });
                changed
            };
            let plenty = with(Grams::from_kg(BUY_MOST_KG)?);
            let plan = build(&plenty);
            let position = plenty.purchases.len() - 1;
            let terms = plan
                .groups
                .iter()
                .flat_map(|columns| &columns.bought)
                .filter(|(bought, _)| *bought == position)
                .map(|(_, column)| (*column, 1.0));
            let goal = Goal::minimise(terms.collect());
            if goal.terms.is_empty() {
                return None;
            }
            let kg = solve(&without_excess(&plan, true), &goal).ok()?.value;
            let steps = problem
                .division
                .steps_nearest(kg + 0.499 * problem.division.kg());
            (0..4).find_map(|more| {
                let grams = problem.division.grams(steps.max(1) + more);
                let what = Change::Buy {
                    stream: offer.stream.clone(),
                    grams,
                    price_per_kg: offer.price_per_kg,
                };
                proven(what, Some(grams.kg() * offer.price_per_kg), &with(grams))
            })
        })
        .collect();
    found.sort_by(|a, b| a.money.unwrap_or(0.0).total_cmp(&b.money.unwrap_or(0.0)));
    found.truncate(BOUGHT_MOST);
    found
}

/// A lot with `litres` of liquor off it: `dry' = dry − λ·y`, `kg' = kg − y` (liquor taken as 1 kg/L).
fn pressed_lot(lot: &Lot, litres: f64, liquor_dry: f64) -> Option<Lot> {
    let (kg, moisture) = (lot.on_hand.kg(), lot.composition.moisture?.get());
    let left = kg - litres;
    let dry = (1.0 - moisture) * kg - liquor_dry * litres;
    let after = ShareAsFed::from_pct((1.0 - dry / left) * 100.0).ok()?;
    let grams = Grams::from_kg(litres)?;
    let mut pressed = lot.clone();
    pressed.on_hand = lot.on_hand - grams;
    pressed.edible = (lot.edible - grams).max(Grams::ZERO);
    pressed.composition.moisture = Some(after);
    pressed.price_per_kg = lot.price_per_kg * kg / left;
    Some(pressed)
}

/// Drains the lots with most free water one after another, the last only as far as it must be.
fn pressed(problem: &Problem, conflicts: &[Conflict], liquor_dry: f64) -> Option<Cure> {
    let too_wet = conflicts
        .iter()
        .flat_map(|conflict| &conflict.demands)
        .any(|demand| {
            matches!(demand, Demand::Volume { .. })
                || matches!(
                    demand,
                    Demand::Bound {
                        measure: Measure::Moisture,
                        side: Side::Most,
                        ..
                    }
                )
        });
    if !too_wet {
        return None;
    }
    let most = |lot: &Lot| -> f64 {
        let moisture = lot.composition.moisture.map_or(0.0, |share| share.get());
        let litres = lot.edible.kg() * (moisture - PRESSED_TO) / (1.0 - liquor_dry - PRESSED_TO);
        (litres * 10.0).floor() / 10.0
    };
    let mut order: Vec<usize> = (0..problem.lots.len())
        .filter(|&lot| problem.lots[lot].barred.is_none() && most(&problem.lots[lot]) >= 0.1)
        .collect();
    order.sort_by(|&a, &b| most(&problem.lots[b]).total_cmp(&most(&problem.lots[a])));
    let mut changed = problem.clone();
    let mut done: Vec<(String, f64, f64)> = Vec::new();
    for lot in order.into_iter().take(PRESSED_MOST) {
        let at = |tenths: u32| {
            let mut trial = changed.clone();
            trial.lots[lot] =
                pressed_lot(&problem.lots[lot], f64::from(tenths) / 10.0, liquor_dry)?;
            Some(trial)
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "tenths of a litre of one lot, above zero"
        )]
        let whole = (most(&problem.lots[lot]) * 10.0).round() as u32;
        let told = |tenths: u32, trial: &Problem| {
            let moisture = trial.lots[lot].composition.moisture;
            (
                problem.lots[lot].name.clone(),
                f64::from(tenths) / 10.0,
                moisture.map_or(0.0, |share| share.get()),
            )
        };
        let Some(fully) = at(whole) else { continue };
        if !fits(&fully) {
            done.push(told(whole, &fully));
            changed = fully;
            continue;
        }
        let least = bisect(whole, |tenths| at(tenths).is_some_and(|trial| fits(&trial)));
        return (least..=whole).take(4).find_map(|tenths| {
            let trial = at(tenths)?;
            let mut lots = done.clone();
            lots.push(told(tenths, &trial));
            proven(Change::Press { lots, liquor_dry }, None, &trial)
        });
    }
    None
}

/// The least whole number up to `most` for which it holds, where it holds at `most`.
fn bisect(most: u32, holds: impl Fn(u32) -> bool) -> u32 {
    let (mut not, mut yes) = (0, most);
    while yes - not > 1 {
        let middle = not + (yes - not) / 2;
        if holds(middle) {
            yes = middle;
        } else {
            not = middle;
        }
    }
    yes
}

/// Each window of a conflict alone, as far as it must go and not beyond its limit; else all that are out together.
fn loosened(problem: &Problem, nearest: &Mix, conflicts: &[Conflict]) -> Vec<Cure> {
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
            Measure::Analyte(_) => 1.0,
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
        proven(Change::Loosen { windows }, None, &changed(tenths))
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
        match side {
            Side::Most => window.max = Some(to),
            Side::Least => window.min = Some(to),
        }
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
            let over = window.max.filter(|max| value > *max);
            let under = window.min.filter(|min| value < *min);
            let up = ((value * TENTHS).ceil() + more) / TENTHS;
            let down = ((value * TENTHS).floor() - more) / TENTHS;
            let sides = [
                (Side::Most, over, up.min(window.limit_max.unwrap_or(1.0))),
                (
                    Side::Least,
                    under,
                    down.max(window.limit_min.unwrap_or(0.0)),
                ),
            ];
            for (side, share, to) in sides {
                let Some(share) = share else { continue };
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
    proven(Change::Loosen { windows }, None, &changed)
}

/// The largest share of what each group wants that fits every window: `max t`
/// with `s_g ≤ (1 − t) D_g` and no excess, so that no group goes hungry for another.
fn fed_less(problem: &Problem) -> Option<Cure> {
    /// Less than this share of what was wanted is no feed.
    const WORTH_FEEDING: f64 = 0.05;
    let plan = build(problem);
    let mut model = without_excess(&plan, false);
    let share = model.column("share fed", 0.0, 1.0);
    for (group, columns) in problem.groups.iter().zip(&plan.groups) {
        let wanted = group.dry_matter_kg;
        model.at_most(
            format!("share of {}", group.name),
            vec![(columns.short, 1.0), (share, wanted)],
            wanted,
        );
    }
    let most = solve(&model, &Goal::maximise(vec![(share, 1.0)]))
        .ok()?
        .value;
    if !(WORTH_FEEDING..1.0 - WORTH_FEEDING / 10.0).contains(&most) {
        return None;
    }
    let mut changed = problem.clone();
    let mut groups = Vec::new();
    for group in &mut changed.groups {
        let wanted = group.dry_matter_kg;
        group.dry_matter_kg = (most * wanted * 100.0 + 1e-6).floor() / 100.0;
        groups.push((group.name.clone(), wanted, group.dry_matter_kg));
    }
    proven(Change::FeedLess { groups }, None, &changed)
}
