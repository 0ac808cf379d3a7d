use crate::quantity::word_enum;
use crate::stream::Evidence;
use crate::words::{Said, say};

/// A text with what supports it, as printed beside a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cited {
    pub citation: &'static str,
    pub evidence: Evidence,
}

word_enum!(
    /// A figure of conversion, in the order of a sheet; its word is the key in
    /// JSON and tables, with unit where it is a percentage.
    ///
    /// In the equations F is dry matter fed, R dry matter left in the residue, B
    /// dry matter the larvae gained, N a count, t days.
    Metric {
        /// How much of the feed is gone.
        Reduction = "substrate_reduction_pct",
        /// The same for each day.
        ReductionIndex = "waste_reduction_index",
        /// How much of the feed became larva.
        Bioconversion = "bioconversion_pct",
        /// How much of what is gone became larva.
        DigestedConversion = "digested_conversion_pct",
        /// Dry feed for a kilogram of dry gain.
        FcrDry = "fcr_dry",
        /// Wet feed for a kilogram of fresh larvae.
        FcrFresh = "fcr_fresh",
        /// Larvae that lived.
        Survival = "survival_pct",
        /// How much of the feed's protein is in the larvae.
        ProteinConversion = "protein_conversion_pct",
        /// What left as gas and heat.
        Metabolised = "metabolised_pct",
    }
);

impl Metric {
    /// [`Self::as_str`].
    pub const fn key(self) -> &'static str {
        self.as_str()
    }

    pub fn name(self) -> Said {
        say!("metric-name", metric = self.key())
    }

    pub fn definition(self) -> Said {
        say!("metric-definition", metric = self.key())
    }

    pub fn equation(self) -> Said {
        say!("metric-equation", metric = self.key())
    }

    pub fn basis(self) -> Said {
        say!("metric-basis", metric = self.key())
    }

    pub fn unit(self) -> Said {
        say!("metric-unit", metric = self.key())
    }

    /// Where the definition comes from.
    pub const fn source(self) -> Cited {
        let (citation, evidence) = match self {
            Self::Reduction | Self::ReductionIndex | Self::DigestedConversion => (
                "Diener et al. 2009, Waste Management & Research 27:603",
                Evidence::Memory,
            ),
            Self::Bioconversion => (
                "Gold et al. 2020, Frontiers in Microbiology, code and notes of \
                 the data set; Fuhrmann et al. 2024, code of the chamber system: \
                 both take larvae put in, not larvae that lived",
                Evidence::Seen,
            ),
            Self::Metabolised => ("mass balance of the three weights", Evidence::Derived),
            _ => ("common in the literature on larvae", Evidence::Memory),
        };
        Cited { citation, evidence }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_read_says_so() {
        let label = |metric: Metric| metric.source().evidence.label();
        assert_eq!(label(Metric::ReductionIndex), "from memory, unverified");
        assert_eq!(label(Metric::Bioconversion), "seen in the source");
    }
}
