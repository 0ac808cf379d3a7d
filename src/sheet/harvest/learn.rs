use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::harvest::Metric;
use crate::larvae::RationStudy;
use crate::learn::{
    Age, Backtest, Beside, ENOUGH_TESTS, INTERVAL, Learned, Own, Place, Proposal, Published, Study,
};
use crate::quantity::wire::{each, view};
use crate::sheet::data::{DataTable, data};
use crate::sheet::document::{Document, Tone, grid};
use crate::sheet::words::{figure, one_decimal};
use crate::stream::StreamId;
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq)]
pub struct LearnSheet {
    /// Moisture by supplier and stream, shares as fed.
    pub moisture: Vec<BeliefLine>,
    /// Bulk density by supplier and stream, kg/L.
    pub density: Vec<BeliefLine>,
    /// How well earlier tests would have told later ones.
    pub backtest: Option<Backtest>,
    pub keeping: Vec<KeepingLine>,
    pub rations: Vec<RationLine>,
    /// What cohorts got in all, beside what they were due.
    pub ration_total: Option<RationTotal>,
    /// What others fed, each with how well that is supported.
    pub ration_studies: Vec<(RationStudy, String)>,
    /// Figures of conversion of all cohorts beside what was published.
    pub conversion: Vec<(Metric, Beside)>,
    pub offered: Vec<Offered>,
    pub adopted: Vec<AdoptedLine>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct BeliefLine {
    pub supplier: String,
    pub stream: StreamId,
    pub belief: Learned,
}

#[derive(Debug, Clone, PartialEq)]
pub struct KeepingLine {
    pub stream: StreamId,
    pub lots: usize,
    pub spoiled: usize,
    /// The age by which a quarter are spoiled, or why that can't be told.
    pub age: Result<Age, Said>,
    pub book_days: Option<f64>,
}

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

#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// What the owner names it by, such as `keeps-days:spent-grain`.
    pub key: String,
    pub proposal: Proposal,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AdoptedLine {
    pub record: i64,
    #[schemars(with = "String")]
    pub at: Timestamp,
    pub by: String,
    pub key: String,
    pub what: Said,
    /// Days, or times the rations of the stage table.
    pub value: f64,
    pub before: Option<f64>,
    pub evidence: String,
}

pub fn learn_document(sheet: &LearnSheet) -> Document {
    let mut document = Document::titled(say!("learn-title"));
    let (waiting, taken) = (sheet.offered.len(), sheet.adopted.len());
    document.answer(Tone::Plain, say!("learn-offered-count", waiting, taken));
    document.line(say!("learn-intro", tests = ENOUGH_TESTS));
    let heads = (say!("learn-moisture"), say!("learn-moisture-note"));
    beliefs(&mut document, heads, &sheet.moisture, (100.0, 1, "%"));
    backtested(&mut document, sheet.backtest.as_ref());
    let heads = (say!("learn-density"), say!("learn-density-note"));
    beliefs(&mut document, heads, &sheet.density, (1.0, 2, "kg/L"));
    keeping(&mut document, &sheet.keeping);
    rations(&mut document, sheet);
    conversion(&mut document, &sheet.conversion);
    offered(&mut document, sheet);
    document
}

fn beliefs(
    document: &mut Document,
    (title, note): (Said, Said),
    lines: &[BeliefLine],
    (times, places, unit): (f64, usize, &str),
) {
    let told = |value: f64| format!("{:.places$}", value * times);
    let grid = grid!(for line in lines => {
           let belief = &line.belief;
           let (low, high) = belief.interval(INTERVAL, 0.0);
           let book = belief.book.map(|book| format!("{} \u{b1} {}", told(book.value()), told(book.sd())));
           Left say!("supplier") => &line.supplier,
           Left say!("stream") => &line.stream,
           Right say!("learn-tests") => belief.tests,
           Right say!("learn-own", unit) => told(belief.mean),
           Right say!("learn-one-lot") => told(belief.lot_sd()),
           Right say!("learn-most-lots") => format!("{}-{}", told(low), told(high)),
           Right say!("learn-book") => book.unwrap_or_else(|| "-".to_owned()),
           Left say!("learn-in-use") => match belief.is_enough() {
    true => say!("learn-used", origin = belief.origin()),
    false => say!("learn-not-yet", tests = ENOUGH_TESTS),
    },
       });
    if document.section(title, grid) {
        document.small(note);
    }
}

fn backtested(document: &mut Document, told: Option<&Backtest>) {
    let Some(told) = told else { return };
    let points = |share: f64| one_decimal(100.0 * share);
    let than = match told.error < told.book_error {
        true => say!("learn-less-than-book", pct = one_decimal(told.better_pct())),
        false => say!("learn-no-better"),
    };
    document.line(say!(
        "learn-backtest",
        tests = told.told,
        error = points(told.error),
        book_error = points(told.book_error),
        than,
        covered = points(told.covered),
        interval = format!("{:.0}", 100.0 * INTERVAL),
        covered_error = points(told.covered_error()),
    ));
}

fn keeping(document: &mut Document, lines: &[KeepingLine]) {
    let grid = grid!(for line in lines => {
        let (days, interval) = match &line.age {
            Ok(age) => {
                let high = age.high.map_or_else(|| "?".to_owned(), one_decimal);
                (one_decimal(age.days).into(), format!("{}-{high}", one_decimal(age.low)))
            }
            Err(untold) => (untold.clone(), String::new()),
        };
        Left say!("stream") => &line.stream,
        Right say!("learn-lots") => line.lots,
        Right say!("learn-spoiled") => line.spoiled,
        Right say!("learn-a-quarter") => days,
        Right say!("learn-interval") => interval,
        Right say!("learn-book-days") => figure(line.book_days, 1),
    });
    if document.section(say!("learn-keeping"), grid) {
        document.small(say!("learn-keeping-note"));
    }
}

/// Of fewer than four, half of them say nothing.
fn half(own: &Own) -> String {
    if own.count < 4 {
        return String::new();
    }
    format!("{}-{}", one_decimal(own.lower), one_decimal(own.upper))
}

fn rations(document: &mut Document, sheet: &LearnSheet) {
    if sheet.rations.is_empty() {
        return;
    }
    document.heading(say!("learn-rations"));
    let own = (sheet.rations.iter()).filter_map(|line| Some((line, line.own.as_ref()?)));
    document.table(grid!(for (line, own) in own => {
        Left say!("cohort-stage") => say!("stage-called", what = &line.stage),
        Right say!("learn-cohorts") => own.count,
        Right say!("learn-got") => one_decimal(own.median),
        Right say!("learn-half") => half(own),
        Right say!("learn-asked") => figure(line.due_mg, 1),
    }));
    document.small(say!("learn-ration-note"));
    for line in sheet.rations.iter().filter(|line| line.left_out > 0) {
        let ((fed, due), stage, count) = (line.left_out_meals, &line.stage, line.left_out);
        document.caution(say!("learn-left-out", stage, count, fed, due));
    }
    if let Some(total) = &sheet.ration_total {
        let whole = |value: f64| format!("{value:.0}");
        document.line(say!(
            "learn-ration-total",
            got = whole(total.got_mg),
            days = whole(total.days),
            cohorts = total.cohorts,
            due = whole(total.due_mg),
        ));
    }
    studies(document, sheet);
}

fn studies(document: &mut Document, sheet: &LearnSheet) {
    let range = |(low, high): (f64, f64)| match high > low {
        true => format!("{low:.0}-{high:.0}"),
        false => format!("{low:.0}"),
    };
    document.table(grid!(for (study, evidence) in &sheet.ration_studies => {
        let (mg, days) = (study.mg_dm, study.days);
        let (one, other) = (mg.0 / days.0, mg.1 / days.1);
        Left say!("learn-others-fed") => &study.study,
        Right say!("learn-mg") => range(mg),
        Right say!("days") => range(days),
        Right say!("learn-mg-a-day") => range((one.min(other), one.max(other))),
        Left say!("learn-with-result") => format!("{}; {} ({evidence})", study.fed, study.result),
    }));
    document.small(say!("learn-studies-note"));
}

fn conversion(document: &mut Document, lines: &[(Metric, Beside)]) {
    if lines.is_empty() {
        return;
    }
    document.heading(say!("learn-conversion"));
    let own = (lines.iter()).filter_map(|(metric, line)| Some((metric, line, line.own.as_ref()?)));
    document.table(grid!(for (metric, line, own) in own => {
        let place = line.place.map(|place| match place {
            Place::Below => "below",
            Place::Within => "within",
            Place::Above => "above",
        });
        let published = line.published.as_ref();
        let published = published.map(|range| format!("{}-{}", range.low, range.high).into());
        Left say!("figure") => say!("learn-figure-unit", name = metric.name(), unit = metric.unit()),
        Right say!("learn-cohorts") => own.count,
        Right say!("learn-own-figure") => one_decimal(own.median),
        Right say!("learn-half") => half(own),
        Right say!("learn-published") => published.unwrap_or_else(|| say!("learn-none-read")),
        Left "" => place.map(|place| say!("learn-place", place)).unwrap_or_default(),
    }));
    for (metric, line) in lines {
        if let Some(range) = &line.published {
            document.small(say!(
                "learn-published-by",
                name = metric.name(),
                studies = range.said()
            ));
        }
    }
}

fn offered(document: &mut Document, sheet: &LearnSheet) {
    document.heading(say!("learn-waiting"));
    if sheet.offered.is_empty() {
        document.line(say!("learn-nothing-waits"));
    }
    for Offered { key, proposal } in &sheet.offered {
        let from = proposal.from.map(|from| one_decimal(from).into());
        let from = from.unwrap_or_else(|| say!("learn-from-unknown"));
        document.line(say!(
            "learn-offer",
            what = proposal.subject.said(),
            from,
            to = one_decimal(proposal.to),
            unit = proposal.subject.unit(),
            origin = &proposal.origin,
        ));
        document.next(say!("learn-to-take", key));
    }
    for line in &sheet.adopted {
        document.line(say!(
            "learn-taken",
            who = &line.by,
            line.what,
            line.evidence,
            line.record
        ));
    }
}

pub fn learn_table(sheet: &LearnSheet) -> DataTable {
    data!("Learned", for line in sheet.moisture.iter().chain(&sheet.density) => {
        let belief = &line.belief;
        let (low, high) = belief.interval(INTERVAL, 0.0);
        "property" => belief.property.as_str(),
        "supplier" => &line.supplier,
        "stream" => &line.stream,
        "tests" => belief.tests,
        "value" => belief.mean,
        "lot_sd" => belief.lot_sd(),
        "low" => low,
        "high" => high,
        "book_value" => belief.book.map(|book| book.value()),
        "in_use" => belief.is_enough(),
    })
}

view! {
    /// What was learned: shares, kg/L, days and mg as numbers.
    pub Learn(sheet: &LearnSheet) {
        moisture: Vec<Belief> = each(&sheet.moisture),
        density_kg_l: Vec<Belief> = each(&sheet.density),
        backtest: Option<Tested> = sheet.backtest.map(Tested::from),
        keeping: Vec<Keeping> = each(&sheet.keeping),
        rations_mg: Vec<Ration> = each(&sheet.rations),
        ration_total: Option<RationTotal>,
        ration_studies: Vec<RationStudied> = each(&sheet.ration_studies),
        conversion: Vec<Converted> = each(&sheet.conversion),
        proposals: Vec<Proposed> = each(&sheet.offered),
        taken_over: Vec<AdoptedLine> = sheet.adopted.clone(),
    }

    Belief(line: &BeliefLine) {
        supplier: String, stream: StreamId,
        tests: u32 = line.belief.tests,
        value: f64 = line.belief.mean, mean_sd: f64 = line.belief.mean_sd,
        lot_sd: f64 = line.belief.lot_sd(),
        low: f64 = line.belief.interval(INTERVAL, 0.0).0,
        high: f64 = line.belief.interval(INTERVAL, 0.0).1,
        interval: f64 = INTERVAL,
        book: Option<f64> = line.belief.book.map(|book| book.value()),
        book_sd: Option<f64> = line.belief.book.map(|book| book.sd()),
        book_weight: f64 = line.belief.book_weight,
        in_use: bool = line.belief.is_enough(),
        origin: Said = line.belief.origin(),
    }

    Tested(test: Backtest) {
        tests: u32 = test.told,
        too_early: u32, error: f64, book_error: f64, covered: f64,
        interval: f64 = INTERVAL,
    }

    Keeping(line: &KeepingLine) {
        stream: StreamId, lots: usize, spoiled: usize,
        days: Option<f64> = line.age.as_ref().ok().map(|age| age.days),
        low: Option<f64> = line.age.as_ref().ok().map(|age| age.low),
        high: Option<f64> = line.age.as_ref().ok().and_then(|age| age.high),
        not_told: Option<Said> = line.age.clone().err(),
        book_days: Option<f64>,
    }

    Ration(line: &RationLine) {
        stage: String,
        asked: Option<f64> = line.due_mg,
        left_out: usize,
        own: OwnFigures = OwnFigures::from(&Beside { own: line.own, published: None, place: None }),
    }

    RationStudied((of, evidence): &(RationStudy, String)) {
        study: String = of.study.clone(), fed: String = of.fed.clone(),
        mg: (f64, f64) = of.mg_dm, days: (f64, f64) = of.days,
        result: String = of.result.clone(), evidence: String = evidence.clone(),
    }

    Converted((metric, own): &(Metric, Beside)) {
        figure: &'static str = metric.key(),
        own: OwnFigures = OwnFigures::from(own),
    }

    Proposed(offer: &Offered) {
        key: String,
        what: Said = offer.proposal.subject.said(),
        unit: Said = offer.proposal.subject.unit(),
        from: Option<f64> = offer.proposal.from, to: f64 = offer.proposal.to,
        count: usize = offer.proposal.count, spread: f64 = offer.proposal.spread,
        error: Option<f64> = offer.proposal.error,
        evidence: Said = offer.proposal.origin.clone(),
    }

    /// The farm's own cohorts beside what others published.
    OwnFigures(of: &Beside) {
        cohorts: Option<usize> = of.own.map(|own| own.count),
        median: Option<f64> = of.own.map(|own| own.median),
        lower: Option<f64> = of.own.map(|own| own.lower),
        upper: Option<f64> = of.own.map(|own| own.upper),
        published: Option<PublishedRange> = of.published.as_ref().map(PublishedRange::from),
    }

    PublishedRange(range: &Published) {
        low: f64, high: f64,
        studies: Vec<StudyRange> = each(&range.studies),
    }

    StudyRange(study: &Study) {
        of: String = study.feed.clone(),
        low: f64, high: f64, boxes: Option<u32>,
        source: String = study.source.citation.clone(),
        evidence: &'static str = study.source.evidence.label(),
    }
}
