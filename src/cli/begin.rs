use serde_json::json;

use crate::acts::{FarmAsked, FarmSaid, begin, settings};
use crate::daybook::Chosen;
use crate::sheet::{Document, Tone};
use crate::stream::{LarvaeFor, Region};
use jiff::tz::TimeZone;

use super::ask::needed;
use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

/// Settings of a farm, as arguments.
#[derive(clap::Args)]
pub(super) struct Args {
    /// IANA time zone, such as America/Denver
    #[arg(long)]
    zone: Option<String>,
    /// Unit the scale shows: lb or kg
    #[arg(long)]
    unit: Option<String>,
    /// Smallest step the scale shows, in that unit, such as 0.1
    #[arg(long)]
    division: Option<String>,
    /// ISO 4217 code, such as USD
    #[arg(long)]
    currency: Option<String>,
    /// Where the farm is, for the rules on use: eu, gb, us, other
    #[arg(long)]
    region: Option<String>,
    /// What its larvae are for: poultry-fish-pig, pet, not-feed
    #[arg(long)]
    larvae_for: Option<String>,
}

pub(super) fn run(setting: &Setting, args: Args) -> Result<u8, CliError> {
    let asked = FarmAsked {
        zone: needed(
            setting,
            args.zone,
            "--zone",
            "Time zone",
            "an IANA time zone such as America/Denver",
        )?,
        unit: needed(
            setting,
            args.unit,
            "--unit",
            "Unit of the scale",
            "lb or kg",
        )?,
        division: needed(
            setting,
            args.division,
            "--division",
            "Scale division",
            "the smallest step the scale shows, such as 0.1",
        )?,
        currency: needed(
            setting,
            args.currency,
            "--currency",
            "Currency",
            "an ISO 4217 code such as USD",
        )?,
        region: needed(
            setting,
            args.region,
            "--region",
            "Region",
            &Region::accepted(),
        )?,
        larvae_for: needed(
            setting,
            args.larvae_for,
            "--larvae-for",
            "Larvae for",
            &LarvaeFor::accepted(),
        )?,
        said: FarmSaid::default(),
        chosen: Chosen::default(),
    };
    let zone = TimeZone::get(&asked.zone).unwrap_or(TimeZone::UTC);
    let book = begin(&setting.daybook, &asked, &setting.asked(&zone)?)?;
    let farm = settings(&book)?;
    let head = book.head().map_err(crate::acts::ActError::from)?.short();
    if setting.json {
        output::json(&json!({"schema": 1, "daybook": setting.daybook, "head": head}));
        return Ok(DONE);
    }
    let mut document = Document::titled(format!("Daybook {} begun", setting.daybook.display()));
    document.line(format!(
        "{}, scale in {}, {}, larvae for {} in {}",
        farm.zone_name, farm.units.division, farm.currency, farm.larvae_for, farm.region
    ));
    document.toned(Tone::Caution, "Rules on use are a dated summary; what may be fed to larvae is for your local authority to say.");
    document.toned(Tone::Next, "Next: trayful weigh");
    document.toned(Tone::Small, format!("Book head {head}"));
    output::document(&document);
    Ok(DONE)
}
