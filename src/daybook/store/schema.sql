-- The daybook, schema 1. Every record has one row in `record` and one in the
-- table of its kind, joined by `seq`. Weights are whole grams; instants are
-- UTC in one fixed form, so that they sort as text. Rows are only ever added.
-- Longer lists of words are spelt out with OR, since SQLite builds a table for
-- every check of a long IN.

CREATE TABLE record (
    seq          INTEGER PRIMARY KEY CHECK (seq >= 1),
    id           TEXT NOT NULL UNIQUE CHECK (id <> ''),
    kind         TEXT NOT NULL CHECK (
                     kind = 'farm' OR kind = 'container' OR
                     kind = 'ticket' OR kind = 'strike' OR kind = 'assay' OR
                     kind = 'reweigh' OR kind = 'cohort' OR
                     kind = 'cohort-end' OR kind = 'sheet' OR
                     kind = 'fed' OR kind = 'discard'),
    at_utc       TEXT NOT NULL CHECK (at_utc GLOB
                     '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]Z'),
    recorded_utc TEXT NOT NULL CHECK (recorded_utc GLOB
                     '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]Z'),
    by_whom      TEXT NOT NULL CHECK (by_whom <> ''),
    -- SHA-256 in hex over the digest of the record before and this record's content.
    digest       TEXT NOT NULL CHECK (length(digest) = 64)
) STRICT;
CREATE INDEX record_by_at ON record (at_utc);

CREATE TABLE farm (
    seq        INTEGER PRIMARY KEY REFERENCES record (seq),
    zone       TEXT NOT NULL CHECK (zone <> ''),
    unit       TEXT NOT NULL CHECK (
                     unit = 'lb' OR unit = 'oz' OR unit = 'kg' OR
                     unit = 'g' OR unit = 't'),
    division   TEXT NOT NULL CHECK (division <> ''),
    currency   TEXT NOT NULL,
    region     TEXT NOT NULL,
    larvae_for TEXT NOT NULL
) STRICT;

CREATE TABLE container (
    seq       INTEGER PRIMARY KEY REFERENCES record (seq),
    name      TEXT NOT NULL CHECK (name <> ''),
    tare_g    INTEGER NOT NULL CHECK (tare_g BETWEEN 0 AND 1000000000000),
    tare_text TEXT NOT NULL,
    volume_l  REAL CHECK (volume_l >= 0)
) STRICT;

CREATE TABLE ticket (
    seq          INTEGER PRIMARY KEY REFERENCES record (seq),
    -- Counted from 1 in the order of writing, without gaps.
    number       INTEGER NOT NULL UNIQUE CHECK (number >= 1),
    -- The record's own instant once more, so that sums need not visit `record`.
    at_utc       TEXT NOT NULL,
    supplier     TEXT NOT NULL CHECK (supplier <> ''),
    stream       TEXT NOT NULL CHECK (stream <> ''),
    gross_g      INTEGER CHECK (gross_g BETWEEN 0 AND 1000000000000),
    gross_text   TEXT,
    tare_g       INTEGER CHECK (tare_g BETWEEN 0 AND 1000000000000),
    tare_text    TEXT,
    container    TEXT,
    unit         TEXT NOT NULL CHECK (
                     unit = 'lb' OR unit = 'oz' OR unit = 'kg' OR
                     unit = 'g' OR unit = 't'),
    division     TEXT NOT NULL,
    net_g        INTEGER NOT NULL CHECK (net_g BETWEEN 0 AND 1000000000000),
    volume_l     REAL CHECK (volume_l >= 0),
    estimated    INTEGER NOT NULL CHECK (estimated IN (0, 1)),
    bought       INTEGER NOT NULL CHECK (bought IN (0, 1)),
    price_per_kg REAL,
    moisture_pct REAL CHECK (moisture_pct BETWEEN 0 AND 100),
    -- Classes touched besides the stream's own, joined by commas.
    touched      TEXT NOT NULL,
    verdict      TEXT NOT NULL CHECK (
                     verdict = 'feed' OR verdict = 'pick out' OR
                     verdict = 'compost' OR verdict = 'refuse'),
    reason       TEXT NOT NULL,
    confirmed    INTEGER NOT NULL CHECK (confirmed IN (0, 1)),
    note         TEXT,
    CHECK (estimated = 1 OR (gross_g IS NOT NULL AND net_g = gross_g - COALESCE(tare_g, 0)))
) STRICT;
CREATE INDEX ticket_by_source
    ON ticket (supplier, stream, bought, at_utc, verdict, estimated, net_g);

