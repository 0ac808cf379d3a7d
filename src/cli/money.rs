use clap::Subcommand;

use super::ask::needed_read;
use super::*;
use crate::acts::{MoneyAsked, Month, PaymentAsked, money_month, record_payment};
use crate::daybook::MoneyItem;
use crate::money::{Cost, FixedShares};
use crate::sheet::{money_document, sale_caution};

#[derive(clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    #[command(subcommand)]
    command: Option<Command>,
    /// The month, such as 2026-10; this one if left out
    month: Option<String>,
    /// Share of a cost taken as fixed, as labour=80; may be repeated
    #[arg(long, value_name = "COST=PERCENT", value_parser = fixed_share)]
    fixed: Vec<(Cost, f64)>,
    /// Moisture of the dried larvae, per cent
    #[arg(long, value_name = "PERCENT", value_parser = dried)]
    dried_moisture: Option<f64>,
    #[command(flatten)]
    paper: PaperArgs,
}

#[derive(Subcommand)]
enum Command {
    /// Write down money earned or spent
    Add(AddArgs),
}

#[derive(clap::Args)]
struct AddArgs {
    /// In: gate-fee, sold-live, sold-dried, sold-frass; out: feed, labour, energy, packaging, disposal, other
    #[arg(value_parser = word(MoneyItem::parse, MoneyItem::accepted))]
    item: Option<MoneyItem>,
    /// How much, as 96.00; left out where --minutes or --kwh say it
    #[arg(allow_negative_numbers = true)]
    amount: Option<String>,
    /// The task of labour, or what else it was for
    #[arg(long, value_name = "TEXT")]
    what: Option<String>,
    /// Minutes of labour
    #[arg(long, value_name = "MINUTES", allow_hyphen_values = true)]
    minutes: Option<String>,
    /// Energy used, kilowatt hours
    #[arg(long, value_name = "KWH", allow_hyphen_values = true)]
    kwh: Option<String>,
    /// What an hour or a kilowatt hour costs; as the last time if left out
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    rate: Option<String>,
    /// The weight sold, bought or brought
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
    /// Who paid or was paid
    #[arg(long, value_name = "NAME")]
    party: Option<String>,
    /// A cohort it belongs to, by name or record; may be repeated; the whole farm if left out
    #[arg(long, value_name = "COHORT")]
    cohort: Vec<String>,
    /// Free text
    #[arg(long)]
    note: Option<String>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
}

fn dried(text: &str) -> Result<f64, String> {
    let accepted = "accepted: per cent from 0 to 50, such as 5";
    let pct = figure(text).ok_or_else(|| accepted.to_owned())?;
    if (0.0..=50.0).contains(&pct) {
        Ok(pct)
    } else {
        Err(accepted.to_owned())
    }
}

fn fixed_share(text: &str) -> Result<(Cost, f64), String> {
    let accepted = || {
        let costs = Cost::accepted();
        format!("accepted: COST=PERCENT, such as labour=80; costs: {costs}")
    };
    let (cost, pct) = text.split_once('=').ok_or_else(accepted)?;
    let cost = Cost::parse(cost).ok_or_else(accepted)?;
    let pct = figure(pct).ok_or_else(accepted)?;
    // Tried here, so that the flag is named in the refusal.
    FixedShares::default()
        .with(cost, pct)
        .map_err(|error| format!("accepted: {}", error.accepted().in_english()))?;
    Ok((cost, pct))
}

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    match &args.command {
        Some(Command::Add(add)) => record(setting, add),
        None => show(setting, args),
    }
}

fn record(setting: &Setting, args: &AddArgs) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    let item = match args.item {
        Some(item) => item,
        None => {
            let question = (say!("ask-item"), MoneyItem::accepted().into());
            needed_read(setting, "ITEM", None, question, |text| {
                let refused = || Rejection::new("ITEM", text, MoneyItem::accepted()).into();
                MoneyItem::parse(text).ok_or_else(refused)
            })?
        }
    };
    let money = |flag, text: &Option<String>| if_any(flag, text, reader, Reader::money);
    let reckoned = args.minutes.is_some() || args.kwh.is_some();
    let amount = match &args.amount {
        None if setting.may_ask() && !reckoned => {
            let question = (
                say!("ask-amount", currency = &farm.currency),
                say!("ask-amount-form"),
            );
            Some(needed_read(setting, "AMOUNT", None, question, |text| {
                typed("amount", text, reader, Reader::money)
            })?)
        }
        given => money("amount", given)?,
    };
    let wanted = PaymentAsked {
        item,
        amount,
        what: args.what.clone(),
        minutes: if_any("--minutes", &args.minutes, reader, Reader::count)?,
        kwh: if_any("--kwh", &args.kwh, reader, Reader::number)?,
        rate: money("--rate", &args.rate)?,
        weight: if_any("--weight", &args.weight, reader, Reader::weight)?,
        party: args.party.clone(),
        cohorts: args.cohort.clone(),
        note: args.note.clone(),
    };
    let asked = setting.asked(&farm.zone)?;
    let paid = unless_doubted(setting, asked, args.sure, |asked| {
        record_payment(&mut book, &wanted, asked)
    })?;
    let kind = item;
    let (item, amount, currency) = (item.as_str(), paid.amount, farm.currency);
    let mut document = Document::titled(if kind.is_income() {
        say!("paid-in", item, amount, currency)
    } else {
        say!("paid-out", item, amount, currency)
    });
    if let Some(reckoned) = &paid.reckoned {
        document.line(say!("paid-reckoned", reckoned));
    }
    if paid.already_there {
        document.line(say!("ticket-there-already"));
    }
    if kind.is_sale() {
        document.caution(say!("caution", caution = sale_caution()));
    }
    let next = output::and_to_strike(say!("paid-next"), paid.record);
    document.next(next);
    let done = json!({
        "record": paid.record, "item": item, "amount": paid.amount.units(),
        "reckoned": paid.reckoned, "already_there": paid.already_there,
    });
    setting.answer(done, &document)
}

fn show(setting: &Setting, args: &Args) -> Done {
    let papers = args.paper.ready(setting)?;
    let (book, farm, tables) = setting.open_all()?;
    let month = match &args.month {
        Some(text) => Month::parse(text)?,
        None => Month::at(setting.now, &farm.zone),
    };
    let mut asked = MoneyAsked::default();
    asked.dried_pct = args.dried_moisture.unwrap_or(asked.dried_pct);
    for (cost, pct) in &args.fixed {
        asked.fixed = asked
            .fixed
            .with(*cost, *pct)
            .map_err(|error| Rejection::new("--fixed", error.seen.as_str(), error.accepted()))?;
    }
    let sheet = money_month((&book, &farm, &tables), month, asked)?;
    let page = |sheet: &_, _| money_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
