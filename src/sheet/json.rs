//! JSON for other programs. Keys carry unit and basis; the forms are those of
//! the README and change only with a new version there.

use jiff::Timestamp;
use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use crate::blend::GroupMix;
use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::{Measure, StreamId, Verdict};
use crate::words::Said;

pub use super::ahead_json::ahead;
use super::cohorts::CohortNow;
use super::mix::{GroupCard, MixSheet, what_is_out};
use super::streams::{StreamLine, label};
use super::ticket::TicketCard;
use super::words::Units;

pub use super::learn_json::learn;
pub use super::money_json::money;
pub use super::month_json::{month, statement};
pub use super::trace_data::trace;
pub use super::yields_json::yields;

/// A mix: kilograms, per cent and money as numbers.
#[must_use]
pub fn mix(sheet: &MixSheet) -> Value {
    let (mix, units) = (&sheet.mix, sheet.units);
    let cards = sheet.cards.iter().map(Some).chain(std::iter::repeat(None));
    json!({
        "schema": 1,
        "verdict": mix.verdict.as_str(),
        "reason": match &mix.verdict {
            crate::blend::MixVerdict::Nothing { reason } | crate::blend::MixVerdict::Stopped { reason } => Some(reason),
            _ => None,
        },
        "tiers": mix.tiers.map(|tiers| json!({
            "short_dm_kg": tiers.short_dm_kg,
            "outside": tiers.outside,
            "water_kg": tiers.water_kg,
            "unsure": tiers.unsure,
            "urgent_kg": tiers.urgent_kg,
            "cost": tiers.cost,
        })),
        "groups": mix.groups.iter().zip(cards).map(|(group, card)| group_mix(group, card, units)).collect::<Vec<_>>(),
        "held_back": mix.held_back.iter().map(|held| json!({"lot": held.lot, "reason": held.reason})).collect::<Vec<_>>(),
        "left": mix.left.iter().map(|left| json!({"lot": left.lot, "kg": left.grams.kg()})).collect::<Vec<_>>(),
        "too_coarse": mix.too_coarse,
        "notes": mix.notes,
    })
}

fn group_mix(group: &GroupMix, card: Option<&GroupCard>, units: Units) -> Value {
    let figures = &group.figures;
    let pct = |share: Option<f64>| share.map(|share| share * 100.0);
    json!({
        "group": group.name,
        "scale": group.division.to_string(),
        "wanted_dm_kg": group.wanted_dm_kg,
        "dm_kg": figures.dry_matter_kg,
        "ration_kg": figures.ration_kg,
        "wet_kg": figures.wet.kg(),
        "water_kg": group.water.kg(),
        "nfc_dm_pct": pct(figures.non_fibre_carbohydrate),
        "carbon_to_nitrogen": figures.carbon_to_nitrogen,
        "volume_l": figures.volume_l,
        "cohorts": card.map(|card| card.trays.iter().map(|dose| json!({
            "cohort": dose.cohort, "trays": dose.trays,
            "per_tray_g": dose.per_tray(figures.wet),
            "layer_cm": figures.volume_l.map(|litres| dose.layer_cm(litres)),
            "from_before_cm": dose.lies_cm(), "days": dose.days,
        })).collect::<Vec<_>>()),
        "cost": figures.cost,
        "draws": group.draws.iter().map(|draw| json!({
            "lot": draw.lot, "stream": draw.stream, "kg": draw.grams.kg(), "buckets": draw.buckets,
        })).collect::<Vec<_>>(),
        "bought": group.bought.iter().map(|(stream, grams)| json!({"stream": stream, "kg": grams.kg()})).collect::<Vec<_>>(),
        "measures": figures.measures.iter().map(|figure| json!({
            "measure": figure.measure.key(),
            "value": pct(figure.value),
            "min": pct(figure.window.min),
            "max": pct(figure.window.max),
            "limit_min": pct(figure.window.limit_min),
            "limit_max": pct(figure.window.limit_max),
            "inside": figure.standing.is_inside(),
        })).collect::<Vec<_>>(),
        "out": what_is_out(group, units),
    })
}

/// A lot on hand, as the stock's list gives it.
#[derive(Serialize)]
struct LotLine<'a> {
    lot: &'a str,
    number: i64,
    supplier: &'a str,
    stream: &'a StreamId,
    weighed_at: Timestamp,
    kg: f64,
    on_hand_g: Grams,
    edible_g: Grams,
    age_days: f64,
    keeps_days: Option<f64>,
    days_left: Option<f64>,
    spoils_by_next_night: bool,
    moisture_pct: Option<f64>,
    moisture_from: &'a str,
    estimated: bool,
    bought: bool,
    verdict: Verdict,
    reason: &'a Said,
    /// Why no mix may use it tonight.
    kept_out: Option<Said>,
}

