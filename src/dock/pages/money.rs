use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::Timestamp;

use crate::acts::{
    ActError, FarmSettings, Month, Paid, PaymentAsked, Tables, money_month, record_payment,
};
use crate::daybook::{Book, MoneyItem};
use crate::sheet::{MoneySheet, money_document, sale_caution};

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::kept::{Kept, RECENT_SHOWN, Recent, recorded_at};
use super::super::shape::made_id;
use super::super::taken::PaymentSent;
use super::super::view::{Frame, Part, Visiting, page};
use super::month::Wanted;

/// What the page needs to know of the book.
struct Till {
    month: Month,
    sheet: MoneySheet,
    cohorts: Vec<(String, String)>,
    recent: Vec<Recent>,
}

#[derive(Template)]
#[template(path = "money.html", config = "src/askama.toml")]
struct MoneyPage {
    frame: Frame,
    id: String,
    title: String,
    before: String,
    wanted: String,
    currency: String,
    unit: String,
    items_in: Vec<(&'static str, &'static str)>,
    items_out: Vec<(&'static str, &'static str)>,
    cohorts: Vec<(String, String)>,
    recent: Vec<Recent>,
    values: PaymentSent,
    problems: Vec<String>,
    doubtful: bool,
    done: Option<Kept>,
    parts: Vec<Part>,
}

/// What becomes of one entry of the form.
#[derive(Default)]
struct Entry {
    values: PaymentSent,
    problems: Vec<String>,
    doubtful: bool,
    done: Option<Kept>,
}

/// A month's money: this month, or the one named in the address.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    render(&app, frame, Entry::default(), wanted).await
}

/// Writes money down from a page without script. The id in the form makes a
/// second sending harmless.
pub(in crate::dock) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<PaymentSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let entry = match keep_payment(&app, values.clone()).await {
        Ok(kept) => Entry {
            done: Some(told(&frame, &kept)),
            values: PaymentSent {
                by: values.by,
                ..PaymentSent::default()
            },
            ..Entry::default()
        },
        Err(Unkept::Refused(error)) => Entry {
            doubtful: matches!(*error, ActError::Doubtful(_)),
            problems: frame.details(&error),
            values,
            done: None,
        },
        Err(stopping) => return Err(frame.refused(stopping)),
    };
    render(&app, frame, entry, Wanted::default()).await
}

/// Money in the book: what was done, what was asked, the farm's currency.
pub(in crate::dock) type Done = (Paid, PaymentAsked, String);

/// Writes money down.
pub(in crate::dock) async fn keep_payment(app: &App, sent: PaymentSent) -> Result<Done, Unkept> {
    let sending = sent.sending(&app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, _| {
            let asked = sending.asked(book, now)?;
            let wanted = sent.asked(farm.units.reader())?;
            let paid = record_payment(book, &wanted, &asked)?;
            Ok((paid, wanted, farm.currency.clone()))
        })
        .await
}

/// What was kept, for people.
pub(in crate::dock) fn told(frame: &Frame, (paid, wanted, currency): &Done) -> Kept {
    let way = if wanted.item.is_income() { "in" } else { "out" };
    let reckoned = paid.reckoned.as_deref();
    let caution = wanted.item.is_sale().then(|| frame.say(&sale_caution()));
    Kept {
        title: format!(
            "{}: {} {currency} ({})",
            frame.w(words_of(wanted.item)),
            paid.amount,
            frame.w(way)
        ),
        lines: reckoned
            .map(|sum| frame.with("money.reckoned", sum))
            .into_iter()
            .collect(),
        cautions: caution.into_iter().collect(),
        already: paid.already_there,
        record: format!("r{}", paid.record),
        more: String::new(),
    }
}

/// An item in the sheet's words; as a verdict, `feed` is another word.
const fn words_of(item: MoneyItem) -> &'static str {
    match item {
        MoneyItem::Feed => "bought feed",
        other => other.as_str(),
    }
}

async fn render(
    app: &App,
    frame: Frame,
    entry: Entry,
    wanted: Wanted,
) -> Result<Response, Refusal> {
    let now = app.shared.clock.now();
    let till = app
        .read(move |book, farm, tables| till(book, farm, tables, now, &wanted))
        .await
        .map_err(|error| frame.refused(error))?;
    let document = money_document(&till.sheet);
    let mut recent = till.recent;
    for one in &mut recent {
        one.name = frame.w(&one.name).to_owned();
    }
    let of_way = |income: bool| {
        let items = MoneyItem::ALL.into_iter();
        items
            .filter(|item| item.is_income() == income)
            .map(|item| (item.as_str(), words_of(item)))
            .collect()
    };
    let refused = !entry.problems.is_empty();
    let id = match entry.values.id.as_str() {
        "" => made_id().unwrap_or_default(),
        id => id.to_owned(),
    };
    let mut response = page(&MoneyPage {
        id,
        before: till.month.before().to_string(),
        wanted: till.month.to_string(),
        currency: till.sheet.currency.clone(),
        unit: till.sheet.units.unit().to_string(),
        items_in: of_way(true),
        items_out: of_way(false),
        cohorts: till.cohorts,
        recent,
        values: entry.values,
        problems: entry.problems,
        doubtful: entry.doubtful,
        done: entry.done,
        parts: frame.document_here(&document),
        title: format!(
            "{}, {} ({})",
            frame.t("nav.money"),
            till.month,
            till.sheet.currency
        ),
        frame,
    });
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn till(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    now: Timestamp,
    wanted: &Wanted,
) -> Result<Till, ActError> {
    let month = wanted.or_this(now, farm)?;
    let sheet = money_month(book, farm, tables, month, Default::default())?;
    let mut recent = Vec::new();
    for line in sheet.lines.iter().rev().take(RECENT_SHOWN) {
        let more = [&line.what, &line.party];
        let more = more.into_iter().flatten().map(|text| format!(" · {text}"));
        let told = format!("{} · {}{}", line.day, line.amount, more.collect::<String>());
        recent.extend(Recent::of(
            MoneyItem::parse(line.item)
                .map_or(line.item, words_of)
                .to_owned(),
            told,
            format!("r{}", line.record),
            recorded_at(book, line.record)?,
            now,
        ));
    }
    // Those on their trays or ended in the month or after, the youngest first.
    let (from, _) = month.bounds(farm)?;
    let cohorts = (book.cohort_lives(now)?.into_iter().rev())
        .filter(|life| life.ended.as_ref().is_none_or(|(at, _)| *at >= from))
        .map(|life| (format!("r{}", life.cohort.seq), life.cohort.entry.name));
    Ok(Till {
        month,
        cohorts: cohorts.collect(),
        sheet,
        recent,
    })
}
