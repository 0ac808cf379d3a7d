-- What each source held by all records up to `seq`, struck ones left out,
-- whatever their instants: a month adds up what came since, not the whole
-- book. Reckoned from the records, never instead of them; `check` reckons
-- every row again. A source that held nothing has no row.
CREATE TABLE stock_mark (
    seq      INTEGER NOT NULL REFERENCES record (seq),
    supplier TEXT NOT NULL CHECK (supplier <> ''),
    stream   TEXT NOT NULL CHECK (stream <> ''),
    bought   INTEGER NOT NULL CHECK (bought IN (0, 1)),
    grams    INTEGER NOT NULL CHECK (grams <> 0),
    PRIMARY KEY (seq, supplier, stream, bought)
) STRICT, WITHOUT ROWID;
