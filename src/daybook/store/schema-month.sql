-- Closed months, more ways out, and what a statement says of the farm. A check
-- of a list of words is widened in the schema's own text, as SQLite's
-- documentation of ALTER TABLE describes for changes that touch no row.

PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'kind = ''discard''',
                   'kind = ''discard'' OR kind = ''month-closed''')
    WHERE type = 'table' AND name = 'record';
UPDATE sqlite_schema SET sql = replace(sql, 'kind = ''picked_out''',
                   'kind = ''picked_out'' OR kind = ''animals'' OR kind = ''processing'' OR
                     kind = ''digestion'' OR kind = ''combustion'' OR kind = ''land'' OR
                     kind = ''discards'' OR kind = ''sewer''')
    WHERE type = 'table' AND name = 'outflow';
PRAGMA writable_schema = RESET;

-- Printed on statements; NULL where the farm has not said.
ALTER TABLE farm ADD COLUMN name TEXT CHECK (name <> '');
-- Says in the farm's words why its scale counts as verified; NULL: it does not.
ALTER TABLE farm ADD COLUMN verified_scale TEXT CHECK (verified_scale <> '');
-- The rule by which "diverted" is reckoned; NULL: our default.
ALTER TABLE farm ADD COLUMN diverted_rule TEXT CHECK (diverted_rule <> '');

-- A month as it was handed out. A later version stands beside the earlier.
CREATE TABLE month_closed (
    seq            INTEGER PRIMARY KEY REFERENCES record (seq),
    month          TEXT NOT NULL CHECK (month GLOB '[12][0-9][0-9][0-9]-[01][0-9]'),
    version        INTEGER NOT NULL CHECK (version >= 1),
    zone           TEXT NOT NULL CHECK (zone <> ''),
    from_utc       TEXT NOT NULL,
    to_utc         TEXT NOT NULL CHECK (to_utc > from_utc),
    -- Bought and fed the same night, and water added.
    night_bought_g INTEGER NOT NULL CHECK (night_bought_g >= 0),
    night_water_g  INTEGER NOT NULL CHECK (night_water_g >= 0),
    why            TEXT CHECK (why <> ''),
    UNIQUE (month, version),
    CHECK (version = 1 OR why IS NOT NULL)
) STRICT;

CREATE TABLE month_figure (
    seq           INTEGER NOT NULL REFERENCES month_closed (seq),
    ord           INTEGER NOT NULL CHECK (ord >= 0),
    supplier      TEXT NOT NULL CHECK (supplier <> ''),
    stream        TEXT NOT NULL CHECK (stream <> ''),
    bought        INTEGER NOT NULL CHECK (bought IN (0, 1)),
    loads         INTEGER NOT NULL CHECK (loads >= 0),
    refused_loads INTEGER NOT NULL CHECK (refused_loads >= 0),
    opening_g     INTEGER NOT NULL,
    received_g    INTEGER NOT NULL,
    estimated_g   INTEGER NOT NULL,
    refused_g     INTEGER NOT NULL,
    picked_out_g  INTEGER NOT NULL,
    fed_g         INTEGER NOT NULL,
    composted_g   INTEGER NOT NULL,
    returned_g    INTEGER NOT NULL,
    landfilled_g  INTEGER NOT NULL,
    liquor_g      INTEGER NOT NULL,
    shrink_g      INTEGER NOT NULL,
    animals_g     INTEGER NOT NULL,
    processing_g  INTEGER NOT NULL,
    digestion_g   INTEGER NOT NULL,
    combustion_g  INTEGER NOT NULL,
    land_g        INTEGER NOT NULL,
    discards_g    INTEGER NOT NULL,
    sewer_g       INTEGER NOT NULL,
    closing_g     INTEGER NOT NULL,
    PRIMARY KEY (seq, ord)
) STRICT, WITHOUT ROWID;
