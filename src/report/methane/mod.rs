//! Avoided landfill methane by the first-order decay of IPCC 2006, volume 5,
//! chapter 3, as a range: a promise about decades, never this month's air.

mod decay;

pub use decay::{
    Avoided, Baseline, CAPTURED_DEFAULT, Parameters, avoided, decomposed_after, ends,
    lifetime_methane_kg,
};

use super::{DivertedRule, Flow};

/// Where a load would have gone had the farm not taken it, as the supplier says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FormerOutlet {
    /// Landfill, managed, anaerobic.
    LandfillManaged,
    /// Landfill, semi-aerobic, well managed.
    LandfillSemiAerobic,
    /// Landfill, semi-aerobic, poorly managed.
    LandfillSemiAerobicPoor,
    /// Landfill with active aeration, well managed.
    LandfillAerated,
    /// Landfill with active aeration, poorly managed.
    LandfillAeratedPoor,
    /// Dump, unmanaged, deep (5 m or more) or high water table.
    DumpDeep,
    /// Dump, unmanaged, shallow.
    DumpShallow,
    /// A landfill nobody has sorted into a kind.
    LandfillUnsorted,
    /// Fed to cattle, pigs or other animals.
    AnimalFeed,
    /// Composted.
    Compost,
    /// Not known.
    Unknown,
}

impl FormerOutlet {
    /// Every outlet.
    pub const ALL: [Self; 11] = [
        Self::LandfillManaged,
        Self::LandfillSemiAerobic,
        Self::LandfillSemiAerobicPoor,
        Self::LandfillAerated,
        Self::LandfillAeratedPoor,
        Self::DumpDeep,
        Self::DumpShallow,
        Self::LandfillUnsorted,
        Self::AnimalFeed,
        Self::Compost,
        Self::Unknown,
    ];

    /// The name people give.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::LandfillManaged => "landfill-managed",
            Self::LandfillSemiAerobic => "landfill-semi-aerobic",
            Self::LandfillSemiAerobicPoor => "landfill-semi-aerobic-poor",
            Self::LandfillAerated => "landfill-aerated",
            Self::LandfillAeratedPoor => "landfill-aerated-poor",
            Self::DumpDeep => "dump-deep",
            Self::DumpShallow => "dump-shallow",
            Self::LandfillUnsorted => "landfill-unsorted",
            Self::AnimalFeed => "animal-feed",
            Self::Compost => "compost",
            Self::Unknown => "unknown",
        }
    }

    /// The outlet a name means.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|outlet| outlet.as_str() == text)
    }

    /// Methane correction factor; `None` where nothing was landfilled.
    ///
    /// Source: IPCC 2006 Guidelines, vol. 5, table 3.1, and 2019 Refinement,
    /// table 3.1, values as seen in an open implementation of them.
    #[must_use]
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

/// The climate a landfill lies in, which sets how fast food waste decays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Climate {
    /// Boreal or temperate, dry.
    TemperateDry,
    /// Boreal or temperate, wet.
    TemperateWet,
    /// Tropical, dry.
    TropicalDry,
    /// Tropical, moist and wet.
    TropicalWet,
}

impl Climate {
    /// Every climate.
    pub const ALL: [Self; 4] = [
        Self::TemperateDry,
        Self::TemperateWet,
        Self::TropicalDry,
        Self::TropicalWet,
    ];

    /// The name people give.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::TemperateDry => "temperate-dry",
            Self::TemperateWet => "temperate-wet",
            Self::TropicalDry => "tropical-dry",
            Self::TropicalWet => "tropical-wet",
        }
    }

    /// The climate a name means.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|climate| climate.as_str() == text)
    }

    /// Decay constant of food waste \[1/year\].
    ///
    /// Source: IPCC 2006 Guidelines, vol. 5, table 3.3, values as seen in an
    /// open implementation.
    #[must_use]
    pub const fn decay(self) -> f64 {
        match self {
            Self::TemperateDry => 0.06,
            Self::TemperateWet => 0.185,
            Self::TropicalDry => 0.085,
            Self::TropicalWet => 0.4,
        }
    }
}

/// Which edition's 100-year warming potential of non-fossil methane; never mixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Gwp {
    /// IPCC fifth assessment report: 28.
    #[default]
    Ar5,
    /// IPCC sixth assessment report: 27.0.
    Ar6,
}

impl Gwp {
    /// The edition a name means: `ar5` or `ar6`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text {
            "ar5" => Some(Self::Ar5),
            "ar6" => Some(Self::Ar6),
            _ => None,
        }
    }

    /// kg CO2e a kg of non-fossil methane, over 100 years.
    ///
    /// Source: IPCC AR5 28 and AR6 27.0 for non-fossil methane, as quoted in
    /// secondary notes on the GHG Protocol's table and on AR6 table 7.SM.
    #[must_use]
    pub const fn factor(self) -> f64 {
        match self {
            Self::Ar5 => 28.0,
            Self::Ar6 => 27.0,
        }
    }

    /// Edition and factor as printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ar5 => "GWP-100 of methane 28 (IPCC AR5)",
            Self::Ar6 => "GWP-100 of non-fossil methane 27.0 (IPCC AR6)",
        }
    }
}

/// What is asked about avoided methane.
#[derive(Debug, Clone, PartialEq)]
pub struct MethaneAsked {
    /// Former outlet of everyone who is not named.
    pub outlet: FormerOutlet,
    /// Former outlets by supplier.
    pub by_supplier: Vec<(String, FormerOutlet)>,
    /// Whether the law asks for diversion here.
    pub mandated: bool,
    /// Share of the gas captured, low and high; `None` takes our default.
    pub captured: Option<(f64, f64)>,
    /// Where the landfills lie.
    pub climate: Climate,
    /// The edition of the warming potential.
    pub gwp: Gwp,
}

/// Avoided methane by supplier, with the inputs it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct MethaneTold {
    /// A line a supplier.
    pub lines: Vec<MethaneLine>,
    /// Where the landfills lie.
    pub climate: Climate,
    /// The edition of the warming potential.
    pub gwp: Gwp,
    /// Share of the gas captured, low and high.
    pub captured: (f64, f64),
    /// Whether that is our default.
    pub captured_is_default: bool,
}

/// One supplier's line.
#[derive(Debug, Clone, PartialEq)]
pub struct MethaneLine {
    /// Who brought it.
    pub supplier: String,
    /// Where it would have gone.
    pub outlet: FormerOutlet,
    /// Accepted weight that was not disposed of later \[kg\].
    pub diverted_kg: f64,
    /// The range, or why there is none.
    pub avoided: Avoided,
}

/// Avoided methane of each supplier's diverted weight, by our default rule:
/// accepted, not disposed of later, no water, no bought stock.
#[must_use]
pub fn methane_told<'a>(
    asked: &MethaneAsked,
    suppliers: impl IntoIterator<Item = (&'a str, &'a Flow)>,
) -> MethaneTold {
    let captured = asked.captured.unwrap_or(CAPTURED_DEFAULT);
    let lines = suppliers.into_iter().map(|(supplier, flow)| {
        let named = asked.by_supplier.iter().find(|(name, _)| name == supplier);
        let outlet = named.map_or(asked.outlet, |(_, outlet)| *outlet);
        let diverted_kg = flow.diverted(DivertedRule::Default).kg();
        let baseline = Baseline {
            outlet,
            mandated: asked.mandated,
            captured,
        };
        MethaneLine {
            supplier: supplier.to_owned(),
            outlet,
            diverted_kg,
            avoided: avoided(diverted_kg, &baseline),
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
