//! What a ticket should have said: supplier, stream, note or price, never its weights.

use super::super::role::Role;
use super::plain::{About, Answered, PlainForm, Question};
use super::undo::told;
use super::weigh::price_asked;
use super::*;
use crate::acts::{CorrectionText, Dock, correct};
use crate::daybook::Ticket;
use crate::stream::Stream;
use crate::words::say;

/// A correction as a form or JSON brings it; what is left blank stays as it was.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "lot", "why"]))]
pub(crate) struct CorrectionSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// The ticket
    lot: String,
    supplier: String,
    /// Stream id
    stream: String,
    note: String,
    /// What a kilogram cost, below zero for a fee taken
    price_per_kg: String,
    /// The same of one of the farm's unit of weight
    price: String,
    why: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct CorrectionDone {
    record: i64,
    ticket: String,
}

impl Act for CorrectionSent {
    type Done = Shown<CorrectionDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let dock = Dock::open(to.book, to.farm, to.tables)?;
        if to.frame.visit.role == Some(Role::Staff)
            && given(&self.stream).is_some()
            && let Some(ticket) = to.book.find_ticket(&self.lot)?.and_then(|it| it.ticket())
            && (to.tables.streams.get(&ticket.stream)).is_some_and(Stream::is_not_listed)
        {
            let accepted = say!("dock-error-owner");
            return Err(Rejection::new("stream", &self.stream, accepted).into());
        }
        let text = CorrectionText {
            supplier: given(&self.supplier),
            stream: given(&self.stream),
            note: given(&self.note),
            price_per_kg: given(&self.price_per_kg),
            price: given(&self.price),
            why: self.why,
        };
        let done = correct(to.book, &dock, self.lot.trim(), &text, to.asked)?;
        let say = |said| to.frame.say(&said);
        let word = |word: &crate::acts::WordSaid| {
            let field = say!("dock-field", field = word.field);
            let first = word.first.as_deref().unwrap_or("\u{2013}");
            say(say!("dock-correct-word", field, now = &word.now, first))
        };
        let mut shown = Kept {
            lines: done.words.iter().map(word).collect(),
            ..Kept::of(
                say(say!("correct-title", ticket = &done.ticket)),
                done.record,
                done.already_there,
            )
        };
        if done.verdict != done.verdict_before {
            let (now, before) = (done.verdict.sign(), done.verdict_before.sign());
            let reason = &done.reason;
            shown
                .cautions
                .push(say(say!("correct-verdict", now, before, reason)));
        }
        for caution in &done.cautions {
            shown.cautions.push(say(say!("caution", caution)));
        }
        let done = CorrectionDone {
            record: done.record,
            ticket: done.ticket,
        };
        Ok(Shown { done, shown })
    }
}

impl Form for CorrectionSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, wanted: Wanted) -> Result<PlainForm> {
        if !wanted.lot.is_empty() {
            entry.values.lot = wanted.lot;
        }
        let values = &entry.values;
        let streams = frame.streams(at);
        let suppliers = at.book.suppliers()?;
        let price = price_asked(at, &frame);
        // What was said of it at the scale helps whoever says what it is.
        let found = at.book.find_ticket(&values.lot).ok().flatten();
        let now = found.and_then(|found| found.ticket());
        let lead = now.as_ref().map(|ticket| {
            let stays = frame.t("dock-plain-stays");
            let weight = frame.t("dock-correct-weight");
            let number = frame.t("dock-done-ticket");
            let told = told(at, &frame, ticket);
            format!("{number} {}: {told}. {stays} {weight}", values.lot)
        });
        let of_now = |told: fn(&Ticket) -> Option<&str>| {
            now.as_ref().and_then(told).unwrap_or_default().to_owned()
        };
        let stream_now = now.as_ref().map(|ticket| frame.called(&ticket.stream));
        let ask = Question::of;
        let questions = vec![
            ask(
                "lot",
                frame.t("dock-done-ticket"),
                &values.lot,
                match now {
                    Some(_) => Answered::Already,
                    None => Answered::Line(60),
                },
            ),
            ask(
                "supplier",
                frame.t("dock-weigh-supplier"),
                &values.supplier,
                Answered::Known(suppliers),
            )
            .like(of_now(|ticket| Some(&ticket.supplier))),
            ask(
                "stream",
                frame.t("dock-weigh-stream"),
                &values.stream,
                Answered::OneOf(streams),
            )
            .like(stream_now.unwrap_or_default()),
            ask(
                "note",
                frame.t("dock-weigh-note"),
                &values.note,
                Answered::Line(400),
            )
            .like(of_now(|ticket| ticket.note.as_deref())),
            ask("price", price, &values.price, Answered::Line(12)),
            ask(
                "why",
                frame.t("dock-undo-reason"),
                &values.why,
                Answered::Line(400),
            ),
        ];
        let about = About {
            title: say!("dock-correct-title"),
            path: "/correct",
            api: "/api/correct",
            needs: "lot why supplier|stream|note|price",
            back: "/stock",
            does: say!("dock-weigh-keep"),
        };
        Ok(PlainForm::of(frame, entry, about)
            .asking(questions)
            .leading(lead.unwrap_or_default()))
    }
}
