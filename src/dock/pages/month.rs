use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{ActError, FarmSettings, Month, month};
use crate::sheet::month_document;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{Frame, Part, Visiting, page};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    /// Such as 2026-10; this month when left out
    pub(in crate::dock) month: String,
}

impl Wanted {
    /// The month named, else the one that runs.
    pub(in crate::dock) fn or_this(
        &self,
        now: Timestamp,
        farm: &FarmSettings,
    ) -> Result<Month, ActError> {
        if self.month.trim().is_empty() {
            return Ok(Month::of(now.to_zoned_datetime(farm.zone.clone()).date()));
        }
        Month::parse(self.month.trim()).map_err(ActError::from)
    }
}

#[derive(Template)]
#[template(path = "month.html", config = "src/askama.toml")]
struct MonthPage {
    frame: Frame,
    title: String,
    before: String,
    wanted: String,
    parts: Vec<Part>,
}

/// A month: this one, or the one named in the address.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let (wanted, document) = app
        .read(move |book, farm, tables| {
            let wanted = wanted.or_this(now, farm)?;
            let sheet = month(book, wanted, None)?.apart(tables.not_food());
            Ok((wanted, month_document(&sheet)))
        })
        .await
        .map_err(|error| frame.unread(error))?;
    Ok(page(&MonthPage {
        title: frame.say(&document.title),
        before: wanted.before().to_string(),
        wanted: wanted.to_string(),
        parts: frame.document(&document),
        frame,
    }))
}
