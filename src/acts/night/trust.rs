use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::acts::{Result, TableFile, Tables};
use crate::blend::explain::{LIQUOR_DRY, Offered, WhyAsked};
use crate::blend::sureness::{STATED_MOISTURE_SD, Spread, Spreads};
use crate::blend::{
    BucketRule, Composition, Few, LastShares, Lot, Patience, Policy, Purchase, Wishes, shares_of,
};
use crate::daybook::{Book, Chosen, WaterUse};
use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::{Class, Stream, StreamId, StreamTable, UseRules};
use crate::table::Table;
use crate::words::say;

/// What a mix is asked for besides itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrustAsked {
    /// The whole explanation; what can't hold together is told anyway.
    pub why: bool,
    pub buckets: Option<BucketRule>,
    /// The goals alone: no margin, no smallest draw, no limit on lots, water only where it is named.
    pub plain: bool,
    /// No group shares its mix with another.
    pub apart: bool,
    /// The chance to keep each window at, from 0.5 and below 1.
    pub sure: Option<f64>,
    pub smallest: Option<Grams>,
    pub most_lots: Option<usize>,
    pub water: Option<WaterAsked>,
    /// Stay close to the mix before.
    pub steady: bool,
    /// The mix before, where there is no daybook.
    pub last: Option<TableFile>,
    /// Each goal's problem for other solvers.
    pub models: bool,
    /// Dry matter of drained or pressed liquor, a share, if not our default.
    pub liquor_dry: Option<f64>,
    /// How long somebody waits for it.
    pub patience: Patience,
}

/// Nights looked back for the mix before.
const NIGHTS_BACK: i64 = 7;

/// What is asked of water; what is not asked is the farm's to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaterAsked {
    Never,
    /// Only where without it someone goes short or a window breaks.
    LastResort,
    /// The same, and at most this.
    UpTo(Grams),
}

impl TrustAsked {
    /// What is asked tonight, else what the farm chose, else our default.
    pub(in crate::acts) fn policy(&self, chosen: &Chosen) -> Policy {
        if self.plain {
            return Policy::default();
        }
        let ours = Policy::ours();
        let most_lots = chosen.most_lots.and_then(|most| usize::try_from(most).ok());
        #[expect(clippy::cast_precision_loss, reason = "per cent")]
        let sure = chosen.sure_pct.map(|pct| pct as f64 / 100.0);
        Policy {
            first: chosen.first_stage.clone(),
            one_mix: !self.apart,
            sure: self.sure.or(sure).or(ours.sure),
            few: Some(Few {
                smallest: self.smallest.or(chosen.smallest_draw_g),
                most_lots: self.most_lots.or(most_lots),
            }),
            ..ours
        }
    }

    /// The most water, with what `named` is where nothing was asked; `None`: as much as is needed.
    pub(in crate::acts) fn water(&self, chosen: &Chosen, named: Option<Grams>) -> Option<Grams> {
        match self.water {
            Some(WaterAsked::Never) => Some(Grams::ZERO),
            Some(WaterAsked::UpTo(limit)) => Some(limit),
            Some(WaterAsked::LastResort) => None,
            None if named.is_some() => named,
            None if self.plain || chosen.water == Some(WaterUse::Never) => Some(Grams::ZERO),
            None => None,
        }
    }

    pub(in crate::acts) fn wishes(&self, offers: Vec<Offered>, last: Option<LastShares>) -> Wishes {
        Wishes {
            why: Some(WhyAsked {
                offers,
                liquor_dry: self.liquor_dry.unwrap_or(LIQUOR_DRY),
                in_full: self.why,
            }),
            buckets: self.buckets,
            last: last.filter(|_| self.steady),
            models: self.models,
            patience: self.patience.clone(),
        }
    }
}

/// Spreads of lots in the book: the newest test's own, else the stream's.
pub(crate) fn spreads_in_book(named: &[Lot], stock: &[StockLot], tables: &Tables) -> Spreads {
    let of = |(named, lot): (&Lot, &StockLot)| {
        let book = tables.streams.get(&named.stream).map(Spread::of);
        let book = book.unwrap_or_default();
        let spread = match &lot.book.tested_moisture {
            Some(tested) => {
                let sd = tested.sd.map(|points| points / 100.0);
                book.tested(sd.unwrap_or(STATED_MOISTURE_SD))
            }
            None => match lot.learned_moisture() {
                Some(expected) => book.learned(expected.sd),
                None => book,
            },
        };
        (named.name.clone(), spread)
    };
    Spreads {
        lots: named.iter().zip(stock).map(of).collect(),
        purchases: purchase_spreads(&tables.streams),
    }
}

