//! A month's figures recomputed from the exported CSV by another program:
//! Python's `csv` and `fractions`, and the sqlite3 shell over the book itself,
//! where they are installed; and always once more here, from the tickets.

use std::process::Command;

use trayful::acts::{TableFiles, Tables, month, play_demo, statement};
use trayful::daybook::Daybook;
use trayful::quantity::{Grams, MassUnit, printed_to_add_up};
use trayful::report::MonthReport;
use trayful::sheet::{
    data_csv, data_xlsx, month_table, month_tables, statement_table, statement_tables,
};

use crate::support::{instant, october};

struct Demo {
    folder: tempfile::TempDir,
    book: Daybook,
}

fn demo() -> Demo {
    let folder = tempfile::tempdir().expect("a folder");
    let tables = Tables::load(TableFiles::default()).expect("tables");
    let now = instant("2026-11-25T23:00:00Z");
    let path = folder.path().join("demo.daybook");
    let book = play_demo(&path, &tables, now, (None, 0), |_, _| {}).expect("plays");
    Demo { folder, book }
}

fn report(book: &Daybook) -> MonthReport {
    month(book, october(), None).expect("a month").report
}

/// Runs a program that may not be there. `None`, and a word about it, when it is not.
#[expect(clippy::print_stderr, reason = "a check left out must be seen")]
fn told(program: &str, args: &[&str]) -> Option<String> {
    let output = match Command::new(program).args(args).output() {
        Ok(output) => output,
        Err(error) => {
            eprintln!("not checked with {program}, which is not here: {error}");
            return None;
        }
    };
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {errors}");
    Some(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

#[test]
fn sums_of_the_tickets_once_more() {
    let Demo {
        folder: _folder,
        book,
    } = demo();
    let report = report(&book);
    let (from, to) = (
        instant("2026-10-01T04:00:00Z"),
        instant("2026-11-01T04:00:00Z"),
    );
    let tickets = book.tickets_between(from, to, false).expect("reads");
    let mut received = 0;
    for filed in &tickets {
        let ticket = &filed.filed.entry;
        let gross_less_tare = ticket.gross_g.expect("weighed") - ticket.tare_g.expect("weighed");
        assert_eq!(gross_less_tare, ticket.net_g);
        if !ticket.bought && ticket.verdict != trayful::stream::Verdict::Refuse {
            received += ticket.net_g.get();
        }
    }
    assert!(received > 1_000_000, "{received}");
    assert_eq!(received, report.total.received.get());
    // What is left at the end, by the lots, is what the balance closes with.
    let lots = book
        .lots(to - jiff::SignedDuration::from_secs(1))
        .expect("reads");
    let closing: Grams = lots.iter().map(|lot| lot.remaining_g).sum();
    assert_eq!(closing, report.balance.closing);
    assert_eq!(report.gap(), Grams::ZERO);
}

const PYTHON_MONTH: &str = r#"
import csv, sys
from fractions import Fraction
rows = list(csv.DictReader(open(sys.argv[1], newline="")))
g = lambda row, name: int(row[name + "_g"])
went = ["picked_out", "fed", "composted", "returned", "landfilled", "liquor", "animals", "processing",
        "digestion", "combustion", "land", "discards", "sewer", "shrink"]
for row in rows:
    assert g(row, "opening") + g(row, "received") == sum(g(row, w) for w in went) + g(row, "closing"), row
lost = ["picked_out", "landfilled", "returned", "liquor", "combustion", "discards", "sewer"]
received = sum(g(row, "received") for row in rows)
diverted = received - sum(g(row, w) for row in rows for w in lost)
pounds = Fraction(received) * 100000 / 45359237
hundredths = (pounds * 100 + Fraction(1, 2)).__floor__()
print(received, diverted, sum(g(row, "fed") for row in rows), hundredths)
"#;

#[test]
fn python_recomputes_the_month_from_its_csv() {
    let demo = demo();
    let sheet = month(&demo.book, october(), None).expect("a month");
    let path = demo.folder.path().join("month.csv");
    std::fs::write(&path, data_csv(&month_table(&sheet)).expect("a table")).expect("writes");
    let path = path.display().to_string();
    let Some(told) = told("python3", &["-c", PYTHON_MONTH, &path]) else {
        return;
    };
    let total = &sheet.report.total;
    let (_, hundredths) = printed_to_add_up(&[total.received], MassUnit::Lb, 2);
    let here = format!(
        "{} {} {} {hundredths}",
        total.received.get(),
        sheet.report.diverted().get(),
        total.fed.get()
    );
    assert_eq!(told, here);
}

const PYTHON_STATEMENT: &str = r#"
import csv, sys
rows = [row for row in csv.DictReader(open(sys.argv[1], newline="")) if row["refused"] == "no"]
for row in rows:
    assert int(row["gross_g"]) - int(row["tare_g"]) == int(row["net_g"]), row
print(len(rows), sum(int(row["net_g"]) for row in rows))
"#;

#[test]
fn python_recomputes_a_statement_from_its_csv() {
    let demo = demo();
    let sheet = statement(&demo.book, "Corner grocer", october(), None).expect("a statement");
    let path = demo.folder.path().join("statement.csv");
    std::fs::write(&path, data_csv(&statement_table(&sheet)).expect("a table")).expect("writes");
    let path = path.display().to_string();
    let Some(told) = told("python3", &["-c", PYTHON_STATEMENT, &path]) else {
        return;
    };
    let flow = &sheet.statement.flow;
    assert_eq!(told, format!("{} {}", flow.loads, flow.received.get()));
}

#[test]
fn the_sqlite3_shell_recomputes_received_and_fed_from_the_book() {
    let demo = demo();
    let total = report(&demo.book).total;
    let path = demo.folder.path().join("demo.daybook");
    let path = path.display().to_string();
    let sql = "SELECT (SELECT SUM(net_g) FROM ticket t WHERE verdict <> 'refuse' AND bought = 0
                 AND at_utc >= '2026-10-01T04:00:00Z' AND at_utc < '2026-11-01T04:00:00Z'
                 AND seq NOT IN (SELECT target_seq FROM strike)),
               (SELECT SUM(grams) FROM outflow o JOIN ticket t ON t.seq = o.lot_seq
                 WHERE kind = 'fed' AND bought = 0
                 AND o.at_utc >= '2026-10-01T04:00:00Z' AND o.at_utc < '2026-11-01T04:00:00Z'
                 AND o.seq NOT IN (SELECT target_seq FROM strike))";
    let Some(told) = told("sqlite3", &["-readonly", &path, sql]) else {
        return;
    };
    assert_eq!(
        told,
        format!("{}|{}", total.received.get(), total.fed.get())
    );
}

const PYTHON_WORKBOOK: &str = r#"
import re, sys, zipfile
total = formulas = 0
book = zipfile.ZipFile(sys.argv[1])
for name in book.namelist():
    if name.startswith("xl/worksheets/"):
        text = book.read(name).decode()
        formulas += text.count("<f>") + text.count("<f ")
        total += len(re.findall(r"<c [^>]*><v>-?[0-9]+</v>", text))
print(formulas, total > 20)
"#;

#[test]
fn a_workbook_holds_numbers_and_no_formula() {
    let demo = demo();
    let sheet = month(&demo.book, october(), None).expect("a month");
    let told_month = data_xlsx(&month_tables(&sheet)).expect("a workbook");
    let sheet = statement(&demo.book, "Quay brewery", october(), None).expect("a statement");
    let told_statement = data_xlsx(&statement_tables(&sheet)).expect("a workbook");
    for bytes in [told_month, told_statement] {
        let path = demo.folder.path().join("book.xlsx");
        std::fs::write(&path, bytes).expect("writes");
        let path = path.display().to_string();
        if let Some(told) = told("python3", &["-c", PYTHON_WORKBOOK, &path]) {
            assert_eq!(told, "0 True");
        }
    }
}
