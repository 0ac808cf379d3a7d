use std::collections::BTreeMap;

use jiff::Timestamp;
use rusqlite::Params;
use serde::Deserialize;

use crate::daybook::intake::said::told;
use crate::daybook::store::get::rows;
use crate::daybook::store::instants;
use crate::daybook::{Book, Cohort, Filed, Harvest, OutflowKind, Payment, Result};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// Weight that left a lot and was not fed.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct LeftLine {
    pub seq: i64,
    pub at: Timestamp,
    pub kind: OutflowKind,
    /// Weight; shrink may be below zero.
    pub grams: Grams,
}

/// What was picked out at the dock comes first, under the ticket's own number.
const LEFT: &str = "SELECT t.seq, t.at_utc AS at, 'picked_out' AS kind, SUM(p.grams) AS grams
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

/// Money leads: there is far less of it than of records.
const BUYERS: &str =
    "SELECT DISTINCT m.party FROM money m CROSS JOIN live_record r ON r.seq = m.seq
     WHERE m.item IN ('sold-live', 'sold-dried', 'sold-frass') AND m.party IS NOT NULL
     ORDER BY m.party";

impl Book {
    /// Live tickets of a supplier that came from `from` up to, not at, `to`:
    /// their positions, refused ones too.
    pub fn tickets_of(&self, supplier: &str, from: Timestamp, to: Timestamp) -> Result<Vec<i64>> {
        let [from, to] = instants::span(from, to);
        self.read(|conn| rows(conn, OF_SUPPLIER, [supplier, &from, &to]))
    }

    /// What left these lots and was not fed, by lot; a lot of which all was fed
    /// or is on hand is not among them.
    pub fn left_otherwise(
        &self,
        lot_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<BTreeMap<i64, Vec<LeftLine>>> {
        self.read(|conn| {
            let mut left = BTreeMap::new();
            for lot in lot_seqs {
                let lines = rows(conn, LEFT, [lot])?;
                if !lines.is_empty() {
                    left.insert(lot, lines);
                }
            }
            Ok(left)
        })
    }

    /// Lots of one supplier and stream that hold something, by all live
    /// records: their positions and what they hold.
    pub fn held_alike(&self, supplier: &str, stream: &StreamId) -> Result<Vec<(i64, Grams)>> {
        self.read(|conn| rows(conn, HELD_ALIKE, [supplier, stream.as_str()]))
    }

    /// Live cohorts of a name, in the order of writing.
    pub fn cohorts_named(&self, name: &str) -> Result<Vec<Filed<Cohort>>> {
        self.live("cohort", "WHERE x.name = ?1", [name])
    }

    /// Live harvests of these cohorts, cohort by cohort.
    pub fn harvests_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<Filed<Harvest>>> {
        let which = "WHERE x.cohort_seq = ?1 ORDER BY r.at_utc, x.seq";
        let of = |cohort| self.live("harvest", which, [cohort]);
        let found: Result<Vec<_>, _> = cohort_seqs.into_iter().map(of).collect();
        Ok(found?.concat())
    }

    /// Live sales that name any of these cohorts, each once, in the order of writing.
    pub fn sales_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<Filed<Payment>>> {
        let mut found = BTreeMap::new();
        for cohort in cohort_seqs {
            let of = "AND x.seq IN (SELECT seq FROM money_cohort WHERE cohort_seq = ?1)";
            let sales = self.sales(of, [cohort])?;
            found.extend(sales.into_iter().map(|sale| (sale.seq, sale)));
        }
        Ok(found.into_values().collect())
    }

    /// Live sales to a buyer from an instant on and before another.
    pub fn sales_to(
        &self,
        buyer: &str,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<Filed<Payment>>> {
        let [from, to] = instants::span(from, to);
        let of = "AND x.party = ?1 AND r.at_utc >= ?2 AND r.at_utc < ?3 ORDER BY r.at_utc, x.seq";
        self.sales(of, [buyer, &from, &to])
    }

    /// Live sales from an instant on that name no cohort.
    pub fn sales_of_no_cohort(&self, from: Timestamp) -> Result<Vec<Filed<Payment>>> {
        let of = "AND r.at_utc >= ?1 AND NOT EXISTS (SELECT 1 FROM money_cohort c
                  WHERE c.seq = x.seq) ORDER BY r.at_utc, x.seq";
        self.sales(of, [instants::text_not_before(from)])
    }

    fn sales(&self, which: &str, values: impl Params) -> Result<Vec<Filed<Payment>>> {
        let sold = "WHERE x.item IN ('sold-live', 'sold-dried', 'sold-frass')";
        self.live("money", &format!("{sold} {which}"), values)
    }

    pub fn buyers(&self) -> Result<Vec<String>> {
        self.read(|conn| rows(conn, BUYERS, []))
    }
}

#[cfg(test)]
mod tests;
