use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use schemars::JsonSchema;
use serde::Serialize;

use crate::blend::model::Goal;
use crate::blend::solve::Unsolved;
use crate::blend::{GOAL_SLACK, Walk};
use crate::quantity::Grams;
use crate::stream::{AgeLimits, StreamId, StreamTable};

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

/// What streams are made of, and how many keeping times they may be used.
type Known<'a> = (&'a StreamTable, &'a AgeLimits);

/// Kilograms a week by which the worth of a stream is tried (our default).
const TRIED_KG: f64 = 10.0;

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
/// solving again with 10 kg a week more of it. All their loads stand in one
/// model, so that each solve goes on from the corner of the one before.
pub fn room_to_grow(
    outlook: &Outlook,
    known: Known<'_>,
    tried: &BTreeSet<StreamId>,
) -> Result<Room, Unsolved> {
    let (more, loads) = with_loads(outlook, known, tried, TRIED_KG / 7.0);
    let built = build(&more);
    let (model, goal, column) = built.plan.with_demand_scaled();
    let nothing = vec![0.0; model.columns.len()];
    let mut walk = Walk::new(model, nothing);
    // What does not come is not drawn, and takes no room.
    let come = |walk: &mut Walk, loads: &Range<usize>, comes: bool| {
        for draw in &built.draws {
            if let Some(index) = draw.from.batch().filter(|index| loads.contains(index)) {
                let kg = built.pool_kg(&more, index);
                walk.bound(draw.column, 0.0, if comes { kg } else { 0.0 });
            }
        }
        for (index, away) in built.turned_away.range(loads.clone()) {
            let kg = built.pool_kg(&more, *index);
            walk.bound(*away, if comes { 0.0 } else { kg }, kg);
        }
    };
    for (_, loads) in &loads {
        come(&mut walk, loads, false);
    }
    let factor = walk.best_from_here(&goal)?.point[column];
    let mut raises = Vec::new();
    for (stream, loads) in loads {
        come(&mut walk, &loads, true);
        raises.push(Raise {
            stream,
            kg_per_week: TRIED_KG,
            factor: walk.best_from_here(&goal)?.point[column] - factor,
        });
        come(&mut walk, &loads, false);
    }
    // Factors that differ by a solver's hair are one.
    let hairs = |raise: &Raise| (raise.factor / GOAL_SLACK).round();
    raises.sort_by(|a, b| hairs(b).total_cmp(&hairs(a)).then(a.stream.cmp(&b.stream)));
    Ok(Room { factor, raises })
}

/// The outlook with loads of each of these streams, as [`with_more`], and which
/// batches those are.
fn with_loads<'a>(
    outlook: &Outlook,
    known: Known<'_>,
    streams: impl IntoIterator<Item = &'a StreamId>,
    nightly: f64,
) -> (Outlook, Vec<(StreamId, Range<usize>)>) {
    let (mut all, mut loads) = (outlook.clone(), Vec::new());
    for stream in streams {
        let begin = all.batches.len();
        if let Some(more) = with_more(&all, known, stream, nightly) {
            loads.push((stream.clone(), begin..more.batches.len()));
            all = more;
        }
    }
    (all, loads)
}

/// The outlook with a load of `nightly` kilograms of a stream each day from
/// tomorrow; `None` for a stream that is not in the table.
fn with_more(
    outlook: &Outlook,
    (streams, ages): Known<'_>,
    stream: &StreamId,
    nightly: f64,
) -> Option<Outlook> {
    let stream = streams.get(stream)?;
    let load = Grams::from_kg(nightly)?;
    let mut more = outlook.clone();
    for first in 1..outlook.nights.len() {
        let name = format!("more {} {first}", stream.id.as_str());
        more.batches.push(Batch {
            supplier: "more".to_owned(),
            apart: true,
            ..Batch::to_come(name, stream, load, ages, first)
        });
    }
    Some(more)
}

/// How much more of a stream can come each day from tomorrow, all of it fed
/// before it spoils, with the first three goals of `base` held.
///
/// `max y, Σ_τ x_tτ = y` for each day's load: all of it is fed within the plan, so
/// the figure is on the cautious side. Room for storage is seen to by the solve after it.
/// All streams stand in one model; those not asked about have `y = 0`.
pub struct MoreOf<'a> {
    outlook: &'a Outlook,
    base: &'a Foreseen,
    known: Known<'a>,
    /// More of any than all nights could ever take, kilograms a night.
    most: f64,
    walk: Walk,
    /// The column of `y`, and its share that is fed, by stream.
    nightly: BTreeMap<StreamId, (usize, f64)>,
}

