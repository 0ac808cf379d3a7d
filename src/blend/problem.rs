use std::collections::BTreeMap;

use crate::quantity::{Density, Division, Grams, Litres, ShareAsFed, ShareOfDry, SmallScale};
use crate::stream::{Analyte, Class, Measure, Stream, StreamId, Window};

use crate::words::{Said, say};

use super::sureness::Spreads;

/// Ash above this share of dry matter feeds nobody (our default: feeds and
/// scraps hold up to about 20 %, more is grit or soil).
const ASH_MOST: f64 = 0.25;
/// What holds more ash than this is shell, bone or stone, and larvae leave it (our default).
const ASH_OF_SHELL: f64 = 0.45;

/// What a kilogram is made of. Absent is unknown, never zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Composition {
    /// Moisture, wet basis.
    pub moisture: Option<ShareAsFed>,
    /// Analytes, of dry matter.
    pub analytes: BTreeMap<Analyte, ShareOfDry>,
    /// Settled bulk density.
    pub density: Option<Density>,
    /// Share of dry matter that feeds nobody and is no part of a ration.
    pub ballast: f64,
}

impl Composition {
    /// The book values of a stream.
    #[must_use]
    pub fn of(stream: &Stream) -> Self {
        Self {
            moisture: stream.moisture.map(|estimate| estimate.value),
            analytes: stream
                .analytes
                .iter()
                .map(|(analyte, estimate)| (analyte.clone(), estimate.value))
                .collect(),
            density: stream.bulk_density,
            ballast: ballast(stream),
        }
    }
}

/// All of a mineral and of shell, and of anything else the ash above [`ASH_MOST`].
fn ballast(stream: &Stream) -> f64 {
    let ash = stream.analyte("ash").map_or(0.0, |share| share.get());
    if stream.class == Class::Mineral || ash > ASH_OF_SHELL {
        return 1.0;
    }
    (ash - ASH_MOST).max(0.0)
}

/// A lot on hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// Its name, unique in the problem.
    pub name: String,
    pub stream: StreamId,
    pub on_hand: Grams,
    /// Weight that may be drawn: on hand less whole parts that larvae leave.
    pub edible: Grams,
    /// What it is made of: its own test where there is one, else the book.
    pub composition: Composition,
    /// Price per kilogram as fed; nothing to pay is zero.
    pub price_per_kg: f64,
    /// Days since it came in.
    pub age_days: f64,
    pub keeps_days: Option<f64>,
    /// Buckets it fills, for telling draws in buckets.
    pub buckets: f64,
    /// Why it stays out of every mix, if it does.
    pub barred: Option<Said>,
}

impl Lot {
    /// Whether any of it may be mixed at all.
    #[must_use]
    pub fn may_be_drawn(&self) -> bool {
        self.barred.is_none() && self.edible.get() > 0
    }

    /// Share of its keeping time that is used up, 0..=1; 0 when the keeping time is unknown.
    #[must_use]
    pub fn urgency(&self) -> f64 {
        self.keeps_days
            .map_or(0.0, |keeps| (self.age_days / keeps).clamp(0.0, 1.0))
    }
}

/// Something that can be bought for tonight.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    pub stream: StreamId,
    /// What it is made of.
    pub composition: Composition,
    /// Price per kilogram as fed.
    pub price_per_kg: f64,
    /// The most that can be had.
    pub limit: Grams,
}

/// Trays fed the same mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Group {
    /// Its name, unique in the problem.
    pub name: String,
    /// Dry matter wanted, kilograms, above zero.
    pub dry_matter_kg: f64,
    /// What its trays hold, if that binds.
    pub volume: Option<Litres>,
    /// Windows and limits on the mix.
    pub windows: BTreeMap<Measure, Window>,
    /// Largest share of the fed weight, by the cap's name: a stream, or a kind of them.
    pub caps: BTreeMap<StreamId, ShareAsFed>,
    /// The cap that a stream falls under by its kind.
    pub kinds: BTreeMap<StreamId, StreamId>,
    /// What to assume of an analyte that is unknown.
    pub assumed: BTreeMap<Analyte, ShareOfDry>,
    /// What to assume of a bulk density that is unknown.
    pub assumed_density: Option<Density>,
    /// The trays behind the volume, one entry a cohort; empty where only a volume is given.
    pub trays: Vec<TrayRoom>,
    /// Other groups that share its mix.
    pub others: u8,
}

impl Group {
    /// The name of the cap a stream falls under.
    #[must_use]
    pub fn cap_of<'a>(&'a self, stream: &'a StreamId) -> &'a StreamId {
        self.kinds.get(stream).unwrap_or(stream)
    }

