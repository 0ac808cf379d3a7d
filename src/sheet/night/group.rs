//! One group's part of tonight's sheet: what to take, what each tray gets, the windows.

use super::sure::{chance_of, left_out_part};
use super::{GroupCard, MixSheet, TrayDose};
use crate::blend::{BucketTip, DrawnLot, GroupMix};
use crate::quantity::{Grams, Units};
use crate::sheet::document::{Document, Grid, grid};
use crate::sheet::words::{one_decimal, range};
use crate::stream::Measure;
use crate::words::{Said, say};

pub(super) fn group_part(
    sheet: &MixSheet,
    group: &GroupMix,
    card: Option<&GroupCard>,
    document: &mut Document,
) {
    let (figures, units) = (&group.figures, sheet.units);
    let doses = || card.into_iter().flat_map(|card| &card.trays);
    document.heading(match card {
        Some(card) => {
            let trays = doses().map(|dose| dose.trays).sum::<i64>();
            say!("mix-group", group = &group.name, ages = &card.ages, trays)
        }
        None => say!("stage-called", what = &group.name),
    });
    let wanted = units.dry(group.wanted_dm_kg);
    if figures.wet == Grams::ZERO {
        document.out(say!("mix-no-feed", wanted));
        return;
    }
    if group.division != units.division {
        document.caution(say!("mix-small-scale", scale = group.division));
    }
    let tips = tips_of(sheet, group);
    // With buckets to tip, what empties a lot is one of them.
    let is_whole = |draw: &&DrawnLot| tips.is_none() && draw.empties;
    let (whole, weighed): (Vec<_>, Vec<_>) = group.draws.iter().partition(is_whole);
    if !whole.is_empty() {
        let lots = whole.iter().map(|draw| {
            let weight = format!("({})", units.weight(draw.grams));
            Said::joined(
                [(&draw.lot).into(), (&draw.stream).into(), weight.into()],
                " ",
            )
        });
        document.line(say!("mix-tip-whole", lots = Said::joined(lots, ", ")));
    }
    if whole.len() < group.lines() {
        document.table(takes(sheet, group, weighed, tips));
    }
    let ration = units.dry(figures.ration_kg);
    let in_all = say!("mix-in-all", wet = units.told(figures.wet), ration, wanted);
    let ballast_kg = figures.dry_matter_kg - figures.ration_kg;
    let ballast = (ballast_kg >= 0.005).then(|| units.dry(ballast_kg));
    let ballast = ballast.map(|ballast| say!("mix-ballast", ballast));
    document.line(Said::joined([in_all].into_iter().chain(ballast), ", "));
    for dose in doses() {
        document.line(dose_line(units, group, dose));
    }
    if let Some(line) = room_line(sheet, group, card) {
        document.line(line);
    }
}

/// What the weights come to, group by group, for who wants to know.
pub(super) fn figures_part(sheet: &MixSheet, document: &mut Document) {
    if !sheet.mix.verdict.is_fed() {
        return;
    }
    document.heading(say!("mix-figures"));
    document.table(windows(sheet));
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
    let units = Units {
        division: group.division,
        ..sheet.units
    };
    // The heaviest is weighed first: small parts are easily put right on top.
    draws.sort_by_key(|draw| std::cmp::Reverse(draw.grams));
    let drawn = draws.into_iter().map(|draw| {
        let tip = tips.and_then(|tips| tips.iter().find(|tip| tip.lot == draw.lot));
        let bucket = tip.map_or_else(|| buckets(draw.buckets), |tip| tip_words(tip, units));
        let note = sheet.lot_notes.get(&draw.lot).cloned().unwrap_or_default();
        let (stream, lot) = (Said::from(&draw.stream), Said::from(&draw.lot));
        (stream, lot, draw.grams, bucket, note)
    });
    let besides = |what, from, grams| (what, from, grams, Said::default(), Said::default());
    let bought = group.bought.iter();
    let bought = bought.map(|(of, grams)| besides(Said::from(of), say!("mix-buy"), *grams));
    let water = Some(group.water).filter(|grams| *grams > Grams::ZERO);
    let water = water.map(|grams| besides(say!("water"), say!("mix-tap"), grams));
    let rows = drawn.chain(bought).chain(water);
    match tips {
        // A feeder who tips buckets reads them first.
        Some(_) => grid!(for (what, from, grams, tip, note) in rows => {
            Left say!("mix-take") => what,
            Left say!("mix-from-lot") => from,
            Left say!("mix-tip") => tip,
            Right say!("weight") => units.weight(grams),
            Left "" => note,
        }),
        None => grid!(for (what, from, grams, bucket, note) in rows => {
            Left say!("mix-take") => what,
            Left say!("mix-from-lot") => from,
            Right say!("weight") => units.weight(grams),
            Right say!("mix-buckets") => bucket,
            Left "" => note,
        }),
    }
}

fn buckets(count: f64) -> Said {
    if count < 0.05 {
        say!("mix-a-little")
    } else {
        one_decimal(count).into()
    }
}

