pub(super) mod arrivals;
pub(super) mod gather;

use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

use crate::acts::ahead::gather::{Gathered, gather};
use crate::acts::error::Rejection;
use crate::acts::farm::tables::utf8;
use crate::acts::{ActError, Desk, FarmSettings, Night, Result, TableFile, Tables};
use crate::blend::solve::Unsolved;
use crate::harvest::Metric;
use crate::outlook::{
    Forecast, Heeded, MoreOf, Outlook, PlanFile, Spread, chance_of_short, heed, read_arrivals,
    read_plan, room_to_grow,
};
use crate::quantity::Grams;
use crate::sheet::{AheadSheet, GrowthCard};
use crate::stream::StreamId;
use crate::words::{Said, say};

/// What is asked of the nights ahead.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AheadAsked {
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

/// Nights that are always planned, and whose answers are worked out in full
/// (our default). What lies beyond is planned where the time allows.
const NEAR_NIGHTS: usize = 14;

/// Who waits for a plan: what is being worked on is told, and how long it may take.
pub struct Pace<'a> {
    /// Told what is being worked on.
    pub say: &'a dyn Fn(&Said),
    /// The time spent so far.
    pub spent: &'a dyn Fn() -> Duration,
    /// The time after which nothing more is begun.
    pub limit: Duration,
}

impl Pace<'_> {
    fn left(&self) -> Duration {
        self.limit.saturating_sub((self.spent)())
    }

    /// Whether to begin; what is not begun is noted.
    fn begins(&self, what: Said, undone: &mut Vec<Said>) -> bool {
        let begins = !self.left().is_zero();
        if begins {
            (self.say)(&what);
        } else {
            undone.push(what);
        }
        begins
    }
}

/// The nights ahead from the book: what will trouble them and what to do now.
/// Nothing is recorded. The nearest fortnight is planned whatever the pace.
///
/// # Errors
/// Nothing due on any night; files with findings; a plan no engine can verify.
pub fn ahead(
    (book, farm, tables): Desk<'_>,
    night: Night,
    asked: &AheadAsked,
    pace: &Pace<'_>,
) -> Result<AheadSheet> {
    if !(1..=MOST_NIGHTS).contains(&asked.nights) {
        let accepted = say!("accepted-nights", most = MOST_NIGHTS);
        return Err(Rejection::new("--nights", asked.nights.to_string(), accepted).into());
    }
    let tables = &*tables.of_farm(book, night.at)?;
    let plan = match &asked.plan {
        Some(file) => read_plan(&file.name, utf8(file)?, &tables.streams)?,
        None => PlanFile::default(),
    };
    let rows = match &asked.arrivals {
        Some(file) => read_arrivals(&file.name, &file.bytes, &tables.streams)?,
        None => Vec::new(),
    };
    (pace.say)(&say!("ahead-reading"));
    let (setting, seal) = book.at_one_moment(|book| {
        let setting = gather((book, farm, tables), night, asked.nights, &plan, &rows)?;
        Ok::<_, ActError>((setting, book.seal()?.short()))
    })?;
    work_out(setting, farm, tables, asked, seal, pace)
}

fn work_out(
    gathered: Gathered,
    farm: &FarmSettings,
    tables: &Tables,
    asked: &AheadAsked,
    seal: String,
    pace: &Pace<'_>,
) -> Result<AheadSheet> {
    let Gathered {
        outlook: whole,
        mut forecast,
        spread,
        notes,
        kept_out,
    } = gathered;
    let mut undone = Vec::new();
    let (near, kept) = whole.first_nights(NEAR_NIGHTS);
    let near_spread: Spread = kept.iter().map(|index| spread[*index]).collect();
    let begun = (pace.spent)();
    (pace.say)(&say!("ahead-planning"));
    let heeded = heed(&near)?;
    let took = (pace.spent)().saturating_sub(begun);
    let mut sheet = AheadSheet {
        near_nights: near.nights.len(),
        intakes: Vec::new(),
        growth: None,
        chance: None,
        reserve: None,
        undone: Vec::new(),
        streams: whole.streams(),
        notes,
        kept_out,
        usable_keeping_times: whole.usable_keeping_times,
        currency: farm.currency.clone(),
        units: farm.units,
        seal,
        heeded,
        forecast: Forecast::default(),
    };
    if near.nights.len() > 1 {
        answers(
            &mut sheet,
            &near,
            &near_spread,
            tables,
            asked.weeks,
            pace,
            &mut undone,
        )?;
    }
    if whole.nights.len() > near.nights.len() {
        let nights = nights_in_time(whole.nights.len(), took, pace.left());
        if nights > near.nights.len() {
            (pace.say)(&say!("ahead-planning-more", nights));
            let (longer, _) = whole.first_nights(nights);
            sheet.heeded = heed(&longer)?;
        }
        let planned = sheet.plan().nights.len();
        if planned < whole.nights.len() {
            undone.push(say!("ahead-after", nights = planned));
        }
    }
    let last = sheet.plan().nights.last().map(|night| night.day);
    forecast.expected.retain(|one| Some(one.day) <= last);
    sheet.forecast = forecast;
    sheet.undone = undone;
    Ok(sheet)
}

