use serde_json::{Value, json};

use crate::harvest::learn::{Beside, INTERVAL};

use super::learn::{BeliefLine, LearnSheet};

/// What was learned: shares, kg/L, days and mg as numbers.
#[must_use]
pub fn learn(sheet: &LearnSheet) -> Value {
    json!({
        "schema": 1,
        "moisture": sheet.moisture.iter().map(belief).collect::<Vec<_>>(),
        "density_kg_l": sheet.density.iter().map(belief).collect::<Vec<_>>(),
        "backtest": sheet.backtest.map(|told| json!({
            "tests": told.told, "too_early": told.too_early, "error": told.error,
            "book_error": told.book_error, "covered": told.covered, "interval": INTERVAL,
        })),
        "keeping": sheet.keeping.iter().map(|line| json!({
            "stream": line.stream, "lots": line.lots, "spoiled": line.spoiled,
            "days": line.age.as_ref().ok().map(|age| age.days),
            "low": line.age.as_ref().ok().map(|age| age.low),
            "high": line.age.as_ref().ok().and_then(|age| age.high),
            "not_told": line.age.as_ref().err().map(|untold| untold.words()),
            "book_days": line.book_days,
        })).collect::<Vec<_>>(),
        "rations_mg": sheet.rations.iter().map(|line| json!({
            "stage": line.stage, "asked": line.due_mg, "left_out": line.left_out,
            "own": beside(&Beside { own: line.own, published: None, place: None }),
        })).collect::<Vec<_>>(),
        "ration_total": sheet.ration_total.map(|total| json!({
            "cohorts": total.cohorts, "got_mg": total.got_mg, "asked_mg": total.due_mg,
            "days": total.days,
        })),
        "ration_studies": sheet.ration_studies.iter().map(|(study, evidence)| json!({
            "study": study.study, "fed": study.fed, "mg": study.mg_dm, "days": study.days,
            "result": study.result, "evidence": evidence,
        })).collect::<Vec<_>>(),
        "conversion": sheet.conversion.iter().map(|(metric, line)| json!({
            "figure": metric.key(), "own": beside(line),
        })).collect::<Vec<_>>(),
        "proposals": sheet.offered.iter().map(|offer| json!({
            "key": offer.key, "what": offer.proposal.subject.words(),
            "unit": offer.proposal.subject.unit(), "from": offer.proposal.from,
            "to": offer.proposal.to, "count": offer.proposal.count,
            "spread": offer.proposal.spread, "error": offer.proposal.error,
            "evidence": offer.proposal.origin,
        })).collect::<Vec<_>>(),
        "taken_over": sheet.adopted.iter().map(|line| json!({
            "record": line.record, "at": line.at.to_string(), "by": line.by,
            "key": line.key, "what": line.words, "value": line.value,
            "before": line.before, "evidence": line.evidence,
        })).collect::<Vec<_>>(),
    })
}

fn belief(line: &BeliefLine) -> Value {
    let belief = &line.belief;
    let (low, high) = belief.interval(INTERVAL, 0.0);
    json!({
        "supplier": line.supplier, "stream": line.stream, "tests": belief.tests,
        "value": belief.mean, "mean_sd": belief.mean_sd, "lot_sd": belief.lot_sd(),
        "low": low, "high": high, "interval": INTERVAL,
        "book": belief.book.map(|book| book.value()),
        "book_sd": belief.book.map(|book| book.sd()),
        "book_weight": belief.book_weight, "in_use": belief.is_enough(),
        "origin": belief.origin(),
    })
}

fn beside(line: &Beside) -> Value {
    json!({
        "cohorts": line.own.map(|own| own.count),
        "median": line.own.map(|own| own.median),
        "lower": line.own.map(|own| own.lower),
        "upper": line.own.map(|own| own.upper),
        "published": line.published.as_ref().map(|range| json!({
            "low": range.low, "high": range.high,
            "studies": range.studies.iter().map(|study| json!({
                "of": study.feed, "low": study.low, "high": study.high, "boxes": study.boxes,
                "source": study.source.citation, "evidence": study.source.evidence.label(),
            })).collect::<Vec<_>>(),
        })),
    })
}
