//! One way through for every form: what a page or another program sends is
//! read, done, and told.

use axum::Json;
use axum::body::Bytes;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::acts::{ActError, Asked, FarmSettings, Rejection, Result, Tables, kept_before};
use crate::daybook::Daybook;
use crate::quantity::wire::Versioned;
use crate::words::say;

use super::answer::{Refusal, asks, see};
use super::app::{App, At};
use super::keeper::Unkept;
use super::shape::{Way, made_id};
use super::view::{Frame, Visiting};

pub(super) type Answer = Result<Response, Refusal>;

/// What can be sent to be done.
pub(super) trait Change: DeserializeOwned + JsonSchema + Send + 'static {
    type Done: Serialize + JsonSchema + Send;

    fn keep(self, frame: &Frame) -> impl Future<Output = Result<Self::Done, Unkept>> + Send;
}

/// What says how it came.
pub(super) trait Sent: DeserializeOwned + JsonSchema + Send + 'static {
    fn way(&mut self) -> &mut Way;
}

/// What an act that writes is given.
pub(super) struct Writing<'a> {
    pub(super) book: &'a mut Daybook,
    pub(super) farm: &'a FarmSettings,
    pub(super) tables: &'a Tables,
    pub(super) asked: &'a Asked,
    pub(super) frame: &'a Frame,
    /// Whether it was sent and kept before.
    pub(super) already: bool,
}

/// A change that is one act of the writing thread.
pub(super) trait Act: Sent {
    type Done: Serialize + JsonSchema + Send;

    fn act(self, to: Writing) -> Result<Self::Done>;
}

impl<A: Act> Change for A {
    type Done = A::Done;

    async fn keep(mut self, frame: &Frame) -> Result<A::Done, Unkept> {
        let shared = &frame.app.shared;
        let sending = (self.way().sending(&shared.by)).map_err(ActError::from)?;
        let (now, frame) = (shared.clock.now(), frame.clone());
        let keeper = frame.app.keeper.clone();
        let act = move |book: &mut Daybook, farm: &FarmSettings, tables: &Tables| {
            // A second sending is the same act, whatever the clock says by now.
            let asked = &sending.asked(book, now)?;
            let frame = &frame;
            let already = kept_before(book, &asked.id)?.is_some();
            self.act(Writing {
                book,
                farm,
                tables,
                asked,
                frame,
                already,
            })
        };
        keeper.act(act).await
    }
}

/// What was done, with the words for people.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "{T}Shown")]
pub(super) struct Shown<T, S = super::kept::Kept> {
    #[serde(flatten)]
    pub(super) done: T,
    pub(super) shown: S,
}

/// Something done that has words for people.
pub(super) trait ForPeople {
    /// What fills the screen once it is kept.
    type Screen: Send;

    fn screen(self) -> Self::Screen;
}

impl<T, S: Send> ForPeople for Shown<T, S> {
    type Screen = S;

    fn screen(self) -> S {
        self.shown
    }
}

/// What the address of a page may ask for.
#[derive(Deserialize, Default)]
#[serde(default)]
pub(super) struct Wanted {
    pub(super) act: String,
    pub(super) all: String,
    pub(super) anew: String,
    pub(super) before: String,
    pub(super) lot: String,
    pub(super) month: String,
    pub(super) supplier: String,
}

pub(super) trait Form: Change<Done: ForPeople> + Sent + Clone + Default {
    type Page: askama::Template;
    /// Where to go on once it is kept; else its own page tells of it.
    const AFTER: Option<&'static str> = None;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, wanted: Wanted) -> Result<Self::Page>;
}

/// What became of one entry of a form.
pub(super) struct Entry<F: Form> {
    pub(super) values: F,
    pub(super) problems: Vec<String>,
    pub(super) asks: &'static str,
    pub(super) done: Option<<F::Done as ForPeople>::Screen>,
}

impl<F: Form> Entry<F> {
    fn of(values: F) -> Self {
        Self {
            values,
            problems: Vec::new(),
            asks: "",
            done: None,
        }
    }
}

/// Shows a form, as yet empty.
pub(super) async fn show<F: Form>(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Answer {
    render(
        Frame::new(&app, &visit),
        Entry::<F>::of(F::default()),
        wanted,
    )
    .await
}

/// Keeps a form from a page without script. The id in it makes a second
/// sending harmless.
pub(super) async fn keep<F: Form>(
    State(app): State<App>,
    visit: Visiting,
    axum::Form(values): axum::Form<F>,
) -> Answer {
    let frame = Frame::new(&app, &visit);
    let mut entry = Entry::of(values);
    match entry.values.clone().keep(&frame).await {
        Ok(done) => {
            if let Some(page) = F::AFTER {
                return Ok(see(page));
            }
            entry.done = Some(done.screen());
            let by = std::mem::take(&mut entry.values.way().by);
            entry.values = F::default();
            entry.values.way().by = by;
        }
        Err(Unkept::Refused(error)) => {
            entry.asks = asks(&error);
            entry.problems = frame.details(&error);
        }
        Err(error) => return Err(error.into()),
    }
    render(frame, entry, Wanted::default()).await
}

async fn render<F: Form>(frame: Frame, mut entry: Entry<F>, wanted: Wanted) -> Answer {
    let refused = !entry.problems.is_empty();
    let id = &mut entry.values.way().id;
    if id.is_empty() {
        *id = made_id().unwrap_or_default();
    }
    let make = move |at: &At, frame| F::page(at, frame, entry, wanted);
    let mut response = frame.shown(make).await?;
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Does what a page without script sends, and goes on to a page.
pub(super) async fn go<C: Change>(app: App, visit: Visiting, sent: C, page: &str) -> Answer {
    sent.keep(&Frame::new(&app, &visit)).await?;
    Ok(see(page))
}

/// The same from another program. What is no JSON is refused in our own form.
pub(super) async fn answer<C: Change>(
    State(app): State<App>,
    visit: Visiting,
    bytes: Bytes,
) -> Answer {
    let sent: C = serde_json::from_slice(&bytes).map_err(|error| {
        let (seen, accepted) = (error.to_string(), say!("accepted-json"));
        Unkept::from(ActError::from(Rejection::new("body", seen, accepted)))
    })?;
    let done = sent.keep(&Frame::new(&app, &visit)).await?;
    Ok(Json(Versioned::first(done)).into_response())
}