    /// Whether it gets none of a stream at all.
    #[must_use]
    pub fn never_gets(&self, stream: &StreamId) -> bool {
        let cap = self.caps.get(self.cap_of(stream));
        cap.is_some_and(|cap| cap.get() <= 0.0)
    }
}

/// What one cohort's trays can take of its group's mix: `share` of it may fill
/// `trays * tray_l - lies_l` litres.
#[derive(Debug, Clone, PartialEq)]
pub struct TrayRoom {
    pub cohort: String,
    pub trays: i64,
    /// Litres one tray holds at the deepest layer.
    pub tray_l: f64,
    /// Litres that lie on all its trays already.
    pub lies_l: f64,
    /// The cohort's share of the group's mix, 0..=1.
    pub share: f64,
}

/// One night's blend as plain data.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    pub lots: Vec<Lot>,
    /// What can be bought.
    pub purchases: Vec<Purchase>,
    /// The most water that may be added, over all groups.
    pub water_limit: Grams,
    /// Feed groups; all share the stock.
    pub groups: Vec<Group>,
    /// The scale every weight on the sheet is rounded to.
    pub division: Division,
    /// How uncertain compositions are; without it nothing is said of chances.
    pub spreads: Option<Spreads>,
    /// What the farm wants besides the four goals.
    pub policy: Policy,
}

impl Problem {
    /// The same with so much water at most, or enough for any mix: what makes
    /// all dry matter wanted 95 % wet.
    #[must_use]
    pub fn with_water(mut self, most: Option<Grams>) -> Self {
        let wanted: f64 = self.groups.iter().map(|group| group.dry_matter_kg).sum();
        let enough = Grams::from_kg(19.0 * wanted).unwrap_or_default();
        self.water_limit = most.unwrap_or(enough);
        self
    }
}

/// What a farm wants of a mix besides the four goals. The default wants
/// nothing: the four goals, plainly.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Policy {
    /// In a shortage the smallest share fed is made as large as can be.
    pub fair: bool,
    /// The group that is fed first in a shortage.
    pub first: Option<String>,
    /// Water is the last resort: never a gram more than the goals before need.
    pub water_last: bool,
    /// The chance each window is to be kept at, from 0.5 and below 1.
    pub sure: Option<f64>,
    /// Few lines, none of them too small to carry.
    pub few: Option<Few>,
    /// One mix for groups that can share it; none where a group goes first.
    pub one_mix: bool,
    /// A second, finer scale: a group it can carry whole is weighed on it.
    pub small_scale: Option<SmallScale>,
}

impl Problem {
    /// The division of the scale a group of so much is weighed on.
    #[must_use]
    pub fn division_for(&self, group_kg: f64) -> Division {
        let small = self.policy.small_scale;
        let carries = |scale: &SmallScale| {
            group_kg <= scale.up_to.kg() && scale.division.kg() < self.division.kg()
        };
        small
            .filter(carries)
            .map_or(self.division, |scale| scale.division)
    }
}

/// How few lines a sheet is to have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Few {
    /// The smallest draw; `None` for our default by the group's weight.
    pub smallest: Option<Grams>,
    /// Lots a group takes from at most, where nobody goes short or less sure for
    /// it; `None`: as few as cost next to nothing (our default).
    pub most_lots: Option<usize>,
}

impl Policy {
    /// Our default for a farm that has said nothing else.
    #[must_use]
    pub fn ours() -> Self {
        Self {
            fair: true,
            first: None,
            water_last: true,
            sure: Some(0.8),
            few: Some(Few::default()),
            one_mix: true,
            small_scale: None,
        }
    }
}

impl Few {
    /// Why so little is left of a lot that it is no line of a sheet, if it is:
    /// under a tenth of its buckets and under the larger of two divisions and
    /// 250 g (our default).
    #[must_use]
    pub fn too_little(lot: &Lot, division: Division) -> Option<Said> {
        let little = (2.0 * division.kg()).max(0.25);
        (lot.buckets < 0.1 && lot.on_hand.kg() <= little).then(|| say!("lot-too-little"))
    }

    /// The smallest draw for a group fed so much, in whole divisions of the
    /// scale: as set, or the larger of two divisions and 2 % of the group's
    /// weight, the latter at most 1 kg (our default).
    #[must_use]
    pub fn smallest_draw(&self, division: Division, group_kg: f64) -> Grams {
        let kg = self.smallest.map_or_else(
            || (2.0 * division.kg()).max((0.02 * group_kg).min(1.0)),
            Grams::kg,
        );
        let steps = division.steps_nearest(kg + 0.499 * division.kg());
        division.grams(steps.max(1))
    }
}
