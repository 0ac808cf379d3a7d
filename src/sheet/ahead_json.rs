use serde_json::{Value, json};

use crate::outlook::{Advice, Chance, Checked, NightFed};

use super::ahead::AheadSheet;

/// The nights ahead: kilograms, per cent and money as numbers.
#[must_use]
pub fn ahead(sheet: &AheadSheet) -> Value {
    let plan = sheet.plan();
    let goals = |plan: &crate::outlook::Foreseen| {
        json!({
            "inside": plan.is_inside(),
            "short_dm_kg": plan.tiers.short_dm_kg,
            "outside": plan.tiers.outside,
            "urgent_kg": plan.tiers.urgent_kg,
            "cost": plan.tiers.cost,
        })
    };
    let day = |night: usize| plan.nights.get(night).map(|night| night.day.to_string());
    json!({
        "schema": 1,
        "fits": sheet.heeded.troubles.is_empty(),
        "fits_with_advice": plan.is_inside(),
        "as_it_comes": goals(&sheet.heeded.as_it_comes),
        "with_advice": goals(plan),
        "troubles": sheet.heeded.troubles.iter().map(|trouble| json!({
            "from": day(trouble.from),
            "to": day(trouble.to),
            "measure": trouble.measure.as_ref().map_or_else(|| "short_dm_kg".to_owned(), crate::stream::Measure::key),
            "above": trouble.above,
            "groups": trouble.groups,
            "worst": if trouble.measure.is_some() { 100.0 * trouble.worst } else { trouble.worst },
        })).collect::<Vec<_>>(),
        "advice": sheet.heeded.advice.iter().map(|one| advice(sheet, one)).collect::<Vec<_>>(),
        "kept_out": sheet.kept_out.iter().map(|(stream, (kg, lots))| json!({
            "stream": stream, "kg": kg, "lots": lots,
        })).collect::<Vec<_>>(),
        "more_intake": sheet.intakes.iter().map(|intake| json!({
            "stream": intake.stream, "kg_per_week": intake.kg_per_week, "holds": intake.holds,
        })).collect::<Vec<_>>(),
        "room_to_grow": sheet.growth.as_ref().map(|growth| {
            let (low, high) = growth.larvae_kg(growth.room.factor).unzip();
            json!({
                "factor": growth.room.factor,
                "larvae_planned": growth.larvae,
                "larvae": growth.larvae * growth.room.factor,
                "larvae_kg_per_week_low": low,
                "larvae_kg_per_week_high": high,
                "raises": growth.room.raises.iter().map(|raise| {
                    let (low, high) = growth.larvae_kg(raise.factor).unzip();
                    json!({
                        "stream": raise.stream, "kg_per_week": raise.kg_per_week,
                        "larvae": growth.larvae * raise.factor,
                        "larvae_kg_per_week_low": low, "larvae_kg_per_week_high": high,
                    })
                }).collect::<Vec<_>>(),
            })
        }),
        "chance_short": sheet.chance.as_ref().map(chance),
        "reserve": sheet.reserve.as_ref().map(|(bought, again)| json!({
            "advice": bought.iter().map(|one| advice(sheet, one)).collect::<Vec<_>>(),
            "chance_short": chance(again),
        })),
        "nights": plan.nights.iter().map(night).collect::<Vec<_>>(),
        "expected": sheet.forecast.expected.iter().map(|one| json!({
            "day": one.day.to_string(), "supplier": one.supplier, "stream": one.stream,
            "kg": one.kg, "spread_kg": one.spread_kg, "moisture_pct": one.moisture_pct,
        })).collect::<Vec<_>>(),
        "backtest": sheet.forecast.backtest.map(|test| json!({
            "weeks": test.weeks, "compared": test.compared, "error_kg": test.error_kg,
            "same_as_last_week_error_kg": test.last_week_error_kg, "better_pct": test.better_pct(),
        })),
        "near_nights": sheet.near_nights,
        "undone": sheet.undone,
        "usable_keeping_times": sheet.usable_keeping_times,
        "notes": sheet.notes,
        "seal": sheet.seal,
    })
}

fn night(night: &NightFed) -> Value {
    let pct = |share: Option<f64>| share.map(|share| 100.0 * share);
    json!({
        "night": night.day.to_string(),
        "stock_kg": night.stock_kg,
        "spoils_kg": night.spoils_kg,
        "groups": night.groups.iter().map(|group| json!({
            "group": group.name,
            "wanted_dm_kg": group.wanted_dm_kg,
            "dm_kg": group.dm_kg,
            "wet_kg": group.wet_kg,
            "water_kg": group.water_kg,
            "streams": group.by_stream.iter().map(|(stream, (kg, dry))| json!({
                "stream": stream, "kg": kg, "dm_kg": dry,
            })).collect::<Vec<_>>(),
            "measures": group.measures.iter().map(|figure| json!({
                "measure": figure.measure.key(),
                "value": pct(figure.value),
                "min": pct(figure.window.min),
                "max": pct(figure.window.max),
                "inside": figure.standing.is_inside(),
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn chance(chance: &Chance) -> Value {
    json!({
        "weeks": chance.weeks,
        "nights": chance.nights,
        "short_weeks": chance.short,
        "short_pct": chance.short_pct(),
        "short_at_best_weeks": chance.short_at_best,
        "standard_error_pct": chance.short_pct_error(),
        "outside_weeks": chance.outside,
    })
}

fn advice(sheet: &AheadSheet, advice: &Advice) -> Value {
    let day = |night: usize| {
        let nights = &sheet.plan().nights;
        nights.get(night).map(|night| night.day.to_string())
    };
    let proof = |checked: &Checked| json!({"holds": checked.holds, "shortage": checked.shortage, "outside": checked.outside});
    match advice {
        Advice::Buy {
            stream,
            grams,
            packs,
            night,
            offer,
            cost,
            checked,
        } => json!({
            "do": "buy", "stream": stream, "kg": grams.kg(), "packs": packs, "there_on": day(*night),
            "order_by": sheet.offers.get(*offer).map(|offer| offer.order_by.to_string()),
            "cost": cost, "solved_again": proof(checked),
        }),
        Advice::Accept {
            stream,
            from,
            to,
            expected_kg,
            at_most_kg,
            checked,
        } => json!({
            "do": "accept", "stream": stream, "from": day(*from), "to": day(*to),
            "expected_kg": expected_kg, "at_most_kg": at_most_kg, "solved_again": proof(checked),
        }),
        Advice::Clear {
            stream,
            lots,
            kg,
            by,
            checked,
        } => json!({
            "do": "compost", "stream": stream, "lots": lots, "kg": kg, "by": day(*by),
            "solved_again": proof(checked),
        }),
    }
}
