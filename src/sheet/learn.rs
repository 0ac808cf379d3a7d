use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::harvest::Metric;
use crate::harvest::learn::{
    Age, Backtest, Beside, ENOUGH_TESTS, INTERVAL, Learned, Own, Place, Property, Proposal,
};
use crate::larvae::RationStudy;
use crate::stream::StreamId;

use super::data::{Cell, DataTable};
use super::document::{Align, Document, Grid, Tone};
use super::words::{one_decimal, plural};

/// What a farm's own records say against the tables.
#[derive(Debug, Clone, PartialEq)]
pub struct LearnSheet {
    /// Moisture by supplier and stream, shares as fed.
    pub moisture: Vec<BeliefLine>,
    /// Bulk density by supplier and stream, kg/L.
    pub density: Vec<BeliefLine>,
    /// How well earlier tests would have told later ones.
    pub backtest: Option<Backtest>,
    /// Keeping time by stream.
    pub keeping: Vec<KeepingLine>,
    pub rations: Vec<RationLine>,
    /// What cohorts got in all, beside what they were due.
    pub ration_total: Option<RationTotal>,
    /// What others fed, each with how well that is supported.
    pub ration_studies: Vec<(RationStudy, String)>,
    /// Figures of conversion of all cohorts beside what was published.
    pub conversion: Vec<(Metric, Beside)>,
    /// What could be taken over.
    pub offered: Vec<Offered>,
    /// What was taken over.
    pub adopted: Vec<AdoptedLine>,
}

/// What is believed of a supplier's stream.
#[derive(Debug, Clone, PartialEq)]
pub struct BeliefLine {
    /// Who brings it.
    pub supplier: String,
    pub stream: StreamId,
    pub belief: Learned,
}

/// How long a stream keeps by what spoiled.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepingLine {
    pub stream: StreamId,
    pub lots: usize,
    /// Lots found spoiled.
    pub spoiled: usize,
    /// The age by which a quarter are spoiled, or why that can't be told.
    pub age: Result<Age, String>,
    /// The stream table's.
    pub book_days: Option<f64>,
}

/// What larvae of a stage got.
#[derive(Debug, Clone, PartialEq)]
pub struct RationLine {
    pub stage: String,
    /// Mg of dry matter a larva and day on the trays, by cohort.
    pub own: Option<Own>,
    /// What the stage table asked for, the median of the same cohorts.
    pub due_mg: Option<f64>,
    /// Cohorts left out: fed on far fewer nights than they were due.
    pub left_out: usize,
    /// Their meals, and how many they were due.
    pub left_out_meals: (i32, i32),
}

/// What cohorts got in all, medians.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct RationTotal {
    pub cohorts: usize,
    /// Mg of dry matter a larva.
    pub got_mg: f64,
    /// What they were due by the stage table and their feeding plan.
    #[serde(rename = "asked_mg")]
    pub due_mg: f64,
    pub days: f64,
}

/// A change that waits for the owner's word.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// What the owner names it by, such as `keeps-days:spent-grain`.
    pub key: String,
    /// The change with its evidence.
    pub proposal: Proposal,
}

/// A change that was taken over.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AdoptedLine {
    /// Position in the book.
    pub record: i64,
    #[schemars(with = "String")]
    pub at: Timestamp,
    pub by: String,
    /// The proposal's name.
    pub key: String,
    /// What holds now, in words.
    #[serde(rename = "what")]
    pub words: String,
    /// Days, or times the rations of the stage table.
    pub value: f64,
    /// The figure it replaced, where there was one.
    pub before: Option<f64>,
    /// What it was taken from.
    pub evidence: String,
}

/// What the farm's own records say, as a page.
pub fn learn_document(sheet: &LearnSheet) -> Document {
    let mut document = Document::titled("What the farm's own records say");
    document.line(format!("Nothing here changes a default by itself. Moisture and density of a supplier's stream are used by the mix from {ENOUGH_TESTS} tests on (our default), for lots without a test of their own, and said on the sheet; everything else waits for your word."));
    beliefs(
        &mut document,
        "Moisture by supplier",
        &sheet.moisture,
        100.0,
        "%",
    );
    backtested(&mut document, sheet.backtest.as_ref());
    beliefs(
        &mut document,
        "Bulk density by supplier",
        &sheet.density,
        1.0,
        "kg/L",
    );
    keeping(&mut document, &sheet.keeping);
    rations(&mut document, sheet);
    conversion(&mut document, &sheet.conversion);
    offered(&mut document, sheet);
    document
}

