//! Commands about one lot: a moisture test, a look, a new weighing, a way out.

use crate::acts::{
    AssayReading, LookAsked, SQUEEZE_GRADES, assay as assay_act, discard as discard_act,
    look as look_act, reweigh as reweigh_act,
};
use crate::cli::ask::{needed_read, needed_text};
use crate::cli::*;
use crate::daybook::{OutflowKind, Outlet, SPOILED};
use crate::sheet::one_decimal;

#[derive(clap::Args)]
pub(crate) struct AssayArgs {
    /// The lot: its ticket
    lot: Option<String>,
    /// Sample before drying, grams
    #[arg(
        long,
        requires = "dry",
        value_name = "GRAMS",
        allow_hyphen_values = true
    )]
    wet: Option<String>,
    /// Sample after drying, grams
    #[arg(
        long,
        requires = "wet",
        value_name = "GRAMS",
        allow_hyphen_values = true
    )]
    dry: Option<String>,
    /// How it was dried
    #[arg(long, default_value = "microwave", value_parser = ["oven", "microwave"])]
    method: String,
    /// The hand squeeze instead: runs, just, holds, slow, fast
    #[arg(long, conflicts_with_all = ["wet", "dry"], value_parser = SQUEEZE_GRADES.map(|grade| grade.word))]
    squeeze: Option<String>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
}

pub(crate) fn assay(setting: &Setting, args: &AssayArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let lot = lot_asked(setting, &args.lot)?;
    let reading = match (&args.wet, &args.dry, &args.squeeze) {
        (_, _, Some(grade)) => AssayReading::Squeezed {
            grade: grade.clone(),
        },
        (Some(wet), Some(dry), None) => AssayReading::Dried {
            wet_g: typed("--wet", wet, reader, Reader::grams)?,
            dry_g: typed("--dry", dry, reader, Reader::grams)?,
            method: args.method.clone(),
        },
        _ => asked_reading(setting, args, reader)?,
    };
    let tables = setting.load_tables()?;
    let asked = setting.asked(&farm.zone)?;
    let tested = unless_doubted(setting, asked, args.sure, |asked| {
        assay_act(&mut book, &lot, &reading, &tables.streams, asked)
    })?;
    let (lot, stream) = (&tested.lot, &tested.stream);
    let (pct, spread) = (
        one_decimal(tested.moisture_pct),
        one_decimal(tested.moisture_sd),
    );
    let mut document = Document::titled(say!("assay-title", lot, stream, pct, spread));
    if tested.method == "squeeze" {
        document.line(say!("assay-squeeze"));
    } else if tested.method == "microwave" {
        let caution = say!("assay-microwave");
        document.caution(say!("caution", caution));
    }
    let kept = output::and_to_strike(say!("assay-kept"), tested.record);
    document.next(kept);
    setting.answer(tested, &document)
}

/// The test as a person tells it: a squeeze, or grams before and after drying.
fn asked_reading(
    setting: &Setting,
    args: &AssayArgs,
    reader: Reader,
) -> Result<AssayReading, CliError> {
    let grades = SQUEEZE_GRADES.map(|grade| say!("squeeze-grade", grade.word));
    let tested = (
        say!("ask-tested"),
        say!("ask-tested-form", grades = Said::joined(grades, "; ")),
    );
    let grams = |flag, text: &str| typed(flag, text, reader, Reader::grams);
    let is_grade = |text: &str| SQUEEZE_GRADES.iter().any(|grade| grade.word == text);
    let flags = "--wet and --dry, or --squeeze";
    let wet = needed_read(setting, flags, None, tested, |text| {
        if is_grade(text) {
            let grade = text.to_owned();
            return Ok(AssayReading::Squeezed { grade });
        }
        Ok(AssayReading::Dried {
            wet_g: grams("--wet", text)?,
            dry_g: 0.0,
            method: args.method.clone(),
        })
    })?;
    let AssayReading::Dried { wet_g, method, .. } = wet else {
        return Ok(wet);
    };
    let dry = (say!("ask-dry"), say!("ask-dry-form"));
    let dry_g = needed_read(setting, "--dry", None, dry, |text| grams("--dry", text))?;
    Ok(AssayReading::Dried {
        wet_g,
        dry_g,
        method,
    })
}

/// The lot given or asked for.
fn lot_asked(setting: &Setting, given: &Option<String>) -> Result<String, CliError> {
    let question = (say!("ask-lot"), say!("ask-lot-form"));
    needed_text(setting, "LOT", given.as_deref(), question)
}

