use jiff::civil::Date;

use crate::acts::{Change, FedAsked, record_fed};
use crate::cli::*;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The sheet followed, such as r57; the night's newest if left out
    #[arg(long, value_name = "RECORD")]
    sheet: Option<String>,
    /// What was taken otherwise: LOT=WEIGHT or GROUP:LOT=WEIGHT; 0 takes a line off; LOT may be water
    #[arg(long, value_name = "LOT=WEIGHT", allow_hyphen_values = true)]
    change: Vec<String>,
    /// No sheet was followed: record the changes alone
    #[arg(long, conflicts_with = "sheet", requires = "change")]
    without_sheet: bool,
    /// The night, if not tonight
    #[arg(long, value_name = "DAY", value_parser = day)]
    night: Option<Date>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm) = setting.open()?;
    let asked = setting.asked(&farm.zone)?;
    let reader = farm.units.reader();
    let changes = args.change.iter().map(|text| change(text, reader));
    let changes = changes.collect::<Result<Vec<_>, _>>()?;
    let night = night_of(asked.at, args.night, &farm);
    let fed = FedAsked {
        sheet: args.sheet.clone(),
        changes,
        without_sheet: args.without_sheet,
        or_the_night_before: args.night.is_none(),
    };
    let done = unless_doubted(setting, asked, args.sure, |asked| {
        record_fed(&mut book, night, &fed, farm.units, asked)
    })?;
    let mut document = Document::titled(say!("fed-title", night = done.night));
    for (group, grams) in &done.groups {
        document.line(format!("{group}: {}", farm.units.told(*grams)));
    }
    if !done.emptied.is_empty() {
        document.line(say!("fed-used-up", lots = done.emptied.join(", ")));
    }
    let seq = done.record;
    let kept = output::and_to_strike(say!("fed-kept", seq), seq);
    document.next(kept);
    setting.answer(done, &document)
}

fn change(text: &str, reader: Reader) -> Result<Change, CliError> {
    let refused = || Rejection::new("--change", text, say!("accepted-change"));
    let (left, amount) = text.rsplit_once('=').ok_or_else(refused)?;
    let (group, lot) = match left.split_once(':') {
        Some((group, lot)) => (Some(group.to_owned()), lot),
        None => (None, left),
    };
    if lot.is_empty() {
        return Err(refused().into());
    }
    Ok(Change {
        group,
        lot: lot.to_owned(),
        weight: typed("--change", amount, reader, Reader::weight)?,
    })
}