fn beliefs(document: &mut Document, title: &str, lines: &[BeliefLine], times: f64, unit: &str) {
    if lines.is_empty() {
        return;
    }
    document.heading(title);
    let places = if times > 1.0 { 1 } else { 2 };
    let told = |value: f64| format!("{:.places$}", value * times);
    let own = format!("own {unit}");
    let mut grid = Grid::new(&[
        ("supplier", Align::Left),
        ("stream", Align::Left),
        ("tests", Align::Right),
        (&own, Align::Right),
        ("one lot ±", Align::Right),
        ("90 % of lots", Align::Right),
        ("book", Align::Right),
        ("in use", Align::Left),
    ]);
    for line in lines {
        let belief = &line.belief;
        let (low, high) = belief.interval(INTERVAL, 0.0);
        let book = belief
            .book
            .map(|book| format!("{} ± {}", told(book.value()), told(book.sd())));
        let used = if belief.is_enough() {
            format!("yes: {}", belief.origin())
        } else {
            format!("not yet, {ENOUGH_TESTS} tests are needed")
        };
        grid.row([
            line.supplier.clone(),
            line.stream.to_string(),
            belief.tests.to_string(),
            told(belief.mean),
            told(belief.lot_sd()),
            format!("{}-{}", told(low), told(high)),
            book.unwrap_or_else(|| "-".to_owned()),
            used,
        ]);
    }
    document.table(grid);
    let property = lines.first().map(|line| line.belief.property);
    document.toned(
        Tone::Small,
        match property {
            Some(Property::Density) => "From loads whose volume was measured (--volume), not taken from their container: that says what it holds brim-full.",
            _ => "A supplier's mean, drawn towards the book by how sure each is (normal mean with normal prior: Gelman et al., Bayesian Data Analysis, from memory, unverified); a new lot is not the mean, so its spread is wider. Tests of the last two years; an oven counts with 1 point of error of its own, a microwave or what was stated at the dock with 2, a squeeze with more (all our defaults).",
        },
    );
}

fn backtested(document: &mut Document, told: Option<&Backtest>) {
    let Some(told) = told else { return };
    let points = |share: f64| one_decimal(100.0 * share);
    let than = if told.error < told.book_error {
        format!("{} % less than the book", one_decimal(told.better_pct()))
    } else {
        "no better than the book".to_owned()
    };
    document.line(format!(
        "Tried on the past: of {} later tests, what was learned before erred by {} points on average, the book by {}: {than}. {} % lay inside the stated {:.0} % interval (± {} for so many).",
        told.told,
        points(told.error),
        points(told.book_error),
        points(told.covered),
        100.0 * INTERVAL,
        points(told.covered_error()),
    ));
}

fn keeping(document: &mut Document, lines: &[KeepingLine]) {
    if lines.is_empty() {
        return;
    }
    document.heading("Keeping time by what spoiled");
    let mut grid = Grid::new(&[
        ("stream", Align::Left),
        ("lots", Align::Right),
        ("spoiled", Align::Right),
        ("a quarter by, days", Align::Right),
        ("90 % interval", Align::Right),
        ("book, days", Align::Right),
    ]);
    for line in lines {
        let (days, interval) = match &line.age {
            Ok(age) => {
                let high = age.high.map_or_else(|| "?".to_owned(), one_decimal);
                (
                    one_decimal(age.days),
                    format!("{}-{high}", one_decimal(age.low)),
                )
            }
            Err(untold) => (untold.clone(), String::new()),
        };
        grid.row([
            line.stream.to_string(),
            line.lots.to_string(),
            line.spoiled.to_string(),
            days,
            interval,
            line.book_days.map_or_else(|| "-".to_owned(), one_decimal),
        ]);
    }
    document.table(grid);
    document.toned(Tone::Small, "A quarter of the lots, and 8 spoiled ones at the least, are our defaults. Kaplan and Meier 1958 (from memory, unverified): a lot fed, or cleared for another reason than discard --spoiled, says only that it kept so long. Lots near their end are fed first, and the spoiled are found a little late: the figure leans to the long side.");
}

fn rations(document: &mut Document, sheet: &LearnSheet) {
    if sheet.rations.is_empty() {
        return;
    }
    document.heading("Ration by stage");
    let mut grid = Grid::new(&[
        ("stage", Align::Left),
        ("cohorts", Align::Right),
        ("got, mg a day", Align::Right),
        ("half of them", Align::Right),
        ("asked, mg a day", Align::Right),
    ]);
    for line in &sheet.rations {
        let Some(own) = &line.own else { continue };
        grid.row([
            line.stage.clone(),
            own.count.to_string(),
            one_decimal(own.median),
            format!("{}-{}", one_decimal(own.lower), one_decimal(own.upper)),
            line.due_mg.map_or_else(|| "-".to_owned(), one_decimal),
        ]);
    }
    document.table(grid);
    document.toned(
        Tone::Small,
        "Dry matter a larva, divided by the days on the trays that the meals were for.",
    );
    for line in sheet.rations.iter().filter(|line| line.left_out > 0) {
        let (fed, due) = line.left_out_meals;
        document.toned(Tone::Caution, format!(
            "{}: {} left out, fed on {fed} of {due} nights: too few to say what larvae need (our default: 4 in 5). If they are fed in batches, give cohorts their plan: trayful cohort add ... --feeding every-3",
            line.stage,
            plural(i64::try_from(line.left_out).unwrap_or(i64::MAX), "cohort", "cohorts"),
        ));
    }
    if let Some(total) = &sheet.ration_total {
        document.line(format!(
            "In all {:.0} mg a larva over {:.0} days (median of {}), where the rations ask for {:.0} mg.",
            total.got_mg, total.days, total.cohorts, total.due_mg,
        ));
    }
    studies(document, sheet);
}

