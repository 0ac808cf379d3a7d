use super::AheadSheet;
use crate::sheet::data::{DataTable, data};

/// The nights as a table, a row for each stream fed to a group; kilograms.
pub fn ahead_table(sheet: &AheadSheet) -> DataTable {
    // To the gram, and to a hundredth of a point.
    let kg = |kg: f64| (kg * 1e3).round() / 1e3;
    let pct = |share: f64| (share * 1e4).round() / 1e2;
    let groups = (sheet.plan().nights.iter())
        .flat_map(|night| night.groups.iter().map(move |group| (night, group)));
    let rows = groups.flat_map(|(night, group)| {
        let fed = group.by_stream.iter();
        fed.map(move |(stream, kg)| (night, group, stream, kg))
    });
    data!("Nights", for (night, group, stream, (wet, dry)) in rows => {
        let window = group.of_moisture().map(|figure| figure.window);
        "night" => night.day,
        "group" => &group.name,
        "stream" => stream.as_str(),
        "kg" => kg(*wet),
        "dm_kg" => kg(*dry),
        "group_dm_wanted_kg" => kg(group.wanted_dm_kg),
        "group_dm_fed_kg" => kg(group.dm_kg),
        "group_moisture_pct" => group.moisture.map(pct),
        "group_moisture_min_pct" => window.and_then(|window| window.min).map(pct),
        "group_moisture_max_pct" => window.and_then(|window| window.max).map(pct),
        "night_stock_kg" => kg(night.stock_kg),
        "night_spoils_kg" => kg(night.spoils_kg),
    })
}
