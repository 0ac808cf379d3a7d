use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::wire::Kg;
use crate::quantity::{Division, Grams};
use crate::stream::StreamId;
use crate::words::{Said, say};

use super::assess::GroupFigures;
use super::constraints::{Plan, build};
use super::eligible::{figures, held_back};
use super::fitted::{Fitted, fitted};
use super::goals::GOALS;
use super::ordered::{begun, ordered};
use super::patience::Waiting;
use super::problem::{Few, Group, Lot, Problem};
use super::rounding::{Weighed, WeighedGroup};
use super::tiers::Tiers;
use super::verdict::{MixVerdict, too_coarse, verdict_of};

/// Tonight's mix: what to take, what it comes to, what stays and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// What is proved.
    pub verdict: MixVerdict,
    /// The goals as proved before rounding; `None` when nothing is proved.
    pub tiers: Option<Tiers>,
    pub groups: Vec<GroupMix>,
    /// Lots no group may use.
    pub held_back: Vec<HeldBack>,
    /// What stays on hand.
    pub left: Vec<LeftOver>,
    /// Groups the scale is too coarse for, with the division that would do.
    pub too_coarse: Vec<Said>,
    /// What stands in for figures that are not known.
    pub guessed: Vec<Said>,
    /// What should be known when using the mix.
    pub notes: Vec<Said>,
}

/// One group's mix.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupMix {
    pub name: String,
    pub wanted_dm_kg: f64,
    /// What to take from which lot, oldest first within a stream.
    pub draws: Vec<DrawnLot>,
    /// What to buy.
    pub bought: Vec<(StreamId, Grams)>,
    pub water: Grams,
    /// Figures recomputed from the weights above.
    pub figures: GroupFigures,
    /// What the trays hold, litres, if that binds.
    pub volume_limit_l: Option<f64>,
    /// The division of the scale it is weighed on.
    pub division: Division,
}

impl GroupMix {
    /// Draws, purchases and water.
    #[must_use]
    pub fn lines(&self) -> usize {
        self.draws.len() + self.bought.len() + usize::from(self.water > Grams::ZERO)
    }

    /// Lines without those that empty a lot, which need no scale.
    #[must_use]
    pub fn weighed_lines(&self) -> usize {
        let emptied = self.draws.iter().filter(|draw| draw.empties);
        self.lines() - emptied.count()
    }
}

/// A draw from a lot.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawnLot {
    pub lot: String,
    pub stream: StreamId,
    /// Weight to take.
    #[serde(rename = "kg", with = "Kg")]
    pub grams: Grams,
    pub buckets: f64,
    /// All that is left of the lot after the groups before: nothing to weigh.
    pub empties: bool,
}

/// A lot that stays out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HeldBack {
    pub lot: String,
    /// Why.
    pub reason: Said,
}

/// Weight that stays on hand after the mix.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeftOver {
    pub lot: String,
    /// Its weight.
    #[serde(rename = "kg", with = "Kg")]
    pub grams: Grams,
}

/// Moisture from which a mix is likely to drip: forage that just lets water
/// go when squeezed holds 75-80 % (Government of Saskatchewan, determining
/// moisture content of forage: hand squeeze scale). Made for chopped forage.
const DRIPS_FROM: f64 = 0.75;

/// Proposes a mix. There is always an answer; its verdict says what it is worth.
#[must_use]
pub fn propose(problem: &Problem) -> Mix {
    let problem = in_order(problem);
    match ordered(&problem, build(&problem), &Waiting::default()) {
        Ok(found) => settle(&problem, &found.plan, found.tiers, &found.point),
        Err(unsolved) => stopped(&problem, unsolved.said(), None),
    }
}

/// Whether weights on the scale feed everyone inside every window. Later goals and
/// few lines cost nothing of that, and many times what it takes to know it.
pub(super) fn can_be_inside(problem: &Problem) -> bool {
    let mut problem = in_order(problem);
    problem.policy.few = None;
    begun(&problem, build(&problem)).is_ok_and(|begun| {
        let mix = settle(&problem, &begun.plan, begun.tiers(), &begun.run.walk.point);
        mix.verdict == MixVerdict::Inside
    })
}

