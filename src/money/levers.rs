use crate::words::{Said, say};

use super::{Cost, FixedShares, Ledger, Product};

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lever {
    /// Gate fees, by price or by weight.
    GateFees,
    Price(Product),
    /// Larvae from the same feed and work: sales of live and dried ones.
    LarvaeYield,
    /// Everything that grows with the larvae: income and variable costs.
    Throughput,
    Cost(Cost),
    AllCosts,
}

impl Lever {
    fn all() -> impl Iterator<Item = Self> {
        let produced = [Self::LarvaeYield, Self::Throughput];
        std::iter::once(Self::GateFees)
            .chain(Product::ALL.map(Self::Price))
            .chain(produced)
            .chain(Cost::ALL.map(Self::Cost))
            .chain([Self::AllCosts])
    }

    /// Change of profit when it doubles \[currency\].
    fn pull(self, ledger: &Ledger, fixed: &FixedShares) -> f64 {
        let larvae = || ledger.sold(Product::Live) + ledger.sold(Product::Dried);
        match self {
            Self::GateFees => ledger.gate_fees.units(),
            Self::Price(product) => ledger.sold(product).units(),
            Self::LarvaeYield => larvae().units(),
            Self::Throughput => ledger.income().units() - fixed.variable(ledger),
            Self::Cost(cost) => -ledger.cost(cost).units(),
            Self::AllCosts => -ledger.total_cost().units(),
        }
    }

