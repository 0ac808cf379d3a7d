//! The commands as staff meet them: output, messages, exit codes.

use std::path::Path;

use assert_cmd::Command;

fn trayful(book: &Path, args: &[&str]) -> String {
    let mut command = Command::cargo_bin("trayful").expect("the program");
    let run = command
        .env_clear()
        .args(["--daybook", &book.display().to_string()])
        .args(["--now", "2026-11-05T12:00:00Z", "--by", "MK", "--no-input"])
        .args(args)
        .output()
        .expect("runs");
    format!(
        "exit {}\n{}{}",
        run.status.code().unwrap_or(-1),
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    )
}

/// A book with two loads of October.
fn book(folder: &Path) -> std::path::PathBuf {
    let book = folder.join("farm.daybook");
    let begin = "begin --zone Europe/Madrid --unit kg --division 0.1 --currency EUR --region other --larvae-for not-feed";
    let done = [
        trayful(&book, &begin.split(' ').collect::<Vec<_>>()),
        load(&book, "Baker", "bread", "12.3kg", "2026-10-02 08:00"),
        load(&book, "Grocer", "carrot-trim", "20kg", "2026-10-03 08:00"),
    ];
    for told in done {
        assert!(told.starts_with("exit 0"), "{told}");
    }
    book
}

fn load(book: &Path, supplier: &str, stream: &str, gross: &str, at: &str) -> String {
    let load = ["--supplier", supplier, "--stream", stream, "--gross", gross];
    let rest = ["weigh", "--tare", "0", "--sure", "--at", at];
    trayful(book, &[&rest[..], &load].concat())
}

#[test]
fn refusals_name_what_is_accepted() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    let told = [
        "month 2026-11 --close",
        "month 2026-10 --version 1",
        "month 2026-10 --why x",
        "month 2026 --close",
        "month 26",
        "statement Nobody 2026-10",
        "month 2026-10 --methane --outlet moon --gwp ar4",
        "farm --diverted-rule all",
        "month 2026-10 --html /nowhere/at/all.html",
    ]
    .map(|line| trayful(&book, &line.split(' ').collect::<Vec<_>>()));
    insta::assert_snapshot!(told.join("\n"), @"
    exit 1
    error: 2026-11 runs until 2026-12-01 00:00 local time; accepted: a month that is over
    hint: `trayful month` shows the running month without closing it

    exit 1
    error: there is no version `1 of 2026-10`
    hint: `trayful month MONTH --close` makes the first version of a month that is over

    exit 2
    error: `--close` is missing
    hint: `trayful month --help` shows what there is, with an example

    exit 2
    error: `month`: `2026` is not accepted; accepted: a month with --close or --version; a year is the sum of its months

    exit 2
    error: `month`: `26` is not accepted; accepted: a month such as 2026-10, or a year such as 2026

    exit 1
    error: there is no supplier in the month `Nobody`; nearest: Baker, Grocer
    hint: `trayful month MONTH` lists the suppliers

    exit 2
    error: `--outlet`: `moon` is not accepted; accepted: OUTLET or SUPPLIER=OUTLET with one of landfill-managed, landfill-semi-aerobic, landfill-semi-aerobic-poor, landfill-aerated, landfill-aerated-poor, dump-deep, dump-shallow, landfill-unsorted, animal-feed, compost, unknown
    `--gwp`: `ar4` is not accepted; accepted: ar5, ar6

    exit 2
    error: `--diverted-rule`: `all` is not accepted; accepted: default, flw, epa-workgroup

    exit 1
    error: `/nowhere/at/all.html` could not be written: No such file or directory (os error 2)
    ");
}

