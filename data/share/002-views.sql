-- What any SQL tool may read: `site`, `moved`, `moved_by_month`, `flaw`.

CREATE VIEW live_record AS SELECT * FROM record r WHERE NOT EXISTS (
    SELECT FROM record s WHERE s.site = r.site AND s.kind = 'strike' AND s.of_seq = r.seq);

-- A site as its newest settings have it, and its last record.
CREATE VIEW site AS
SELECT f.site, e ->> 'name' AS name, e ->> 'zone' AS zone, e AS settings,
       last.seq AS records, encode(last.digest, 'hex') AS digest
FROM (SELECT DISTINCT ON (site) site, body::jsonb -> 'content' -> 'entry' AS e
      FROM live_record WHERE kind = 'farm' ORDER BY site, seq DESC) f
CROSS JOIN LATERAL (SELECT seq, digest FROM record r WHERE r.site = f.site
                    ORDER BY seq DESC LIMIT 1) last;

-- Supplier and stream of tickets that were corrected: of each word the newest
-- that is not struck holds.
CREATE VIEW told AS
SELECT site, of_seq AS lot_seq,
       (array_agg(e ->> 'supplier' ORDER BY seq DESC)
            FILTER (WHERE e ->> 'supplier' IS NOT NULL))[1] AS supplier,
       (array_agg(e ->> 'stream' ORDER BY seq DESC)
            FILTER (WHERE e ->> 'stream' IS NOT NULL))[1] AS stream
FROM (SELECT site, seq, of_seq, body::jsonb -> 'content' -> 'entry' AS e
      FROM live_record WHERE kind = 'correction') c
GROUP BY site, of_seq;

-- Every weight that counts, by source as it is told now, in whole grams.
-- `bought`: the lot was bought. `way`: received, refused, a way out, or night
-- and water, which were fed and never in stock.
CREATE VIEW moved AS
SELECT m.site, m.seq, m.ord, m.at, m.lot_seq, coalesce(t.supplier, m.supplier) AS supplier,
       coalesce(t.stream, m.stream) AS stream, m.bought, m.way, m.estimated, m.grams
FROM move m LEFT JOIN told t ON t.site = m.site AND t.lot_seq = m.lot_seq
WHERE NOT EXISTS (
    SELECT FROM record s WHERE s.site = m.site AND s.kind = 'strike' AND s.of_seq = m.seq);

-- The same by month of each site's own zone, with the destination of the Food
-- Loss and Waste Standard, as the program prints it, that a way out leads to.
CREATE VIEW moved_by_month AS
SELECT m.site, s.name, to_char(m.at AT TIME ZONE s.zone, 'YYYY-MM') AS month,
       m.supplier, m.stream, m.bought, m.way, d.destination,
       sum(m.grams)::bigint AS grams, count(*) AS times
FROM moved m JOIN site s USING (site)
LEFT JOIN (VALUES ('fed', 'animal-feed'), ('animals', 'animal-feed'),
    ('processing', 'biomaterial'), ('digestion', 'digestion'), ('composted', 'compost'),
    ('combustion', 'combustion'), ('land', 'land'), ('landfilled', 'landfill'),
    ('discards', 'discards'), ('picked_out', 'discards'), ('sewer', 'sewer'),
    ('liquor', 'sewer')) AS d (way, destination) ON d.way = m.way
GROUP BY m.site, s.name, month, m.supplier, m.stream, m.bought, m.way, d.destination;

-- Reads everything again: no row here, and each chain is whole and every weight
-- is what its record says.
CREATE VIEW flaw AS
SELECT site, seq, CASE WHEN seq <> before + 1 THEN 'gap' ELSE 'changed' END AS what
FROM (SELECT site, seq, digest, body, lag(seq, 1, 0::bigint) OVER w AS before,
             lag(digest) OVER w AS digest_before
      FROM record WINDOW w AS (PARTITION BY site ORDER BY seq)) r
WHERE seq <> before + 1 OR digest <>
    sha256(convert_to(coalesce(encode(digest_before, 'hex'), '') || body, 'UTF8'))
UNION ALL
SELECT site, seq, 'weight' FROM (
    SELECT site, seq, ord, at, lot_seq, way, estimated, grams FROM said_move
    EXCEPT SELECT site, seq, ord, at, lot_seq, way, estimated, grams FROM move) gone
UNION ALL
SELECT site, seq, 'weight' FROM (
    SELECT site, seq, ord, at, lot_seq, way, estimated, grams FROM move
    EXCEPT SELECT site, seq, ord, at, lot_seq, way, estimated, grams FROM said_move) slipped_in
UNION ALL
SELECT m.site, m.seq, 'source' FROM move m
LEFT JOIN said_move t ON t.site = m.site AND t.seq = m.lot_seq AND t.ord = 0
WHERE (m.supplier, m.stream, m.bought) IS DISTINCT FROM (t.supplier, t.stream, t.bought);

GRANT SELECT ON live_record, site, told, moved, moved_by_month, flaw TO trayful_reader;
