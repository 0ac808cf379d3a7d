use std::collections::BTreeMap;

use jiff::Timestamp;

use super::cells::Cells;
use super::lookup::{rows, seqs};
use super::nights::filed;
use super::said::told;
use super::{Book, Cohort, DaybookError, Entry, Filed, Harvest, OutflowKind, Payment, instants};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// Weight that left a lot and was not fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftLine {
    /// Position of the record by which it left.
    pub seq: i64,
    /// When it happened.
    pub at: Timestamp,
    /// Which way.
    pub kind: OutflowKind,
    /// Weight; shrink may be below zero.
    pub grams: Grams,
}

/// What was picked out at the dock comes first, under the ticket's own number.
const LEFT: &str = "SELECT t.seq, t.at_utc, 'picked_out', SUM(p.grams)
     FROM live_ticket t JOIN picked_out p ON p.seq = t.seq WHERE t.seq = ?1 GROUP BY t.seq
     UNION ALL
     SELECT seq, at_utc, kind, grams FROM (
         SELECT seq, ord, at_utc, kind, grams FROM live_outflow
         WHERE lot_seq = ?1 AND kind <> 'fed' ORDER BY at_utc, seq, ord)";

/// By the index: those first written as the supplier's, and all ever corrected.
macro_rules! of_supplier {
    () => {
        concat!(
            told!(),
            " t WHERE t.supplier = ?1 AND t.seq IN (SELECT seq FROM ticket WHERE supplier = ?1
                UNION ALL SELECT ticket_seq FROM correction)"
        )
    };
}

const OF_SUPPLIER: &str = concat!(
    "SELECT t.seq FROM ",
    of_supplier!(),
    " AND t.at_utc >= ?2 AND t.at_utc < ?3 ORDER BY t.seq"
);

const HELD_ALIKE: &str = concat!(
    "SELECT seq, held FROM (
         SELECT t.seq, t.net_g
             - COALESCE((SELECT SUM(grams) FROM picked_out WHERE seq = t.seq), 0)
             - COALESCE((SELECT SUM(grams) FROM live_outflow WHERE lot_seq = t.seq), 0) AS held
         FROM ",
    of_supplier!(),
    " AND t.stream = ?2 AND t.verdict <> 'refuse')
     WHERE held <> 0 ORDER BY seq"
);

const COHORTS_NAMED: &str = "SELECT c.seq FROM cohort c JOIN live_record r ON r.seq = c.seq
     WHERE c.name = ?1 ORDER BY c.seq";

const HARVESTS_OF: &str = "SELECT h.seq FROM harvest h JOIN live_record r ON r.seq = h.seq
     WHERE h.cohort_seq = ?1 ORDER BY r.at_utc, h.seq";

const SALES_OF: &str = "SELECT DISTINCT m.seq FROM money_cohort c JOIN money m ON m.seq = c.seq
     JOIN live_record r ON r.seq = m.seq
     WHERE c.cohort_seq = ?1 AND m.item IN ('sold-live', 'sold-dried', 'sold-frass')
     ORDER BY m.seq";

/// Here and below money leads: there is far less of it than of records.
const SALES_TO: &str = "SELECT m.seq FROM money m CROSS JOIN live_record r ON r.seq = m.seq
     WHERE m.party = ?1 AND m.item IN ('sold-live', 'sold-dried', 'sold-frass')
     AND r.at_utc >= ?2 AND r.at_utc < ?3 ORDER BY r.at_utc, m.seq";

const SALES_OF_NONE: &str = "SELECT m.seq FROM money m CROSS JOIN live_record r ON r.seq = m.seq
     WHERE m.item IN ('sold-live', 'sold-dried', 'sold-frass') AND r.at_utc >= ?1
     AND NOT EXISTS (SELECT 1 FROM money_cohort c WHERE c.seq = m.seq) ORDER BY r.at_utc, m.seq";

const BUYERS: &str =
    "SELECT DISTINCT m.party FROM money m CROSS JOIN live_record r ON r.seq = m.seq
     WHERE m.item IN ('sold-live', 'sold-dried', 'sold-frass') AND m.party IS NOT NULL
     ORDER BY m.party";

