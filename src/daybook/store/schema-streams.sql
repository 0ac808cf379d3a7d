-- Streams of the farm's own, each like one of the table but for what is said here;
-- the language of a farm's answers and sheets; the scale that sent a weight itself.

PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'kind = ''leave''',
                   'kind = ''leave'' OR kind = ''own-stream''')
    WHERE type = 'table' AND name = 'record';
PRAGMA writable_schema = RESET;

-- The newest of an id holds. NULL: as the template has it.
CREATE TABLE own_stream (
    seq          INTEGER PRIMARY KEY REFERENCES record (seq),
    stream       TEXT NOT NULL CHECK (stream <> ''),
    name         TEXT NOT NULL CHECK (name <> ''),
    template     TEXT NOT NULL CHECK (template <> ''),
    moisture_pct REAL CHECK (moisture_pct BETWEEN 0 AND 100),
    keeps_days   REAL CHECK (keeps_days > 0),
    -- The mildest verdict the farm gives it.
    verdict      TEXT CHECK (
                     verdict = 'pick out' OR verdict = 'ask first' OR
                     verdict = 'compost' OR verdict = 'refuse')
) STRICT;

-- NULL: as whoever asks.
ALTER TABLE farm ADD COLUMN language TEXT CHECK (language IN ('en', 'es'));

-- The name of the scale that sent the gross weight; NULL: typed in.
ALTER TABLE ticket ADD COLUMN scale TEXT CHECK (scale <> '');
