//! What the farm's own records say against the tables, and what of it is taken over.

use super::plain::{About, Answered, PlainForm, Question};
use super::*;
use crate::acts::{learn, take_over};
use crate::sheet::learn_document;
use crate::words::say;

/// A proposal to take over, as a form or JSON brings it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "proposal"]))]
pub(crate) struct TakeSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// Such as keeps-days:spent-grain
    proposal: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct TakeDone {
    record: i64,
    value: f64,
    before: Option<f64>,
}

impl Act for TakeSent {
    type Done = Shown<TakeDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let key = self.proposal.trim();
        let (record, own) = take_over(to.book, to.farm, to.tables, key, to.asked)?;
        let line = to
            .frame
            .say(&say!("take-evidence", evidence = &own.evidence));
        let shown = Kept {
            lines: vec![line],
            ..Kept::of(to.frame.say(&say!("take-title", key)), record, to.already)
        };
        let (value, before) = (own.value, own.before);
        Ok(Shown {
            done: TakeDone {
                record,
                value,
                before,
            },
            shown,
        })
    }
}

impl Form for TakeSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<PlainForm> {
        let sheet = learn((at.book, at.farm, at.tables), at.now)?;
        let offered = sheet.offered.iter();
        let offered: Vec<_> = offered.map(|of| (of.key.clone(), of.key.clone())).collect();
        let mut questions = Vec::new();
        if !offered.is_empty() {
            let (label, chosen) = (frame.t("dock-take-which"), &entry.values.proposal);
            questions.push(Question::of(
                "proposal",
                label,
                chosen,
                Answered::OneOf(offered),
            ));
        }
        let about = About {
            title: say!("dock-nav-learn"),
            path: "/learn",
            api: "/api/learn/take",
            needs: "proposal",
            back: "/learn",
            does: say!("dock-take-which"),
        };
        let lead = match questions.is_empty() {
            true => String::new(),
            false => frame.t("dock-take-what"),
        };
        let page = PlainForm::of(frame, entry, about)
            .asking(questions)
            .leading(lead);
        Ok(page.below(&learn_document(&sheet)))
    }
}
