//! What would cure a night that doesn't fit. Each cure is found by solving,
//! rounded to what can be weighed or said, then solved for feed and windows and
//! assessed on its rounded weights; one that is not inside is not told.

use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::say;

use super::super::chain::best_alone;
use super::super::constraints::{Plan, build};
use super::super::model::Goal;
use super::super::patience::Waiting;
use super::super::problem::{Problem, Purchase};
use super::super::propose::{Mix, can_be_inside};
use super::super::solve::solve;
use super::super::tolerance::GOAL_ZERO;
use super::WhyAsked;
use super::conflict::Conflict;
use super::loosen::loosened;
use super::press::pressed;
use super::roomier::{roomier, tested, watered};
use super::strict::Demand;

/// A change that makes the night fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    pub what: Change,
    /// Money it takes on top; `None` when it takes none.
    pub money: Option<f64>,
    /// The night with the change made.
    pub night: Problem,
}

impl Cure {
    /// What it costs, for putting cures in order: a purchase nobody priced
    /// comes after those that are, and what is not bought costs nothing.
    fn price(&self) -> f64 {
        let unpriced = matches!(
            self.what,
            Change::Buy {
                price_per_kg: None,
                ..
            }
        );
        let none = if unpriced { f64::INFINITY } else { 0.0 };
        self.money.unwrap_or(none)
    }
}

/// What a cure may buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// The purchase; a price nobody said stands as nought in it.
    pub purchase: Purchase,
    /// Whether its price is known.
    pub is_priced: bool,
}

impl From<Purchase> for Offered {
    fn from(purchase: Purchase) -> Self {
        Self {
            purchase,
            is_priced: true,
        }
    }
}

/// A change of the night.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    Buy {
        stream: StreamId,
        grams: Grams,
        /// Price per kilogram; `None` when nobody said it.
        price_per_kg: Option<f64>,
    },
    /// Drain or press liquor off lots.
    Press {
        /// Lot, litres off the whole lot, its moisture after.
        lots: Vec<(String, f64, f64)>,
        /// Dry matter of the liquor that was reckoned with, a share.
        liquor_dry: f64,
    },
    /// Add tap water.
    Water { grams: Grams },
    /// More trays for a group, or two meals.
    Room {
        group: String,
        /// Litres its trays hold.
        from_l: f64,
        /// Litres they must hold.
        to_l: f64,
    },
    /// Test the moisture of a lot: at this or beyond it all fits.
    Test {
        lot: String,
        stream: StreamId,
        /// Whether it must be drier, else wetter.
        drier: bool,
        /// The moisture, a share.
        moisture: f64,
    },
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
            Self::Room { .. } | Self::Buy { .. } | Self::Press { .. } | Self::Water { .. } => 0,
            Self::Test { .. } => 1,
            Self::Loosen { .. } => 2,
            Self::FeedLess { .. } => 3,
        }
    }
}

/// Dry matter of drained or pressed liquor to reckon with, a share (our default: 3 %).
pub const LIQUOR_DRY: f64 = 0.03;
/// Purchases told at most.
const BOUGHT_MOST: usize = 3;
/// What one delivery may hold, where nobody said (our default).
pub(super) const DELIVERY_KG: f64 = 500.0;
/// A change below this share of a group's weight is not worth a walk (our default).
const WORTH_SHARE: f64 = 0.01;

/// Cures, cheapest first; what gives something up comes after what doesn't.
pub(super) fn cures(
    problem: &Problem,
    nearest: &Mix,
    conflicts: &[Conflict],
    asked: &WhyAsked,
    waiting: &Waiting,
) -> Vec<Cure> {
    let least = worth_doing(problem, nearest);
    let dry = asked.liquor_dry;
    let ways: [&dyn Fn() -> Vec<Cure>; 7] = [
        &|| roomier(problem, conflicts),
        &|| Vec::from_iter(watered(problem, least)),
        &|| Vec::from_iter(bought(problem, &asked.offers, least)),
        &|| Vec::from_iter(pressed(problem, conflicts, dry, least)),
        &|| Vec::from_iter(tested(problem, nearest)),
        &|| Vec::from_iter(loosened(problem, nearest, conflicts)),
        &|| Vec::from_iter(fed_less(problem, conflicts)),
    ];
    let in_time = |_: &&&dyn Fn() -> Vec<Cure>| waiting.goes_on(|| say!("undone-cures"));
    let mut found: Vec<Cure> = (ways.iter().take_while(in_time))
        .flat_map(|way| way())
        .collect();
    found.sort_by(|a, b| (a.what.rank().cmp(&b.what.rank())).then(a.price().total_cmp(&b.price())));
    found
}