/// The problem in the order the rows are written in: row order must not show,
/// not even in how sums are rounded. Where few lines are wanted, what is left
/// of a lot and too little to weigh stays out.
#[must_use]
pub fn in_order(problem: &Problem) -> Problem {
    let mut problem = problem.clone();
    problem.lots.sort_by(|a, b| {
        a.stream
            .cmp(&b.stream)
            .then(b.age_days.total_cmp(&a.age_days))
            .then_with(|| a.name.cmp(&b.name))
    });
    problem.purchases.sort_by(|a, b| a.stream.cmp(&b.stream));
    if problem.policy.few.is_some() {
        let division = problem.division;
        for lot in problem.lots.iter_mut().filter(|lot| lot.barred.is_none()) {
            lot.barred = Few::too_little(lot, division);
        }
    }
    problem
}

/// From a solved plan to weights on the sheet, every figure recomputed from them.
#[must_use]
pub fn settle(problem: &Problem, plan: &Plan, tiers: Tiers, point: &[f64]) -> Mix {
    mix_of(problem, tiers, fitted(problem, plan, point, true))
}

/// The mix of weights that go with proved goals.
pub(super) fn mix_of(problem: &Problem, tiers: Tiers, fitted: Fitted) -> Mix {
    let Fitted {
        weighed,
        assessment,
        too_coarse: coarse,
    } = fitted;
    if let Some(fault) = assessment.faults.first() {
        return stopped(problem, fault.clone(), Some(tiers));
    }
    let verdict = verdict_of(problem, &tiers, &assessment.groups);
    let mut groups: Vec<GroupMix> = problem
        .groups
        .iter()
        .zip(&weighed.groups)
        .zip(assessment.groups)
        .map(|((group, weights), figures)| group_mix(problem, group, weights, figures))
        .collect();
    mark_emptied(problem, &weighed, &mut groups);
    Mix {
        verdict,
        tiers: Some(tiers),
        left: left(problem, Some(&weighed)),
        held_back: told(problem, held_back(problem)),
        too_coarse: (coarse.iter())
            .map(|coarse| too_coarse(problem, coarse))
            .collect(),
        notes: drips(&groups).chain(not_proved(&tiers)).collect(),
        guessed: assumptions(problem, &weighed),
        groups,
    }
}

fn group_mix(
    problem: &Problem,
    group: &Group,
    weights: &WeighedGroup,
    figures: GroupFigures,
) -> GroupMix {
    GroupMix {
        name: group.name.clone(),
        wanted_dm_kg: group.dry_matter_kg,
        draws: weights
            .draws
            .iter()
            .map(|(lot, grams)| drawn(&problem.lots[*lot], *grams))
            .collect(),
        bought: weights
            .bought
            .iter()
            .map(|(item, grams)| (problem.purchases[*item].stream.clone(), *grams))
            .collect(),
        water: weights.water,
        division: problem.division_for(figures.wet.kg()),
        figures,
        volume_limit_l: group.volume.map(|volume| volume.get()),
    }
}

/// Marks the draws that empty their lot.
fn mark_emptied(problem: &Problem, weighed: &Weighed, groups: &mut [GroupMix]) {
    let emptying = weighed.emptying(problem);
    for (group, (mixed, weights)) in groups.iter_mut().zip(&weighed.groups).enumerate() {
        for (draw, (lot, _)) in mixed.draws.iter_mut().zip(&weights.draws) {
            draw.empties = emptying.contains(&(group, *lot));
        }
    }
}

/// The answer when no weights can be given.
#[must_use]
pub fn stopped(problem: &Problem, reason: Said, tiers: Option<Tiers>) -> Mix {
    Mix {
        verdict: MixVerdict::Stopped { reason },
        tiers,
        groups: Vec::new(),
        held_back: told(problem, held_back(problem)),
        left: left(problem, None),
        too_coarse: Vec::new(),
        guessed: Vec::new(),
        notes: Vec::new(),
    }
}

