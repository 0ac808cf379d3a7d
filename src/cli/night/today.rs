use crate::acts::today;
use crate::cli::*;
use crate::sheet::day_words;

pub(crate) fn run(setting: &Setting) -> Done {
    let (book, farm, tables) = setting.open_all()?;
    let now = setting.asked(&farm.zone)?.at;
    let night = night_of(now, None, &farm);
    let day = today((&book, &farm, &tables), now, night)?;
    let local = now.to_zoned_datetime(farm.zone.clone());
    let (day_said, time) = (day_words(local.date()), local.strftime("%H:%M"));
    let mut document = Document::titled(say!("today-title", day = day_said, time = time));
    document.line(day.came_in_said(|grams| farm.units.told(grams)));
    let (lots, weight) = (day.on_hand.0, farm.units.told(day.on_hand.1));
    document.line(say!("today-on-hand", lots, weight));
    if !day.spoiling.is_empty() {
        const SHOWN: usize = 8;
        let names = (day.spoiling.iter().take(SHOWN))
            .map(|lot| Said::joined([(&lot.book.name).into(), (&lot.book.stream).into()], " "));
        let names = Said::joined(names, ", ");
        let lots = match day.spoiling.len().saturating_sub(SHOWN) {
            0 => names,
            more => say!("stock-listed", names, more),
        };
        document.out(say!("today-spoils", lots));
    }
    let night = day.night.day;
    if day.due.is_empty() {
        document.line(say!("today-none-due", night));
    }
    for (group, trays, kg) in &day.due {
        let weight = farm.units.dry(*kg);
        document.line(say!("today-due", night, group, trays, weight));
    }
    if let Some((seq, fed)) = day.sheet {
        document.line(if fed {
            say!("today-sheet-fed", seq)
        } else {
            say!("today-sheet-not-fed", seq)
        });
    }
    document.answer(Tone::Next, say!("next", command = &day.next));
    let done = json!({
        "night": night.to_string(), "loads": day.came_in.0, "came_in_g": day.came_in.1, "refused_loads": day.refused,
        "lots": day.on_hand.0, "on_hand_g": day.on_hand.1,
        "spoiling": day.spoiling.iter().map(|lot| lot.book.name.clone()).collect::<Vec<_>>(),
        "due": day.due.iter().map(|(group, trays, kg)| json!({"group": group, "trays": trays, "dry_matter_kg": kg})).collect::<Vec<_>>(),
        "sheet": day.sheet.map(|(seq, _)| format!("r{seq}")), "fed": day.sheet.is_some_and(|(_, fed)| fed), "next": day.next,
    });
    setting.answer(done, &document)
}
