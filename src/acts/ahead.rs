use std::collections::{BTreeMap, BTreeSet};

use crate::blend::solve::Unsolved;
use crate::daybook::Book;
use crate::harvest::Metric;
use crate::outlook::{
    Heeded, Outlook, PlanFile, Spread, chance_of_short, heed, more_of, read_arrivals, read_plan,
    room_to_grow,
};
use crate::quantity::Grams;
use crate::sheet::{AheadSheet, GrowthCard};
use crate::stream::StreamId;

use super::ahead_gather::{Gathered, gather};
use super::error::Rejection;
use super::tables::utf8;
use super::{ActError, FarmSettings, Night, TableFile, Tables};

/// What is asked of the nights ahead.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AheadAsked {
    /// How many nights, tonight among them.
    pub nights: usize,
    /// Arrivals to expect instead of what was learned.
    pub arrivals: Option<TableFile>,
    /// What the farm says of stores, purchases, hatches and holidays.
    pub plan: Option<TableFile>,
    /// Weeks to play for the chance of running short; none when zero.
    pub weeks: usize,
}

/// The most nights a plan may have.
pub const MOST_NIGHTS: usize = 60;
/// Streams for which more intake and the worth of more are tried, by weight (our default).
const STREAMS_TRIED: usize = 6;
/// The seed of the weeks that are played: the same book gives the same chance.
const SEED: u64 = 20_260_301;
/// Weeks short in a hundred from which a reserve is worked out (our default).
const TOO_OFTEN_PCT: f64 = 5.0;
/// Standard deviations below the median that a reserve is planned for: one in ten (our default).
const RESERVE_SDS: f64 = 1.2816;

/// The nights ahead from the book: what will trouble them and what to do now.
/// `step` is told what is being worked on. Nothing is recorded.
///
/// # Errors
/// Nothing due on any night; files with findings; a plan no engine can verify.
pub fn ahead(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    night: Night,
    asked: &AheadAsked,
    mut step: impl FnMut(&str),
) -> Result<AheadSheet, ActError> {
    if !(1..=MOST_NIGHTS).contains(&asked.nights) {
        let accepted = format!("nights from 1 to {MOST_NIGHTS}");
        return Err(Rejection::new("--nights", asked.nights.to_string(), accepted).into());
    }
    let plan = match &asked.plan {
        Some(file) => read_plan(&file.name, utf8(file)?, &tables.streams)?,
        None => PlanFile::default(),
    };
    let rows = match &asked.arrivals {
        Some(file) => read_arrivals(&file.name, &file.bytes, &tables.streams)?,
        None => Vec::new(),
    };
    step("reading the daybook");
    let (setting, head) = book.at_one_moment(|book| {
        let setting = gather(book, farm, tables, night, asked.nights, &plan, &rows)?;
        Ok::<_, ActError>((setting, book.head()?.short()))
    })?;
    work_out(setting, farm, tables, asked, head, step)
}

fn work_out(
    gathered: Gathered,
    farm: &FarmSettings,
    tables: &Tables,
    asked: &AheadAsked,
    head: String,
    mut step: impl FnMut(&str),
) -> Result<AheadSheet, ActError> {
    let Gathered {
        outlook,
        forecast,
        spread,
        notes,
    } = gathered;
    step("planning the nights and checking the advice");
    let heeded = heed(&outlook)?;
    let several = outlook.nights.len() > 1;
    let tried = tried(&outlook);
    let mut intakes = Vec::new();
    let mut growth = None;
    if several {
        let offered = |stream: &&StreamId| {
            let mut offers = outlook.offers.iter();
            !offers.any(|offer| offer.purchase.stream == **stream)
        };
        for stream in tried.iter().filter(offered) {
            step(&format!("how much more {stream} would fit"));
            intakes.extend(more_of(
                &heeded.outlook,
                &heeded.with_advice,
                &tables.streams,
                stream,
            )?);
        }
        step("how many larvae could be fed");
        growth = Some(growth_of(&outlook, &heeded, tables, &tried)?);
    }
    let mut chance = None;
    let mut reserve = None;
    if several && asked.weeks > 0 {
        let mut play = |played: &Heeded, spread: &Spread, words: &str| {
            let weeks = asked.weeks;
            let told = |week| step(&format!("{words}: week {week} of {weeks}"));
            let seeded = (weeks, SEED);
            chance_of_short(&played.outlook, &played.with_advice, spread, seeded, told)
        };
        let first = play(&heeded, &spread, "playing weeks")?;
        chance = Some(first);
        if first.short_pct() > TOO_OFTEN_PCT && !outlook.offers.is_empty() {
            let cautious = cautious(&outlook, &spread)?;
            let again = play(&cautious, &spread, "playing weeks with a reserve")?;
            reserve = Some((cautious.advice, again));
        }
    }
    Ok(AheadSheet {
        offers: outlook.offers,
        heeded,
        forecast,
        intakes,
        growth,
        chance,
        reserve,
        notes,
        usable_keeping_times: outlook.usable_keeping_times,
        currency: farm.currency.clone(),
        units: farm.units,
        head,
    })
}

/// The streams that come most, by weight, and what can be bought.
fn tried(outlook: &Outlook) -> BTreeSet<StreamId> {
    let mut kg: BTreeMap<&StreamId, f64> = BTreeMap::new();
    for batch in outlook.batches.iter().filter(|batch| batch.expected) {
        *kg.entry(&batch.lot.stream).or_default() += batch.lot.edible.kg();
    }
    let mut by_weight: Vec<(&StreamId, f64)> = kg.into_iter().collect();
    by_weight.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
    let most = by_weight.into_iter().take(STREAMS_TRIED);
    let bought = outlook.offers.iter().map(|offer| &offer.purchase.stream);
    most.map(|(stream, _)| stream)
        .chain(bought)
        .cloned()
        .collect()
}

fn growth_of(
    outlook: &Outlook,
    heeded: &Heeded,
    tables: &Tables,
    tried: &BTreeSet<StreamId>,
) -> Result<GrowthCard, Unsolved> {
    let room = room_to_grow(&heeded.outlook, &tables.streams, tried)?;
    let wanted: f64 = outlook
        .nights
        .iter()
        .flat_map(|night| &night.groups)
        .map(|group| group.dry_matter_kg)
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "counts of larvae and nights")]
    let (larvae, nights) = (
        outlook.nights.iter().map(|night| night.larvae).sum::<i64>() as f64,
        outlook.nights.len() as f64,
    );
    Ok(GrowthCard {
        room,
        larvae: larvae / nights,
        dm_kg_per_week: 7.0 * wanted / nights,
        conversion: tables.published.range(Metric::Bioconversion),
    })
}

/// The plan made for arrivals that one in ten falls below; played with those that come.
fn cautious(outlook: &Outlook, spread: &Spread) -> Result<Heeded, Unsolved> {
    let mut low = outlook.clone();
    for (batch, spread) in low.batches.iter_mut().zip(spread) {
        if batch.expected {
            let kg = (batch.lot.edible.kg() - RESERVE_SDS * spread).max(0.0);
            batch.lot.edible = Grams::from_kg(kg).unwrap_or(Grams::ZERO);
        }
    }
    let mut heeded = heed(&low)?;
    for (batch, as_expected) in heeded.outlook.batches.iter_mut().zip(&outlook.batches) {
        batch.lot.edible = as_expected.lot.edible;
    }
    Ok(heeded)
}
