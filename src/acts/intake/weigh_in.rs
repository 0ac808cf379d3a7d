use jiff::{SignedDuration, Timestamp};

use super::bucket::{Bucket, BucketReading, Dock, Read};
use crate::acts::doubts::{self, Doubts};
use crate::acts::error::Rejection;
use crate::acts::stock::assay::table_moisture;
use crate::acts::stock::lot::lot_name;
use crate::acts::{Asked, FarmSettings, MADE_HERE, Result, Tables};
use crate::daybook::{Book, Daybook, Entry, LoadAlike, PickedOut, Ticket, Writing};
use crate::quantity::{Grams, Litres, Reading};
use crate::sheet::TicketCard;
use crate::stream::{Class, Flag, Refusal, Stream, Verdict, flag, use_note};
use crate::table::{may_be_a_slip, same_name};
use crate::words::{Said, is_unseen, say};

/// A bucket judged: the ticket to write and what to say.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Judged {
    pub(crate) ticket: Ticket,
    pub(crate) flag: Flag,
    pub(crate) doubts: Doubts,
    pub(crate) cautions: Vec<Said>,
}

/// Heaviest single lift in ideal conditions: 23 kg (51 lb), the load constant
/// of the NIOSH lifting equation (Waters, Putz-Anderson, Garg 1994).
pub(crate) const ONE_LIFT: Grams = Grams::new(23_000);
/// Loads of a supplier's stream that tell what is usual (our default).
const LOADS_LOOKED_AT: u32 = 20;
/// Scale divisions below which a net weight is mostly the scale's own step
/// (20 d for class III: NIST Handbook 44 Table 8, from memory, unverified).
const SMALLEST_LOAD_DIVISIONS: i64 = 20;

impl<'a> Dock<'a> {
    /// The dock of a farm as its book stands.
    pub fn open(book: &Book, farm: &'a FarmSettings, tables: &'a Tables) -> Result<Self> {
        Ok(Self {
            farm,
            tables,
            rules: (tables.rules(farm)?).with_leaves(&book.leaves(Timestamp::MAX)?),
            containers: (book.containers()?.into_iter())
                .map(|container| (container.name.clone(), container))
                .collect(),
            suppliers: book.suppliers()?,
        })
    }

    /// Suppliers on the books, the latest used first.
    pub fn suppliers(&self) -> &[String] {
        &self.suppliers
    }

    pub fn containers(&self) -> impl Iterator<Item = &str> {
        self.containers.keys().map(String::as_str)
    }

    /// The verdict on a stream for this farm.
    pub fn verdict(&self, stream: &Stream) -> Flag {
        self.tables.judge(stream, Some(&self.rules), None)
    }

    /// Judges a bucket: all rejections at once, or the ticket with its doubts and cautions.
    pub(in crate::acts) fn judge(&self, bucket: &Bucket) -> Result<Judged, Vec<Rejection>> {
        let mut reading = BucketReading {
            dock: self,
            bucket,
            rejections: Vec::new(),
        };
        let read = reading.read();
        let rejections = reading.rejections;
        match read {
            Some(read) if rejections.is_empty() => Ok(self.judged(bucket, read)),
            _ => Err(rejections),
        }
    }

    fn judged(&self, bucket: &Bucket, read: Read<'_>) -> Judged {
        let mut touched = bucket.touched.clone();
        let kinds = read.picked_out.iter().map(|part| part.kind.as_str());
        touched_by(kinds, &mut touched);
        let supplier = self.supplier_known(&bucket.supplier);
        let judged = self.judged_of(read.stream, &touched, &supplier);
        let (mut flag, refusal) = decided_at_dock(bucket, judged, read.stream, &read.picked_out);
        if let Some(rule) = (self.rules.mouldy()).filter(|_| refusal == Some(Refusal::Mouldy)) {
            flag.use_note = use_note(rule, None);
        }
        let mut cautions = Vec::new();
        let (word, stream) = (bucket.stream.trim(), &read.stream.id);
        let not_listed = read.stream.is_not_listed();
        if not_listed {
            cautions.push(say!("caution-not-listed"));
        } else if word != stream.as_str() {
            let (name, class) = (&read.stream.name, read.stream.class);
            cautions.push(say!("caution-taken-as", word, stream, name, class));
        }
        if flag.verdict == Verdict::Refuse && bucket.refuse.is_none() {
            cautions.push(say!("caution-barred"));
        }
        if flag.verdict == Verdict::AskFirst && !not_listed {
            cautions.push(say!("caution-leave-first", stream = &read.stream.id));
            cautions.push(flag.use_note.clone());
        }
        let refused = refusal.map(|refusal| say!("caution-refused", what = refusal.caution()));
        cautions.extend(refused);
        self.cautions(&read, &mut cautions);
        let mut doubts = self.doubts(bucket, &read);
        may_hold_parts(&flag, &read, &mut doubts);
        let ticket = Ticket {
            supplier,
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
            reason: flag.reason.in_english(),
            confirmed: bucket.sure,
            note: bucket.note.clone(),
            scale: bucket.scale.clone(),
        };
        Judged {
            ticket,
            flag,
            doubts,
            cautions,
        }
    }

