use super::{QuantityError, within};
use crate::words::say;

macro_rules! share_type {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            pub fn from_pct(pct: f64) -> Result<Self, QuantityError> {
                let pct = within(pct, 0.0..=100.0, || say!("accepted-percentage"))?;
                Ok(Self(pct / 100.0))
            }

            pub fn get(self) -> f64 {
                self.0
            }

            pub fn pct(self) -> f64 {
                self.0 * 100.0
            }
        }
    };
}

share_type!(
    /// A share of the weight as fed (wet basis), such as moisture.
    ShareAsFed
);
share_type!(
    /// A share of the dry matter, such as crude protein.
    ShareOfDry
);

impl ShareAsFed {
    /// What is left of the whole: the dry share where this is moisture.
    pub fn rest(self) -> f64 {
        1.0 - self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_real_percentages_become_shares() {
        assert!(ShareAsFed::from_pct(100.0).is_ok());
        for pct in [-0.1, 100.1, f64::NAN, f64::INFINITY, 1e308] {
            assert!(ShareOfDry::from_pct(pct).is_err(), "{pct}");
        }
    }
}