#[derive(clap::Args)]
pub(crate) struct LookArgs {
    /// The lot: its ticket
    lot: Option<String>,
    /// It may be fed this night
    #[arg(long, conflicts_with = "not_fit", required_unless_present = "not_fit")]
    fit: bool,
    /// It may not be fed this night; say why with --note
    #[arg(long, requires = "note")]
    not_fit: bool,
    /// What was seen
    #[arg(long)]
    note: Option<String>,
    /// The night it is for, if not this one: its day
    #[arg(long, value_name = "DAY", value_parser = day)]
    night: Option<jiff::civil::Date>,
    /// It is meant, however old the lot is
    #[arg(long)]
    sure: bool,
}

pub(crate) fn look(setting: &Setting, args: &LookArgs) -> Done {
    let (mut book, farm, tables) = setting.open_all()?;
    let asked = setting.asked(&farm.zone)?;
    let night = night_of(asked.at, args.night, &farm);
    let wanted = LookAsked {
        lot: lot_asked(setting, &args.lot)?,
        fit: args.fit,
        note: args.note.clone(),
    };
    let (record, lot) = unless_doubted(setting, asked, args.sure, |asked| {
        look_act(&mut book, &farm, &tables, &wanted, night, asked)
    })?;
    let night = night.day;
    let mut document = Document::titled(if args.fit {
        say!("look-fit", lot, night)
    } else {
        say!("look-not-fit", lot, night)
    });
    let kept = output::and_to_strike(say!("look-kept"), record);
    document.next(kept);
    let done = json!({"record": record, "lot": lot, "night": night.to_string(), "fit": args.fit});
    setting.answer(done, &document)
}

#[derive(clap::Args)]
pub(crate) struct ReweighArgs {
    /// The lot: its ticket
    lot: Option<String>,
    /// What the scale says now, without the container
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
}

pub(crate) fn reweigh(setting: &Setting, args: &ReweighArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let lot = lot_asked(setting, &args.lot)?;
    let weight = (say!("ask-weight-now"), say!("ask-weight-form"));
    let found = needed_read(
        setting,
        "--weight",
        args.weight.as_deref(),
        weight,
        |text| typed("--weight", text, farm.units.reader(), Reader::weight),
    )?;
    let (record, lot, lost) = reweigh_act(&mut book, &lot, &found, &setting.asked(&farm.zone)?)?;
    let weight = farm.units.told(found.grams());
    let mut document = Document::titled(say!("reweigh-title", lot, weight));
    document.line(say!("reweigh-shrink", weight = farm.units.told(lost)));
    document.next(output::to_strike(record));
    let done = json!({"record": record, "lot": lot, "found_g": found.grams(), "shrink_g": lost});
    setting.answer(done, &document)
}

#[derive(clap::Args)]
pub(crate) struct DiscardArgs {
    /// The lot: its ticket
    lot: Option<String>,
    /// Where it goes: compost, supplier, landfill, liquor, picked-out, animals, processing, digestion, combustion, land, discards, sewer
    #[arg(long, value_name = "WHERE")]
    to: Option<String>,
    /// How much; all of it if left out
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
    /// Why
    #[arg(long)]
    why: Option<String>,
    /// It was found spoiled: how long its stream keeps is learned from that
    #[arg(long)]
    spoiled: bool,
}

impl DiscardArgs {
    fn reason(&self) -> Option<String> {
        match (&self.why, self.spoiled) {
            (Some(why), true) => Some(format!("{SPOILED}: {why}")),
            (None, true) => Some(SPOILED.to_owned()),
            (why, false) => why.clone(),
        }
    }
}

const OUTLETS: &str = "compost, supplier, landfill, liquor, picked-out, animals, processing, digestion, combustion, land, discards, sewer";

fn outlet(text: &str) -> Result<Outlet, CliError> {
    let said = match text.trim() {
        "compost" => "composted",
        "supplier" => "returned",
        "landfill" => "landfilled",
        other => other,
    };
    Outlet::parse(said).ok_or_else(|| Rejection::new("--to", text, OUTLETS).into())
}

pub(crate) fn discard(setting: &Setting, args: &DiscardArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let lot = lot_asked(setting, &args.lot)?;
    let to = (say!("ask-outlet"), OUTLETS.into());
    let to = needed_read(setting, "--to", args.to.as_deref(), to, outlet)?;
    let wanted = if_any("--weight", &args.weight, reader, Reader::weight)?;
    let done = discard_act(
        &mut book,
        &lot,
        to,
        wanted.as_ref(),
        args.reason().as_deref(),
        farm.units,
        &setting.asked(&farm.zone)?,
    )?;
    let (lot, weight) = (&done.lot, farm.units.told(done.grams));
    let told = OutflowKind::To(to).said();
    let mut document = Document::titled(say!("discard-title", lot, weight, to = told));
    document.line(say!("discard-left", weight = farm.units.told(done.left)));
    if to == Outlet::Liquor {
        let caution = say!("discard-liquor");
        document.caution(say!("caution", caution));
    }
    document.next(output::to_strike(done.record));
    setting.answer(done, &document)
}
