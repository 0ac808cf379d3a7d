//! The book itself: whole, kept, guarded.

use crate::farm::Farm;

#[test]
fn a_whole_book_says_so_and_a_changed_one_says_where() {
    let farm = Farm::stocked();
    let head = farm.json(&["check"])["seal"]
        .as_str()
        .expect("a head")
        .to_owned();
    assert!(
        farm.run(&["check", "--seal", &head])
            .contains("The printed seal is in the book, unchanged.")
    );
    farm.run(&["keep", "copy.daybook"]);
    let refused = farm.run(&["keep", "copy.daybook"]);
    assert!(
        refused.contains("is there already") && refused.ends_with("exit 1\n"),
        "{refused}"
    );
    let book = rusqlite::Connection::open(farm.folder().join("farm.daybook")).expect("a book");
    let direct = book.execute("UPDATE ticket SET net_g = net_g + 1 WHERE seq = 2", []);
    assert!(direct.is_err_and(|error| error.to_string().contains("append only")));
    let triggers: Vec<String> = book
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
        .and_then(|mut rows| rows.query_map([], |row| row.get(0))?.collect())
        .expect("triggers");
    for trigger in triggers {
        book.execute(&format!("DROP TRIGGER {trigger}"), [])
            .expect("dropped");
    }
    book.execute(
        "UPDATE ticket SET supplier = 'Someone else' WHERE seq = 2",
        [],
    )
    .expect("changed");
    drop(book);
    let told = farm.run(&["check"]);
    assert!(
        told.contains("NOT whole") && told.contains("record 2") && told.ends_with("exit 1\n"),
        "{told}"
    );
    // Nothing is handed out of it either.
    for paper in [
        &["statement", "Quay brewery", "2026-03"][..],
        &["month", "2026-02", "--close"],
    ] {
        let told = farm.run(paper);
        let refused = told.contains("is not whole, so nothing is handed out of it");
        assert!(refused && told.ends_with("exit 1\n"), "{told}");
    }
    let copy = farm.run(&["check", "--daybook", "copy.daybook"]);
    assert!(
        copy.contains("The book is whole") && copy.ends_with("exit 0\n"),
        "{copy}"
    );
}

#[test]
fn files_that_are_no_daybook_are_left_alone() {
    let farm = Farm::without_book();
    farm.file(
        "text.daybook",
        "not a database at all, only some text that is long enough to be one page",
    );
    farm.file("empty.daybook", "");
    let newer =
        rusqlite::Connection::open(farm.folder().join("other.daybook")).expect("a database");
    newer
        .execute_batch("CREATE TABLE t (x); PRAGMA user_version = 99;")
        .expect("made");
    drop(newer);
    for name in ["text.daybook", "empty.daybook", "other.daybook"] {
        let before = std::fs::read(farm.folder().join(name)).expect("the file");
        let told = farm.run(&["stock", "--daybook", name]);
        assert!(
            told.contains("is not a daybook") && told.ends_with("exit 1\n"),
            "{told}"
        );
        assert_eq!(
            before,
            std::fs::read(farm.folder().join(name)).expect("the file")
        );
    }
}

#[test]
fn a_strike_stands_and_names_are_told_apart() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["strike", "A1", "--why", "wrong supplier", "--id", "S1"]));
    insta::assert_snapshot!(farm.run(&["strike", "A1", "--why", "again"]));
    insta::assert_snapshot!(farm.run(&["strike", "S1", "--why", "take it back"]));
    insta::assert_snapshot!(farm.run(&["strike", "A9", "--why", "no such"]));
    insta::assert_snapshot!(farm.run(&["strike", "A2"]));
    // A caller's id can read like another ticket's number.
    farm.weigh("2", "Hearth bakery", "bread", "12lb", &[]);
    insta::assert_snapshot!(farm.run(&["strike", "2", "--why", "which"]));
    let by_number = farm.run(&["strike", "#2", "--why", "the second ticket"]);
    assert!(by_number.starts_with("Struck ticket A2"), "{by_number}");
}

