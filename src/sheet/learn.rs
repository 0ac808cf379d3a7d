use jiff::Timestamp;

use crate::harvest::Metric;
use crate::harvest::learn::{
    Age, Backtest, Beside, ENOUGH_TESTS, INTERVAL, KeepingUntold, Learned, Place, Property,
    Proposal, Published,
};
use crate::stream::StreamId;

use super::data::{Cell, DataTable};
use super::document::{Align, Document, Grid, Tone};
use super::words::one_decimal;

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
    /// Rations by stage.
    pub rations: Vec<RationLine>,
    /// What was published of rations.
    pub published_ration: Published,
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
    /// What it is.
    pub stream: StreamId,
    /// The belief.
    pub belief: Learned,
}

/// How long a stream keeps by what spoiled.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepingLine {
    /// The stream.
    pub stream: StreamId,
    /// Lots looked at.
    pub lots: usize,
    /// Lots found spoiled.
    pub spoiled: usize,
    /// The age by which a quarter are spoiled, or why that can't be told.
    pub age: Result<Age, KeepingUntold>,
    /// The stream table's.
    pub book_days: Option<f64>,
}

/// What larvae of a stage got.
#[derive(Debug, Clone, PartialEq)]
pub struct RationLine {
    /// The stage.
    pub stage: String,
    /// Mg of dry matter a larva and night, by cohort, beside what was published.
    pub own: Beside,
    /// What the stage table asked for, the median of the same cohorts.
    pub due_mg: Option<f64>,
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
#[derive(Debug, Clone, PartialEq)]
pub struct AdoptedLine {
    /// Position in the book.
    pub record: i64,
    /// When.
    pub at: Timestamp,
    /// By whom.
    pub by: String,
    /// The proposal's name.
    pub key: String,
    /// What holds now, in words.
    pub words: String,
    /// Days, or times the rations of the stage table.
    pub value: f64,
    /// The figure it replaced, where there was one.
    pub before: Option<f64>,
    /// What it was taken from.
    pub evidence: String,
}

/// What the farm's own records say, as a page.
#[must_use]
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
            Err(untold) => (untold.words(), String::new()),
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
        ("got, mg", Align::Right),
        ("half of them", Align::Right),
        ("asked, mg", Align::Right),
    ]);
    for line in &sheet.rations {
        let Some(own) = &line.own.own else { continue };
        grid.row([
            line.stage.clone(),
            own.count.to_string(),
            one_decimal(own.median),
            format!("{}-{}", one_decimal(own.lower), one_decimal(own.upper)),
            line.due_mg.map_or_else(|| "-".to_owned(), one_decimal),
        ]);
    }
    document.table(grid);
    let published = &sheet.published_ration;
    document.toned(
        Tone::Small,
        format!(
            "Dry matter a larva and night it was fed. Published: {} to {} mg a day: {}.",
            published.low,
            published.high,
            published.words()
        ),
    );
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
            format!("{}, {}", metric.name(), metric.unit()),
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
            let told = format!("{}: {}.", metric.name(), range.words());
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
