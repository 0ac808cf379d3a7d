use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::table::{Finding, Findings, Table};

use super::{Class, Stream, StreamId};

macro_rules! word_enum {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name {
            $($(#[$variant_doc])* #[serde(rename = $word)] $variant),+
        }

        impl $name {
            /// Every value.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// As it stands in tables and commands.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// Reads the word.
            #[must_use]
            pub fn parse(text: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|value| value.as_str() == text)
            }

            /// The accepted words, for messages.
            #[must_use]
            pub fn accepted() -> String {
                Self::ALL.iter().map(|value| value.as_str()).collect::<Vec<_>>().join(", ")
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.as_str())
            }
        }
    };
}

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
        own.into_iter().chain(others).reduce(stricter)
    }

    /// The rule for larvae that ate all of these streams, each with what it
    /// touched: the strictest of all. More to eat never makes it milder.
    #[must_use]
    pub fn strictest_of<'a>(
        &self,
        eaten: impl IntoIterator<Item = (&'a Stream, &'a [Class])>,
    ) -> Option<&Rule> {
        let rules = eaten.into_iter();
        rules
            .filter_map(|(stream, touched)| self.strictest(stream, touched))
            .reduce(stricter)
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

/// The first of equals is kept, so that a stream's own reason stands.
fn stricter<'a>(kept: &'a Rule, next: &'a Rule) -> &'a Rule {
    if next.ruling > kept.ruling {
        next
    } else {
        kept
    }
}