/// The least that is worth doing, kilograms: a scale division, and a share of
/// the smallest group's weight.
fn worth_doing(problem: &Problem, nearest: &Mix) -> f64 {
    let fed = nearest.groups.iter().map(|group| group.figures.wet.kg());
    let smallest = fed.filter(|kg| *kg > 0.0).reduce(f64::min);
    problem
        .division
        .kg()
        .max(WORTH_SHARE * smallest.unwrap_or(0.0))
}

/// The cure, if the changed night can be inside once rounded and assessed.
pub(super) fn proven(what: Change, money: Option<f64>, night: Problem) -> Option<Cure> {
    can_be_inside(&night).then_some(Cure { what, money, night })
}

/// Whether everyone can be fed inside every window, before rounding.
pub(super) fn fits(problem: &Problem) -> bool {
    let plan = build(problem);
    let mut both = plan.shortage.terms.clone();
    both.extend(&plan.outside.terms);
    best_alone(&plan.model, &Goal::minimise(both)).is_ok_and(|optimum| optimum.value <= GOAL_ZERO)
}

/// The least whole number up to `most` for which it holds, where it holds at `most`.
pub(super) fn bisect(most: u32, holds: impl Fn(u32) -> bool) -> u32 {
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

/// The plan with shortage and excess forbidden.
pub(super) fn without_excess(plan: &Plan, shortage_too: bool) -> super::super::model::Model {
    let mut model = plan.model.clone();
    let shortage = plan.shortage.terms.iter().filter(|_| shortage_too);
    for (column, _) in plan.outside.terms.iter().chain(shortage) {
        model.columns[*column].upper = 0.0;
    }
    model
}

/// The least kilograms of each offered stream that make everything fit: `min Σ b` with no shortage and no excess.
fn bought(problem: &Problem, offers: &[Offered], least_kg: f64) -> Vec<Cure> {
    let mut found: Vec<Cure> = offers
        .iter()
        .filter_map(|offered| {
            let offer = &offered.purchase;
            let price_per_kg = offered.is_priced.then_some(offer.price_per_kg);
            let with = |limit: Grams| {
                let mut changed = problem.clone();
                changed.purchases.retain(|old| old.stream != offer.stream);
                changed.purchases.push(Purchase {
                    limit,
                    ..offer.clone()
                });
                changed
            };
            // What was said of tonight's purchase is the most there is.
            let most = if offer.limit.get() > 0 {
                offer.limit
            } else {
                Grams::from_kg(DELIVERY_KG)?
            };
            let plenty = with(most);
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
            if at_least(problem, kg, 0).kg() < least_kg {
                return None;
            }
            (0..4).find_map(|more| {
                let grams = at_least(problem, kg, more);
                if grams > most {
                    return None;
                }
                let what = Change::Buy {
                    stream: offer.stream.clone(),
                    grams,
                    price_per_kg,
                };
                let money = price_per_kg.map(|price| grams.kg() * price);
                proven(what, money, with(grams))
            })
        })
        .collect();
    found.sort_by(|a, b| {
        let weight = |cure: &Cure| match cure.what {
            Change::Buy { grams, .. } => grams,
            _ => Grams::ZERO,
        };
        (a.price().total_cmp(&b.price())).then(weight(a).cmp(&weight(b)))
    });
    found.truncate(BOUGHT_MOST);
    found
}

/// A weight the scale shows that is at least so much, and a few divisions more.
pub(super) fn at_least(problem: &Problem, kg: f64, more: i64) -> Grams {
    let steps = problem
        .division
        .steps_nearest(kg + 0.499 * problem.division.kg());
    problem.division.grams(steps.max(1) + more)
}

/// The largest share of what each group wants that fits every window: `max t`
/// with `s_g ≤ (1 − t) D_g` and no excess, so that no group goes hungry for another.
/// Groups that no conflict names keep all they want.
fn fed_less(problem: &Problem, conflicts: &[Conflict]) -> Option<Cure> {
    /// Less than this share of what was wanted is no feed.
    const WORTH_FEEDING: f64 = 0.05;
    let plan = build(problem);
    let mut model = without_excess(&plan, false);
    let share = model.column("share fed", 0.0, 1.0);
    let named = |name: &str| {
        let demands = conflicts.iter().flat_map(|conflict| &conflict.demands);
        demands
            .into_iter()
            .any(|demand| matches!(demand, Demand::Feed { group, .. } if group == name))
    };
    for (group, columns) in problem.groups.iter().zip(&plan.groups) {
        let wanted = group.dry_matter_kg;
        if !named(&group.name) {
            model.columns[columns.short].upper = 0.0;
            continue;
        }
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
    for group in changed.groups.iter_mut().filter(|group| named(&group.name)) {
        let wanted = group.dry_matter_kg;
        group.dry_matter_kg = (most * wanted * 100.0 + 1e-6).floor() / 100.0;
        groups.push((group.name.clone(), wanted, group.dry_matter_kg));
    }
    proven(Change::FeedLess { groups }, None, changed)
}
