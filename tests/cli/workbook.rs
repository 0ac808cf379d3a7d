//! A year in a workbook: its columns are proposed, shown, corrected and kept;
//! all of it comes in, or nothing.

use rust_xlsxwriter::{ExcelDateTime, Format, Workbook, Worksheet};

use crate::farm::Farm;

type Load<'a> = (&'a str, &'a str, &'a str, f64, f64);

const LOADS: [Load<'_>; 3] = [
    (
        "2026-03-09T08:00:00",
        "Quay brewery",
        "beer grain",
        32.2,
        1.5,
    ),
    (
        "2026-03-09T08:20:00",
        "Hearth bakery",
        "stale bread",
        14.0,
        0.3,
    ),
    ("2026-03-10T07:50:00", "Corner grocer", "carrots", 21.9, 1.5),
];

/// A sheet with a title above its headings, as people make them.
fn sheet(book: &mut Workbook, name: &str, heads: [&str; 5], loads: &[Load<'_>]) {
    let sheet: &mut Worksheet = book.add_worksheet();
    sheet.set_name(name).expect("a name");
    sheet.write(0, 0, "What came in").expect("a title");
    for (column, head) in (1..).zip(heads) {
        sheet.write(2, column, head).expect("a head");
    }
    let day = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    for (row, (when, supplier, stream, gross, tare)) in (3..).zip(loads) {
        let when = ExcelDateTime::parse_from_str(when).expect("a time");
        sheet
            .write_with_format(row, 1, &when, &day)
            .expect("a cell");
        sheet.write(row, 2, *supplier).expect("a cell");
        sheet.write(row, 3, *stream).expect("a cell");
        sheet.write(row, 4, *gross).expect("a cell");
        sheet.write(row, 5, *tare).expect("a cell");
    }
}

fn workbook(heads: [&str; 5], loads: &[Load<'_>]) -> Vec<u8> {
    let mut book = Workbook::new();
    sheet(&mut book, "2026", heads, loads);
    book.add_worksheet()
        .write(0, 0, "Phone numbers")
        .expect("a cell");
    book.save_to_buffer().expect("a workbook")
}

const OURS: [&str; 5] = ["Date", "Who", "What", "Gross (lb)", "Empty"];

#[test]
fn a_workbook_comes_in_once_its_columns_are_said() {
    let farm = Farm::begun();
    farm.file("book.xlsx", workbook(OURS, &LOADS));
    let guessed = farm.run(&["weigh", "--file", "book.xlsx"]);
    insta::assert_snapshot!(guessed);
    assert_eq!(farm.json(&["stock"]), serde_json::json!([]));
    let columns = "weighed_at=Date,supplier=Who,stream=What,gross=Gross (lb),tare=Empty";
    insta::assert_snapshot!(farm.run(&["farm", "--columns", columns]));
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "book.xlsx"]));
    let again = farm.json(&["weigh", "--file", "book.xlsx"]);
    assert_eq!(
        (&again["new"], &again["already_there"]),
        (&0.into(), &3.into())
    );
    let stock = farm.json(&["stock"]);
    let weights: Vec<_> = (stock.as_array().expect("lots").iter())
        .map(|lot| {
            (
                lot["stream"].as_str().expect("a stream"),
                lot["on_hand_g"].as_i64(),
            )
        })
        .collect();
    // 30.7, 13.7 and 20.4 lb at 453.59237 g.
    for load in [
        ("spent-grain", Some(13_926)),
        ("bread", Some(6_214)),
        ("carrot-trim", Some(9_254)),
    ] {
        assert!(weights.contains(&load), "{load:?} in {weights:?}");
    }
}

