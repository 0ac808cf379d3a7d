use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::blend::{Composition, Group, Lot, Purchase};
use crate::quantity::{Density, Division, Grams};
use crate::stream::{AgeLimits, Stream, StreamId};

/// Age in days at which a load of the day is first fed (our default: it comes in
/// the morning and is fed in the evening).
pub const MORNING_TO_EVENING_DAYS: f64 = 0.5;

/// Several nights as plain data; the first is tonight.
#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    pub nights: Vec<NightAhead>,
    pub batches: Vec<Batch>,
    /// What can be bought, one for each delivery.
    pub offers: Vec<Offer>,
    pub water_limit: Grams,
    /// The scale tonight's weights are rounded to.
    pub division: Division,
    pub cold: Option<ColdStore>,
    pub storage: Storage,
    /// How many keeping times a lot may be used on later nights. Tonight one past
    /// its keeping time may still be used, as in the mix: staff look at it. A plan
    /// can't look.
    pub usable_keeping_times: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct NightAhead {
    pub day: Date,
    pub groups: Vec<Group>,
    pub larvae: i64,
}

/// A lot on hand, or one that is expected.
#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// The lot, its age reckoned on the first night it is there.
    pub lot: Lot,
    pub first: usize,
    pub supplier: String,
    pub expected: bool,
    /// Whether it must have columns of its own, though another batch is like it.
    pub apart: bool,
    /// The most keeping times its class may be used, whatever the plan's.
    pub most_times: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// What, at which price, and the most.
    pub purchase: Purchase,
    pub first: usize,
    pub keeps_days: Option<f64>,
    /// The most keeping times its class may be used, whatever the plan's.
    pub most_times: f64,
    /// Weight of one pack; `None` when any weight can be had.
    pub pack: Option<Grams>,
    pub order_by: Date,
}

/// A cold store. What is not drawn while fresh outside can be kept in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdStore {
    pub capacity_kg: f64,
    /// The most of one lot that may go in, 0..=1.
    pub share: f64,
    /// How many times longer things keep in it.
    pub keeps_times: f64,
}

/// What can be kept overnight; `None` does not bind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Storage {
    pub limit_kg: Option<f64>,
    pub limit_l: Option<f64>,
    /// Bulk density to assume where a lot's is unknown.
    pub assumed_density: Option<Density>,
}

impl Storage {
    pub fn binds(&self) -> bool {
        self.limit_kg.or(self.limit_l).is_some()
    }
}

impl Batch {
    /// A fresh lot that is there from a night on: all of it to be fed, nothing
    /// to pay, no keeping time, nobody's.
    pub fn of(
        name: String,
        stream: &StreamId,
        grams: Grams,
        composition: Composition,
        first: usize,
    ) -> Self {
        let lot = Lot {
            name,
            stream: stream.clone(),
            on_hand: grams,
            edible: grams,
            composition,
            price_per_kg: 0.0,
            age_days: 0.0,
            keeps_days: None,
            buckets: 1.0,
            barred: None,
        };
        Self::plain(lot, first)
    }

    /// A load that is to come, made of what the stream table says.
    pub fn to_come(
        name: String,
        stream: &Stream,
        load: Grams,
        ages: &AgeLimits,
        first: usize,
    ) -> Self {
        let mut batch = Self::of(name, &stream.id, load, Composition::of(stream), first);
        batch.lot.edible = stream.edible_of(load, load);
        batch.lot.age_days = MORNING_TO_EVENING_DAYS;
        batch.lot.keeps_days = stream.keeps_days;
        batch.expected = true;
        batch.most_times = ages.class_limit([stream.class]);
        batch
    }

    /// A lot that is there from a night on.
    pub const fn plain(lot: Lot, first: usize) -> Self {
        Self {
            lot,
            first,
            supplier: String::new(),
            expected: false,
            apart: false,
            most_times: f64::INFINITY,
        }
    }

    /// Days of age on a night; in a cold store a day after the first counts less.
    pub fn age_on(&self, night: usize, slowed: f64) -> f64 {
        self.lot.age_days + night.saturating_sub(self.first) as f64 / slowed
    }

    /// Share of the keeping time used up on a night, not cut off at 1.
    pub fn used_up_on(&self, night: usize) -> f64 {
        self.lot
            .keeps_days
            .map_or(0.0, |keeps| self.age_on(night, 1.0) / keeps)
    }

