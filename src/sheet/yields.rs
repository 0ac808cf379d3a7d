use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::harvest::{Conversion, Metric, NitrogenFactor, StartWeight, Untold, Yield};
use crate::quantity::Grams;
use crate::words::{Said, say};

use super::data::{Cell, DataTable};
use super::document::{Align, Document, Grid, Tone};
use super::words::{Units, one_decimal, plural};

/// What one or all cohorts made of their feed.
#[derive(Debug, Clone, PartialEq)]
pub struct YieldSheet {
    /// The latest first.
    pub cohorts: Vec<CohortYield>,
    /// Whether one cohort was asked for.
    pub one: bool,
    /// What larval nitrogen is multiplied by.
    pub factor: NitrogenFactor,
    /// What becomes of the weight larvae began with.
    pub start: StartWeight,
    /// How weights are said.
    pub units: Units,
}

/// A cohort with feed, harvests and figures.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortYield {
    /// Position in the book.
    pub record: i64,
    pub name: String,
    /// Hatch day.
    pub hatched: Date,
    /// When it ended, and why.
    pub ended: Option<(Date, String)>,
    /// How many nights it was fed.
    pub nights: usize,
    pub first_night: Option<Date>,
    /// Moisture of all it was given, 0..=1, where it is known.
    pub moisture: Option<f64>,
    /// What it was given, the heaviest first.
    pub feed: Vec<FeedPart>,
    pub parts: Vec<HarvestPart>,
    /// All of it together.
    pub yielded: Yield,
    /// The figures.
    pub conversion: Conversion,
}

/// A stream fed to a cohort.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedPart {
    /// The stream, or `water`.
    pub what: String,
    /// Kilograms as fed.
    pub kg: f64,
}

/// A harvest of a cohort.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HarvestPart {
    /// Position in the book.
    pub record: i64,
    /// The local day.
    #[schemars(with = "String")]
    pub day: Date,
    /// Who did it.
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
    /// Dead larvae seen.
    pub dead: Option<i64>,
    #[serde(rename = "residue_g")]
    pub residue: Option<Grams>,
    /// Its moisture, per cent wet basis.
    pub residue_moisture_pct: Option<f64>,
    /// Where it goes.
    pub residue_to: Option<String>,
    /// Free text.
    pub note: Option<String>,
}

/// Cautions at a harvest. They defer to local rules.
#[must_use]
pub fn harvest_cautions() -> [Said; 4] {
    [
        say!("caution-dust"),
        say!("caution-gases"),
        say!("caution-sharps"),
        say!("caution-sold"),
    ]
}

/// What cohorts made of their feed, as a page.
#[must_use]
pub fn yields_document(sheet: &YieldSheet) -> Document {
    match sheet.cohorts.first() {
        Some(cohort) if sheet.one => one_document(cohort, sheet),
        _ => all_document(sheet),
    }
}

fn all_document(sheet: &YieldSheet) -> Document {
    let mut document = Document::titled("Harvests by cohort");
    let mut grid = Grid::new(&[
        ("cohort", Align::Left),
        ("hatched", Align::Left),
        ("ended", Align::Left),
        ("fed, dry", Align::Right),
        ("larvae, fresh", Align::Right),
        ("bioconversion %", Align::Right),
        ("reduction %", Align::Right),
        ("FCR dry", Align::Right),
        ("survival %", Align::Right),
    ]);
    for cohort in &sheet.cohorts {
        let figure = |metric, places| figure(cohort.conversion.value(metric), places);
        grid.row([
            cohort.name.clone(),
            cohort.hatched.to_string(),
            (cohort.ended.as_ref())
                .map_or_else(|| "on trays".to_owned(), |(day, _)| day.to_string()),
            cohort
                .yielded
                .fed_dry_kg
                .map_or_else(|| "not known".to_owned(), |kg| weight(sheet.units, kg)),
            sheet.units.weight(larvae_of(cohort)),
            figure(Metric::Bioconversion, 1),
            figure(Metric::Reduction, 1),
            figure(Metric::FcrDry, 2),
            figure(Metric::Survival, 1),
        ]);
    }
    if sheet.cohorts.is_empty() {
        document.line("No cohort was harvested yet.");
        document.toned(
            Tone::Next,
            "Next: trayful harvest COHORT --larvae 20lb --sample 100=15.2 --residue 25lb --last",
        );
    } else {
        document.toned(Tone::Small, "A dash: not told, as something it needs was not weighed, counted or tested; a cohort's own page (trayful harvest COHORT) says what.");
        let own = (sheet.cohorts.iter()).any(|of| of.yielded.start != sheet.start);
        let own = if own {
            "; where a sample of the cohort was weighed at the start, that"
        } else {
            ""
        };
        let start = sheet.start.words() + own;
        document.toned(Tone::Small, basis_words(sheet, &start));
    }
    document.table(grid);
    document
}

fn one_document(cohort: &CohortYield, sheet: &YieldSheet) -> Document {
    let mut document =
        Document::titled(format!("Cohort {}: what it made of its feed", cohort.name));
    let until = match &cohort.ended {
        Some((day, why)) => format!("ended {day} ({why})"),
        None => "on its trays".to_owned(),
    };
    document.line(format!(
        "Hatched {}, {until}; fed on {}.",
        cohort.hatched,
        plural(
            i64::try_from(cohort.nights).unwrap_or(i64::MAX),
            "night",
            "nights"
        ),
    ));
    fed_lines(&mut document, cohort, sheet.units);
    document.table(parts_grid(cohort, sheet.units));
    if cohort.parts.is_empty() {
        document.line("Nothing was harvested yet.");
    }
    document.heading("Figures");
    document.table(figures_grid(cohort));
    for doubt in &cohort.conversion.doubts {
        document.toned(Tone::Out, format!("Check: {}", doubt.words()));
    }
    document.toned(
        Tone::Small,
        basis_words(sheet, &cohort.yielded.start.words()),
    );
    document.heading("What each figure means");
    for metric in Metric::ALL {
        let source = metric.source();
        document.line(format!(
            "{}: {}; {} ({}; {}).",
            metric.name(),
            metric.definition(),
            metric.equation(),
            source.citation,
            source.evidence.label()
        ));
    }
    document
}