/// What others fed, beside the farm's own.
fn studies(document: &mut Document, sheet: &LearnSheet) {
    let mut grid = Grid::new(&[
        ("others fed", Align::Left),
        ("mg a larva", Align::Right),
        ("days", Align::Right),
        ("mg a day", Align::Right),
        ("what, and with which result", Align::Left),
    ]);
    let range = |(low, high): (f64, f64)| {
        if high > low {
            format!("{low:.0}-{high:.0}")
        } else {
            format!("{low:.0}")
        }
    };
    for (study, evidence) in &sheet.ration_studies {
        let (mg, days) = (study.mg_dm, study.days);
        let per_day = (mg.0 / days.0, mg.1 / days.1);
        grid.row([
            study.study.clone(),
            range(mg),
            range(days),
            range((per_day.0.min(per_day.1), per_day.0.max(per_day.1))),
            format!("{}; {} ({evidence})", study.fed, study.result),
        ]);
    }
    document.table(grid);
    document.toned(Tone::Small, "The shipped rations add up to 400 mg over days 5 to 14, as the first of these; how they are spread over the days, and that they last ten days, is our default. That larvae of three to four days reach full size in a week to ten days, and that many farms feed every second or third day, is common practice, no source.");
}

fn conversion(document: &mut Document, lines: &[(Metric, Beside)]) {
    if lines.is_empty() {
        return;
    }
    document.heading("Conversion, own beside published");
    let mut grid = Grid::new(&[
        ("figure", Align::Left),
        ("cohorts", Align::Right),
        ("own", Align::Right),
        ("half of them", Align::Right),
        ("published", Align::Right),
        ("", Align::Left),
    ]);
    for (metric, line) in lines {
        let Some(own) = &line.own else { continue };
        grid.row([
            format!(
                "{}, {}",
                metric.name().in_english(),
                metric.unit().in_english()
            ),
            own.count.to_string(),
            one_decimal(own.median),
            format!("{}-{}", one_decimal(own.lower), one_decimal(own.upper)),
            line.published.as_ref().map_or_else(
                || "none read".to_owned(),
                |range| format!("{}-{}", range.low, range.high),
            ),
            match line.place {
                Some(Place::Below) => "below it".to_owned(),
                Some(Place::Within) => "within it".to_owned(),
                Some(Place::Above) => "above it".to_owned(),
                None => String::new(),
            },
        ]);
    }
    document.table(grid);
    for (metric, line) in lines {
        if let Some(range) = &line.published {
            let told = format!("{}: {}.", metric.name().in_english(), range.words());
            document.toned(Tone::Small, told);
        }
    }
}

fn offered(document: &mut Document, sheet: &LearnSheet) {
    document.heading("Waiting for your word");
    if sheet.offered.is_empty() {
        document.line("Nothing: no default lies outside what the records say.");
    }
    for offer in &sheet.offered {
        let proposal = &offer.proposal;
        let from = proposal
            .from
            .map_or_else(|| "unknown".to_owned(), one_decimal);
        document.line(format!(
            "{}: {from} to {} {}; {}.",
            proposal.subject.words(),
            one_decimal(proposal.to),
            proposal.subject.unit(),
            proposal.origin
        ));
        document.toned(
            Tone::Next,
            format!("To take it over: trayful learn --take {}", offer.key),
        );
    }
    for line in &sheet.adopted {
        document.line(format!(
            "Taken over by {}: {} ({}). To go back: trayful strike r{} --why REASON",
            line.by, line.words, line.evidence, line.record
        ));
    }
}

/// What was learned of suppliers, one row each, for other programs.
#[must_use]
pub fn learn_table(sheet: &LearnSheet) -> DataTable {
    let both = sheet.moisture.iter().chain(&sheet.density);
    let rows = both.map(|line| {
        let belief = &line.belief;
        let (low, high) = belief.interval(INTERVAL, 0.0);
        vec![
            Cell::text(belief.property.as_str()),
            Cell::text(&line.supplier),
            Cell::text(line.stream.as_str()),
            Cell::Whole(i64::from(belief.tests)),
            Cell::number(Some(belief.mean)),
            Cell::number(Some(belief.lot_sd())),
            Cell::number(Some(low)),
            Cell::number(Some(high)),
            Cell::number(belief.book.map(|book| book.value())),
            Cell::text(if belief.is_enough() { "yes" } else { "no" }),
        ]
    });
    DataTable {
        name: "Learned",
        columns: vec![
            "property",
            "supplier",
            "stream",
            "tests",
            "value",
            "lot_sd",
            "low",
            "high",
            "book_value",
            "in_use",
        ],
        rows: rows.collect(),
    }
}
