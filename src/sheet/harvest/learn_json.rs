use crate::harvest::Metric;
use crate::larvae::RationStudy;
use crate::learn::{Backtest, Beside, INTERVAL, Published, Study};
use crate::quantity::wire::{each, view};
use crate::stream::StreamId;
use crate::words::Said;

use super::learn::{
    AdoptedLine, BeliefLine, KeepingLine, LearnSheet, Offered, RationLine, RationTotal,
};

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
