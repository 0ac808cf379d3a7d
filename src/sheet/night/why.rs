//! The words of an explanation: sentences first, a table after them.

use crate::blend::explain::{
    Binding, Demand, Effect, FARTHEST_POINTS, GoalKind, Interval, LotWorth, Near, Room, Step, Why,
};
use crate::quantity::Units;
use crate::words::{Said, say};

use super::MixSheet;
use super::cures::demand_words;
use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::sheet::words::{from_to, pct};

pub(super) fn why_part(sheet: &MixSheet, document: &mut Document) {
    let Some(why) = &sheet.trust.why else { return };
    if why.bindings.is_empty() && why.lots.is_empty() && why.unexplained.is_none() {
        return;
    }
    document.heading(say!("why-title"));
    if sheet.trust.buckets.is_some() {
        document.line(say!("why-before-buckets"));
    }
    if let Some(reason) = &why.unexplained {
        document.caution(say!("why-not-all", reason));
    }
    if why.bindings.is_empty() {
        document.line(say!("why-stock-only"));
    }
    for binding in &why.bindings {
        document.item(Tone::Plain, binding_words(binding, sheet.units));
    }
    for near in &why.near {
        document.item(Tone::Plain, near_words(near, sheet.units));
    }
    document.table(lots_table(why, sheet.units));
    document.table(rooms_table(&why.rooms, sheet.units));
}

fn binding_words(binding: &Binding, units: Units) -> Said {
    let weight = (units.unit().as_str(), units.unit().kg());
    let (more, (unit, in_one)) = match &binding.demand {
        Demand::Feed { .. } => ("feed", weight),
        Demand::Bound { .. } | Demand::Cap { .. } => ("looser", ("", 1.0)),
        Demand::Volume { .. } => ("some", units.volume_unit()),
        Demand::Purchase { .. } | Demand::Water { .. } => ("some", weight),
    };
    let demand = demand_words(&binding.demand, units);
    let effects = effects_words(&binding.effects, units, in_one);
    say!("why-binds", demand, more, unit, effects)
}

/// Effects of one more of a unit with so many kilograms or litres in it.
fn effects_words(effects: &[Effect], units: Units, in_one: f64) -> Said {
    let told = |effect| effect_words(effect, units, in_one);
    Said::joined(effects.iter().map(told), ", ")
}

/// One figure as "uses 2.50 kg more of what will spoil"; an interval with both its ends.
fn effect_words(effect: &Effect, units: Units, in_one: f64) -> Said {
    let unit = units.unit();
    let shown = match effect.goal {
        GoalKind::Feed => 100.0,
        GoalKind::Water | GoalKind::Spoil | GoalKind::Steady => 1.0 / unit.kg(),
        _ => 1.0,
    };
    let change = effect.change.scaled(in_one * shown);
    let one = change.low.zip(change.high);
    let one = one.filter(|(low, high)| (high - low).abs() < 5e-4);
    let by = match one {
        Some((low, high)) if effect.goal == GoalKind::Spoil && high < 0.0 => {
            return say!("why-leaves-to-spoil", by = plain(-low), unit);
        }
        Some((low, _)) => plain(low.abs()).into(),
        None => interval_words(change),
    };
    let more = say!("why-more", less = one.is_some_and(|(low, _)| low < 0.0));
    say!("why-effect", goal = effect.goal.as_str(), by, unit, more)
}

fn plain(number: f64) -> String {
    if number < 0.1 {
        format!("{number:.3}")
    } else {
        format!("{number:.2}")
    }
}

fn signed(number: f64) -> String {
    match number.abs() {
        nothing if nothing < 5e-4 => "0".to_owned(),
        little if little < 0.1 => format!("{number:+.3}"),
        _ => format!("{number:+.2}"),
    }
}

fn interval_words(interval: Interval) -> Said {
    match (interval.low.map(signed), interval.high.map(signed)) {
        (Some(low), Some(high)) => from_to(low, high),
        (Some(low), None) => say!("why-or-more", low),
        (None, Some(high)) => say!("why-or-less", high),
        (None, None) => say!("why-any-amount"),
    }
}

fn near_words(near: &Near, units: Units) -> Said {
    let lots = near.lots.join(", ");
    let unit = units.unit();
    let price = near
        .price_per_kg
        .map(|price| format!("{:.2}", price * unit.kg()));
    let price = price.map(|price| say!("why-near-price", price, unit));
    let moisture = near
        .moisture
        .map(|share| say!("why-near-moisture", pct = pct(share)));
    let way = match (price, moisture) {
        (Some(one), Some(other)) => say!("why-either", one, other),
        (Some(way), None) | (None, Some(way)) => way,
        (None, None) => return say!("why-not-near", lots, points = FARTHEST_POINTS),
    };
    say!("why-near", lots, way)
}

fn lots_table(why: &Why, units: Units) -> Grid {
    const LOTS_MOST: usize = 12;
    let telling = |worth: &&LotWorth| !worth.effects.is_empty();
    grid!(for worth in why.lots.iter().filter(telling).take(LOTS_MOST) => {
        Left say!("stock-lot") => worth.lots.join(", "),
        Left say!("why-is") => say!("why-used", used = worth.used.as_str()),
        Left say!("why-one-more", unit = units.unit()) => effects_words(&worth.effects, units, units.unit().kg()),
    })
}

fn rooms_table(rooms: &[Room], units: Units) -> Grid {
    grid!(for room in rooms => {
        let price = room.price_per_kg.map(|price| price_words(price.scaled(units.unit().kg())));
        let [drier, wetter] = room.moisture_points.map(step_words);
        Left say!("why-lot-in-use") => room.lots.join(", "),
        Left say!("why-best-at", unit = units.unit()) => price.unwrap_or_else(|| say!("why-any-price")),
        Left say!("why-drier") => drier,
        Left say!("why-wetter") => wetter,
    })
}

fn price_words(range: Interval) -> Said {
    let price = |price: f64| format!("{price:.2}");
    match (range.low.map(price), range.high.map(price)) {
        (Some(low), Some(high)) => say!("from-to", low, high),
        (Some(bound), None) => say!("range-from", bound),
        (None, Some(bound)) => say!("range-to", bound),
        (None, None) => say!("why-any"),
    }
}

fn step_words(step: Step) -> Said {
    let same = format!("{:.0}", step.same_at);
    match step.changes_at.map(|changes| format!("{changes:.0}")) {
        Some(changes) if step.same_at > 0.0 => say!("why-step-until", same, changes),
        Some(number) => say!("less-than", number = say!("why-points", number)),
        None => say!("why-step-any", same),
    }
}
