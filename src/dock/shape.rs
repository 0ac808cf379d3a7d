//! What forms and JSON bring, as the acts want it.

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{Bucket, MADE_HERE, PickedText, Rejection, Sending, Sent};

/// A bucket as a form or JSON brings it. A blank field is an absent one.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "gross"]))]
pub(super) struct BucketSent {
    /// Made by the sender, 12 to 60 letters, digits, - or _. The same id with the same content
    /// is kept once; with other content it is a conflict. An id that begins with `auto-` is
    /// called by its ticket number.
    pub(super) id: String,
    /// Who weighed it
    pub(super) by: String,
    /// Who brought it, or `other`
    pub(super) supplier: String,
    /// The supplier, when `supplier` is empty or `other`
    pub(super) supplier_other: String,
    /// Stream id, or `other`
    pub(super) stream: String,
    /// The stream id, when `stream` is empty or `other`
    pub(super) stream_other: String,
    /// Weight with the container, as typed by hand or by a scale
    pub(super) gross: String,
    pub(super) container: String,
    /// Weight of the empty container, instead of a named one
    pub(super) tare: String,
    /// Moisture tested, per cent of the weight as fed
    pub(super) moisture_pct: String,
    /// Weight of a part picked out
    pub(super) picked_weight: String,
    pub(super) picked_kind: String,
    pub(super) picked_weight_2: String,
    pub(super) picked_kind_2: String,
    /// Why it is turned away: glass, chemicals, sanitary, medicated, putrid, or `other`
    pub(super) refuse: String,
    /// Other reason, when `refuse` is empty or `other`
    pub(super) refuse_other: String,
    pub(super) note: String,
    /// `yes` when unlikely figures are meant
    pub(super) sure: String,
    /// The sender's clock when it was entered, RFC 3339.
    pub(super) entered_at: String,
    /// The same when it was sent: the difference is how long it waited.
    pub(super) sent_at: String,
}

/// What was entered, if anything was.
pub(super) fn given(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// What was chosen, or what was typed instead.
fn chosen(choice: &str, other: &str) -> String {
    given(other)
        .filter(|_| choice.trim().is_empty() || choice == "other")
        .or_else(|| given(choice).filter(|choice| choice != "other"))
        .unwrap_or_default()
}

/// A bucket without a container. No container can have that name: it is told
/// by `NAME=TARE`.
pub(super) const NO_CONTAINER: &str = "=0";

/// The tare that was typed or chosen as text, and the container that was chosen.
pub(super) fn tare(container: &str, tare: &str) -> (Option<String>, Option<String>) {
    match (given(tare), given(container)) {
        (Some(tare), _) => (Some(tare), None),
        (None, Some(none)) if none == NO_CONTAINER => (Some("0".to_owned()), None),
        (None, container) => (None, container),
    }
}

impl BucketSent {
    /// The bucket to weigh in; `by` is who is taken when no one is named.
    pub(super) fn into_sent(self, by: &str) -> Result<Sent, Rejection> {
        let mut picked_out = Vec::new();
        for (weight, kind) in [
            (&self.picked_weight, &self.picked_kind),
            (&self.picked_weight_2, &self.picked_kind_2),
        ] {
            if let Some(weight) = given(weight) {
                picked_out.push(PickedText {
                    weight,
                    kind: kind.clone(),
                });
            }
        }
        let (tare, container) = tare(&self.container, &self.tare);
        let refuse = given(&chosen(&self.refuse, &self.refuse_other));
        let bucket = Bucket {
            supplier: chosen(&self.supplier, &self.supplier_other),
            stream: chosen(&self.stream, &self.stream_other),
            // Blank stays blank here, so that the act says what is missing.
            gross: given(&self.gross),
            tare,
            container,
            moisture_pct: given(&self.moisture_pct),
            picked_out,
            refuse,
            note: given(&self.note),
            sure: ticked(&self.sure),
            ..Bucket::default()
        };
        let sending = sending([&self.id, &self.by, &self.entered_at, &self.sent_at], by)?;
        Ok(Sent { bucket, sending })
    }
}

/// Whether a box was ticked.
pub(super) fn ticked(text: &str) -> bool {
    matches!(text, "yes" | "on" | "true")
}

/// How an entry came here: its id, who made it, and the sender's clock when it
/// was entered and when it was sent.
pub(super) fn sending(
    [id, by, entered_at, sent_at]: [&str; 4],
    otherwise: &str,
) -> Result<Sending, Rejection> {
    Ok(Sending {
        id: page_id(id)?,
        by: who(by, otherwise)?,
        entered: instant("entered_at", entered_at)?,
        sent: instant("sent_at", sent_at)?,
        sure: false,
    })
}

/// An id made in a page. It must be long enough that no two pages make the same.
pub(super) fn page_id(id: &str) -> Result<String, Rejection> {
    // `r` with digits names a record.
    let names_a_record = id
        .strip_prefix('r')
        .is_some_and(|rest| rest.bytes().all(|b| b.is_ascii_digit()));
    let fine = (12..=60).contains(&id.len())
        && !names_a_record
        && id
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if fine {
        return Ok(id.to_owned());
    }
    Err(Rejection {
        field: "id",
        seen: id.chars().take(80).collect(),
        accepted: "an id made by the sender: 12 to 60 letters, digits, `-` or `_`".to_owned(),
    })
}

/// A fresh id, for a page without script.
pub(super) fn made_id() -> Option<String> {
    super::session::Sessions::fresh().map(|random| format!("{MADE_HERE}{}", &random[..20]))
}

/// Who does it.
pub(super) fn who(named: &str, otherwise: &str) -> Result<String, Rejection> {
    let named = named.trim();
    if named.is_empty() {
        return Ok(otherwise.to_owned());
    }
    if named.chars().count() > 60 || named.chars().any(char::is_control) {
        return Err(Rejection {
            field: "by",
            seen: named.chars().take(80).collect(),
            accepted: "initials or a name of 1 to 60 characters".to_owned(),
        });
    }
    Ok(named.to_owned())
}

fn instant(field: &'static str, text: &str) -> Result<Option<Timestamp>, Rejection> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| Rejection {
        field,
        seen: text.chars().take(80).collect(),
        accepted: "an instant such as 2026-11-25T18:30:00Z".to_owned(),
    })
}