    /// The last night it may be used, which may lie beyond the plan: the first
    /// night always, later ones while its age is at most so many keeping times.
    pub fn last_night(&self, usable_keeping_times: f64, slowed: f64) -> usize {
        let Some(keeps) = self.lot.keeps_days else {
            return usize::MAX;
        };
        let times = usable_keeping_times.min(self.most_times);
        last(self.first, (times * keeps - self.lot.age_days) * slowed)
    }
}

impl Offer {
    pub fn last_night(&self, usable_keeping_times: f64) -> usize {
        let times = usable_keeping_times.min(self.most_times);
        (self.keeps_days).map_or(usize::MAX, |keeps| last(self.first, times * keeps))
    }
}

impl Outlook {
    /// The last night a batch may be used outside the cold store.
    pub fn last_night(&self, batch: &Batch) -> usize {
        batch.last_night(self.usable_keeping_times, 1.0)
    }

    /// The last night it may be used, where there is a cold store out of that.
    pub fn last_cold(&self, batch: &Batch) -> usize {
        batch.last_night(self.usable_keeping_times, self.slowed())
    }

    pub fn slowed(&self) -> f64 {
        self.cold.map_or(1.0, |cold| cold.keeps_times)
    }

    /// The first nights alone, with what is there or comes in them, and which
    /// batches those are.
    pub fn first_nights(&self, nights: usize) -> (Self, Vec<usize>) {
        let mut first = self.clone();
        first.nights.truncate(nights);
        first.offers.retain(|offer| offer.first < nights);
        let all = self.batches.iter().enumerate();
        let kept = all.filter(|(_, batch)| batch.first < nights);
        let kept: Vec<usize> = kept.map(|(index, _)| index).collect();
        first.batches.retain(|batch| batch.first < nights);
        (first, kept)
    }

    pub fn dry_matter_kg(&self) -> f64 {
        let groups = self.nights.iter().flat_map(|night| &night.groups);
        groups.map(|group| group.dry_matter_kg).sum()
    }

    pub fn streams(&self) -> BTreeSet<StreamId> {
        let batches = self.batches.iter().map(|batch| &batch.lot.stream);
        let offers = self.offers.iter().map(|offer| &offer.purchase.stream);
        batches.chain(offers).cloned().collect()
    }

    /// Places of the offers in the order of their streams.
    pub(super) fn offers_by_stream(&self) -> Vec<usize> {
        let stream = |index: usize| &self.offers[index].purchase.stream;
        let mut all: Vec<usize> = (0..self.offers.len()).collect();
        all.sort_by(|&a, &b| stream(a).cmp(stream(b)));
        all
    }

    pub fn without_buying(&self) -> Self {
        Self {
            offers: Vec::new(),
            ..self.clone()
        }
    }
}

/// The last night that begins no more than `days` after the first.
fn last(first: usize, days: f64) -> usize {
    // A hair is given, so that a lot of exactly so many keeping times counts.
    let days = (days + 1e-9).floor();
    if days <= 0.0 {
        return first;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float too large becomes the largest number, which is beyond every plan"
    )]
    let nights = days as usize;
    first.saturating_add(nights)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn batch(age_days: f64, keeps_days: Option<f64>) -> Batch {
        let stream = StreamId::parse("spent-grain").expect("id");
        let composition = Composition::default();
        let mut batch = Batch::of("1".into(), &stream, Grams::new(1_000), composition, 1);
        (batch.lot.age_days, batch.lot.keeps_days) = (age_days, keeps_days);
        batch
    }

    #[test]
    fn lots_pass_from_fresh_to_spoiled_by_age() {
        let grain = batch(0.5, Some(2.0));
        assert_eq!(grain.last_night(2.0, 1.0), 4); // ages 0.5, 1.5, 2.5, 3.5
        assert_eq!(grain.last_night(2.0, 3.0), 11);
        assert_eq!(batch(9.0, Some(2.0)).last_night(2.0, 1.0), 1);
        assert_eq!(batch(9.0, None).last_night(2.0, 1.0), usize::MAX);
        let meat = Batch {
            most_times: 1.0,
            ..batch(0.5, Some(2.0))
        };
        assert_eq!(meat.last_night(2.0, 1.0), 2);
        assert!((grain.used_up_on(4) - 1.75).abs() < 1e-12);
    }
}