CREATE TABLE picked_out (
    seq   INTEGER NOT NULL REFERENCES ticket (seq),
    ord   INTEGER NOT NULL CHECK (ord >= 0),
    kind  TEXT NOT NULL CHECK (kind <> ''),
    grams INTEGER NOT NULL CHECK (grams BETWEEN 0 AND 1000000000000),
    text  TEXT NOT NULL,
    PRIMARY KEY (seq, ord)
) STRICT, WITHOUT ROWID;

CREATE TABLE strike (
    seq        INTEGER PRIMARY KEY REFERENCES record (seq),
    target_seq INTEGER NOT NULL UNIQUE REFERENCES record (seq),
    why        TEXT NOT NULL CHECK (why <> ''),
    CHECK (target_seq < seq)
) STRICT;

CREATE TABLE assay (
    seq          INTEGER PRIMARY KEY REFERENCES record (seq),
    lot_seq      INTEGER NOT NULL REFERENCES ticket (seq),
    method       TEXT NOT NULL CHECK (method <> ''),
    wet_g        REAL CHECK (wet_g >= 0),
    dry_g        REAL CHECK (dry_g >= 0),
    moisture_pct REAL NOT NULL CHECK (moisture_pct BETWEEN 0 AND 100),
    moisture_sd  REAL NOT NULL CHECK (moisture_sd >= 0)
) STRICT;
CREATE INDEX assay_by_lot ON assay (lot_seq);

-- What the book said is `found_g` plus the record's row in `outflow`.
CREATE TABLE reweigh (
    seq     INTEGER PRIMARY KEY REFERENCES record (seq),
    lot_seq INTEGER NOT NULL REFERENCES ticket (seq),
    found_g INTEGER NOT NULL CHECK (found_g BETWEEN 0 AND 1000000000000),
    text    TEXT NOT NULL
) STRICT;

CREATE TABLE cohort (
    seq          INTEGER PRIMARY KEY REFERENCES record (seq),
    name         TEXT NOT NULL CHECK (name <> ''),
    hatched      TEXT NOT NULL,
    larvae       INTEGER NOT NULL CHECK (larvae BETWEEN 0 AND 1000000000000),
    counted      TEXT NOT NULL,
    trays        INTEGER NOT NULL CHECK (trays BETWEEN 0 AND 1000000000),
    tray_area_m2 REAL NOT NULL CHECK (tray_area_m2 >= 0),
    depth_cm     REAL CHECK (depth_cm >= 0)
) STRICT;

CREATE TABLE cohort_end (
    seq  INTEGER PRIMARY KEY REFERENCES record (seq),
    name TEXT NOT NULL CHECK (name <> ''),
    why  TEXT NOT NULL
) STRICT;

CREATE TABLE sheet (
    seq     INTEGER PRIMARY KEY REFERENCES record (seq),
    night   TEXT NOT NULL,
    verdict TEXT NOT NULL
) STRICT;
CREATE INDEX sheet_by_night ON sheet (night);

CREATE TABLE sheet_draw (
    seq        INTEGER NOT NULL REFERENCES sheet (seq),
    ord        INTEGER NOT NULL CHECK (ord >= 0),
    group_name TEXT NOT NULL,
    lot_seq    INTEGER NOT NULL REFERENCES ticket (seq),
    grams      INTEGER NOT NULL CHECK (grams BETWEEN 0 AND 1000000000000),
    PRIMARY KEY (seq, ord)
) STRICT, WITHOUT ROWID;

