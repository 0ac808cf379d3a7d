//! Avoided landfill methane by the first-order decay of IPCC 2006, volume 5,
//! chapter 3, as a range: a promise about decades, never this month's air.

mod decay;

pub use decay::{
    Avoided, Baseline, CAPTURED_DEFAULT, CARBON_OF_DRY, Parameters, avoided, decomposed_after,
    ends, lifetime_methane_kg,
};

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::word_enum;
use crate::stream::{Class, Stream, StreamId, StreamTable};

use crate::words::{Said, say};

use super::{DivertedRule, StreamMonth};

word_enum!(
    /// Where a load would have gone had the farm not taken it, as the supplier says.
    FormerOutlet {
        LandfillManaged = "landfill-managed",
        LandfillSemiAerobic = "landfill-semi-aerobic",
        LandfillSemiAerobicPoor = "landfill-semi-aerobic-poor",
        LandfillAerated = "landfill-aerated",
        LandfillAeratedPoor = "landfill-aerated-poor",
        /// Dump, unmanaged, deep (5 m or more) or high water table.
        DumpDeep = "dump-deep",
        /// Dump, unmanaged, shallow.
        DumpShallow = "dump-shallow",
        /// A landfill nobody has sorted into a kind.
        LandfillUnsorted = "landfill-unsorted",
        /// Fed to cattle, pigs or other animals.
        AnimalFeed = "animal-feed",
        Compost = "compost",
        Unknown = "unknown",
    }
);

impl FormerOutlet {
    pub const fn is_dump(self) -> bool {
        matches!(self, Self::DumpDeep | Self::DumpShallow)
    }

    /// Methane correction factor; `None` where nothing was landfilled.
    ///
    /// Source: IPCC 2006 Guidelines, vol. 5, table 3.1, and 2019 Refinement,
    /// table 3.1, values as seen in an open implementation of them.
    pub const fn correction(self) -> Option<f64> {
        Some(match self {
            Self::LandfillManaged => 1.0,
            Self::LandfillSemiAerobic => 0.5,
            Self::LandfillSemiAerobicPoor | Self::LandfillAeratedPoor => 0.7,
            Self::LandfillAerated | Self::DumpShallow => 0.4,
            Self::DumpDeep => 0.8,
            Self::LandfillUnsorted => 0.6,
            Self::AnimalFeed | Self::Compost | Self::Unknown => return None,
        })
    }
}

word_enum!(
    Climate {
        TemperateDry = "temperate-dry",
        TemperateWet = "temperate-wet",
        TropicalDry = "tropical-dry",
        TropicalWet = "tropical-wet",
    }
);

impl Climate {
    /// Decay constant of food waste \[1/year\].
    ///
    /// Source: IPCC 2006 Guidelines, vol. 5, table 3.3, values as seen in an
    /// open implementation.
    pub const fn decay(self) -> f64 {
        match self {
            Self::TemperateDry => 0.06,
            Self::TemperateWet => 0.185,
            Self::TropicalDry => 0.085,
            Self::TropicalWet => 0.4,
        }
    }
}

word_enum!(
    /// Which edition's 100-year warming potential of non-fossil methane; never mixed.
    #[derive(Default)]
    Gwp {
        #[default]
        Ar5 = "ar5",
        Ar6 = "ar6",
    }
);

impl Gwp {
    /// kg CO2e a kg of non-fossil methane, over 100 years.
    ///
    /// Source: IPCC AR5 28 and AR6 27.0 for non-fossil methane, as quoted in
    /// secondary notes on the GHG Protocol's table and on AR6 table 7.SM.
    pub const fn factor(self) -> f64 {
        match self {
            Self::Ar5 => 28.0,
            Self::Ar6 => 27.0,
        }
    }

