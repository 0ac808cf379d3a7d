use axum::Form;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

use crate::acts::{ActError, Sending, Struck, strike_all};

use super::super::answer::{Refusal, see};
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::shape::{page_id, who};
use super::super::view::{Frame, Visiting};

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct StrikeSent {
    pub(in crate::dock) id: String,
    /// One record, or several that belong together with blanks between.
    pub(in crate::dock) record: String,
    pub(in crate::dock) why: String,
    pub(in crate::dock) by: String,
    /// The page to go back to.
    pub(in crate::dock) back: String,
}

/// Undo: a strike with its reason, then back to the page.
pub(in crate::dock) async fn strike(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<StrikeSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let back = match values.back.as_str() {
        "/harvest" => "/harvest",
        "/money" => "/money",
        "/tonight" => "/tonight",
        _ => "/",
    };
    struck(&app, values)
        .await
        .map_err(|error| frame.refused(error))?;
    Ok(see(back))
}

/// Strikes what is named; the answer is that of the last record.
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
            let named: Vec<&str> = values.record.split_whitespace().collect();
            let nothing = || ActError::NotFound {
                what: "record",
                seen: values.record.clone(),
                nearest: Vec::new(),
            };
            strike_all(book, &named, &values.why, &asked)?
                .pop()
                .ok_or_else(nothing)
        })
        .await
}