impl Book {
    /// Live tickets of a supplier that came from `from` up to, not at, `to`:
    /// their positions, refused ones too.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn tickets_of(
        &self,
        supplier: &str,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<i64>, DaybookError> {
        let (from, to) = (
            instants::text_not_before(from),
            instants::text_not_before(to),
        );
        self.read(|conn| seqs(conn, OF_SUPPLIER, [supplier, from.as_str(), to.as_str()]))
    }

    /// What left these lots and was not fed, by lot; a lot of which all was fed
    /// or is on hand is not among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn left_otherwise(
        &self,
        lot_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<BTreeMap<i64, Vec<LeftLine>>, DaybookError> {
        self.read(|conn| {
            let mut left = BTreeMap::new();
            for lot in lot_seqs {
                let lines = rows(conn, LEFT, [lot], left_line)?;
                if !lines.is_empty() {
                    left.insert(lot, lines);
                }
            }
            Ok(left)
        })
    }

    /// Lots of one supplier and stream that hold something, by all live
    /// records: their positions and what they hold.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn held_alike(
        &self,
        supplier: &str,
        stream: &StreamId,
    ) -> Result<Vec<(i64, Grams)>, DaybookError> {
        self.read(|conn| {
            rows(conn, HELD_ALIKE, [supplier, stream.as_str()], |cells| {
                Ok((cells.cell()?, cells.grams()?))
            })
        })
    }

    /// Live cohorts of a name, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cohorts_named(&self, name: &str) -> Result<Vec<Filed<Cohort>>, DaybookError> {
        self.read(|conn| {
            filed(
                conn,
                seqs(conn, COHORTS_NAMED, [name])?,
                |entry| match entry {
                    Entry::Cohort(cohort) => Some(cohort),
                    _ => None,
                },
            )
        })
    }

    /// Live harvests of these cohorts, cohort by cohort.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn harvests_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<Filed<Harvest>>, DaybookError> {
        self.read(|conn| {
            let mut found = Vec::new();
            for cohort in cohort_seqs {
                found.extend(seqs(conn, HARVESTS_OF, [cohort])?);
            }
            filed(conn, found, |entry| match entry {
                Entry::Harvest(harvest) => Some(harvest),
                _ => None,
            })
        })
    }

    /// Live sales that name any of these cohorts, each once, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn sales_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<Filed<Payment>>, DaybookError> {
        self.read(|conn| {
            let mut found = Vec::new();
            for cohort in cohort_seqs {
                found.extend(seqs(conn, SALES_OF, [cohort])?);
            }
            found.sort_unstable();
            found.dedup();
            filed(conn, found, money)
        })
    }

    /// Live sales to a buyer from an instant on and before another.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn sales_to(
        &self,
        buyer: &str,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<Filed<Payment>>, DaybookError> {
        let (from, to) = (
            instants::text_not_before(from),
            instants::text_not_before(to),
        );
        self.read(|conn| {
            let found = seqs(conn, SALES_TO, [buyer, from.as_str(), to.as_str()])?;
            filed(conn, found, money)
        })
    }

    /// Live sales from an instant on that name no cohort.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn sales_of_no_cohort(&self, from: Timestamp) -> Result<Vec<Filed<Payment>>, DaybookError> {
        self.read(|conn| {
            let found = seqs(conn, SALES_OF_NONE, [instants::text_not_before(from)])?;
            filed(conn, found, money)
        })
    }

    /// Everyone who was sold something, by name.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn buyers(&self) -> Result<Vec<String>, DaybookError> {
        self.read(|conn| rows(conn, BUYERS, [], |cells| cells.cell()))
    }
}

fn left_line(cells: &mut Cells<'_>) -> rusqlite::Result<LeftLine> {
    Ok(LeftLine {
        seq: cells.cell()?,
        at: cells.instant()?,
        kind: cells.text_as(OutflowKind::parse)?,
        grams: cells.grams()?,
    })
}

fn money(entry: Entry) -> Option<Payment> {
    match entry {
        Entry::Money(money) => Some(money),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
