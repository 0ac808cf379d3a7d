use std::ops::RangeInclusive;

use jiff::civil::{Date, Weekday};
use serde::Deserialize;
use toml::Spanned;

use crate::quantity::Grams;
use crate::stream::{StreamId, StreamTable};
use crate::table::{Findings, TomlFile, read_day};
use crate::words::say;

use super::plan::ColdStore;

/// What a farm says of the nights ahead.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlanFile {
    pub cold: Option<ColdStore>,
    pub storage_kg: Option<f64>,
    pub storage_l: Option<f64>,
    /// How many keeping times a lot may be used on later nights; `None` as in the stage table.
    pub usable_keeping_times: Option<f64>,
    pub water: Grams,
    /// What can be bought; `None` leaves it to what the farm bought before.
    pub buy: Option<Vec<BuyRow>>,
    /// Planned hatches; `None` goes on as before.
    pub hatches: Option<Vec<HatchRow>>,
    /// Days that are no guide and bring less.
    pub holidays: Vec<Holiday>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct BuyRow {
    pub stream: StreamId,
    /// Price per kilogram; `None` takes the stream table's.
    pub price_per_kg: Option<f64>,
    pub pack: Option<Grams>,
    /// The most of one delivery.
    pub limit: Grams,
    /// Weekdays it can be delivered on; empty is every day.
    pub delivery_days: Vec<Weekday>,
    /// Days between order and delivery.
    pub lead_days: i32,
}

#[derive(Debug, Clone, PartialEq)]
pub struct HatchRow {
    pub day: Date,
    pub larvae: i64,
    pub trays: i64,
    pub tray_area_m2: f64,
}

/// A day that is no guide for others, and what it brings itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holiday {
    pub day: Date,
    /// Share of what is expected else, 0..=1 and above.
    pub share: f64,
}

