-- Records of many books in one database, schema 1. A site may add its own
-- records and read them, nothing else; what they say of weights is read out of
-- them here, so no row can say another thing than the record it comes from.
--
-- A site is admitted by a role of its own, which is its id:
--   CREATE ROLE orchard_lane LOGIN PASSWORD '...' IN ROLE trayful_site;
-- Whoever adds up all sites reads the views as a member of trayful_reader.

DO $$ BEGIN
    IF current_setting('server_encoding') <> 'UTF8' THEN
        RAISE EXCEPTION 'the database keeps text as %, and digests are taken over UTF8',
            current_setting('server_encoding');
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'trayful_site') THEN
        CREATE ROLE trayful_site NOLOGIN;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'trayful_reader') THEN
        CREATE ROLE trayful_reader NOLOGIN;
    END IF;
END $$;

CREATE TABLE record (
    site   name   NOT NULL,
    seq    bigint NOT NULL CHECK (seq >= 1),
    -- SHA-256 over the digest before, in hex, and the body, both as UTF-8.
    digest bytea  NOT NULL CHECK (octet_length(digest) = 32),
    -- The exact text the digest is taken over: the whole record as JSON.
    body   text   NOT NULL,
    -- Read out of the body by a trigger, whatever was sent.
    kind        text        NOT NULL,
    at          timestamptz NOT NULL,
    recorded_at timestamptz NOT NULL,
    by_whom     text        NOT NULL,
    -- The record it strikes, or the ticket it corrects.
    of_seq      bigint CHECK (of_seq < seq),
    PRIMARY KEY (site, seq)
);
-- What is read whole by every month: few records of many.
CREATE INDEX record_said ON record (site, kind, seq)
    WHERE kind IN ('farm', 'strike', 'correction', 'month-closed');

-- Every weight that came, left or was added on a night. Its source is that of
-- the lot's ticket as first written; corrections are put over it in `moved`.
CREATE TABLE move (
    site      name        NOT NULL,
    seq       bigint      NOT NULL,
    ord       bigint      NOT NULL,
    at        timestamptz NOT NULL,
    -- The ticket of the lot; none for what was added on a night.
    lot_seq   bigint,
    supplier  text,
    stream    text,
    bought    boolean,
    -- received, refused; a way out; night or water, which were never in stock.
    way       text        NOT NULL,
    estimated boolean     NOT NULL,
    grams     bigint      NOT NULL,
    PRIMARY KEY (site, seq, ord),
    FOREIGN KEY (site, seq) REFERENCES record,
    CONSTRAINT leaves_a_lot_that_came CHECK (
        way IN ('night', 'water') OR
        (supplier IS NOT NULL AND stream IS NOT NULL AND bought IS NOT NULL)),
    CONSTRAINT is_a_weight CHECK (
        grams BETWEEN -1000000000000 AND 1000000000000 AND (grams >= 0 OR way = 'shrink')),
    CONSTRAINT is_a_known_way CHECK (way IN (
        'received', 'refused', 'picked_out', 'fed', 'composted', 'returned', 'landfilled',
        'liquor', 'animals', 'processing', 'digestion', 'combustion', 'land', 'discards',
        'sewer', 'shrink', 'night', 'water'))
);

-- What a record's body says of weights: the one reading of it, for the trigger
-- that fills `move` and for the view that checks it.
CREATE VIEW said_move AS
SELECT r.site, r.seq, m.ord, r.at, m.lot_seq, e ->> 'supplier' AS supplier,
       e ->> 'stream' AS stream, (e ->> 'bought')::boolean AS bought, m.way, m.estimated, m.grams
FROM record r
CROSS JOIN LATERAL (SELECT r.body::jsonb -> 'content' -> 'entry' AS e OFFSET 0) b
CROSS JOIN LATERAL (
    SELECT 0 AS ord, r.seq AS lot_seq,
           CASE e ->> 'verdict' WHEN 'refuse' THEN 'refused' ELSE 'received' END AS way,
           (e ->> 'estimated')::boolean AS estimated, (e ->> 'net_g')::bigint AS grams
        WHERE r.kind = 'ticket'
    UNION ALL
    SELECT ord, r.seq, 'picked_out', false, (x ->> 'grams')::bigint
        FROM jsonb_array_elements(e -> 'picked_out') WITH ORDINALITY AS of (x, ord)
        WHERE r.kind = 'ticket' AND e ->> 'verdict' <> 'refuse'
    UNION ALL
    SELECT ord, (x ->> 'lot_seq')::bigint, 'fed', false, (x ->> 'grams')::bigint
        FROM jsonb_array_elements(e -> 'draws') WITH ORDINALITY AS of (x, ord)
        WHERE r.kind = 'fed'
    UNION ALL
    SELECT 1000000 + ord, (x ->> 'lot_seq')::bigint, 'shrink', false, (x ->> 'grams')::bigint
        FROM jsonb_array_elements(e -> 'remainders') WITH ORDINALITY AS of (x, ord)
        WHERE r.kind = 'fed'
    UNION ALL
    SELECT 2000000 + ord, NULL, CASE WHEN x ->> 'stream' IS NULL THEN 'water' ELSE 'night' END,
           false, (x ->> 'grams')::bigint
        FROM jsonb_array_elements(e -> 'additions') WITH ORDINALITY AS of (x, ord)
        WHERE r.kind = 'fed'
    UNION ALL
    SELECT 0, (e ->> 'lot_seq')::bigint, 'shrink', false,
           (e ->> 'book_g')::bigint - (e ->> 'found_g')::bigint
        WHERE r.kind = 'reweigh'
    UNION ALL
    SELECT 0, (e ->> 'lot_seq')::bigint, replace(e ->> 'to', '-', '_'), false,
           (e ->> 'grams')::bigint
        WHERE r.kind = 'discard'
) m
WHERE r.kind IN ('ticket', 'fed', 'reweigh', 'discard');

