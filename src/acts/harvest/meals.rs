//! Who ate of what was fed.

use std::collections::HashMap;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::acts::farm::cohort::on_trays;
use crate::acts::night::local_day;
use crate::daybook::{CohortLife, FedLine};
use crate::larvae::{CohortOnTrays, Due, StageTable, eaters};
use crate::stream::StreamId;
use crate::trace::Origin;

/// One origin's weight at one meal of a feed group.
pub(crate) type Helping = FedLine<Origin>;

/// Of what never was in stock.
pub(crate) fn of_no_lot(stream: Option<StreamId>) -> Origin {
    stream.map_or(Origin::Water, Origin::Bought)
}

pub(crate) struct Eater {
    pub(crate) cohort_seq: i64,
    /// Dry matter the stage table asks for, kilograms.
    pub(crate) asked_kg: f64,
    /// Of the group's weight, 0..=1.
    pub(crate) share: f64,
    pub(crate) stage: String,
}

/// Who ate at each meal, each meal looked up once.
///
/// A record of feeding names the feed group, not its cohorts: the group's
/// weight is shared among those that were on their trays that night and
/// due in it, by the dry matter the stage table asks for each (our rule, as on
/// the sheet).
pub(crate) struct Meals<'a> {
    by: (&'a StageTable, &'a TimeZone),
    lives: &'a [CohortLife],
    known: HashMap<i64, Feeding>,
}

/// Who was on trays when a record of feeding was made, and ate in each group.
struct Feeding {
    seqs: Vec<i64>,
    cohorts: Vec<CohortOnTrays>,
    eaters: HashMap<String, Vec<Eater>>,
}

impl<'a> Meals<'a> {
    pub(crate) fn of(by: (&'a StageTable, &'a TimeZone), lives: &'a [CohortLife]) -> Self {
        Self {
            by,
            lives,
            known: HashMap::new(),
        }
    }

    /// Who ate of a helping; nobody where no cohort was due in the group.
    pub(crate) fn eaters(&mut self, of: &Helping) -> &[Eater] {
        let ((stages, zone), lives) = (self.by, self.lives);
        let feeding = (self.known.entry(of.fed_seq))
            .or_insert_with(|| Feeding::of(lives, of.night, of.at, zone));
        let (seqs, cohorts) = (&feeding.seqs, &feeding.cohorts);
        let eaten = feeding.eaters.entry(of.group.clone());
        eaten.or_insert_with(|| {
            let Some(group) = eaters(cohorts, of.night, &of.group, stages) else {
                return Vec::new();
            };
            let eater = |due: &Due| {
                let is_it = |one: &CohortOnTrays| {
                    (&one.name, one.hatched) == (&due.cohort.name, due.cohort.hatched)
                };
                Some(Eater {
                    cohort_seq: seqs[cohorts.iter().position(is_it)?],
                    asked_kg: due.dry_matter_kg,
                    share: group.share(due),
                    stage: stages.at_age(due.age_days)?.name.clone(),
                })
            };
            group.due.iter().filter_map(eater).collect()
        })
    }
}

impl Feeding {
    /// What was written down late is still that night's, so an end on a later
    /// day does not take a cohort away from it.
    fn of(lives: &[CohortLife], night: Date, at: Timestamp, zone: &TimeZone) -> Self {
        let outlived = |ended: Timestamp| ended >= at || local_day(ended, zone) > night;
        let lived = |life: &&CohortLife| {
            life.cohort.at <= at && (life.ended.as_ref()).is_none_or(|(ended, _)| outlived(*ended))
        };
        let living = || lives.iter().filter(lived).map(|life| &life.cohort);
        Self {
            seqs: living().map(|cohort| cohort.seq).collect(),
            cohorts: living().map(|cohort| on_trays(cohort, zone)).collect(),
            eaters: HashMap::new(),
        }
    }
}
