//! What larvae may still be used for after what they ate.

use std::collections::BTreeSet;

use crate::acts::{FarmSettings, Result, Tables};
use crate::stream::{Class, LarvaeFor, Ruling, Stream, StreamId, UseRules};
use crate::trace::{Eaten, LotTraced, Origin, Trace, UseLeft};
use crate::words::{Said, say};

/// Something eaten, as the rules look at it.
struct Food<'a> {
    stream: &'a StreamId,
    touched: &'a [Class],
    said: Said,
}

fn of_lot(lot: &LotTraced) -> Food<'_> {
    Food {
        stream: &lot.stream,
        touched: &lot.touched,
        said: say!(
            "trace-lot",
            lot = &lot.name,
            stream = &lot.stream,
            supplier = &lot.supplier,
        ),
    }
}

/// What these lots leave of the uses of larvae that ate of them.
pub(crate) fn use_of_lots(
    lots: &[LotTraced],
    tables: &Tables,
    farm: &FarmSettings,
) -> Result<UseLeft> {
    let foods: Vec<Food<'_>> = lots.iter().map(of_lot).collect();
    Ok(Uses::open(tables, farm)?.left(&foods))
}

/// What each cohort of a trace may still be used for.
pub(crate) fn uses_of_cohorts(
    trace: &Trace,
    tables: &Tables,
    farm: &FarmSettings,
) -> Result<Vec<(Said, UseLeft)>> {
    let rules = Uses::open(tables, farm)?;
    let eaten = trace.eaten();
    let of_cohort = |(cohort, eaten): (&i64, &Eaten)| {
        let foods = eaten.of.keys().filter_map(|origin| match origin {
            Origin::Lot(lot) => trace.lot(*lot).map(of_lot),
            Origin::Bought(stream) => Some(Food {
                stream,
                touched: &[],
                said: say!("trace-bought", stream),
            }),
            Origin::Water => None,
        });
        let foods: Vec<Food<'_>> = foods.collect();
        (
            say!("trace-cohort", cohort = trace.cohort_name(*cohort)),
            rules.left(&foods),
        )
    };
    Ok(eaten.iter().map(of_cohort).collect())
}

/// The rules on every use in the farm's region, the farm's own first.
struct Uses<'a> {
    tables: &'a Tables,
    rules: Vec<UseRules>,
}

impl<'a> Uses<'a> {
    fn open(tables: &'a Tables, farm: &FarmSettings) -> Result<Self> {
        let own = std::iter::once(farm.larvae_for);
        let others = (LarvaeFor::ALL.iter().copied()).filter(|one| *one != farm.larvae_for);
        let rules = own
            .chain(others)
            .map(|one| tables.rules_for(one, farm.region));
        let rules = rules.collect::<Result<_, _>>()?;
        Ok(Self { tables, rules })
    }

    fn left(&self, foods: &[Food<'_>]) -> UseLeft {
        let known = |food: &Food<'_>| self.tables.streams.get(food.stream);
        let eaten = || {
            let known = foods
                .iter()
                .filter_map(|food| Some((known(food)?, food.touched)));
            known.collect::<Vec<(&Stream, &[Class])>>()
        };
        let mut left = UseLeft {
            classes: BTreeSet::new(),
            unknown: BTreeSet::new(),
            uses: (self.rules.iter())
                .map(|rules| (rules.larvae_for(), rules.strictest_of_all(eaten()).cloned()))
                .collect(),
            decided_by: Vec::new(),
        };
        let strictest = left.ruling().filter(|ruling| *ruling > Ruling::Allowed);
        for food in foods {
            left.classes.extend(food.touched);
            let Some(stream) = known(food) else {
                left.unknown.insert(food.stream.clone());
                continue;
            };
            left.classes.insert(stream.class);
            let own = self.rules.first();
            let own = own.and_then(|rules| rules.strictest(stream, food.touched));
            if strictest.is_some() && own.map(|rule| rule.ruling) == strictest {
                left.decided_by.push(food.said.clone());
            }
        }
        left
    }
}
