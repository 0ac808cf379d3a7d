use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};

use crate::daybook::{Book, Container, Daybook, Entry, Ticket, Writing};
use crate::quantity::{Grams, Litres, NumberForm, Reading};
use crate::sheet::TicketCard;
use crate::stream::{
    Class, Flag, Refusal, Stream, UseRules, Verdict, flag, putting_place, use_note,
};
use crate::table::may_be_a_slip;

use super::bucket::{BucketReading, Read};
use super::error::Rejection;
use super::lot::lot_name;
use super::{ActError, Asked, FarmSettings, MADE_HERE, Tables};

/// A bucket as entered, every figure still text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bucket {
    /// Who brought it.
    pub supplier: String,
    /// What it is, by stream id.
    pub stream: String,
    /// Gross weight.
    pub gross: Option<String>,
    /// Tare weight.
    pub tare: Option<String>,
    /// Unit of bare numbers; the farm's own when absent.
    pub unit: Option<String>,
    /// How its numbers are written; as the farm writes them when absent.
    pub form: Option<NumberForm>,
    /// A named tare.
    pub container: Option<String>,
    /// Volume, such as `40L`.
    pub volume: Option<String>,
    /// Moisture tested at the dock, per cent.
    pub moisture_pct: Option<String>,
    /// What was picked out.
    pub picked_out: Vec<PickedText>,
    /// Why it is turned away.
    pub refuse: Option<String>,
    /// A stricter verdict by staff.
    pub verdict: Option<Verdict>,
    /// Classes it touched.
    pub touched: Vec<Class>,
    /// Whether it was bought.
    pub bought: bool,
    /// Price per kilogram.
    pub price_per_kg: Option<String>,
    /// Free text.
    pub note: Option<String>,
    /// Whether unlikely figures are meant.
    pub sure: bool,
}

/// A part picked out, as entered.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PickedText {
    /// Its weight.
    pub weight: String,
    /// What it is.
    pub kind: String,
}

/// All a bucket is judged against.
#[derive(Debug)]
pub struct Dock<'a> {
    /// The farm.
    pub farm: &'a FarmSettings,
    /// Tables in use.
    pub tables: &'a Tables,
    rules: UseRules,
    pub(super) containers: BTreeMap<String, Container>,
    suppliers: Vec<String>,
}

/// A bucket judged: the ticket to write and what to say.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Judged {
    pub(super) ticket: Ticket,
    pub(super) flag: Flag,
    pub(super) doubts: Vec<(&'static str, String)>,
    pub(super) cautions: Vec<String>,
}

/// Heaviest single lift in ideal conditions: 23 kg (51 lb), the load constant
/// of the NIOSH lifting equation (Waters, Putz-Anderson, Garg 1994).
const LIFT_KG: i64 = 23_000;
/// Net over volume outside this, in kg/L, is asked about (our default).
const KG_PER_LITRE: std::ops::RangeInclusive<f64> = 0.15..=1.2;
/// A clock this far ahead is a slip, not a late second.
const AHEAD_MOST: SignedDuration = SignedDuration::from_mins(5);
/// Scale divisions below which a net weight is mostly the scale's own step
/// (20 d for class III: NIST Handbook 44 Table 8, from memory, unverified).
const SMALLEST_LOAD_DIVISIONS: i64 = 20;

impl<'a> Dock<'a> {
    /// The dock of a farm as its book stands.
    ///
    /// # Errors
    /// When the book can't be read or the rule table has findings.
    pub fn open(book: &Book, farm: &'a FarmSettings, tables: &'a Tables) -> Result<Self, ActError> {
        Ok(Self {
            farm,
            tables,
            rules: tables
                .rules(farm)?
                .with_leaves(&book.leaves(Timestamp::MAX)?),
            containers: book
                .containers()?
                .into_iter()
                .map(|container| (container.name.clone(), container))
                .collect(),
            suppliers: book
                .suppliers()?
                .into_iter()
                .map(|used| used.supplier)
                .collect(),
        })
    }

    /// Suppliers on the books, the latest used first.
    #[must_use]
    pub fn suppliers(&self) -> &[String] {
        &self.suppliers
    }

    /// Names of the tares on the books.
    pub fn containers(&self) -> impl Iterator<Item = &str> {
        self.containers.keys().map(String::as_str)
    }

    /// The verdict on a stream for this farm.
    #[must_use]
    pub fn verdict(&self, stream: &Stream) -> Flag {
        self.tables.judge(stream, Some(&self.rules), None)
    }

    /// Judges a bucket: all rejections at once, or the ticket with its doubts and cautions.
    pub(super) fn judge(
        &self,
        bucket: &Bucket,
        at: Timestamp,
        now: Timestamp,
    ) -> Result<Judged, Vec<Rejection>> {
        let mut reading = BucketReading {
            dock: self,
            bucket,
            rejections: Vec::new(),
        };
        let read = reading.read();
        let rejections = reading.rejections;
        match read {
            Some(read) if rejections.is_empty() => Ok(self.judged(bucket, read, at, now)),
            _ => Err(rejections),
        }
    }

