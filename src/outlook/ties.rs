//! What ties nights together. For lot *i*
//! drawn on night *t* by any group: `x_it`, from the cold store `k_it` [kg]:
//!
//! - stock `Σ_t (x_it + k_it) + z_i ≤ a_i`, `z` what is turned away for want of room;
//! - purchase `Σ_t b_jt ≤ limit_j`;
//! - cold store on night *t*: `Σ_i Σ_{τ>t} k_iτ ≤ capacity`, and `Σ_t k_it ≤ share · a_i`;
//! - storage overnight: `Σ_i (a_i − z_i − Σ_{τ≤t} x_iτ)` over lots that still
//!   keep, with what is drawn later from the cold store and of what was bought, `≤` limit,
//!   in kilograms and in litres.

use std::collections::BTreeMap;

use crate::quantity::Density;

use super::plan::Outlook;
use super::rows::{Built, Draw, Source, side_by_side};

/// Writes the model: the nights, and the goals and rows over all of them.
pub fn build(outlook: &Outlook) -> Built {
    let mut built = side_by_side(outlook);
    goals(outlook, &mut built);
    if outlook.storage.binds() {
        turn_away(outlook, &mut built);
    }
    stock(outlook, &mut built);
    offers(outlook, &mut built);
    cold_store(outlook, &mut built);
    storage(outlook, &mut built);
    built
}

/// Third goal over nights: urgency as it would be on the last night if the lot
/// stayed, so that putting a lot off is never worth more than using it; with
/// one night that is tonight's urgency. A lot that spoils before then counts 1.
///
/// Ties go to the older lot first: each draw weighs in with the growth of the
/// squared share of keeping time since the lot's first night, nought tonight.
fn goals(outlook: &Outlook, built: &mut Built) {
    let last = outlook.nights.len().saturating_sub(1);
    built.plan.urgent.terms.clear();
    let mut late: BTreeMap<usize, f64> = BTreeMap::new();
    for draw in &built.draws {
        let Some(index) = draw.from.batch() else {
            continue;
        };
        let batch = &outlook.batches[index];
        let gone = outlook.last_night(batch) < last;
        let urgency = if gone {
            1.0
        } else {
            batch.used_up_on(last).clamp(0.0, 1.0)
        };
        if urgency > 0.0 {
            built.plan.urgent.terms.push((draw.column, urgency));
        }
        let square = |night: usize| batch.used_up_on(night).min(4.0).powi(2);
        late.insert(draw.column, square(draw.night) - square(batch.first));
    }
    for (column, weight) in &mut built.plan.tie_break.terms {
        *weight += late.get(column).copied().unwrap_or_default();
    }
}

/// A weight in the last goal that is above every draw's: room is made only for need.
const TURNING_AWAY: f64 = 50.0;

fn turn_away(outlook: &Outlook, built: &mut Built) {
    for first in built.order.clone() {
        let name = format!("turn away {}", outlook.batches[first].lot.name);
        let kg = built.pool_kg(outlook, first);
        let column = built.plan.model.column(name, 0.0, kg);
        built.plan.tie_break.terms.push((column, TURNING_AWAY));
        built.turned_away.insert(first, column);
    }
}

fn stock(outlook: &Outlook, built: &mut Built) {
    let by_source = built.by_source();
    for first in built.order.clone() {
        let sources = [Source::Batch(first), Source::Cold(first)];
        let draws = (sources.iter()).filter_map(|from| by_source.get(from));
        let draws = draws.flatten();
        let mut terms: Vec<(usize, f64)> = draws.map(|draw| (draw.column, 1.0)).collect();
        terms.extend(built.turned_away.get(&first).map(|column| (*column, 1.0)));
        if terms.len() > 1 {
            let name = format!("stock {}", outlook.batches[first].lot.name);
            let kg = built.pool_kg(outlook, first);
            built.shared.insert(first, built.plan.model.rows.len());
            built.plan.model.at_most(name, terms, kg);
        }
    }
}

