use crate::stream::Evidence;

/// A text with what supports it, as printed beside a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cited {
    /// Where it comes from.
    pub citation: &'static str,
    /// How well that is supported.
    pub evidence: Evidence,
}

/// A figure of conversion.
///
/// In the equations F is dry matter fed, R dry matter left in the residue, B
/// dry matter the larvae gained, N a count, t days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Metric {
    /// How much of the feed is gone.
    Reduction,
    /// The same for each day.
    ReductionIndex,
    /// How much of the feed became larva.
    Bioconversion,
    /// How much of what is gone became larva.
    DigestedConversion,
    /// Dry feed for a kilogram of dry gain.
    FcrDry,
    /// Wet feed for a kilogram of fresh larvae.
    FcrFresh,
    /// Larvae that lived.
    Survival,
    /// How much of the feed's protein is in the larvae.
    ProteinConversion,
    /// What left as gas and heat.
    Metabolised,
}

/// What a metric is, for people.
struct Entry {
    metric: Metric,
    key: &'static str,
    name: &'static str,
    definition: &'static str,
    equation: &'static str,
    basis: &'static str,
    unit: &'static str,
    source: Cited,
}

const DIENER: &str = "Diener et al. 2009, Waste Management & Research 27:603";
const COMMON: &str = "common in the literature on larvae";

const fn memory(citation: &'static str) -> Cited {
    Cited {
        citation,
        evidence: Evidence::Memory,
    }
}

static ENTRIES: [Entry; 9] = [
    Entry {
        metric: Metric::Reduction,
        key: "substrate_reduction_pct",
        name: "substrate reduction",
        definition: "share of the dry matter fed that is not in the residue",
        equation: "(F - R) / F x 100",
        basis: "dry matter",
        unit: "%",
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::ReductionIndex,
        key: "waste_reduction_index",
        name: "waste reduction index",
        definition: "substrate reduction for each day; a plain percentage of reduction \
                     is sometimes published under this name and is not divided by days",
        equation: "(F - R) / F / t x 100",
        basis: "dry matter",
        unit: "% a day",
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::Bioconversion,
        key: "bioconversion_pct",
        name: "bioconversion rate",
        definition: "dry matter the larvae gained over all that was put on trays, of the \
                     dry matter fed; larvae that died count as weight lost",
        equation: "B / F x 100, B = dry larvae - N start x start weight",
        basis: "dry matter",
        unit: "%",
        source: Cited {
            citation: "Gold et al. 2020, Frontiers in Microbiology, code and notes of \
                       the data set; Fuhrmann et al. 2024, code of the chamber system: \
                       both take larvae put in, not larvae that lived",
            evidence: Evidence::Seen,
        },
    },
    Entry {
        metric: Metric::DigestedConversion,
        key: "digested_conversion_pct",
        name: "conversion of digested feed (ECD)",
        definition: "dry matter the larvae gained, of the dry matter that is gone",
        equation: "B / (F - R) x 100",
        basis: "dry matter",
        unit: "%",
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::FcrDry,
        key: "fcr_dry",
        name: "feed conversion ratio, dry",
        definition: "dry matter fed for a kilogram of dry matter gained",
        equation: "F / B",
        basis: "dry feed, dry larvae",
        unit: "kg/kg",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::FcrFresh,
        key: "fcr_fresh",
        name: "feed conversion ratio, fresh",
        definition: "feed as fed for a kilogram of fresh larvae harvested; the weight \
                     larvae began with is left in",
        equation: "wet feed / wet larvae",
        basis: "feed as fed, larvae as harvested",
        unit: "kg/kg",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::Survival,
        key: "survival_pct",
        name: "survival",
        definition: "larvae harvested of the larvae put on trays",
        equation: "N end / N start x 100",
        basis: "count",
        unit: "%",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::ProteinConversion,
        key: "protein_conversion_pct",
        name: "protein conversion",
        definition: "protein in the dry matter gained, of the crude protein fed; larval \
                     protein is nitrogen times the factor printed, and what larvae \
                     began with is taken to hold as much of it as what they ended with",
        equation: "B x N share x factor / protein fed x 100",
        basis: "dry matter",
        unit: "%",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::Metabolised,
        key: "metabolised_pct",
        name: "metabolised",
        definition: "dry matter fed that is neither in the residue nor in the gain: what \
                     left as gas, with every error of the weights in it",
        equation: "(F - R - B) / F x 100",
        basis: "dry matter, by balance",
        unit: "%",
        source: Cited {
            citation: "mass balance of the three weights",
            evidence: Evidence::Derived,
        },
    },
];

impl Metric {
    /// Every metric, in the order of a sheet.
    pub const ALL: [Self; 9] = [
        Self::Reduction,
        Self::ReductionIndex,
        Self::Bioconversion,
        Self::DigestedConversion,
        Self::FcrDry,
        Self::FcrFresh,
        Self::Survival,
        Self::ProteinConversion,
        Self::Metabolised,
    ];

    fn entry(self) -> &'static Entry {
        (ENTRIES.iter().find(|entry| entry.metric == self)).unwrap_or(&ENTRIES[0])
    }

    /// The key in JSON and tables, with unit where it is a percentage.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.entry().key
    }

    /// The name for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.entry().name
    }

    /// What it means, in a sentence.
    #[must_use]
    pub fn definition(self) -> &'static str {
        self.entry().definition
    }

    /// How it is reckoned.
    #[must_use]
    pub fn equation(self) -> &'static str {
        self.entry().equation
    }

    /// Fresh or dry.
    #[must_use]
    pub fn basis(self) -> &'static str {
        self.entry().basis
    }

    /// The unit a value is in.
    #[must_use]
    pub fn unit(self) -> &'static str {
        self.entry().unit
    }

    /// Where the definition comes from.
    #[must_use]
    pub fn source(self) -> Cited {
        self.entry().source
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_metric_has_its_own_entry() {
        let order: Vec<Metric> = ENTRIES.iter().map(|entry| entry.metric).collect();
        assert_eq!(order, Metric::ALL);
        for (at, metric) in Metric::ALL.into_iter().enumerate() {
            assert_eq!(metric as usize, at);
        }
    }

    #[test]
    fn what_was_not_read_says_so() {
        let label = |metric: Metric| metric.source().evidence.label();
        assert_eq!(label(Metric::ReductionIndex), "from memory, unverified");
        assert_eq!(label(Metric::Bioconversion), "seen in the source");
    }
}
