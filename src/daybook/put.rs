use rusqlite::{Connection, params};

use super::{
    Addition, Assay, Cohort, Draw, Entry, Fed, NewRecord, OutflowKind, Reweigh, Sheet, Ticket,
    closed, farm_record, harvest_rows, instants, word_record,
};
use crate::quantity::Grams;

/// A record about to be written: its place, and what the book adds to it.
pub(super) struct Place<'a> {
    pub(super) seq: i64,
    /// The ticket number, used when the record is a ticket.
    pub(super) number: i64,
    pub(super) recorded_utc: &'a str,
    pub(super) digest: &'a str,
}

/// Writes a settled record into `record` and the tables of its kind.
pub(super) fn record(
    conn: &Connection,
    place: &Place<'_>,
    new: &NewRecord,
) -> rusqlite::Result<()> {
    let at = instants::text(new.at);
    conn.prepare_cached(
        "INSERT INTO record (seq, id, kind, at_utc, recorded_utc, by_whom, digest)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        place.seq,
        new.id,
        new.entry.kind(),
        at,
        place.recorded_utc,
        new.by,
        place.digest
    ])?;
    entry(conn, place, &at, &new.entry)
}

fn entry(conn: &Connection, place: &Place<'_>, at: &str, entry: &Entry) -> rusqlite::Result<()> {
    let seq = place.seq;
    let add = |sql: &str, values: &[&dyn rusqlite::ToSql]| {
        conn.prepare_cached(sql)?.execute(values).map(|_| ())
    };
    match entry {
        Entry::Farm(farm) => farm_record::put(conn, seq, farm),
        Entry::Container(container) => add(
            "INSERT INTO container (seq, name, tare_g, tare_text, volume_l)
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                seq,
                container.name,
                container.tare_g.get(),
                container.tare_text,
                container.volume_l
            ],
        ),
        Entry::Ticket(ticket) => put_ticket(conn, place, at, ticket),
        Entry::Strike(strike) => add(
            "INSERT INTO strike (seq, target_seq, why) VALUES (?1, ?2, ?3)",
            params![seq, strike.target_seq, strike.why],
        ),
        Entry::Assay(assay) => put_assay(conn, seq, assay),
        Entry::Reweigh(reweigh) => put_reweigh(conn, seq, at, reweigh),
        Entry::Cohort(cohort) => put_cohort(conn, seq, cohort),
        Entry::CohortEnd(end) => add(
            "INSERT INTO cohort_end (seq, name, why) VALUES (?1, ?2, ?3)",
            params![seq, end.name, end.why],
        ),
        Entry::Sheet(sheet) => put_sheet(conn, seq, sheet),
        Entry::Fed(fed) => put_fed(conn, seq, at, fed),
        Entry::Discard(discard) => {
            add(
                "INSERT INTO discard (seq, why) VALUES (?1, ?2)",
                params![seq, discard.why],
            )?;
            let kind = OutflowKind::To(discard.to);
            Outflows {
                conn,
                seq,
                at,
                ord: 0,
            }
            .add(discard.lot_seq, kind, discard.grams, None)
        }
        Entry::MonthClosed(closed) => closed::put(conn, seq, closed),
        Entry::Harvest(harvest) => harvest_rows::put_harvest(conn, seq, harvest),
        Entry::Money(money) => harvest_rows::put_money(conn, seq, money),
        Entry::Adopted(own) => harvest_rows::put_adopted(conn, seq, own),
        Entry::Correction(it) => word_record::put_correction(conn, seq, it),
        Entry::Look(look) => word_record::put_look(conn, seq, look),
        Entry::Leave(leave) => word_record::put_leave(conn, seq, leave),
    }
}

fn put_assay(conn: &Connection, seq: i64, assay: &Assay) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO assay (seq, lot_seq, method, wet_g, dry_g, moisture_pct, moisture_sd)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        seq,
        assay.lot_seq,
        assay.method,
        assay.wet_g,
        assay.dry_g,
        assay.moisture_pct,
        assay.moisture_sd
    ])?;
    Ok(())
}

fn put_cohort(conn: &Connection, seq: i64, cohort: &Cohort) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO cohort
             (seq, name, hatched, larvae, counted, trays, tray_area_m2, depth_cm, start_count,
              start_ug, feeding)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    )?
    .execute(params![
        seq,
        cohort.name,
        cohort.hatched.to_string(),
        cohort.larvae,
        cohort.counted,
        cohort.trays,
        cohort.tray_area_m2,
        cohort.depth_cm,
        cohort.start_count,
        cohort.start_ug,
        cohort.feeding.map(String::from)
    ])?;
    Ok(())
}