    /// Edition and factor as printed.
    pub fn said(self) -> Said {
        match self {
            Self::Ar5 => say!("methane-ar5"),
            Self::Ar6 => say!("methane-ar6"),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct MethaneAsked {
    pub outlet: FormerOutlet,
    pub by_supplier: Vec<(String, FormerOutlet)>,
    pub mandated: bool,
    /// Share of the gas captured, low and high; `None` takes our default.
    pub captured: Option<(f64, f64)>,
    pub climate: Climate,
    pub gwp: Gwp,
}

/// Avoided methane by supplier, with the inputs it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct MethaneTold {
    pub lines: Vec<MethaneLine>,
    pub climate: Climate,
    pub gwp: Gwp,
    pub captured: (f64, f64),
    pub captured_is_default: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct MethaneLine {
    pub supplier: String,
    pub outlet: FormerOutlet,
    /// Accepted weight that was not disposed of later \[kg\].
    pub diverted_kg: f64,
    /// Dry matter of it that the range is of \[kg\].
    pub dry_kg: f64,
    /// Streams of which there is no figure.
    pub left_out: Vec<LeftOut>,
    pub avoided: Avoided,
}

/// A stream of which there is no figure, and why.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LeftOut {
    pub stream: StreamId,
    pub kg: f64,
    pub why: Said,
}

/// The dry share of a stream as a landfill would have it, or why it has no figure.
///
/// Wood decays so little and so slowly that food's carbon would overclaim, and
/// minerals hold none.
pub fn dry_share(stream: Option<&Stream>) -> Result<f64, Said> {
    let stream = stream.ok_or_else(|| say!("methane-not-in-table"))?;
    match stream.class {
        Class::Woody => Err(say!("methane-woody")),
        Class::Mineral => Err(say!("methane-mineral")),
        _ => (stream.moisture)
            .map(|moisture| moisture.value.rest())
            .ok_or_else(|| say!("methane-dry-unknown")),
    }
}

/// Avoided methane of each supplier's diverted weight, by our default rule:
/// accepted, not disposed of later, no water, no bought stock; of each stream's own
/// dry matter by the stream table.
pub fn methane_told<'a>(
    asked: &MethaneAsked,
    streams: &StreamTable,
    suppliers: impl IntoIterator<Item = (&'a str, &'a [StreamMonth])>,
) -> MethaneTold {
    let captured = asked.captured.unwrap_or(CAPTURED_DEFAULT);
    let lines = suppliers.into_iter().map(|(supplier, months)| {
        let named = asked.by_supplier.iter().find(|(name, _)| name == supplier);
        let outlet = named.map_or(asked.outlet, |(_, outlet)| *outlet);
        let (mut diverted_kg, mut dry_kg, mut left_out) = (0.0, 0.0, Vec::new());
        for month in months {
            let kg = month.flow.diverted(DivertedRule::Default).kg();
            diverted_kg += kg;
            match dry_share(streams.get(&month.stream)) {
                Ok(dry) => dry_kg += kg * dry,
                Err(why) if kg > 0.0 => {
                    let stream = month.stream.clone();
                    left_out.push(LeftOut { stream, kg, why });
                }
                Err(_) => {}
            }
        }
        let baseline = Baseline {
            outlet,
            mandated: asked.mandated,
            captured,
        };
        MethaneLine {
            supplier: supplier.to_owned(),
            outlet,
            diverted_kg,
            dry_kg,
            avoided: match avoided(dry_kg, &baseline) {
                Avoided::NoWeight if !left_out.is_empty() => Avoided::LeftOut,
                told => told,
            },
            left_out,
        }
    });
    MethaneTold {
        lines: lines.collect(),
        climate: asked.climate,
        gwp: asked.gwp,
        captured,
        captured_is_default: asked.captured.is_none(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Grams;
    use crate::report::Flow;
    use crate::stream::SHIPPED_STREAMS;

    fn month(stream: &str, kg: i64) -> StreamMonth {
        StreamMonth {
            stream: StreamId::parse(stream).expect("an id"),
            flow: Flow {
                received: Grams::new(1000 * kg),
                ..Flow::default()
            },
        }
    }

    fn told(months: &[StreamMonth]) -> MethaneLine {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let asked = MethaneAsked {
            outlet: FormerOutlet::LandfillManaged,
            by_supplier: Vec::new(),
            mandated: false,
            captured: Some((0.0, 0.0)),
            climate: Climate::TemperateWet,
            gwp: Gwp::Ar5,
        };
        let mut told = methane_told(&asked, &streams, [("Grocer", months)]);
        told.lines.remove(0)
    }

    /// Degradable carbon of the wet weight by the stream's own dry matter: lettuce
    /// (5.4 % dry) 0.011 to 0.027, bread (63.6 % dry) 0.127 to 0.318, where one
    /// range of 0.08 to 0.20 was taken for both.
    #[test]
    fn wet_greens_claim_little_and_bread_much() {
        for (stream, carbon) in [
            ("lettuce-trim", ["0.011", "0.027"]),
            ("bread", ["0.127", "0.318"]),
        ] {
            let of = told(&[month(stream, 1000)]);
            let (low, high) = CARBON_OF_DRY;
            let per_kg = [low, high].map(|share| format!("{:.3}", of.dry_kg * share / 1000.0));
            assert_eq!(per_kg, carbon, "{stream}");
            let Avoided::Range { high_kg, .. } = of.avoided else {
                panic!("a range for {stream}")
            };
            let carbon = of.dry_kg * high;
            assert!((high_kg - carbon * 0.91 * 0.5 * 16.0 / 12.0).abs() < 1e-9);
        }
    }

    #[test]
    fn wood_has_no_figure_and_is_named() {
        let both = told(&[month("bread", 100), month("sawdust", 50)]);
        assert_eq!(both.avoided, told(&[month("bread", 100)]).avoided);
        assert!((both.diverted_kg - 150.0).abs() < 1e-9);
        let LeftOut { stream, kg, why } = &both.left_out[0];
        assert_eq!(stream.as_str(), "sawdust");
        assert_eq!(*why, say!("methane-woody"));
        assert!((kg - 50.0).abs() < 1e-9);
        assert_eq!(told(&[month("sawdust", 50)]).avoided, Avoided::LeftOut);
        assert_eq!(
            told(&[month("own-mix", 5)]).left_out[0].why,
            say!("methane-not-in-table")
        );
    }
}
