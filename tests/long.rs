//! The long form of `faults.rs`: kills over all that writes. Ignored, for it takes
//! hours: `cargo test --release --test long -- --ignored --nocapture`; ten thousand
//! kills if `asked` says nothing else. It prints a table.

#![expect(clippy::print_stdout, reason = "counts are what it is run for")]

use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

use dock_support::{Dock, Farm, bucket};
use serde_json::json;
use stocked::Dice;

mod asked;
mod dock_support;
#[allow(dead_code)]
mod stocked;

const SORTS: [&str; 7] = ["weigh", "file", "fed", "harvest", "close", "keep", "dock"];
/// Kills in one book.
const BOOK_OF: usize = 210;
const ROWS: usize = 50;

/// Of one sort of work: killed, ended by itself, kept though killed; and what must
/// never be: acknowledged and gone, there in part or twice, a copy that is not whole.
#[derive(Default, Clone, Copy)]
struct Count {
    killed: usize,
    acknowledged: usize,
    kept_though_killed: usize,
    lost: usize,
    partly: usize,
    /// How long it takes when it is let end, ms, as the last ones did.
    takes_ms: f64,
}

impl Count {
    /// Half of all instants within twice as long come before the end.
    fn instant(&self, dice: &mut Dice) -> Duration {
        Duration::from_secs_f64(dice.within(0.0, 2.0 * self.takes_ms) / 1000.0)
    }

    fn took(&mut self, since: Instant) {
        let ms = 1000.0 * since.elapsed().as_secs_f64();
        let known = if self.takes_ms > 0.0 {
            self.takes_ms
        } else {
            ms
        };
        self.takes_ms = known + 0.2 * (ms - known);
    }
}

fn arguments(sort: &str, id: &str, round: usize) -> Vec<String> {
    let line = match sort {
        "weigh" => {
            format!("weigh --supplier Hearth --stream bread --gross 9 --tare 0 --sure --id {id}")
        }
        "file" => "weigh --file rows.csv --sure".to_owned(),
        "fed" => format!("fed --without-sheet --change grower:first=0.2 --sure --id {id}"),
        "harvest" => format!("harvest C1 --larvae 0.1 --sure --id {id}"),
        "close" => {
            let month = round / SORTS.len();
            format!(
                "month {}-{:02} --close --id {id}",
                2001 + month / 12,
                1 + month % 12
            )
        }
        _ => format!("keep {id}.daybook"),
    };
    line.split(' ').map(ToOwned::to_owned).collect()
}

fn rows(id: &str) -> String {
    let rows =
        (0..ROWS).map(|row| format!("2026-03-09T08:00Z,{id}-{row},Hearth,bread,{row}.5,0,lb\n"));
    "weighed_at,ticket,supplier,stream,gross,tare,unit\n".to_owned() + &rows.collect::<String>()
}

/// How often an id, or ids that begin so, are in the book.
fn times(farm: &Farm, id: &str) -> usize {
    let book = rusqlite::Connection::open(farm.path("farm.daybook")).expect("opens");
    let sql = "SELECT COUNT(*) FROM record WHERE id = ?1 OR id LIKE ?1 || '-%'";
    book.query_row(sql, [id], |row| row.get::<_, i64>(0))
        .ok()
        .and_then(|count| usize::try_from(count).ok())
        .expect("a count")
}

fn is_whole(farm: &Farm, book: &Path) -> bool {
    let mut check = farm.command();
    let check = check.env("TRAYFUL_DAYBOOK", book).arg("check").output();
    check.expect("runs").status.success()
}

/// Sends buckets until the dock is killed under them, some time after so many were
/// acknowledged; those that were.
fn sent_until_killed(dock: &Dock, id: &str, dice: &mut Dice, count: &mut Count) -> Vec<String> {
    let tablet = dock.tablet();
    let pid = dock.pid().to_string();
    let after = dice.within(0.0, 20.0);
    let wait = count.instant(dice);
    let (begin, begun) = channel();
    let killer = std::thread::spawn(move || {
        begun.recv().expect("told");
        std::thread::sleep(wait);
        Command::new("kill").args(["-KILL", &pid]).status()
    });
    let mut acknowledged = Vec::new();
    for number in 0..10_000_i32 {
        if f64::from(number) <= after && after < f64::from(number + 1) {
            begin.send(()).expect("heard");
        }
        let ticket = format!("auto-{id}-no{number}");
        let mut body = bucket(&ticket, "20 lb");
        body["sure"] = json!("yes");
        let sent = Instant::now();
        match tablet.try_post(dock, "/api/weigh", &body) {
            Ok(answer) if answer.status == 200 => acknowledged.push(ticket),
            Ok(other) => panic!("{other:?}"),
            Err(_) => break,
        }
        count.took(sent);
    }
    killer.join().expect("joins").expect("killed");
    acknowledged
}

