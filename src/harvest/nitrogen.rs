use crate::quantity::{QuantityError, within};
use crate::stream::Evidence;
use crate::words::{Said, say};

use super::Cited;

/// What larval nitrogen is multiplied by to tell larval protein.
///
/// Part of a larva's nitrogen is chitin, not protein, so 6.25 overstates it.
/// The factor is a choice and is printed with every protein conversion.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum NitrogenFactor {
    /// 6.25, the usual factor of feed analysis.
    #[default]
    Usual,
    /// 4.76, whole larvae.
    WholeLarvae,
    /// 5.60, extracted protein.
    Extract,
    /// 5.65, a later alternative.
    Later,
    Own(f64),
}

impl NitrogenFactor {
    /// What is offered by name; the farm's own comes besides.
    pub const OFFERED: [Self; 4] = [Self::Usual, Self::WholeLarvae, Self::Later, Self::Extract];

    /// A factor by its number, from 3 to 7 (our default): a published one where
    /// it is one, else the farm's own.
    pub fn of(number: f64) -> Result<Self, QuantityError> {
        let number = within(number, 3.0..=7.0, || say!("accepted-nitrogen-factor"))?;
        let is_it = |factor: &Self| (factor.value() - number).abs() < 1e-9;
        let published = Self::OFFERED.into_iter().find(is_it);
        Ok(published.unwrap_or(Self::Own(number)))
    }

    pub const fn value(self) -> f64 {
        match self {
            Self::Usual => 6.25,
            Self::WholeLarvae => 4.76,
            Self::Extract => 5.60,
            Self::Later => 5.65,
            Self::Own(factor) => factor,
        }
    }

    /// Where it comes from; `None` for the farm's own.
    pub const fn source(self) -> Option<Cited> {
        let (citation, evidence) = match self {
            Self::Usual => (
                "usual factor of feed analysis; still used by laboratories, \
                 Alagappan et al. 2026, abstract",
                Evidence::Seen,
            ),
            Self::WholeLarvae | Self::Extract => (
                "Janssen et al. 2017, Journal of Agricultural and Food Chemistry 65:2275",
                Evidence::Memory,
            ),
            Self::Later => ("Alagappan et al. 2026, abstract", Evidence::Seen),
            Self::Own(_) => return None,
        };
        Some(Cited { citation, evidence })
    }

    pub fn said(self) -> Said {
        let what = match self {
            Self::Usual => say!("nitrogen-usual"),
            Self::WholeLarvae => say!("nitrogen-whole-larvae"),
            Self::Extract => say!("nitrogen-extract"),
            Self::Later => say!("nitrogen-later"),
            Self::Own(_) if self.is_transposed() => say!("nitrogen-transposed"),
            Self::Own(_) => say!("figure-own"),
        };
        say!("nitrogen", factor = format!("{:.2}", self.value()), what)
    }

    /// Whether it is 4.76 with its last digits exchanged, as one published data set has it.
    fn is_transposed(self) -> bool {
        (self.value() - 4.67).abs() < 1e-9
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_finds_its_source_or_is_the_farm_s_own() {
        assert_eq!(NitrogenFactor::of(4.76), Ok(NitrogenFactor::WholeLarvae));
        assert_eq!(NitrogenFactor::of(6.25), Ok(NitrogenFactor::default()));
        assert_eq!(NitrogenFactor::of(5.1), Ok(NitrogenFactor::Own(5.1)));
        assert!(NitrogenFactor::Own(5.1).source().is_none());
        for number in [f64::NAN, 2.9, 7.1, f64::INFINITY] {
            assert!(NitrogenFactor::of(number).is_err(), "{number}");
        }
    }

    /// The data set of Gold et al. 2020 multiplies by 4.67, apparently 4.76 transposed.
    #[test]
    fn an_exchange_of_digits_is_told() {
        let factor = NitrogenFactor::of(4.67).expect("in range");
        assert_eq!(factor, NitrogenFactor::Own(4.67));
        assert!(factor.said().in_english().contains("4.76 was meant"));
        assert!(
            !NitrogenFactor::WholeLarvae
                .said()
                .in_english()
                .contains("check")
        );
    }
}
