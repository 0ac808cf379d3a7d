use crate::quantity::{Grams, MassUnit, Money};
use crate::words::{Said, say};

use super::{Cost, FixedShares, Ledger, Product};

#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Money for a unit of weight, or weight a month.
    pub value: f64,
    /// The sum, such as `(812.40 + 240.00 - 96.00) / 310.20 kg = 3.08 a kg`.
    pub sum: Said,
}

pub type Reckoned = Result<Figure, Said>;

#[derive(Debug, Clone, PartialEq)]
pub struct Breakeven {
    /// All costs for a unit of larvae produced \[fresh\].
    pub gross_cost: Reckoned,
    /// The same less gate fees and frass sales: also the price at which profit
    /// is nil if every unit produced is sold fresh.
    pub net_cost: Reckoned,
    /// For a unit sold of each product, all else as it is.
    pub price: [(Product, Reckoned); Product::ALL.len()],
    /// For a tonne taken in \[as received\], all else as it is.
    pub gate_fee_per_tonne: Reckoned,
    /// Larvae a month \[fresh\] at which what a unit brings beyond its own costs
    /// pays the fixed ones.
    pub throughput_per_month: Reckoned,
}

/// Cost of larvae and where profit is nil, for a ledger over so many months.
///
/// With C all costs, G gate fees, S sales, S_p those of product p, W larvae
/// produced, W_p product sold, T taken in, V and F the variable and fixed
/// costs (`fixed`, an assumption): gross cost C/W; net cost (C − G − S_frass)/W;
/// break-even price (C − G − (S − S_p))/W_p; break-even gate fee (C − S)/T;
/// throughput (F/months)/((G + S − V)/W), with income and variable costs in
/// step with larvae. Money for a `unit` of weight, or units a month; common
/// definitions of accounting, no source.
pub fn breakeven(ledger: &Ledger, fixed: &FixedShares, months: f64, unit: MassUnit) -> Breakeven {
    let larvae = ledger.larvae;
    let costs: Vec<Money> = Cost::ALL.map(|cost| ledger.cost(cost)).to_vec();
    let each = |less: &[Money], weight: Grams, told: Told, none: Said| {
        each(&costs, less, weight, told).ok_or(none)
    };
    let cost = |less: &[Money]| each(less, larvae, Told::Cost(unit), no_larvae());
    let sold = |product| ledger.sold(product);
    let frass_and_fees = [ledger.gate_fees, sold(Product::Frass)];
    let price = Product::ALL.map(|product| {
        let others = Product::ALL.into_iter().filter(|other| *other != product);
        let less: Vec<Money> = std::iter::once(ledger.gate_fees)
            .chain(others.map(sold))
            .collect();
        let weight = ledger.sold_weight(product);
        let none = say!("no-figure-not-sold", product = product.as_str());
        (product, each(&less, weight, Told::Price(unit), none))
    });
    Breakeven {
        gross_cost: cost(&[]),
        net_cost: cost(&frass_and_fees),
        price,
        gate_fee_per_tonne: {
            let none = say!("no-figure-nothing-taken-in");
            let told = match unit {
                MassUnit::Lb => Told::ShortTon,
                _ => Told::Price(MassUnit::Tonne),
            };
            each(&Product::ALL.map(sold), ledger.taken_in, told, none)
        },
        throughput_per_month: throughput(ledger, fixed, months, unit),
    }
}

/// How a figure is told.
#[derive(Clone, Copy)]
enum Told {
    Cost(MassUnit),
    /// What must be asked at least: the next hundredth up, or it would not pay.
    Price(MassUnit),
    /// Where people weigh in pounds, gate fees go by the short ton.
    ShortTon,
}

/// NIST Handbook 44, Appendix C.
const POUNDS_IN_SHORT_TON: f64 = 2000.0;

impl Told {
    fn said(self, sum: &str, value: f64) -> Said {
        /// What is whole but for float noise is not raised.
        const NOISE: f64 = 1e-6;
        let up = |value: f64| format!("{:.2}", (value * 100.0 - NOISE).ceil() / 100.0);
        match self {
            Self::Cost(unit) => a_unit(sum, value, unit),
            Self::Price(unit) => say!("money-at-least", sum, value = up(value), unit),
            Self::ShortTon => {
                let value = up(value * POUNDS_IN_SHORT_TON * MassUnit::Lb.kg() / 1000.0);
                say!("money-a-short-ton", sum, value)
            }
        }
    }

