use serde_json::json;

use crate::acts::correct_price;
use crate::sheet::{Document, Tone};

use super::ask::needed;
use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// The ticket (12, #12 or its own id)
    ticket: String,
    /// What a kilogram cost, below zero for a fee taken
    #[arg(long, allow_hyphen_values = true)]
    price: String,
    /// Why
    #[arg(long)]
    why: Option<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (mut book, farm) = setting.open()?;
    let why = needed(setting, args.why.clone(), "--why", "Why", "a reason")?;
    let asked = setting.asked(&farm.zone)?;
    let done = correct_price(&mut book, &farm, &args.ticket, &args.price, &why, &asked)?;
    if setting.json {
        output::json(
            json!({"schema": 1, "record": done.record, "ticket": done.ticket, "price_per_kg": done.price_per_kg, "first_per_kg": done.first_per_kg}),
        );
        return Ok(DONE);
    }
    let first = done.first_per_kg.map_or_else(
        || "without a price".to_owned(),
        |price| format!("as {price}"),
    );
    let mut document = Document::titled(format!(
        "Ticket {}: {} {} per kg, first written {first}",
        done.ticket, done.price_per_kg, farm.currency
    ));
    document.line("Its weights stay. Mixes and money reckon with this price from now on.");
    document.toned(
        Tone::Next,
        format!("To strike it: trayful strike r{} --why REASON", done.record),
    );
    output::document(&document);
    Ok(DONE)
}
