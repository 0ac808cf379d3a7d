use crate::harvest::{Fate, Ridge, RidgeUntold};

use crate::quantity::MassUnit;
use crate::quantity::wire::view;

use super::data::{Cell, DataTable};
use super::document::{Align, Document, Grid, Tone};
use super::json;
use super::money::{CohortCost, cost_each};
use super::words::{Units, one_decimal};
use super::yields::FeedPart;
use super::yields_json::FedPart;

/// Which mixes worked.
#[derive(Debug, Clone, PartialEq)]
pub struct MixesSheet {
    pub measures: Vec<MixMeasure>,
    /// What went with bioconversion, or why that can't be told.
    pub ridge: Result<Ridge, RidgeUntold>,
    pub cohorts: usize,
    /// Cohorts left out, for want of a figure or for an impossible one.
    pub in_doubt: usize,
    /// The best and the worst, the best first.
    pub tried: Vec<TriedMix>,
    /// How weights are said.
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixMeasure {
    pub name: String,
    /// Its unit and basis.
    pub unit: &'static str,
}

/// What one cohort got, and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct TriedMix {
    /// Its place by bioconversion, from 1.
    pub place: usize,
    /// Position in the book.
    pub record: i64,
    pub name: String,
    /// Bioconversion, per cent of dry matter.
    pub bioconversion_pct: f64,
    /// In the order of the measures.
    pub values: Vec<Option<f64>>,
    /// What it was given, the heaviest first.
    pub feed: Vec<FeedPart>,
    /// What it cost in the month of its last harvest.
    pub cost: Option<CohortCost>,
}

/// Which mixes worked, as a page.
pub fn mixes_document(sheet: &MixesSheet) -> Document {
    let mut document = Document::titled("Which mixes worked");
    document.line("What went together is not what caused it: season, room, eggs and hands change with the mix. Try a change on one cohort beside another before you believe it.");
    if sheet.in_doubt > 0 {
        document.toned(Tone::Small, format!("{} cohorts are left out: a figure they need was not taken, or it can't be; trayful harvest says which.", sheet.in_doubt));
    }
    match &sheet.ridge {
        Err(untold) => {
            let few = matches!(untold, RidgeUntold::FewCohorts { .. });
            let label = if few { " (our default)" } else { "" };
            document.line(format!("Measures not told: {}{label}.", untold.words()));
        }
        Ok(ridge) => ridge_lines(&mut document, sheet, ridge),
    }
    if sheet.tried.is_empty() {
        return document;
    }
    document.heading(if sheet.tried.len() < sheet.cohorts {
        "The best and the worst"
    } else {
        "All of them, the best first"
    });
    document.table(tried_grid(sheet));
    for tried in &sheet.tried {
        document.line(format!(
            "{} {}: {}",
            tried.place,
            tried.name,
            mix_words(tried)
        ));
    }
    document.toned(Tone::Small, "Bioconversion of dry matter, start weight subtracted; cost of the month of the last harvest, as on trayful money.");
    document
}

fn ridge_lines(document: &mut Document, sheet: &MixesSheet, ridge: &Ridge) {
    let verdict = if ridge.tells_more_than_mean() {
        "so the measures tell something"
    } else {
        "so moisture, protein, fat, fibre, ash and ration tell nothing beyond the mean"
    };
    document.toned(
        if ridge.tells_more_than_mean() { Tone::Plain } else { Tone::Out },
        format!(
            "{} cohorts. Told from the others, a cohort's bioconversion is off by {:.2} points, by the mean alone {:.2}: {verdict}.",
            ridge.cohorts, ridge.error, ridge.mean_error
        ),
    );
    if !ridge.tells_more_than_mean() {
        return;
    }
    let mut grid = Grid::new(&[
        ("measure", Align::Left),
        ("unit", Align::Left),
        ("usual swing", Align::Right),
        ("points of bioconversion with it", Align::Right),
    ]);
    for (measure, fate) in sheet.measures.iter().zip(&ridge.fates) {
        let (swing, points) = match fate {
            Fate::Coefficient { per_sd, sd } => (one_decimal(*sd), format!("{per_sd:+.2}")),
            Fate::Constant => ("-".to_owned(), "the same in all".to_owned()),
            Fate::MostlyUnknown => ("-".to_owned(), "not known for most".to_owned()),
        };
        grid.row([measure.name.clone(), measure.unit.to_owned(), swing, points]);
    }
    document.table(grid);
    document.toned(Tone::Small, format!("Ridge regression on standardised measures (Hoerl and Kennard 1970, from memory, unverified), penalty {:.2} by leave-one-out; a swing is one standard deviation. {} cohorts left out for want of a measure.", ridge.penalty, ridge.left_out));
}

