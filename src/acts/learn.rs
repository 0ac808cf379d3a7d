use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::daybook::{Adopted, Book, Daybook, Entry, Filed, LotFate, OwnFigure};
use crate::harvest::Metric;
use crate::harvest::learn::{
    INTERVAL, Keeping, Kept, Own, Proposal, SPOILED_SHARE, Subject, beside, keeping,
    keeping_proposal, published_ration, ration_proposal,
};
use crate::sheet::{
    AdoptedLine, BeliefLine, CohortYield, KeepingLine, LearnSheet, Offered, RationLine,
};
use crate::stream::StreamId;
use crate::table::nearest_names;

use super::error::Rejection;
use super::learned::Tests;
use super::yields::all_yields;
use super::{ActError, Asked, CohortFeed, FarmSettings, Tables, YieldAsked};

/// What the farm's own records say against the tables, and what could be taken over.
///
/// # Errors
/// When the book can't be read.
pub fn learn(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    until: Timestamp,
) -> Result<LearnSheet, ActError> {
    book.at_one_moment(|book| {
        // Compared with the tables as shipped or given, so that what was taken
        // over is not taken over a second time.
        let tests = Tests::of(book, until)?;
        let own = book.own_figures(until)?;
        let (cohorts, feed) = all_yields(book, farm, tables, YieldAsked::default(), until)?;
        let keepings = keepings(&book.lot_fates(until)?);
        let keeping_lines: Vec<KeepingLine> = keepings
            .iter()
            .map(|(stream, keeping)| keeping_line(stream, keeping, tables))
            .collect();
        let rations = rations(&feed);
        let offered = offered(&keepings, &rations, tables)
            .into_iter()
            .filter(|offer| {
                let figure = own_figure(&offer.proposal.subject);
                figure.is_some_and(|figure| !own.contains_key(&figure))
            })
            .collect();
        Ok(LearnSheet {
            moisture: lines(tests.moisture(tables)),
            density: lines(tests.density(tables)),
            backtest: tests.backtest(tables),
            keeping: keeping_lines,
            rations: rations.into_iter().map(ration_line).collect(),
            published_ration: published_ration(),
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
) -> Result<(i64, Adopted), ActError> {
    if let Some(found) = book.find_record(&asked.id)?
        && found.record.content.id == asked.id
        && let Entry::Adopted(before) = found.record.content.entry
    {
        return Ok((found.record.seq, before));
    }
    let sheet = learn(book, farm, tables, asked.now)?;
    let Some(offer) = sheet.offered.iter().find(|offer| offer.key == key) else {
        let keys: Vec<String> = sheet
            .offered
            .iter()
            .map(|offer| offer.key.clone())
            .collect();
        return Err(ActError::NotFound {
            what: "proposal",
            seen: key.to_owned(),
            nearest: nearest_names(key, keys.iter().map(String::as_str)),
        });
    };
    let Some((what, subject)) = own_figure(&offer.proposal.subject) else {
        return Err(Rejection::new("take", key, "a keeping time or a ration").into());
    };
    let own = Adopted {
        value: recorded_value(what, &offer.proposal),
        what,
        subject,
        before: offer.proposal.from,
        evidence: offer.proposal.origin.clone(),
    };
    book.write(asked.now, |writing| {
        let appended = writing.append(&asked.record(Entry::Adopted(own.clone())))?;
        Ok((appended.seq, own))
    })
}

fn lines(beliefs: BTreeMap<(String, StreamId), crate::harvest::learn::Learned>) -> Vec<BeliefLine> {
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
    let curves = lots.into_iter();
    curves
        .map(|(stream, lots)| (stream, keeping(&lots)))
        .collect()
}

fn keeping_line(stream: &StreamId, keeping: &Keeping, tables: &Tables) -> KeepingLine {
    KeepingLine {
        stream: stream.clone(),
        lots: keeping.lots,
        spoiled: keeping.spoiled,
        age: keeping.spoiled_by(SPOILED_SHARE, INTERVAL),
        book_days: tables
            .streams
            .get(stream)
            .and_then(|stream| stream.keeps_days),
    }
}

/// What cohorts got and were due while in a stage, mg of dry matter a larva and night.
struct StageRations {
    stage: String,
    got: Vec<f64>,
    due: Vec<f64>,
}

fn rations(feed: &CohortFeed) -> Vec<StageRations> {
    let mut stages: BTreeMap<&str, StageRations> = BTreeMap::new();
    for given in feed.given.values() {
        for (stage, fed) in &given.stages {
            if fed.larva_nights <= 0.0 {
                continue;
            }
            let of = stages.entry(stage).or_insert_with(|| StageRations {
                stage: stage.clone(),
                got: Vec::new(),
                due: Vec::new(),
            });
            of.got.push(fed.dry_matter_kg * 1e6 / fed.larva_nights);
            of.due.push(fed.asked_kg * 1e6 / fed.larva_nights);
        }
    }
    stages.into_values().collect()
}

fn ration_line(of: StageRations) -> RationLine {
    RationLine {
        own: beside(&of.got, Some(published_ration())),
        due_mg: Own::of(&of.due).map(|due| due.median),
        stage: of.stage,
    }
}

fn conversions(
    cohorts: &[CohortYield],
    tables: &Tables,
) -> Vec<(Metric, crate::harvest::learn::Beside)> {
    let figures = |metric: Metric| -> Vec<f64> {
        let told = cohorts
            .iter()
            .filter_map(|cohort| cohort.conversion.value(metric));
        told.collect()
    };
    Metric::ALL
        .into_iter()
        .map(|metric| {
            (
                metric,
                beside(&figures(metric), tables.published.range(metric)),
            )
        })
        .filter(|(_, beside)| beside.own.is_some())
        .collect()
}

fn offered(
    keepings: &BTreeMap<StreamId, Keeping>,
    rations: &[StageRations],
    tables: &Tables,
) -> Vec<Offered> {
    let mut offers = Vec::new();
    for (stream, keeping) in keepings {
        let Some(in_table) = tables.streams.get(stream) else {
            continue;
        };
        if let Ok(Some(proposal)) = keeping_proposal(stream, in_table.keeps_days, keeping, INTERVAL)
        {
            offers.push(proposal);
        }
    }
    for of in rations {
        let due = Own::of(&of.due).map(|due| due.median);
        let own = Own::of(&of.got);
        let proposal = own.and_then(|own| ration_proposal(&of.stage, due, &own));
        // A factor on the table's rations needs one there.
        offers.extend(proposal.filter(|_| due.is_some_and(|due| due > 0.0)));
    }
    let worth_it = offers
        .into_iter()
        .filter(|of| is_usable(of) && is_worth_it(of));
    worth_it
        .filter_map(|proposal| {
            let (what, subject) = own_figure(&proposal.subject)?;
            Some(Offered {
                key: key_of(what, &subject),
                proposal,
            })
        })
        .collect()
}

/// The record a taken proposal becomes; composition is used without one.
fn own_figure(subject: &Subject) -> Option<(OwnFigure, String)> {
    match subject {
        Subject::Keeping { stream } => Some((OwnFigure::KeepsDays, stream.to_string())),
        Subject::Ration { stage } => Some((OwnFigure::Ration, stage.clone())),
        Subject::Composition { .. } => None,
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
        words: match own.what {
            OwnFigure::KeepsDays => format!("{} keeps {:.1} days", own.subject, own.value),
            OwnFigure::Ration => format!("ration of {} times {:.2}", own.subject, own.value),
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

/// A keeping time or ration of nothing would stop the farm.
fn is_usable(proposal: &Proposal) -> bool {
    match proposal.subject {
        Subject::Keeping { .. } | Subject::Ration { .. } => proposal.to > 0.0,
        Subject::Composition { .. } => false,
    }
}
