use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::blend::model::Goal;
use crate::blend::solve::{Unsolved, solve};
use crate::blend::{Composition, GOAL_SLACK};
use crate::quantity::Grams;
use crate::stream::{StreamId, StreamTable};

use super::foresee::{Foreseen, foresee};
use super::heed::{Checked, SAME};
use super::plan::{Batch, Outlook};
use super::rows::{Built, Draw, Source};
use super::ties::build;

/// How many larvae the stock and the arrivals carry, everyone fed and nothing outside.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Largest factor on all demand, on every night alike.
    pub factor: f64,
    /// What one stream more a week would add, the best first.
    pub raises: Vec<Raise>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Raise {
    pub stream: StreamId,
    /// Kilograms a week that were added, spread over the nights from tomorrow.
    pub kg_per_week: f64,
    /// The factor with them less the factor without.
    pub factor: f64,
}

/// How much more of a stream can come and be fed, nothing else spoiling for it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Intake {
    pub stream: StreamId,
    /// Kilograms a week, rounded down to whole ones.
    pub kg_per_week: f64,
    /// Whether the plan with that much more is as good, solved again.
    pub holds: bool,
}

/// Kilograms a week by which the worth of a stream is tried (our default).
const TRIED_KG: f64 = 10.0;
/// Age in days at which a load of the day is first fed (our default: it comes in
/// the morning and is fed in the evening).
pub const MORNING_TO_EVENING_DAYS: f64 = 0.5;

/// Fresh larvae a week, kilograms, from dry matter fed a week, kilograms, at a low
/// and a high conversion in per cent of dry matter fed.
///
/// `larvae = DM · conversion / 0.33`. Larvae 33.0 % dry matter: Nayak et al. 2025,
/// PLOS ONE 20:e0317049 (19.8 g of 60.0 g), second-hand.
pub fn fresh_larvae_kg(dm_kg: f64, (low_pct, high_pct): (f64, f64)) -> (f64, f64) {
    const LARVAE_DRY: f64 = 0.33;
    let of = |pct: f64| dm_kg * pct / 100.0 / LARVAE_DRY;
    (of(low_pct), of(high_pct))
}

/// Room to grow: the factor by an own solve, the worth of each stream by
/// solving again with 10 kg a week more of it.
pub fn room_to_grow(
    outlook: &Outlook,
    streams: &StreamTable,
    tried: &BTreeSet<StreamId>,
) -> Result<Room, Unsolved> {
    let factor = factor(outlook)?;
    let mut raises = Vec::new();
    for stream in tried {
        let nightly = TRIED_KG / 7.0;
        let Some(more) = with_more(outlook, streams, stream, nightly) else {
            continue;
        };
        raises.push(Raise {
            stream: stream.clone(),
            kg_per_week: TRIED_KG,
            factor: self::factor(&more)? - factor,
        });
    }
    raises.sort_by(|a, b| b.factor.total_cmp(&a.factor).then(a.stream.cmp(&b.stream)));
    Ok(Room { factor, raises })
}

fn factor(outlook: &Outlook) -> Result<f64, Unsolved> {
    let (model, goal, column) = build(outlook).plan.with_demand_scaled();
    Ok(solve(&model, &goal)?.point[column])
}

/// The outlook with a load of `nightly` kilograms of a stream each day from
/// tomorrow; `None` for a stream that is not in the table.
fn with_more(
    outlook: &Outlook,
    streams: &StreamTable,
    stream: &StreamId,
    nightly: f64,
) -> Option<Outlook> {
    let known = streams.get(stream)?;
    let grams = Grams::from_kg(nightly * (1.0 - known.inedible_share()))?;
    let mut more = outlook.clone();
    for first in 1..outlook.nights.len() {
        let name = format!("more {stream} {first}");
        let mut batch = Batch::of(name, stream, grams, Composition::of(known), first);
        batch.lot.age_days = MORNING_TO_EVENING_DAYS;
        batch.lot.keeps_days = known.keeps_days;
        more.batches.push(Batch {
            supplier: "more".to_owned(),
            expected: true,
            apart: true,
            ..batch
        });
    }
    Some(more)
}

