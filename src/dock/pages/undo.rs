use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::response::Response;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{ActError, Struck, record_name, undo};

use super::super::answer::{Refusal, see};
use super::super::app::{App, At};
use super::super::form::Change;
use super::super::keeper::Unkept;
use super::super::shape::{Way, given};
use super::super::view::{Frame, Visiting};

/// What to take back.
#[derive(Clone, Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(extend("required" = ["id", "record"]))]
pub(in crate::dock) struct StrikeSent {
    #[serde(flatten)]
    way: Way,
    /// A record such as r57, or a ticket
    record: String,
    /// The reason. Blank is fine for two minutes after the record was written; later the
    /// answer is 409 with the error `late`.
    why: String,
    /// The page to go back to.
    #[schemars(skip)]
    back: String,
}

impl StrikeSent {
    /// A page of ours, and none elsewhere.
    fn back(&self) -> &'static str {
        let ours = ["/discard", "/harvest", "/money", "/tonight"];
        ours.into_iter()
            .find(|page| *page == self.back)
            .unwrap_or("/")
    }
}

impl Change for StrikeSent {
    type Done = Struck;

    /// Strikes what is named, and what was written with it.
    async fn keep(self, frame: &Frame) -> Result<Struck, Unkept> {
        let way = self.way.clone();
        let done = frame.act(&way, move |book, _, _, asked| {
            undo(book, &self.record, given(&self.why).as_deref(), asked)
        });
        done.await
    }
}

/// Undo: a strike, then back to the page; too late for one touch, on to where
/// a reason is asked for.
pub(in crate::dock) async fn strike(
    State(app): State<App>,
    visit: Visiting,
    Form(sent): Form<StrikeSent>,
) -> Result<Response, Refusal> {
    let back = sent.back();
    match sent.keep(&Frame::new(&app, &visit)).await {
        Ok(_) => Ok(see(back)),
        Err(Unkept::Refused(error)) => match *error {
            ActError::TooLateToUndo { record, .. } => {
                Ok(see(&format!("/undo?record=r{record}&back={back}")))
            }
            other => Err(Unkept::from(other).into()),
        },
        Err(error) => Err(error.into()),
    }
}

#[derive(Template)]
#[template(path = "undo.html", config = "src/askama.toml")]
struct UndoPage {
    frame: Frame,
    title: String,
    record: String,
    back: &'static str,
}

/// Asks why a record is undone.
pub(in crate::dock) async fn ask(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<StrikeSent>,
) -> Result<Response, Refusal> {
    let ask = move |at: &At, frame: Frame| {
        let name = record_name(at.book, &wanted.record)?;
        Ok(UndoPage {
            title: frame.with("dock-undo-title", frame.say(&name)),
            back: wanted.back(),
            record: wanted.record,
            frame,
        })
    };
    Frame::new(&app, &visit).shown(ask).await
}
