//! Streams of the farm's own: like one of the table, but for what is said.

use super::plain::{About, Answered, PlainForm, Question, one_of};
use super::*;
use crate::acts::{OWN_VERDICTS, OwnStreamText, add_own_stream};
use crate::sheet::grid;
use crate::words::{Said, say};

/// A stream of the farm's own as a form or JSON brings it; what is left blank
/// is as the stream it is like has it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "stream", "like"]))]
pub(crate) struct OwnStreamSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// Its name; the newest of a name holds
    stream: String,
    /// The stream its figures are taken from: an id or an everyday name
    like: String,
    /// Moisture, per cent of the weight as fed
    moisture_pct: String,
    /// Days it keeps
    keeps: String,
    /// `pick out`, `ask first`, `compost` or `refuse`: never milder than this
    verdict: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct OwnStreamDone {
    record: i64,
    stream: String,
    verdict: String,
}

impl Act for OwnStreamSent {
    type Done = Shown<OwnStreamDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let text = OwnStreamText {
            name: self.stream,
            like: self.like,
            moisture_pct: given(&self.moisture_pct),
            keeps_days: given(&self.keeps),
            verdict: given(&self.verdict),
        };
        let done = add_own_stream(to.book, (to.farm, to.tables), &text, to.asked)?;
        let say = |said| to.frame.say(&said);
        let stand_in = done.stream.labels.stand_in().unwrap_or_default();
        let shown = Kept {
            lines: vec![
                say(done.flag.said()),
                say(say!("stream-stands-in", stand_in)),
            ],
            ..Kept::of(done.stream.name.clone(), done.record, done.already_there)
        };
        let done = OwnStreamDone {
            record: done.record,
            stream: done.stream.id.as_str().to_owned(),
            verdict: done.flag.verdict.to_string(),
        };
        Ok(Shown { done, shown })
    }
}

impl Form for OwnStreamSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<PlainForm> {
        let streams = at.tables.streams.iter();
        let own = streams.filter(|stream| stream.like.is_some());
        let own: Vec<_> = own.collect();
        let as_like = || say!("dock-own-as-like");
        let mut document = Document::titled(frame.t("dock-own-title"));
        document.table(grid!(for stream in &own => {
            let like = stream.like.as_ref().map_or_else(String::new, |id| frame.called(id));
            let moisture = stream.moisture.filter(|_| stream.labels.moisture.is_none());
            let keeps = stream.keeps_days.filter(|_| stream.labels.keeping.is_none());
            Left say!("stream") => &stream.name,
            Left say!("dock-own-like") => like,
            Right say!("moisture-pct") => moisture.map_or_else(as_like, |of| format!("{:.1}", of.value.pct()).into()),
            Right say!("streams-keeps") => keeps.map_or_else(as_like, Said::from),
            Left say!("stock-verdict") => stream.at_least.map_or_else(as_like, |verdict| verdict.said()),
        }));
        let values = &entry.values;
        let listed = frame.streams(at).into_iter();
        let listed = listed.filter(|(id, _)| id != "not-listed").collect();
        let verdicts = one_of(&frame, OWN_VERDICTS, |of| of.to_string(), |of| of.said());
        let line = |name, label, value: &str, like| {
            Question::of(name, label, value, Answered::Line(12)).such_as(&frame, like)
        };
        let questions = vec![
            Question::of(
                "stream",
                frame.t("dock-own-name"),
                &values.stream,
                Answered::Line(60),
            ),
            Question::of(
                "like",
                frame.t("dock-own-like"),
                &values.like,
                Answered::OneOf(listed),
            ),
            line(
                "moisture_pct",
                frame.t("dock-own-moisture"),
                &values.moisture_pct,
                "40",
            ),
            line("keeps", frame.t("dock-own-keeps"), &values.keeps, "2"),
            Question::of(
                "verdict",
                frame.t("dock-own-verdict"),
                &values.verdict,
                verdicts,
            ),
        ];
        let about = About {
            title: say!("dock-own-title"),
            path: "/streams",
            api: "/api/stream",
            needs: "stream like",
            back: "/streams",
            does: say!("dock-weigh-keep"),
        };
        let lead = frame.t("dock-own-what");
        Ok(PlainForm::of(frame, entry, about)
            .asking(questions)
            .leading(lead)
            .below(&document))
    }
}
