use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::response::Response;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{ActError, Sending, Struck, record_name, undo};

use super::super::answer::{Refusal, see};
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::shape::{given, page_id, who};
use super::super::view::{Frame, Visiting, page};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(extend("required" = ["id", "record"]))]
pub(in crate::dock) struct StrikeSent {
    pub(in crate::dock) id: String,
    /// A record such as r57, or a ticket
    pub(in crate::dock) record: String,
    /// The reason. Blank is fine for two minutes after the record was written; later the
    /// answer is 409 with the error `late`.
    pub(in crate::dock) why: String,
    pub(in crate::dock) by: String,
    /// The page to go back to.
    #[schemars(skip)]
    pub(in crate::dock) back: String,
}

impl StrikeSent {
    /// A page of ours, and none elsewhere.
    fn back(&self) -> &'static str {
        match self.back.as_str() {
            "/discard" => "/discard",
            "/harvest" => "/harvest",
            "/money" => "/money",
            "/tonight" => "/tonight",
            _ => "/",
        }
    }
}

/// Undo: a strike, then back to the page; too late for one touch, on to where
/// a reason is asked for.
pub(in crate::dock) async fn strike(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<StrikeSent>,
) -> Result<Response, Refusal> {
    let back = values.back();
    match struck(&app, values).await {
        Ok(_) => Ok(see(back)),
        Err(Unkept::Refused(error)) => match *error {
            ActError::TooLateToUndo { record, .. } => {
                Ok(see(&format!("/undo?record=r{record}&back={back}")))
            }
            other => Err(Frame::new(&app, &visit).refused(other.into())),
        },
        Err(error) => Err(Frame::new(&app, &visit).refused(error)),
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
    let frame = Frame::new(&app, &visit);
    let (back, record) = (wanted.back(), wanted.record);
    let of = record.clone();
    let name = app
        .read(move |book, _, _| record_name(book, &of))
        .await
        .map_err(|error| frame.unread(error))?;
    Ok(page(&UndoPage {
        title: frame.with("undo.title", &frame.say(&name)),
        record,
        back,
        frame,
    }))
}

/// Strikes what is named, and what was written with it.
pub(in crate::dock) async fn struck(app: &App, values: StrikeSent) -> Result<Struck, Unkept> {
    let sending = Sending {
        id: page_id(&values.id).map_err(ActError::from)?,
        by: who(&values.by, &app.shared.by).map_err(ActError::from)?,
        ..Sending::default()
    };
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, _, _| {
            // A second sending is the same strike, whatever the clock says by now.
            let asked = sending.asked(book, now)?;
            undo(book, &values.record, given(&values.why).as_deref(), &asked)
        })
        .await
}
