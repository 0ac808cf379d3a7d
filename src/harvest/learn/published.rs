use crate::harvest::{Cited, Metric};
use crate::quantity::sample_quantile;
use crate::stream::Evidence;

/// A range others published, in a figure's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Published {
    /// From.
    pub low: f64,
    /// To.
    pub high: f64,
    /// Of what feed, and how.
    pub of: &'static str,
    /// Where it comes from.
    pub source: Cited,
}

const BY_PRODUCTS: &str = "tomato and wine pomace and food waste, start weight not subtracted";
const GOLD_2022: &str = "Gold et al. 2022, data set of the rearing systems";

const fn derived(low: f64, high: f64) -> Published {
    Published {
        low,
        high,
        of: BY_PRODUCTS,
        source: Cited {
            citation: GOLD_2022,
            evidence: Evidence::Derived,
        },
    }
}

const fn seen(low: f64, high: f64, of: &'static str, citation: &'static str) -> Published {
    Published {
        low,
        high,
        of,
        source: Cited {
            citation,
            evidence: Evidence::Seen,
        },
    }
}

/// The published range of a figure of conversion; `None` where none was read.
#[must_use]
pub const fn published_range(metric: Metric) -> Option<Published> {
    Some(match metric {
        Metric::Reduction => derived(26.1, 61.1),
        Metric::Bioconversion => derived(4.8, 21.6),
        // 100/21.6 and 100/4.8.
        Metric::FcrDry => derived(4.63, 20.8),
        Metric::Metabolised => derived(30.7, 35.8),
        Metric::DigestedConversion => seen(
            14.0,
            48.0,
            "many studies, weight gained of substrate removed",
            "Frontiers in Bioengineering and Biotechnology 2024, article 1397108",
        ),
        Metric::Survival => seen(
            86.0,
            99.2,
            "diets of spent grain",
            "Chia et al. 2018, PeerJ, PMC6272031",
        ),
        Metric::ReductionIndex | Metric::FcrFresh | Metric::ProteinConversion => return None,
    })
}

/// The published ration \[mg dry matter a larva and day\]; for growing larvae,
/// not for a nursery.
#[must_use]
pub const fn published_ration() -> Published {
    Published {
        low: 31.25,
        high: 40.0,
        of: "growing larvae, over 10 to 12 days",
        source: Cited {
            citation: "Nayak et al. 2025, PLOS ONE 20:e0317049, as quoted elsewhere, 40; \
                       Diener et al. 2009, 40; Dortmans et al. 2017 at 75 % moisture, 31.25",
            evidence: Evidence::Memory,
        },
    }
}

/// A farm's own figures, as a median with quartiles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Own {
    /// Cohorts in it.
    pub count: usize,
    /// A quarter lie below.
    pub lower: f64,
    /// Half lie below.
    pub median: f64,
    /// A quarter lie above.
    pub upper: f64,
}

impl Own {
    /// Of a figure of several cohorts; what is not finite is left out, `None` of none.
    #[must_use]
    pub fn of(figures: &[f64]) -> Option<Self> {
        let mut sorted: Vec<f64> = figures.iter().copied().filter(|f| f.is_finite()).collect();
        sorted.sort_by(f64::total_cmp);
        Some(Self {
            count: sorted.len(),
            lower: sample_quantile(&sorted, 0.25)?,
            median: sample_quantile(&sorted, 0.5)?,
            upper: sample_quantile(&sorted, 0.75)?,
        })
    }
}

/// Where a farm's median lies against a published range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Below it.
    Below,
    /// In it, ends included.
    Within,
    /// Above it.
    Above,
}

/// The farm's own beside what was published.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// The farm's; `None` when it has none yet.
    pub own: Option<Own>,
    /// What was published; `None` where none was read.
    pub published: Option<Published>,
    /// Where the one lies against the other.
    pub place: Option<Place>,
}

/// Puts a farm's figures beside a published range.
#[must_use]
pub fn beside(figures: &[f64], published: Option<Published>) -> Beside {
    let own = Own::of(figures);
    let place = own.zip(published).map(|(own, range)| {
        if own.median < range.low {
            Place::Below
        } else if own.median > range.high {
            Place::Above
        } else {
            Place::Within
        }
    });
    Beside {
        own,
        published,
        place,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn own_beside_published() {
        let of = beside(
            &[3.0, 12.0, f64::NAN, 9.0, 20.0, 15.0],
            published_range(Metric::Bioconversion),
        );
        let own = of.own.expect("five cohorts");
        assert_eq!(
            (own.count, own.lower, own.median, own.upper),
            (5, 9.0, 12.0, 15.0)
        );
        assert_eq!(of.place, Some(Place::Within));
        let place = |figure| beside(&[figure], Some(published_ration())).place;
        assert_eq!(
            [31.0, 31.25, 40.0, 40.1].map(place),
            [Place::Below, Place::Within, Place::Within, Place::Above].map(Some)
        );
        assert_eq!(beside(&[], Some(published_ration())).place, None);
        assert_eq!(
            beside(&[1.0], published_range(Metric::ReductionIndex)).place,
            None
        );
    }

    #[test]
    fn ranges_are_ranges_and_name_their_source() {
        for range in Metric::ALL.into_iter().filter_map(published_range) {
            assert!(0.0 < range.low && range.low < range.high);
            assert!(!range.source.citation.is_empty() && !range.of.is_empty());
        }
    }
}