fn dose_line(units: Units, group: &GroupMix, dose: &TrayDose) -> Said {
    let grams = dose.per_tray(group.figures.wet);
    let weight = units.dose(grams);
    let (trays, cohort, age, days) = (dose.trays, &dose.cohort, dose.age_days, dose.days);
    let told = say!("mix-dose", trays, cohort, age, days, weight);
    let layer = group.figures.volume_l.map(|litres| {
        let layer = units.depth(dose.layer_cm(litres));
        say!("mix-layer", layer, most = units.depth(dose.depth_cm))
    });
    let told = Said::joined([told].into_iter().chain(layer), "; ");
    let lies = group.figures.volume_l.map(|_| dose.lies_cm());
    let lies = lies.map(|lies| units.depth(lies));
    let lies = lies.filter(|lies| *lies != units.depth(0.0));
    let lies = lies.map(|lies| say!("mix-layer-before", lies));
    Said::joined([told].into_iter().chain(lies), ", ")
}

fn windows(sheet: &MixSheet) -> Grid {
    let figures = sheet.mix.groups.iter().flat_map(|group| {
        let measures = group.figures.measures.iter();
        measures.filter_map(move |figure| Some((group, figure, figure.value?)))
    });
    grid!(for (group, figure, value) in figures => {
        let window = |is_hard| range(figure.window.range(is_hard), "");
        Left say!("mix-group-head") => say!("stage-called", what = &group.name),
        Left say!("stages-measure") => figure.measure.said(),
        Right say!("figure-value") => with_basis(&figure.measure, value),
        Right say!("stages-window") => window(false),
        Right say!("stages-limit") => window(true),
        Left "" => figure.standing.said(),
        Left say!("mix-chance") => chance_of(sheet, group, &figure.measure),
    })
}

fn with_basis(measure: &Measure, value: f64) -> Said {
    let value = one_decimal(value * 100.0);
    match measure {
        Measure::Moisture => format!("{value} %").into(),
        Measure::CarbonToNitrogen => value.into(),
        _ => say!("pct-of-dry", value),
    }
}

/// How full the trays get: said where that is near, or asked for.
fn room_line(sheet: &MixSheet, group: &GroupMix, card: Option<&GroupCard>) -> Option<Said> {
    let (volume, limit) = (group.figures.volume_l?, group.volume_limit_l);
    if limit.is_none_or(|limit| volume <= NEARLY_FULL * limit) && !sheet.is_in_full() {
        return None;
    }
    let volume = sheet.units.volume(volume);
    let fills = match limit {
        Some(limit) => say!("mix-fills-of", volume, limit = sheet.units.volume(limit)),
        None => say!("mix-fills", volume),
    };
    let lies = |card: &GroupCard| card.trays.iter().any(|dose| dose.lies_cm() >= 0.05);
    let lies = card.filter(|card| lies(card)).map(|_| say!("mix-lies"));
    Some(Said::joined([fills].into_iter().chain(lies), "; "))
}

/// `3 buckets + 4.2 kg of the next`.
#[must_use]
pub(super) fn tip_words(tip: &BucketTip, units: Units) -> Said {
    let (whole, rest) = (tip.whole, units.weight(tip.rest));
    match (whole, tip.of) {
        _ if tip.rest == Grams::ZERO => say!("tip-whole", whole),
        (0, ..=1) => say!("tip-own", rest),
        _ => say!("tip-rest", whole, rest),
    }
}

/// A gap up to this is told as one.
const PROVED_NEAR: f64 = 0.2;

pub(super) fn buckets_part(sheet: &MixSheet, document: &mut Document) {
    let Some(buckets) = &sheet.trust.buckets else {
        return;
    };
    // A larger gap says more about the bound than about the plan.
    let proved = if buckets.gap <= PROVED_NEAR {
        let pct = (buckets.gap * 1000.0).ceil() / 10.0;
        say!("buckets-near-best", pct = format!("{pct:.1}"))
    } else {
        say!("buckets-best-found")
    };
    let [plan, free, _] = (buckets.tiers).map(|tiers| sheet.units.told_kg(tiers.urgent_kg));
    document.small(say!("buckets-proved", proved, plan, free));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Decimal, Division, MassUnit};

    #[test]
    fn buckets_are_told_as_a_feeder_would() {
        let step = Decimal::parse("0.1").expect("number");
        let units = Units::of(Division::new(step, MassUnit::Kg).expect("division"));
        let tip = |whole, rest, of| BucketTip {
            lot: "1".to_owned(),
            whole,
            rest: Grams::new(rest),
            of,
        };
        let told = [
            tip(3, 4_200, 6),
            tip(1, 0, 1),
            tip(0, 700, 1),
            tip(0, 700, 3),
        ]
        .map(|tip| tip_words(&tip, units).in_english());
        assert_eq!(
            told,
            [
                "3 buckets + 4.2 kg of the next",
                "1 bucket",
                "0.7 kg of its bucket",
                "0.7 kg of one bucket"
            ]
        );
    }
}
