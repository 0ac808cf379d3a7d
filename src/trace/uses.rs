//! What larvae may still be used for after what they ate.

use std::collections::BTreeSet;

use crate::stream::{Class, LarvaeFor, Rule, Ruling, Stream, StreamId, StreamTable, UseRules};
use crate::words::{Said, say};

use super::{LotTraced, Origin, Trace};

/// What larvae may be used for after what they ate, by the farm's rule table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UseLeft {
    /// Classes that went in, own and touched.
    pub classes: BTreeSet<Class>,
    /// Streams whose class is not known, as they are not in the stream table.
    pub unknown: BTreeSet<StreamId>,
    /// Each use in the farm's region with the strictest rule on it, the farm's
    /// own use first; no rule where nothing that went in is known.
    pub uses: Vec<(LarvaeFor, Option<Rule>)>,
    /// What brought in the strictest rule for the farm's own use.
    pub decided_by: Vec<Said>,
}

impl UseLeft {
    /// The ruling on the farm's own use; `None` where it is not known.
    pub fn ruling(&self) -> Option<Ruling> {
        let (_, rule) = self.uses.first()?;
        rule.as_ref().map(|rule| rule.ruling)
    }
}

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

/// The rules on every use in the farm's region, the farm's own first.
pub struct Uses<'a> {
    pub streams: &'a StreamTable,
    pub rules: Vec<UseRules>,
}

impl Uses<'_> {
    /// What these lots leave of the uses of larvae that ate of them.
    pub fn of_lots(&self, lots: &[LotTraced]) -> UseLeft {
        self.left(&lots.iter().map(of_lot).collect::<Vec<_>>())
    }

    /// What each cohort of a trace may still be used for.
    pub fn of_cohorts(&self, trace: &Trace) -> Vec<(Said, UseLeft)> {
        let eaten = trace.eaten();
        let food = |origin| match origin {
            &Origin::Lot(lot) => trace.lot(lot).map(of_lot),
            Origin::Bought(stream) => Some(Food {
                stream,
                touched: &[],
                said: say!("trace-bought", stream),
            }),
            Origin::Water => None,
        };
        let each = eaten.iter().map(|(cohort, eaten)| {
            let foods: Vec<Food<'_>> = eaten.of.keys().filter_map(food).collect();
            let cohort = say!("trace-cohort", cohort = trace.cohort_name(*cohort));
            (cohort, self.left(&foods))
        });
        each.collect()
    }

    fn left(&self, foods: &[Food<'_>]) -> UseLeft {
        let known = |food: &Food<'_>| self.streams.get(food.stream);
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