fn fed_lines(document: &mut Document, cohort: &CohortYield, units: Units) {
    let dry = cohort.yielded.fed_dry_kg.map_or_else(
        || "dry matter not known, as a lot's moisture is not".to_owned(),
        |kg| format!("{} of dry matter", weight(units, kg)),
    );
    let moisture = cohort.moisture.map_or_else(String::new, |share| {
        format!(", {} % moisture", one_decimal(100.0 * share))
    });
    document.line(format!(
        "Fed {} ({dry}{moisture}).",
        weight(units, cohort.yielded.fed_kg)
    ));
    let told: Vec<String> = cohort
        .feed
        .iter()
        .map(|part| format!("{} {}", part.what, weight(units, part.kg)))
        .collect();
    if !told.is_empty() {
        document.line(format!("Of it: {}.", told.join(", ")));
        document.toned(Tone::Small, "Feed groups are shared among their cohorts by the dry matter each was due (our rule, as on the sheet).");
    }
}

fn parts_grid(cohort: &CohortYield, units: Units) -> Grid {
    let mut grid = Grid::new(&[
        ("harvested", Align::Left),
        ("larvae, fresh", Align::Right),
        ("moisture %", Align::Right),
        ("count", Align::Right),
        ("dead", Align::Right),
        ("residue", Align::Right),
        ("moisture %", Align::Right),
        ("residue to", Align::Left),
        ("record", Align::Left),
    ]);
    let dash = || "-".to_owned();
    for part in &cohort.parts {
        let sampled = if part.sampled.is_some() { "*" } else { "" };
        grid.row([
            part.day.to_string(),
            units.weight(part.larvae),
            figure(part.larvae_moisture_pct, 1),
            part.larvae_count
                .map_or_else(dash, |count| format!("{count:.0}{sampled}")),
            part.dead.map_or_else(dash, |dead| dead.to_string()),
            part.residue.map_or_else(dash, |grams| units.weight(grams)),
            figure(part.residue_moisture_pct, 1),
            part.residue_to.clone().unwrap_or_else(dash),
            format!("r{}", part.record),
        ]);
    }
    grid
}

fn figures_grid(cohort: &CohortYield) -> Grid {
    let mut grid = Grid::new(&[
        ("figure", Align::Left),
        ("value", Align::Right),
        ("unit", Align::Left),
        ("basis", Align::Left),
    ]);
    for metric in Metric::ALL {
        let (value, unit) = match cohort.conversion.get(metric) {
            Ok(value) => (
                figure(Some(*value), places(metric)),
                metric.unit().to_owned(),
            ),
            Err(lacks) => ("-".to_owned(), format!("not told: {}", lacking(lacks))),
        };
        grid.row([
            metric.name().to_owned(),
            value,
            unit,
            metric.basis().to_owned(),
        ]);
    }
    grid
}

const fn places(metric: Metric) -> usize {
    match metric {
        Metric::FcrDry | Metric::FcrFresh | Metric::ReductionIndex => 2,
        _ => 1,
    }
}

fn lacking(lacks: &[Untold]) -> String {
    let words: Vec<&str> = lacks.iter().map(|lack| lack.words()).collect();
    words.join("; ")
}

fn basis_words(sheet: &YieldSheet, start: &str) -> String {
    format!(
        "Larval protein by {}; {start}. Counts with * are reckoned from a sample.",
        sheet.factor.words()
    )
}

fn figure(value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{value:.places$}"))
}

fn weight(units: Units, kg: f64) -> String {
    Grams::from_kg(kg).map_or_else(
        || "beyond all sense".to_owned(),
        |grams| units.weight(grams),
    )
}

fn larvae_of(cohort: &CohortYield) -> Grams {
    cohort.parts.iter().map(|part| part.larvae).sum()
}

/// One row a cohort, for other programs.
#[must_use]
pub fn yields_table(sheet: &YieldSheet) -> DataTable {
    let mut columns = vec![
        "cohort",
        "record",
        "hatched",
        "ended",
        "nights_fed",
        "fed_kg",
        "fed_dm_kg",
        "larvae_g",
        "larvae_count",
        "residue_kg",
    ];
    columns.extend(Metric::ALL.map(Metric::key));
    let rows = sheet.cohorts.iter().map(|cohort| {
        let mut row = vec![
            Cell::text(&cohort.name),
            Cell::Whole(cohort.record),
            Cell::text(cohort.hatched.to_string()),
            (cohort.ended.as_ref()).map_or(Cell::Empty, |(day, _)| Cell::text(day.to_string())),
            Cell::Whole(i64::try_from(cohort.nights).unwrap_or(i64::MAX)),
            Cell::number(Some(cohort.yielded.fed_kg)),
            Cell::number(cohort.yielded.fed_dry_kg),
            Cell::Whole(larvae_of(cohort).get()),
            Cell::number(cohort.yielded.ended),
            Cell::number(cohort.yielded.residue_kg),
        ];
        row.extend(Metric::ALL.map(|metric| Cell::number(cohort.conversion.value(metric))));
        row
    });
    DataTable {
        name: "Harvests",
        columns,
        rows: rows.collect(),
    }
}