fn one(farm: &Farm, sort: &str, round: usize, dice: &mut Dice, count: &mut Count) {
    let id = format!("r{round}x");
    if sort == "dock" {
        let acknowledged = sent_until_killed(&farm.dock(), &id, dice, count);
        count.killed += 1;
        count.acknowledged += acknowledged.len();
        let missing = acknowledged.iter().filter(|id| times(farm, id) != 1);
        count.lost += missing.count();
        return;
    }
    let copy = farm.path(&format!("{id}.daybook"));
    std::fs::write(farm.path("rows.csv"), rows(&id)).expect("a file");
    // The first is let end, to see how long it takes.
    let kill_after = (count.takes_ms > 0.0).then(|| count.instant(dice));
    let began = Instant::now();
    let mut child = farm
        .command()
        .current_dir(farm.path(""))
        .args(arguments(sort, &id, round))
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    // What ends before its instant is seen to end then, so that its length is known.
    let mut ended = None;
    while ended.is_none() && kill_after.is_none_or(|after| began.elapsed() < after) {
        ended = child.try_wait().expect("its state");
        std::thread::sleep(Duration::from_micros(200));
    }
    if ended.is_some() {
        count.took(began);
    }
    // An error only says that it had ended by itself.
    let _ended = child.kill();
    let told = child.wait_with_output().expect("its end");
    let acknowledged = told.status.success();
    let refused = String::from_utf8_lossy(&told.stderr);
    // One that neither is killed nor does its work would be no test.
    assert!(
        acknowledged || told.status.code().is_none(),
        "{sort} {id}: {refused}"
    );
    let (there, all) = match sort {
        "keep" => (usize::from(copy.exists()), 1),
        "file" => (times(farm, &id), ROWS),
        _ => (times(farm, &id), 1),
    };
    count.killed += usize::from(!acknowledged);
    count.acknowledged += usize::from(acknowledged);
    count.kept_though_killed += usize::from(!acknowledged && there == all);
    count.lost += usize::from(acknowledged && there != all);
    let torn = sort == "keep" && there == 1 && !is_whole(farm, &copy);
    count.partly += usize::from(there != 0 && there != all || torn);
    if there == 1 && sort == "keep" {
        std::fs::remove_file(copy).expect("removed");
    }
}

fn show(counts: &[Count]) {
    println!("| work | killed | acknowledged | kept though killed | lost | in part |");
    for (sort, count) in SORTS.iter().zip(counts) {
        let Count {
            killed,
            acknowledged,
            kept_though_killed,
            lost,
            partly,
            ..
        } = count;
        println!(
            "| {sort} | {killed} | {acknowledged} | {kept_though_killed} | {lost} | {partly} |"
        );
    }
}

#[test]
#[ignore = "hours"]
fn long_kills() {
    let mut dice = Dice::new(20_261_127);
    let mut counts = [Count::default(); SORTS.len()];
    let mut rounds = asked::rounds(10_000).peekable();
    while let Some(first) = rounds.peek().copied() {
        let farm = Farm::new();
        farm.cohort("C1");
        let line = "weigh --supplier Hearth --stream bread --gross 500 --tare 0 --sure --id first";
        farm.run(&line.split(' ').collect::<Vec<_>>());
        for round in rounds.by_ref().take(BOOK_OF) {
            let (sort, round) = (round % SORTS.len(), round - first);
            one(&farm, SORTS[sort], round, &mut dice, &mut counts[sort]);
        }
        assert!(
            is_whole(&farm, &farm.path("farm.daybook")),
            "the book from {first} on"
        );
        if first / BOOK_OF % 5 == 4 {
            show(&counts);
        }
    }
    show(&counts);
    assert!(counts.iter().all(|count| count.lost + count.partly == 0));
    let killed: usize = counts.iter().map(|count| count.killed).sum();
    let acknowledged: usize = counts.iter().map(|count| count.acknowledged).sum();
    assert!(
        acknowledged > killed / 4,
        "{acknowledged} of {killed}: killed too early to tell"
    );
}