CREATE TABLE sheet_addition (
    seq        INTEGER NOT NULL REFERENCES sheet (seq),
    ord        INTEGER NOT NULL CHECK (ord >= 0),
    group_name TEXT NOT NULL,
    kind       TEXT NOT NULL CHECK (kind IN ('bought', 'water')),
    stream     TEXT CHECK (stream <> ''),
    grams      INTEGER NOT NULL CHECK (grams BETWEEN 0 AND 1000000000000),
    PRIMARY KEY (seq, ord),
    CHECK ((kind = 'water') = (stream IS NULL))
) STRICT, WITHOUT ROWID;

CREATE TABLE fed (
    seq       INTEGER PRIMARY KEY REFERENCES record (seq),
    night     TEXT NOT NULL,
    sheet_seq INTEGER REFERENCES sheet (seq)
) STRICT;
CREATE INDEX fed_by_night ON fed (night);

-- Where it went and how much is the record's row in `outflow`.
CREATE TABLE discard (
    seq INTEGER PRIMARY KEY REFERENCES record (seq),
    why TEXT
) STRICT;

-- All weight that left a lot, whatever the reason. `shrink` is a difference
-- between scale and book and may be below zero.
CREATE TABLE outflow (
    seq        INTEGER NOT NULL REFERENCES record (seq),
    ord        INTEGER NOT NULL CHECK (ord >= 0),
    lot_seq    INTEGER NOT NULL REFERENCES ticket (seq),
    -- The record's own instant once more, so that sums need not visit `record`.
    at_utc     TEXT NOT NULL,
    kind       TEXT NOT NULL CHECK (
                     kind = 'fed' OR kind = 'shrink' OR
                     kind = 'composted' OR kind = 'returned' OR
                     kind = 'landfilled' OR kind = 'liquor' OR
                     kind = 'picked_out'),
    grams      INTEGER NOT NULL CHECK (grams BETWEEN -1000000000000 AND 1000000000000),
    group_name TEXT,
    PRIMARY KEY (seq, ord),
    CHECK ((kind = 'fed') = (group_name IS NOT NULL)),
    CHECK (kind = 'shrink' OR grams >= 0)
) STRICT, WITHOUT ROWID;
CREATE INDEX outflow_by_lot ON outflow (lot_seq, at_utc, kind, grams);

-- Weight fed that never was in stock: bought on the night, or water.
CREATE TABLE inflow (
    seq        INTEGER NOT NULL REFERENCES fed (seq),
    ord        INTEGER NOT NULL CHECK (ord >= 0),
    kind       TEXT NOT NULL CHECK (kind IN ('bought', 'water')),
    stream     TEXT CHECK (stream <> ''),
    grams      INTEGER NOT NULL CHECK (grams BETWEEN 0 AND 1000000000000),
    group_name TEXT NOT NULL,
    PRIMARY KEY (seq, ord),
    CHECK ((kind = 'water') = (stream IS NULL))
) STRICT, WITHOUT ROWID;

-- What counts: everything but the struck. A strike can't be struck.
CREATE VIEW live_record AS SELECT * FROM record x
    WHERE NOT EXISTS (SELECT 1 FROM strike WHERE target_seq = x.seq);
CREATE VIEW live_ticket AS SELECT * FROM ticket x
    WHERE NOT EXISTS (SELECT 1 FROM strike WHERE target_seq = x.seq);
CREATE VIEW live_outflow AS SELECT * FROM outflow x
    WHERE NOT EXISTS (SELECT 1 FROM strike WHERE target_seq = x.seq);
CREATE VIEW live_inflow AS SELECT * FROM inflow x
    WHERE NOT EXISTS (SELECT 1 FROM strike WHERE target_seq = x.seq);
