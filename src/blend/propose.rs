use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};

use super::assess::{GroupFigures, Standing, assess};
use super::constraints::build;
use super::eligible::{figures, held_back};
use super::problem::{Group, Lot, Problem};
use super::rounding::{Weighed, weigh};
use super::tiers::{Tiers, goals_in_order};

/// Tonight's mix: what to take, what it comes to, what stays and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// What is proved.
    pub verdict: MixVerdict,
    /// The four goals as proved before rounding; `None` when nothing is proved.
    pub tiers: Option<Tiers>,
    /// One for each feed group.
    pub groups: Vec<GroupMix>,
    /// Lots no group may use.
    pub held_back: Vec<HeldBack>,
    /// What stays on hand.
    pub left: Vec<LeftOver>,
    /// What should be known when using the mix.
    pub notes: Vec<String>,
}

/// What is proved about a mix, and what staff should do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MixVerdict {
    /// Everyone is fed inside every window: mix and feed.
    Inside,
    /// Not everything can be met; this is the nearest mix. Read what is out before feeding.
    Nearest,
    /// Even the hard limits admit no feed from what is there: don't feed this stock.
    Nothing {
        /// Why.
        reason: String,
    },
    /// No engine gave an answer that could be verified. Nothing is proved: feed by judgement and report it.
    Stopped {
        /// What happened.
        reason: String,
    },
}

impl MixVerdict {
    /// The word used in JSON and on the sheet.
    #[must_use]
    pub const fn as_str(&self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Nearest => "nearest",
            Self::Nothing { .. } => "none",
            Self::Stopped { .. } => "stopped",
        }
    }
}

/// One group's mix.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupMix {
    /// The group.
    pub name: String,
    /// Dry matter wanted, kilograms.
    pub wanted_dm_kg: f64,
    /// What to take from which lot, oldest first within a stream.
    pub draws: Vec<DrawnLot>,
    /// What to buy.
    pub bought: Vec<(StreamId, Grams)>,
    /// Water to add.
    pub water: Grams,
    /// Figures recomputed from the weights above.
    pub figures: GroupFigures,
    /// What the trays hold, litres, if that binds.
    pub volume_limit_l: Option<f64>,
}

/// A draw from a lot.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLot {
    /// The lot.
    pub lot: String,
    /// Its stream.
    pub stream: StreamId,
    /// Weight to take.
    pub grams: Grams,
    /// The same in buckets of that lot.
    pub buckets: f64,
}

/// A lot that stays out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldBack {
    /// The lot.
    pub lot: String,
    /// Why.
    pub reason: String,
}

/// Weight that stays on hand after the mix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOver {
    /// The lot.
    pub lot: String,
    /// Its weight.
    pub grams: Grams,
}

/// Both goals count as zero within this.
const GOAL_ZERO: f64 = 1e-6;
/// Moisture from which a mix is likely to drip: forage that just lets water
/// go when squeezed holds 75-80 % (Government of Saskatchewan, determining
/// moisture content of forage: hand squeeze scale). Made for chopped forage.
const DRIPS_FROM: f64 = 0.75;