    /// The unit its value is of.
    const fn unit(self) -> MassUnit {
        match self {
            Self::Cost(unit) | Self::Price(unit) => unit,
            Self::ShortTon => MassUnit::Tonne,
        }
    }

    /// The unit its sum has the weight in.
    fn weighed_in(self, weight: Grams) -> MassUnit {
        match self {
            Self::ShortTon => MassUnit::Lb,
            // A small farm's tonne has too few digits to reckon it after.
            _ if self.unit() == MassUnit::Tonne && weight.kg() < 1000.0 => MassUnit::Kg,
            _ => self.unit(),
        }
    }
}

fn no_larvae() -> Said {
    say!("no-figure-no-larvae")
}

/// (Σ costs − Σ less) / weight, with the sum as text; nil amounts are left out of it.
fn each(costs: &[Money], less: &[Money], weight: Grams, told: Told) -> Option<Figure> {
    if weight <= Grams::ZERO {
        return None;
    }
    let total = costs.iter().copied().sum::<Money>() - less.iter().copied().sum();
    let named = |amounts: &[Money]| -> Vec<String> {
        let some = amounts.iter().filter(|money| **money != Money::ZERO);
        some.map(Money::to_string).collect()
    };
    let (mut above, less) = (named(costs).join(" + "), named(less));
    if above.is_empty() {
        above = Money::ZERO.to_string();
    }
    for amount in less {
        above = format!("{above} - {amount}");
    }
    if above.contains(' ') {
        above = format!("({above})");
    }
    let of_a_unit = |weight_kg: f64| total.units() / (weight_kg / told.unit().kg());
    let (value, unit) = (of_a_unit(weight.kg()), told.weighed_in(weight));
    let shown = weight.rounded_in(unit);
    // Who reckons after the line comes to what it says.
    let of_shown = match shown.to_f64() * unit.kg() {
        nothing if nothing <= 0.0 => value,
        shown_kg => of_a_unit(shown_kg),
    };
    let sum = told.said(&format!("{above} / {shown} {unit}"), of_shown);
    Some(Figure { value, sum })
}

fn a_unit(sum: &str, value: f64, unit: MassUnit) -> Said {
    say!("money-a-unit", sum, value = format!("{value:.2}"), unit)
}

