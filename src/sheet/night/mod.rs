mod cures;
mod group;
pub(super) mod json;
mod sure;
mod why;

use std::collections::{BTreeMap, BTreeSet};

use cures::{because_words, conflicts_part};
use group::{figures_part, group_part};
use jiff::civil::Date;
use sure::{helps_part, least_sure};
use why::why_part;

use crate::blend::{Bucketed, GroupMix, MeasureFigure, Mix, MixVerdict, Standing, Trust};
use crate::quantity::{Grams, Units};
use crate::sheet::document::{Document, Tone};
use crate::sheet::words::{grouped, one_decimal, pct};
use crate::stream::{Measure, Side};
use crate::words::{Said, say};

pub fn mix_document(sheet: &MixSheet) -> Document {
    let night = sheet.night.map(|night| say!("mix-night", night));
    let name = sheet.sheet.as_ref().map(|name| say!("mix-sheet", name));
    let title = [Some(say!("mix-title")), night, name];
    let mut document = Document::titled(Said::joined(title.into_iter().flatten(), ", "));
    verdict(sheet, &mut document);
    helps_part(sheet, &mut document);
    conflicts_part(sheet, &mut document);
    for (position, group) in sheet.mix.groups.iter().enumerate() {
        group_part(sheet, group, sheet.cards.get(position), &mut document);
    }
    let guessed = sheet.mix.guessed.iter().filter(|_| sheet.is_in_full());
    let notes: Vec<&Said> = guessed.chain(&sheet.mix.notes).collect();
    if !notes.is_empty() || !sheet.cautions.is_empty() {
        document.heading(say!("mix-mind"));
        for note in notes {
            document.item(Tone::Plain, note);
        }
        for caution in &sheet.cautions {
            document.item(Tone::Caution, caution);
        }
    }
    if let Some(next) = &sheet.next {
        document.next(next);
    }
    if sheet.is_in_full() || !sheet.mix.verdict.is_fed() {
        figures_part(sheet, &mut document);
        why_part(sheet, &mut document);
        kept_out(sheet, &mut document);
        stays(sheet, &mut document);
        for line in &sheet.foot {
            document.small(line);
        }
    }
    // A mix from files has nothing more than it was asked for.
    if sheet.night.is_some() && !sheet.is_in_full() {
        document.next(say!("mix-more"));
    }
    if let Some(seal) = &sheet.seal {
        document.small(say!("mix-seal", seal));
    }
    document
}

fn verdict(sheet: &MixSheet, document: &mut Document) {
    let buckets = sheet.trust.buckets.as_ref();
    let (tone, words) = match &sheet.mix.verdict {
        MixVerdict::Inside => (
            match &sheet.trust.sureness {
                Some(sureness) if sureness.is_below_asked() => Tone::Caution,
                _ => Tone::Good,
            },
            match least_sure(sheet) {
                Some(least) => say!("mix-inside-least", least),
                None => say!("mix-inside"),
            },
        ),
        MixVerdict::Nearest if buckets.is_some_and(Bucketed::fits_unless_whole) => {
            (Tone::Out, say!("mix-nearest-buckets"))
        }
        MixVerdict::Nearest => (Tone::Out, say!("mix-nearest")),
        MixVerdict::Nothing { because } => {
            let because = because_words(because, sheet.units);
            (Tone::Out, say!("mix-none", because))
        }
        MixVerdict::Stopped { reason } => (Tone::Out, say!("mix-stopped", reason)),
    };
    document.answer(tone, words);
    if sheet.mix.verdict == MixVerdict::Nearest {
        for line in (sheet.mix.groups.iter()).flat_map(|group| what_is_out(group, sheet.units)) {
            document.item(Tone::Out, line);
        }
    }
    for coarse in &sheet.mix.too_coarse {
        document.item(Tone::Out, coarse);
    }
}

/// Each shortage and broken window of a group, with how far and how much.
/// Empty only where the group is inside.
#[must_use]
pub(super) fn what_is_out(group: &GroupMix, units: Units) -> Vec<Said> {
    let figures = &group.figures;
    let wanted = units.dry(group.wanted_dm_kg);
    let off = units.dry((figures.ration_kg - group.wanted_dm_kg).abs());
    let feeding = match figures.feeding {
        _ if figures.wet == Grams::ZERO => Some(say!("out-no-feed", wanted)),
        Standing::Below(_) => Some(say!("out-short", off, wanted)),
        Standing::Above(_) => Some(say!("out-more", off, wanted)),
        _ => None,
    };
    let measures = figures.measures.iter();
    (feeding.into_iter())
        .chain(figures.faults.iter().cloned())
        .chain(measures.filter_map(|figure| out_of_window(group, figure, units)))
        .map(|out| Said::joined([say!("stage-called", what = &group.name), out], ": "))
        .collect()
}

