//! A month frozen as it is handed out.

use super::month::{month_or_this, months};
use super::plain::{About, Answered, PlainForm, Question};
use super::*;
use crate::acts::{Month, close_month, month};
use crate::words::say;

/// Which month, as a form or JSON brings it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "month"]))]
pub(crate) struct CloseSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// Such as 2026-10
    month: String,
    /// Why there is another version of a closed month
    why: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct CloseDone {
    month: String,
    version: i64,
}

impl Act for CloseSent {
    type Done = Shown<CloseDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let month = Month::parse(self.month.trim())?;
        let why = given(&self.why);
        let version = close_month(to.book, month, why.as_deref(), to.asked)?;
        let found = to.book.find_record(&to.asked.id)?;
        let record = found.map_or(0, |found| found.record.seq);
        let title = say!("dock-close-done", month = month.said(), version);
        Ok(Shown {
            shown: Kept::of(to.frame.say(&title), record, to.already),
            done: CloseDone {
                month: month.to_string(),
                version,
            },
        })
    }
}

impl Form for CloseSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, wanted: Wanted) -> Result<PlainForm> {
        let about = About {
            title: say!("dock-close-title"),
            path: "/month/close",
            api: "/api/month/close",
            needs: "month",
            back: "/month",
            does: say!("dock-close-title"),
        };
        let this = month_or_this(at, "")?;
        let begins = at.book.begins_at()?.unwrap_or(at.now);
        if Month::at(begins, &at.farm.zone) >= this {
            let none = frame.with("dock-close-none", this.said());
            return Ok(PlainForm::of(frame, entry, about).leading(none));
        }
        let values = &mut entry.values;
        if values.month.is_empty() {
            values.month = wanted.month;
        }
        // The one to close is the one that has ended.
        let last = this.before();
        let closing = match values.month.as_str() {
            "" => last,
            named => Month::parse(named)?.min(last),
        };
        values.month = closing.to_string();
        // The first of all months is the one that runs.
        let mut questions = vec![Question::of(
            "month",
            frame.t("dock-nav-month"),
            &values.month,
            Answered::OneOf(months(at, &frame, closing)?.split_off(1)),
        )];
        if !at.book.closed_versions(&values.month)?.is_empty() || !values.why.is_empty() {
            let why = frame.t("dock-close-why");
            questions.push(Question::of("why", why, &values.why, Answered::Line(400)));
        }
        let (report, units) = (month(at.book, closing, None)?.report, at.farm.units);
        let (weight, received) = (
            units.told(report.diverted()),
            units.told(report.total.received),
        );
        let figure = frame.say(&say!("dock-close-figure", weight, received));
        let lead = format!("{figure} {}", frame.t("dock-close-what"));
        Ok(PlainForm::of(frame, entry, about)
            .asking(questions)
            .leading(lead))
    }
}
