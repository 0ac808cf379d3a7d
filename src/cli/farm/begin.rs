use jiff::tz::TimeZone;

use super::settings::{Place, farm_line};
use crate::acts::{FarmAsked, FarmSaid, begin, settings};
use crate::cli::ask::answer_or;
use crate::cli::*;
use crate::daybook::Chosen;
use crate::quantity::{DecimalMark, custom_mark};
use crate::stream::{LarvaeFor, Region};

/// Settings of a farm, as arguments.
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    place: Place,
    /// What stands before decimals on the scale and in what is typed: point or
    /// comma; the zone's custom if left out
    #[arg(long)]
    decimal_mark: Option<String>,
}

/// The mark given or answered; nothing leaves it to the zone's custom.
fn decimal_mark(
    setting: &Setting,
    given: &Option<String>,
    zone: &str,
) -> Result<Option<DecimalMark>, CliError> {
    let custom = custom_mark(zone).map_or("", DecimalMark::as_str);
    let text = match given {
        None if setting.may_ask() => answer_or(
            "Mark before decimals, as the scale shows it",
            &DecimalMark::accepted(),
            custom,
        )?,
        None => return Ok(None),
        Some(text) => text.clone(),
    };
    let refused = || Rejection::new("--decimal-mark", &text, DecimalMark::accepted()).into();
    (DecimalMark::parse(text.trim()).map(Some)).ok_or_else(refused)
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let place = &args.place;
    let zone = needed(setting, "--zone", &place.zone)?;
    let chosen = Chosen {
        decimal_mark: decimal_mark(setting, &args.decimal_mark, &zone)?,
        ..Chosen::default()
    };
    let asked = FarmAsked {
        zone,
        unit: needed(setting, "--unit", &place.unit)?,
        division: needed(setting, "--division", &place.division)?,
        currency: needed(setting, "--currency", &place.currency)?,
        region: needed_of(setting, "--region", &place.region, &Region::accepted())?,
        larvae_for: needed_of(
            setting,
            "--larvae-for",
            &place.larvae_for,
            &LarvaeFor::accepted(),
        )?,
        said: FarmSaid::default(),
        chosen,
    };
    let zone = TimeZone::get(&asked.zone).unwrap_or(TimeZone::UTC);
    let book = begin(&setting.daybook, &asked, &setting.asked(&zone)?)?;
    let farm = settings(&book)?;
    let seal = book.seal()?.short();
    let file = setting.daybook.display();
    let mut document = Document::titled(say!("begin-title", file = file));
    document.line(farm_line(&farm));
    if let Some(mark) = farm.chosen.decimal_mark {
        document.line(say!("begin-mark", mark));
    }
    document.caution(say!("begin-rules"));
    document.next(say!("next", command = "trayful weigh"));
    document.small(say!("begin-seal", seal));
    setting.answer(json!({"daybook": setting.daybook, "seal": seal}), &document)
}
