//! What tells an open page that the book has grown, by its last record's number,
//! looked at once a second while anyone listens; what scales show, and what other
//! tablets tick.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::stream::{select, unfold};
use futures_util::{Stream, StreamExt};
use tokio::sync::watch::{Receiver, Sender};

use super::app::App;
use super::scales::Shown;
use super::ticks::Ticks;

const EVERY: Duration = Duration::from_secs(1);
const EVERY_WEIGHT: Duration = Duration::from_millis(100);

/// Looks until it is ended; with it end the streams.
pub(super) async fn watch(app: App, heard: Sender<i64>) {
    loop {
        tokio::time::sleep(EVERY).await;
        // One listener is the one that others are made from.
        if heard.receiver_count() < 2 {
            continue;
        }
        if let Ok(seal) = app.read(|at| Ok(at.book.seal()?)).await {
            heard.send_if_modified(|last| std::mem::replace(last, seal.seq) != seal.seq);
        }
    }
}

/// The same for what scales show.
pub(super) async fn watch_scales(app: App, shown: Sender<Vec<Shown>>) {
    loop {
        tokio::time::sleep(EVERY_WEIGHT).await;
        if shown.receiver_count() >= 2 {
            let now = app.shared.scales.shown();
            shown.send_if_modified(|last| {
                let changed = *last != now;
                *last = now;
                changed
            });
        }
    }
}

/// Says the number whenever it has changed, what scales on a wire show, and what is
/// ticked of tonight's sheet.
pub(super) async fn events(
    State(app): State<App>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    // None is known before the first look.
    let grew = |seq: &i64| (*seq > 0).then(|| ("grew", seq.to_string()));
    let weights = |all: &Vec<Shown>| {
        let told = serde_json::to_string(all).ok()?;
        (!all.is_empty()).then_some(("weights", told))
    };
    let shared = &app.shared;
    let grew = changes(shared.grown.clone(), grew);
    let ticked = |all: &Ticks| Some(("ticked", serde_json::to_string(all).ok()?));
    let others = select(
        Box::pin(changes(shared.weights.clone(), weights)),
        Box::pin(changes(shared.ticked.subscribe(), ticked)),
    );
    // Whoever ticks could do so as long as any page is open: it ends with the looking.
    let mut looking = shared.grown.clone();
    let ended = Box::pin(async move { while looking.changed().await.is_ok() {} });
    let told = select(Box::pin(grew), others).take_until(ended);
    Sse::new(told).keep_alive(KeepAlive::default())
}

/// An event at every change, the first one at once.
fn changes<T>(
    mut heard: Receiver<T>,
    told: impl Fn(&T) -> Option<(&'static str, String)>,
) -> impl Stream<Item = Result<Event, Infallible>> {
    heard.mark_changed();
    unfold((heard, told), async |(mut heard, told)| {
        loop {
            heard.changed().await.ok()?;
            let event = told(&heard.borrow_and_update());
            if let Some((name, data)) = event {
                return Some((Ok(Event::default().event(name).data(data)), (heard, told)));
            }
        }
    })
}
