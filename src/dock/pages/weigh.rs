use std::collections::BTreeMap;

use jiff::SignedDuration;
use serde_json::json;

use super::super::shape::{NO_CONTAINER, tare};
use super::undo::told_of;
use super::*;
use crate::acts::{
    Bucket, ClockOff, PickedText, Sent as SentIn, Welcomed, brought_today, lot_name,
};
use crate::daybook::{Container, UsualLoad};
use crate::quantity::wire::view;
use crate::sheet::json::Ticket;
use crate::stream::{Class, Flag, Refusal, Verdict};
use crate::words::{Said, say};

/// How far back "usual" looks (our default).
const USUAL_DAYS: i64 = 60;
/// Suppliers shown as tiles: with "another" three rows of three, so that a
/// usual load needs no scrolling; more are under "another".
const TILES_MOST: usize = 8;
/// Streams there are tiles for; the style shows those of the supplier.
const STREAMS_MOST: usize = 40;
/// The stream of a load nobody can name yet; it has a tile of its own.
const NOT_LISTED: &str = "not-listed";

/// A bucket as a form or JSON brings it. A blank field is an absent one.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "gross"]))]
pub(crate) struct BucketSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// Who brought it, or `other`
    supplier: String,
    /// The supplier, when `supplier` is empty or `other`
    supplier_other: String,
    /// Stream id, or `other`
    stream: String,
    /// The stream id or an everyday name, when `stream` is empty or `other`
    stream_other: String,
    /// Weight with the container, as typed by hand or by a scale
    gross: String,
    container: String,
    /// Weight of the empty container, instead of a named one
    tare: String,
    /// Moisture tested, per cent of the weight as fed
    moisture_pct: String,
    /// Weight of a part picked out
    picked_weight: String,
    /// What it was, or `other`
    picked_kind: String,
    /// What it was, when `picked_kind` is empty or `other`
    picked_kind_other: String,
    picked_weight_2: String,
    picked_kind_2: String,
    /// Why it is turned away: glass, chemicals, sanitary, medicated, putrid, or `other`
    refuse: String,
    /// Other reason, when `refuse` is empty or `other`
    refuse_other: String,
    /// `yes` where it was bought, and so is no waste
    bought: String,
    /// Price of a kilogram, where it differs from the stream's
    price_per_kg: String,
    /// The same of one of the farm's unit of weight
    price: String,
    /// `yes` where it touched kitchen waste; the same of the next three
    touched_kitchen: String,
    touched_meat: String,
    touched_dairy: String,
    touched_manure: String,
    note: String,
    /// Which weight of a scale on a wire `gross` is, as the page's events name it
    reading: String,
}

/// What was chosen, or what was typed instead.
fn chosen(choice: &str, other: &str) -> String {
    given(other)
        .filter(|_| choice.trim().is_empty() || choice == "other")
        .or_else(|| given(choice).filter(|choice| choice != "other"))
        .unwrap_or_default()
}

