use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::{Figures, Flow};
use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::Said;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Change {
    /// Who brought it; blank for what was bought on the night and for water.
    pub supplier: String,
    /// What it is; blank likewise.
    pub stream: Option<StreamId>,
    /// The figure's name, such as `received`.
    pub figure: &'static str,
    /// `g`, or `loads` where they are counted.
    pub unit: &'static str,
    /// In the version before: grams or loads.
    pub before: Grams,
    pub now: Grams,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Closing {
    pub version: i64,
    pub by: String,
    pub at: String,
    pub why: Option<String>,
    /// Figures that differ from the version before.
    pub changes: Vec<Change>,
    pub corrections: Vec<Said>,
}

/// Every figure that differs, by supplier and stream; a row that one version
/// lacks counts as zeros there. Then what was bought and added on the nights.
pub fn changes(before: &Figures, now: &Figures) -> Vec<Change> {
    let nights = [
        ("bought on the night", before.1.bought, now.1.bought),
        ("water added", before.1.water, now.1.water),
    ];
    let nothing = Flow::default();
    let mut sources: BTreeMap<(&String, &StreamId, bool), [&Flow; 2]> = BTreeMap::new();
    for (at, (rows, _)) in [before, now].into_iter().enumerate() {
        for (supplier, stream, bought, flow) in rows {
            let pair = sources.entry((supplier, stream, *bought));
            pair.or_insert([&nothing; 2])[at] = flow;
        }
    }
    let mut found = Vec::new();
    for ((supplier, stream, _), [before, now]) in sources {
        let mut compare = |figure, unit, before, now| {
            found.push(Change {
                supplier: supplier.clone(),
                stream: Some(stream.clone()),
                figure,
                unit,
                before,
                now,
            });
        };
        let loads = |flow: &Flow| [flow.loads, flow.refused_loads].map(Grams::new);
        for (at, figure) in ["loads", "refused loads"].into_iter().enumerate() {
            compare(figure, "loads", loads(before)[at], loads(now)[at]);
        }
        for ((figure, before), (_, now)) in before.named().into_iter().zip(now.named()) {
            compare(figure, "g", before, now);
        }
    }
    found.extend(nights.map(|(figure, before, now)| Change {
        supplier: String::new(),
        stream: None,
        figure,
        unit: "g",
        before,
        now,
    }));
    found.retain(|change| change.before != change.now);
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::NightFlow;

    #[test]
    fn only_what_differs_is_told() {
        let stream = StreamId::parse("bread").expect("an id");
        let flow = |received, loads| Flow {
            received: Grams::new(received),
            closing: Grams::new(7),
            loads,
            ..Flow::default()
        };
        let row = |name: &str, flow| (name.to_owned(), stream.clone(), false, flow);
        let before = vec![row("A", flow(500, 2)), row("B", flow(9, 1))];
        let now = vec![
            row("A", flow(400, 1)),
            row("B", flow(9, 1)),
            row("C", flow(3, 1)),
        ];
        let water = |grams| NightFlow {
            water: Grams::new(grams),
            ..NightFlow::default()
        };
        let told: Vec<_> = changes(&(before, water(200)), &(now.clone(), water(700)))
            .into_iter()
            .map(|change| {
                let (before, now) = (change.before.get(), change.now.get());
                format!("{} {}: {before} -> {now}", change.supplier, change.figure)
            })
            .collect();
        assert_eq!(
            told,
            [
                "A loads: 2 -> 1",
                "A received: 500 -> 400",
                "C loads: 0 -> 1",
                "C received: 0 -> 3",
                "C closing: 0 -> 7",
                " water added: 200 -> 700"
            ]
        );
        let now = (now, water(1));
        assert_eq!(changes(&now, &now), []);
    }
}
