//! A year of many sites, made up record by record, to see what a database bears.

use std::fmt::Write as _;
use std::time::Instant;

use sha2::{Digest, Sha256};

use super::{Server, told, trayful};

const SITES: i64 = 20;
/// As the program itself sends them.
const AT_ONCE: i64 = 500;
const YEAR_S: i64 = 365 * 86_400;

/// Record `seq` of a site that weighs so often: settings first, then tickets,
/// of which every fifth lot goes to compost at once.
fn record(seq: i64, records: i64, before: &mut String) -> (Vec<u8>, String) {
    let at = jiff::Timestamp::from_second(1_767_225_600 + seq * YEAR_S / records);
    let at = at.expect("an instant");
    let entry = if seq == 1 {
        r#""kind":"farm","zone":"America/Denver","unit":"kg","division":"0.1","currency":"USD","region":"us","larvae_for":"not-feed""#.to_owned()
    } else if seq % 6 == 1 {
        format!(
            r#""kind":"discard","lot_seq":{},"to":"composted","grams":9000,"why":null"#,
            seq - 1
        )
    } else {
        let supplier = seq % 12;
        let stream = match seq % 3 {
            0 => "bread",
            1 => "carrot-trim",
            _ => "spent-grain",
        };
        format!(
            r#""kind":"ticket","supplier":"Supplier {supplier}","stream":"{stream}","gross_g":9680,"gross_text":"9.68 kg","tare_g":680,"tare_text":"0.68 kg","container":"pail","unit":"kg","division":"0.01 kg","net_g":9000,"volume_l":null,"estimated":false,"bought":false,"price_per_kg":null,"moisture_pct":null,"picked_out":[],"touched":[],"verdict":"feed","reason":"nothing against it","confirmed":true,"note":null"#
        )
    };
    let body = format!(
        r#"{{"seq":{seq},"recorded_at":"{at}","content":{{"id":"auto-{seq:020x}","at":"{at}","by":"AB","entry":{{{entry}}}}}}}"#
    );
    let digest = Sha256::digest(format!("{before}{body}")).to_vec();
    before.clear();
    digest
        .iter()
        .for_each(|byte| write!(before, "{byte:02x}").expect("text"));
    (digest, body)
}

fn send(server: &Server, site: &str, records: i64) {
    let mut client = server.client(site, "network");
    let (mut seq, mut before) = (0, String::new());
    while seq < records {
        let seqs: Vec<i64> = (seq + 1..=records.min(seq + AT_ONCE)).collect();
        let made: Vec<(Vec<u8>, String)> = seqs
            .iter()
            .map(|seq| record(*seq, records, &mut before))
            .collect();
        let (digests, bodies): (Vec<_>, Vec<_>) = made.into_iter().unzip();
        let add = "INSERT INTO trayful.record (site, seq, digest, body)
            SELECT session_user, * FROM unnest($1::bigint[], $2::bytea[], $3::text[])";
        client
            .execute(add, &[&seqs, &digests, &bodies])
            .expect("taken");
        seq += AT_ONCE;
    }
}

/// Prints what so many tickets cost, and asserts that not one of them is lost.
#[expect(clippy::print_stdout, reason = "what it is for")]
pub(crate) fn year_of(tickets: i64) {
    let sites: Vec<String> = (1..=SITES).map(|site| format!("site_{site}")).collect();
    let names: Vec<&str> = sites.iter().map(String::as_str).collect();
    let server = Server::prepared(&names);
    // Of six records five are tickets.
    let records = tickets / SITES * 6 / 5;
    let began = Instant::now();
    std::thread::scope(|scope| {
        for part in sites.chunks(5) {
            let server = &server;
            scope.spawn(move || part.iter().for_each(|site| send(server, site, records)));
        }
    });
    let (took, all) = (began.elapsed().as_secs_f64(), SITES * records);
    println!(
        "{all} records of {SITES} sites in {took:.0} s: {:.0} a second",
        all as f64 / took
    );
    let mut owner = server.owner();
    owner
        .batch_execute("ANALYZE trayful.record; ANALYZE trayful.move")
        .expect("analysed");
    let sizes = "SELECT pg_total_relation_size('trayful.record') / 1048576,
        pg_total_relation_size('trayful.move') / 1048576";
    let sizes = owner.query_one(sizes, &[]).expect("sizes");
    let (records_mb, moves_mb): (i64, i64) = (sizes.get(0), sizes.get(1));
    println!("records {records_mb} MB, weights {moves_mb} MB, with indexes");
    let mut received = 0;
    for month in ["2026-02", "2026-12"] {
        let began = Instant::now();
        let from = server.address("postgres");
        let page = told(&trayful(&["month", month, "--from", &from, "--json"]));
        println!(
            "all sites' {month} in {:.1} s",
            began.elapsed().as_secs_f64()
        );
        let page: serde_json::Value = serde_json::from_str(&page).expect("JSON");
        received += page["received_g"].as_i64().expect("grams");
    }
    assert!(received > 0, "nothing came");
    let sum = "SELECT sum(grams)::bigint FROM trayful.moved WHERE way = 'received'";
    let sum: i64 = owner.query_one(sum, &[]).expect("sums").get(0);
    let each = (2..=records).filter(|seq| seq % 6 != 1).count();
    assert_eq!(sum, SITES * 9000 * i64::try_from(each).expect("a count"));
    let began = Instant::now();
    server.assert_whole();
    println!(
        "every chain and weight read again in {:.0} s",
        began.elapsed().as_secs_f64()
    );
}
