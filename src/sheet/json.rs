//! JSON for other programs. Keys carry unit and basis; the forms are those of
//! the README and change only with a new version there.

use std::collections::BTreeMap;

use serde::Serializer;

use crate::larvae::Feeding;
use crate::quantity::Grams;
use crate::quantity::wire::view;
use crate::stock::StockLot;
use crate::stream::{Class, Evidence, Flag, Measure, StreamId, Verdict};
use crate::words::Said;

pub use super::ahead::json::Ahead;
use super::farm::cohorts::CohortNow;
use super::farm::streams::StreamLine;
use super::intake::TicketCard;
pub use crate::quantity::wire::each;

pub use super::harvest::learn_json::Learn;
pub use super::harvest::mixes::Mixes;
pub use super::harvest::yields_json::Yields;
pub use super::money::json::Money;
pub use super::month::json::{Month, Statement};
pub use super::night::json::{Mix, MixAsked};
pub use super::trace::json::Trace;

view! {
    /// A lot on hand.
    pub LotLine(lot: &StockLot) {
        lot: String = lot.book.name.clone(),
        number: i64 = lot.book.number,
        supplier: String = lot.book.supplier.clone(),
        stream: StreamId = lot.book.stream.clone(),
        weighed_at: String = lot.book.weighed_at.to_string(),
        kg: f64 = lot.book.remaining.kg(),
        on_hand_g: Grams = lot.book.remaining,
        edible_g: Grams = lot.edible,
        age_days: f64 = lot.age_days,
        keeps_days: Option<f64> = lot.keeps_days,
        days_left: Option<f64> = lot.days_left(),
        spoils_by_next_night: bool = lot.spoils_within(1.0),
        moisture_pct: Option<f64> = lot.moisture.map(|moisture| moisture.pct()),
        moisture_from: String = lot.book.tested_moisture.as_ref().map_or("book", |tested| &tested.method).to_owned(),
        estimated: bool = lot.book.estimated,
        bought: bool = lot.book.bought,
        verdict: Verdict = lot.flag.verdict,
        reason: Said = lot.flag.reason.clone(),
        /// Why no mix may use it tonight.
        kept_out: Option<Said> = lot.kept_out(),
    }
}

/// The stock, straight to where it goes: the list may be long.
pub fn write_stock(
    lots: &[StockLot],
    writer: impl std::io::Write,
) -> Result<(), serde_json::Error> {
    serde_json::Serializer::new(writer).collect_seq(lots.iter().map(LotLine::from))
}

view! {
    /// A cohort on its trays.
    pub Cohort(now: &CohortNow) {
        cohort: String = now.cohort.name.clone(),
        record: i64 = now.record,
        hatched: String = now.cohort.hatched.to_string(),
        age_days: i32 = now.age_days,
        stage: Option<String> = now.stage.clone(),
        larvae: i64 = now.cohort.larvae,
        counted: String = now.counted.clone(),
        trays: i64 = now.cohort.trays,
        tray_area_m2: f64 = now.cohort.tray_area_m2,
        depth_cm: Option<f64> = now.cohort.depth_cm,
        larvae_per_cm2: f64 = now.cohort.per_cm2(),
        feeding: Option<Feeding> = now.feeding,
        due: bool = now.due,
        next: Option<String> = now.next.map(|next| next.to_string()),
    }
}

view! {
    /// A weighing as it was kept.
    pub Ticket(card: &TicketCard) {
        ticket: String = card.ticket.clone(),
        lot: String = card.ticket.clone(),
        number: i64 = card.number,
        record: i64 = card.record,
        supplier: String = card.supplier.clone(),
        stream: StreamId = card.stream.clone(),
        weighed_at: String = card.instant.to_string(),
        by: String = card.by.clone(),
        gross_g: Option<Grams> = card.gross,
        tare_g: Option<Grams> = card.tare,
        net_g: Grams = card.net,
        picked_out_g: Grams = card.picked_out,
        estimated: bool = card.estimated,
        #[serde(flatten)]
        flag: Flag = card.flag.clone(),
        put: Said = card.put.clone(),
        cautions: Vec<Said> = card.cautions.clone(),
        already_there: bool = card.already_there,
    }
}

view! {
    /// A stream of the table with its verdict for this farm; its analytes besides.
    pub Stream(line: &StreamLine) {
        stream: StreamId = line.stream.id.clone(),
        name: String = line.stream.name.clone(),
        class: Class = line.stream.class,
        #[serde(flatten)]
        flag: Flag = line.flag.clone(),
        moisture_pct: Option<f64> = line.stream.moisture.map(|moisture| moisture.value.pct()),
        moisture_sd: Option<f64> = line.stream.moisture.and_then(|moisture| Some(moisture.sd? * 100.0)),
        nfc_dm_pct: Option<f64> = line.stream.reckoned(&Measure::NonFibreCarbohydrate).map(|share| share * 100.0),
        carbon_to_nitrogen: Option<f64> = line.stream.carbon_to_nitrogen(),
        bulk_density_kg_m3: Option<f64> = line.stream.bulk_density.map(|density| density.kg_per_m3()),
        inedible_pct: Option<f64> = line.stream.inedible.as_ref().and_then(|part| Some(part.share?.pct())),
        inedible_kind: Option<String> = line.stream.inedible.as_ref().map(|part| part.kind.clone()),
        keeps_days: Option<f64> = line.stream.keeps_days,
        price_per_kg: Option<f64> = line.stream.price_per_kg,
        source: String = line.stream.source.clone(),
        labels: StreamLabels = StreamLabels::from(&line.stream),
        stands_in: Option<Said> = line.stream.labels.stand_in(),
        #[serde(flatten)]
        analytes: BTreeMap<String, Option<f64>> = analytes(&line.stream),
    }

    StreamLabels(of: &crate::stream::Stream) {
        composition: Said = Evidence::said(of.labels.composition),
        spread: Said = Evidence::said(of.labels.spread),
        density: Option<Said> = of.bulk_density.map(|_| Evidence::said(of.labels.density)),
        inedible: Option<Said> = of.inedible.as_ref().and_then(|part| part.share).map(|_| Evidence::said(of.labels.inedible)),
        keeping: Option<Said> = of.keeps_days.map(|_| Evidence::said(of.labels.keeping)),
    }
}

fn analytes(stream: &crate::stream::Stream) -> BTreeMap<String, Option<f64>> {
    let each = stream.analytes.iter().flat_map(|(analyte, estimate)| {
        let sd = estimate.sd.map(|sd| sd * 100.0);
        let sd_key = format!("{}_dm_sd", analyte.name());
        [(analyte.key(), Some(estimate.value.pct())), (sd_key, sd)]
    });
    each.collect()
}
