//! What the Food Loss and Waste Accounting and Reporting Standard asks a
//! report to state, and the resolution of the scale, in words.

use std::collections::BTreeMap;

use crate::quantity::Grams;
use crate::report::{
    Change, Closing, DivertedRule, Flow, Material, Weighed, material, resolution_kg,
};
use crate::stream::StreamId;

use super::document::{Align, Document, Grid, Tone};
use super::words::{Units, plural};

/// What the scope is told from.
pub(super) struct Scope<'a> {
    /// From when to when, local, with the zone.
    pub(super) timeframe: String,
    pub(super) whose: String,
    pub(super) flow: &'a Flow,
    /// What the standard does not cover, by stream.
    pub(super) apart: &'a BTreeMap<&'a StreamId, Flow>,
    pub(super) parts: &'a [(String, Grams)],
    pub(super) weighed: &'a [Weighed],
    pub(super) units: Units,
    pub(super) verified_scale: Option<&'a str>,
}

/// Timeframe, material type, boundary, method and uncertainty; destinations
/// have a table of their own.
pub(super) fn scope(document: &mut Document, scope: &Scope<'_>) {
    let units = scope.units;
    document.toned(
        Tone::Small,
        format!(
            "Timeframe: {}, by the instant of weighing.",
            scope.timeframe
        ),
    );
    document.toned(
        Tone::Small,
        format!(
            "Material: food and inedible parts together, wet weight as received.{} {} Packaging is left out as tare{}; bought stock and added water are not in these figures.",
            apart(scope),
            picked_out(scope),
            if packaging(scope.parts) > Grams::ZERO { " and where picked out" } else { "" },
        ),
    );
    document.toned(
        Tone::Small,
        format!(
            "Boundary: {}, after the supplier's dock; pre-harvest losses are not in it.",
            scope.whose
        ),
    );
    let estimated = if scope.flow.estimated > Grams::ZERO {
        format!(
            " {} of it was estimated by volume and bulk density, not weighed.",
            units.both(scope.flow.estimated)
        )
    } else {
        String::new()
    };
    document.toned(
        Tone::Small,
        format!(
            "Method: each load weighed, gross less tare, {}, division {}.{estimated}",
            match scope.verified_scale {
                Some(why) => format!("on a verified scale ({why})"),
                None => "not on a verified scale".to_owned(),
            },
            units.division,
        ),
    );
    document.toned(Tone::Small, uncertainty(scope.weighed, units));
}

fn uncertainty(weighed: &[Weighed], units: Units) -> String {
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
        return "Uncertainty: no load of the month was weighed.".to_owned();
    }
    format!(
        "Uncertainty: the scale's division alone gives the sum of {} a standard uncertainty of {} (rectangular distribution, d/\u{221a}6 a net). Calibration error is not in it and does not average out.",
        plural(nets, "net", "nets"),
        both_fine(resolution_kg(&received, None), units),
    )
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
fn apart(scope: &Scope<'_>) -> String {
    let told: Vec<String> = (scope.apart.iter())
        .filter(|(_, flow)| flow.received > Grams::ZERO)
        .map(|(stream, flow)| format!("{} of {stream}", scope.units.both(flow.received)))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    format!(
        " Neither, so not covered by the standard and not in its table of destinations: {}.",
        told.join("; ")
    )
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
        document.line(format!(
            "Still on the floor at the end: {}. What of it came in this span counts as diverted until a record sends it elsewhere.",
            units.both(floor)
        ));
    }
    if below {
        document.line("Diverted is below zero where more of what came in earlier was thrown away than came in now.");
    }
}

fn packaging(parts: &[(String, Grams)]) -> Grams {
    of_material(parts, Material::Packaging)
}

fn of_material(parts: &[(String, Grams)], wanted: Material) -> Grams {
    (parts.iter())
        .filter(|(kind, _)| material(kind) == wanted)
        .map(|(_, grams)| *grams)
        .sum()
}

fn picked_out(scope: &Scope<'_>) -> String {
    let units = scope.units;
    let at_dock: Grams = scope.parts.iter().map(|(_, grams)| *grams).sum();
    let unsaid = of_material(scope.parts, Material::Unsaid) + scope.flow.picked_out - at_dock;
    let told: Vec<String> = [
        (
            "inedible parts",
            of_material(scope.parts, Material::Inedible),
        ),
        (
            "packaging, neither food nor inedible parts",
            packaging(scope.parts),
        ),
        ("parts whose kind is not said", unsaid),
    ]
    .into_iter()
    .filter(|(_, grams)| *grams > Grams::ZERO)
    .map(|(what, grams)| format!("{} {what}", units.both(grams)))
    .collect();
    if told.is_empty() {
        "Nothing was picked out by hand.".to_owned()
    } else {
        format!("Picked out by hand: {}.", told.join("; "))
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
        document.toned(
            Tone::Caution,
            "DRAFT: the month is not closed; figures may still change.",
        );
        return;
    };
    document.line(format!(
        "Version {}, closed {} by {}{}",
        closing.version,
        closing.at,
        closing.by,
        closing
            .why
            .as_ref()
            .map_or_else(String::new, |why| format!(": {why}")),
    ));
    if closing.version > 1 {
        if changes.is_empty() {
            document.line(format!(
                "No figure here differs from version {}.",
                closing.version - 1
            ));
        } else {
            document.heading(format!("Changed since version {}", closing.version - 1));
            document.table(changed(changes, closing.version, units));
        }
    }
}

/// Changed figures, the old one beside the new.
pub(super) fn changed(changes: &[Change], version: i64, units: Units) -> Grid {
    let (before, now) = (
        format!("version {}", version - 1),
        format!("version {version}"),
    );
    let mut grid = Grid::new(&[
        ("supplier", Align::Left),
        ("stream", Align::Left),
        ("figure", Align::Left),
        (&before, Align::Right),
        (&now, Align::Right),
        ("difference", Align::Right),
    ]);
    for change in changes {
        let told = |grams: Grams| {
            if change.is_weight {
                units.both(grams)
            } else {
                grams.get().to_string()
            }
        };
        grid.row([
            change.supplier.clone(),
            (change.stream.as_ref()).map_or_else(String::new, ToString::to_string),
            change.figure.replace('_', " "),
            told(change.before),
            told(change.now),
            told(change.now - change.before),
        ]);
    }
    grid
}
