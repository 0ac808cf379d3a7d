use std::collections::BTreeMap;

use serde::Deserialize;

use crate::acts::FarmAsked;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Scenario {
    pub(super) farm: FarmAsked,
    pub(super) days: i64,
    pub(super) seed: u64,
    pub(super) container: Vec<ContainerEntry>,
    pub(super) cohort: CohortEntry,
    pub(super) harvest: Yielded,
    pub(super) money: Prices,
    pub(super) load: Vec<Load>,
    pub(super) stopped: Stopped,
    site: Vec<Site>,
}

/// One of several farms that differ in name, dice and amounts.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Site {
    name: String,
    /// What comes in and what eats, per cent of the first one's.
    amounts_pct: i64,
}

impl Scenario {
    /// Becomes one of its sites; there is none beyond the last.
    pub(super) fn settle_at(&mut self, site: usize) {
        let Some(Site { name, amounts_pct }) = self.site.get(site) else {
            return;
        };
        self.farm.said.name = Some(name.clone());
        self.seed += site as u64;
        self.harvest.seed += 2 * site as u64;
        for load in &mut self.load {
            load.gross_lb *= *amounts_pct as f64 / 100.0;
        }
        self.cohort.larvae = self.cohort.larvae * amounts_pct / 100;
    }
}

/// A bucket with bone in it, which no mix may use.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Stopped {
    pub(super) supplier: String,
    pub(super) stream: String,
    pub(super) container: String,
    pub(super) gross: String,
    pub(super) bone: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ContainerEntry {
    pub(super) name: String,
    pub(super) tare: String,
    pub(super) volume: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CohortEntry {
    pub(super) every_days: i64,
    pub(super) larvae: i64,
    pub(super) trays: i64,
    pub(super) tray_area_m2: f64,
    pub(super) counted: String,
    pub(super) ends_on_day: i32,
}

/// What the demo's larvae make of their feed: means, each with its spread.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Yielded {
    pub(super) seed: u64,
    pub(super) bioconversion_pct: [f64; 2],
    pub(super) reduction_pct: [f64; 2],
    pub(super) survival_pct: [f64; 2],
    pub(super) larvae_moisture_pct: [f64; 2],
    pub(super) residue_moisture_pct: [f64; 2],
}

/// What the demo earns and spends.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Prices {
    pub(super) wage_per_hour: String,
    pub(super) minutes_a_week: BTreeMap<String, i64>,
    pub(super) sieving_minutes: i64,
    pub(super) per_kwh: String,
    pub(super) kwh_a_week: f64,
    pub(super) packaging_a_harvest: String,
    pub(super) rent_a_month: String,
    pub(super) gate_fee_a_month: String,
    pub(super) gate_fee_from: String,
    pub(super) live_price_per_lb: f64,
    pub(super) buyers: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Load {
    pub(super) supplier: String,
    pub(super) stream: String,
    pub(super) container: String,
    pub(super) weekdays: Vec<i8>,
    pub(super) every_days: Option<i64>,
    pub(super) buckets: u32,
    pub(super) gross_lb: f64,
    pub(super) spread_lb: f64,
    pub(super) moisture_pct: Option<f64>,
    pub(super) moisture_spread: Option<f64>,
    /// Mean and spread of the lots themselves; a test adds its own error.
    pub(super) true_moisture_pct: Option<[f64; 2]>,
    #[serde(default)]
    pub(super) bought: bool,
    pub(super) price_per_kg: Option<f64>,
}
