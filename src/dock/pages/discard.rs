use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::Timestamp;

use crate::acts::{
    ActError, Discarded, FarmSettings, Rejection, Tables, discard, find_lot, lot_name, stock_now,
};
use crate::daybook::{Book, Entry, Outlet};
use crate::quantity::Grams;
use crate::sheet::Units;
use crate::stream::Verdict;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::kept::{Kept, RECENT_SHOWN, Recent};
use super::super::shape::{given, made_id};
use super::super::taken::DiscardSent;
use super::super::view::{Frame, Visiting, page};

/// A lot with parts to pick out.
struct Tile {
    name: String,
    stream: String,
    on_hand: String,
    /// The parts the stream table expects, and their weight where that is known.
    parts: Option<(String, Option<String>)>,
}

/// What the page needs to know of the book.
struct Bench {
    lots: Vec<Tile>,
    recent: Vec<Recent>,
    unit: String,
}

#[derive(Template)]
#[template(path = "discard.html", config = "src/askama.toml")]
struct DiscardPage {
    frame: Frame,
    id: String,
    bench: Bench,
    values: DiscardSent,
    problems: Vec<String>,
    done: Option<Kept>,
}

/// What becomes of one entry of the form.
#[derive(Default)]
struct Entered {
    values: DiscardSent,
    problems: Vec<String>,
    done: Option<Kept>,
}

/// Parts to be picked out of a lot: the one named in the address, or a choice.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(values): Query<DiscardSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let entered = Entered {
        values,
        ..Entered::default()
    };
    render(&app, frame, entered).await
}

/// Records what was picked out, from a page without script. The id in the form
/// makes a second sending harmless.
pub(in crate::dock) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<DiscardSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let entered = match keep_parts(&app, values.clone()).await {
        Ok(kept) => Entered {
            done: Some(told(&frame, &kept)),
            values: DiscardSent {
                by: values.by,
                ..DiscardSent::default()
            },
            ..Entered::default()
        },
        Err(Unkept::Refused(error)) => Entered {
            problems: frame.details(&error),
            values,
            done: None,
        },
        Err(stopping) => return Err(frame.refused(stopping)),
    };
    render(&app, frame, entered).await
}

/// Parts out of their lot: what was done, what they are, how weights are said.
pub(in crate::dock) type Done = (Discarded, String, Units);

/// Records what was picked out.
pub(in crate::dock) async fn keep_parts(app: &App, sent: DiscardSent) -> Result<Done, Unkept> {
    let sending = sent.sending(&app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, tables| {
            let asked = sending.asked(book, now)?;
            let (lot, weight) = sent.asked(farm.units.reader())?;
            let kind = kind(book, tables, &lot, &sent.kind)?;
            let (to, why) = (Outlet::PickedOut, Some(kind.as_str()));
            let done = discard(book, &lot, to, Some(&weight), why, farm.units, &asked)?;
            Ok((done, kind, farm.units))
        })
        .await
}

/// What was picked out: as typed, or what the stream table expects of the lot.
fn kind(book: &Book, tables: &Tables, lot: &str, typed: &str) -> Result<String, ActError> {
    let (found, _) = find_lot(book, lot)?;
    let expected = || match &found.record.content.entry {
        Entry::Ticket(ticket) => {
            let parts = tables.streams.get(&ticket.stream)?.inedible.as_ref()?;
            Some(parts.kind.clone())
        }
        _ => None,
    };
    let nothing = || Rejection {
        field: "kind",
        seen: String::new(),
        accepted: "what it is, such as bone, shell, pit or plastic".to_owned(),
    };
    let kind = given(typed).map(|kind| kind.to_lowercase());
    Ok(kind.or_else(expected).ok_or_else(nothing)?)
}

/// What was kept, for people.
pub(in crate::dock) fn told(frame: &Frame, (done, kind, units): &Done) -> Kept {
    Kept {
        title: format!(
            "{} {}: {kind}, {}",
            frame.t("discard.lot"),
            done.lot,
            units.both(done.grams)
        ),
        lines: vec![frame.with("discard.left", &units.both(done.left))],
        cautions: Vec::new(),
        already: done.already_there,
        record: format!("r{}", done.record),
        more: String::new(),
    }
}

async fn render(app: &App, frame: Frame, entered: Entered) -> Result<Response, Refusal> {
    let now = app.shared.clock.now();
    let named = entered.values.lot.clone();
    let bench = app
        .read(move |book, farm, tables| bench(book, farm, tables, &named, now))
        .await
        .map_err(|error| frame.refused(error))?;
    let refused = !entered.problems.is_empty();
    let id = match entered.values.id.as_str() {
        "" => made_id().unwrap_or_default(),
        id => id.to_owned(),
    };
    let mut response = page(&DiscardPage {
        id,
        bench,
        values: entered.values,
        problems: entered.problems,
        done: entered.done,
        frame,
    });
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn bench(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    named: &str,
    now: Timestamp,
) -> Result<Bench, ActError> {
    let units = farm.units;
    // More may be found in a lot that was sorted in part.
    let lots = (stock_now(book, farm, tables, now)?.lots.into_iter())
        .filter(|lot| {
            let open = lot.flag.verdict == Verdict::PickOut || lot.book.picked_out > Grams::ZERO;
            open || lot.book.name == named
        })
        .map(|lot| {
            let stream = tables.streams.get(&lot.book.stream);
            let parts = stream.and_then(|stream| {
                let parts = stream.inedible.as_ref()?;
                let about = parts
                    .share
                    .map(|_| units.weight(stream.parts_in(lot.book.net)));
                Some((parts.kind.clone(), about))
            });
            Tile {
                name: lot.book.name,
                stream: lot.book.stream.to_string(),
                on_hand: units.weight(lot.book.remaining),
                parts,
            }
        })
        .collect();
    Ok(Bench {
        lots,
        recent: recent(book, farm, now)?,
        unit: units.unit().to_string(),
    })
}

fn recent(book: &Book, farm: &FarmSettings, now: Timestamp) -> Result<Vec<Recent>, ActError> {
    let mut recent = Vec::new();
    for found in book.newest_records(40)? {
        let Entry::Discard(parts) = &found.record.content.entry else {
            continue;
        };
        if parts.to != Outlet::PickedOut || found.struck_by.is_some() {
            continue;
        }
        let Some(lot) = book.record(parts.lot_seq)? else {
            continue;
        };
        let recorded_at = found.record.recorded_at;
        let told = format!(
            "{} · {} · {}",
            recorded_at
                .to_zoned_datetime(farm.zone.clone())
                .strftime("%H:%M"),
            farm.units.both(parts.grams),
            parts.why.as_deref().unwrap_or_default()
        );
        let name = lot_name(&lot.record.content.id, lot.number.unwrap_or_default());
        let record = format!("r{}", found.record.seq);
        recent.extend(Recent::of(name, told, record, recorded_at, now));
    }
    recent.truncate(RECENT_SHOWN);
    Ok(recent)
}