#[test]
fn methane_is_a_range_only_when_asked() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    let without = trayful(&book, &["month", "2026-10"]);
    assert!(!without.to_lowercase().contains("methane"), "{without}");
    let section = |args: &[&str]| {
        let told = trayful(&book, &[&["month", "2026-10", "--methane"], args].concat());
        let from = told.find("Landfill methane").expect("a section");
        let to = told.find("What these figures are").expect("the next");
        told[from..to].trim_end().to_owned()
    };
    insta::assert_snapshot!(section(&["--outlet", "landfill-managed", "--outlet", "Baker=animal-feed", "--gwp", "ar6"]), @"
    Landfill methane avoided, if the former outlets are right
     supplier   former outlet       diverted   dry matter       kg CH4, all years   kg CO2e, all years   kg CH4, first year of decay
    ---------- ------------------- ---------- ------------ ----------------------- -------------------- -----------------------------
     Baker      animal feed          12.3 kg       7.8 kg   0: was not landfilled                    0                             0
     Grocer     landfill, managed    20.0 kg       2.3 kg           0.069 to 0.71            1.9 to 19                 0.012 to 0.12
    This is over the whole life of a landfill, not this year. With k = 0.185 a year (temperate, wet), 16.9, 60.3, 84.3, 97.5 % of it decays after 1, 5, 10 and 20 years.
    First-order decay of IPCC 2006 Guidelines, vol. 5, ch. 3, values of the Guidelines and the 2019 Refinement as seen in an open implementation: degradable carbon 0.2 to 0.5 of dry matter (2006, table 2.4, food waste), each stream's dry matter as in the stream table, DOCf 0.49 to 0.91, F 0.5, oxidation 0 to 0.1 where managed, 0 to 50 % of the gas captured (our default), none from an open dump. GWP-100 of non-fossil methane 27.0 (IPCC AR6).
    This is an estimate, not an offset. The farm's own energy, transport and residue are not taken off. Supplier and farm must not both claim it.
    ");
    let law: &[&str] = &["--outlet", "landfill-managed", "--required-by-law"];
    for (args, words) in [
        (law, "no claim: diversion is the law"),
        (&[], "no figure: outlet not known"),
    ] {
        let told = section(args);
        assert_eq!(told.matches(words).count(), 2, "{told}");
    }
}

#[test]
fn a_month_reads_in_spanish() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    let outlets = ["--outlet", "landfill-managed", "--outlet", "Baker=compost"];
    let month = ["month", "2026-10", "--lang", "es", "--methane"];
    let told = trayful(&book, &[&month[..], &outlets].concat());
    let seal = told.find("Sello del libro").expect("a seal");
    insta::assert_snapshot!(&told[..seal]);
}

#[test]
fn pages_and_workbooks_are_written_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    let file = |name: &str| folder.path().join(name).display().to_string();
    let (page, sheet) = (file("month.html"), file("month.xlsx"));
    for command in [
        vec!["month", "2026-10"],
        vec!["statement", "Baker", "2026-10"],
    ] {
        let args = [command, vec!["--html", &page, "--xlsx", &sheet, "--over"]].concat();
        let told = trayful(&book, &args);
        assert!(told.starts_with("exit 0"), "{told}");
        let html = std::fs::read_to_string(&page).expect("a page");
        assert!(html.trim_end().ends_with("</html>") && html.contains("<svg"));
        assert!(html.contains("12.3"), "{html}");
        assert_eq!(&std::fs::read(&sheet).expect("a workbook")[..2], b"PK");
    }
    let there = std::fs::read_dir(folder.path()).expect("lists");
    let names = there.map(|entry| entry.expect("an entry").file_name());
    let mut names = names.map(|name| name.to_string_lossy().into_owned());
    assert_eq!(names.find(|name| name.contains(".part")), None);
}

#[test]
fn a_farm_says_what_statements_print() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    let said = [
        "farm",
        "--name",
        "Our farm",
        "--verified-scale",
        "class III, sealed 2026-03-01",
        "--diverted-rule",
        "flw",
    ];
    assert!(trayful(&book, &said).starts_with("exit 0"));
    let told = trayful(&book, &["statement", "Baker", "2026-10"]);
    for words in [
        "From Our farm",
        "Weighed on a verified scale: class III, sealed 2026-03-01.",
        "defines no \"diverted\"",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert!(trayful(&book, &["farm", "--verified-scale", "none"]).starts_with("exit 0"));
    let told = trayful(&book, &["statement", "Baker", "2026-10"]);
    assert!(told.contains("Not weighed on a verified scale.") && told.contains("From Our farm"));
}
