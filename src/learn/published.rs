use crate::harvest::Metric;
use crate::quantity::sample_quantile;
use crate::stream::{Source, SourceTable};
use crate::table::{Findings, Table};
use crate::words::{Said, say};

const SHIPPED: &[u8] = include_bytes!("../../data/conversion.csv");

/// What one study found with one feed, in the figure's unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    pub low: f64,
    pub high: f64,
    /// How many boxes; `None` where the source does not tell.
    pub boxes: Option<u32>,
    pub feed: String,
    pub source: Source,
}

impl Study {
    pub fn said(&self) -> Said {
        let boxes = self.boxes.map_or_else(|| "unknown".into(), Said::from);
        let (feed, low, high) = (&self.feed, self.low, self.high);
        say!("learn-study", feed, low, high, boxes)
    }
}

/// A range others published: the union over the studies named.
#[derive(Debug, Clone, PartialEq)]
pub struct Published {
    pub low: f64,
    pub high: f64,
    /// Whose range it is, never empty.
    pub studies: Vec<Study>,
}

impl Published {
    /// The union of what studies found; `None` of none.
    pub fn union(studies: Vec<Study>) -> Option<Self> {
        let low = studies.iter().map(|of| of.low).min_by(f64::total_cmp)?;
        let high = studies.iter().map(|of| of.high).max_by(f64::total_cmp)?;
        Some(Self { low, high, studies })
    }

    /// The study with the least and the one with the greatest figure.
    pub fn ends(&self) -> Option<(&Study, &Study)> {
        let low = |a: &&Study, b: &&Study| a.low.total_cmp(&b.low);
        let high = |a: &&Study, b: &&Study| a.high.total_cmp(&b.high);
        let studies = || self.studies.iter();
        studies().min_by(low).zip(studies().max_by(high))
    }

    pub fn said(&self) -> Said {
        let mut sources: Vec<(&Source, Vec<Said>)> = Vec::new();
        for study in &self.studies {
            match sources.iter_mut().find(|(of, _)| **of == study.source) {
                Some((_, told)) => told.push(study.said()),
                None => sources.push((&study.source, vec![study.said()])),
            }
        }
        let told = sources.into_iter().map(|(source, told)| {
            let studies = Said::joined(told, ", ");
            let (citation, evidence) = (&source.citation, source.evidence.label());
            say!("learn-study-source", studies, citation, evidence)
        });
        Said::joined(told, ". ")
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct PublishedTable(Vec<(Metric, Study)>);

impl PublishedTable {
    pub fn shipped(sources: &SourceTable) -> Result<Self, Findings> {
        Self::read("data/conversion.csv", SHIPPED, sources)
    }

    /// Reads `figure,low,high,boxes,feed,source`.
    pub fn read(file: &str, bytes: &[u8], sources: &SourceTable) -> Result<Self, Findings> {
        let columns = ["figure", "low", "high", "boxes", "feed", "source"];
        let table = Table::read(file, bytes, &columns, |_| false)?;
        let rows = table.rows(|row| {
            let figure = |text: &str| Metric::ALL.into_iter().find(|of| of.key() == text);
            let figures = Metric::ALL.map(Metric::key).join(", ");
            let metric = row.required("figure", figures, figure);
            let low = row.number("low", 0.0, 1000.0);
            let high = row.number("high", 0.0, 1000.0);
            let boxes = |text: &str| text.parse().ok().filter(|number| *number > 0);
            let boxes = row.parsed(
                "boxes",
                say!("accepted-number-cell", low = 1, high = u32::MAX),
                boxes,
            );
            let feed = row.needed("feed", say!("accepted-filled"));
            let source = |key: &str| sources.get(key).cloned();
            let source = row.required("source", say!("accepted-source-key"), source);
            let (low, high) = low.zip(high)?;
            if low > high {
                row.reject(
                    "low",
                    low,
                    say!("accepted-low-high", low = "low", high = "high"),
                );
            }
            let study = Study {
                low,
                high,
                boxes,
                feed: feed?,
                source: source?,
            };
            Some((metric?, study))
        })?;
        Ok(Self(rows))
    }

    /// The published range of a figure of conversion; `None` where none was read.
    ///
    /// Dry feed conversion is that of bioconversion turned over, F/B = 100/(B/F in %).
    pub fn range(&self, metric: Metric) -> Option<Published> {
        let of = |wanted: Metric| {
            let studies = self.0.iter().filter(move |(metric, _)| *metric == wanted);
            studies.map(|(_, study)| study.clone())
        };
        if metric != Metric::FcrDry {
            return Published::union(of(metric).collect());
        }
        // To hundredths, outwards.
        let turned = of(Metric::Bioconversion).map(|study| Study {
            low: (10_000.0 / study.high).floor() / 100.0,
            high: (10_000.0 / study.low).ceil() / 100.0,
            ..study
        });
        Published::union(turned.collect())
    }
}

/// A farm's own figures, as a median with quartiles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Own {
    pub count: usize,
    /// A quarter lie below.
    pub lower: f64,
    pub median: f64,
    /// A quarter lie above.
    pub upper: f64,
}

impl Own {
    /// Of a figure of several cohorts; what is not finite is left out, `None` of none.
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

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    Below,
    /// In it, ends included.
    Within,
    Above,
}

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    pub own: Option<Own>,
    pub published: Option<Published>,
    pub place: Option<Place>,
}