fn drawn(lot: &Lot, grams: Grams) -> DrawnLot {
    let buckets = grams.kg() / lot.on_hand.kg() * lot.buckets;
    DrawnLot {
        lot: lot.name.clone(),
        stream: lot.stream.clone(),
        grams,
        buckets,
        empties: false,
    }
}

fn told(problem: &Problem, held_back: Vec<(usize, Said)>) -> Vec<HeldBack> {
    held_back
        .into_iter()
        .map(|(lot, reason)| HeldBack {
            lot: problem.lots[lot].name.clone(),
            reason,
        })
        .collect()
}

fn left(problem: &Problem, weighed: Option<&Weighed>) -> Vec<LeftOver> {
    let mut rest: Vec<Grams> = problem.lots.iter().map(|lot| lot.on_hand).collect();
    for (lot, grams) in weighed
        .iter()
        .flat_map(|weighed| &weighed.groups)
        .flat_map(|group| &group.draws)
    {
        rest[*lot] -= *grams;
    }
    problem
        .lots
        .iter()
        .zip(rest)
        .filter(|(_, grams)| grams.get() > 0)
        .map(|(lot, grams)| LeftOver {
            lot: lot.name.clone(),
            grams,
        })
        .collect()
}

/// What was assumed, once for each assumption, with the streams and groups it is for.
fn assumptions(problem: &Problem, weighed: &Weighed) -> Vec<Said> {
    let mut told: BTreeMap<String, (Said, BTreeSet<&StreamId>, BTreeSet<&str>)> = BTreeMap::new();
    for (group, weights) in problem.groups.iter().zip(&weighed.groups) {
        let lots = weights
            .draws
            .iter()
            .map(|(lot, _)| (&problem.lots[*lot].stream, &problem.lots[*lot].composition));
        let bought = weights.bought.iter().map(|(item, _)| {
            (
                &problem.purchases[*item].stream,
                &problem.purchases[*item].composition,
            )
        });
        for (stream, composition) in lots.chain(bought) {
            let assumed = figures(composition, group).map(|figures| figures.assumed);
            for assumed in assumed.unwrap_or_default() {
                let one = told.entry(assumed.in_english());
                let (_, streams, groups) =
                    one.or_insert_with(|| (assumed, BTreeSet::new(), BTreeSet::new()));
                streams.insert(stream);
                groups.insert(&group.name);
            }
        }
    }
    told.into_values()
        .map(|(assumed, streams, groups)| {
            let streams = Said::joined(streams.into_iter().map(Said::from), ", ");
            let groups = Said::joined(groups.into_iter().map(Said::from), ", ");
            say!("mix-guessed", streams, groups, assumed)
        })
        .collect()
}

fn drips(groups: &[GroupMix]) -> impl Iterator<Item = Said> {
    groups.iter().filter_map(|group| {
        let moisture = group
            .figures
            .moisture
            .filter(|share| *share >= DRIPS_FROM)?;
        let pct = format!("{:.1}", moisture * 100.0);
        Some(say!("mix-may-drip", group = &group.name, pct))
    })
}

