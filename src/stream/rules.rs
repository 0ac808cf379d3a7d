use std::collections::BTreeMap;

use crate::quantity::word_enum;
use crate::table::{Finding, Findings, Table};

use super::{Class, Stream, StreamId};

word_enum!(
    /// What a farm's larvae are for.
    LarvaeFor {
        /// Feed for poultry, fish or pigs.
        PoultryFishPig = "poultry-fish-pig",
        /// Feed for pets.
        Pet = "pet",
        /// Not feed: fuel, research, compost.
        NotFeed = "not-feed",
    }
);
word_enum!(
    /// Where a farm is, for the rules on use.
    Region {
        /// European Union.
        Eu = "eu",
        /// Great Britain.
        Gb = "gb",
        /// United States.
        Us = "us",
        /// Anywhere else.
        Other = "other",
    }
);
word_enum!(
    /// What a rule says of a class; later is stricter.
    Ruling {
        /// Usually allowed, with records.
        Allowed = "allowed",
        /// Conditional: ask first.
        Ask = "ask",
        /// Usually barred.
        Barred = "barred",
    }
);

/// One rule on use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    /// What it says.
    pub ruling: Ruling,
    /// The class or stream it is about.
    pub applies_to: String,
    /// Why, in a sentence or two.
    pub reason: String,
    /// Where it comes from.
    pub source: String,
    /// The day it was looked up.
    pub as_of: String,
}

/// The rules that hold for one farm: its region and what its larvae are for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UseRules {
    larvae_for: LarvaeFor,
    region: Region,
    by_class: BTreeMap<Class, Rule>,
    by_stream: BTreeMap<StreamId, Rule>,
}

const COLUMNS: [&str; 7] = [
    "applies_to",
    "larvae_for",
    "region",
    "ruling",
    "reason",
    "source",
    "as_of",
];

impl UseRules {
    /// Reads the rule table and keeps what holds for one farm.
    ///
    /// # Errors
    /// All findings, among them a class without a rule for this farm.
    pub fn read(
        file: &str,
        bytes: &[u8],
        larvae_for: LarvaeFor,
        region: Region,
    ) -> Result<Self, Findings> {
        let table = Table::read(file, bytes, &COLUMNS, |_| false)?;
        let mut rules = Self {
            larvae_for,
            region,
            by_class: BTreeMap::new(),
            by_stream: BTreeMap::new(),
        };
        let rows = table.rows(|row| {
            let applies_to = row.needed("applies_to", "a class or a stream id")?;
            let target = row.parsed("applies_to", "a class or a stream id", |text| {
                Class::parse(text)
                    .map(Err)
                    .or_else(|| StreamId::parse(text).map(Ok))
            });
            let row_for = row.parsed("larvae_for", &LarvaeFor::accepted(), LarvaeFor::parse);
            let row_region = row.parsed("region", &Region::accepted(), Region::parse);
            let ruling = row.parsed("ruling", &Ruling::accepted(), Ruling::parse);
            let reason = row.needed("reason", "why, in a sentence");
            let source = row.needed("source", "where it comes from");
            row.needed("as_of", "a day such as 2026-11-25");
            let as_of = row.parsed("as_of", "a day such as 2026-11-25", |text| {
                text.parse::<jiff::civil::Date>().ok()
            });
            let rule = Rule {
                ruling: ruling?,
                applies_to,
                reason: reason?,
                source: source?,
                as_of: as_of?.to_string(),
            };
            Some((target?, row_for?, row_region?, rule))
        })?;
        for (target, row_for, row_region, rule) in rows {
            if (row_for, row_region) == (larvae_for, region) {
                match target {
                    Ok(stream) => rules.by_stream.insert(stream, rule),
                    Err(class) => rules.by_class.insert(class, rule),
                };
            }
        }
        let missing: Vec<Finding> = Class::ALL
            .into_iter()
            .filter(|class| !rules.by_class.contains_key(class))
            .map(|class| Finding {
                file: file.to_owned(),
                row: None,
                field: "applies_to".to_owned(),
                seen: format!("no row for {class}, {larvae_for}, {region}"),
                accepted: "a row for every class, use and region".to_owned(),
            })
            .collect();
        if missing.is_empty() {
            Ok(rules)
        } else {
            Err(Findings(missing))
        }
    }

    /// The rule for a stream that touched further classes: the strictest of all.
    #[must_use]
    pub fn strictest(&self, stream: &Stream, touched: &[Class]) -> Option<&Rule> {
        let own = self
            .by_stream
            .get(&stream.id)
            .or_else(|| self.by_class.get(&stream.class));
        let others = touched.iter().filter_map(|class| self.by_class.get(class));
        stricter(own.into_iter().chain(others))
    }

    /// The rule for larvae that ate several lots, each a stream with the further
    /// classes it touched: the strictest of all. One more lot can make it
    /// stricter, none can make it milder; `None` when nothing was eaten.
    #[must_use]
    pub fn strictest_of_all<'a>(
        &self,
        eaten: impl IntoIterator<Item = (&'a Stream, &'a [Class])>,
    ) -> Option<&Rule> {
        let each = eaten.into_iter();
        stricter(each.filter_map(|(stream, touched)| self.strictest(stream, touched)))
    }

    /// What the farm's larvae are for.
    #[must_use]
    pub fn larvae_for(&self) -> LarvaeFor {
        self.larvae_for
    }

    /// Where the farm is.
    #[must_use]
    pub fn region(&self) -> Region {
        self.region
    }
}

/// The strictest rule; the first of equals, so that a stream's own reason stands.
fn stricter<'a>(rules: impl Iterator<Item = &'a Rule>) -> Option<&'a Rule> {
    rules.reduce(|kept, next| {
        if next.ruling > kept.ruling {
            next
        } else {
            kept
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::{SHIPPED_STREAMS, SHIPPED_USE_RULES, StreamTable};

    /// Every pair of shipped streams, under every use and region.
    #[test]
    fn one_more_lot_never_makes_it_milder() {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let mut seen = Vec::new();
        for (larvae_for, region) in LarvaeFor::ALL
            .iter()
            .flat_map(|larvae_for| Region::ALL.iter().map(move |region| (*larvae_for, *region)))
        {
            let rules = UseRules::read("use-rules.csv", SHIPPED_USE_RULES, larvae_for, region);
            let rules = rules.expect("rules");
            let ruling = |lots: &[(&Stream, &[Class])]| {
                let rule = rules.strictest_of_all(lots.iter().copied());
                rule.map(|rule| rule.ruling)
            };
            assert_eq!(ruling(&[]), None);
            for one in streams.iter() {
                let alone = ruling(&[(one, &[])]);
                seen.extend(alone);
                for other in streams.iter() {
                    let both = ruling(&[(one, &[]), (other, &[])]);
                    assert_eq!(both, alone.max(ruling(&[(other, &[])])));
                    assert_eq!(both, ruling(&[(other, &[]), (one, &[])]));
                }
                let touched = ruling(&[(one, &[Class::Grain]), (one, &[Class::MeatFish])]);
                assert_eq!(touched, ruling(&[(one, &[Class::Grain, Class::MeatFish])]));
            }
        }
        // The shipped rules say all three, so the comparison is one.
        assert!(Ruling::ALL.iter().all(|ruling| seen.contains(ruling)));
    }
}
