//! One group's part of tonight's sheet: what to take, what each tray gets, the windows.

use crate::blend::{BucketTip, DrawnLot, GroupMix, Standing};
use crate::quantity::{Grams, MassUnit};
use crate::stream::Measure;
use crate::words::say;

use super::document::{Align, Document, Grid, Tone, grid};
use super::mix::{GroupCard, MixSheet, TrayDose};
use super::sure::{chance_of, left_out_part};
use super::tips::{buckets_part, tip_words};
use super::words::{Units, one_decimal, plural, range};

pub(super) fn group_part(
    sheet: &MixSheet,
    group: &GroupMix,
    card: Option<&GroupCard>,
    document: &mut Document,
) {
    let heading = match card {
        Some(card) => format!(
            "{} ({}, {})",
            group.name,
            card.ages,
            plural(
                card.trays.iter().map(|dose| dose.trays).sum(),
                "tray",
                "trays"
            )
        ),
        None => group.name.clone(),
    };
    document.heading(heading);
    if group.figures.wet == Grams::ZERO {
        document.toned(
            Tone::Out,
            format!(
                "No feed tonight. Wanted: {:.2} kg of dry matter.",
                group.wanted_dm_kg
            ),
        );
        return;
    }
    if group.division != sheet.units.division {
        let small = format!("Weigh on the small scale ({}).", group.division);
        document.toned(Tone::Next, small);
    }
    let tips = tips_of(sheet, group);
    // With buckets to tip, what empties a lot is one of them.
    let is_whole = |draw: &&DrawnLot| tips.is_none() && draw.empties;
    let (whole, weighed): (Vec<_>, Vec<_>) = group.draws.iter().partition(is_whole);
    if !whole.is_empty() {
        let lots = whole.iter().map(|draw| {
            let (stream, lot) = (&draw.stream, &draw.lot);
            format!("{lot} {stream} ({})", sheet.units.weight(draw.grams))
        });
        let lots = lots.collect::<Vec<_>>().join(", ");
        document.line(say!("mix-tip-whole", lots));
    }
    if whole.len() < group.lines() {
        document.table(takes(sheet, group, weighed, tips));
    }
    let figures = &group.figures;
    let ballast_kg = figures.dry_matter_kg - figures.ration_kg;
    let ballast = if ballast_kg >= 0.005 {
        format!(", {ballast_kg:.2} kg of shell, stone and ash not counted")
    } else {
        String::new()
    };
    document.line(format!(
        "In all {}, dry matter {:.2} kg of {:.2} kg wanted{ballast}",
        sheet.units.both(figures.wet),
        figures.ration_kg,
        group.wanted_dm_kg
    ));
    if let Some(card) = card {
        for dose in &card.trays {
            document.line(dose_line(sheet, group, dose));
        }
    }
    if let Some(line) = room_line(sheet, group, card) {
        document.line(line);
    }
    if !sheet.is_in_full() && !group.figures.measures.is_empty() {
        document.line(figures_line(sheet, group));
    }
}

/// A group's figures in a line: on a sheet to feed from, windows that hold need no table.
fn figures_line(sheet: &MixSheet, group: &GroupMix) -> String {
    let told: Vec<String> = group
        .figures
        .measures
        .iter()
        .filter_map(|figure| {
            let value = with_basis(&figure.measure, figure.value?);
            let value = format!("{} {value}", figure.measure);
            Some(match standing_words(figure.standing) {
                "inside" => value,
                out => format!("{value} {out}"),
            })
        })
        .collect();
    let least = sheet.trust.sureness.as_ref().and_then(|sureness| {
        let own = sureness.measures.iter().filter(|of| of.group == group.name);
        own.min_by(|a, b| a.chance.total_cmp(&b.chance))
    });
    let least = least.map_or_else(String::new, |least| {
        let chance = chance_of(sheet, group, &least.measure);
        format!("; least sure {}, {chance}", least.measure)
    });
    format!("Comes to {}{least}", told.join(", "))
}

/// What the weights come to, group by group, for who wants to know.
pub(super) fn figures_part(sheet: &MixSheet, document: &mut Document) {
    if !sheet.mix.verdict.is_fed() {
        return;
    }
    if sheet.is_in_full() {
        document.heading("The figures");
        document.table(windows(sheet));
    }
    left_out_part(sheet, document);
    buckets_part(sheet, document);
}

/// Share of the room on the trays from which a feeder is told of it (our default).
const NEARLY_FULL: f64 = 0.9;

fn tips_of<'a>(sheet: &'a MixSheet, group: &GroupMix) -> Option<&'a Vec<BucketTip>> {
    let buckets = sheet.trust.buckets.as_ref()?;
    let mut groups = sheet.mix.groups.iter();
    let position = groups.position(|of| of.name == group.name)?;
    buckets.tips.get(position)
}

