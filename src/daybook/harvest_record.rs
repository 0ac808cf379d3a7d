use serde::Serialize;

use crate::quantity::{Grams, Money};

/// Larvae and residue taken from a cohort at one time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Harvest {
    /// Position of the cohort in the book.
    pub cohort_seq: i64,
    /// Fresh weight of the larvae.
    pub larvae_g: Grams,
    /// The weight as entered.
    pub larvae_text: String,
    /// Moisture of the larvae, per cent wet basis, where tested.
    pub larvae_moisture_pct: Option<f64>,
    /// Nitrogen of the larvae, per cent of dry matter, where tested.
    pub larvae_nitrogen_dm_pct: Option<f64>,
    /// How many larvae, all of them counted.
    pub counted: Option<i64>,
    /// How many larvae were in the sample weighed.
    pub sample_count: Option<i64>,
    /// What that sample weighed, grams.
    pub sample_g: Option<f64>,
    /// Dead larvae seen.
    pub dead: Option<i64>,
    /// Weight of the residue as it came off the trays.
    pub residue_g: Option<Grams>,
    /// The weight as entered.
    pub residue_text: Option<String>,
    /// Moisture of the residue, per cent wet basis, where tested.
    pub residue_moisture_pct: Option<f64>,
    pub residue_to: Option<ResidueTo>,
    /// Free text.
    pub note: Option<String>,
}

/// Where what the larvae left goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ResidueTo {
    /// Kept on the farm for now.
    Kept,
    /// Sold or given away as frass.
    Sold,
    Land,
    Composted,
    /// To a digester.
    Digestion,
    Landfilled,
}

impl ResidueTo {
    /// Every destination, in the order people are told them.
    pub const ALL: [Self; 6] = [
        Self::Kept,
        Self::Sold,
        Self::Land,
        Self::Composted,
        Self::Digestion,
        Self::Landfilled,
    ];

    /// The name in the table and on the command line.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Sold => "sold",
            Self::Land => "land",
            Self::Composted => "composted",
            Self::Digestion => "digestion",
            Self::Landfilled => "landfilled",
        }
    }

    /// Reads such a name.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|to| to.as_str() == text)
    }
}

/// Money earned or spent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Payment {
    /// What for; says whether it came in or went out.
    pub item: MoneyItem,
    /// How much; not below zero.
    pub amount: Money,
    /// The task of labour, or what else was paid for.
    pub what: Option<String>,
    pub minutes: Option<i64>,
    /// Energy used, kilowatt hours.
    pub kwh: Option<f64>,
    /// The weight it is for: sold, bought, or brought for a fee.
    pub grams: Option<Grams>,
    /// The weight as entered.
    pub grams_text: Option<String>,
    /// Who paid or was paid.
    pub party: Option<String>,
    /// Positions of the cohorts it belongs to; none: to the whole farm.
    pub cohort_seqs: Vec<i64>,
    /// Free text.
    pub note: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MoneyItem {
    /// Received for taking a load.
    GateFee,
    /// Received for live larvae.
    SoldLive,
    /// Received for dried larvae.
    SoldDried,
    SoldFrass,
    /// Paid for feed that no ticket prices.
    Feed,
    /// Paid for work.
    Labour,
    Energy,
    Packaging,
    /// Paid to be rid of something.
    Disposal,
    /// Paid for anything else.
    Other,
}

impl MoneyItem {
    /// Every item, what comes in first.
    pub const ALL: [Self; 10] = [
        Self::GateFee,
        Self::SoldLive,
        Self::SoldDried,
        Self::SoldFrass,
        Self::Feed,
        Self::Labour,
        Self::Energy,
        Self::Packaging,
        Self::Disposal,
        Self::Other,
    ];

    /// The name in the table and on the command line.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::GateFee => "gate-fee",
            Self::SoldLive => "sold-live",
            Self::SoldDried => "sold-dried",
            Self::SoldFrass => "sold-frass",
            Self::Feed => "feed",
            Self::Labour => "labour",
            Self::Energy => "energy",
            Self::Packaging => "packaging",
            Self::Disposal => "disposal",
            Self::Other => "other",
        }
    }

    /// Reads such a name.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|item| item.as_str() == text)
    }

    /// Whether the money came in.
    #[must_use]
    pub const fn is_income(self) -> bool {
        matches!(
            self,
            Self::GateFee | Self::SoldLive | Self::SoldDried | Self::SoldFrass
        )
    }

    /// Whether something of the farm's was sold.
    #[must_use]
    pub const fn is_sale(self) -> bool {
        matches!(self, Self::SoldLive | Self::SoldDried | Self::SoldFrass)
    }
}

/// A figure of the tables replaced by the farm's own, by the owner's word.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Adopted {
    pub what: OwnFigure,
    /// A stream's id, or a stage's name for a ration.
    pub subject: String,
    /// Days; times the rations of the stage table.
    pub value: f64,
    /// The figure it replaces, where there was one.
    pub before: Option<f64>,
    /// What it was taken from, as shown to the owner.
    pub evidence: String,
}

/// Which figure of the tables a farm may replace from its own records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OwnFigure {
    KeepsDays,
    /// A factor on a stage's rations.
    Ration,
}

impl OwnFigure {
    /// Every figure.
    pub const ALL: [Self; 2] = [Self::KeepsDays, Self::Ration];

    /// The name in the table and on the command line.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::KeepsDays => "keeps-days",
            Self::Ration => "ration",
        }
    }

    /// Reads such a name.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|figure| figure.as_str() == text)
    }
}
