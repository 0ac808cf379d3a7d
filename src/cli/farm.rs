use serde_json::json;

use crate::acts::{FarmAsked, FarmSaid, add_container, change_farm, settings};
use crate::quantity::Litres;
use crate::sheet::{Align, Document, Grid};

use super::error::CliError;
use super::setting::{Setting, weight};
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// A named tare: NAME=WEIGHT, or NAME=WEIGHT/VOLUME such as pail=1.5lb/5gal
    #[arg(long, value_name = "NAME=TARE")]
    container: Vec<String>,
    /// New time zone
    #[arg(long)]
    zone: Option<String>,
    /// New scale unit
    #[arg(long)]
    unit: Option<String>,
    /// New scale division
    #[arg(long)]
    division: Option<String>,
    /// New currency
    #[arg(long)]
    currency: Option<String>,
    /// New region
    #[arg(long)]
    region: Option<String>,
    /// What the larvae are for from now on
    #[arg(long)]
    larvae_for: Option<String>,
    /// The farm's name for statements, or `none`
    #[arg(long)]
    name: Option<String>,
    /// Why the scale counts as verified, such as "class III, sealed 2026-03-01"; or `none`
    #[arg(long, value_name = "WORDS")]
    verified_scale: Option<String>,
    /// The rule for "diverted": default, flw, epa-workgroup; or `none`
    #[arg(long, value_name = "RULE")]
    diverted_rule: Option<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (mut book, farm) = setting.open()?;
    let tares = args
        .container
        .iter()
        .map(|text| tare(text, farm.units.unit()))
        .collect::<Result<Vec<_>, _>>()?;
    let wanted = [
        &args.zone,
        &args.unit,
        &args.division,
        &args.currency,
        &args.region,
        &args.larvae_for,
        &args.name,
        &args.verified_scale,
        &args.diverted_rule,
    ];
    if wanted.iter().any(|value| value.is_some()) {
        let or = |new: &Option<String>, old: String| new.clone().unwrap_or(old);
        let asked = FarmAsked {
            zone: or(&args.zone, farm.zone_name.clone()),
            unit: or(&args.unit, farm.units.unit().to_string()),
            division: or(&args.division, farm.units.division.step().to_string()),
            currency: or(&args.currency, farm.currency.clone()),
            region: or(&args.region, farm.region.to_string()),
            larvae_for: or(&args.larvae_for, farm.larvae_for.to_string()),
            said: FarmSaid {
                name: args.name.clone(),
                verified_scale: args.verified_scale.clone(),
                diverted_rule: args.diverted_rule.clone(),
            }
            .put_over(farm.said.clone()),
        };
        change_farm(&mut book, &asked, &setting.asked(&farm.zone)?)?;
    }
    for (name, tare, volume) in &tares {
        add_container(&mut book, name, tare, *volume, &setting.asked(&farm.zone)?)?;
    }
    let farm = settings(&book)?;
    let containers = book.containers().map_err(crate::acts::ActError::from)?;
    if setting.json {
        output::json(&json!({
            "schema": 1, "daybook": setting.daybook, "zone": farm.zone_name, "unit": farm.units.unit(), "division": farm.units.division.step().to_string(),
            "currency": farm.currency, "region": farm.region, "larvae_for": farm.larvae_for,
            "name": farm.said.name, "verified_scale": farm.said.verified_scale, "diverted_rule": farm.said.diverted_rule,
            "containers": containers.iter().map(|c| json!({"name": c.name, "tare_g": c.tare_g, "volume_l": c.volume_l})).collect::<Vec<_>>(),
        }));
        return Ok(DONE);
    }
    let mut document = Document::titled(format!("Farm of {}", setting.daybook.display()));
    document.line(format!(
        "{}, scale in {}, {}, larvae for {} in {}",
        farm.zone_name, farm.units.division, farm.currency, farm.larvae_for, farm.region
    ));
    document.line(format!(
        "On statements: {}; scale {}; diverted by the rule `{}`",
        farm.said.name.as_deref().unwrap_or("no name said"),
        farm.said.verified_scale.as_deref().map_or_else(
            || "not verified".to_owned(),
            |why| format!("verified ({why})")
        ),
        farm.said.diverted_rule.as_deref().unwrap_or("default"),
    ));
    let mut grid = Grid::new(&[
        ("container", Align::Left),
        ("tare", Align::Right),
        ("holds", Align::Right),
    ]);
    for container in containers {
        grid.row([
            container.name,
            farm.units.both(container.tare_g),
            container
                .volume_l
                .map_or_else(String::new, |litres| format!("{litres:.1} L")),
        ]);
    }
    document.table(grid);
    output::document(&document);
    Ok(DONE)
}

fn tare(
    text: &str,
    unit: crate::quantity::MassUnit,
) -> Result<(String, crate::quantity::Reading, Option<Litres>), CliError> {
    let refused = || {
        CliError::usage(format!(
            "`--container`: `{text}` is not accepted; accepted: NAME=WEIGHT such as pail=1.5lb, or with its volume, pail=1.5lb/5gal"
        ))
    };
    let (name, rest) = text.split_once('=').ok_or_else(refused)?;
    let (tare, volume) = match rest.split_once('/') {
        Some((tare, volume)) => (tare, Some(Litres::parse(volume).map_err(|_| refused())?)),
        None => (rest, None),
    };
    Ok((name.to_owned(), weight("--container", tare, unit)?, volume))
}
