pub(super) mod learn;

use crate::acts::{HarvestAsked, Harvested, YieldAsked, record_harvest, yields};
use crate::cli::*;
use crate::daybook::ResidueTo;
use crate::harvest::{NitrogenFactor, StartWeight};
use crate::sheet::{sieving_cautions, sold_caution, yields_document};
use crate::words::say;

#[derive(clap::Args)]
pub(super) struct Args {
    /// The cohort, or its record such as r57; all of them if left out
    cohort: Option<String>,
    /// Record a harvest: fresh weight of the larvae
    #[arg(long, requires = "cohort", conflicts_with_all = ["csv", "html", "xlsx"], value_name = "WEIGHT", allow_hyphen_values = true)]
    larvae: Option<String>,
    #[command(flatten)]
    told: Told,
    /// What larval nitrogen is multiplied by: 6.25, 5.65, 5.60, 4.76 or your own
    #[arg(long, value_name = "FACTOR", value_parser = factor)]
    nitrogen_factor: Option<NitrogenFactor>,
    /// Dry weight of a larva at the start in milligrams, or `none` to leave it in
    #[arg(long, value_name = "MG", value_parser = start)]
    start_weight: Option<StartWeight>,
    #[command(flatten)]
    paper: PaperArgs,
}

/// What is said of the larvae besides their weight.
#[derive(clap::Args)]
#[group(requires = "larvae")]
struct Told {
    /// Moisture of the larvae, per cent of the fresh weight
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    larvae_moisture: Option<String>,
    /// Nitrogen of the larvae, per cent of dry matter
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    larvae_nitrogen: Option<String>,
    /// How many larvae, all of them counted
    #[arg(
        long,
        conflicts_with = "sample",
        value_name = "NUMBER",
        allow_hyphen_values = true
    )]
    count: Option<String>,
    /// A sample instead: so many larvae weighed so many grams, as 100=15.2
    #[arg(long, value_name = "NUMBER=GRAMS")]
    sample: Option<String>,
    /// Dead larvae seen
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    dead: Option<String>,
    /// Weight of the residue; left out while it goes back on the trays
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    residue: Option<String>,
    /// Moisture of the residue, per cent of its weight
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    residue_moisture: Option<String>,
    /// Where the residue goes
    #[arg(long, value_name = "WHERE", value_parser = word(ResidueTo::parse, ResidueTo::accepted))]
    residue_to: Option<ResidueTo>,
    /// Nothing is left on the trays: ends the cohort
    #[arg(long)]
    last: bool,
    /// Free text
    #[arg(long)]
    note: Option<String>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
}

/// Larvae counted and their grams, as `100=15.2`.
pub(super) fn sample(
    flag: &'static str,
    text: &str,
    reader: Reader,
) -> Result<(i64, f64), CliError> {
    let refused = || Rejection::new(flag, text, say!("accepted-number-grams"));
    let (larvae, grams) = text.split_once('=').ok_or_else(refused)?;
    let larvae = typed(flag, larvae, reader, Reader::count)?;
    Ok((larvae, typed(flag, grams, reader, Reader::grams)?))
}

fn factor(text: &str) -> Result<NitrogenFactor, String> {
    let number = figure(text).unwrap_or(f64::NAN);
    NitrogenFactor::of(number)
        .map_err(|error| format!("accepted: {}", error.accepted().in_english()))
}

fn start(text: &str) -> Result<StartWeight, String> {
    if text == "none" {
        return Ok(StartWeight::LeftOut);
    }
    let accepted = || "accepted: milligrams from 0 to 100, such as 0.5, or none".to_owned();
    let mg_dry = figure(text).ok_or_else(accepted)?;
    if (0.0..=100.0).contains(&mg_dry) {
        Ok(StartWeight::Subtracted { mg_dry })
    } else {
        Err(accepted())
    }
}

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    match (&args.cohort, &args.larvae) {
        (Some(cohort), Some(larvae)) => record(setting, args, cohort, larvae),
        _ => show(setting, args),
    }
}

fn record(setting: &Setting, args: &Args, cohort: &str, larvae: &str) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let told = &args.told;
    let number = |flag, text: &Option<String>| if_any(flag, text, reader, Reader::number);
    let count = |flag, text: &Option<String>| if_any(flag, text, reader, Reader::count);
    let sample = (told.sample.as_deref())
        .map(|text| sample("--sample", text, reader))
        .transpose()?;
    let wanted = HarvestAsked {
        cohort: cohort.to_owned(),
        larvae: typed("--larvae", larvae, reader, Reader::weight)?,
        larvae_moisture_pct: number("--larvae-moisture", &told.larvae_moisture)?,
        larvae_nitrogen_dm_pct: number("--larvae-nitrogen", &told.larvae_nitrogen)?,
        counted: count("--count", &told.count)?,
        sample,
        dead: count("--dead", &told.dead)?,
        residue: if_any("--residue", &told.residue, reader, Reader::weight)?,
        residue_moisture_pct: number("--residue-moisture", &told.residue_moisture)?,
        residue_to: told.residue_to,
        last: told.last,
        note: told.note.clone(),
        sure: told.sure,
    };
    let asked = setting.asked(&farm.zone)?;
    let done = unless_doubted(setting, asked, told.sure, |asked| {
        record_harvest(&mut book, &wanted, asked)
    })?;
    let larvae = farm.units.told(wanted.larvae.grams());
    setting.answer(&done, &recorded(&done, &wanted, &larvae))
}

fn recorded(done: &Harvested, wanted: &HarvestAsked, larvae: &str) -> Document {
    let cohort = &done.cohort;
    let mut document = Document::titled(say!("harvest-title", cohort, larvae));
    if done.already_there {
        document.line(say!("ticket-there-already"));
    }
    if wanted.last {
        document.line(say!("harvest-last", cohort));
    } else if wanted.residue.is_none() {
        document.line(say!("harvest-residue-back"));
    }
    if wanted.counted.is_none() && wanted.sample.is_none() {
        document.line(say!("harvest-no-count"));
    }
    for caution in sieving_cautions().into_iter().chain([sold_caution()]) {
        document.caution(say!("caution", caution));
    }
    let (seq, cohort) = (done.record, done.cohort_seq);
    let next = match done.ended {
        Some(end) => say!("harvest-next-last", cohort, seq, end),
        None => say!("harvest-next", cohort, seq),
    };
    document.next(next);
    document
}

fn show(setting: &Setting, args: &Args) -> Done {
    let papers = args.paper.ready(setting)?;
    let (book, farm, tables) = setting.open_all()?;
    let how = YieldAsked {
        factor: args.nitrogen_factor.unwrap_or_default(),
        start: args.start_weight.unwrap_or_default(),
        since: None,
    };
    let cohort = args.cohort.as_deref();
    let sheet = yields((&book, &farm, &tables), cohort, how, setting.now)?;
    let page = |sheet: &_, _| yields_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
