use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::quantity::wire::Text;
use crate::quantity::word_enum;
use crate::table::{Finding, Findings, Table, findings_or};
use crate::words::{Said, say};

use super::{Class, Stream, StreamId};

word_enum!(
    /// What a farm's larvae are for.
    LarvaeFor {
        /// Feed for poultry, fish or pigs.
        PoultryFishPig = "poultry-fish-pig",
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
        Barred = "barred",
    }
);

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    pub ruling: Ruling,
    pub applies_to: String,
    pub reason: String,
    pub source: String,
    /// The year of that source: `2009-2021`, `undated`, `none` where no rule
    /// was read; empty when not said.
    pub source_year: String,
    /// The day this table's row was compiled, which says nothing of how new
    /// the source is.
    pub as_of: String,
}

impl Rule {
    pub fn origin(&self) -> Said {
        let year = match self.source_year.as_str() {
            "" => "undated",
            year => year,
        };
        say!("rule-origin", year, compiled = &self.as_of)
    }
}

/// An authority's leave to feed a stream that is "ask first". It lifts that,
/// whatever the load touched, and nothing that is barred.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Leave {
    pub stream: StreamId,
    /// The supplier it is for; `None`: all.
    pub supplier: Option<String>,
    pub given_by: String,
    #[serde(with = "Text")]
    pub given_on: Date,
    /// What it allows, in the authority's words.
    pub what_for: String,
}

/// The rules that hold for one farm: its region and what its larvae are for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UseRules {
    larvae_for: LarvaeFor,
    by_class: BTreeMap<Class, Rule>,
    by_stream: BTreeMap<StreamId, Rule>,
    mouldy: Option<Rule>,
    leaves: Vec<Leave>,
}

/// In `applies_to`: a load in this state, whatever it is.
const MOULDY: &str = "mouldy";
/// In `larvae_for` and `region`: every one of them.
const ANY: &str = "any";

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
    /// Reads the rule table and keeps what holds for one farm; `source_year`
    /// may be left out.
    ///
    /// # Errors
    /// All findings, among them a class without a rule for this farm.
    pub fn read(
        file: &str,
        bytes: &[u8],
        larvae_for: LarvaeFor,
        region: Region,
    ) -> Result<Self, Findings> {
        let table = Table::read(file, bytes, &COLUMNS, |name| name == "source_year")?;
        let mut rules = Self {
            larvae_for,
            by_class: BTreeMap::new(),
            by_stream: BTreeMap::new(),
            mouldy: None,
            leaves: Vec::new(),
        };
        let rows = table.rows(|row| {
            let accepted = say!("accepted-rule-target");
            let applies_to = row.needed("applies_to", &accepted)?;
            let target = row.parsed("applies_to", accepted, |text| {
                Class::parse(text)
                    .map(Err)
                    .or_else(|| StreamId::parse(text).map(Ok))
            });
            let or_any = |words: String| say!("accepted-or", words, other = ANY);
            let row_for = row.parsed("larvae_for", or_any(LarvaeFor::accepted()), |text| {
                let any = (text == ANY).then_some(larvae_for);
                any.or_else(|| LarvaeFor::parse(text))
            });
            let row_region = row.parsed("region", or_any(Region::accepted()), |text| {
                let any = (text == ANY).then_some(region);
                any.or_else(|| Region::parse(text))
            });
            let ruling = row.parsed("ruling", Ruling::accepted(), Ruling::parse);
            let reason = row.needed("reason", say!("accepted-why"));
            let source = row.needed("source", say!("accepted-from-where"));
            let day = |text: &str| text.parse::<Date>().ok();
            let as_of = row.required("as_of", say!("accepted-day", day = "2026-11-25"), day);
            let rule = Rule {
                ruling: ruling?,
                applies_to,
                reason: reason?,
                source: source?,
                source_year: row.text("source_year").unwrap_or_default().to_owned(),
                as_of: as_of?.to_string(),
            };
            Some((target?, row_for?, row_region?, rule))
        })?;
        for (target, row_for, row_region, rule) in rows {
            if (row_for, row_region) == (larvae_for, region) {
                match target {
                    Ok(state) if state.as_str() == MOULDY => rules.mouldy.replace(rule),
                    Ok(stream) => rules.by_stream.insert(stream, rule),
                    Err(class) => rules.by_class.insert(class, rule),
                };
            }
        }
        let ruled = |class: &Class| rules.by_class.contains_key(class);
        let missing = Class::ALL.into_iter().filter(|class| !ruled(class));
        let missing = missing.map(|class| {
            let seen = say!("seen-no-rule", class, larvae_for, region);
            let accepted = say!("accepted-every-rule");
            Finding::at(file, None, "applies_to", seen, accepted)
        });
        findings_or(missing.collect(), rules)
    }

    /// These rules with the leaves an authority gave, oldest first.
    pub fn with_leaves(mut self, leaves: &[Leave]) -> Self {
        self.leaves.extend_from_slice(leaves);
        self
    }

    /// The newest leave to feed a stream of a supplier; where nobody says whose
    /// it is, one that is for all.
    pub fn leave(&self, stream: &StreamId, supplier: Option<&str>) -> Option<&Leave> {
        let covers = |leave: &&Leave| {
            let folded = |name: &str| name.trim().to_lowercase();
            let named = leave.supplier.as_deref().map(folded);
            leave.stream == *stream && (named.is_none() || named == supplier.map(folded))
        };
        self.leaves.iter().rev().find(covers)
    }

    pub fn mouldy(&self) -> Option<&Rule> {
        self.mouldy.as_ref()
    }

    /// The rule for a stream that touched further classes: the strictest of all.
    pub fn strictest(&self, stream: &Stream, touched: &[Class]) -> Option<&Rule> {
        let by_id = stream.ids().find_map(|id| self.by_stream.get(id));
        let own = by_id.or_else(|| self.by_class.get(&stream.class));
        let others = touched.iter().filter_map(|class| self.by_class.get(class));
        stricter(own.into_iter().chain(others))
    }

    /// The rule for larvae that ate several lots, each a stream with the further
    /// classes it touched: the strictest of all. One more lot can make it
    /// stricter, none can make it milder; `None` when nothing was eaten.
    pub fn strictest_of_all<'a>(
        &self,
        eaten: impl IntoIterator<Item = (&'a Stream, &'a [Class])>,
    ) -> Option<&Rule> {
        let each = eaten.into_iter();
        stricter(each.filter_map(|(stream, touched)| self.strictest(stream, touched)))
    }

    pub fn larvae_for(&self) -> LarvaeFor {
        self.larvae_for
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