/// Spreads of lots from a stock table: a moisture other than the book's is the lot's own.
pub(crate) fn spreads_from_files(lots: &[Lot], tables: &Tables) -> Spreads {
    let of = |lot: &Lot| {
        let stream = tables.streams.get(&lot.stream);
        let book = stream.map(Spread::of).unwrap_or_default();
        let value = stream.and_then(|stream| Some(stream.moisture?.value));
        let is_own = lot.composition.moisture.is_some() && lot.composition.moisture != value;
        let spread = if is_own {
            book.tested(STATED_MOISTURE_SD)
        } else {
            book
        };
        (lot.name.clone(), spread)
    };
    Spreads {
        lots: lots.iter().map(of).collect(),
        purchases: purchase_spreads(&tables.streams),
    }
}

fn purchase_spreads(streams: &StreamTable) -> BTreeMap<StreamId, Spread> {
    streams
        .iter()
        .map(|stream| (stream.id.clone(), Spread::of(stream)))
        .collect()
}

/// What a cure may buy: streams that may be fed here and have a price, at
/// tonight's price where one is named, and grain that is sold by the bag, its
/// price unknown.
pub(crate) fn offers(
    tables: &Tables,
    rules: Option<&UseRules>,
    tonight: &[Purchase],
) -> Vec<Offered> {
    /// Grain that keeps so many days comes in bags (our default).
    const BAGGED_DAYS: f64 = 90.0;
    let bagged = |stream: &&Stream| {
        let keeps = stream.keeps_days.is_some_and(|days| days >= BAGGED_DAYS);
        stream.price_per_kg.is_some() || (stream.class == Class::Grain && keeps)
    };
    let in_table = tables
        .streams
        .iter()
        .filter(|stream| tables.judge(stream, rules, None).verdict.may_be_bought())
        .filter(|stream| !tonight.iter().any(|bought| bought.stream == stream.id))
        .filter(bagged)
        .map(|stream| Offered {
            purchase: Purchase {
                stream: stream.id.clone(),
                composition: Composition::of(stream),
                price_per_kg: stream.price_per_kg.unwrap_or(0.0),
                limit: Grams::ZERO,
            },
            is_priced: stream.price_per_kg.is_some(),
        });
    let named = tonight.iter().cloned().map(Offered::from);
    named.chain(in_table).collect()
}

/// Shares of what was fed last, or of the last sheet where nothing was
/// recorded as fed, within the nights before.
pub(crate) fn last_fed(book: &Book, night: Date) -> Result<LastShares> {
    for back in 1..=NIGHTS_BACK {
        let Ok(before) = night.checked_sub(jiff::Span::new().days(back)) else {
            break;
        };
        let mut draws = Vec::new();
        let mut additions = Vec::new();
        for fed in book.fed_on(before)? {
            draws.extend(fed.entry.draws);
            additions.extend(fed.entry.additions);
        }
        if draws.is_empty()
            && let Some(sheet) = book.newest_sheet(before)?
        {
            draws = sheet.entry.draws;
            additions = sheet.entry.additions;
        }
        if draws.is_empty() {
            continue;
        }
        let mut kg: BTreeMap<String, BTreeMap<StreamId, f64>> = BTreeMap::new();
        let mut add = |group: &str, stream: StreamId, grams: Grams| {
            let of_group = kg.entry(group.to_owned()).or_default();
            *of_group.entry(stream).or_default() += grams.kg();
        };
        for draw in draws {
            let found = book.record(draw.lot_seq)?;
            if let Some(ticket) = found.and_then(|found| found.ticket()) {
                add(&draw.group, ticket.stream, draw.grams);
            }
        }
        for addition in additions {
            if let Some(stream) = addition.stream {
                add(&addition.group, stream, addition.grams);
            }
        }
        return Ok(shares(&kg));
    }
    Ok(LastShares::new())
}

fn shares(kg: &BTreeMap<String, BTreeMap<StreamId, f64>>) -> LastShares {
    kg.iter()
        .map(|(group, kg)| (group.clone(), shares_of(kg)))
        .collect()
}

/// The mix before from a table `group,stream,kg`.
pub(crate) fn last_from_file(file: &TableFile, streams: &StreamTable) -> Result<LastShares> {
    let columns = ["group", "stream", "kg"];
    let table = Table::read(&file.name, &file.bytes, &columns, |_| false)?;
    let rows = table.rows(|row| {
        let group = row.needed("group", say!("accepted-a-name"));
        let stream = streams.of_row(row).map(|stream| stream.id.clone());
        row.needed("kg", say!("accepted-kilograms"));
        let kg = row.number("kg", 0.0, 100_000.0);
        Some((group?, stream?, kg?))
    })?;
    let mut kg: BTreeMap<String, BTreeMap<StreamId, f64>> = BTreeMap::new();
    for (group, stream, weight) in rows {
        *kg.entry(group).or_default().entry(stream).or_default() += weight;
    }
    Ok(shares(&kg))
}
