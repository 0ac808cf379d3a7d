//! An explanation as numbers, for other programs.

use serde_json::{Value, json};

use crate::blend::explain::{Change, Demand, Effect, Interval, LotWorth, Why};
use crate::blend::sureness::Sureness;
use crate::blend::{Bucketed, GroupMix, Tiers, Trust};

use super::cure_words::{conflict_words, cure_words, demand_words};
use super::words::Units;

/// Adds `why`, `sureness`, `buckets` and `change_kg` to the JSON of a mix.
pub fn add_trust(value: &mut Value, trust: &Trust, groups: &[GroupMix], units: Units) {
    let Some(map) = value.as_object_mut() else {
        return;
    };
    let mut add = |key: &str, value: Value| map.insert(key.to_owned(), value);
    if let Some(why) = &trust.why {
        add("why", why_value(why, units));
    }
    if let Some(sureness) = &trust.sureness {
        add("sureness", sureness_value(sureness));
    }
    if let Some(buckets) = &trust.buckets {
        add("buckets", buckets_value(buckets, groups));
    }
    if let Some(change) = trust.change_kg {
        add("change_kg", json!(change));
    }
}

fn why_value(why: &Why, units: Units) -> Value {
    json!({
        "conflicts": why.conflicts.iter().map(|conflict| json!({
            "words": conflict_words(conflict, units),
            "demands": conflict.demands.iter().map(|demand| demand_value(demand, units)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "cures": why.cures.iter().map(|cure| {
            let mut value = change_value(&cure.what);
            if let Some(map) = value.as_object_mut() {
                map.insert("words".to_owned(), json!(cure_words(cure, units, |_| None)));
                map.insert("money".to_owned(), json!(cure.money));
                map.insert("verdict".to_owned(), json!(cure.mix.verdict.as_str()));
            }
            value
        }).collect::<Vec<_>>(),
        "bindings": why.bindings.iter().map(|binding| json!({
            "demand": demand_value(&binding.demand, units),
            "effects": effects_value(&binding.effects),
        })).collect::<Vec<_>>(),
        "lots": why.lots.iter().map(lot_value).collect::<Vec<_>>(),
        "near": why.near.iter().map(|near| json!({
            "lots": near.lots,
            "price_per_kg": near.price_per_kg,
            "moisture_pct": near.moisture.map(|share| share * 100.0),
        })).collect::<Vec<_>>(),
        "room": why.rooms.iter().map(|room| json!({
            "lots": room.lots,
            "price_per_kg": room.price_per_kg.map(|range| interval_value(range, 1.0)),
            "drier_points": {"same_at": room.moisture_points[0].same_at, "changes_at": room.moisture_points[0].changes_at},
            "wetter_points": {"same_at": room.moisture_points[1].same_at, "changes_at": room.moisture_points[1].changes_at},
        })).collect::<Vec<_>>(),
        "unexplained": why.unexplained,
    })
}

fn lot_value(worth: &LotWorth) -> Value {
    json!({"lots": worth.lots, "used": worth.used.as_str(), "effects": effects_value(&worth.effects)})
}

fn interval_value(interval: Interval, factor: f64) -> Value {
    json!({"low": interval.low.map(|low| low * factor), "high": interval.high.map(|high| high * factor)})
}

fn effects_value(effects: &[Effect]) -> Vec<Value> {
    let one = |effect: &Effect| json!({"goal": effect.goal.as_str(), "change": interval_value(effect.change, 1.0)});
    effects.iter().map(one).collect()
}

fn demand_value(demand: &Demand, units: Units) -> Value {
    let mut value = match demand {
        Demand::Feed { group, side, dm_kg } => {
            json!({"kind": "feed", "group": group, "side": side.as_str(), "dm_kg": dm_kg})
        }
        Demand::Bound {
            group,
            measure,
            side,
            share,
            is_hard,
        } => json!({
            "kind": if *is_hard { "limit" } else { "window" }, "group": group, "measure": measure.key(),
            "side": side.as_str(), "pct": share * 100.0,
        }),
        Demand::Volume { group, litres } => {
            json!({"kind": "volume", "group": group, "volume_l": litres})
        }
        Demand::Cap {
            group,
            stream,
            share,
        } => {
            json!({"kind": "cap", "group": group, "stream": stream, "pct": share * 100.0})
        }
        Demand::Purchase { stream, kg } => json!({"kind": "buy", "stream": stream, "limit_kg": kg}),
        Demand::Water { kg } => json!({"kind": "water", "limit_kg": kg}),
    };
    if let Some(map) = value.as_object_mut() {
        map.insert("words".to_owned(), json!(demand_words(demand, units)));
    }
    value
}

fn change_value(change: &Change) -> Value {
    match change {
        Change::Buy {
            stream,
            grams,
            price_per_kg,
        } => {
            json!({"kind": "buy", "stream": stream, "kg": grams.kg(), "price_per_kg": price_per_kg})
        }
        Change::Press { lots, liquor_dry } => json!({
            "kind": "press", "liquor_dry_pct": liquor_dry * 100.0,
            "lots": lots.iter().map(|(lot, litres, after)| json!({"lot": lot, "litres": litres, "moisture_pct": after * 100.0})).collect::<Vec<_>>(),
        }),
        Change::Water { grams } => json!({"kind": "water", "kg": grams.kg()}),
        Change::Room {
            group,
            from_l,
            to_l,
        } => {
            json!({"kind": "room", "group": group, "from_l": from_l, "to_l": to_l, "two_meals": *to_l <= 2.0 * from_l})
        }
        Change::Test {
            lot,
            stream,
            drier,
            moisture,
        } => json!({
            "kind": "test", "lot": lot, "stream": stream, "side": if *drier { "max" } else { "min" }, "moisture_pct": moisture * 100.0,
        }),
        Change::Loosen { windows } => json!({
            "kind": "loosen",
            "windows": windows.iter().map(|(demand, to)| match demand {
                Demand::Bound { group, measure, side, share, .. } => json!({
                    "group": group, "measure": measure.key(), "side": side.as_str(), "from_pct": share * 100.0, "to_pct": to * 100.0,
                }),
                _ => Value::Null,
            }).collect::<Vec<_>>(),
        }),
        Change::FeedLess { groups } => json!({
            "kind": "feed_less",
            "groups": groups.iter().map(|(group, from, to)| json!({"group": group, "from_dm_kg": from, "to_dm_kg": to})).collect::<Vec<_>>(),
        }),
    }
}

fn sureness_value(sureness: &Sureness) -> Value {
    json!({
        "measures": sureness.measures.iter().map(|measure| json!({
            "group": measure.group, "measure": measure.measure.key(), "value": measure.value * 100.0,
            "sd": measure.sd * 100.0, "chance": measure.chance,
        })).collect::<Vec<_>>(),
        "asked": sureness.asked,
        "test_first": sureness.test_first.as_ref().map(|test| json!({
            "lot": test.lot, "stream": test.stream, "from": test.from, "to": test.to,
        })),
        "helped_by": sureness.helped_by.as_ref().map(|helped| json!({"stream": helped.stream, "to": helped.to})),
        "untold": sureness.untold.iter().map(|(group, measure)| json!({
            "group": group, "measure": measure.key(),
        })).collect::<Vec<_>>(),
        "without_spread": sureness.without_spread,
    })
}

fn buckets_value(buckets: &Bucketed, groups: &[GroupMix]) -> Value {
    let goals = |position: usize| {
        let Tiers {
            short_dm_kg,
            outside,
            urgent_kg,
            cost,
            ..
        } = buckets.tiers[position];
        json!({"short_dm_kg": short_dm_kg, "outside": outside, "urgent_kg": urgent_kg, "cost": cost})
    };
    json!({
        "groups": groups.iter().zip(&buckets.tips).map(|(group, tips)| json!({
            "group": group.name,
            "tips": tips.iter().map(|tip| json!({"lot": tip.lot, "whole": tip.whole, "rest_kg": tip.rest.kg(), "of": tip.of})).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "gap": buckets.gap,
        "folded": buckets.folded.0,
        "bound": buckets.folded.1,
        "tiers": {"buckets": goals(0), "linear": goals(1), "rounding": goals(2)},
        "engine": buckets.engine,
    })
}