fn throughput(ledger: &Ledger, fixed: &FixedShares, months: f64, unit: MassUnit) -> Reckoned {
    if ledger.larvae <= Grams::ZERO {
        return Err(no_larvae());
    }
    if !months.is_finite() || months <= 0.0 {
        return Err(say!("no-figure-no-span"));
    }
    let (income, variable) = (ledger.income().units(), fixed.variable(ledger));
    let fixed = fixed.fixed(ledger) / months;
    let contribution = (income - variable) / (ledger.larvae.kg() / unit.kg());
    let weight = ledger.larvae.in_unit(unit);
    let brings = format!("({income:.2} - {variable:.2}) / {weight}");
    let brings = a_unit(&brings, contribution, unit);
    if contribution <= 0.0 {
        return Err(say!("no-figure-no-contribution", sum = brings));
    }
    let value = fixed / contribution;
    let sum = say!(
        "money-a-month",
        brings = brings,
        fixed = format!("{fixed:.2}"),
        contribution = format!("{contribution:.2}"),
        value = format!("{value:.1}"),
        unit
    );
    Ok(Figure { value, sum })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::tests::{ledger, ledgers};
    use super::*;

    /// Sums of an invented month, each worked by hand from the line shown.
    #[test]
    fn every_figure_shows_its_sum() {
        let fixed = FixedShares::default();
        let of = breakeven(&ledger(), &fixed, 1.0, MassUnit::Kg);
        let line = |figure: &Reckoned| match figure {
            Ok(figure) => figure.sum.in_english(),
            Err(none) => none.in_english(),
        };
        let mut lines = vec![line(&of.gross_cost), line(&of.net_cost)];
        lines.extend(of.price.iter().map(|(_, price)| line(price)));
        lines.extend([&of.gate_fee_per_tonne, &of.throughput_per_month].map(line));
        insta::assert_snapshot!(lines.join("\n"), @r"
        (699.96 + 90.00 + 22.40 + 240.00) / 310.20 kg = 3.39 a kg
        (699.96 + 90.00 + 22.40 + 240.00 - 96.00 - 50.00) / 310.20 kg = 2.92 a kg
        (699.96 + 90.00 + 22.40 + 240.00 - 96.00 - 300.00 - 50.00) / 200.00 kg = at least 3.04 a kg
        (699.96 + 90.00 + 22.40 + 240.00 - 96.00 - 400.00 - 50.00) / 40.00 kg = at least 12.66 a kg
        (699.96 + 90.00 + 22.40 + 240.00 - 96.00 - 400.00 - 300.00) / 500.00 kg = at least 0.52 a kg
        (699.96 + 90.00 + 22.40 + 240.00 - 400.00 - 300.00 - 50.00) / 2.400 t = at least 125.99 a t
        (846.00 - 417.38) / 310.20 kg = 1.38 a kg; 634.98 a month / 1.38 = 459.5 kg a month
        ");
    }

    /// 9.0 lb are 4,082 g, which is less.
    #[test]
    fn what_pounds_lose_in_grams_does_not_raise_a_price() {
        let fees = [
            (9.0, "= at least 10.00 a lb"),
            (48.0, "= at least 1.88 a lb"),
        ];
        for (pounds, ends) in fees {
            let weight = Grams::from_kg(pounds * MassUnit::Lb.kg()).expect("a weight");
            let figure = each(&[Money::new(9_000)], &[], weight, Told::Price(MassUnit::Lb));
            let told = figure.expect("a weight").sum.in_english();
            assert!(told.ends_with(ends), "{told}");
        }
    }

    /// One fee, told by the tonne and by the short ton of 907.184 74 kg.
    #[test]
    fn a_pound_farm_reads_its_gate_fee_by_the_short_ton() {
        let fee =
            |unit| breakeven(&ledger(), &FixedShares::default(), 1.0, unit).gate_fee_per_tonne;
        let (kilograms, pounds) = (fee(MassUnit::Kg), fee(MassUnit::Lb).expect("taken in"));
        let apart = kilograms.expect("taken in").value - pounds.value;
        assert!(apart.abs() < 1e-9, "{apart}");
        let told = pounds.sum.in_english();
        assert!(
            told.ends_with("5291.1 lb x 2,000 = at least 114.30 a short ton"),
            "{told}"
        );
    }

    #[test]
    fn what_has_no_figure_says_why() {
        let of = |ledger: &Ledger, months| {
            breakeven(ledger, &FixedShares::default(), months, MassUnit::Kg)
        };
        let empty = of(&Ledger::default(), 1.0);
        assert_eq!(empty.net_cost, Err(no_larvae()));
        let not_sold = say!("no-figure-not-sold", product = "dried");
        assert_eq!(empty.price[1].1, Err(not_sold));
        let nothing = say!("no-figure-nothing-taken-in");
        assert_eq!(empty.gate_fee_per_tonne, Err(nothing));
        let span = of(&ledger(), 0.0);
        assert_eq!(span.throughput_per_month, Err(say!("no-figure-no-span")));
        let mut dear = ledger();
        dear.costs.push((Cost::BoughtFeed, Money::new(9_000_000)));
        let none = of(&dear, 1.0).throughput_per_month;
        let none = none.expect_err("a loss on each kilogram").in_english();
        assert!(none.starts_with("more larvae would not help: (846.00 - "));
    }

    proptest! {
        /// A sale or fee at the break-even price leaves nothing, to the hundredth.
        #[test]
        fn at_the_breakeven_price_profit_is_nil(ledger in ledgers()) {
            let of = breakeven(&ledger, &FixedShares::default(), 1.0, MassUnit::Kg);
            let rounded = |units: f64| Money::parse(&format!("{units:.2}")).expect("money");
            for (product, price) in &of.price {
                let price = price.as_ref().expect("sold").value;
                let mut at = ledger.clone();
                for sale in at.sales.iter_mut().filter(|sale| sale.product == *product) {
                    sale.money = rounded(price * sale.weight.kg());
                }
                prop_assert!(at.profit().hundredths().abs() <= 1, "{}", at.profit());
            }
            let mut at = ledger.clone();
            let fee = of.gate_fee_per_tonne.expect("taken in").value;
            at.gate_fees = rounded(fee * ledger.taken_in.kg() / 1000.0);
            prop_assert!(at.profit().hundredths().abs() <= 1, "{}", at.profit());
            // Sold fresh to the last kilogram at the net cost.
            let mut at = ledger.clone();
            at.sales.retain(|sale| sale.product == Product::Frass);
            at.sales.push(super::super::Sale {
                product: Product::Live,
                weight: ledger.larvae,
                money: rounded(of.net_cost.expect("larvae").value * ledger.larvae.kg()),
            });
            prop_assert!(at.profit().hundredths().abs() <= 1, "{}", at.profit());
        }
    }
}
