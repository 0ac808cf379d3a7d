//! What is done with one lot: a moisture test, a look, a new weighing, a way out.

use crate::acts::{
    AssayReading, LookAsked, SQUEEZE_GRADES, assay as assay_act, discard as discard_act, find_lot,
    look as look_act, reweigh as reweigh_act, stock_now,
};
use crate::cli::ask::{needed_read, needed_text, read_if_any, yes_or_no};
use crate::cli::*;
use crate::daybook::{OutflowKind, Outlet, SPOILED};
use crate::sheet::{one_decimal, stock_document};

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The lot: its ticket
    lot: Option<String>,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(clap::Subcommand)]
enum Act {
    /// Record a moisture test of it
    Test(TestArgs),
    /// Record that it was looked at, past its time: fit or not, for one night
    Look(LookArgs),
    /// Record what the scale says of it now
    Weigh(WeighArgs),
    /// Record weight of it that leaves the stock another way than fed
    Discard(DiscardArgs),
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    match &args.act {
        None => show(setting, &args.lot),
        Some(Act::Test(act)) => test(setting, &args.lot, act),
        Some(Act::Look(act)) => look(setting, &args.lot, act),
        Some(Act::Weigh(act)) => weigh(setting, &args.lot, act),
        Some(Act::Discard(act)) => discard(setting, &args.lot, act),
    }
}

/// An act under the name it once had.
#[derive(clap::Args)]
pub(crate) struct Former<A: clap::Args> {
    lot: Option<String>,
    #[command(flatten)]
    act: A,
}

macro_rules! former {
    ($($name:ident($args:ty) = $old:literal, $act:ident;)+) => {$(
        pub(crate) fn $name(setting: &Setting, args: &Former<$args>) -> Done {
            output::renamed($old, concat!("lot LOT ", stringify!($act)));
            $act(setting, &args.lot, &args.act)
        }
    )+};
}

former! {
    assay(TestArgs) = "assay", test;
    look_once(LookArgs) = "look", look;
    reweigh(WeighArgs) = "reweigh", weigh;
    discard_once(DiscardArgs) = "discard", discard;
}

fn show(setting: &Setting, lot: &Option<String>) -> Done {
    let (book, farm, tables) = setting.open_all()?;
    let (_, lot) = find_lot(&book, &lot_asked(setting, lot)?)?;
    let at = setting.asked(&farm.zone)?.at;
    let mut view = stock_now((&book, &farm, &tables), at)?;
    view.lots.retain(|one| one.book.name == lot);
    let mut document = match view.lots.is_empty() {
        true => Document::titled(say!("lot-used-up", lot)),
        false => stock_document(&view, 1),
    };
    document.next(say!("lot-next", lot));
    setting.list(to_json::each::<_, to_json::LotLine>(&view.lots), &document)
}

#[derive(clap::Args)]
pub(crate) struct TestArgs {
    /// Sample before drying, grams
    #[arg(
        long,
        requires = "dry",
        value_name = "GRAMS",
        allow_hyphen_values = true
    )]
    wet: Option<String>,
    /// Sample after drying, grams; given again for each drying after it, the last one counts
    #[arg(
        long,
        requires = "wet",
        value_name = "GRAMS",
        allow_hyphen_values = true
    )]
    dry: Vec<String>,
    /// The dish alone, grams, where each weight has it in it
    #[arg(
        long,
        requires = "wet",
        value_name = "GRAMS",
        allow_hyphen_values = true
    )]
    dish: Option<String>,
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

fn test(setting: &Setting, lot: &Option<String>, args: &TestArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let lot = lot_asked(setting, lot)?;
    let reading = match (&args.wet, &args.dry[..], &args.squeeze) {
        (_, _, Some(grade)) => AssayReading::Squeezed {
            grade: grade.clone(),
        },
        (Some(wet), dry @ [_, ..], None) => AssayReading::Dried {
            dish_g: match &args.dish {
                Some(dish) => typed("--dish", dish, reader, Reader::grams)?,
                None => 0.0,
            },
            wet_g: typed("--wet", wet, reader, Reader::grams)?,
            dried_g: (dry.iter())
                .map(|dry| typed("--dry", dry, reader, Reader::grams))
                .collect::<Result<_, _>>()?,
            method: args.method.clone(),
        },
        _ => asked_reading(setting, args, reader)?,
    };
    let tables = setting.tables_of(&book)?;
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
    args: &TestArgs,
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
            dish_g: 0.0,
            wet_g: grams("--wet", text)?,
            dried_g: Vec::new(),
            method: args.method.clone(),
        })
    })?;
    let AssayReading::Dried { wet_g, method, .. } = wet else {
        return Ok(wet);
    };
    let dry = (say!("ask-dry"), say!("ask-dry-form"));
    let dry_g = needed_read(setting, "--dry", None, dry, |text| grams("--dry", text))?;
    Ok(AssayReading::Dried {
        dish_g: 0.0,
        wet_g,
        dried_g: vec![dry_g],
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
    /// It may be fed this night
    #[arg(long, conflicts_with = "not_fit")]
    fit: bool,
    /// It may not be fed this night; say why with --note
    #[arg(long)]
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

fn look(setting: &Setting, lot: &Option<String>, args: &LookArgs) -> Done {
    let (mut book, farm, tables) = setting.open_all()?;
    let asked = setting.asked(&farm.zone)?;
    let night = night_of(asked.at, args.night, &farm);
    let lot = lot_asked(setting, lot)?;
    let said = match (args.fit, args.not_fit) {
        (false, false) => None,
        (fit, _) => Some(if fit { "yes" } else { "no" }),
    };
    let asks = (say!("ask-fit"), say!("ask-yes-or-no"));
    let fit = needed_read(setting, "--fit or --not-fit", said, asks, |text| {
        yes_or_no(text).ok_or_else(|| Rejection::new("--fit", text, say!("ask-yes-or-no")).into())
    })?;
    let note = match fit {
        true => args.note.clone(),
        false => {
            let asks = (say!("ask-seen"), say!("ask-seen-form"));
            Some(needed_text(setting, "--note", args.note.as_deref(), asks)?)
        }
    };
    let wanted = LookAsked { lot, fit, note };
    let (record, lot) = unless_doubted(setting, asked, args.sure, |asked| {
        look_act(&mut book, &farm, &tables, &wanted, night, asked)
    })?;
    let night = night.day;
    let mut document = Document::titled(if fit {
        say!("look-fit", lot, night)
    } else {
        say!("look-not-fit", lot, night)
    });
    let kept = output::and_to_strike(say!("look-kept"), record);
    document.next(kept);
    let done = json!({"record": record, "lot": lot, "night": night.to_string(), "fit": fit});
    setting.answer(done, &document)
}

#[derive(clap::Args)]
pub(crate) struct WeighArgs {
    /// What the scale says now, without the container
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
}

fn weigh(setting: &Setting, lot: &Option<String>, args: &WeighArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let lot = lot_asked(setting, lot)?;
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

fn discard(setting: &Setting, lot: &Option<String>, args: &DiscardArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let lot = lot_asked(setting, lot)?;
    let to = (say!("ask-outlet"), OUTLETS.into());
    let to = needed_read(setting, "--to", args.to.as_deref(), to, outlet)?;
    let weight = |text: &str| typed("--weight", text, reader, Reader::weight);
    let wanted = match &args.weight {
        Some(text) => Some(weight(text)?),
        // Who was asked where it goes is asked how much of it, too.
        None if args.to.is_none() => {
            read_if_any(&say!("ask-how-much"), &say!("ask-how-much-form"), weight)?
        }
        None => None,
    };
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
