//! What tells an open page that the book has grown: its last record's number,
//! looked at once a second while anyone listens.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::Stream;
use futures_util::stream::unfold;
use tokio::sync::watch::Sender;

use super::app::App;

const EVERY: Duration = Duration::from_secs(1);

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

/// Says the number whenever it has changed.
pub(super) async fn events(
    State(app): State<App>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let mut heard = app.shared.grown.clone();
    heard.mark_changed();
    let told = unfold(heard, async |mut heard| {
        loop {
            heard.changed().await.ok()?;
            let seq = *heard.borrow_and_update();
            // None is known before the first look.
            if seq > 0 {
                let event = Event::default().event("grew").data(seq.to_string());
                return Some((Ok(event), heard));
            }
        }
    });
    Sse::new(told).keep_alive(KeepAlive::default())
}