    fn judged(&self, bucket: &Bucket, read: Read<'_>, at: Timestamp, now: Timestamp) -> Judged {
        let mut touched = bucket.touched.clone();
        // Bone in the bucket means it touched meat, whatever the label says.
        if read
            .picked_out
            .iter()
            .any(|part| part.kind.contains("bone"))
            && !touched.contains(&Class::MeatFish)
        {
            touched.push(Class::MeatFish);
        }
        let judged = flag(
            read.stream,
            &self.tables.stages.flag_limits,
            self.rules.strictest(read.stream, &touched),
            self.rules.leave(&read.stream.id, Some(&bucket.supplier)),
        );
        let (mut flag, refusal) = decided_at_dock(bucket, judged, &read);
        if let Some(rule) = (self.rules.mouldy()).filter(|_| refusal == Some(Refusal::Mouldy)) {
            flag.use_note = use_note(rule, None);
        }
        let mut cautions = Vec::new();
        if flag.verdict == Verdict::AskFirst {
            cautions.push(format!("no sheet uses it before leave is in the book. Once the authority said yes: trayful allow {} --by-whom WHO --on DAY --for WHAT", read.stream.id));
            cautions.push(flag.use_note.clone());
        }
        cautions.extend(
            refusal.map(|refusal| format!("{} (Common practice, no source.)", refusal.caution())),
        );
        self.cautions(bucket, &read, &mut cautions);
        let mut doubts = self.doubts(&read, at, now);
        doubts.extend(may_hold_parts(&flag, &read));
        let ticket = Ticket {
            supplier: bucket.supplier.trim().to_owned(),
            stream: read.stream.id.clone(),
            gross_g: read.gross.as_ref().map(Reading::grams),
            gross_text: read.gross.as_ref().map(|gross| gross.text().to_owned()),
            tare_g: read.tare.as_ref().map(|(grams, _)| *grams),
            tare_text: read.tare.map(|(_, text)| text),
            container: bucket.container.clone(),
            unit: read.gross.as_ref().map_or(read.unit, Reading::unit),
            division: self.farm.units.division.to_string(),
            net_g: read.net,
            volume_l: read.volume.map(Litres::get),
            estimated: read.gross.is_none(),
            bought: bucket.bought,
            price_per_kg: read.price_per_kg,
            moisture_pct: read.moisture_pct,
            picked_out: read.picked_out,
            touched,
            verdict: flag.verdict,
            reason: flag.reason.clone(),
            confirmed: bucket.sure,
            note: bucket.note.clone(),
        };
        Judged {
            ticket,
            flag,
            doubts,
            cautions,
        }
    }

    fn doubts(
        &self,
        read: &Read<'_>,
        at: Timestamp,
        now: Timestamp,
    ) -> Vec<(&'static str, String)> {
        let mut doubts = Vec::new();
        if at.duration_since(now) > AHEAD_MOST {
            doubts.push((
                "weighed_at",
                format!("{at} lies in the future (now is {now})"),
            ));
        }
        if read.net == Grams::ZERO {
            doubts.push(("gross", "the net weight is zero".to_owned()));
        }
        if let (Some(volume), Some(_)) = (
            read.volume.map(Litres::get).filter(|litres| *litres > 0.0),
            &read.gross,
        ) {
            let density = read.net.kg() / volume;
            if !KG_PER_LITRE.contains(&density) {
                let (low, high) = (KG_PER_LITRE.start(), KG_PER_LITRE.end());
                doubts.push(("gross", format!("{} in {volume:.1} L is {density:.2} kg/L, outside {low} to {high} (our default): is tare, unit or volume right?", self.farm.units.both(read.net))));
            }
        }
        doubts
    }

    fn cautions(&self, bucket: &Bucket, read: &Read<'_>, cautions: &mut Vec<String>) {
        let heaviest = read.gross.as_ref().map_or(read.net, Reading::grams);
        if heaviest.get() > LIFT_KG {
            cautions.push(format!("{} is above 23 kg (51 lb), the most for one lift in ideal conditions (NIOSH load constant): use a cart or two people.", self.farm.units.both(heaviest)));
        }
        let smallest = self.farm.units.division.grams(SMALLEST_LOAD_DIVISIONS);
        if read.net > Grams::ZERO && read.net < smallest && read.gross.is_some() {
            cautions.push(format!(
                "net is below {}, 20 scale divisions: the scale's own step is a large part of it.",
                self.farm.units.weight(smallest)
            ));
        }
        if read.gross.is_none() {
            cautions.push("weight estimated from volume: published densities for food waste differ fourfold, and every report says so.".to_owned());
        }
        let supplier = bucket.supplier.trim();
        if !self.suppliers.is_empty() && !self.suppliers.iter().any(|known| known == supplier) {
            let alike = |known: &&String| may_be_a_slip(known, supplier);
            if let Some(known) = self.suppliers.iter().find(alike) {
                cautions.push(format!("`{supplier}` is new in the book; `{known}` is there already. If that was meant, strike this ticket and weigh it in again."));
            }
        }
    }
}

