use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a stream is made of, for the rules on its use.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Class {
    /// Grain, bran, spent grain and dry feed of plants.
    Grain,
    /// Fruit and vegetables that never were in a kitchen.
    Produce,
    /// Bread, pastry and dough without meat or fish.
    Bakery,
    /// Anything out of a kitchen, canteen or household, whatever the diet.
    Kitchen,
    /// Milk, whey, cheese, egg.
    DairyEgg,
    /// Meat, fish, bone, offal.
    MeatFish,
    Manure,
    /// Wood, straw, shells, cardboard, leaves.
    Woody,
    /// Shell grit, lime, soil.
    Mineral,
    /// None of these.
    Other,
}

impl Class {
    /// Every class, in the order of the table's documentation.
    pub const ALL: [Self; 10] = [
        Self::Grain,
        Self::Produce,
        Self::Bakery,
        Self::Kitchen,
        Self::DairyEgg,
        Self::MeatFish,
        Self::Manure,
        Self::Woody,
        Self::Mineral,
        Self::Other,
    ];

    /// The class as it stands in tables.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Grain => "grain",
            Self::Produce => "produce",
            Self::Bakery => "bakery",
            Self::Kitchen => "kitchen",
            Self::DairyEgg => "dairy-egg",
            Self::MeatFish => "meat-fish",
            Self::Manure => "manure",
            Self::Woody => "woody",
            Self::Mineral => "mineral",
            Self::Other => "other",
        }
    }

    /// Reads a class as it stands in tables.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.as_str() == text)
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