#[test]
fn a_cell_that_can_t_be_read_is_named_and_nothing_comes_in() {
    let farm = Farm::begun();
    let mut loads = LOADS;
    loads[1].2 = "bakery";
    loads[2].4 = 99.0;
    farm.file("book.xlsx", workbook(OURS, &loads));
    let columns = "weighed_at=Date,supplier=Who,stream=What,gross=Gross (lb),tare=Empty";
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "book.xlsx", "--columns", columns]));
    assert_eq!(farm.json(&["stock"]), serde_json::json!([]));
    farm.file("other.xlsx", workbook(["a", "b", "c", "d", "e"], &LOADS));
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "other.xlsx"]));
    farm.file("cut.xlsx", &workbook(OURS, &LOADS)[..900]);
    let told = farm.run(&["weigh", "--file", "cut.xlsx"]);
    assert!(
        told.contains("`cut.xlsx`: ") && told.ends_with("exit 1\n"),
        "{told}"
    );
    let wrong = farm.run(&["farm", "--columns", "suplier=Who"]);
    assert!(
        wrong.contains("`--columns`: `suplier=Who` is not accepted"),
        "{wrong}"
    );
}

/// Seen: "row 2 has it", of a line that stands in no sheet.
#[test]
fn a_ticket_that_comes_twice_is_named_by_its_cells_in_both_languages() {
    let farm = Farm::begun();
    let tickets = [
        ("2026-03-09T08:00:00", "T1", "spent-grain", 32.2, 1.5),
        ("2026-03-09T08:20:00", "T1", "bread", 14.0, 0.3),
    ];
    let heads = ["Date", "Ticket", "Stream", "Gross (lb)", "Tare"];
    let mut book = Workbook::new();
    sheet(&mut book, "2026", heads, &tickets);
    let sheet = book.worksheet_from_index(0).expect("the sheet");
    sheet.write(2, 6, "Supplier").expect("a head");
    for row in [3, 4] {
        sheet.write(row, 6, "Quay brewery").expect("a cell");
    }
    farm.file("book.xlsx", book.save_to_buffer().expect("a workbook"));
    for (language, place, earlier) in [
        (
            "en",
            "`book.xlsx`, sheet `2026`, cell C5, `ticket`: `T1`",
            "; sheet `2026`, cell C4 has",
        ),
        (
            "es",
            "`book.xlsx`, hoja `2026`, celda C5, ",
            "; hoja `2026`, celda C4 lo tiene",
        ),
    ] {
        let columns = "weighed_at=Date,ticket=Ticket,stream=Stream,gross=Gross (lb),tare=Tare,supplier=Supplier";
        let args = [
            "weigh",
            "--file",
            "book.xlsx",
            "--columns",
            columns,
            "--lang",
            language,
        ];
        let told = farm.run(&args);
        assert!(told.contains(place) && told.contains(earlier), "{told}");
        assert_eq!(farm.json(&["stock"]), serde_json::json!([]));
    }
}

#[cfg(unix)]
#[test]
fn at_a_terminal_the_columns_are_shown_corrected_and_kept() {
    use crate::terminal::play;
    let farm = Farm::begun();
    let heads = ["Date", "Who", "Comments", "Weight", "Empty"];
    farm.file("book.xlsx", workbook(heads, &LOADS));
    // Nothing says which column holds the streams.
    let told = farm.run(&["weigh", "--file", "book.xlsx"]);
    assert!(told.ends_with("exit 1\n"), "{told}");
    let heads = ["Date", "Who", "What", "Weight", "Empty"];
    farm.file("book.xlsx", workbook(heads, &LOADS));
    let told = play(
        &farm,
        &["weigh", "--file", "book.xlsx"],
        &[
            ("What is taken otherwise", "gross=Weight"),
            ("What is taken otherwise", "grosz=Weight"),
            ("is not accepted", ""),
        ],
    );
    assert_eq!(told.code, Some(0), "{}", told.screen);
    assert!(told.screen.contains("3 new"), "{}", told.screen);
    let again = farm.json(&["weigh", "--file", "book.xlsx"]);
    assert_eq!(again["already_there"], 3);
}