fn offers(outlook: &Outlook, built: &mut Built) {
    let by_source = built.by_source();
    for index in outlook.offers_by_stream() {
        let Some(draws) = by_source.get(&Source::Offer(index)) else {
            continue;
        };
        if draws.len() > 1 {
            let offer = &outlook.offers[index];
            let (stream, first) = (&offer.purchase.stream, offer.first);
            let name = format!("purchase {} from night {first}", stream.as_str());
            let terms = draws.iter().map(|draw| (draw.column, 1.0)).collect();
            let limit = offer.purchase.limit.kg();
            built.plan.model.at_most(name, terms, limit);
        }
    }
}

fn cold_store(outlook: &Outlook, built: &mut Built) {
    let Some(cold) = outlook.cold else { return };
    let by_source = built.by_source();
    let kept: Vec<(usize, &Vec<Draw>)> = by_source
        .iter()
        .filter_map(|(from, draws)| match from {
            Source::Cold(index) => Some((*index, draws)),
            _ => None,
        })
        .collect();
    for night in 0..outlook.nights.len() {
        let terms: Vec<(usize, f64)> = kept
            .iter()
            .filter(|(index, _)| outlook.batches[*index].first <= night)
            .flat_map(|(_, draws)| draws.iter())
            .filter(|draw| draw.night > night)
            .map(|draw| (draw.column, 1.0))
            .collect();
        if !terms.is_empty() {
            let name = format!("cold store n{night}");
            built.plan.model.at_most(name, terms, cold.capacity_kg);
        }
    }
    if cold.share < 1.0 {
        for (index, draws) in kept {
            let name = format!("cold share {}", outlook.batches[index].lot.name);
            let terms = draws.iter().map(|draw| (draw.column, 1.0)).collect();
            let kg = cold.share * built.pool_kg(outlook, index);
            built.plan.model.at_most(name, terms, kg);
        }
    }
}

fn storage(outlook: &Outlook, built: &mut Built) {
    let by_source = built.by_source();
    let limits = [
        ("storage kg", outlook.storage.limit_kg, false),
        ("storage l", outlook.storage.limit_l, true),
    ];
    for (name, limit, by_volume) in limits {
        let Some(limit) = limit else { continue };
        for night in 0..outlook.nights.len() {
            let (terms, there) = kept_overnight(outlook, built, &by_source, night, by_volume);
            if !terms.is_empty() {
                let name = format!("{name} n{night}");
                built.plan.model.at_most(name, terms, limit - there);
            }
        }
    }
}

/// What is kept over a night as a linear form, and its constant part.
fn kept_overnight(
    outlook: &Outlook,
    built: &Built,
    by_source: &BTreeMap<Source, Vec<Draw>>,
    night: usize,
    by_volume: bool,
) -> (Vec<(usize, f64)>, f64) {
    let litres = |density: Option<Density>| {
        let known = density.or(outlook.storage.assumed_density);
        known.map_or(1.0, |density| density.litres_per_kg())
    };
    let factor = |density| if by_volume { litres(density) } else { 1.0 };
    let (mut terms, mut there) = (Vec::new(), 0.0);
    for (from, draws) in by_source {
        let (stays, density) = match from {
            Source::Batch(index) => {
                let batch = &outlook.batches[*index];
                let keeps = outlook.last_night(batch) > night;
                if batch.first > night || !keeps {
                    continue;
                }
                let factor = factor(batch.lot.composition.density);
                there += factor * built.pool_kg(outlook, *index);
                let away = built.turned_away.get(index);
                terms.extend(away.map(|column| (*column, -factor)));
                (false, batch.lot.composition.density)
            }
            Source::Cold(index) => {
                let batch = &outlook.batches[*index];
                // While it keeps outside too, the batch itself stands for it.
                if outlook.last_night(batch) > night {
                    continue;
                }
                (true, batch.lot.composition.density)
            }
            Source::Offer(index) if outlook.offers[*index].first <= night => {
                (true, outlook.offers[*index].purchase.composition.density)
            }
            Source::Offer(_) => continue,
        };
        let counted = draws.iter().filter(|draw| (draw.night > night) == stays);
        let sign = if stays { 1.0 } else { -1.0 };
        terms.extend(counted.map(|draw| (draw.column, sign * factor(density))));
    }
    (terms, there)
}
