//! What the Food Loss and Waste Accounting and Reporting Standard asks a
//! report to state, and the resolution of the scale, in words.

use std::collections::BTreeMap;

use crate::quantity::{Grams, Units};
use crate::report::{
    Change, Closing, DivertedRule, Flow, Material, Weighed, material, resolution_kg,
};
use crate::stream::StreamId;
use crate::words::{Said, say};

use super::sheet::Around;
use crate::sheet::document::{Document, Grid, grid};

/// Timeframe, material type, boundary, method and uncertainty; destinations
/// have a table of their own.
pub(super) fn scope(
    document: &mut Document,
    (when, whose): (Said, Said),
    flow: &Flow,
    apart: &BTreeMap<&StreamId, Flow>,
    around: &Around,
) {
    let units = around.units;
    let packaging = of_material(&around.parts, Material::Packaging);
    let mut small = |said: Said| document.small(said);
    small(say!("scope-timeframe", when));
    small(say!("scope-material"));
    if let Some(streams) = not_covered(apart, units) {
        small(say!("scope-apart", streams));
    }
    small(picked_out(flow, around, packaging));
    small(match packaging > Grams::ZERO {
        true => say!("scope-left-out-and-packaging"),
        false => say!("scope-left-out"),
    });
    small(say!("scope-boundary", whose));
    let division = units.division;
    small(match &around.verified_scale {
        Some(why) => say!("scope-method-verified", why, division),
        None => say!("scope-method", division),
    });
    if flow.estimated > Grams::ZERO {
        let weight = units.both(flow.estimated);
        small(say!("scope-estimated", weight));
    }
    small(uncertainty(&around.weighed, units));
}

fn uncertainty(weighed: &[Weighed], units: Units) -> Said {
    // The sum a reader sees is of received loads only.
    let received: Vec<Weighed> = (weighed.iter())
        .filter(|one| !one.bought)
        .map(|one| Weighed {
            readings: 0,
            ..one.clone()
        })
        .collect();
    let nets: i64 = received.iter().map(|one| one.nets).sum();
    if nets == 0 {
        return say!("scope-nothing-weighed");
    }
    let weight = both_fine(resolution_kg(&received, None), units);
    say!("scope-uncertainty", nets, weight)
}

/// A small weight in both units, with one digit more than usual.
pub(super) fn both_fine(kg: f64, units: Units) -> String {
    let lb = kg / 0.453_592_37;
    match units.unit() {
        crate::quantity::MassUnit::Lb | crate::quantity::MassUnit::Oz => {
            format!("{lb:.2} lb ({kg:.3} kg)")
        }
        _ => format!("{kg:.3} kg ({lb:.2} lb)"),
    }
}

/// What came in that is neither food nor its inedible parts.
fn not_covered(apart: &BTreeMap<&StreamId, Flow>, units: Units) -> Option<Said> {
    let told = (apart.iter())
        .filter(|(_, flow)| flow.received > Grams::ZERO)
        .map(|(stream, flow)| {
            let weight = units.both(flow.received);
            say!("weight-of-stream", weight, stream)
        });
    let told = Said::joined(told, "; ");
    (!told.is_empty()).then_some(told)
}

/// What a reader of "diverted" must know beside it: what of it still stands on
/// the floor, and why it can be below zero.
pub(super) fn beside_diverted<'a>(
    document: &mut Document,
    flows: impl Iterator<Item = &'a Flow>,
    rule: DivertedRule,
    units: Units,
) {
    let (mut floor, mut below) = (Grams::ZERO, false);
    for flow in flows {
        floor += flow.closing;
        below |= flow.diverted(rule) < Grams::ZERO;
    }
    if rule == DivertedRule::Default && floor > Grams::ZERO {
        document.line(say!("diverted-still-here", weight = units.both(floor)));
    }
    if below {
        document.line(say!("diverted-below-zero"));
    }
}

fn of_material(parts: &[(String, Grams)], wanted: Material) -> Grams {
    (parts.iter())
        .filter(|(kind, _)| material(kind) == wanted)
        .map(|(_, grams)| *grams)
        .sum()
}

fn picked_out(flow: &Flow, around: &Around, packaging: Grams) -> Said {
    let (units, parts) = (around.units, &*around.parts);
    let at_dock: Grams = parts.iter().map(|(_, grams)| *grams).sum();
    let unsaid = of_material(parts, Material::Unsaid) + flow.picked_out - at_dock;
    let inedible = of_material(parts, Material::Inedible);
    let told = [
        (
            inedible,
            say!("parts-inedible", weight = units.both(inedible)),
        ),
        (
            packaging,
            say!("parts-packaging", weight = units.both(packaging)),
        ),
        (unsaid, say!("parts-unsaid", weight = units.both(unsaid))),
    ];
    let told = told.into_iter().filter(|part| part.0 > Grams::ZERO);
    let parts = Said::joined(told.map(|part| part.1), "; ");
    match parts.is_empty() {
        true => say!("parts-none"),
        false => say!("parts-picked-out", parts),
    }
}

/// Who closed the month, when and why; what changed against the version before.
pub(super) fn closing(
    document: &mut Document,
    closing: Option<&Closing>,
    changes: &[Change],
    units: Units,
) {
    let Some(closing) = closing else {
        document.caution(say!("month-draft"));
        return;
    };
    let (version, when, who) = (closing.version, &closing.at, &closing.by);
    document.line(match &closing.why {
        Some(why) => say!("month-closed-why", version, when, who, why),
        None => say!("month-closed", version, when, who),
    });
    if version > 1 {
        let before = version - 1;
        if changes.is_empty() {
            document.line(say!("month-same-as", before));
        } else {
            document.heading(say!("month-changed-since", before));
            document.table(changed(changes, version, units));
        }
    }
}

pub(super) fn changed(changes: &[Change], version: i64, units: Units) -> Grid {
    grid!(for change in changes => {
        let told = |grams: Grams| match change.unit {
            "g" => units.both(grams),
            _ => grams.get().to_string(),
        };
        Left say!("supplier") => &change.supplier,
        Left say!("stream") => change.stream.as_ref().map(Said::from).unwrap_or_default(),
        Left say!("figure") =>
            say!("changed-figure", figure = change.figure.replace(' ', "_")),
        Right say!("version", version = version - 1) => told(change.before),
        Right say!("version", version) => told(change.now),
        Right say!("changed-difference") => told(change.now - change.before),
    })
}