/// Proposes a mix. There is always an answer; its verdict says what it is worth.
#[must_use]
pub fn propose(problem: &Problem) -> Mix {
    // Row order must not show, not even in how sums are rounded.
    let mut problem = problem.clone();
    problem.lots.sort_by(|a, b| {
        a.stream
            .cmp(&b.stream)
            .then(b.age_days.total_cmp(&a.age_days))
            .then_with(|| a.name.cmp(&b.name))
    });
    problem.purchases.sort_by(|a, b| a.stream.cmp(&b.stream));
    let plan = build(&problem);
    let held_back = held_back(&problem);
    let (verdict, tiers, weighed) = match goals_in_order(&plan) {
        Ok((tiers, point)) => {
            let weighed = weigh(&problem, &plan, &point);
            (verdict_of(&problem, &tiers, &weighed), Some(tiers), weighed)
        }
        Err(unsolved) => {
            let nothing = Weighed {
                groups: vec![Default::default(); problem.groups.len()],
            };
            (
                MixVerdict::Stopped {
                    reason: unsolved.to_string(),
                },
                None,
                nothing,
            )
        }
    };
    let assessment = assess(&problem, &weighed);
    if let Some(fault) = assessment.faults.first().or_else(|| {
        assessment
            .groups
            .iter()
            .find_map(|group| group.faults.first())
    }) {
        let reason = format!("the rounded weights break a limit: {fault}");
        return Mix {
            verdict: MixVerdict::Stopped { reason },
            tiers,
            groups: Vec::new(),
            held_back: told(&problem, held_back),
            left: left(&problem, None),
            notes: Vec::new(),
        };
    }
    let groups: Vec<GroupMix> = problem
        .groups
        .iter()
        .zip(&weighed.groups)
        .zip(assessment.groups)
        .map(|((group, weights), figures)| GroupMix {
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
            figures,
            volume_limit_l: group.volume.map(|volume| volume.get()),
        })
        .collect();
    let notes = notes(&problem, &weighed, &groups);
    Mix {
        verdict,
        tiers,
        left: left(&problem, Some(&weighed)),
        held_back: told(&problem, held_back),
        groups,
        notes,
    }
}

fn drawn(lot: &Lot, grams: Grams) -> DrawnLot {
    let buckets = grams.kg() / lot.on_hand.kg() * lot.buckets;
    DrawnLot {
        lot: lot.name.clone(),
        stream: lot.stream.clone(),
        grams,
        buckets,
    }
}

fn told(problem: &Problem, held_back: Vec<(usize, String)>) -> Vec<HeldBack> {
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

fn verdict_of(problem: &Problem, tiers: &Tiers, weighed: &Weighed) -> MixVerdict {
    let wanted: f64 = problem.groups.iter().map(|group| group.dry_matter_kg).sum();
    let anything = weighed
        .groups
        .iter()
        .any(|group| !group.draws.is_empty() || !group.bought.is_empty());
    if !anything {
        let reason = if wanted - tiers.short_dm_kg > GOAL_ZERO {
            "the mix would weigh less than the scale can show".to_owned()
        } else {
            nothing_because(problem)
        };
        return MixVerdict::Nothing { reason };
    }
    let short_share: f64 = tiers.short_dm_kg / wanted;
    if short_share <= GOAL_ZERO && tiers.outside <= GOAL_ZERO {
        MixVerdict::Inside
    } else {
        MixVerdict::Nearest
    }
}

/// The plainest true reason why no kilogram can be fed.
fn nothing_because(problem: &Problem) -> String {
    let may_enter = |group: &Group| {
        let lots = problem
            .lots
            .iter()
            .filter(|lot| lot.barred.is_none() && lot.edible.get() > 0)
            .map(|lot| &lot.composition);
        let bought = problem
            .purchases
            .iter()
            .filter(|purchase| purchase.limit.get() > 0)
            .map(|purchase| &purchase.composition);
        lots.chain(bought)
            .filter_map(|composition| figures(composition, group).ok())
            .collect::<Vec<_>>()
    };
    let mut reasons = BTreeSet::new();
    for group in &problem.groups {
        let parts = may_enter(group);
        if parts.is_empty() {
            reasons.insert(format!("nothing in stock may be fed to `{}`", group.name));
            continue;
        }
        let mut analyte = 0;
        for (measure, window) in &group.windows {
            let values: Vec<f64> = match measure {
                Measure::Moisture => parts.iter().map(|part| part.moisture).collect(),
                Measure::Analyte(_) => {
                    analyte += 1;
                    parts
                        .iter()
                        .map(|part| part.analytes[analyte - 1])
                        .collect()
                }
            };
            let (least, most) = (
                values.iter().copied().fold(f64::INFINITY, f64::min),
                values.iter().copied().fold(0.0, f64::max),
            );
            let (pct, word) = (
                |share: f64| share * 100.0,
                if *measure == Measure::Moisture {
                    "wetter"
                } else {
                    "richer"
                },
            );
            if let Some(limit) = window.limit_max.filter(|limit| least > *limit) {
                reasons.insert(format!("everything that may be fed to `{}` is {word} than its {measure} limit of {:.1} % (the least has {:.1} %)", group.name, pct(limit), pct(least)));
            }
            let word = if *measure == Measure::Moisture {
                "drier"
            } else {
                "poorer"
            };
            let water_helps = *measure == Measure::Moisture && problem.water_limit.get() > 0;
            if let Some(limit) = window
                .limit_min
                .filter(|limit| most < *limit && !water_helps)
            {
                reasons.insert(format!("everything that may be fed to `{}` is {word} than its {measure} limit of {:.1} % (the most has {:.1} %)", group.name, pct(limit), pct(most)));
            }
        }
    }
    if reasons.is_empty() {
        return "the hard limits can't hold together with what is in stock".to_owned();
    }
    reasons.into_iter().collect::<Vec<_>>().join("; ")
}

/// What was assumed, once for each assumption, with the streams and groups it is for.
fn assumptions(problem: &Problem, weighed: &Weighed) -> Vec<String> {
    let mut told: BTreeMap<String, (BTreeSet<&str>, BTreeSet<&str>)> = BTreeMap::new();
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
            for assumed in figures(composition, group)
                .map(|figures| figures.assumed)
                .unwrap_or_default()
            {
                let (streams, groups) = told.entry(assumed).or_default();
                streams.insert(stream.as_str());
                groups.insert(&group.name);
            }
        }
    }
    told.into_iter()
        .map(|(assumed, (streams, groups))| {
            let list = |names: BTreeSet<&str>| names.into_iter().collect::<Vec<_>>().join(", ");
            format!(
                "assumed for {} in {}: {assumed} (unknown in the table)",
                list(streams),
                list(groups)
            )
        })
        .collect()
}