/// How many nights, of so many asked for, can be planned in the time left when
/// the nearest took so long. Time grows about with the cube of the nights
/// (measured: 14 nights of 15 streams 0.08 s, 28 of 50 2.8 s, 60 of 50 24 s).
fn nights_in_time(asked: usize, near_took: Duration, left: Duration) -> usize {
    let times = left.as_secs_f64() / near_took.as_secs_f64().max(1e-6);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a count of nights; a float too large becomes the largest number"
    )]
    let nights = (NEAR_NIGHTS as f64 * times.cbrt()) as usize;
    nights.min(asked)
}

/// What the plan of the nearest nights answers besides itself, in the time there is.
fn answers(
    sheet: &mut AheadSheet,
    outlook: &Outlook,
    spread: &Spread,
    tables: &Tables,
    weeks: usize,
    pace: &Pace<'_>,
    undone: &mut Vec<Said>,
) -> Result<()> {
    let heeded = &sheet.heeded;
    let wasted = heeded.wasted();
    let mut tried = tried(outlook);
    tried.retain(|stream| !wasted.contains(stream));
    if pace.begins(say!("ahead-larvae"), undone) {
        sheet.growth = Some(growth_of(outlook, heeded, tables, &tried)?);
    }
    let known = (&tables.streams, &tables.stages.ages);
    let offered = |stream: &&StreamId| {
        let mut offers = outlook.offers.iter();
        !offers.any(|offer| offer.purchase.stream == **stream)
    };
    let asked = || tried.iter().filter(offered);
    let mut more = MoreOf::new(&heeded.outlook, &heeded.with_advice, known, asked());
    for stream in asked() {
        if pace.begins(say!("ahead-more", stream), undone) {
            sheet.intakes.extend(more.of(stream)?);
        }
    }
    if weeks == 0 || !pace.begins(say!("ahead-chance"), undone) {
        return Ok(());
    }
    let play = |played: &Heeded| {
        let told = |week: usize| {
            (pace.say)(&say!("ahead-playing", week, weeks));
            !pace.left().is_zero()
        };
        let seeded = (weeks, SEED);
        chance_of_short(&played.outlook, &played.with_advice, spread, seeded, told)
    };
    let first = play(heeded)?;
    if first.weeks < weeks {
        undone.push(say!("ahead-weeks-left", left = weeks - first.weeks, weeks));
    }
    sheet.chance = Some(first);
    if first.short_pct() > TOO_OFTEN_PCT
        && !outlook.offers.is_empty()
        && pace.begins(say!("ahead-reserve"), undone)
    {
        let cautious = cautious(outlook, spread)?;
        let again = play(&cautious)?;
        sheet.reserve = Some((cautious.advice, again));
    }
    Ok(())
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
    let known = (&tables.streams, &tables.stages.ages);
    let room = room_to_grow(&heeded.outlook, known, tried)?;
    #[expect(clippy::cast_precision_loss, reason = "counts of larvae and nights")]
    let (larvae, nights) = (
        outlook.nights.iter().map(|night| night.larvae).sum::<i64>() as f64,
        outlook.nights.len() as f64,
    );
    Ok(GrowthCard {
        room,
        larvae: larvae / nights,
        dm_kg_per_week: 7.0 * outlook.dry_matter_kg() / nights,
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