    pub fn said(self) -> Said {
        match self {
            Self::GateFees => say!("money-gate-fees"),
            Self::Price(product) => say!("lever-price", product = product.as_str()),
            Self::LarvaeYield => say!("lever-larvae-yield"),
            Self::Throughput => say!("lever-throughput"),
            Self::Cost(cost) => say!("lever-cost", cost = cost.as_str()),
            Self::AllCosts => say!("lever-all-costs"),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    pub lever: Lever,
    /// Change of profit when it rises by the share \[currency\]; when it falls
    /// by as much, the same with the sign turned.
    pub change: f64,
}

/// What a rise of each input by a share does to profit, the largest first.
///
/// Profit is linear in each input, so change = share x what it moves; inputs
/// that are nil are left out. All costs together are not one input and are
/// left out too.
pub fn sensitivity(ledger: &Ledger, fixed: &FixedShares, share: f64) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Lever::all()
        .filter(|lever| *lever != Lever::AllCosts)
        .map(|lever| Bar {
            lever,
            change: share * lever.pull(ledger, fixed),
        })
        .filter(|bar| bar.change != 0.0)
        .collect();
    // A stable sort: equals keep the order of the levers.
    bars.sort_by(|a, b| b.change.abs().total_cmp(&a.change.abs()));
    bars
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    pub lever: Lever,
    /// Its change as a share of what it is, 0.5 for half as much again; `None`
    /// when it can't by itself: it is nil, or would have to fall below nothing.
    pub change: Option<f64>,
}

impl Move {
    pub fn said(&self) -> Said {
        let lever = self.lever.said();
        let pct = |share: f64| format!("{:.1}", 100.0 * share);
        match self.change {
            None => say!("move-not-enough", lever),
            Some(change) if change.abs() < 5e-4 => say!("move-there-already", lever),
            Some(change) if change < 0.0 => say!("move-down", lever, pct = pct(-change)),
            Some(change) => say!("move-up", lever, pct = pct(change)),
        }
    }
}

/// How far each lever by itself has to move for profit to be nil, up from a
/// loss or down from a gain.
///
/// profit + change x pull = 0, so change = −profit / pull; none below −1.
pub fn levers(ledger: &Ledger, fixed: &FixedShares) -> Vec<Move> {
    let profit = ledger.profit().units();
    let moves = Lever::all().map(|lever| {
        let change = -profit / lever.pull(ledger, fixed);
        Move {
            lever,
            change: (change.is_finite() && change >= -1.0).then_some(change),
        }
    });
    moves.collect()
}

/// Profit with one lever at so many times what it is \[currency\], reckoned anew.
pub fn profit_with(ledger: &Ledger, fixed: &FixedShares, lever: Lever, times: f64) -> f64 {
    let fees = match lever {
        Lever::GateFees | Lever::Throughput => times,
        _ => 1.0,
    };
    let sale = |product: Product| match lever {
        Lever::Price(moved) if moved == product => times,
        Lever::LarvaeYield if product != Product::Frass => times,
        Lever::Throughput => times,
        _ => 1.0,
    };
    let cost = |cost: Cost| match lever {
        Lever::Cost(moved) if moved == cost => times,
        Lever::AllCosts => times,
        Lever::Throughput => fixed.of(cost) + (1.0 - fixed.of(cost)) * times,
        _ => 1.0,
    };
    let sales = Product::ALL.map(|product| sale(product) * ledger.sold(product).units());
    let costs = Cost::ALL.map(|kind| cost(kind) * ledger.cost(kind).units());
    fees * ledger.gate_fees.units() + sales.iter().sum::<f64>() - costs.iter().sum::<f64>()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::tests::{ledger, ledgers};
    use super::*;
    use crate::money::Sale;
    use crate::quantity::{Grams, Money};

    #[test]
    fn bars_and_moves_of_one_ledger() {
        let fixed = FixedShares::default();
        let bars = sensitivity(&ledger(), &fixed, 0.1).into_iter();
        let bars = bars.map(|bar| format!("{} {:+.2}", bar.lever.said().in_english(), bar.change));
        let moves = levers(&ledger(), &fixed)
            .into_iter()
            .map(|one| one.said().in_english());
        let lines: Vec<String> = bars.chain(moves).collect();
        insta::assert_snapshot!(lines.join("\n"), @r"
        larvae from the same feed +70.00
        cost of labour -70.00
        throughput +42.86
        price of live larvae +40.00
        price of dried larvae +30.00
        cost of other -24.00
        gate fees +9.60
        cost of energy -9.00
        price of frass +5.00
        cost of packaging -2.24
        gate fees: up by 215.0 %
        price of live larvae: up by 51.6 %
        price of dried larvae: up by 68.8 %
        price of frass: up by 412.7 %
        larvae from the same feed: up by 29.5 %
        throughput: up by 48.1 %
        cost of bought feed: not enough alone
        cost of labour: down by 29.5 %
        cost of energy: not enough alone
        cost of packaging: not enough alone
        cost of disposal: not enough alone
        cost of other: down by 86.0 %
        all costs: down by 19.6 %
        ");
    }

    /// Scale of the trade (common practice, no source): larvae that cost 2.0 to
    /// 2.5 a pound and sell at 1.5. By hand: the price has to rise by 1/3 to
    /// 2/3, all costs to fall by 1/4 to 2/5, labour of half the cost by 1/2 to 4/5.
    #[test]
    fn a_loss_at_the_scale_of_the_trade() {
        let pounds = 400;
        for (cost, price_pct, costs_pct, labour_pct) in [
            (200, 100.0 / 3.0, 25.0, 50.0),
            (250, 200.0 / 3.0, 40.0, 80.0),
        ] {
            let half = Money::new(pounds * cost / 2);
            let weight = Grams::new(pounds * 453_592 / 1000);
            let ledger = Ledger {
                costs: vec![(Cost::Labour, half), (Cost::Other, half)],
                sales: vec![Sale {
                    product: Product::Live,
                    weight,
                    money: Money::new(pounds * 150),
                }],
                larvae: weight,
                ..Ledger::default()
            };
            let moves = levers(&ledger, &FixedShares::default());
            let pct = |lever: Lever| {
                let found = moves.iter().find(|one| one.lever == lever)?;
                Some(100.0 * found.change?)
            };
            let near = |seen: Option<f64>, expected: f64| {
                assert!((seen.expect("a move") - expected).abs() < 1e-9, "{seen:?}");
            };
            near(pct(Lever::Price(Product::Live)), price_pct);
            near(pct(Lever::LarvaeYield), price_pct);
            near(pct(Lever::AllCosts), -costs_pct);
            near(pct(Lever::Cost(Cost::Labour)), -labour_pct);
            assert_eq!(pct(Lever::GateFees), None);
            assert_eq!(pct(Lever::Price(Product::Dried)), None);
            // Half of labour grows with the larvae: 1.50 less 0.50 (or 0.625) a
            // pound pays the fixed 1.50 (or 1.875).
            let variable = f64::from(i32::try_from(cost).expect("small")) / 400.0;
            let times = 3.0 * variable / (1.5 - variable);
            near(pct(Lever::Throughput), 100.0 * (times - 1.0));
        }
    }

    /// All costs met to the hundredth.
    #[test]
    fn nothing_moves_when_profit_is_nil() {
        let mut even = ledger();
        even.gate_fees -= even.profit();
        assert_eq!(even.profit(), Money::ZERO);
        for one in levers(&even, &FixedShares::default()) {
            let end = match one.lever {
                Lever::Cost(Cost::BoughtFeed | Cost::Disposal) => "not enough alone",
                _ => "there already",
            };
            let said = one.said().in_english();
            assert!(said.ends_with(end), "{said}");
        }
    }

    proptest! {
        #[test]
        fn a_lever_taken_leaves_nothing(ledger in ledgers()) {
            let fixed = FixedShares::default();
            let profit = ledger.profit().units();
            for Move { lever, change } in levers(&ledger, &fixed) {
                if let Some(change) = change {
                    let left = profit_with(&ledger, &fixed, lever, 1.0 + change);
                    prop_assert!(left.abs() < 1e-6 * (1.0 + ledger.income().units()), "{lever:?}: {left}");
                } else {
                    // Even gone altogether, or doubled, it does not turn the sign.
                    for times in [0.0, 2.0] {
                        let left = profit_with(&ledger, &fixed, lever, times);
                        prop_assert!(left * profit >= 0.0, "{lever:?}: {profit} to {left}");
                    }
                }
            }
            for Bar { lever, change } in sensitivity(&ledger, &fixed, 0.1) {
                for (times, sign) in [(1.1, 1.0), (0.9, -1.0)] {
                    let moved = profit_with(&ledger, &fixed, lever, times) - profit;
                    prop_assert!((moved - sign * change).abs() < 1e-6, "{lever:?}");
                }
            }
        }
    }
}
