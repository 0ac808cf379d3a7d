use crate::stream::Evidence;
use crate::words::{Said, say};

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

/// Its key and where its definition comes from.
struct Entry {
    metric: Metric,
    key: &'static str,
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
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::ReductionIndex,
        key: "waste_reduction_index",
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::Bioconversion,
        key: "bioconversion_pct",
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
        source: memory(DIENER),
    },
    Entry {
        metric: Metric::FcrDry,
        key: "fcr_dry",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::FcrFresh,
        key: "fcr_fresh",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::Survival,
        key: "survival_pct",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::ProteinConversion,
        key: "protein_conversion_pct",
        source: memory(COMMON),
    },
    Entry {
        metric: Metric::Metabolised,
        key: "metabolised_pct",
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

    #[must_use]
    pub fn name(self) -> Said {
        say!("metric-name", metric = self.key())
    }

    /// What it means, in a sentence.
    #[must_use]
    pub fn definition(self) -> Said {
        say!("metric-definition", metric = self.key())
    }

    /// How it is reckoned.
    #[must_use]
    pub fn equation(self) -> Said {
        say!("metric-equation", metric = self.key())
    }

    /// Fresh or dry.
    #[must_use]
    pub fn basis(self) -> Said {
        say!("metric-basis", metric = self.key())
    }

    /// The unit a value is in.
    #[must_use]
    pub fn unit(self) -> Said {
        say!("metric-unit", metric = self.key())
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