fn put_reweigh(conn: &Connection, seq: i64, at: &str, reweigh: &Reweigh) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO reweigh (seq, lot_seq, found_g, text) VALUES (?1, ?2, ?3, ?4)",
    )?
    .execute(params![
        seq,
        reweigh.lot_seq,
        reweigh.found_g.get(),
        reweigh.text
    ])?;
    let lost = Grams::new(reweigh.book_g.get().saturating_sub(reweigh.found_g.get()));
    Outflows {
        conn,
        seq,
        at,
        ord: 0,
    }
    .add(reweigh.lot_seq, OutflowKind::Shrink, lost, None)
}

fn put_ticket(
    conn: &Connection,
    place: &Place<'_>,
    at: &str,
    ticket: &Ticket,
) -> rusqlite::Result<()> {
    let touched: Vec<&str> = ticket.touched.iter().map(|class| class.as_str()).collect();
    conn.prepare_cached(
        "INSERT INTO ticket
         (seq, number, at_utc, supplier, stream, gross_g, gross_text, tare_g, tare_text,
          container, unit, division, net_g, volume_l, estimated, bought, price_per_kg,
          moisture_pct, touched, verdict, reason, confirmed, note)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17,
                 ?18, ?19, ?20, ?21, ?22, ?23)",
    )?
    .execute(params![
        place.seq,
        place.number,
        at,
        ticket.supplier,
        ticket.stream.as_str(),
        ticket.gross_g.map(Grams::get),
        ticket.gross_text,
        ticket.tare_g.map(Grams::get),
        ticket.tare_text,
        ticket.container,
        ticket.unit.to_string(),
        ticket.division,
        ticket.net_g.get(),
        ticket.volume_l,
        ticket.estimated,
        ticket.bought,
        ticket.price_per_kg,
        ticket.moisture_pct,
        touched.join(","),
        ticket.verdict.as_str(),
        ticket.reason,
        ticket.confirmed,
        ticket.note
    ])?;
    for (ord, part) in (0_i64..).zip(&ticket.picked_out) {
        conn.prepare_cached(
            "INSERT INTO picked_out (seq, ord, kind, grams, text) VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            place.seq,
            ord,
            part.kind,
            part.grams.get(),
            part.text
        ])?;
    }
    Ok(())
}

fn put_sheet(conn: &Connection, seq: i64, sheet: &Sheet) -> rusqlite::Result<()> {
    conn.prepare_cached("INSERT INTO sheet (seq, night, verdict) VALUES (?1, ?2, ?3)")?
        .execute(params![seq, sheet.night.to_string(), sheet.verdict])?;
    for (ord, draw) in (0_i64..).zip(&sheet.draws) {
        conn.prepare_cached(
            "INSERT INTO sheet_draw (seq, ord, group_name, lot_seq, grams)
             VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            seq,
            ord,
            draw.group,
            draw.lot_seq,
            draw.grams.get()
        ])?;
    }
    put_additions(conn, "sheet_addition", seq, &sheet.additions)
}

fn put_fed(conn: &Connection, seq: i64, at: &str, fed: &Fed) -> rusqlite::Result<()> {
    conn.prepare_cached("INSERT INTO fed (seq, night, sheet_seq) VALUES (?1, ?2, ?3)")?
        .execute(params![seq, fed.night.to_string(), fed.sheet_seq])?;
    let mut outflows = Outflows {
        conn,
        seq,
        at,
        ord: 0,
    };
    for Draw {
        group,
        lot_seq,
        grams,
    } in &fed.draws
    {
        outflows.add(*lot_seq, OutflowKind::Fed, *grams, Some(group))?;
    }
    for rest in &fed.remainders {
        outflows.add(rest.lot_seq, OutflowKind::Shrink, rest.grams, None)?;
    }
    put_additions(conn, "inflow", seq, &fed.additions)
}

fn put_additions(
    conn: &Connection,
    table: &str,
    seq: i64,
    additions: &[Addition],
) -> rusqlite::Result<()> {
    let sql = format!(
        "INSERT INTO {table} (seq, ord, group_name, kind, stream, grams)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)"
    );
    for (ord, addition) in (0_i64..).zip(additions) {
        let stream = addition.stream.as_ref().map(|stream| stream.as_str());
        let kind = if stream.is_some() { "bought" } else { "water" };
        conn.prepare_cached(&sql)?.execute(params![
            seq,
            ord,
            addition.group,
            kind,
            stream,
            addition.grams.get()
        ])?;
    }
    Ok(())
}

/// Writes one record's rows of outflow, in order.
struct Outflows<'a> {
    conn: &'a Connection,
    seq: i64,
    at: &'a str,
    ord: i64,
}

impl Outflows<'_> {
    fn add(
        &mut self,
        lot_seq: i64,
        kind: OutflowKind,
        grams: Grams,
        group: Option<&str>,
    ) -> rusqlite::Result<()> {
        self.conn
            .prepare_cached(
                "INSERT INTO outflow (seq, ord, lot_seq, at_utc, kind, grams, group_name)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                self.seq,
                self.ord,
                lot_seq,
                self.at,
                kind.as_str(),
                grams.get(),
                group
            ])?;
        self.ord += 1;
        Ok(())
    }
}
