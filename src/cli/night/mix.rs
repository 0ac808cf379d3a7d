use std::path::PathBuf;

use jiff::Timestamp;
use jiff::civil::Date;

use super::trust::TrustArgs;
use crate::acts::{MixAsked, mix_from_files, propose_mix, record_sheet};
use crate::blend::MixVerdict;
use crate::cli::ask::confirmed;
use crate::cli::farm::cohort;
use crate::cli::*;
use crate::quantity::{Division, Grams, MassUnit, NumberForm};
use crate::sheet::{MixSheet, mix_document};
use crate::words::say;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// A stock table instead of the daybook; - reads standard input
    #[arg(long, value_name = "FILE", requires = "targets")]
    stock: Option<PathBuf>,
    /// Targets (TOML) to go with it
    #[arg(long, value_name = "FILE", requires = "stock")]
    targets: Option<PathBuf>,
    /// Scale division for a mix from files, in kg or with its unit, such as 50g
    #[arg(long, default_value = "0.1", requires = "stock")]
    division: String,
    /// The night, if not tonight
    #[arg(long, value_name = "DAY", value_parser = day, conflicts_with = "stock")]
    night: Option<Date>,
    /// What may be bought: STREAM=LIMIT or STREAM=LIMIT@PRICE, price per kg
    #[arg(long, value_name = "STREAM=LIMIT@PRICE", conflicts_with = "stock")]
    buy: Vec<String>,
    /// The whole sheet: every figure with its window and chance, what stays, what is held back
    #[arg(long)]
    full: bool,
    /// Print only; do not record the sheet
    #[arg(long, conflicts_with = "stock")]
    look: bool,
    #[command(flatten)]
    trust: TrustArgs,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let mut sheet = match (&args.stock, &args.targets) {
        (Some(stock), Some(targets)) => from_files(setting, args, stock, targets)?,
        _ => from_book(setting, args)?,
    };
    sheet.is_full = args.full;
    setting.answer(to_json::MixAsked::from(&sheet), &mix_document(&sheet))?;
    Ok(match sheet.mix.verdict {
        MixVerdict::Inside => DONE,
        MixVerdict::Nearest => NEAREST,
        MixVerdict::Nothing { .. } | MixVerdict::Stopped { .. } => REFUSED,
    })
}

fn from_files(
    setting: &Setting,
    args: &Args,
    stock: &std::path::Path,
    targets: &std::path::Path,
) -> Result<MixSheet, CliError> {
    if stock.as_os_str() == "-" && targets.as_os_str() == "-" {
        return Err(CliError::usage(say!("both-read-input")));
    }
    let division = Division::parse(&args.division, MassUnit::Kg).ok_or_else(|| {
        let accepted = say!("accepted-step-typed");
        Rejection::new("--division", &args.division, accepted)
    })?;
    let (stock, targets) = (read_file(stock)?, read_file(targets)?);
    let tables = setting.load_tables()?;
    let (form, unit) = (NumberForm::Unsaid, Some(MassUnit::Kg));
    let asked = args.trust.asked(Reader { form, unit }, true)?;
    let sheet = mix_from_files(&stock, &targets, &tables, division, &asked)?;
    args.trust.write_models(setting, &sheet.trust.models)?;
    Ok(sheet)
}

fn from_book(setting: &Setting, args: &Args) -> Result<MixSheet, CliError> {
    let (mut book, farm, tables) = setting.open_all()?;
    if setting.may_ask()
        && book.cohorts(Timestamp::MAX)?.is_empty()
        && confirmed(&say!("mix-ask-cohort"))?
    {
        cohort::add_asked(setting, &mut book, &farm, &cohort::AddArgs::default())?;
    }
    let asked = setting.asked(&farm.zone)?;
    let reader = farm.units.reader();
    let mix_asked = MixAsked {
        buy: (args.buy.iter().map(|text| purchase(text, reader))).collect::<Result<_, _>>()?,
        trust: args.trust.asked(reader, false)?,
    };
    let night = night_of(asked.at, args.night, &farm);
    let mut sheet = propose_mix((&book, &farm, &tables), night, &mix_asked)?;
    // Before the sheet is recorded: a file that is refused leaves all as it was.
    args.trust.write_models(setting, &sheet.trust.models)?;
    if args.look || book.is_read_only() {
        sheet.next = Some(say!("mix-not-recorded"));
        return Ok(sheet);
    }
    if let Some(record) = record_sheet(&mut book, &sheet, night, &asked)? {
        sheet.sheet = Some(format!("r{record}"));
        sheet.seal = Some(book.seal()?.short());
        sheet.next = Some(say!("mix-once-fed", seq = record));
    }
    Ok(sheet)
}

fn purchase(text: &str, reader: Reader) -> Result<(String, Grams, Option<f64>), CliError> {
    let refused = || {
        let accepted = say!("accepted-buy");
        Rejection::new("--buy", text, accepted)
    };
    let (stream, rest) = text.split_once('=').ok_or_else(refused)?;
    let (limit, price) = match rest.split_once('@') {
        Some((limit, price)) => (limit, Some(reader.number(price).map_err(|_| refused())?)),
        None => (rest, None),
    };
    let limit = typed("--buy", limit, reader, Reader::weight)?.grams();
    Ok((stream.to_owned(), limit, price))
}