fn out_of_window(group: &GroupMix, figure: &MeasureFigure, units: Units) -> Option<Said> {
    let (value, unit) = (figure.value?, figure.measure.unit());
    let (bound, beyond) = figure.missed()?;
    let side = match bound.side {
        _ if bound.is_hard => "limit",
        Side::Most => "over",
        Side::Least => "under",
    };
    let out = say!(
        "out-of-window",
        measure = figure.measure.said(),
        value = format!("{}{unit}", one_decimal(value * 100.0)),
        points = points(beyond),
        side,
        bound = format!("{}{unit}", pct(bound.share)),
    );
    Some(match (&figure.measure, side) {
        (Measure::Moisture, "over") => {
            let water = units.told(excess_water(group, bound.share));
            say!("out-too-wet", out, water)
        }
        (Measure::Moisture, "under") => say!("out-too-dry", out),
        _ => out,
    })
}

/// A distance in percentage points that never reads as none.
fn points(share: f64) -> Said {
    match one_decimal(share * 100.0) {
        told if told == "0.0" => say!("less-than", number = "0.1"),
        told => told.into(),
    }
}

/// Water above what the window admits for the mix's dry matter: `Q − M/(1−M)·DM`.
fn excess_water(group: &GroupMix, bound: f64) -> Grams {
    let water = group.figures.wet.kg() - group.figures.dry_matter_kg;
    Grams::from_kg((water - bound / (1.0 - bound) * group.figures.dry_matter_kg).max(0.0))
        .unwrap_or(Grams::ZERO)
}

fn kept_out(sheet: &MixSheet, document: &mut Document) {
    if sheet.mix.held_back.is_empty() {
        return;
    }
    document.heading(say!("mix-held-back"));
    let held = sheet.mix.held_back.iter();
    for (reason, lots) in grouped(held.map(|held| (&held.reason, &*held.lot))) {
        document.line(say!("lots-and-why", lots = lots.join(", "), reason));
    }
}

fn stays(sheet: &MixSheet, document: &mut Document) {
    let units = sheet.units;
    const NAMED_MOST: usize = 40;
    // Less than half a division is nothing a scale can show.
    let visible = |grams: Grams| grams.get() * 2 >= units.division.grams(1).get();
    let left = sheet.mix.left.iter().filter(|left| visible(left.grams));
    let left: Vec<_> = left.collect();
    if left.is_empty() {
        return;
    }
    document.heading(say!("mix-stays"));
    let total = units.told(left.iter().map(|left| left.grams).sum());
    let named = left.iter().take(NAMED_MOST);
    let named = named.map(|left| format!("{} {}", left.lot, units.weight(left.grams)));
    let lots = named.collect::<Vec<_>>().join(", ");
    document.line(match left.len().saturating_sub(NAMED_MOST) {
        0 => say!("mix-stays-all", total, lots),
        more => say!("mix-stays-more", total, lots, more),
    });
}

/// Tonight's sheet: the mix with what the feeder needs around it.
#[derive(Debug, Clone, PartialEq)]
pub struct MixSheet {
    pub night: Option<Date>,
    pub sheet: Option<String>,
    pub seal: Option<String>,
    pub mix: Mix,
    /// One for each group of the mix, in its order; empty without a daybook.
    pub cards: Vec<GroupCard>,
    /// Supplier and age of each lot, for finding it on the shelf.
    pub lot_notes: BTreeMap<String, Said>,
    /// Lots whose parts are picked out before they are weighed.
    pub to_sort: BTreeSet<String>,
    pub cautions: Vec<Said>,
    pub foot: Vec<Said>,
    pub next: Option<Said>,
    /// Why, how sure, in buckets: what else was asked for.
    pub trust: Trust,
    /// Whether all figures are asked for; else it is what a feeder needs, on one screen.
    pub is_full: bool,
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq)]
pub struct GroupCard {
    /// Days since hatch, such as `8-9`.
    pub ages: String,
    pub trays: Vec<TrayDose>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct TrayDose {
    pub cohort: String,
    pub age_days: i32,
    pub days: i32,
    pub trays: i64,
    /// Area of them all, square metres.
    pub area_m2: f64,
    /// Litres of earlier feed that lie on them, as reckoned.
    pub lies_l: f64,
    pub depth_cm: f64,
    /// The cohort's share of the group's dry matter, 0..=1.
    pub share: f64,
}

impl MixSheet {
    /// Whether every window stands in a table with its source and every lot
    /// that stays is named: asked for, or with the reasons.
    #[must_use]
    pub(super) fn is_in_full(&self) -> bool {
        let why = self.trust.why.as_ref();
        self.is_full || why.is_some_and(|why| !why.bindings.is_empty() || !why.lots.is_empty())
    }
}

impl TrayDose {
    /// What one tray gets of a mix of this weight.
    #[must_use]
    pub(super) fn per_tray(&self, wet: Grams) -> Grams {
        #[expect(clippy::cast_precision_loss, reason = "tray counts are small")]
        Grams::from_kg(wet.kg() * self.share / self.trays.max(1) as f64).unwrap_or(Grams::ZERO)
    }

    /// Centimetres of what lies there already.
    #[must_use]
    pub(super) fn lies_cm(&self) -> f64 {
        self.lies_l / self.area_m2 / 10.0
    }

    /// The layer with a mix of this volume on it, at most, centimetres.
    #[must_use]
    pub(super) fn layer_cm(&self, mix_l: f64) -> f64 {
        self.lies_cm() + mix_l * self.share / self.area_m2 / 10.0
    }
}
