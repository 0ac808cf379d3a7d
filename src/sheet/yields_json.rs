use serde_json::{Map, Value, json};

use crate::harvest::Metric;

use super::yields::{CohortYield, HarvestPart, YieldSheet};

/// Yields: kilograms, per cent and counts as numbers.
#[must_use]
pub fn yields(sheet: &YieldSheet) -> Value {
    json!({
        "schema": 1,
        "nitrogen_factor": sheet.factor.value(),
        "start_weight": sheet.start.words(),
        "cohorts": sheet.cohorts.iter().map(cohort).collect::<Vec<_>>(),
    })
}

fn cohort(cohort: &CohortYield) -> Value {
    let mut figures = Map::new();
    let mut not_told = Map::new();
    for metric in Metric::ALL {
        let told = cohort.conversion.get(metric);
        figures.insert(metric.key().to_owned(), json!(told.as_ref().ok()));
        if let Err(lacks) = told {
            let words: Vec<&str> = lacks.iter().map(|lack| lack.words()).collect();
            not_told.insert(metric.key().to_owned(), json!(words));
        }
    }
    json!({
        "cohort": cohort.name,
        "record": cohort.record,
        "hatched": cohort.hatched.to_string(),
        "ended": cohort.ended.as_ref().map(|(day, why)| json!({"day": day.to_string(), "why": why})),
        "nights_fed": cohort.nights,
        "fed_kg": cohort.yielded.fed_kg,
        "fed_dm_kg": cohort.yielded.fed_dry_kg,
        "fed": cohort.feed.iter().map(|part| json!({"stream": part.what, "kg": part.kg})).collect::<Vec<_>>(),
        "larvae_kg": cohort.yielded.larvae_kg,
        "larvae_dm_kg": cohort.yielded.larvae_dry_kg,
        "larvae_count": cohort.yielded.ended,
        "residue_kg": cohort.yielded.residue_kg,
        "residue_dm_kg": cohort.yielded.residue_dry_kg,
        "days": cohort.yielded.days,
        "start_weight": cohort.yielded.start.words(),
        "figures": figures,
        "not_told": not_told,
        "doubts": cohort.conversion.doubts.iter().map(|doubt| doubt.words()).collect::<Vec<_>>(),
        "harvests": cohort.parts.iter().map(part).collect::<Vec<_>>(),
    })
}

fn part(part: &HarvestPart) -> Value {
    json!({
        "record": part.record,
        "day": part.day.to_string(),
        "by": part.by,
        "larvae_g": part.larvae,
        "larvae_moisture_pct": part.larvae_moisture_pct,
        "larvae_count": part.larvae_count,
        "sampled": part.sampled,
        "dead": part.dead,
        "residue_g": part.residue,
        "residue_moisture_pct": part.residue_moisture_pct,
        "residue_to": part.residue_to,
        "note": part.note,
    })
}
