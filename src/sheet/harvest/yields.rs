use std::collections::BTreeMap;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::harvest::{Conversion, Metric, NitrogenFactor, StartWeight, Yield};
use crate::quantity::wire::{each, view};
use crate::quantity::{Grams, Units, counted};
use crate::sheet::data::{DataTable, data};
use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::sheet::words::{ended_why, figure, grouped, one_decimal};
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq)]
pub struct YieldSheet {
    pub cohorts: Vec<CohortYield>,
    pub one: bool,
    /// What larval nitrogen is multiplied by.
    pub factor: NitrogenFactor,
    pub start: StartWeight,
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq)]
pub struct CohortYield {
    pub record: i64,
    pub name: String,
    pub hatched: Date,
    pub ended: Option<(Date, String)>,
    pub nights: usize,
    pub first_night: Option<Date>,
    /// Moisture of all it was given, 0..=1, where it is known.
    pub moisture: Option<f64>,
    /// What it was given, the heaviest first.
    pub feed: Vec<FeedPart>,
    pub parts: Vec<HarvestPart>,
    pub yielded: Yield,
    pub conversion: Conversion,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FeedPart {
    /// The stream, or `water`.
    #[serde(rename = "stream")]
    pub what: String,
    /// As fed.
    pub kg: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HarvestPart {
    pub record: i64,
    /// The local day.
    #[schemars(with = "String")]
    pub day: Date,
    pub by: String,
    /// Larvae, fresh.
    #[serde(rename = "larvae_g")]
    pub larvae: Grams,
    /// Their moisture, per cent wet basis.
    pub larvae_moisture_pct: Option<f64>,
    /// How many, counted or reckoned from a sample.
    pub larvae_count: Option<f64>,
    /// Larvae in the sample, where there was one.
    pub sampled: Option<i64>,
    pub dead: Option<i64>,
    #[serde(rename = "residue_g")]
    pub residue: Option<Grams>,
    /// Its moisture, per cent wet basis.
    pub residue_moisture_pct: Option<f64>,
    pub residue_to: Option<String>,
    pub note: Option<String>,
}

/// Before trays are sieved. They defer to local rules.
pub fn sieving_cautions() -> [Said; 3] {
    [
        say!("caution-dust"),
        say!("caution-gases"),
        say!("caution-sharps"),
    ]
}

/// Before what was harvested is sold.
pub fn sold_caution() -> Said {
    say!("caution-sold")
}

pub fn yields_document(sheet: &YieldSheet) -> Document {
    match sheet.cohorts.first() {
        Some(cohort) if sheet.one => one_document(cohort, sheet),
        _ => all_document(sheet),
    }
}

fn all_document(sheet: &YieldSheet) -> Document {
    let mut document = Document::titled(say!("yields-title"));
    let grid = grid!(for cohort in &sheet.cohorts => {
        let value = |metric, places| figure(cohort.conversion.value(metric), places);
        let ended = cohort.ended.as_ref().map(|(day, _)| Said::from(day));
        let dry = cohort.yielded.fed_dry_kg.map(|kg| weight(sheet.units, kg));
        Left say!("cohort") => &cohort.name,
        Left say!("hatched") => cohort.hatched,
        Left say!("yields-ended") => ended.unwrap_or_else(|| say!("yields-on-trays")),
        Right say!("yields-fed-dry") => dry.unwrap_or_else(|| say!("not-known")),
        Right say!("larvae-fresh") => sheet.units.weight(larvae_of(cohort)),
        Right say!("yields-bioconversion") => value(Metric::Bioconversion, 1),
        Right say!("yields-reduction") => value(Metric::Reduction, 1),
        Right say!("yields-fcr-dry") => value(Metric::FcrDry, 2),
        Right say!("yields-survival") => value(Metric::Survival, 1),
    });
    if sheet.cohorts.is_empty() {
        document.line(say!("yields-none-yet"));
        document.next(say!("yields-next"));
    } else {
        let larvae = sheet.cohorts.iter().map(larvae_of).sum();
        let larvae = sheet.units.told(larvae);
        let answer = say!("yields-in-all", cohorts = sheet.cohorts.len(), larvae);
        document.answer(Tone::Plain, answer);
        document.small(say!("yields-dash"));
        document.small(basis(sheet, sheet.start));
        if (sheet.cohorts.iter()).any(|of| of.yielded.start != sheet.start) {
            document.small(say!("yields-own-start"));
        }
    }
    document.table(grid);
    document
}

fn one_document(cohort: &CohortYield, sheet: &YieldSheet) -> Document {
    let mut document = Document::titled(say!("yield-title", cohort = &cohort.name));
    let (hatched, nights) = (cohort.hatched, cohort.nights);
    document.line(match &cohort.ended {
        Some((day, why)) => {
            say!("yield-ended", hatched, day, why = ended_why(why), nights)
        }
        None => say!("yield-on-trays", hatched, nights),
    });
    let larvae = sheet.units.told(larvae_of(cohort));
    let fed = weight(sheet.units, cohort.yielded.fed_kg);
    let answer = match cohort.yielded.fed_kg > 0.0 {
        true => say!("yield-in-all", larvae, fed),
        false => say!("yield-no-feed", larvae),
    };
    document.answer(Tone::Plain, answer);
    if cohort.yielded.fed_kg > 0.0 {
        fed_lines(&mut document, cohort, sheet.units);
    }
    document.table(parts_grid(cohort, sheet.units).without_dashes());
    if cohort.parts.is_empty() {
        document.line(say!("yield-nothing-harvested"));
    }
    document.heading(say!("yield-figures"));
    figures(&mut document, cohort);
    for doubt in &cohort.conversion.doubts {
        let doubt = doubt.said(|kg| sheet.units.dry(kg));
        document.out(say!("yield-check", doubt));
    }
    document.small(basis(sheet, cohort.yielded.start));
    document.heading(say!("yield-meanings"));
    for metric in Metric::ALL {
        let source = metric.source();
        document.line(say!(
            "yield-meaning",
            name = metric.name(),
            definition = metric.definition(),
            equation = metric.equation(),
            citation = source.citation,
            evidence = source.evidence.label(),
        ));
    }
    document
}

fn fed_lines(document: &mut Document, cohort: &CohortYield, units: Units) {
    let fed = weight(units, cohort.yielded.fed_kg);
    let dry = match cohort.yielded.fed_dry_kg {
        None => say!("yield-dry-unknown"),
        Some(kg) => say!("yield-dry", weight = weight(units, kg)),
    };
    document.line(match cohort.moisture {
        None => say!("yield-fed", fed = fed, dry = dry),
        Some(share) => {
            let pct = one_decimal(100.0 * share);
            say!("yield-fed-moisture", fed = fed, dry = dry, pct)
        }
    });
    let told = cohort.feed.iter().map(|part| {
        let what = match part.what.as_str() {
            "water" => say!("water"),
            stream => stream.into(),
        };
        Said::joined([what, weight(units, part.kg)], " ")
    });
    let parts = Said::joined(told, ", ");
    if !parts.is_empty() {
        document.line(say!("yield-parts", parts = parts));
        document.small(say!("yield-shared"));
    }
}

fn parts_grid(cohort: &CohortYield, units: Units) -> Grid {
    let dash = || Said::from("-");
    grid!(for part in &cohort.parts => {
        let sampled = if part.sampled.is_some() { "*" } else { "" };
        let count = part.larvae_count.map(|count| format!("{}{sampled}", counted(count)));
        let residue = part.residue.map(|grams| units.weight(grams));
        Left say!("harvested") => part.day,
        Right say!("larvae-fresh") => units.weight(part.larvae),
        Right say!("moisture-pct") => figure(part.larvae_moisture_pct, 1),
        Right say!("yield-count") => count.map_or_else(dash, Said::from),
        Right say!("yield-dead") => part.dead.map_or_else(dash, Said::from),
        Right say!("residue") => residue.map_or_else(dash, Said::from),
        Right say!("moisture-pct") => figure(part.residue_moisture_pct, 1),
        Left say!("residue-to-head") =>
            part.residue_to.as_ref().map_or_else(dash, |to| say!("residue-to", to)),
        Left say!("record") => format!("r{}", part.record),
    })
}

/// Those that can be told as a table, then the others by what they lack.
fn figures(document: &mut Document, cohort: &CohortYield) {
    let told = |metric| Some((metric, cohort.conversion.get(metric).as_ref().ok()?));
    document.table(
        grid!(for (metric, value) in Metric::ALL.into_iter().filter_map(told) => {
            Left say!("figure") => metric.name(),
            Right say!("figure-value") => figure(Some(*value), places(metric)),
            Left say!("yield-unit") => metric.unit(),
            Left say!("yield-basis") => metric.basis(),
        }),
    );
    // Without a meal all others lack the same.
    if cohort.yielded.fed_kg <= 0.0 {
        document.line(say!("yield-lacks-meals"));
        return;
    }
    let lacking = |metric| Some((cohort.conversion.get(metric).as_ref().err()?, metric));
    for (lacks, metrics) in grouped(Metric::ALL.into_iter().filter_map(lacking)) {
        let names = Said::joined(metrics.iter().map(|metric| metric.name()), ", ");
        let lacks = Said::joined(lacks.iter().map(|lack| lack.said()), "; ");
        document.line(say!("yield-lacks", names, lacks));
    }
}

const fn places(metric: Metric) -> usize {
    match metric {
        Metric::FcrDry | Metric::FcrFresh | Metric::ReductionIndex => 2,
        _ => 1,
    }
}

fn basis(sheet: &YieldSheet, start: StartWeight) -> Said {
    let factor = sheet.factor.said();
    say!("yields-basis", factor = factor, start = start.said())
}

fn weight(units: Units, kg: f64) -> Said {
    match Grams::from_kg(kg) {
        Some(grams) => units.weight(grams).into(),
        None => say!("weight-impossible"),
    }
}

fn larvae_of(cohort: &CohortYield) -> Grams {
    cohort.parts.iter().map(|part| part.larvae).sum()
}

pub fn yields_table(sheet: &YieldSheet) -> DataTable {
    data!("Harvests", for cohort in &sheet.cohorts => {
        "cohort" => &cohort.name,
        "record" => cohort.record,
        "hatched" => cohort.hatched,
        "ended" => cohort.ended.as_ref().map(|(day, _)| *day),
        "nights_fed" => i64::try_from(cohort.nights).unwrap_or(i64::MAX),
        "fed_kg" => cohort.yielded.fed_kg,
        "fed_dm_kg" => cohort.yielded.fed_dry_kg,
        "larvae_g" => larvae_of(cohort),
        "larvae_count" => cohort.yielded.ended,
        "residue_kg" => cohort.yielded.residue_kg,
        ..Metric::ALL.map(Metric::key) => Metric::ALL.map(|metric| cohort.conversion.value(metric)),
    })
}

view! {
    /// Yields: kilograms, per cent and counts as numbers.
    pub Yields(sheet: &YieldSheet) {
        nitrogen_factor: f64 = sheet.factor.value(),
        start_weight: Said = sheet.start.said(),
        cohorts: Vec<Yielded> = each(&sheet.cohorts),
    }

    Yielded(of: &CohortYield) {
        cohort: String = of.name.clone(),
        record: i64,
        hatched: String = of.hatched.to_string(),
        ended: Option<Ended> = of.ended.as_ref().map(Ended::from),
        nights_fed: usize = of.nights,
        fed_kg: f64 = of.yielded.fed_kg,
        fed_dm_kg: Option<f64> = of.yielded.fed_dry_kg,
        fed: Vec<FeedPart> = of.feed.clone(),
        larvae_kg: f64 = of.yielded.larvae_kg,
        larvae_dm_kg: Option<f64> = of.yielded.larvae_dry_kg,
        larvae_count: Option<f64> = of.yielded.ended,
        residue_kg: Option<f64> = of.yielded.residue_kg,
        residue_dm_kg: Option<f64> = of.yielded.residue_dry_kg,
        days: Option<f64> = of.yielded.days,
        start_weight: Said = of.yielded.start.said(),
        figures: BTreeMap<&'static str, Option<f64>> =
            Metric::ALL.into_iter().map(|metric| (metric.key(), of.conversion.get(metric).clone().ok())).collect(),
        not_told: BTreeMap<&'static str, Vec<Said>> = not_told(of),
        doubts: Vec<Said> =
            of.conversion.doubts.iter().map(|one| one.said(|kg| format!("{kg:.2} kg"))).collect(),
        harvests: Vec<HarvestPart> = of.parts.clone(),
    }

    pub(in crate::sheet) Ended((day, why): &(Date, String)) {
        day: String = day.to_string(),
        why: String = why.clone(),
    }
}

fn not_told(of: &CohortYield) -> BTreeMap<&'static str, Vec<Said>> {
    let lacks = |metric| of.conversion.get(metric).as_ref().err();
    let words = |metric| Some(lacks(metric)?.iter().map(|lack| lack.said()).collect());
    let each = Metric::ALL.into_iter();
    each.filter_map(|metric| Some((metric.key(), words(metric)?)))
        .collect()
}
