use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::learned::Tests;
use super::yields::yields_and_feed;
use crate::acts::farm::cohort::on_trays;
use crate::acts::night::{local_day, night_begun};
use crate::acts::{ActError, Asked, CohortFeed, Desk, FarmSettings, Result, Tables, YieldAsked};
use crate::daybook::{Adopted, CohortLife, Daybook, Entry, Filed, LotFate, OwnFigure};
use crate::harvest::Metric;
use crate::larvae::{Course, RationStudy, Stage, course};
use crate::learn::{
    INTERVAL, Keeping, Kept, Own, Proposal, SPOILED_SHARE, Subject, beside, keeping,
    keeping_proposal, ration_proposal,
};
use crate::sheet::{
    AdoptedLine, BeliefLine, CohortYield, KeepingLine, LearnSheet, Offered, RationLine, RationTotal,
};
use crate::stream::StreamId;
use crate::words::say;

/// What the farm's own records say against the tables, and what could be taken over.
pub fn learn((book, farm, tables): Desk<'_>, until: Timestamp) -> Result<LearnSheet> {
    book.at_one_moment(|book| {
        // Compared with the tables as shipped or given, so that what was taken
        // over is not taken over a second time.
        let tests = Tests::of(book, until)?;
        let own = book.own_figures(until)?;
        let (cohorts, feed) =
            yields_and_feed((book, farm, tables), None, YieldAsked::default(), until)?;
        let keepings = keepings(&book.lot_fates(until)?);
        let keeping_lines: Vec<KeepingLine> = keepings
            .iter()
            .map(|(stream, keeping)| keeping_line(stream, keeping, tables))
            .collect();
        let lives = book.cohort_lives(until)?;
        let cohort_rations = rations(&lives, &feed, tables, (&farm.zone, until));
        let rations = ration_lines(&cohort_rations, tables);
        let offered = offered(&keepings, &rations, tables)
            .into_iter()
            .filter(|offer| !own.contains_key(&own_figure(&offer.proposal.subject)))
            .collect();
        Ok(LearnSheet {
            moisture: lines(tests.moisture(tables)),
            density: lines(tests.density(tables)),
            backtest: tests.backtest(tables),
            keeping: keeping_lines,
            rations,
            ration_total: ration_total(&cohort_rations),
            ration_studies: ration_studies(tables),
            conversion: conversions(&cohorts, tables),
            offered,
            adopted: own.into_values().map(adopted_line).collect(),
        })
    })
}

/// Takes a proposal over, by the owner's word.
///
/// # Errors
/// When nothing of that name is proposed.
pub fn take_over(
    book: &mut Daybook,
    farm: &FarmSettings,
    tables: &Tables,
    key: &str,
    asked: &Asked,
) -> Result<(i64, Adopted)> {
    if let Some(found) = book.find_record(&asked.id)?
        && found.record.content.id == asked.id
        && let Entry::Adopted(before) = found.record.content.entry
    {
        return Ok((found.record.seq, before));
    }
    let sheet = learn((book, farm, tables), asked.now)?;
    let Some(offer) = sheet.offered.iter().find(|offer| offer.key == key) else {
        let keys = sheet.offered.iter().map(|offer| offer.key.as_str());
        return Err(ActError::not_found("proposal", key, keys));
    };
    let (what, subject) = own_figure(&offer.proposal.subject);
    let own = Adopted {
        value: recorded_value(what, &offer.proposal),
        what,
        subject,
        before: offer.proposal.from,
        evidence: offer.proposal.origin.in_english(),
    };
    book.write(asked.now, |writing| {
        let appended = writing.append(&asked.record(Entry::Adopted(own.clone())))?;
        Ok((appended.seq, own))
    })
}

fn lines(beliefs: BTreeMap<(String, StreamId), crate::learn::Learned>) -> Vec<BeliefLine> {
    let told = beliefs.into_iter();
    told.map(|((supplier, stream), belief)| BeliefLine {
        supplier,
        stream,
        belief,
    })
    .collect()
}

