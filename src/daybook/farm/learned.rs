use jiff::Timestamp;
use serde::Deserialize;

use crate::daybook::intake::said::told;
use crate::daybook::store::get::rows;
use crate::daybook::store::instants;
use crate::daybook::{Book, Result, SPOILED};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// A moisture test by whose load it was.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct MoistureTold {
    pub lot_seq: i64,
    pub supplier: String,
    pub stream: StreamId,
    pub came: Timestamp,
    pub moisture_pct: f64,
    /// One standard deviation, percentage points; `None` for one stated at the dock.
    pub sd: Option<f64>,
}

/// A weighed load whose volume is known.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct DensityTold {
    pub supplier: String,
    pub stream: StreamId,
    pub came: Timestamp,
    pub net_g: Grams,
    pub volume_l: f64,
}

/// How a lot that was meant for feed ended.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct LotFate {
    pub stream: StreamId,
    pub came: Timestamp,
    pub left: Timestamp,
    /// Whether some of it was discarded as spoiled.
    pub spoiled: bool,
}

/// The newest test of each lot, an assay before what was stated at the dock.
const MOISTURES: &str = concat!(
    "SELECT t.seq AS lot_seq, t.supplier, t.stream, t.at_utc AS came, a.moisture_pct,
            a.moisture_sd AS sd
     FROM assay a JOIN live_record r ON r.seq = a.seq JOIN ",
    told!(),
    " t WHERE t.seq = a.lot_seq AND r.at_utc <= ?1 AND t.at_utc >= ?2
     AND NOT EXISTS (SELECT 1 FROM assay b JOIN live_record q ON q.seq = b.seq
         WHERE b.lot_seq = a.lot_seq AND q.at_utc <= ?1
         AND (q.at_utc, b.seq) > (r.at_utc, a.seq))
     UNION ALL
     SELECT t.seq, t.supplier, t.stream, t.at_utc, t.moisture_pct, NULL FROM ",
    told!(),
    " t WHERE t.at_utc BETWEEN ?2 AND ?1 AND t.moisture_pct IS NOT NULL
     AND NOT EXISTS (SELECT 1 FROM assay b JOIN live_record q ON q.seq = b.seq
         WHERE b.lot_seq = t.seq AND q.at_utc <= ?1)
     ORDER BY 4, 1"
);

const DENSITIES: &str = concat!(
    "SELECT supplier, stream, at_utc AS came, net_g, volume_l FROM ",
    told!(),
    " WHERE at_utc BETWEEN ?2 AND ?1 AND volume_l IS NOT NULL AND container IS NULL
     AND estimated = 0 AND volume_l > 0 AND net_g > 0 ORDER BY at_utc, seq"
);

/// One row a lot: when the last of it left, or when it was found spoiled.
const FATES: &str = concat!(
    "SELECT t.stream, t.at_utc AS came, MAX(o.at_utc) AS left,
            MAX(o.kind <> 'fed' AND EXISTS (SELECT 1 FROM discard d
                WHERE d.seq = o.seq AND (d.why = ?2 OR d.why LIKE ?2 || ': %'))) AS spoiled
     FROM ",
    told!(),
    " t JOIN live_outflow o WHERE o.lot_seq = t.seq AND o.at_utc <= ?1 AND t.verdict IN ('feed', 'pick out')
     AND o.kind <> 'shrink' AND o.kind <> 'picked_out' AND o.kind <> 'liquor' AND o.grams > 0
     GROUP BY t.seq ORDER BY t.seq"
);

impl Book {
    /// The newest moisture test by `until` of every lot that came since an
    /// instant and has one, in the order they came.
    pub fn moistures(&self, since: Timestamp, until: Timestamp) -> Result<Vec<MoistureTold>> {
        let span = [instants::text(until), instants::text_not_before(since)];
        self.read(|conn| rows(conn, MOISTURES, span))
    }

    /// Weighed loads that came between two instants and whose volume was
    /// measured, not taken from their container.
    pub fn densities(&self, since: Timestamp, until: Timestamp) -> Result<Vec<DensityTold>> {
        let span = [instants::text(until), instants::text_not_before(since)];
        self.read(|conn| rows(conn, DENSITIES, span))
    }

    /// How lots meant for feed ended by `until`; those of which nothing left are not told.
    pub fn lot_fates(&self, until: Timestamp) -> Result<Vec<LotFate>> {
        self.read(|conn| rows(conn, FATES, [&instants::text(until), SPOILED]))
    }
}