    /// The verdict on one supplier's load of a stream that touched these classes.
    pub(in crate::acts) fn judged_of(
        &self,
        stream: &Stream,
        touched: &[Class],
        supplier: &str,
    ) -> Flag {
        flag(
            stream,
            &self.tables.stages.flag_limits,
            self.rules.strictest(stream, touched),
            self.rules.leave(&stream.id, Some(supplier)),
        )
    }

    /// What is unlikely of the load by itself.
    fn doubts(&self, bucket: &Bucket, read: &Read<'_>) -> Doubts {
        let mut doubts = Doubts::default();
        let units = self.farm.units;
        let (net, kg) = (units.told(read.net), read.net.kg());
        doubts.weigh(&doubts::NO_NET, "gross", kg * 1000.0, say!("doubt-no-net"));
        let bound = |kg| units.told_kg(kg).into();
        doubts.weigh_worded(&doubts::BY_HAND, "gross", kg, bound, &net);
        let volume = read.volume.map(Litres::get).filter(|litres| *litres > 0.0);
        if let (Some(volume), Some(_)) = (volume, &read.gross) {
            // Part full is no doubt: a container's volume is not the load's.
            let seen = say!(
                "doubt-density",
                weight = &net,
                litres = units.volume(volume),
                density = units.kg_per_l(kg / volume),
            );
            let bound = |density| units.kg_per_l(density).into();
            doubts.weigh_worded(&doubts::TOO_DENSE, "gross", kg / volume, bound, seen);
        }
        if let Some(pct) = read.moisture_pct {
            let book = table_moisture(read.stream);
            doubts.moisture("moisture_pct", pct, 0.0, book);
        }
        self.doubts_of_name(&bucket.supplier, "", &mut doubts);
        doubts
    }

    /// A supplier new in the book whose name is nearly one in it, besides the
    /// one it stands instead of.
    pub(in crate::acts) fn doubts_of_name(
        &self,
        typed: &str,
        instead_of: &str,
        doubts: &mut Doubts,
    ) {
        let supplier = typed.trim();
        let new = !(self.suppliers.iter()).any(|known| same_name(known, supplier));
        let alike =
            |known: &&String| new && known.as_str() != instead_of && may_be_a_slip(known, supplier);
        if let Some(known) = self.suppliers.iter().find(alike) {
            let seen = say!("doubt-alike", supplier, known);
            doubts.weigh(&doubts::ALIKE, "supplier", 1.0, seen);
        }
    }

    /// What is unlikely of the load beside what the book holds.
    pub(in crate::acts) fn doubts_of_book(
        &self,
        book: &Book,
        ticket: &Ticket,
        (id, at): (&str, Timestamp),
        doubts: &mut Doubts,
    ) -> Result<()> {
        let Some(gross) = ticket.gross_g.filter(|_| !ticket.bought) else {
            return Ok(());
        };
        let until = at
            .saturating_add(SignedDuration::from_mins(10))
            .unwrap_or(at);
        let before = book.loads_alike(&ticket.supplier, &ticket.stream, until, LOADS_LOOKED_AT)?;
        let others = || before.iter().filter(|load| load.id != id);
        let apart = |load: &LoadAlike| at.duration_since(load.at).abs().as_secs_f64() / 60.0;
        let same = others().filter(|load| load.gross == gross && load.net == ticket.net_g);
        if let Some(minutes) = same.map(apart).min_by(f64::total_cmp) {
            let net = self.farm.units.told(ticket.net_g);
            let seen = say!("doubt-same-load", weight = net, stream = &ticket.stream,);
            doubts.weigh(&doubts::TWICE, "gross", minutes, seen);
        }
        let mut usual: Vec<Grams> = others().map(|load| load.net).collect();
        usual.sort_unstable();
        if let Some(middle) = usual.get(usual.len() / 2).filter(|_| usual.len() >= 3)
            && *middle > Grams::ZERO
        {
            let both = |grams| self.farm.units.told(grams);
            let (weight, usual) = (both(ticket.net_g), both(*middle));
            let seen = say!("doubt-unusual", weight, usual);
            let times = ticket.net_g.kg() / middle.kg();
            doubts.weigh(&doubts::UNUSUAL, "gross", times, seen);
        }
        Ok(())
    }

    fn cautions(&self, read: &Read<'_>, cautions: &mut Vec<Said>) {
        let heaviest = read.gross.as_ref().map_or(read.net, Reading::grams);
        if heaviest > ONE_LIFT {
            let weight = self.farm.units.told(heaviest);
            cautions.push(say!("caution-lift", weight));
        }
        let smallest = self.farm.units.division.grams(SMALLEST_LOAD_DIVISIONS);
        if read.net > Grams::ZERO && read.net < smallest && read.gross.is_some() {
            let smallest = self.farm.units.weight(smallest);
            cautions.push(say!("caution-few-divisions", smallest));
        }
        if read.gross.is_none() {
            cautions.push(say!("caution-estimated"));
        }
    }