/// The question a load asks that may hold parts nobody has a figure for.
fn may_hold_parts(flag: &Flag, read: &Read<'_>) -> Option<(&'static str, String)> {
    let part = read.stream.inedible.as_ref()?;
    let is_open = part.share.is_none() && read.picked_out.is_empty();
    let goes_to_compost = flag.verdict >= Verdict::Compost;
    (is_open && !goes_to_compost).then(|| {
        let (stream, kind) = (&read.stream.id, &part.kind);
        let told = format!(
            "{stream} may hold {kind}, nobody knows how much. Look, take them out and enter their weight. Is there none in it?"
        );
        ("picked_out", told)
    })
}

/// What staff decide wins when it is stricter than the table.
fn decided_at_dock(bucket: &Bucket, judged: Flag, read: &Read<'_>) -> (Flag, Option<Refusal>) {
    let decided = |verdict, reason: String, use_note| Flag {
        verdict,
        reason,
        use_note,
    };
    if let Some(reason) = &bucket.refuse {
        let flag = decided(Verdict::Refuse, reason.trim().to_owned(), judged.use_note);
        return (flag, Refusal::from_word(reason));
    }
    if let Some(verdict) = bucket.verdict.filter(|verdict| *verdict > judged.verdict) {
        let note = bucket.note.clone();
        let reason = note.unwrap_or_else(|| "decided at the dock".to_owned());
        let refusal = (verdict == Verdict::Refuse)
            .then(|| Refusal::from_word(&reason))
            .flatten();
        return (decided(verdict, reason, judged.use_note), refusal);
    }
    let part = (read.stream.inedible.as_ref()).filter(|_| judged.verdict == Verdict::PickOut);
    let reason = match part {
        Some(_) if !read.picked_out.is_empty() => {
            let kinds: Vec<&str> = (read.picked_out.iter())
                .map(|part| part.kind.as_str())
                .collect();
            format!("{} picked out at the dock", kinds.join(", "))
        }
        Some(part) if part.share.is_none() && bucket.sure => {
            format!("looked at, no {} seen", part.kind)
        }
        _ => return (judged, None),
    };
    (decided(Verdict::Feed, reason, judged.use_note), None)
}

/// Weighs a bucket in: one record, read back as the ticket shown.
///
/// # Errors
/// All rejections at once; doubts when `bucket.sure` is not set; the book's own refusals.
pub fn weigh_in(
    book: &mut Daybook,
    dock: &Dock<'_>,
    bucket: &Bucket,
    asked: &Asked,
) -> Result<TicketCard, ActError> {
    book.write(asked.now, |writing| {
        weigh_into(writing, dock, bucket, asked)
    })
}

/// One bucket of a writing that may hold more.
pub(super) fn weigh_into(
    writing: &mut Writing<'_>,
    dock: &Dock<'_>,
    bucket: &Bucket,
    asked: &Asked,
) -> Result<TicketCard, ActError> {
    caller_id(&asked.id)?;
    let judged = dock.judge(bucket, asked.at, asked.now)?;
    if !bucket.sure && !judged.doubts.is_empty() {
        return Err(ActError::Doubtful(
            judged
                .doubts
                .into_iter()
                .map(|(field, doubt)| format!("`{field}`: {doubt}"))
                .collect(),
        ));
    }
    let record = asked.record(Entry::Ticket(judged.ticket.clone()));
    let appended = writing.append(&record)?;
    let number = appended.number.unwrap_or_default();
    let ticket = judged.ticket;
    Ok(TicketCard {
        ticket: lot_name(&asked.id, number),
        number,
        record: appended.seq,
        picked_out: ticket.picked_out.iter().map(|part| part.grams).sum(),
        supplier: ticket.supplier,
        stream: ticket.stream,
        gross: ticket.gross_g,
        tare: ticket.tare_g,
        net: ticket.net_g,
        estimated: ticket.estimated,
        put: putting_place(judged.flag.verdict).to_owned(),
        flag: judged.flag,
        cautions: judged.cautions,
        already_there: appended.already_there,
        instant: asked.at,
        weighed_at: asked
            .at
            .to_zoned_datetime(dock.farm.zone.clone())
            .strftime("%Y-%m-%d %H:%M %Z")
            .to_string(),
        by: asked.by.clone(),
        units: dock.farm.units,
    })
}

/// A caller's own ticket id: short, printable, and none that reads as a record's number.
pub(super) fn caller_id(id: &str) -> Result<(), Rejection> {
    let reads_as_record = id
        .strip_prefix('r')
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()));
    let fine = !id.is_empty()
        && id.chars().count() <= 60
        && !id.starts_with('#')
        && !reads_as_record
        && !id.chars().any(|c| c.is_control() || c.is_whitespace());
    if fine || id.starts_with(MADE_HERE) {
        return Ok(());
    }
    Err(Rejection::new(
        "ticket",
        id,
        "an id of 1 to 60 characters without blanks, not starting with `#`, and not `r` with digits, which names a record",
    ))
}