CREATE FUNCTION read_body() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog AS $$
DECLARE
    said    jsonb := NEW.body::jsonb;
    content jsonb := said -> 'content';
BEGIN
    NEW.kind := content -> 'entry' ->> 'kind';
    NEW.at := content ->> 'at';
    NEW.recorded_at := said ->> 'recorded_at';
    NEW.by_whom := content ->> 'by';
    NEW.of_seq := CASE NEW.kind
        WHEN 'strike' THEN content -> 'entry' ->> 'target_seq'
        WHEN 'correction' THEN content -> 'entry' ->> 'ticket_seq' END;
    IF (said ->> 'seq')::bigint IS DISTINCT FROM NEW.seq THEN
        RAISE EXCEPTION USING ERRCODE = 'TF002', MESSAGE =
            format('record %s of %s says that it is record %s', NEW.seq, NEW.site, said ->> 'seq');
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER a_read_body BEFORE INSERT ON record FOR EACH ROW EXECUTE FUNCTION read_body();

-- Holds the chain: each record follows the one before it, which is there, and
-- its digest is what PostgreSQL reckons itself. A fork can't be: a number is
-- taken once.
CREATE FUNCTION admit() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
    SET search_path = pg_catalog, trayful, pg_temp AS $$
DECLARE
    wrong record;
BEGIN
    SELECT n.site, n.seq, n.seq > 1 AND b.seq IS NULL AS gap INTO wrong
    FROM added n LEFT JOIN record b ON b.site = n.site AND b.seq = n.seq - 1
    WHERE (n.seq > 1 AND b.seq IS NULL) OR n.digest <>
        sha256(convert_to(coalesce(encode(b.digest, 'hex'), '') || n.body, 'UTF8'))
    ORDER BY n.site, n.seq LIMIT 1;
    IF wrong.gap THEN
        RAISE EXCEPTION USING ERRCODE = 'TF001', MESSAGE =
            format('record %s of %s: the record before it is missing', wrong.seq, wrong.site);
    ELSIF wrong.seq IS NOT NULL THEN
        RAISE EXCEPTION USING ERRCODE = 'TF002', MESSAGE =
            format('record %s of %s is not what its digest was taken over', wrong.seq, wrong.site);
    END IF;
    INSERT INTO move
        SELECT m.* FROM said_move m JOIN added n USING (site, seq) WHERE n.kind = 'ticket';
    INSERT INTO move
        SELECT m.site, m.seq, m.ord, m.at, m.lot_seq, l.supplier, l.stream, l.bought,
               m.way, m.estimated, m.grams
        FROM said_move m JOIN added n USING (site, seq)
        LEFT JOIN move l ON l.site = m.site AND l.seq = m.lot_seq AND l.ord = 0
            AND l.way = 'received'
        WHERE n.kind <> 'ticket';
    RETURN NULL;
END $$;
CREATE TRIGGER b_admit AFTER INSERT ON record REFERENCING NEW TABLE AS added
    FOR EACH STATEMENT EXECUTE FUNCTION admit();

CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'append only'; END $$;
CREATE TRIGGER record_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON record
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER move_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON move
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();

-- Who logged in, not the role taken on since: that one could be the group.
ALTER TABLE record ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON record TO trayful_site
    USING (site = session_user) WITH CHECK (site = session_user);
CREATE POLICY all_rows ON record FOR SELECT TO trayful_reader USING (true);
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA trayful FROM PUBLIC;
GRANT USAGE ON SCHEMA trayful TO trayful_site, trayful_reader;
GRANT SELECT ON migration TO trayful_site, trayful_reader;
GRANT SELECT, INSERT (site, seq, digest, body) ON record TO trayful_site;
GRANT SELECT ON record, move TO trayful_reader;
