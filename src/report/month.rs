use std::collections::{BTreeMap, BTreeSet};

use super::{DivertedRule, Flow};
use crate::quantity::Grams;
use crate::stream::StreamId;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NightFlow {
    /// Bought and fed the same night.
    pub bought: Grams,
    pub water: Grams,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StreamMonth {
    pub stream: StreamId,
    pub flow: Flow,
}

/// One supplier's month; bought stock is not in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierMonth {
    pub supplier: String,
    pub flow: Flow,
    pub streams: Vec<StreamMonth>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MonthReport {
    /// Such as `2026-10`.
    pub month: String,
    /// IANA time zone whose midnight bounds the month.
    pub zone: String,
    /// Sums over all suppliers, bought stock left out.
    pub total: Flow,
    pub suppliers: Vec<SupplierMonth>,
    /// Sums over everything, what was bought in it and what nights added, water
    /// among what was fed: with the water, what came is what went and what is left.
    pub balance: Flow,
    /// Every stream's own balance, bought lots in it, by id.
    pub streams: Vec<StreamMonth>,
    pub nights: NightFlow,
    pub rule: DivertedRule,
    /// What it was closed as; a draft has none.
    pub version: Option<i64>,
}

/// A line of the balance: its name and its weight.
type Line = (&'static str, Grams);

impl MonthReport {
    /// Diverted by the farm's rule, of all suppliers.
    pub fn diverted(&self) -> Grams {
        self.total.diverted(self.rule)
    }

    /// What came in, from suppliers or bought, and water.
    pub fn came(&self) -> Grams {
        self.balance.received + self.balance.bought + self.nights.water
    }

    /// The balance by its lines: what came in, and what went or is left.
    pub fn balance_lines(&self) -> ([Line; 4], [Line; 9]) {
        let sum = &self.balance;
        let comes = [
            ("opening", sum.opening),
            ("received", sum.received),
            ("bought", sum.bought),
            ("water", self.nights.water),
        ];
        let goes = [
            ("fed", sum.fed),
            ("composted", sum.composted),
            ("returned", sum.returned),
            ("landfilled", sum.landfilled),
            ("picked-out", sum.picked_out),
            ("liquor", sum.liquor),
            ("elsewhere", sum.elsewhere()),
            ("closing", sum.closing),
            ("shrink", sum.shrink),
        ];
        (comes, goes)
    }

    /// What came less what went: zero when the book holds together.
    pub fn gap(&self) -> Grams {
        let (comes, goes) = self.balance_lines();
        let sum = |lines: &[(&str, Grams)]| lines.iter().map(|line| line.1).sum::<Grams>();
        sum(&comes) - sum(&goes)
    }
}

/// The flows of streams the FLW Standard covers, and of those it does not:
/// what is neither food nor its inedible parts stands apart.
pub fn covered_and_apart<'a>(
    streams: impl IntoIterator<Item = &'a StreamMonth>,
    not_food: &BTreeSet<StreamId>,
) -> (Flow, BTreeMap<&'a StreamId, Flow>) {
    let mut covered = Flow::default();
    let mut apart: BTreeMap<&StreamId, Flow> = BTreeMap::new();
    for one in streams {
        if not_food.contains(&one.stream) {
            apart.entry(&one.stream).or_default().add(&one.flow);
        } else {
            covered.add(&one.flow);
        }
    }
    (covered, apart)
}

/// The book's sums of one source: supplier, stream, whether bought, weights.
pub type FlowRow = (String, StreamId, bool, Flow);

/// The book's sums of a span: its sources, and what its nights added.
pub type Figures = (Vec<FlowRow>, NightFlow);

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfYear {
    pub report: MonthReport,
    /// The newest version it was closed as, and whether that says otherwise;
    /// `None` while it is open.
    pub closed: Option<(i64, bool)>,
}

impl OfYear {
    /// Whether there is nothing to tell: the farm had not begun, or rested
    /// with nothing on hand.
    pub fn is_empty(&self) -> bool {
        self.report.suppliers.is_empty() && self.report.balance.is_empty()
    }
}

/// The sums of spans that follow each other, as those of one span: what moved
/// adds up, opening stock is the first span's and closing stock the last one's.
pub fn joined(spans: &[Figures]) -> Figures {
    let within = |(at, (rows, nights)): (usize, &Figures)| {
        let mut rows = rows.clone();
        for (_, _, _, flow) in &mut rows {
            if at > 0 {
                flow.opening = Grams::ZERO;
            }
            if at + 1 < spans.len() {
                flow.closing = Grams::ZERO;
            }
        }
        (rows, *nights)
    };
    together(spans.iter().enumerate().map(within))
}

/// Sums added up by source.
pub fn together(all: impl IntoIterator<Item = Figures>) -> Figures {
    let mut night = NightFlow::default();
    let mut sources: BTreeMap<(String, StreamId, bool), Flow> = BTreeMap::new();
    for (rows, nights) in all {
        night.bought += nights.bought;
        night.water += nights.water;
        for (supplier, stream, bought, flow) in rows {
            let source = sources.entry((supplier, stream, bought));
            source.or_default().add(&flow);
        }
    }
    let rows = (sources.into_iter())
        .map(|((supplier, stream, bought), flow)| (supplier, stream, bought, flow));
    (rows.collect(), night)
}

pub fn month_report(
    (month, version): (&str, Option<i64>),
    zone: &str,
    (rows, nights): &Figures,
    rule: DivertedRule,
) -> MonthReport {
    let mut by_stream: BTreeMap<&StreamId, Flow> = BTreeMap::new();
    let mut suppliers: BTreeMap<&str, Vec<StreamMonth>> = BTreeMap::new();
    let (mut total, mut everything) = (Flow::default(), Flow::default());
    for (supplier, stream, bought, flow) in rows.iter().filter(|(_, _, _, flow)| !flow.is_empty()) {
        everything.add(flow);
        by_stream.entry(stream).or_default().add(flow);
        if !*bought {
            total.add(flow);
            suppliers.entry(supplier).or_default().push(StreamMonth {
                stream: stream.clone(),
                flow: flow.clone(),
            });
        }
    }
    let suppliers = suppliers
        .into_iter()
        .map(|(supplier, mut streams)| {
            streams.sort_by(|a, b| a.stream.cmp(&b.stream));
            let mut flow = Flow::default();
            streams.iter().for_each(|stream| flow.add(&stream.flow));
            SupplierMonth {
                supplier: supplier.to_owned(),
                flow,
                streams,
            }
        })
        .collect();
    MonthReport {
        month: month.to_owned(),
        zone: zone.to_owned(),
        balance: Flow {
            bought: everything.bought + nights.bought,
            fed: everything.fed + nights.bought + nights.water,
            ..everything
        },
        streams: (by_stream.into_iter())
            .map(|(stream, flow)| StreamMonth {
                stream: stream.clone(),
                flow,
            })
            .collect(),
        total,
        suppliers,
        nights: *nights,
        rule,
        version,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flow(received: i64, picked_out: i64, fed: i64, landfilled: i64) -> Flow {
        let closing = received - picked_out - fed - landfilled;
        Flow {
            received: Grams::new(received),
            picked_out: Grams::new(picked_out),
            fed: Grams::new(fed),
            landfilled: Grams::new(landfilled),
            closing: Grams::new(closing),
            loads: 1,
            ..Flow::default()
        }
    }

    #[test]
    fn totals_are_sums_and_the_balance_closes() {
        let id = |name| StreamId::parse(name).expect("id");
        let bought = Flow {
            bought: Grams::new(25_000),
            closing: Grams::new(25_000),
            loads: 1,
            ..Flow::default()
        };
        let rows = vec![
            (
                "Quay brewery".to_owned(),
                id("spent-grain"),
                false,
                flow(14_000, 0, 9_000, 0),
            ),
            (
                "Corner grocer".to_owned(),
                id("lettuce-trim"),
                false,
                flow(6_000, 500, 3_000, 1_000),
            ),
            ("Feed merchant".to_owned(), id("wheat-bran"), true, bought),
        ];
        let nights = NightFlow {
            bought: Grams::new(2_000),
            water: Grams::new(300),
        };
        let report = month_report(
            ("2026-03", None),
            "UTC",
            &(rows, nights),
            DivertedRule::Default,
        );
        assert_eq!(report.diverted(), Grams::new(14_000 + 6_000 - 500 - 1_000));
        assert_eq!(
            report
                .suppliers
                .iter()
                .map(|s| s.flow.diverted(report.rule))
                .sum::<Grams>(),
            report.diverted()
        );
        assert_eq!(report.suppliers.len(), 2);
        assert_eq!(report.gap(), Grams::ZERO);
        assert_eq!(report.balance.fed, Grams::new(12_000 + 2_300));
        assert_eq!(report.balance.bought, Grams::new(27_000));
    }

    /// Sawdust is neither food nor its inedible part: the FLW Standard's table
    /// leaves it out, and it is told by itself.
    #[test]
    fn what_is_no_food_stands_apart() {
        let id = |name: &str| StreamId::parse(name).expect("an id");
        let of = |stream: &str, grams: i64| StreamMonth {
            stream: id(stream),
            flow: Flow {
                received: Grams::new(grams),
                composted: Grams::new(grams),
                ..Flow::default()
            },
        };
        let streams = [of("bread", 1_000), of("sawdust", 250), of("sawdust", 50)];
        let (covered, apart) = covered_and_apart(&streams, &BTreeSet::from([id("sawdust")]));
        assert_eq!(covered.received, Grams::new(1_000));
        assert_eq!(
            covered.reached(crate::report::Destination::Compost),
            Grams::new(1_000)
        );
        assert_eq!(apart[&id("sawdust")].received, Grams::new(300));
    }
}