/// How many times longer things keep cold, where the farm does not say: spent
/// grain shows no mould for 6 days at 15 °C and for 2 at 20 °C (Kitaw 2022, AMB
/// Express 12:10), taken for everything by our default.
const COLD_KEEPS_TIMES: f64 = 3.0;

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    cold: Option<ColdEntry>,
    storage: Option<StorageEntry>,
    usable: Option<UsableEntry>,
    water: Option<WaterEntry>,
    buy: Option<Vec<BuyEntry>>,
    hatch: Option<Vec<HatchEntry>>,
    #[serde(default)]
    holiday: Vec<HolidayEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ColdEntry {
    capacity_kg: Spanned<f64>,
    share_pct: Option<Spanned<f64>>,
    keeps_times: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StorageEntry {
    limit_kg: Option<Spanned<f64>>,
    limit_l: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UsableEntry {
    keeping_times: Spanned<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WaterEntry {
    limit_kg: Spanned<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BuyEntry {
    stream: Spanned<String>,
    price_per_kg: Option<Spanned<f64>>,
    pack_kg: Option<Spanned<f64>>,
    limit_kg: Option<Spanned<f64>>,
    #[serde(default)]
    delivery_days: Vec<Spanned<String>>,
    lead_days: Option<Spanned<i32>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HatchEntry {
    day: Spanned<String>,
    every_days: Option<Spanned<i32>>,
    larvae: Spanned<i64>,
    trays: Spanned<i64>,
    tray_area_m2: Spanned<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HolidayEntry {
    day: Spanned<String>,
    arrivals_pct: Option<Spanned<f64>>,
}

/// Reads a plan file (TOML).
pub fn read_plan(file: &str, text: &str, streams: &StreamTable) -> Result<PlanFile, Findings> {
    let (parsed, toml): (File, _) = TomlFile::parse(file, text)?;
    let mut reader = Reader { toml, streams };
    let plan = reader.plan(&parsed);
    reader.toml.finish(plan)
}

struct Reader<'a> {
    toml: TomlFile<'a>,
    streams: &'a StreamTable,
}

const KG: RangeInclusive<f64> = 0.0..=1e6;

impl Reader<'_> {
    fn weight(&mut self, field: &str, number: Option<&Spanned<f64>>) -> Option<Grams> {
        Grams::from_kg(self.toml.maybe(field, number, KG)?)
    }

    fn day(&mut self, field: &str, day: &Spanned<String>) -> Option<Date> {
        let read = read_day(day.get_ref());
        read.map_err(|accepted| self.toml.reject(day, field, accepted))
            .ok()
    }

    fn plan(&mut self, file: &File) -> PlanFile {
        let storage = file.storage.as_ref();
        let (kg, litres) = (
            storage.and_then(|storage| storage.limit_kg.as_ref()),
            storage.and_then(|storage| storage.limit_l.as_ref()),
        );
        let usable = file.usable.as_ref().map(|usable| &usable.keeping_times);
        let water = file.water.as_ref().map(|water| &water.limit_kg);
        let buy = file.buy.as_ref();
        let hatches = file.hatch.as_ref();
        PlanFile {
            cold: file.cold.as_ref().map(|cold| self.cold(cold)),
            storage_kg: self.toml.maybe("storage.limit_kg", kg, KG),
            storage_l: self.toml.maybe("storage.limit_l", litres, KG),
            usable_keeping_times: self.toml.maybe("usable.keeping_times", usable, 0.1..=10.0),
            water: self.weight("water.limit_kg", water).unwrap_or_default(),
            buy: buy.map(|rows| rows.iter().filter_map(|row| self.buy(row)).collect()),
            hatches: hatches.map(|rows| rows.iter().flat_map(|row| self.hatches(row)).collect()),
            holidays: (file.holiday.iter())
                .filter_map(|entry| self.holiday(entry))
                .collect(),
        }
    }

    fn cold(&mut self, cold: &ColdEntry) -> ColdStore {
        let (share, times) = (cold.share_pct.as_ref(), cold.keeps_times.as_ref());
        let share = self.toml.maybe("cold.share_pct", share, 0.0..=100.0);
        let times = self.toml.maybe("cold.keeps_times", times, 1.0..=100.0);
        ColdStore {
            capacity_kg: self.toml.value("cold.capacity_kg", &cold.capacity_kg, KG),
            share: share.unwrap_or(100.0) / 100.0,
            keeps_times: times.unwrap_or(COLD_KEEPS_TIMES),
        }
    }

    fn buy(&mut self, entry: &BuyEntry) -> Option<BuyRow> {
        let stream = (self.streams).of_toml(&mut self.toml, "buy.stream", &entry.stream);
        let price = entry.price_per_kg.as_ref();
        if stream.is_some_and(|stream| price.is_none() && stream.price_per_kg.is_none()) {
            let accepted = say!("accepted-priced-stream");
            self.toml.reject(&entry.stream, "buy.stream", accepted);
        }
        let pack = self
            .toml
            .maybe("buy.pack_kg", entry.pack_kg.as_ref(), 0.01..=1e5);
        let limit = self.weight("buy.limit_kg", entry.limit_kg.as_ref());
        let delivery_days = entry.delivery_days.iter().filter_map(|name| {
            let day = weekday(name.get_ref());
            if day.is_none() {
                let accepted = "mon, tue, wed, thu, fri, sat, sun";
                self.toml.reject(name, "buy.delivery_days", accepted);
            }
            day
        });
        let delivery_days = delivery_days.collect();
        let lead = entry.lead_days.as_ref();
        Some(BuyRow {
            stream: stream?.id.clone(),
            price_per_kg: self.toml.maybe("buy.price_per_kg", price, 0.0..=1e6),
            pack: pack.and_then(Grams::from_kg),
            limit: limit.unwrap_or(ANY_WEIGHT),
            delivery_days,
            lead_days: (self.toml.maybe("buy.lead_days", lead, 0..=60)).unwrap_or(1),
        })
    }

    fn hatches(&mut self, entry: &HatchEntry) -> Vec<HatchRow> {
        let larvae = self
            .toml
            .value("hatch.larvae", &entry.larvae, 1..=1_000_000_000);
        let trays = self.toml.value("hatch.trays", &entry.trays, 1..=100_000);
        let area = self
            .toml
            .value("hatch.tray_area_m2", &entry.tray_area_m2, 0.001..=100.0);
        let every = entry.every_days.as_ref();
        let every = self.toml.maybe("hatch.every_days", every, 1..=365);
        let Some(first) = self.day("hatch.day", &entry.day) else {
            return Vec::new();
        };
        let times = if every.is_some() { MOST_HATCHES } else { 1 };
        (0..times)
            .filter_map(|time| {
                let days = jiff::Span::new().days(i64::from(every.unwrap_or(0)) * time);
                Some(HatchRow {
                    day: first.checked_add(days).ok()?,
                    larvae,
                    trays,
                    tray_area_m2: area,
                })
            })
            .collect()
    }

    fn holiday(&mut self, entry: &HolidayEntry) -> Option<Holiday> {
        let pct = entry.arrivals_pct.as_ref();
        let share = self.toml.maybe("holiday.arrivals_pct", pct, 0.0..=1000.0);
        Some(Holiday {
            day: self.day("holiday.day", &entry.day)?,
            share: share.unwrap_or(0.0) / 100.0,
        })
    }
}

/// The most of one delivery where the farm does not say (our default).
pub const ANY_WEIGHT: Grams = Grams::new(1_000_000);
/// Hatches that a repeated one stands for: more than any plan has nights.
const MOST_HATCHES: i64 = 120;

/// By its first three letters or whole.
fn weekday(name: &str) -> Option<Weekday> {
    let name = name.to_ascii_lowercase();
    let mut days = Weekday::Monday.cycle_forward().take(7);
    days.find(|day| {
        let whole = format!("{day:?}").to_ascii_lowercase();
        name == whole || name == whole[..3]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::SHIPPED_STREAMS;

    fn read(text: &str) -> Result<PlanFile, Findings> {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        read_plan("plan.toml", text, &streams)
    }

    #[test]
    fn the_example_plan_is_read() {
        let plan = read(include_str!("../../examples/ahead/plan.toml")).expect("plan");
        assert_eq!(plan.buy.as_ref().map(Vec::len), Some(1));
        assert_eq!(plan.holidays.len(), 1);
        assert!(plan.hatches.is_some_and(|hatches| hatches.len() > 2));
        assert_eq!(read("").expect("an empty plan"), PlanFile::default());
    }

    #[test]
    fn bad_values_are_named_with_their_line() {
        let text = "[cold]\ncapacity_kg = -1\n[[buy]]\nstream = \"wheat-brn\"\ndelivery_days = [\"funday\"]\n[[holiday]]\nday = \"24.12.\"\n[[hatch]]\nday = \"2026-11-30\"\nlarvae = 0\ntrays = 2\ntray_area_m2 = inf\n";
        insta::assert_snapshot!(read(text).expect_err("findings").to_string(), @r#"
        `plan.toml` row 2, `cold.capacity_kg`: `-1` is not accepted; accepted: a number from 0 to 1000000
        `plan.toml` row 4, `buy.stream`: `wheat-brn` is not accepted; accepted: a stream of the stream table; nearest: wheat-bran (grain), wheat-straw (woody), rice-bran (grain)
        `plan.toml` row 5, `buy.delivery_days`: `funday` is not accepted; accepted: mon, tue, wed, thu, fri, sat, sun
        `plan.toml` row 10, `hatch.larvae`: `0` is not accepted; accepted: a number from 1 to 1000000000
        `plan.toml` row 12, `hatch.tray_area_m2`: `inf` is not accepted; accepted: a number from 0.001 to 100
        `plan.toml` row 7, `holiday.day`: `24.12.` is not accepted; accepted: a day such as 2026-11-20
        "#);
    }
}