/// The curve of lots that keep, by stream, where any was found spoiled.
fn keepings(fates: &[LotFate]) -> BTreeMap<StreamId, Keeping> {
    let mut lots: BTreeMap<StreamId, Vec<Kept>> = BTreeMap::new();
    for fate in fates {
        let age_days = fate.left.duration_since(fate.came).as_secs_f64() / 86_400.0;
        lots.entry(fate.stream.clone()).or_default().push(Kept {
            age_days,
            spoiled: fate.spoiled,
        });
    }
    lots.retain(|_, lots| lots.iter().any(|lot| lot.spoiled));
    let curve = |(stream, lots): (StreamId, Vec<Kept>)| (stream, keeping(&lots));
    lots.into_iter().map(curve).collect()
}

fn keeping_line(stream: &StreamId, keeping: &Keeping, tables: &Tables) -> KeepingLine {
    let in_table = tables.streams.get(stream);
    KeepingLine {
        stream: stream.clone(),
        lots: keeping.lots,
        spoiled: keeping.spoiled,
        age: keeping.spoiled_by(SPOILED_SHARE, INTERVAL),
        book_days: in_table.and_then(|stream| stream.keeps_days),
    }
}

/// What others fed, each with how well that is supported.
fn ration_studies(tables: &Tables) -> Vec<(RationStudy, String)> {
    let told = |study: &RationStudy| {
        let source = tables.sources.get(&study.source);
        let label = source.map_or("farm's own", |source| source.evidence.label());
        (study.clone(), label.to_owned())
    };
    tables.stages.ration_studies.iter().map(told).collect()
}

/// Below this share of the nights due, a cohort's record of feeding is no
/// guide to its ration (our default).
const FED_SHARE_LEAST: f64 = 0.8;

/// What a cohort got in a stage beside what it was due there by its feeding plan.
struct StageRation {
    stage: String,
    got_mg: f64,
    course: Course,
    meals: i32,
}

impl StageRation {
    fn is_a_guide(&self) -> bool {
        f64::from(self.meals) >= FED_SHARE_LEAST * f64::from(self.course.meals)
    }

    fn per_day(&self, mg: f64) -> f64 {
        mg / f64::from(self.course.days)
    }
}

/// By cohort, what it got in the stages it was fed in, over its nights on the trays.
fn rations(
    lives: &[CohortLife],
    feed: &CohortFeed,
    tables: &Tables,
    (zone, until): (&TimeZone, Timestamp),
) -> Vec<Vec<StageRation>> {
    let of_cohort = |life: &CohortLife| {
        let given = feed.given.get(&life.cohort.seq)?;
        let cohort = on_trays(&life.cohort, zone);
        let end = match &life.ended {
            Some((at, _)) => local_day(*at, zone),
            None => night_begun(until, zone),
        };
        #[expect(clippy::cast_precision_loss, reason = "counts stay below 2^53")]
        let larvae = cohort.larvae as f64;
        let courses = course(&cohort, end, &tables.stages).into_iter();
        let stages = courses.map(|(stage, course)| {
            let fed = given.stages.get(&stage).copied().unwrap_or_default();
            StageRation {
                got_mg: fed.dry_matter_kg * 1e6 / larvae,
                meals: fed.nights,
                stage,
                course,
            }
        });
        Some(stages.collect())
    };
    lives.iter().filter_map(of_cohort).collect()
}

/// One line a stage, in the table's order.
fn ration_lines(cohorts: &[Vec<StageRation>], tables: &Tables) -> Vec<RationLine> {
    let line = |stage: &Stage| {
        let all = cohorts.iter().flatten();
        let of_stage: Vec<&StageRation> = all.filter(|of| of.stage == stage.name).collect();
        let (guides, sparse): (Vec<_>, Vec<_>) =
            of_stage.into_iter().partition(|of| of.is_a_guide());
        let figures = |figure: &dyn Fn(&StageRation) -> f64| -> Vec<f64> {
            guides.iter().map(|of| figure(of)).collect()
        };
        let nights = |count: &dyn Fn(&StageRation) -> i32| sparse.iter().map(|of| count(of)).sum();
        let line = RationLine {
            stage: stage.name.clone(),
            own: Own::of(&figures(&|of| of.per_day(of.got_mg))),
            due_mg: Own::of(&figures(&|of| of.per_day(of.course.mg_dm))).map(|due| due.median),
            left_out: sparse.len(),
            left_out_meals: (nights(&|of| of.meals), nights(&|of| of.course.meals)),
        };
        (line.own.is_some() || line.left_out > 0).then_some(line)
    };
    tables.stages.stages.iter().filter_map(line).collect()
}

