use crate::quantity::word_enum;
use crate::quantity::{Grams, Money, ShareAsFed, apportioned};

word_enum!(
    /// What is sold.
    Product {
        /// Larvae, fresh.
        Live = "live",
        /// Larvae, dried.
        Dried = "dried",
        /// Sifted residue.
        Frass = "frass",
    }
);

word_enum!(
    Cost {
        BoughtFeed = "bought-feed",
        /// Hours worked.
        Labour = "labour",
        /// Heat, light, drying.
        Energy = "energy",
        /// Bags, boxes, labels.
        Packaging = "packaging",
        /// What had to be taken away.
        Disposal = "disposal",
        /// Rent, insurance, repairs, seed larvae and the like.
        Other = "other",
    }
);

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Labour {
    pub task: String,
    pub minutes: i64,
    /// What they cost: [`Money::for_minutes`] of the rate.
    pub cost: Money,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sale {
    pub product: Product,
    pub weight: Grams,
    pub money: Money,
}

/// Money and weights of a month or a cohort. Amounts are zero or more.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ledger {
    pub gate_fees: Money,
    /// Weight of the loads taken in, fee or not \[as received\].
    pub taken_in: Grams,
    /// Every cost but labour, by kind; a kind that is not here is nil.
    pub costs: Vec<(Cost, Money)>,
    pub labour: Vec<Labour>,
    pub sales: Vec<Sale>,
    /// Larvae produced, sold or not \[fresh\].
    pub larvae: Grams,
}

impl Ledger {
    pub fn cost(&self, kind: Cost) -> Money {
        let plain = (self.costs.iter()).filter(|(cost, _)| *cost == kind);
        let plain: Money = plain.map(|(_, money)| *money).sum();
        let labour: Money = self.labour.iter().map(|labour| labour.cost).sum();
        plain
            + if kind == Cost::Labour {
                labour
            } else {
                Money::ZERO
            }
    }

    pub fn total_cost(&self) -> Money {
        Cost::ALL.into_iter().map(|kind| self.cost(kind)).sum()
    }

    pub fn sold(&self, product: Product) -> Money {
        self.sales_of(product).map(|sale| sale.money).sum()
    }

    pub fn sold_weight(&self, product: Product) -> Grams {
        self.sales_of(product).map(|sale| sale.weight).sum()
    }

    fn sales_of(&self, product: Product) -> impl Iterator<Item = &Sale> {
        (self.sales.iter()).filter(move |sale| sale.product == product)
    }

    pub fn income(&self) -> Money {
        self.gate_fees + self.sales.iter().map(|sale| sale.money).sum()
    }

    pub fn profit(&self) -> Money {
        self.income() - self.total_cost()
    }
}

/// Costs and labour common to several cohorts, shared by what each weighs in
/// `by` so that every sum is kept to the hundredth and the minute.
///
/// Largest remainder, line by line ([`apportioned`]). What to share by is the
/// caller's choice and belongs on the sheet; larvae produced \[fresh\] is our
/// default. `None` when the weights sum to nothing or one is below zero.
pub fn shared_costs(common: &Ledger, by: &[Grams]) -> Option<Vec<Ledger>> {
    let weights: Vec<i64> = by.iter().map(|grams| grams.get()).collect();
    // Checked once here, so that no costs at all still give one ledger each.
    apportioned(0, &weights)?;
    let mut shares = vec![Ledger::default(); by.len()];
    for (kind, money) in &common.costs {
        for (share, money) in shares.iter_mut().zip(money.shared(&weights)?) {
            share.costs.push((*kind, money));
        }
    }
    for labour in &common.labour {
        let minutes = apportioned(labour.minutes, &weights)?;
        let costs = labour.cost.shared(&weights)?;
        for (share, (minutes, cost)) in shares.iter_mut().zip(minutes.into_iter().zip(costs)) {
            share.labour.push(Labour {
                task: labour.task.clone(),
                minutes,
                cost,
            });
        }
    }
    Some(shares)
}

/// Dried larvae from a kilogram of fresh ones \[kg/kg\]: what is not water in
/// the one is not water in the other.
///
/// (1 − moisture fresh) / (1 − moisture dried), both of wet weight, by balance;
/// what is lost as dust or fat is not in it. `None` when the dried larvae would
/// be all water or wetter than the fresh ones.
pub fn dried_per_fresh(fresh: ShareAsFed, dried: ShareAsFed) -> Option<f64> {
    let has_dry = dried.rest() > 0.0;
    (has_dry && dried <= fresh).then(|| fresh.rest() / dried.rest())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// By hand: 67 % to 10 % moisture, 0.33/0.90; 72.5 % to 5 %, 0.275/0.95.
    #[test]
    fn drying() {
        let pct = |pct| ShareAsFed::from_pct(pct).expect("a share");
        let dried = |fresh, dry| dried_per_fresh(pct(fresh), pct(dry)).map(|y| format!("{y:.4}"));
        assert_eq!(dried(67.0, 10.0).as_deref(), Some("0.3667"));
        assert_eq!(dried(72.5, 5.0).as_deref(), Some("0.2895"));
        assert_eq!(dried(67.0, 67.0).as_deref(), Some("1.0000"));
        assert_eq!(dried(60.0, 61.0), None);
        assert_eq!(dried(100.0, 100.0), None);
    }

    proptest! {
        /// Every cent and minute of the common costs is in exactly one share.
        #[test]
        fn shares_sum_exactly(
            amounts in prop::collection::vec(0_i64..10_000_000, 6),
            minutes in prop::collection::vec(0_i64..5_000, 3),
            by in prop::collection::vec(0_i64..900_000, 1..12),
        ) {
            prop_assume!(by.iter().sum::<i64>() > 0);
            let labour = minutes.iter().map(|minutes| Labour {
                task: "sieving".to_owned(),
                minutes: *minutes,
                cost: Money::new(1_850).for_minutes(*minutes),
            });
            let common = Ledger {
                costs: Cost::ALL.into_iter().zip(amounts.into_iter().map(Money::new)).collect(),
                labour: labour.collect(),
                ..Ledger::default()
            };
            let by: Vec<Grams> = by.into_iter().map(Grams::new).collect();
            let shares = shared_costs(&common, &by).expect("shares");
            for kind in Cost::ALL {
                let sum: Money = shares.iter().map(|share| share.cost(kind)).sum();
                prop_assert_eq!(sum, common.cost(kind));
            }
            let worked = shares.iter().flat_map(|share| &share.labour).map(|one| one.minutes);
            prop_assert_eq!(worked.sum::<i64>(), minutes.iter().sum::<i64>());
        }
    }

    #[test]
    fn nothing_to_share_by() {
        assert_eq!(shared_costs(&Ledger::default(), &[Grams::ZERO]), None);
        let two = shared_costs(&Ledger::default(), &[Grams::new(1), Grams::ZERO]);
        assert_eq!(two, Some(vec![Ledger::default(); 2]));
    }
}
