use super::{Grams, QuantityError, Reader, Refused, split_before, within};
use crate::words::say;

/// A volume in litres, zero or more.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Litres(f64);

impl Litres {
    pub fn new(litres: f64) -> Result<Self, QuantityError> {
        within(litres, 0.0..=1e6, || say!("accepted-litres")).map(Self)
    }

    pub fn get(self) -> f64 {
        self.0
    }
}

impl Reader {
    /// A volume: `40L`, `40`, `5 gal` (US gallon, exactly 3.785 411 784 L).
    pub fn litres(self, text: &str) -> Result<Litres, QuantityError> {
        let seen = text.trim();
        let (number, unit) = split_before(seen, char::is_alphabetic);
        let amount = self.form.number(number)?.to_f64();
        match unit.to_ascii_lowercase().as_str() {
            "" | "l" | "litre" | "litres" | "liter" | "liters" => Litres::new(amount),
            "gal" | "usgal" => Litres::new(amount * US_GALLON_L),
            _ => Err(Refused::OutOfRange(say!("accepted-volume")).of(seen)),
        }
    }
}

/// Litres in one US gallon: 231 cubic inches, exact (NIST Handbook 44, Appendix C).
pub(super) const US_GALLON_L: f64 = 3.785_411_784;

/// Bulk density in kg/m³ as it settles in a bucket, above zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density(f64);

impl Density {
    /// From 1 to 3000 kg/m³: looser than down, denser than stone is a slip.
    pub fn new(kg_per_m3: f64) -> Result<Self, QuantityError> {
        within(kg_per_m3, 1.0..=3000.0, || say!("accepted-bulk-density")).map(Self)
    }

    pub fn kg_per_m3(self) -> f64 {
        self.0
    }

    pub fn litres_per_kg(self) -> f64 {
        1000.0 / self.0
    }

    /// The weight of a volume: an estimate, never a weighing.
    pub fn weight_of(self, volume: Litres) -> Grams {
        Grams::from_kg(volume.get() * self.0 / 1000.0).unwrap_or(Grams::ZERO)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EPA ORCR 2016 volume-to-weight: food waste 396 lb/yd³, 3.8 lb/gal.
    /// 1 lb/yd³ = 0.593 276 421 kg/m³; the table's two figures disagree by 1.94.
    #[test]
    fn epa_2016_food_waste_densities() {
        let loose = Density::new(396.0 * 0.593_276_421).expect("density");
        assert!((loose.kg_per_m3() - 234.9).abs() < 0.1);
        let bucket = Reader::PLAIN.litres("5gal").expect("volume");
        assert!((loose.weight_of(bucket).kg() - 4.4).abs() < 0.06); // prints 4.4 kg
        let pailed = Density::new(3.8 * 119.826_427).expect("density");
        assert!((pailed.weight_of(bucket).kg() - 8.6).abs() < 0.06); // prints 8.6 kg
    }

    #[test]
    fn volumes_refused() {
        for text in ["", "x", "-4", "4 pints", "1e9"] {
            assert!(Reader::PLAIN.litres(text).is_err(), "{text}");
        }
        assert!(Density::new(0.0).is_err());
    }
}