impl<'a> From<&'a StockLot> for LotLine<'a> {
    fn from(lot: &'a StockLot) -> Self {
        Self {
            lot: &lot.book.name,
            number: lot.book.number,
            supplier: &lot.book.supplier,
            stream: &lot.book.stream,
            weighed_at: lot.book.weighed_at,
            kg: lot.book.remaining.kg(),
            on_hand_g: lot.book.remaining,
            edible_g: lot.edible,
            age_days: lot.age_days,
            keeps_days: lot.keeps_days,
            days_left: lot.days_left(),
            spoils_by_next_night: lot.spoils_within(1.0),
            moisture_pct: lot.moisture.map(|moisture| moisture.pct()),
            moisture_from: lot
                .book
                .tested_moisture
                .as_ref()
                .map_or("book", |tested| &tested.method),
            estimated: lot.book.estimated,
            bought: lot.book.bought,
            verdict: lot.flag.verdict,
            reason: &lot.flag.reason,
            kept_out: lot.kept_out(),
        }
    }
}

/// The stock, a list of lots.
#[must_use]
pub fn stock(lots: &[StockLot]) -> Value {
    json!(lots.iter().map(LotLine::from).collect::<Vec<_>>())
}

/// The same as text: a long list is written straight out.
///
/// # Errors
/// When the writer fails.
pub fn write_stock(
    lots: &[StockLot],
    writer: impl std::io::Write,
) -> Result<(), serde_json::Error> {
    serde_json::Serializer::new(writer).collect_seq(lots.iter().map(LotLine::from))
}

/// Cohorts on their trays.
#[must_use]
pub fn cohorts(cohorts: &[CohortNow]) -> Value {
    cohorts
        .iter()
        .map(|now| {
            json!({
                "cohort": now.cohort.name, "record": now.record, "hatched": now.cohort.hatched.to_string(), "age_days": now.age_days, "stage": now.stage,
                "larvae": now.cohort.larvae, "counted": now.counted, "trays": now.cohort.trays, "tray_area_m2": now.cohort.tray_area_m2,
                "depth_cm": now.cohort.depth_cm, "larvae_per_cm2": now.cohort.per_cm2(),
                "feeding": now.feeding.map(|plan| plan.to_string()), "due": now.due,
                "next": now.next.map(|next| next.to_string()),
            })
        })
        .collect()
}

#[must_use]
pub fn ticket(card: &TicketCard) -> Value {
    json!({
        "schema": 1,
        "ticket": card.ticket,
        "lot": card.ticket,
        "number": card.number,
        "record": card.record,
        "supplier": card.supplier,
        "stream": card.stream,
        "weighed_at": card.instant.to_string(),
        "by": card.by,
        "gross_g": card.gross,
        "tare_g": card.tare,
        "net_g": card.net,
        "picked_out_g": card.picked_out,
        "estimated": card.estimated,
        "verdict": card.flag.verdict,
        "reason": card.flag.reason,
        "use_note": card.flag.use_note,
        "put": card.put,
        "cautions": card.cautions,
        "already_there": card.already_there,
    })
}

/// The stream table, a list of streams with their verdict for this farm.
#[must_use]
pub fn streams(lines: &[StreamLine]) -> Value {
    lines
        .iter()
        .map(|line| {
            let stream = &line.stream;
            let mut value = json!({
                "stream": stream.id,
                "name": stream.name,
                "class": stream.class,
                "verdict": line.flag.verdict,
                "reason": line.flag.reason,
                "use_note": line.flag.use_note,
                "moisture_pct": stream.moisture.map(|moisture| moisture.value.pct()),
                "moisture_sd": stream.moisture.and_then(|moisture| moisture.sd).map(|sd| sd * 100.0),
                "nfc_dm_pct": stream.reckoned(&Measure::NonFibreCarbohydrate).map(|share| share * 100.0),
                "carbon_to_nitrogen": stream.carbon_to_nitrogen(),
                "bulk_density_kg_m3": stream.bulk_density.map(|density| density.kg_per_m3()),
                "inedible_pct": stream.inedible.as_ref().and_then(|part| Some(part.share?.pct())),
                "inedible_kind": stream.inedible.as_ref().map(|part| part.kind.as_str()),
                "keeps_days": stream.keeps_days,
                "price_per_kg": stream.price_per_kg,
                "source": stream.source,
                "labels": {
                    "composition": label(stream.labels.composition),
                    "spread": label(stream.labels.spread),
                    "density": stream.bulk_density.map(|_| label(stream.labels.density)),
                    "inedible": stream.inedible.as_ref().and_then(|part| part.share).map(|_| label(stream.labels.inedible)),
                    "keeping": stream.keeps_days.map(|_| label(stream.labels.keeping)),
                },
                "stands_in": stream.labels.stand_in(),
            });
            if let Some(map) = value.as_object_mut() {
                for (analyte, estimate) in &stream.analytes {
                    map.insert(analyte.key(), json!(estimate.value.pct()));
                    map.insert(format!("{}_dm_sd", analyte.name()), json!(estimate.sd.map(|sd| sd * 100.0)));
                }
            }
            value
        })
        .collect()
}

pub(super) fn extend(value: &mut Value, more: Value) {
    if let (Some(map), Value::Object(more)) = (value.as_object_mut(), more) {
        map.extend(more);
    }
}