impl<'a> MoreOf<'a> {
    /// Ready to ask about each of these streams.
    pub fn new<'b>(
        outlook: &'a Outlook,
        base: &'a Foreseen,
        known: Known<'a>,
        streams: impl IntoIterator<Item = &'b StreamId>,
    ) -> Self {
        // More than all nights' dry matter at a moisture of 95 % could ever take.
        let most = 20.0 * outlook.dry_matter_kg();
        let (more, mut loads) = with_loads(outlook, known, streams, most);
        loads.retain(|(_, loads)| most > 0.0 && !loads.is_empty());
        let mut built = build(&more);
        let own = outlook.batches.len();
        let is_more = |from: Source| from.batch().is_some_and(|index| index >= own);
        let extra = built.draws.iter().filter(|draw| is_more(draw.from));
        let extra: BTreeSet<usize> = extra.map(|draw| draw.column).collect();
        hold_goals(&mut built, base, &extra);
        let mut nightly = BTreeMap::new();
        for (stream, loads) in loads {
            let column = built.plan.model.column("more a night", 0.0, 0.0);
            let edible_kg = more.batches[loads.start].lot.edible.kg();
            nightly.insert(stream, (column, edible_kg.max(1e-9) / most));
            for index in loads {
                let own = |draw: &&Draw| draw.from.batch() == Some(index);
                let draws = built.draws.iter().filter(own);
                let mut terms: Vec<(usize, f64)> = draws.map(|draw| (draw.column, 1.0)).collect();
                terms.push((column, -1.0));
                let name = format!("all of {}", more.batches[index].lot.name);
                built.plan.model.between(name, terms, 0.0, 0.0);
            }
        }
        let nothing = vec![0.0; built.plan.model.columns.len()];
        Self {
            outlook,
            base,
            known,
            most,
            walk: Walk::new(built.plan.model, nothing),
            nightly,
        }
    }

    /// `None` for a stream that is not in the table, or where no night follows.
    pub fn of(&mut self, stream: &StreamId) -> Result<Option<Intake>, Unsolved> {
        let Some(&(column, edible)) = self.nightly.get(stream) else {
            return Ok(None);
        };
        self.walk.bound(column, 0.0, self.most);
        let goal = Goal::maximise(vec![(column, 1.0)]);
        let best = self.walk.best_from_here(&goal)?.point[column];
        self.walk.bound(column, 0.0, 0.0);
        let kg_per_week = (7.0 * best / edible + 1e-6).floor();
        confirm(self.outlook, self.base, self.known, stream, kg_per_week).map(Some)
    }
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
    known: Known<'_>,
    stream: &StreamId,
    kg_per_week: f64,
) -> Result<Intake, Unsolved> {
    let holds = match with_more(outlook, known, stream, kg_per_week / 7.0) {
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
    use crate::larvae::{SHIPPED_STAGES, StageTable};
    use crate::outlook::{NightAhead, Storage};
    use crate::quantity::{Decimal, Division, MassUnit};
    use crate::stream::SHIPPED_STREAMS;

    #[test]
    fn more_fish_is_held_to_its_own_keeping_times_and_its_bones_are_not_drawn() {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let ages = StageTable::read("stages.toml", SHIPPED_STAGES)
            .expect("stages")
            .ages;
        let first: jiff::civil::Date = "2026-11-25".parse().expect("a day");
        let nights = first.series(jiff::ToSpan::days(1)).take(4);
        let plan = Outlook {
            nights: nights
                .map(|day| NightAhead {
                    day,
                    groups: Vec::new(),
                    larvae: 0,
                })
                .collect(),
            batches: Vec::new(),
            offers: Vec::new(),
            water_limit: Grams::ZERO,
            division: Division::new(Decimal::parse("0.1").expect("a number"), MassUnit::Kg)
                .expect("a division"),
            cold: None,
            storage: Storage::default(),
            usable_keeping_times: 2.0,
        };
        let of = |stream: &str| {
            let id = StreamId::parse(stream).expect("an id");
            let more = with_more(&plan, (&streams, &ages), &id, 10.0).expect("a known stream");
            let batch = more.batches[0].clone();
            (plan.last_night(&batch), batch.lot.edible)
        };
        // Milk keeps half a day, egg two: 1 keeping time each, where grain has 2.
        assert_eq!(of("egg-whole").0, 1 + 1);
        assert_eq!(of("spent-grain").0, 1 + 3);
        assert_eq!(of("chicken-wings").1, Grams::new(6_200));
    }

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
