use crate::quantity::{Money, QuantityError, ShareAsFed};
use crate::words::{Said, say};

use super::{Cost, Ledger};

/// What part of each cost stays when nothing is produced; the rest grows with
/// the larvae. An assumption, to be printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedShares([f64; Cost::ALL.len()]);

impl Default for FixedShares {
    /// Half of labour and of energy, all of "other", none of feed, packaging
    /// and disposal (our default).
    fn default() -> Self {
        Self(Cost::ALL.map(|cost| match cost {
            Cost::Labour | Cost::Energy => 0.5,
            Cost::Other => 1.0,
            Cost::BoughtFeed | Cost::Packaging | Cost::Disposal => 0.0,
        }))
    }
}

impl FixedShares {
    /// The same with another share for one cost.
    pub fn with(mut self, cost: Cost, pct: f64) -> Result<Self, QuantityError> {
        self.0[cost as usize] = ShareAsFed::from_pct(pct)?.get();
        Ok(self)
    }

    pub fn of(&self, cost: Cost) -> f64 {
        self.0[cost as usize]
    }

    pub fn said(&self) -> Said {
        let parts = Cost::ALL.map(|cost| {
            let pct = format!("{:.0}", 100.0 * self.of(cost));
            say!("fixed-part", cost = cost.as_str(), pct)
        });
        say!("fixed", parts = Said::joined(parts, ", "))
    }

    /// Costs that stay, in units of the currency.
    pub(super) fn fixed(&self, ledger: &Ledger) -> f64 {
        self.sum(ledger, |share| share)
    }

    /// Costs that grow with the larvae, in units of the currency.
    pub(super) fn variable(&self, ledger: &Ledger) -> f64 {
        self.sum(ledger, |share| 1.0 - share)
    }

    fn sum(&self, ledger: &Ledger, part: impl Fn(f64) -> f64) -> f64 {
        (Cost::ALL.into_iter())
            .map(|cost| Money::units(ledger.cost(cost)) * part(self.of(cost)))
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_our_own_and_of_the_farm() {
        let farm = FixedShares::default()
            .with(Cost::Labour, 80.0)
            .expect("a share");
        assert_eq!(
            farm.said().in_english(),
            "taken as fixed: bought feed 0 %, labour 80 %, energy 50 %, packaging 0 %, \
             disposal 0 %, other 100 %"
        );
        for pct in [-1.0, 100.5, f64::NAN] {
            assert!(farm.with(Cost::Other, pct).is_err(), "{pct}");
        }
    }
}
