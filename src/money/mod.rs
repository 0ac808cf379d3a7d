//! Money: what larvae cost, where profit is nil and what would turn it.
//!
//! Owns: sums of money over a month or a cohort, break-even and its levers.
//!
//! Must not know: SQL, clocks, how a sheet looks, where records come from.
//!
//! Invariant: whole hundredths; shares add up to the hundredth (largest remainder).
//!
//! A month's ledger is what was written down, the loads bought and the gate fees
//! of tickets (a price below zero), and what was bought for a night at the
//! table's price. A cohort's cost is what names it, the bought feed in its
//! meals, and its share, by fresh weight harvested, of what names none.

mod breakeven;
mod fixed;
mod ledger;
mod levers;

pub use breakeven::{Breakeven, Figure, Reckoned, breakeven};
pub use fixed::FixedShares;
pub use ledger::{Cost, Labour, Ledger, Product, Sale, dried_per_fresh, shared_costs};
pub use levers::{Bar, Lever, Move, levers, profit_with, sensitivity};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::{Grams, Money};

    fn sale(product: Product, grams: i64, hundredths: i64) -> Sale {
        Sale {
            product,
            weight: Grams::new(grams),
            money: Money::new(hundredths),
        }
    }

    /// An invented month.
    pub(super) fn ledger() -> Ledger {
        Ledger {
            gate_fees: Money::new(9_600),
            taken_in: Grams::new(2_400_000),
            costs: vec![
                (Cost::Energy, Money::new(9_000)),
                (Cost::Packaging, Money::new(2_240)),
                (Cost::Other, Money::new(24_000)),
            ],
            labour: vec![Labour {
                task: "feeding".to_owned(),
                minutes: 2_280,
                cost: Money::new(1_842).for_minutes(2_280),
            }],
            sales: vec![
                sale(Product::Live, 200_000, 40_000),
                sale(Product::Dried, 40_000, 30_000),
                sale(Product::Frass, 500_000, 5_000),
            ],
            larvae: Grams::new(310_200),
        }
    }

    /// Ledgers with something in every place.
    pub(super) fn ledgers() -> impl Strategy<Value = Ledger> {
        let money = || (1_i64..5_000_000).prop_map(Money::new);
        let weight = || (1_000_i64..5_000_000).prop_map(Grams::new);
        let sold = prop::collection::vec((money(), weight()), 3);
        let costs = prop::collection::vec(money(), 6);
        (costs, sold, money(), weight(), weight()).prop_map(
            |(costs, sold, gate_fees, taken_in, larvae)| Ledger {
                gate_fees,
                taken_in,
                costs: Cost::ALL.into_iter().zip(costs).collect(),
                labour: Vec::new(),
                sales: (Product::ALL.into_iter().zip(sold))
                    .map(|(product, (money, weight))| Sale {
                        product,
                        weight,
                        money,
                    })
                    .collect(),
                larvae,
            },
        )
    }
}