#[test]
fn an_import_is_all_or_nothing_and_harmless_twice() {
    let farm = Farm::begun();
    let header = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note";
    let good = format!(
        "\u{feff}{header}\r\n2026-03-09T08:00,X1,Quay brewery,spent-grain,32.2,1.5,lb,,76,,,,CD,\r\n2026-03-09T08:10,,Corner grocer,plum-culls,10.9kg,0.7kg,,,,0.5,pit,,,\"two, in one\"\r\n2026-03-09T08:20,X3,Hearth bakery,bread,14,0.3,lb,,,,,refuse,CD,putrid\r\n"
    );
    farm.file("good.csv", &good);
    let bad = good
        .replace("32.2,1.5", "32.2,99")
        .replace("plum-culls", "plum-cull")
        .replace("2026-03-09T08:20", "2026-03-08T02:30");
    farm.file("bad.csv", bad);
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "bad.csv"]));
    assert_eq!(farm.json(&["stock"]).as_array().map(Vec::len), Some(0));
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "good.csv"]));
    let book = farm.json(&["stock"]);
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "good.csv"]));
    assert_eq!(book, farm.json(&["stock"]));
    farm.file("changed.csv", good.replace("32.2", "33.2"));
    let told = farm.run(&["weigh", "--file", "changed.csv"]);
    assert!(
        told.contains("as record 2. There `gross` is 32.2") && told.ends_with("exit 1\n"),
        "{told}"
    );
}

/// A file needs the columns that say something, in any order.
#[test]
fn columns_with_nothing_to_say_may_be_left_out_of_a_file() {
    let farm = Farm::begun();
    let rows = "Quay brewery,spent-grain,32.2,1.5,2026-03-09T08:00\nHearth bakery,bread,14,0.3,2026-03-09T08:20\n";
    farm.file(
        "few.csv",
        format!("supplier,stream,gross,tare,weighed_at\n{rows}"),
    );
    let told = farm.run(&["weigh", "--file", "few.csv"]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    // With the other columns, empty, they are the same tickets.
    let all = "supplier,stream,gross,tare,weighed_at,unit,note";
    let rows = rows.replace(":00\n", ":00,,\n").replace(":20\n", ":20,,\n");
    farm.file("all.csv", format!("{all}\n{rows}"));
    let told = farm.json(&["weigh", "--file", "all.csv"]);
    assert_eq!(
        (&told["new"], &told["already_there"]),
        (&0.into(), &2.into())
    );
    farm.file(
        "bad.csv",
        "supplier,stream,gros,tare\nQuay brewery,bread,1,0\n",
    );
    insta::assert_snapshot!(farm.run(&["weigh", "--file", "bad.csv"]));
}

#[test]
fn months_are_local_also_over_a_clock_change() {
    let mut farm = Farm::begun();
    farm.at("2026-04-02T12:00:00Z");
    for (ticket, at) in [
        ("L1", "2026-02-28T23:59:59"),
        ("L2", "2026-03-01T00:00:00"),
        ("L3", "2026-03-31T23:59:59"),
        ("L4", "2026-04-01T00:00:00"),
    ] {
        farm.weigh(
            ticket,
            "Hearth bakery",
            "bread",
            "11.5lb",
            &["--at", at, "--sure"],
        );
    }
    let loads = |month: &str| farm.json(&["month", month])["loads"].as_i64();
    assert_eq!(
        (loads("2026-02"), loads("2026-03"), loads("2026-04")),
        (Some(1), Some(2), Some(1))
    );
    let skipped = farm.run(&[
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Hearth bakery",
        "--gross",
        "11.5lb",
        "--tare",
        "0",
        "--at",
        "2026-03-08T02:30",
    ]);
    assert!(
        skipped.contains("the clock change skips or repeats this local time")
            && skipped.ends_with("exit 2\n"),
        "{skipped}"
    );
}

#[test]
fn a_farm_s_own_choices_are_kept_shown_and_taken_back() {
    let farm = Farm::begun();
    let told = farm.run(&["farm"]);
    assert!(told.contains("numbers with a decimal point"), "{told}");
    let told = farm.run(&["farm", "--decimal-mark", "default"]);
    assert!(told.contains("Mixes by our defaults"), "{told}");
    let told = farm.run(&[
        "farm",
        "--decimal-mark",
        "comma",
        "--sure",
        "0.9",
        "--smallest",
        "1",
        "--most-lots",
        "5",
        "--water",
        "never",
        "--small-scale",
        "1g:5kg",
        "--first-stage",
        "young",
    ]);
    insta::assert_snapshot!(told);
    let json = farm.json(&["farm", "--first-stage", "default"]);
    assert_eq!(json["small_scale"]["up_to_g"], 5_000);
    assert_eq!(json["sure_pct"], 90);
    assert!(json["first_stage"].is_null());
    let json = farm.json(&["farm", "--sure", "default", "--small-scale", "default"]);
    assert!(json["sure_pct"].is_null() && json["small_scale"].is_null());
    // A change of another setting leaves them standing.
    assert_eq!(farm.json(&["farm", "--currency", "EUR"])["most_lots"], 5);
    insta::assert_snapshot!(farm.run(&["farm", "--sure", "1.2", "--first-stage", "old"]));
    assert!(farm.run(&["check"]).ends_with("exit 0\n"));
}
