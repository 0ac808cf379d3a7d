use crate::stream::Measure;

use super::ahead::AheadSheet;
use super::words::csv_text;

/// The nights as CSV, a row for each stream fed to a group; kilograms.
///
/// # Errors
/// When the text can't be put together.
pub fn ahead_csv(sheet: &AheadSheet) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "night",
        "group",
        "stream",
        "kg",
        "dm_kg",
        "group_dm_wanted_kg",
        "group_dm_fed_kg",
        "group_moisture_pct",
        "group_moisture_min_pct",
        "group_moisture_max_pct",
        "night_stock_kg",
        "night_spoils_kg",
    ])?;
    let number = |number: f64| format!("{number:.3}");
    let pct = |share: Option<f64>| {
        share.map_or_else(String::new, |share| format!("{:.2}", 100.0 * share))
    };
    for night in &sheet.plan().nights {
        for group in &night.groups {
            let window = group
                .measures
                .iter()
                .find(|figure| figure.measure == Measure::Moisture)
                .map(|figure| figure.window);
            for (stream, (kg, dry)) in &group.by_stream {
                writer.write_record([
                    night.day.to_string(),
                    csv_text(&group.name),
                    csv_text(stream.as_str()),
                    number(*kg),
                    number(*dry),
                    number(group.wanted_dm_kg),
                    number(group.dm_kg),
                    pct(group.moisture),
                    pct(window.and_then(|window| window.min)),
                    pct(window.and_then(|window| window.max)),
                    number(night.stock_kg),
                    number(night.spoils_kg),
                ])?;
            }
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