impl BucketSent {
    /// What it may have touched besides what it is, each with its field.
    fn touched(&self) -> [(Class, &'static str, &str); 4] {
        [
            (Class::Kitchen, "touched_kitchen", &self.touched_kitchen),
            (Class::MeatFish, "touched_meat", &self.touched_meat),
            (Class::DairyEgg, "touched_dairy", &self.touched_dairy),
            (Class::Manure, "touched_manure", &self.touched_manure),
        ]
    }

    /// Whether the tile of this name has anything to say.
    fn says(&self, what: &str) -> bool {
        let any = |fields: &[&String]| fields.iter().any(|field| given(field).is_some());
        match what {
            "refuse" => any(&[&self.refuse, &self.refuse_other]),
            "picked" => any(&[&self.picked_weight, &self.picked_kind, &self.picked_kind_2]),
            "moisture" => any(&[&self.moisture_pct]),
            "bought" => any(&[&self.bought, &self.price]),
            "touched" => self.touched().iter().any(|(_, _, said)| ticked(said)),
            _ => any(&[&self.note]),
        }
    }

    /// What nobody can name: the word for it helps whoever says what it is.
    fn word(&self) -> Option<String> {
        let unnamed = self.stream == NOT_LISTED;
        unnamed.then(|| given(&self.stream_other)).flatten()
    }

    /// The bucket to weigh in; `by` is who is taken when no one is named.
    fn sent(self, by: &str) -> Result<SentIn, Rejection> {
        let touched = self.touched().into_iter();
        let touched = touched.filter(|(_, _, said)| ticked(said));
        let touched = touched.map(|(class, ..)| class).collect();
        let notes = [self.word(), given(&self.note)].into_iter().flatten();
        let notes: Vec<String> = notes.collect();
        let kind = chosen(&self.picked_kind, &self.picked_kind_other);
        let picked = [
            (self.picked_weight, kind),
            (self.picked_weight_2, self.picked_kind_2),
        ];
        let parts = picked.into_iter().filter_map(|(weight, kind)| {
            let weight = given(&weight)?;
            Some(PickedText { weight, kind })
        });
        let (tare, container) = tare(&self.container, &self.tare);
        let bucket = Bucket {
            supplier: chosen(&self.supplier, &self.supplier_other),
            stream: chosen(&self.stream, &self.stream_other),
            // Blank stays blank here, so that the act says what is missing.
            gross: given(&self.gross),
            tare,
            container,
            moisture_pct: given(&self.moisture_pct),
            picked_out: parts.collect(),
            refuse: given(&chosen(&self.refuse, &self.refuse_other)),
            bought: ticked(&self.bought),
            price_per_kg: given(&self.price_per_kg),
            price: given(&self.price),
            touched,
            note: given(&notes.join("; ")),
            sure: ticked(&self.way.sure),
            ..Bucket::default()
        };
        let sending = self.way.sending(by)?;
        Ok(SentIn { bucket, sending })
    }
}

view! {
    /// The sender's clock, where it is off.
    ClockTold(clock: ClockOff) {
        said: String = clock.said.to_string(),
        ahead_s: i64 = clock.ahead.as_secs(),
    }
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct Weighed {
    #[serde(flatten)]
    ticket: Ticket,
    clock_off: Option<ClockTold>,
}

/// What fills the screen once a bucket is kept.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Done {
    number: i64,
    net: String,
    from: String,
    verdict: String,
    class: String,
    reason: String,
    put: String,
    cautions: Vec<String>,
    already: bool,
    record: String,
    clock: Option<String>,
    label: String,
    /// The lot whose parts are to be picked out and weighed.
    parts: Option<String>,
}

impl Change for BucketSent {
    type Done = Shown<Weighed, Done>;

