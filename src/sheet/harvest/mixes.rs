use schemars::JsonSchema;
use serde::Serialize;

use crate::learn::{Fate, Ridge, RidgeUntold};
use crate::quantity::wire::view;
use crate::quantity::{MassUnit, Units};
use crate::words::{Said, say};

use super::yields::FeedPart;
use crate::sheet::data::{DataTable, data};
use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::sheet::money::{CohortCost, cost_each};
use crate::sheet::words::{figure, one_decimal};

pub const MIX_MEASURES: [&str; 6] = ["moisture", "protein", "fat", "fibre", "ash", "ration"];

#[derive(Debug, Clone, PartialEq)]
pub struct MixesSheet {
    /// What went with bioconversion, or why that can't be told.
    pub ridge: Result<Ridge, RidgeUntold>,
    pub cohorts: usize,
    /// Cohorts left out, for want of a figure or for an impossible one.
    pub in_doubt: usize,
    /// The best and the worst, the best first.
    pub tried: Vec<TriedMix>,
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq)]
pub struct TriedMix {
    /// Its place by bioconversion, from 1.
    pub place: usize,
    pub record: i64,
    pub name: String,
    /// Bioconversion, per cent of dry matter.
    pub bioconversion_pct: f64,
    /// In the order of [`MIX_MEASURES`].
    pub values: [Option<f64>; MIX_MEASURES.len()],
    /// What it was given, the heaviest first.
    pub feed: Vec<FeedPart>,
    pub cost: Option<CohortCost>,
}

pub fn mixes_document(sheet: &MixesSheet) -> Document {
    let mut document = Document::titled(say!("mixes-title"));
    document.line(say!("mixes-caution"));
    if sheet.in_doubt > 0 {
        document.small(say!("mixes-left-out", count = sheet.in_doubt));
    }
    match &sheet.ridge {
        Err(untold) => {
            let few = matches!(untold, RidgeUntold::FewCohorts { .. });
            let why = untold.said();
            let why = if few {
                say!("mixes-our-default", why)
            } else {
                why
            };
            document.answer(Tone::Plain, say!("mixes-not-told", why));
        }
        Ok(ridge) => ridge_lines(&mut document, ridge),
    }
    if sheet.tried.is_empty() {
        return document;
    }
    document.heading(match sheet.tried.len() < sheet.cohorts {
        true => say!("mixes-ends"),
        false => say!("mixes-all"),
    });
    document.table(tried_grid(sheet));
    for tried in &sheet.tried {
        let (place, cohort, mix) = (tried.place, &tried.name, mix_said(tried));
        document.line(say!("mixes-tried", place, cohort, mix));
    }
    document.small(say!("mixes-basis"));
    document
}

fn measure(name: &str) -> Said {
    say!("mixes-measure", measure = name)
}

fn unit(name: &str) -> Said {
    say!("mixes-measure-unit", measure = name)
}

fn ridge_lines(document: &mut Document, ridge: &Ridge) {
    let (tone, verdict) = match ridge.tells_more_than_mean() {
        true => (Tone::Plain, say!("mixes-tells")),
        false => (Tone::Out, say!("mixes-tells-nothing")),
    };
    let points = |value: f64| format!("{value:.2}");
    let (error, mean_error) = (points(ridge.error), points(ridge.mean_error));
    let told = say!("mixes-told", ridge.cohorts, error, mean_error, verdict);
    document.answer(tone, told);
    if !ridge.tells_more_than_mean() {
        return;
    }
    document.table(
        grid!(for (name, fate) in MIX_MEASURES.into_iter().zip(&ridge.fates) => {
            let (swing, points) = match fate {
                Fate::Coefficient { per_sd, sd } => (Some(*sd), format!("{per_sd:+.2}").into()),
                other => (None, left_out(other).unwrap_or_default()),
            };
            Left say!("stages-measure") => measure(name),
            Left say!("yield-unit") => unit(name),
            Right say!("mixes-swing") => figure(swing, 1),
            Right say!("mixes-points") => points,
        }),
    );
    let (penalty, left_out) = (points(ridge.penalty), ridge.left_out);
    document.small(say!("mixes-method", penalty, left_out));
}

fn left_out(fate: &Fate) -> Option<Said> {
    match fate {
        Fate::Coefficient { .. } => None,
        Fate::Constant => Some(say!("mixes-constant")),
        Fate::MostlyUnknown => Some(say!("mixes-unknown")),
    }
}

