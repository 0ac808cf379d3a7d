use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use jiff::civil::Date;

use super::meals::{Helping, Meals, of_no_lot};
use crate::acts::{Desk, Result, Tables};
use crate::blend::Composition;
use crate::daybook::{CohortLife, LotFacts};
use crate::quantity::ShareAsFed;
use crate::stream::{Analyte, StreamId};
use crate::trace::Origin;

/// What a cohort was given over some nights. Weights are kilograms.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Given {
    /// As fed, water in it.
    pub wet_kg: f64,
    /// Dry matter of the parts whose moisture is known.
    pub dry_matter_kg: f64,
    /// As fed, of parts whose moisture nobody knows.
    pub unknown_kg: f64,
    /// Of each analyte: its weight, and the dry matter in which it is known.
    pub analytes: BTreeMap<Analyte, Known>,
    /// As fed, by stream; water is not among them.
    pub streams_kg: BTreeMap<StreamId, f64>,
    /// As fed, by the lot's ticket.
    pub lots_kg: BTreeMap<i64, f64>,
    /// As fed, of what was bought for the night, by stream.
    pub added_kg: BTreeMap<StreamId, f64>,
    pub water_kg: f64,
    pub nights: BTreeSet<Date>,
    /// By stage: dry matter, and how many meals.
    pub stages: BTreeMap<String, StageFeed>,
}

/// Weight of an analyte, and the dry matter it was found in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    pub kg: f64,
    /// Kilograms of dry matter whose content is known.
    pub of_dry_matter_kg: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StageFeed {
    pub dry_matter_kg: f64,
    pub nights: i32,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct CohortFeed {
    /// By cohort. What a group got in which no cohort was due is not in it.
    pub given: BTreeMap<i64, Given>,
}

/// What each cohort was given in the nights from `from` to `to`.
///
/// Each meal is shared as `meals.rs` says. Dry matter is by each lot's newest
/// moisture test, else its dock moisture, else the stream table.
pub fn cohort_feed(
    (book, farm, tables): Desk<'_>,
    lives: &[CohortLife],
    (from, to): (Date, Date),
) -> Result<CohortFeed> {
    book.at_one_moment(|book| {
        let lines = book.fed_lines(from, to)?;
        let facts = book.lot_facts(lines.iter().map(|line| line.of))?;
        let added = book.added_lines(from, to)?.into_iter();
        let mut helpings: Vec<Helping> = (lines.into_iter().map(|line| line.map(Origin::Lot)))
            .chain(added.map(|line| line.map(of_no_lot)))
            .collect();
        helpings.sort_by(|a, b| meal_of(a).cmp(&meal_of(b)));
        let composition = |of: &Helping| match &of.of {
            Origin::Lot(seq) => facts.get(seq).map(|lot| composition_of(lot, tables)),
            Origin::Bought(stream) => tables.streams.get(stream).map(Composition::of),
            Origin::Water => None,
        };
        let stream = |of: &Helping| match &of.of {
            Origin::Lot(seq) => facts.get(seq).map(|lot| lot.stream.clone()),
            Origin::Bought(stream) => Some(stream.clone()),
            Origin::Water => None,
        };
        let mut meals = Meals::of((&tables.stages, &farm.zone), lives);
        let mut feed = CohortFeed::default();
        for meal in helpings.chunk_by(|a, b| meal_of(a) == meal_of(b)) {
            let eaters = meals.eaters(&meal[0]);
            let parts = meal.iter().map(|of| (of, stream(of), composition(of)));
            let parts: Vec<_> = parts.collect();
            for eater in eaters {
                let given = feed.given.entry(eater.cohort_seq).or_default();
                given.nights.insert(meal[0].night);
                let before = given.dry_matter_kg;
                for (helping, stream, composition) in &parts {
                    let kg = helping.grams.kg() * eater.share;
                    given.take(kg, &helping.of, stream.as_ref(), composition.as_ref());
                }
                let stage = given.stages.entry(eater.stage.clone()).or_default();
                stage.dry_matter_kg += given.dry_matter_kg - before;
                stage.nights += 1;
            }
        }
        Ok(feed)
    })
}

fn meal_of(helping: &Helping) -> (Date, Timestamp, &str) {
    (helping.night, helping.at, &helping.group)
}

/// What a lot is made of, as [`cohort_feed`] reckons.
pub(crate) fn composition_of(lot: &LotFacts, tables: &Tables) -> Composition {
    let stream = tables.streams.get(&lot.stream);
    let mut composition = stream.map(Composition::of).unwrap_or_default();
    // What was learned later of the supplier's loads does not count: the figures of
    // a harvest would change with every load tested after it.
    let tested = lot.assay.as_ref().map(|assay| assay.moisture_pct);
    if let Some(moisture) =
        (tested.or(lot.moisture_pct)).and_then(|pct| ShareAsFed::from_pct(pct).ok())
    {
        composition.moisture = Some(moisture);
    }
    composition
}

impl Given {
    fn take(
        &mut self,
        kg: f64,
        origin: &Origin,
        stream: Option<&StreamId>,
        made_of: Option<&Composition>,
    ) {
        self.wet_kg += kg;
        match origin {
            Origin::Lot(seq) => *self.lots_kg.entry(*seq).or_default() += kg,
            Origin::Bought(stream) => *self.added_kg.entry(stream.clone()).or_default() += kg,
            Origin::Water => {
                self.water_kg += kg;
                return;
            }
        }
        if let Some(stream) = stream {
            *self.streams_kg.entry(stream.clone()).or_default() += kg;
        }
        let known = made_of.and_then(|made_of| Some((made_of, made_of.moisture?)));
        let Some((made_of, moisture)) = known else {
            self.unknown_kg += kg;
            return;
        };
        let dry_matter = kg * (1.0 - moisture.get());
        self.dry_matter_kg += dry_matter;
        for (analyte, share_of_dry) in &made_of.analytes {
            let known = self.analytes.entry(analyte.clone()).or_default();
            known.kg += dry_matter * share_of_dry.get();
            known.of_dry_matter_kg += dry_matter;
        }
    }

    /// Share of an analyte in the dry matter it is known in, 0..=1; `None`
    /// where it is known for less than nine tenths of it (our default).
    pub fn share_of(&self, analyte: &Analyte) -> Option<f64> {
        let known = self.analytes.get(analyte)?;
        (self.dry_matter_kg > 0.0 && known.of_dry_matter_kg >= 0.9 * self.dry_matter_kg)
            .then(|| known.kg / known.of_dry_matter_kg)
    }

    /// Moisture of all that was given, 0..=1; `None` when some of it is not known.
    pub fn moisture(&self) -> Option<f64> {
        (self.wet_kg > 0.0 && self.unknown_kg <= 0.0)
            .then(|| 1.0 - self.dry_matter_kg / self.wet_kg)
    }
}