    async fn keep(self, frame: &Frame) -> Result<Self::Done, Unkept> {
        let shared = &frame.app.shared;
        let scale = (shared.scales)
            .gave(&self.reading, &self.gross, &self.way.id)
            .map_err(ActError::from)?;
        let word = self.word();
        let mut sent = self.sent(&shared.by).map_err(ActError::from)?;
        sent.bucket.scale = scale;
        let welcomed = frame.app.keeper.weigh(sent).await?;
        let shown = done(frame, &welcomed, word);
        let done = Weighed {
            ticket: (&welcomed.card).into(),
            clock_off: welcomed.clock.map(ClockTold::from),
        };
        Ok(Shown { done, shown })
    }
}

fn done(frame: &Frame, welcomed: &Welcomed, word: Option<String>) -> Done {
    let card = &welcomed.card;
    let verdict = card.flag.verdict;
    Done {
        number: card.number,
        net: card.units.told(card.net - card.picked_out),
        from: frame.say(&Said::joined(
            [(&card.supplier).into(), (&card.stream).into()]
                .into_iter()
                .chain(word.map(|word| Said::from(format!("“{word}”")))),
            " · ",
        )),
        verdict: frame.say(&verdict.said()),
        // Shape and word tell it too.
        class: verdict.as_str().replace(' ', "-"),
        reason: reason(frame, &card.flag),
        put: frame.say(&card.put),
        cautions: card.cautions.iter().map(|one| frame.say(one)).collect(),
        already: card.already_there,
        record: format!("r{}", card.record),
        clock: clock_words(frame, welcomed),
        label: card.ticket.clone(),
        parts: (verdict == Verdict::PickOut).then(|| card.ticket.clone()),
    }
}

/// Why, a word of ours in the reader's language.
fn reason(frame: &Frame, flag: &Flag) -> String {
    let said = frame.say(&flag.reason);
    match Refusal::from_word(&said) {
        Some(of) if flag.verdict == Verdict::Refuse => {
            frame.with("dock-weigh-refuse-kind", of.as_str())
        }
        _ => said,
    }
}

/// What a wrong clock says, for people.
fn clock_words(frame: &Frame, welcomed: &Welcomed) -> Option<String> {
    let clock = welcomed.clock?;
    let minutes = clock.ahead.as_mins().abs();
    let far = format!("{} h {} min", minutes / 60, minutes % 60);
    let said = clock.said.strftime("%Y-%m-%d %H:%M UTC");
    let kept = &welcomed.card.weighed_at;
    Some(frame.say(&if clock.ahead.is_negative() {
        say!("dock-clock-behind", far, said = said, kept = kept)
    } else {
        say!("dock-clock-ahead", far, said = said, kept = kept)
    }))
}

/// A supplier with what it usually brings.
struct Supplier {
    name: String,
    streams: String,
    /// The container each stream came in last, as JSON.
    usual: String,
}

#[derive(Template)]
#[template(path = "weigh.html", config = "src/askama.toml")]
pub(crate) struct WeighPage {
    frame: Frame,
    entry: Entry<BucketSent>,
    suppliers: Vec<Supplier>,
    tiles: Vec<(String, String)>,
    streams: Vec<(String, String)>,
    /// What people call them besides, and what they are.
    everyday: Vec<(String, String)>,
    containers: Vec<(String, String)>,
    no_container: &'static str,
    recent: Vec<Recent>,
    /// What suppliers brought so far today.
    tally: Vec<String>,
    unit: String,
    price: String,
}

impl Form for BucketSent {
    type Page = WeighPage;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<WeighPage> {
        let units = at.farm.units;
        let streams = frame.streams(at);
        let since = at.now - SignedDuration::from_hours(24 * USUAL_DAYS);
        let loads = at.book.usual_loads(since)?;
        let mut tiles: Vec<(String, String)> = Vec::new();
        for load in &loads {
            let id = load.stream.as_str();
            if id != NOT_LISTED && !tiles.iter().any(|(known, _)| known == id) {
                tiles.push((id.to_owned(), frame.called(&load.stream)));
            }
        }
        tiles.truncate(STREAMS_MOST);
        let everyday = at.tables.streams.everyday(frame.visit.lang);
        let everyday = everyday.map(|(word, id)| (word.to_owned(), frame.called(id)));
        let containers = at.book.containers()?.into_iter();
        let tare = |container: Container| (container.name, units.weight(container.tare_g));
        Ok(WeighPage {
            suppliers: suppliers(&loads),
            tiles,
            streams,
            everyday: everyday.collect(),
            containers: containers.map(tare).collect(),
            no_container: NO_CONTAINER,
            recent: recent(at, &frame)?,
            tally: tally(at, &frame)?,
            unit: units.unit().to_string(),
            price: price_asked(at, &frame),
            frame,
            entry,
        })
    }
}

fn suppliers(loads: &[UsualLoad]) -> Vec<Supplier> {
    let mut suppliers: Vec<Supplier> = Vec::new();
    for load in loads {
        if suppliers.iter().any(|known| known.name == load.supplier) {
            continue;
        }
        let is_theirs = |other: &&UsualLoad| other.supplier == load.supplier;
        let mut brings: Vec<_> = loads.iter().filter(is_theirs).collect();
        brings.sort_by_key(|load| std::cmp::Reverse(load.loads));
        let usual: BTreeMap<&str, &str> = brings
            .iter()
            .filter_map(|load| Some((load.stream.as_str(), load.container.as_deref()?)))
            .collect();
        let streams: Vec<&str> = brings.iter().map(|load| load.stream.as_str()).collect();
        suppliers.push(Supplier {
            name: load.supplier.clone(),
            streams: streams.join(" "),
            usual: json!(usual).to_string(),
        });
    }
    suppliers.truncate(TILES_MOST);
    // Those who come most, each always in its place.
    suppliers.sort_by(|one, next| one.name.cmp(&next.name));
    suppliers
}

/// What suppliers brought today, those who came last.
fn tally(at: &At, frame: &Frame) -> Result<Vec<String>> {
    let brought = brought_today(at.book, at.farm, at.now)?.into_iter();
    let told = brought.take(RECENT_SHOWN).map(|(supplier, loads, weight)| {
        let weight = at.farm.units.told(weight);
        frame.say(&say!("dock-weigh-tally", supplier, loads, weight))
    });
    Ok(told.collect())
}

fn recent(at: &At, frame: &Frame) -> Result<Vec<Recent>> {
    newest(at, |found| {
        let ticket = found.ticket().zip(found.number);
        Ok(ticket.map(|(ticket, number)| {
            let mut told = told_of(at, frame, &ticket);
            if ticket.verdict != Verdict::Feed {
                told.push(frame.say(&ticket.verdict.said()));
            }
            (lot_name(&found.record.content.id, number), told)
        }))
    })
}

/// What is asked where a price is.
pub(super) fn price_asked(at: &At, frame: &Frame) -> String {
    let (unit, currency) = (at.farm.units.unit(), &at.farm.currency);
    frame.say(&say!("dock-correct-price", unit, currency))
}
