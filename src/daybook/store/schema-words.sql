-- What a farm chose where we have a default, how a cohort begins and is fed,
-- and words given later: a ticket corrected, a lot looked at, leave to feed.

PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'kind = ''adopted''',
                   'kind = ''adopted'' OR kind = ''correction'' OR kind = ''look'' OR
                     kind = ''leave''')
    WHERE type = 'table' AND name = 'record';
UPDATE sqlite_schema SET sql = replace(sql, 'verdict = ''refuse''',
                   'verdict = ''refuse'' OR verdict = ''ask first''')
    WHERE type = 'table' AND name = 'ticket';
PRAGMA writable_schema = RESET;

-- NULL everywhere: our default.
ALTER TABLE farm ADD COLUMN decimal_mark TEXT CHECK (decimal_mark IN ('point', 'comma'));
-- The chance, per cent, that each window of a mix should hold.
ALTER TABLE farm ADD COLUMN sure_pct INTEGER CHECK (sure_pct BETWEEN 50 AND 99);
-- The smallest weight worth taking from a lot, and the most lots for a group.
ALTER TABLE farm ADD COLUMN smallest_draw_g INTEGER CHECK (smallest_draw_g BETWEEN 1 AND 1000000);
ALTER TABLE farm ADD COLUMN most_lots INTEGER CHECK (most_lots BETWEEN 1 AND 100);
ALTER TABLE farm ADD COLUMN water TEXT CHECK (water IN ('last-resort', 'never'));
-- A second, finer scale: its division with the unit as typed, and the most it carries.
ALTER TABLE farm ADD COLUMN small_division TEXT CHECK (small_division <> '');
ALTER TABLE farm ADD COLUMN small_up_to_g INTEGER
    CHECK (small_up_to_g BETWEEN 1 AND 1000000)
    CHECK ((small_up_to_g IS NULL) = (small_division IS NULL));
-- The stage fed first when there is not enough.
ALTER TABLE farm ADD COLUMN first_stage TEXT CHECK (first_stage <> '');

-- So many larvae at the start weighed so many micrograms, fresh; NULL: not weighed.
ALTER TABLE cohort ADD COLUMN start_count INTEGER CHECK (start_count BETWEEN 1 AND 1000000000);
ALTER TABLE cohort ADD COLUMN start_ug INTEGER
    CHECK (start_ug BETWEEN 1 AND 1000000000000)
    CHECK ((start_ug IS NULL) = (start_count IS NULL));
-- `daily`, `once` or `every-N`; NULL: as its stage is fed.
ALTER TABLE cohort ADD COLUMN feeding TEXT CHECK (feeding <> '');

-- What a ticket should have said, never its weights. NULL: as it was.
CREATE TABLE correction (
    seq          INTEGER PRIMARY KEY REFERENCES record (seq),
    ticket_seq   INTEGER NOT NULL REFERENCES ticket (seq),
    supplier     TEXT CHECK (supplier <> ''),
    stream       TEXT CHECK (stream <> ''),
    note         TEXT CHECK (note <> ''),
    price_per_kg REAL,
    -- What staff are told to do now that the stream is another, and why.
    verdict      TEXT CHECK (
                     verdict = 'feed' OR verdict = 'pick out' OR verdict = 'compost' OR
                     verdict = 'refuse' OR verdict = 'ask first'),
    reason       TEXT,
    why          TEXT NOT NULL CHECK (why <> ''),
    CHECK ((verdict IS NULL) = (reason IS NULL)),
    CHECK (COALESCE(supplier, stream, note, price_per_kg) IS NOT NULL)
) STRICT;
CREATE INDEX correction_by_ticket ON correction (ticket_seq);

-- A lot past its keeping time that someone looked at, for one night.
CREATE TABLE look (
    seq     INTEGER PRIMARY KEY REFERENCES record (seq),
    lot_seq INTEGER NOT NULL REFERENCES ticket (seq),
    night   TEXT NOT NULL,
    fit     INTEGER NOT NULL CHECK (fit IN (0, 1)),
    note    TEXT CHECK (note <> '')
) STRICT;
CREATE INDEX look_by_night ON look (night);

-- An authority's leave to feed a stream that is "ask first".
CREATE TABLE leave (
    seq      INTEGER PRIMARY KEY REFERENCES record (seq),
    stream   TEXT NOT NULL CHECK (stream <> ''),
    -- NULL: whoever brings it.
    supplier TEXT CHECK (supplier <> ''),
    given_by TEXT NOT NULL CHECK (given_by <> ''),
    given_on TEXT NOT NULL,
    what_for TEXT NOT NULL CHECK (what_for <> '')
) STRICT;