fn not_proved(tiers: &Tiers) -> Option<Said> {
    let goals = (0..GOALS).filter(|goal| tiers.unproved[*goal]);
    let goals = Said::joined(goals.map(|goal| say!("mix-goal", goal)), ", ");
    (!goals.is_empty()).then(|| say!("mix-not-proved", goals))
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::assess::Standing;
    use super::super::explain::PlainReason;
    use super::super::{Policy, Side, read_stock, read_targets};
    use super::*;
    use crate::quantity::{Decimal, Division, MassUnit};
    use crate::stream::{FlagLimits, Measure, SHIPPED_STREAMS, StreamTable};

    /// A night from tables, on a scale of 0.1 kg.
    pub(in super::super) fn problem(stock: &str, targets: &str) -> Problem {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let limits = FlagLimits {
            lignin_dm_pct: 12.0,
            carbon_to_nitrogen: 60.0,
            woody_fibre_dm_pct: 35.0,
            label: "our-default",
        };
        let targets = read_targets("targets.toml", targets, &streams).expect("targets");
        Problem {
            lots: read_stock("stock.csv", stock.as_bytes(), &streams, &limits).expect("stock"),
            purchases: targets.purchases,
            water_limit: targets.water_limit,
            groups: targets.groups,
            division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
                .expect("division"),
            spreads: None,
            policy: Policy::default(),
        }
    }

    #[test]
    fn the_example_night_is_fed_inside() {
        let problem = problem(
            include_str!("../../examples/one-night/stock.csv"),
            include_str!("../../examples/one-night/targets.toml"),
        );
        let mix = propose(&problem);
        assert_eq!(mix.verdict, MixVerdict::Inside, "{mix:#?}");
        for group in &mix.groups {
            assert!(
                group
                    .figures
                    .measures
                    .iter()
                    .all(|measure| measure.standing == Standing::Inside),
                "{group:#?}"
            );
            assert!(
                (group.figures.dry_matter_kg - group.wanted_dm_kg).abs() < 0.1,
                "{group:#?}"
            );
        }
        assert_eq!(
            mix.held_back
                .iter()
                .map(|held| held.lot.as_str())
                .collect::<Vec<_>>(),
            ["A8"]
        );
    }

    /// Common practice, no source: wet trim and spent grain alone are never
    /// answered with water; the excess shows as too wet.
    #[test]
    fn wet_stock_is_never_answered_with_water() {
        let header = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n";
        let stock = format!("{header}1,spent-grain,40,1,77,,\n2,lettuce-trim,30,1,,,\n");
        let targets = "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { max = 70.0, limit_max = 85.0 }\n[water]\nlimit_kg = 50.0\n";
        let mix = propose(&problem(&stock, targets));
        assert_eq!(mix.verdict, MixVerdict::Nearest);
        assert_eq!(mix.groups[0].water, Grams::ZERO);
        assert!(
            matches!(mix.groups[0].figures.measures[0].standing, Standing::Above(by) if (by - 0.07).abs() < 0.002),
            "{:?}",
            mix.groups[0].figures
        );
    }

    /// 4 g of water would bring the mix inside, but the scale shows 10 g: feed
    /// is worth more than a hair of moisture, and the sheet says it is out.
    #[test]
    fn rounding_never_starves_trays_for_a_hair() {
        let stock =
            "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n1,bread,20,1,56.2,,\n";
        let targets = "[group.g]\ndry_matter_kg = 0.7\n[group.g.window]\nmoisture_pct = { min = 56.3 }\n[water]\nlimit_kg = 0.005\n";
        let mut night = problem(stock, targets);
        night.division =
            Division::new(Decimal::parse("0.01").expect("number"), MassUnit::Kg).expect("division");
        let mix = propose(&night);
        assert_eq!(mix.groups[0].draws[0].grams, Grams::new(1_600));
        assert_eq!(mix.verdict, MixVerdict::Nearest);
        assert!(
            (mix.too_coarse[0].in_english()).contains("one that shows 5 g would do"),
            "{:?}",
            mix.too_coarse
        );
    }

    #[test]
    fn nothing_fits_says_why() {
        let header = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n";
        let targets = "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { limit_max = 80.0 }\n";
        let mix = propose(&problem(
            &format!("{header}2,lettuce-trim,30,1,,,\n"),
            targets,
        ));
        let beyond = |because: &[PlainReason]| matches!(because, [PlainReason::AllBeyond { measure: Measure::Moisture, side: Side::Most, bound, nearest, .. }] if (bound - 0.8).abs() < 1e-9 && nearest == "2");
        assert!(
            matches!(&mix.verdict, MixVerdict::Nothing { because } if beyond(because)),
            "{:?}",
            mix.verdict
        );
        let mix = propose(&problem(header, targets));
        let group = "g".to_owned();
        let because = vec![PlainReason::Nothing { group }];
        assert_eq!(mix.verdict, MixVerdict::Nothing { because });
    }
}
