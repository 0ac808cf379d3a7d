use axum::Form as SentForm;

use super::super::answer::Refusal;
use super::*;
use crate::acts::{Struck, named_record, undo, what_record};
use crate::daybook::Ticket;
use crate::words::say;

/// What to take back.
#[derive(Clone, Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(extend("required" = ["id", "record"]))]
pub(crate) struct StrikeSent {
    #[serde(flatten)]
    pub(super) way: Way,
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
        let ours = [
            "/cohorts", "/discard", "/harvest", "/money", "/stock", "/streams", "/tonight",
            "/weigh",
        ];
        ours.into_iter()
            .find(|page| *page == self.back)
            .unwrap_or("/")
    }
}

impl Act for StrikeSent {
    type Done = Struck;

    /// Strikes what is named, and what was written with it.
    fn act(self, to: Writing) -> Result<Struck> {
        if let Some(role) = to.frame.visit.role
            && let Some(found) = to.book.find_record(&self.record)?
            && !role.may_strike(found.record.content.entry.kind())
        {
            let accepted = say!("dock-error-owner");
            return Err(Rejection::new("record", &self.record, accepted).into());
        }
        undo(to.book, &self.record, given(&self.why).as_deref(), to.asked)
    }
}

/// Undo: a strike, then back to the page; too late for one touch, on to where
/// a reason is asked for.
pub(crate) async fn strike(
    State(app): State<App>,
    visit: Visiting,
    SentForm(sent): SentForm<StrikeSent>,
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
    /// What a ticket says.
    what: Option<String>,
    record: String,
    back: &'static str,
}

/// How much of what a ticket is, and who brought it.
pub(super) fn told_of(at: &At, frame: &Frame, ticket: &Ticket) -> Vec<String> {
    let (net, stream) = (
        at.farm.units.told(ticket.net_g),
        frame.called(&ticket.stream),
    );
    vec![net, stream, ticket.supplier.clone()]
}

/// A ticket in one line.
pub(super) fn told(at: &At, frame: &Frame, ticket: &Ticket) -> String {
    let mut told = told_of(at, frame, ticket);
    told.extend(ticket.note.clone());
    told.join(" · ")
}

/// Asks why a record is undone.
pub(crate) async fn ask(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<StrikeSent>,
) -> Result<Response, Refusal> {
    let ask = move |at: &At, frame: Frame| {
        let found = named_record(at.book, &wanted.record)?;
        let name = what_record(&found);
        Ok(UndoPage {
            title: frame.with("dock-undo-title", frame.say(&name)),
            what: (found.ticket()).map(|ticket| told(at, &frame, &ticket)),
            back: wanted.back(),
            record: wanted.record,
            frame,
        })
    };
    Frame::new(&app, &visit).shown(ask).await
}