/// What is to be weighed, or tipped by the bucket.
fn takes(
    sheet: &MixSheet,
    group: &GroupMix,
    mut draws: Vec<&DrawnLot>,
    tips: Option<&Vec<BucketTip>>,
) -> Grid {
    // A feeder who tips buckets reads them first.
    let head = match tips {
        Some(_) => [("tip", Align::Left), ("weight", Align::Right)],
        None => [("weight", Align::Right), ("buckets", Align::Right)],
    };
    let mut grid = Grid::new(&[
        ("take", Align::Left),
        ("from lot", Align::Left),
        head[0],
        head[1],
        ("", Align::Left),
    ]);
    let ordered = |weight: String, bucket: String| match tips {
        Some(_) => [bucket, weight],
        None => [weight, bucket],
    };
    let units = Units {
        division: group.division,
        ..sheet.units
    };
    // The heaviest is weighed first: small parts are easily put right on top.
    draws.sort_by_key(|draw| std::cmp::Reverse(draw.grams));
    for draw in draws {
        let note = sheet.lot_notes.get(&draw.lot).cloned().unwrap_or_default();
        let tip = tips.and_then(|tips| tips.iter().find(|tip| tip.lot == draw.lot));
        let [first, second] = ordered(
            units.weight(draw.grams),
            tip.map_or_else(|| buckets(draw.buckets), |tip| tip_words(tip, units)),
        );
        grid.row([
            draw.stream.to_string(),
            draw.lot.clone(),
            first,
            second,
            note,
        ]);
    }
    for (stream, grams) in &group.bought {
        let [first, second] = ordered(units.weight(*grams), String::new());
        grid.row([
            stream.to_string(),
            "buy".to_owned(),
            first,
            second,
            String::new(),
        ]);
    }
    if group.water > Grams::ZERO {
        let [first, second] = ordered(units.weight(group.water), String::new());
        grid.row([
            "water".to_owned(),
            "tap".to_owned(),
            first,
            second,
            String::new(),
        ]);
    }
    grid
}

fn buckets(count: f64) -> String {
    if count < 0.05 {
        "a little".to_owned()
    } else {
        one_decimal(count)
    }
}

fn dose_line(sheet: &MixSheet, group: &GroupMix, dose: &TrayDose) -> String {
    let grams = dose.per_tray(group.figures.wet);
    // A dose of a few divisions would round away: then it is told in grams.
    let told = if grams < sheet.units.division.grams(10) {
        grams.in_unit(MassUnit::G)
    } else {
        sheet.units.weight(grams)
    };
    let days = if dose.days > 1 {
        format!(", for {} days", dose.days)
    } else {
        String::new()
    };
    let layer = group.figures.volume_l.map_or_else(String::new, |litres| {
        let mut layer = format!(
            "; layer at most {} cm of {}",
            one_decimal(dose.layer_cm(litres)),
            one_decimal(dose.depth_cm)
        );
        if dose.lies_cm() >= 0.05 {
            layer.push_str(&format!(", {} from before", one_decimal(dose.lies_cm())));
        }
        layer
    });
    format!(
        "Each of {} of {} (day {}{days}): {told}{layer}",
        plural(dose.trays, "tray", "trays"),
        dose.cohort,
        dose.age_days,
    )
}

fn windows(sheet: &MixSheet) -> Grid {
    let told = sheet.mix.groups.iter().flat_map(|group| {
        let measures = group.figures.measures.iter();
        measures.filter_map(move |figure| Some((group, figure, figure.value?)))
    });
    grid!(for (group, figure, value) in told => {
        let window = |is_hard| range(figure.window.range(is_hard), "");
        Left "group" => &group.name,
        Left "measure" => &figure.measure,
        Right "value" => with_basis(&figure.measure, value),
        Right "window" => window(false),
        Right "limit" => window(true),
        Left "" => standing_words(figure.standing),
        Left "chance" => chance_of(sheet, group, &figure.measure),
    })
}

fn with_basis(measure: &Measure, value: f64) -> String {
    let basis = match measure {
        Measure::Moisture => " %",
        Measure::CarbonToNitrogen => "",
        _ => " % DM",
    };
    format!("{}{basis}", one_decimal(value * 100.0))
}

const fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Inside => "inside",
        Standing::Below(_) => "TOO LOW",
        Standing::Above(_) => "TOO HIGH",
        Standing::BeyondLimit(_) => "BEYOND THE LIMIT",
        Standing::NoValue => "",
    }
}

/// How full the trays get: said where that is near, or asked for.
fn room_line(sheet: &MixSheet, group: &GroupMix, card: Option<&GroupCard>) -> Option<String> {
    let volume = group.figures.volume_l?;
    let is_near = group
        .volume_limit_l
        .is_some_and(|limit| volume > NEARLY_FULL * limit);
    if !is_near && !sheet.is_in_full() {
        return None;
    }
    let mut line = format!("Fills at most {volume:.0} L");
    if let Some(limit) = group.volume_limit_l {
        line.push_str(&format!(" of {limit:.0} L there is room for"));
    }
    if card.is_some_and(|card| card.trays.iter().any(|dose| dose.lies_cm() >= 0.05)) {
        line.push_str("; what lies from before is reckoned from the feed since the last residue was taken off, less what is gone of it (our default)");
    }
    Some(line)
}
