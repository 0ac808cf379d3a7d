use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};

use crate::acts::{Result, Tables};
use crate::blend::sureness::STATED_MOISTURE_SD;
use crate::daybook::{Book, DensityTold, MoistureTold};
use crate::learn::{
    Backtest, Book as BookValue, Case, DENSITY_SPREAD_SHARE, Learned as Belief, Property, Tally,
    backtest,
};
use crate::quantity::{Density, ShareAsFed};
use crate::stock::{Expected, Learned, LearnedBySupplier};
use crate::stream::StreamId;
use crate::words::say;

/// Tests older than this are not learned from: what a supplier brings drifts
/// with the seasons and his kitchen (our default).
const LEARNED_DAYS: i64 = 730;
/// Spread of a measured volume, as a share of it (our default).
const VOLUME_SPREAD_SHARE: f64 = 0.05;

pub(crate) type Whose = (String, StreamId);

/// The tests a farm has, ready to be learned from.
#[derive(Debug, Default)]
pub(crate) struct Tests {
    moistures: Vec<MoistureTold>,
    densities: Vec<DensityTold>,
}

impl Tests {
    /// Those of the last two years.
    pub(crate) fn of(book: &Book, until: Timestamp) -> Result<Self> {
        let since = until - SignedDuration::from_hours(24 * LEARNED_DAYS);
        Ok(Self {
            moistures: book.moistures(since, until)?,
            densities: book.densities(since, until)?,
        })
    }

    /// What they say of each supplier's moisture, shares as fed.
    pub(crate) fn moisture(&self, tables: &Tables) -> BTreeMap<Whose, Belief> {
        let told = self.moisture_cases();
        beliefs(Property::Moisture, told, |stream| {
            book_moisture(tables, stream)
        })
    }

    /// What they say of each supplier's bulk density, kg/L.
    pub(crate) fn density(&self, tables: &Tables) -> BTreeMap<Whose, Belief> {
        let told = self.densities.iter().map(|told| {
            let kg_l = told.net_g.kg() / told.volume_l;
            let whose = (told.supplier.clone(), told.stream.clone());
            (whose, kg_l, VOLUME_SPREAD_SHARE * kg_l)
        });
        beliefs(Property::Density, told, |stream| {
            let kg_l = tables.streams.get(stream)?.bulk_density?.kg_per_m3() / 1000.0;
            BookValue::new(kg_l, DENSITY_SPREAD_SHARE * kg_l)
        })
    }

    /// How well earlier tests of moisture would have told the later ones.
    pub(crate) fn backtest(&self, tables: &Tables) -> Option<Backtest> {
        let cases: Vec<Case<Whose>> = self
            .moisture_cases()
            .filter_map(|(of, value, test_sd)| {
                let book = book_moisture(tables, &of.1)?;
                Some(Case {
                    of,
                    value,
                    test_sd,
                    book,
                })
            })
            .collect();
        backtest(Property::Moisture, &cases)
    }

    fn moisture_cases(&self) -> impl Iterator<Item = (Whose, f64, f64)> {
        self.moistures.iter().map(|told| {
            let sd = told.sd.map_or(STATED_MOISTURE_SD, |points| points / 100.0);
            let whose = (told.supplier.clone(), told.stream.clone());
            (whose, told.moisture_pct / 100.0, sd)
        })
    }
}

fn book_moisture(tables: &Tables, stream: &StreamId) -> Option<BookValue> {
    let moisture = tables.streams.get(stream)?.moisture?;
    BookValue::new(moisture.value.get(), moisture.sd?)
}

fn beliefs(
    property: Property,
    told: impl Iterator<Item = (Whose, f64, f64)>,
    book: impl Fn(&StreamId) -> Option<BookValue>,
) -> BTreeMap<Whose, Belief> {
    let mut tallies: BTreeMap<Whose, Tally> = BTreeMap::new();
    for (whose, value, sd) in told {
        tallies.entry(whose).or_default().add(value, sd);
    }
    let learned = tallies.into_iter().filter_map(|(whose, tally)| {
        let belief = tally.learned(property, book(&whose.1))?;
        Some((whose, belief))
    });
    learned.collect()
}

/// What may stand for the book's figures tonight: of every supplier's stream
/// with enough tests.
pub(crate) fn learned_by_supplier(
    book: &Book,
    tables: &Tables,
    until: Timestamp,
) -> Result<LearnedBySupplier> {
    let tests = Tests::of(book, until)?;
    let mut by_supplier: BTreeMap<Whose, Learned> = BTreeMap::new();
    let enough = |(_, belief): &(Whose, Belief)| belief.is_enough();
    for (whose, belief) in tests.moisture(tables).into_iter().filter(enough) {
        let value = ShareAsFed::from_pct(100.0 * belief.mean).ok();
        let of = by_supplier.entry(whose).or_default();
        of.moisture = value.map(|value| expected(value, &belief));
    }
    for (whose, belief) in tests.density(tables).into_iter().filter(enough) {
        let value = Density::new(1000.0 * belief.mean).ok();
        let of = by_supplier.entry(whose).or_default();
        of.density = value.map(|value| expected(value, &belief));
    }
    let shared = by_supplier.into_iter();
    Ok(shared
        .map(|(whose, learned)| (whose, Arc::new(learned)))
        .collect())
}

fn expected<T>(value: T, belief: &Belief) -> Expected<T> {
    Expected {
        value,
        sd: belief.lot_sd(),
        origin: say!("learn-origin", tests = belief.tests),
    }
}
