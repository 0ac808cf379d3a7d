use std::collections::BTreeMap;

use crate::quantity::{Decimal, Grams, ShareAsFed};
use crate::stream::{FlagLimits, StreamTable, flag};
use crate::table::{Findings, Table};
use crate::words::say;

use super::problem::{Composition, Lot};

const COLUMNS: [&str; 7] = [
    "lot",
    "stream",
    "kg",
    "age_days",
    "moisture_pct",
    "price_per_kg",
    "buckets",
];

/// Reads a stock table and joins it with the stream table. Without a daybook
/// there is no farm, so no rule on use is asked; flags by composition and by
/// whole parts hold.
///
/// # Errors
/// All findings, unknown streams with the nearest names.
pub fn read_stock(
    file: &str,
    bytes: &[u8],
    streams: &StreamTable,
    limits: &FlagLimits,
) -> Result<Vec<Lot>, Findings> {
    let table = Table::read(file, bytes, &COLUMNS, |_| false)?;
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    table.rows(|row| {
        let name = row.needed("lot", say!("accepted-a-name"));
        if let Some(name) = &name {
            row.once(&mut seen, name.clone(), ("lot", name));
        }
        let stream = streams.of_row(row);
        let on_hand = row.required("kg", say!("accepted-kilograms"), |text| {
            let kg = Decimal::parse(text).ok()?.to_f64();
            Grams::from_kg(kg).filter(|_| (0.0..=100_000.0).contains(&kg))
        });
        row.needed("age_days", say!("accepted-number", low = 0, high = 3650));
        let age_days = row.number("age_days", 0.0, 3650.0);
        let moisture = row
            .number("moisture_pct", 0.0, 100.0)
            .and_then(|pct| ShareAsFed::from_pct(pct).ok());
        let price = row.number("price_per_kg", -1e6, 1e6);
        let buckets = row.number("buckets", 0.01, 100_000.0);
        let (stream, on_hand) = (stream?, on_hand?);
        let mut composition = Composition::of(stream);
        composition.moisture = moisture.or(composition.moisture);
        let flagged = flag(stream, limits, None, None);
        Some(Lot {
            name: name?,
            stream: stream.id.clone(),
            on_hand,
            edible: stream.edible_of(on_hand, on_hand),
            composition,
            price_per_kg: price.or(stream.price_per_kg).unwrap_or(0.0),
            age_days: age_days?,
            keeps_days: stream.keeps_days,
            buckets: buckets.unwrap_or(1.0),
            barred: (!flagged.verdict.may_be_fed()).then(|| flagged.said()),
        })
    })
}