/// What cohorts got in all their stages, where every one of these is a guide.
fn ration_total(cohorts: &[Vec<StageRation>]) -> Option<RationTotal> {
    let whole = |of: &&Vec<StageRation>| !of.is_empty() && of.iter().all(StageRation::is_a_guide);
    let whole: Vec<&Vec<StageRation>> = cohorts.iter().filter(whole).collect();
    let median = |figure: &dyn Fn(&StageRation) -> f64| {
        let sums: Vec<f64> = (whole.iter())
            .map(|of| of.iter().map(figure).sum())
            .collect();
        Own::of(&sums).map(|own| own.median)
    };
    Some(RationTotal {
        cohorts: whole.len(),
        got_mg: median(&|of| of.got_mg)?,
        due_mg: median(&|of| of.course.mg_dm)?,
        days: median(&|of| f64::from(of.course.days))?,
    })
}

fn conversions(cohorts: &[CohortYield], tables: &Tables) -> Vec<(Metric, crate::learn::Beside)> {
    let told = |metric: Metric| {
        let figures = cohorts.iter().map(|cohort| cohort.conversion.value(metric));
        let figures: Vec<f64> = figures.flatten().collect();
        (metric, beside(&figures, tables.published.range(metric)))
    };
    let told = Metric::ALL.into_iter().map(told);
    told.filter(|(_, beside)| beside.own.is_some()).collect()
}

fn offered(
    keepings: &BTreeMap<StreamId, Keeping>,
    rations: &[RationLine],
    tables: &Tables,
) -> Vec<Offered> {
    let mut offers = Vec::new();
    for (stream, keeping) in keepings {
        if let Some(in_table) = tables.streams.get(stream) {
            let offer = keeping_proposal(stream, in_table.keeps_days, keeping, INTERVAL);
            offers.extend(offer.ok().flatten());
        }
    }
    for of in rations {
        let own = of.own.as_ref();
        let proposal = own.and_then(|own| ration_proposal(&of.stage, of.due_mg, own));
        // A factor on the table's rations needs one there.
        offers.extend(proposal.filter(|_| of.due_mg.is_some_and(|due| due > 0.0)));
    }
    // A keeping time or ration of nothing would stop the farm.
    offers.retain(|of| of.to > 0.0 && is_worth_it(of));
    let offered = offers.into_iter().map(|proposal| {
        let (what, subject) = own_figure(&proposal.subject);
        let key = key_of(what, &subject);
        Offered { key, proposal }
    });
    offered.collect()
}

/// The record a taken proposal becomes.
fn own_figure(subject: &Subject) -> (OwnFigure, String) {
    match subject {
        Subject::Keeping { stream } => (OwnFigure::KeepsDays, stream.as_str().to_owned()),
        Subject::Ration { stage } => (OwnFigure::Ration, stage.clone()),
    }
}

fn recorded_value(what: OwnFigure, proposal: &Proposal) -> f64 {
    match (what, proposal.from) {
        (OwnFigure::Ration, Some(from)) => proposal.to / from,
        _ => proposal.to,
    }
}

fn key_of(what: OwnFigure, subject: &str) -> String {
    format!("{}:{subject}", what.as_str())
}

fn adopted_line(filed: Filed<Adopted>) -> AdoptedLine {
    let own = filed.entry;
    AdoptedLine {
        record: filed.seq,
        at: filed.at,
        by: filed.by,
        key: key_of(own.what, &own.subject),
        what: match own.what {
            OwnFigure::KeepsDays => {
                let days = format!("{:.1}", own.value);
                say!("learn-keeps", stream = own.subject, days)
            }
            OwnFigure::Ration => {
                let times = format!("{:.2}", own.value);
                say!("learn-ration-times", stage = own.subject, times)
            }
        },
        value: own.value,
        before: own.before,
        evidence: own.evidence,
    }
}

/// A change of less than this share of a default is not put before the owner (our default).
const LEAST_CHANGE: f64 = 0.05;

fn is_worth_it(proposal: &Proposal) -> bool {
    (proposal.from).is_none_or(|from| (proposal.to - from).abs() >= LEAST_CHANGE * from.abs())
}