/// How much more of `stream` can come each day from tomorrow, all of it fed
/// before it spoils, with the first three goals of `base` held.
///
/// `max y, Σ_τ x_tτ = y` for each day's load: all of it is fed within the plan, so
/// the figure is on the cautious side. Room for storage is seen to by the solve after it.
pub fn more_of(
    outlook: &Outlook,
    base: &Foreseen,
    streams: &StreamTable,
    stream: &StreamId,
) -> Result<Option<Intake>, Unsolved> {
    // More than all nights' dry matter at a moisture of 95 % could ever take.
    let most = 20.0 * outlook.dry_matter_kg();
    let Some(more) = with_more(outlook, streams, stream, most).filter(|_| most > 0.0) else {
        return Ok(None);
    };
    let mut built = build(&more);
    let own = outlook.batches.len();
    let is_more = |from: Source| from.batch().is_some_and(|index| index >= own);
    let extra = built.draws.iter().filter(|draw| is_more(draw.from));
    let extra: BTreeSet<usize> = extra.map(|draw| draw.column).collect();
    hold_goals(&mut built, base, &extra);
    let nightly = built.plan.model.column("more a night", 0.0, most);
    for index in own..more.batches.len() {
        let own = |draw: &&Draw| draw.from.batch() == Some(index);
        let draws = built.draws.iter().filter(own);
        let mut terms: Vec<(usize, f64)> = draws.map(|draw| (draw.column, 1.0)).collect();
        terms.push((nightly, -1.0));
        let name = format!("all of {}", more.batches[index].lot.name);
        built.plan.model.between(name, terms, 0.0, 0.0);
    }
    let best = solve(&built.plan.model, &Goal::maximise(vec![(nightly, 1.0)]))?;
    let edible = most / more.batches[own].lot.edible.kg().max(1e-9);
    let kg_per_week = (7.0 * best.point[nightly] * edible + 1e-6).floor();
    confirm(outlook, base, streams, stream, kg_per_week).map(Some)
}

/// Keeps the first three goals at what they are without the loads that `extra` draws from.
fn hold_goals(built: &mut Built, base: &Foreseen, extra: &BTreeSet<usize>) {
    let own = |goal: &Goal| -> Vec<(usize, f64)> {
        let own = goal.terms.iter();
        own.filter(|(column, _)| !extra.contains(column))
            .copied()
            .collect()
    };
    let slack = |value: f64| GOAL_SLACK * value.abs().max(1.0);
    let plan = &mut built.plan;
    let most = f64::INFINITY;
    let (short, outside, urgent) = (base.shortage, base.tiers.outside, base.tiers.urgent_kg);
    let rows = [
        (own(&plan.shortage), -most, short + slack(short)),
        (own(&plan.outside), -most, outside + slack(outside)),
        (own(&plan.urgent), urgent - slack(urgent), most),
    ];
    for (position, (terms, lower, upper)) in rows.into_iter().enumerate() {
        let name = format!("held goal {}", position + 1);
        plan.model.between(name, terms, lower, upper);
    }
}

/// Solves again with that much more coming, as a plan of its own.
fn confirm(
    outlook: &Outlook,
    base: &Foreseen,
    streams: &StreamTable,
    stream: &StreamId,
    kg_per_week: f64,
) -> Result<Intake, Unsolved> {
    let holds = match with_more(outlook, streams, stream, kg_per_week / 7.0) {
        Some(more) if kg_per_week > 0.0 => {
            let plan = foresee(&more)?;
            Checked::against(plan.goals(), base.goals()).holds
                && plan.tiers.urgent_kg >= base.tiers.urgent_kg - SAME
        }
        _ => true,
    };
    Ok(Intake {
        stream: stream.clone(),
        kg_per_week,
        holds,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: a room that gives 200 lb of larvae a week is
    /// rated 500 to 600 lb. At 70 % moisture its feed lies where the conversion of
    /// food waste (Gold et al. 2022) and of tomato pomace puts it, and the rating
    /// needs three times that.
    #[test]
    fn a_room_of_two_hundred_pounds_a_week() {
        const LB: f64 = 0.453_592_37;
        let fresh_larvae_kg = |dm_kg| fresh_larvae_kg(dm_kg, (13.2, 21.6));
        let feed_lb = 1_300.0;
        let dm_kg = feed_lb * LB * 0.30;
        let (low, high) = fresh_larvae_kg(dm_kg);
        assert!(low / LB < 200.0 && 200.0 < high / LB, "{low} {high}");
        let (low, high) = fresh_larvae_kg(3.0 * dm_kg);
        assert!(low / LB < 500.0 && 600.0 < high / LB, "{low} {high}");
    }
}