    /// The name as it stands in the book, or as typed where it is new.
    pub(in crate::acts) fn supplier_known(&self, typed: &str) -> String {
        let typed = typed.trim();
        // One letter for letter first: an older book may hold two spellings.
        let exact = self.suppliers.iter().find(|known| *known == typed);
        let known = exact.or_else(|| self.suppliers.iter().find(|known| same_name(known, typed)));
        known.map_or_else(|| typed.to_owned(), Clone::clone)
    }
}

/// Bone in the bucket means it touched meat, whatever the label says.
pub(crate) fn touched_by<'a>(
    mut picked_out: impl Iterator<Item = &'a str>,
    touched: &mut Vec<Class>,
) {
    if picked_out.any(|kind| kind.contains("bone")) && !touched.contains(&Class::MeatFish) {
        touched.push(Class::MeatFish);
    }
}

/// The question a load asks that may hold parts nobody has a figure for.
fn may_hold_parts(flag: &Flag, read: &Read<'_>, doubts: &mut Doubts) {
    let Some(part) = read.stream.inedible.as_ref() else {
        return;
    };
    let is_open = part.share.is_none() && read.picked_out.is_empty();
    if is_open && flag.verdict < Verdict::Compost {
        let (stream, kind) = (&read.stream.id, &part.kind);
        let seen = say!("doubt-may-hold", stream, kind);
        doubts.weigh(&doubts::PARTS, "picked_out", 1.0, seen);
    }
}

/// What staff decide wins when it is stricter than the table.
pub(crate) fn decided_at_dock(
    bucket: &Bucket,
    judged: Flag,
    stream: &Stream,
    picked_out: &[PickedOut],
) -> (Flag, Option<Refusal>) {
    let decided = |verdict, reason: Said, use_note| Flag {
        verdict,
        reason,
        use_note,
    };
    if let Some(reason) = &bucket.refuse {
        let flag = decided(Verdict::Refuse, reason.trim().into(), judged.use_note);
        return (flag, Refusal::from_word(reason));
    }
    if let Some(verdict) = bucket.verdict.filter(|verdict| *verdict > judged.verdict) {
        let note = bucket.note.as_ref();
        let reason = note.map_or_else(|| say!("decided-at-dock"), Said::from);
        let refusal = note
            .filter(|_| verdict == Verdict::Refuse)
            .and_then(|word| Refusal::from_word(word));
        return (decided(verdict, reason, judged.use_note), refusal);
    }
    let part = (stream.inedible.as_ref()).filter(|_| judged.verdict == Verdict::PickOut);
    let reason = match part {
        Some(_) if !picked_out.is_empty() => {
            let kinds: Vec<&str> = picked_out.iter().map(|part| part.kind.as_str()).collect();
            say!("dock-picked-out", kinds = kinds.join(", "))
        }
        Some(part) if part.share.is_none() && bucket.sure => {
            say!("dock-looked", kind = &part.kind)
        }
        _ => return (judged, None),
    };
    (decided(Verdict::Feed, reason, judged.use_note), None)
}

/// Weighs a bucket in: one record, read back as the ticket shown.
pub fn weigh_in(
    book: &mut Daybook,
    dock: &Dock<'_>,
    bucket: &Bucket,
    asked: &Asked,
) -> Result<TicketCard> {
    book.write(asked.now, |writing| {
        weigh_into(writing, dock, bucket, asked)
    })
}

/// One bucket of a writing that may hold more.
pub(crate) fn weigh_into(
    writing: &mut Writing<'_>,
    dock: &Dock<'_>,
    bucket: &Bucket,
    asked: &Asked,
) -> Result<TicketCard> {
    caller_id(&asked.id)?;
    let judged = dock.judge(bucket)?;
    let meant = Asked {
        sure: asked.sure || bucket.sure,
        ..asked.clone()
    };
    meant.doubt(writing, |doubts| {
        doubts.extend(judged.doubts.clone());
        dock.doubts_of_book(writing, &judged.ticket, (&asked.id, asked.at), doubts)
    })?;
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
        scale: ticket.scale,
        net: ticket.net_g,
        estimated: ticket.estimated,
        put: judged.flag.verdict.place(),
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
pub(crate) fn caller_id(id: &str) -> Result<(), Rejection> {
    let reads_as_record = id
        .strip_prefix('r')
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()));
    let fine = !id.is_empty()
        && id.chars().count() <= 60
        && !id.starts_with('#')
        && !reads_as_record
        && !id.chars().any(|c| is_unseen(c) || c.is_whitespace());
    if fine || id.starts_with(MADE_HERE) {
        return Ok(());
    }
    Err(Rejection::new("ticket", id, say!("accepted-ticket-id")))
}
