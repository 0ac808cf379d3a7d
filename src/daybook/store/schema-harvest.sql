-- What came off the trays, what was earned and spent, and what the owner took
-- over as the farm's own figure.

PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'kind = ''month-closed''',
                   'kind = ''month-closed'' OR kind = ''harvest'' OR kind = ''money'' OR
                     kind = ''adopted''')
    WHERE type = 'table' AND name = 'record';
PRAGMA writable_schema = RESET;

-- Larvae and residue taken from a cohort at one time; a cohort may have several.
CREATE TABLE harvest (
    seq                 INTEGER PRIMARY KEY REFERENCES record (seq),
    cohort_seq          INTEGER NOT NULL REFERENCES cohort (seq),
    -- Fresh weight.
    larvae_g            INTEGER NOT NULL CHECK (larvae_g BETWEEN 0 AND 1000000000000),
    larvae_text         TEXT NOT NULL,
    larvae_moisture_pct REAL CHECK (larvae_moisture_pct BETWEEN 0 AND 100),
    larvae_nitrogen_dm_pct REAL CHECK (larvae_nitrogen_dm_pct BETWEEN 0 AND 100),
    -- Either all larvae were counted, or so many weighed so much.
    counted             INTEGER CHECK (counted BETWEEN 0 AND 1000000000000),
    sample_count        INTEGER CHECK (sample_count BETWEEN 1 AND 1000000000),
    sample_g            REAL CHECK (sample_g > 0),
    dead                INTEGER CHECK (dead BETWEEN 0 AND 1000000000000),
    residue_g           INTEGER CHECK (residue_g BETWEEN 0 AND 1000000000000),
    residue_text        TEXT,
    residue_moisture_pct REAL CHECK (residue_moisture_pct BETWEEN 0 AND 100),
    residue_to          TEXT CHECK (
                            residue_to = 'kept' OR residue_to = 'sold' OR
                            residue_to = 'land' OR residue_to = 'composted' OR
                            residue_to = 'digestion' OR residue_to = 'landfilled'),
    note                TEXT,
    CHECK ((sample_count IS NULL) = (sample_g IS NULL)),
    CHECK (counted IS NULL OR sample_count IS NULL),
    CHECK ((residue_g IS NULL) = (residue_text IS NULL))
) STRICT;
CREATE INDEX harvest_by_cohort ON harvest (cohort_seq);

-- Money in or out, in hundredths of the farm's currency. The item says which way.
CREATE TABLE money (
    seq        INTEGER PRIMARY KEY REFERENCES record (seq),
    item       TEXT NOT NULL CHECK (
                   item = 'gate-fee' OR item = 'sold-live' OR item = 'sold-dried' OR
                   item = 'sold-frass' OR item = 'feed' OR item = 'labour' OR
                   item = 'energy' OR item = 'packaging' OR item = 'disposal' OR
                   item = 'other'),
    hundredths INTEGER NOT NULL CHECK (hundredths BETWEEN 0 AND 1000000000000),
    -- The task of labour, what else was paid for.
    what       TEXT CHECK (what <> ''),
    minutes    INTEGER CHECK (minutes BETWEEN 0 AND 1000000),
    kwh        REAL CHECK (kwh >= 0),
    grams      INTEGER CHECK (grams BETWEEN 0 AND 1000000000000),
    grams_text TEXT,
    -- Who paid or was paid.
    party      TEXT CHECK (party <> ''),
    note       TEXT,
    CHECK ((grams IS NULL) = (grams_text IS NULL)),
    CHECK (minutes IS NULL OR item = 'labour'),
    CHECK (kwh IS NULL OR item = 'energy')
) STRICT;

-- The cohorts it belongs to; none: to all of the farm.
CREATE TABLE money_cohort (
    seq        INTEGER NOT NULL REFERENCES money (seq),
    ord        INTEGER NOT NULL CHECK (ord >= 0),
    cohort_seq INTEGER NOT NULL REFERENCES cohort (seq),
    PRIMARY KEY (seq, ord)
) STRICT, WITHOUT ROWID;
CREATE INDEX money_by_cohort ON money_cohort (cohort_seq);

-- A figure of the tables that the owner replaced by the farm's own.
CREATE TABLE adopted (
    seq      INTEGER PRIMARY KEY REFERENCES record (seq),
    what     TEXT NOT NULL CHECK (
                 what = 'keeps-days' OR what = 'ration'),
    -- A stream's id, or a stage's name for a ration.
    subject  TEXT NOT NULL CHECK (subject <> ''),
    -- Days; times the rations of the stage table.
    value    REAL NOT NULL CHECK (value > 0),
    before   REAL,
    -- What it was taken from, as shown to the owner.
    evidence TEXT NOT NULL CHECK (evidence <> '')
) STRICT;

-- What a supplier's stream is like: read before every mix, so without a scan of all tickets.
CREATE INDEX ticket_tested ON ticket (at_utc, supplier, stream, moisture_pct)
    WHERE moisture_pct IS NOT NULL;
-- A container's own volume says what it holds brim-full, not how full it was.
CREATE INDEX ticket_measured ON ticket (at_utc, supplier, stream, net_g, volume_l)
    WHERE volume_l IS NOT NULL AND container IS NULL AND estimated = 0;
