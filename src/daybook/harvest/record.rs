use crate::quantity::word_enum;
use serde::{Deserialize, Serialize};

use crate::quantity::{Grams, Money};

/// Larvae and residue taken from a cohort at one time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Harvest {
    pub cohort_seq: i64,
    pub larvae_g: Grams,
    pub larvae_text: String,
    pub larvae_moisture_pct: Option<f64>,
    pub larvae_nitrogen_dm_pct: Option<f64>,
    /// How many larvae, all of them counted.
    pub counted: Option<i64>,
    pub sample_count: Option<i64>,
    pub sample_g: Option<f64>,
    pub dead: Option<i64>,
    /// Weight of the residue as it came off the trays.
    pub residue_g: Option<Grams>,
    pub residue_text: Option<String>,
    pub residue_moisture_pct: Option<f64>,
    pub residue_to: Option<ResidueTo>,
    pub note: Option<String>,
}

word_enum!(
    /// Where what the larvae left goes.
    ResidueTo {
        /// Kept on the farm for now.
        Kept = "kept",
        /// Sold or given away as frass.
        Sold = "sold",
        Land = "land",
        Composted = "composted",
        /// To a digester.
        Digestion = "digestion",
        Landfilled = "landfilled",
    }
);

/// Money earned or spent.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Payment {
    /// What for; says whether it came in or went out.
    pub item: MoneyItem,
    /// How much; not below zero.
    #[serde(alias = "hundredths")]
    pub amount: Money,
    /// The task of labour, or what else was paid for.
    pub what: Option<String>,
    pub minutes: Option<i64>,
    pub kwh: Option<f64>,
    /// The weight it is for: sold, bought, or brought for a fee.
    pub grams: Option<Grams>,
    pub grams_text: Option<String>,
    pub party: Option<String>,
    /// Positions of the cohorts it belongs to; none: to the whole farm.
    #[serde(skip_deserializing)]
    pub cohort_seqs: Vec<i64>,
    pub note: Option<String>,
}

word_enum!(
    MoneyItem {
        /// Received for taking a load.
        GateFee = "gate-fee",
        SoldLive = "sold-live",
        SoldDried = "sold-dried",
        SoldFrass = "sold-frass",
        /// Paid for feed that no ticket prices.
        Feed = "feed",
        Labour = "labour",
        Energy = "energy",
        Packaging = "packaging",
        /// Paid to be rid of something.
        Disposal = "disposal",
        Other = "other",
    }
);

impl MoneyItem {
    pub const fn is_income(self) -> bool {
        matches!(
            self,
            Self::GateFee | Self::SoldLive | Self::SoldDried | Self::SoldFrass
        )
    }

    pub const fn is_sale(self) -> bool {
        matches!(self, Self::SoldLive | Self::SoldDried | Self::SoldFrass)
    }
}

/// A figure of the tables replaced by the farm's own, by the owner's word.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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

word_enum!(
    /// Which figure of the tables a farm may replace from its own records.
    OwnFigure {
        KeepsDays = "keeps-days",
        /// A factor on a stage's rations.
        Ration = "ration",
    }
);