pub fn beside(figures: &[f64], published: Option<Published>) -> Beside {
    let own = Own::of(figures);
    let place = own.zip(published.as_ref()).map(|(own, range)| {
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
    use crate::stream::SHIPPED_SOURCES;

    fn shipped() -> PublishedTable {
        let sources = SourceTable::read("sources.csv", SHIPPED_SOURCES).expect("sources");
        PublishedTable::shipped(&sources).expect("the shipped table")
    }

    #[test]
    fn own_beside_published() {
        let range = shipped().range(Metric::Bioconversion);
        let of = beside(&[3.0, 12.0, f64::NAN, 9.0, 20.0, 15.0], range);
        let own = of.own.expect("five cohorts");
        assert_eq!(
            (own.count, own.lower, own.median, own.upper),
            (5, 9.0, 12.0, 15.0)
        );
        assert_eq!(of.place, Some(Place::Within));
        let bioconversion = || shipped().range(Metric::Bioconversion);
        let place = |figure| beside(&[figure], bioconversion()).place;
        assert_eq!(
            [4.7, 4.8, 33.5, 33.6].map(place),
            [Place::Below, Place::Within, Place::Within, Place::Above].map(Some)
        );
        assert_eq!(beside(&[], bioconversion()).place, None);
        let none = shipped().range(Metric::ReductionIndex);
        assert_eq!(beside(&[1.0], none).place, None);
    }

    /// Every study counts, the least and the greatest too.
    #[test]
    fn ranges_are_unions_over_named_studies() {
        let table = shipped();
        let ends = |metric| {
            let range = table.range(metric).expect("published");
            (range.low, range.high)
        };
        assert_eq!(ends(Metric::Bioconversion), (4.8, 33.5));
        assert_eq!(ends(Metric::Reduction), (26.1, 82.8));
        assert_eq!(ends(Metric::Metabolised), (30.6, 60.0));
        assert_eq!(ends(Metric::DigestedConversion), (14.0, 48.0));
        assert_eq!(ends(Metric::FcrDry), (2.98, 20.84));
        let range = table.range(Metric::Bioconversion).expect("published");
        let (least, greatest) = range.ends().expect("studies");
        assert_eq!(least.said().in_english(), "wine pomace 4.8-8 (n = 24)");
        assert!(greatest.feed.starts_with("food waste"));
        let told = range.said().in_english();
        assert!(
            told.contains("wine pomace") && told.contains("Fuhrmann"),
            "{told}"
        );
    }

    #[test]
    fn a_bad_row_is_named() {
        let text = "figure,low,high,boxes,feed,source\nbioconversion,9,3,0,,nobody\n";
        let found = PublishedTable::read("c.csv", text.as_bytes(), &SourceTable::default())
            .expect_err("bad")
            .to_string();
        for seen in ["`bioconversion`", "`9`", "`0`", "`nobody`", "not empty"] {
            assert!(found.contains(seen), "{found}");
        }
    }
}
