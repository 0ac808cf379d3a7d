use jiff::Timestamp;

use super::fed::{SheetBefore, fed_by, sheet_before};
use crate::acts::month::basis::midnight;
use crate::acts::stock::stock_now;
use crate::acts::{Desk, FarmSettings, Night, Result, cohorts_on};
use crate::daybook::{Book, Ticket};
use crate::larvae::{CohortOnTrays, demand};
use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::Verdict;
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq)]
pub struct Today {
    pub night: Night,
    /// Accepted loads since local midnight, and their net weight.
    pub came_in: (i64, Grams),
    /// Loads refused since local midnight.
    pub refused: i64,
    /// Lots on hand and their weight.
    pub on_hand: (i64, Grams),
    /// Lots that pass their keeping time by the next night.
    pub spoiling: Vec<StockLot>,
    /// Feed groups due: name, trays, dry matter in kilograms.
    pub due: Vec<(String, i64, f64)>,
    /// The newest sheet of the night, and whether it was fed; before there is
    /// one, that of the night before if it was not fed.
    pub sheet: Option<(i64, bool)>,
    /// The command to run next.
    pub next: String,
}

impl Today {
    /// Loads that came in, and those turned away where any were.
    pub fn came_in_said(&self, weight: impl Fn(Grams) -> String) -> Said {
        let ((loads, grams), refused) = (self.came_in, self.refused);
        let weight = weight(grams);
        if refused > 0 {
            say!("today-came-in-refused", loads, weight, refused)
        } else {
            say!("today-came-in", loads, weight)
        }
    }
}

/// Tickets since local midnight, refused ones too.
fn tickets_today(book: &Book, farm: &FarmSettings, now: Timestamp) -> Result<Vec<Ticket>> {
    let day = now.to_zoned_datetime(farm.zone.clone()).date();
    let tomorrow = day.tomorrow().unwrap_or(day);
    let (from, to) = (midnight(day, farm)?, midnight(tomorrow, farm)?);
    let tickets = book.tickets_between(from, to, false)?;
    Ok(tickets.into_iter().map(|one| one.filed.entry).collect())
}

/// Who brought something today, the newest first, with the loads taken from them and
/// their net weight.
pub fn brought_today(
    book: &Book,
    farm: &FarmSettings,
    now: Timestamp,
) -> Result<Vec<(String, usize, Grams)>> {
    let mut tickets = tickets_today(book, farm, now)?;
    tickets.retain(|ticket| ticket.verdict != Verdict::Refuse);
    let mut brought: Vec<(String, usize, Grams)> = Vec::new();
    for ticket in tickets.into_iter().rev() {
        match brought.iter_mut().find(|(of, ..)| *of == ticket.supplier) {
            Some((_, loads, weight)) => {
                *loads += 1;
                *weight += ticket.net_g;
            }
            None => brought.push((ticket.supplier, 1, ticket.net_g)),
        }
    }
    Ok(brought)
}

/// What came in, what spoils, what is due, and what to do next.
pub fn today((book, farm, tables): Desk<'_>, now: Timestamp, night: Night) -> Result<Today> {
    let tables = &*tables.of_farm(book, now)?;
    let (refused, accepted): (Vec<_>, Vec<_>) = (tickets_today(book, farm, now)?.into_iter())
        .partition(|ticket| ticket.verdict == Verdict::Refuse);
    let stock = stock_now((book, farm, tables), now)?;
    let cohorts: Vec<CohortOnTrays> = cohorts_on(book, farm, &tables.stages, night)?
        .into_iter()
        .map(|now| now.cohort)
        .collect();
    let due = demand(&cohorts, night.day, &tables.stages);
    let due = due
        .iter()
        .map(|of| (of.stage.name.clone(), of.trays(), of.dry_matter_kg()));
    let due: Vec<(String, i64, f64)> = due.collect();
    let sheet = match book.newest_sheet(night.day)? {
        Some(sheet) => Some((sheet.seq, fed_by(book, night.day, sheet.seq)?.is_some())),
        // In the morning last night's sheet may still wait to be written down.
        None => match sheet_before(book, night.day)? {
            Some(SheetBefore { filed, fed: None }) => Some((filed.seq, false)),
            _ => None,
        },
    };
    let count = |len: usize| i64::try_from(len).unwrap_or(i64::MAX);
    let next = match (&sheet, due.is_empty(), stock.lots.is_empty()) {
        (Some((_, false)), _, _) => "trayful fed",
        (None, false, false) => "trayful mix",
        (_, _, true) => "trayful weigh",
        (_, true, _) if cohorts.is_empty() => "trayful cohort add",
        _ => "trayful stock",
    };
    Ok(Today {
        night,
        came_in: (
            count(accepted.len()),
            accepted.iter().map(|ticket| ticket.net_g).sum(),
        ),
        refused: count(refused.len()),
        on_hand: (
            count(stock.lots.len()),
            stock.lots.iter().map(|lot| lot.book.remaining).sum(),
        ),
        spoiling: (stock.lots.into_iter())
            .filter(|lot| lot.is_feed() && lot.spoils_by_next_night())
            .collect(),
        due,
        sheet,
        next: next.to_owned(),
    })
}
