use serde_json::json;

use crate::acts::{night_of, today};
use crate::sheet::{Document, Tone, plural};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

pub(super) fn run(setting: &Setting) -> Result<u8, CliError> {
    let (book, farm) = setting.open()?;
    let tables = setting.load_tables()?;
    let now = setting.asked(&farm.zone)?.at;
    let night = night_of(now, None, &farm);
    let day = today(&book, &farm, &tables, now, night)?;
    if setting.json {
        output::json(json!({
            "schema": 1, "night": day.night.day.to_string(), "loads": day.came_in.0, "came_in_g": day.came_in.1, "refused_loads": day.refused,
            "lots": day.on_hand.0, "on_hand_g": day.on_hand.1,
            "spoiling": day.spoiling.iter().map(|lot| lot.book.name.clone()).collect::<Vec<_>>(),
            "due": day.due.iter().map(|(group, trays, kg)| json!({"group": group, "trays": trays, "dry_matter_kg": kg})).collect::<Vec<_>>(),
            "sheet": day.sheet.map(|(seq, _)| format!("r{seq}")), "fed": day.sheet.is_some_and(|(_, fed)| fed), "next": day.next,
        }));
        return Ok(DONE);
    }
    let local = now.to_zoned_datetime(farm.zone.clone());
    let mut document = Document::titled(format!("Today, {}", local.strftime("%A %Y-%m-%d %H:%M")));
    document.line(format!(
        "Came in: {}, {}{}",
        plural(day.came_in.0, "load", "loads"),
        farm.units.both(day.came_in.1),
        if day.refused > 0 {
            format!("; {} refused", day.refused)
        } else {
            String::new()
        }
    ));
    document.line(format!(
        "On hand: {}, {}",
        plural(day.on_hand.0, "lot", "lots"),
        farm.units.both(day.on_hand.1)
    ));
    if !day.spoiling.is_empty() {
        let names: Vec<String> = day
            .spoiling
            .iter()
            .take(8)
            .map(|lot| format!("{} {}", lot.book.name, lot.book.stream))
            .collect();
        let more = if day.spoiling.len() > 8 {
            format!(" and {} more", day.spoiling.len() - 8)
        } else {
            String::new()
        };
        document.toned(
            Tone::Out,
            format!("Spoils by the next night: {}{more}", names.join(", ")),
        );
    }
    if day.due.is_empty() {
        document.line(format!("Night of {}: no trays due.", day.night.day));
    }
    for (group, trays, kg) in &day.due {
        document.line(format!(
            "Night of {}: {group}, {}, {kg:.2} kg dry matter",
            day.night.day,
            plural(*trays, "tray", "trays")
        ));
    }
    if let Some((seq, fed)) = day.sheet {
        document.line(format!(
            "Sheet r{seq}: {}",
            if fed { "fed" } else { "not yet fed" }
        ));
    }
    document.toned(Tone::Next, format!("Next: {}", day.next));
    output::document(&document);
    Ok(DONE)
}