fn tried_grid(sheet: &MixesSheet) -> Grid {
    let cost = format!("cost a {}", sheet.units.unit());
    let mut columns = vec![
        ("", Align::Right),
        ("cohort", Align::Left),
        ("bioconversion %", Align::Right),
    ];
    columns.extend(
        sheet
            .measures
            .iter()
            .map(|measure| (measure.name.as_str(), Align::Right)),
    );
    columns.push((cost.as_str(), Align::Right));
    let mut grid = Grid::new(&columns);
    for tried in &sheet.tried {
        let mut row = vec![
            tried.place.to_string(),
            tried.name.clone(),
            one_decimal(tried.bioconversion_pct),
        ];
        row.extend(
            tried
                .values
                .iter()
                .map(|value| value.map_or_else(|| "-".to_owned(), one_decimal)),
        );
        row.push(
            each(tried, sheet.units).map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")),
        );
        grid.rows.push(row.into_iter().map(Into::into).collect());
    }
    grid
}

fn each(tried: &TriedMix, units: Units) -> Option<f64> {
    let ledger = &tried.cost.as_ref()?.ledger;
    // No cost at all means that none was written down.
    cost_each(ledger, units).filter(|cost| *cost > 0.0)
}

/// The streams by share of the weight as fed, the heaviest first; traces together.
fn mix_words(tried: &TriedMix) -> String {
    let all: f64 = tried.feed.iter().map(|part| part.kg).sum();
    let (told, traces): (Vec<&FeedPart>, Vec<&FeedPart>) =
        (tried.feed.iter()).partition(|part| part.kg >= 0.005 * all);
    let mut words: Vec<String> = told
        .iter()
        .map(|part| format!("{} {:.0} %", part.what, 100.0 * part.kg / all))
        .collect();
    let traces: Vec<&str> = traces.iter().map(|part| part.what.as_str()).collect();
    if !traces.is_empty() {
        words.push(format!("a trace of {}", traces.join(", ")));
    }
    words.join(", ")
}

/// The best and worst mixes, one row a cohort, for other programs.
#[must_use]
pub fn mixes_table(sheet: &MixesSheet) -> DataTable {
    let rows = sheet.tried.iter().map(|tried| {
        let mut row = vec![
            Cell::text(&tried.name),
            Cell::Whole(tried.record),
            Cell::number(Some(tried.bioconversion_pct)),
        ];
        row.extend(tried.values.iter().map(|value| Cell::number(*value)));
        row.push(Cell::number(each(tried, sheet.units)));
        row.push(Cell::text(mix_words(tried)));
        row
    });
    DataTable {
        name: "Mixes",
        columns: vec![
            "cohort",
            "record",
            "bioconversion_pct",
            "moisture_pct",
            "protein_dm_pct",
            "fat_dm_pct",
            "fibre_dm_pct",
            "ash_dm_pct",
            "ration_mg",
            "cost_per_unit",
            "mix",
        ],
        rows: rows.collect(),
    }
}

view! {
    /// Which mixes worked, for other programs.
    pub Mixes(sheet: &MixesSheet) {
        cohorts: usize,
        left_out: usize = sheet.in_doubt,
        not_told: Option<String> = sheet.ridge.as_ref().err().map(|untold| untold.words()),
        regression: Option<Regression> = sheet.ridge.as_ref().ok().map(|ridge| Regression::from((sheet, ridge))),
        tried: Vec<Tried> = sheet.tried.iter().map(|tried| Tried::from((tried, sheet.units))).collect(),
    }

    Regression((sheet, ridge): (&MixesSheet, &Ridge)) {
        cohorts: usize = ridge.cohorts,
        intercept: f64 = ridge.intercept,
        penalty: f64 = ridge.penalty,
        error: f64 = ridge.error,
        mean_error: f64 = ridge.mean_error,
        measures: Vec<Regressed> = sheet.measures.iter().zip(&ridge.fates).map(Regressed::from).collect(),
    }

    Regressed((measure, fate): (&MixMeasure, &Fate)) {
        measure: String = measure.name.clone(),
        unit: &'static str = measure.unit,
        fate: FateTold = FateTold::from(fate),
    }

    FateTold(fate: &Fate) {
        #[serde(skip_serializing_if = "Option::is_none")]
        points_per_sd: Option<f64> = if let Fate::Coefficient { per_sd, .. } = fate { Some(*per_sd) } else { None },
        #[serde(skip_serializing_if = "Option::is_none")]
        sd: Option<f64> = if let Fate::Coefficient { sd, .. } = fate { Some(*sd) } else { None },
        #[serde(skip_serializing_if = "Option::is_none")]
        left_out: Option<&'static str> = match fate {
            Fate::Coefficient { .. } => None,
            Fate::Constant => Some("the same in all"),
            Fate::MostlyUnknown => Some("not known for most"),
        },
    }

    Tried((tried, units): (&TriedMix, Units)) {
        place: usize = tried.place,
        cohort: String = tried.name.clone(),
        record: i64 = tried.record,
        bioconversion_pct: f64 = tried.bioconversion_pct,
        values: Vec<Option<f64>> = tried.values.clone(),
        mix: Vec<FedPart> = json::each(&tried.feed),
        cost_per_unit: Option<f64> = each(tried, units),
        unit: MassUnit = units.unit(),
    }
}