fn tried_grid(sheet: &MixesSheet) -> Grid {
    grid!(for tried in &sheet.tried => {
        let [moisture, protein, fat, fibre, ash, ration] = tried.values.map(|value| figure(value, 1));
        Right "" => tried.place,
        Left say!("cohort") => &tried.name,
        Right say!("yields-bioconversion") => one_decimal(tried.bioconversion_pct),
        Right measure("moisture") => moisture,
        Right measure("protein") => protein,
        Right measure("fat") => fat,
        Right measure("fibre") => fibre,
        Right measure("ash") => ash,
        Right measure("ration") => ration,
        Right say!("money-cost-a-unit", unit = sheet.units.unit()) => figure(each(tried, sheet.units), 2),
    })
}

fn each(tried: &TriedMix, units: Units) -> Option<f64> {
    // No cost at all means that none was written down.
    cost_each(&tried.cost.as_ref()?.ledger, units).filter(|cost| *cost > 0.0)
}

/// The streams by share of the weight as fed, the heaviest first; traces together.
fn mix_said(tried: &TriedMix) -> Said {
    let all: f64 = tried.feed.iter().map(|part| part.kg).sum();
    let (told, traces): (Vec<&FeedPart>, Vec<&FeedPart>) =
        (tried.feed.iter()).partition(|part| part.kg >= 0.005 * all);
    let told = told.into_iter().map(|part| {
        let pct = format!("{:.0}", 100.0 * part.kg / all);
        say!("mixes-part", stream = &part.what, pct)
    });
    let traces = Said::joined(traces.into_iter().map(|part| Said::from(&part.what)), ", ");
    let traces = (!traces.is_empty()).then(|| say!("mixes-traces", streams = traces));
    Said::joined(told.chain(traces), ", ")
}

pub fn mixes_table(sheet: &MixesSheet) -> DataTable {
    data!("Mixes", for tried in &sheet.tried => {
        let [moisture, protein, fat, fibre, ash, ration] = tried.values;
        "cohort" => &tried.name,
        "record" => tried.record,
        "bioconversion_pct" => tried.bioconversion_pct,
        "moisture_pct" => moisture,
        "protein_dm_pct" => protein,
        "fat_dm_pct" => fat,
        "fibre_dm_pct" => fibre,
        "ash_dm_pct" => ash,
        "ration_mg" => ration,
        "cost_per_unit" => each(tried, sheet.units),
        "mix" => mix_said(tried),
    })
}

view! {
    /// Which mixes worked, for other programs.
    pub Mixes(sheet: &MixesSheet) {
        cohorts: usize,
        left_out: usize = sheet.in_doubt,
        not_told: Option<Said> = sheet.ridge.as_ref().err().map(|untold| untold.said()),
        regression: Option<Regression> = sheet.ridge.as_ref().ok().map(Regression::from),
        tried: Vec<Tried> = sheet.tried.iter().map(|tried| Tried::from((tried, sheet.units))).collect(),
    }

    Regression(ridge: &Ridge) {
        cohorts: usize, intercept: f64, penalty: f64, error: f64, mean_error: f64,
        measures: Vec<Regressed> = MIX_MEASURES.into_iter().zip(&ridge.fates).map(Regressed::from).collect(),
    }

    Regressed((name, fate): (&'static str, &Fate)) {
        measure: &'static str = name,
        unit: Said = unit(name),
        fate: FateTold = match fate {
            Fate::Coefficient { per_sd, sd } => FateTold::Told { points_per_sd: *per_sd, sd: *sd },
            other => FateTold::Not { left_out: left_out(other) },
        },
    }

    Tried((tried, units): (&TriedMix, Units)) {
        place: usize = tried.place,
        cohort: String = tried.name.clone(),
        record: i64 = tried.record,
        bioconversion_pct: f64 = tried.bioconversion_pct,
        values: Vec<Option<f64>> = tried.values.to_vec(),
        mix: Vec<FeedPart> = tried.feed.clone(),
        cost_per_unit: Option<f64> = each(tried, units),
        unit: MassUnit = units.unit(),
    }
}

#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
enum FateTold {
    Told { points_per_sd: f64, sd: f64 },
    Not { left_out: Option<Said> },
}
