use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Decimal, round_ratio, whole, word_enum};

/// A weight in whole grams. May be negative where it is a difference.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(transparent)]
pub struct Grams(i64);

impl Grams {
    /// Kilograms, for the blend's arithmetic and for JSON.
    pub fn kg(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// Nearest whole gram to a number of kilograms, ties away from zero.
    /// `None` when the number is not finite or above 10^9 kg.
    pub fn from_kg(kg: f64) -> Option<Self> {
        if !kg.is_finite() || kg.abs() > 1e9 {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "bounded on the line above")]
        Some(Self((kg * 1000.0).round() as i64))
    }

    /// The weight in `unit`, rounded to that unit's usual decimals.
    pub fn rounded_in(self, unit: MassUnit) -> Decimal {
        let places = unit.usual_places();
        let (grams, per) = unit.grams_ratio();
        let scale = 10_i128.pow(u32::from(places));
        let steps = round_ratio(i128::from(self.0) * per * scale, grams);
        Decimal::new(i64::try_from(steps).unwrap_or(i64::MAX), places)
    }

    /// The same as text.
    pub fn in_unit(self, unit: MassUnit) -> String {
        format!("{} {unit}", self.rounded_in(unit))
    }

    /// Both units people use: the farm's own first, kilograms or pounds after.
    pub fn in_both(self, first: MassUnit) -> String {
        let second = match first {
            MassUnit::Kg | MassUnit::G | MassUnit::Tonne => MassUnit::Lb,
            MassUnit::Lb | MassUnit::Oz => MassUnit::Kg,
        };
        format!("{} ({})", self.in_unit(first), self.in_unit(second))
    }
}

whole!(Grams: get);

word_enum!(
    /// A unit of weight a scale or a person uses.
    MassUnit {
        /// Pound avoirdupois, exactly 453.592 37 g.
        Lb = "lb",
        /// Ounce avoirdupois, exactly 28.349 523 125 g.
        Oz = "oz",
        /// Kilogram.
        Kg = "kg",
        /// Gram.
        G = "g",
        /// Tonne, 1000 kg.
        Tonne = "t",
    }
);

impl MassUnit {
    /// The unit a word means, or `None`. `ton` is not among them.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word.to_ascii_lowercase().as_str() {
            "lb" | "lbs" | "pound" | "pounds" => Self::Lb,
            "oz" | "ounce" | "ounces" => Self::Oz,
            "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => Self::Kg,
            "g" | "gram" | "grams" => Self::G,
            "t" | "tonne" | "tonnes" => Self::Tonne,
            _ => return None,
        })
    }

    /// Exact grams in one unit, as numerator and denominator.
    ///
    /// Source: international yard and pound agreement 1959, 1 lb =
    /// 0.453 592 37 kg exactly; 1 oz = 1/16 lb (NIST Handbook 44, Appendix C).
    pub const fn grams_ratio(self) -> (i128, i128) {
        match self {
            Self::Lb => (45_359_237, 100_000),
            Self::Oz => (45_359_237, 1_600_000),
            Self::Kg => (1_000, 1),
            Self::G => (1, 1),
            Self::Tonne => (1_000_000, 1),
        }
    }

    pub(crate) fn kg(self) -> f64 {
        let (grams, per) = self.grams_ratio();
        grams as f64 / per as f64 / 1000.0
    }

    /// Whole grams in `amount` of this unit, nearest, ties away from zero.
    pub fn to_grams(self, amount: Decimal) -> Grams {
        self.whole_grams(amount.numerator(), amount.denominator())
    }

    /// The same of a quotient, rounded once.
    pub(super) fn whole_grams(self, above: i128, below: i128) -> Grams {
        let (numerator, denominator) = self.grams_ratio();
        let grams = round_ratio(above * numerator, below * denominator);
        Grams(i64::try_from(grams).unwrap_or(i64::MAX))
    }

    pub(super) fn usual_places(self) -> u8 {
        match self {
            Self::Kg => 2,
            Self::Lb | Self::Oz => 1,
            Self::G => 0,
            Self::Tonne => 3,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST Handbook 44, Appendix C: exact factors of the pound and the ounce.
    #[test]
    fn nist_hb44_appendix_c_exact_factors() {
        for (unit, text, grams) in [
            (MassUnit::Lb, "100000", 45_359_237),
            (MassUnit::Oz, "1600000", 45_359_237),
            (MassUnit::Lb, "2000", 907_185), // short ton 907.18474 kg
            (MassUnit::Lb, "1", 454),
            (MassUnit::Oz, "1", 28),
            (MassUnit::Tonne, "1", 1_000_000),
        ] {
            let read = unit.to_grams(Decimal::parse(text).expect("a number"));
            assert_eq!(read.get(), grams, "{text} {unit}");
        }
    }

    #[test]
    fn text_in_both_units() {
        let both = Grams::new(13_926).in_both(MassUnit::Lb);
        assert_eq!(both, "30.7 lb (13.93 kg)");
        assert_eq!(Grams::new(-500).in_unit(MassUnit::Kg), "-0.50 kg");
        assert_eq!(Grams::new(17).in_unit(MassUnit::G), "17 g");
    }

    #[test]
    fn kilograms_that_are_no_weight() {
        assert_eq!(Grams::from_kg(f64::NAN), None);
        assert_eq!(Grams::from_kg(1e308), None);
        assert_eq!(Grams::from_kg(0.0005), Some(Grams::new(1)));
    }
}