fn notes(problem: &Problem, weighed: &Weighed, groups: &[GroupMix]) -> Vec<String> {
    let mut notes = assumptions(problem, weighed);
    for group in groups {
        if group
            .figures
            .moisture
            .is_some_and(|moisture| moisture >= DRIPS_FROM)
        {
            notes.push(format!("`{}` is likely to drip: moisture {:.1} %, and from about 75 % a handful lets water go when squeezed", group.name, group.figures.moisture.unwrap_or_default() * 100.0));
        }
        for measure in &group.figures.measures {
            if measure.standing == Standing::WithinDivision {
                notes.push(format!("`{}`: {} is on the edge of its window, within what one scale division can explain", group.name, measure.measure));
            }
        }
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::super::{read_stock, read_targets};
    use super::*;
    use crate::quantity::{Decimal, Division, MassUnit};
    use crate::stream::{FlagLimits, SHIPPED_STREAMS, StreamTable};

    fn problem(stock: &str, targets: &str) -> Problem {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let limits = FlagLimits {
            lignin_dm_pct: 12.0,
            carbon_to_nitrogen: 60.0,
            woody_fibre_dm_pct: 35.0,
            label: "our default",
        };
        let targets = read_targets("targets.toml", targets, &streams).expect("targets");
        Problem {
            lots: read_stock("stock.csv", stock.as_bytes(), &streams, &limits).expect("stock"),
            purchases: targets.purchases,
            water_limit: targets.water_limit,
            groups: targets.groups,
            division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
                .expect("division"),
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

    #[test]
    fn nothing_fits_says_why() {
        let header = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n";
        let targets = "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { limit_max = 80.0 }\n";
        let mix = propose(&problem(
            &format!("{header}2,lettuce-trim,30,1,,,\n"),
            targets,
        ));
        assert!(
            matches!(&mix.verdict, MixVerdict::Nothing { reason } if reason.contains("wetter than its moisture limit of 80.0 %")),
            "{:?}",
            mix.verdict
        );
        let mix = propose(&problem(header, targets));
        assert!(
            matches!(&mix.verdict, MixVerdict::Nothing { reason } if reason.contains("nothing in stock")),
            "{:?}",
            mix.verdict
        );
    }
}
