use serde::{Deserialize, Serialize};

use crate::quantity::{DecimalMark, Grams, MassUnit, word_enum};
use crate::words::Language;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Farm {
    pub zone: String,
    pub unit: MassUnit,
    /// The scale's division in that unit, as typed.
    pub division: String,
    pub currency: String,
    /// Where the farm is, for the rules on use.
    pub region: String,
    /// What its larvae are for, for the rules on use.
    pub larvae_for: String,
    #[serde(flatten, skip_deserializing)]
    pub said: FarmSaid,
    #[serde(flatten, skip_deserializing)]
    pub chosen: Chosen,
}

word_enum!(
    /// Whether water may be added to a mix.
    WaterUse {
        /// Only where without it someone goes short or a window breaks.
        LastResort = "last-resort",
        Never = "never",
    }
);

/// What a farm may say of itself for statements; what it has not said is `None`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct FarmSaid {
    /// The name printed on statements.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Why its scale counts as verified, in its own words; `None`: it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verified_scale: Option<String>,
    /// The rule for "diverted"; `None`: our default.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diverted_rule: Option<String>,
}

impl FarmSaid {
    /// These words put over what was said before; a bare `none` takes one back.
    #[must_use]
    pub fn put_over(&self, old: Self) -> Self {
        let over = |new: &Option<String>, old| match new.as_deref().map(str::trim) {
            None => old,
            Some("" | "none") => None,
            Some(text) => Some(text.to_owned()),
        };
        Self {
            name: over(&self.name, old.name),
            verified_scale: over(&self.verified_scale, old.verified_scale),
            diverted_rule: over(&self.diverted_rule, old.diverted_rule),
        }
    }
}

/// What a farm chose where we have a default; `None`: our default.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Chosen {
    /// How it writes numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_mark: Option<DecimalMark>,
    /// The chance, per cent, that each window of a mix should hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sure_pct: Option<i64>,
    /// The smallest weight worth taking from a lot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smallest_draw_g: Option<Grams>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_lots: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water: Option<WaterUse>,
    /// The division of a second, finer scale, with its unit, as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub small_division: Option<String>,
    /// The most that scale carries; there when the division is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub small_up_to_g: Option<Grams>,
    /// The stage fed first when there is not enough.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_stage: Option<String>,
    /// Of its answers and sheets; `None`: as whoever asks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub language: Option<Language>,
}
