//! Small books of the invented farm, each made by the program of its schema:
//! they open, are whole and tell what that program told. Reading leaves them
//! as they are; the first writing brings them up beside a copy.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// Beside each stands what its own program told of its stock and months.
const SCHEMAS: [u8; 5] = [1, 2, 3, 4, 5];

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(args)
        .current_dir(folder)
        .env_clear()
        .env("TRAYFUL_NOW", "2026-03-05T02:00:00Z")
        .env("TRAYFUL_BY", "AB")
        .output()
        .expect("the program runs")
}

fn told(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, args);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{args:?}: {errors}");
    String::from_utf8(output.stdout).expect("text")
}

fn json(folder: &Path, args: &[&str]) -> Value {
    let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
    serde_json::from_str(&told(folder, &args)).expect("JSON")
}

fn kept(name: &str) -> Vec<u8> {
    let books = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/books");
    fs::read(books.join(name)).expect("a kept file")
}

/// A folder with the book of a schema and nothing else.
fn farm_of(schema: u8) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let book = kept(&format!("schema-{schema}.sqlite"));
    fs::write(folder.path().join("farm.daybook"), book).expect("writes");
    folder
}

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("lists");
    let file = |entry: std::io::Result<fs::DirEntry>| {
        let entry = entry.expect("an entry");
        let name = entry.file_name().to_string_lossy().into_owned();
        (name, fs::read(entry.path()).expect("reads"))
    };
    entries.map(file).collect()
}

/// Every key of `wanted` stands in `seen` with the same value.
fn holds(seen: &Value, wanted: &Value) -> bool {
    match (seen, wanted) {
        (Value::Object(seen), Value::Object(wanted)) => wanted
            .iter()
            .all(|(key, value)| seen.get(key).is_some_and(|seen| holds(seen, value))),
        (Value::Array(seen), Value::Array(wanted)) => {
            seen.len() == wanted.len() && seen.iter().zip(wanted).all(|(s, w)| holds(s, w))
        }
        _ => seen == wanted,
    }
}

/// The order of lots goes by keeping times, which are the tables' and not the book's.
fn by_number(mut lots: Value) -> Value {
    let all = lots.as_array_mut().expect("lots");
    all.sort_by_key(|lot| lot["number"].as_i64());
    lots
}

/// What the program of a schema told, told again from `book`.
fn assert_tells_the_same(schema: u8, folder: &Path, book: &str) {
    let told: Value =
        serde_json::from_slice(&kept(&format!("schema-{schema}.json"))).expect("JSON");
    for (what, wanted) in told.as_object().expect("an object") {
        let seen = match what.as_str() {
            "stock" => by_number(json(folder, &["stock", "--daybook", book])),
            month => json(folder, &["month", month, "--daybook", book]),
        };
        assert!(
            holds(&seen, wanted),
            "schema {schema}, {what}: {seen:#} against {wanted:#}"
        );
    }
}

#[test]
fn an_old_book_is_whole_tells_the_same_and_is_left_as_it_is_by_reading() {
    for schema in SCHEMAS {
        let folder = farm_of(schema);
        let before = files(folder.path());
        let checked = told(folder.path(), &["check"]);
        assert!(checked.contains("The book is whole: "), "{checked}");
        assert_tells_the_same(schema, folder.path(), "farm.daybook");
        for reads in [
            &["cohort", "list"] as &[&str],
            &["statement", "Corner grocer", "2026-03"],
            &["farm"],
        ] {
            told(folder.path(), reads);
        }
        assert!(
            files(folder.path()) == before,
            "schema {schema}: reading changed the folder"
        );
    }
}

#[test]
fn the_first_writing_keeps_a_copy_and_brings_the_book_up() {
    for schema in SCHEMAS {
        let folder = farm_of(schema);
        let wrote = ["farm", "--container", "tub=2lb"];
        let output = run(folder.path(), &wrote);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let copy = format!("farm.schema-{schema}.daybook");
        assert!(output.status.success() && said.contains(&copy), "{said}");
        // Said once: it is up now.
        assert_eq!(run(folder.path(), &wrote).stderr, b"");
        assert!(told(folder.path(), &["check"]).contains("The book is whole: "));
        assert_tells_the_same(schema, folder.path(), "farm.daybook");
        // The copy is still what it was, and is not brought up by reading.
        assert!(
            told(folder.path(), &["check", "--daybook", &copy]).contains("The book is whole: ")
        );
        assert_tells_the_same(schema, folder.path(), &copy);
        let version = u32::from_be_bytes(
            files(folder.path())[&copy][60..64]
                .try_into()
                .expect("four"),
        );
        assert_eq!(version, u32::from(schema));
    }
}

#[test]
fn a_second_copy_never_replaces_the_first() {
    let folder = farm_of(4);
    fs::write(folder.path().join("farm.schema-4.daybook"), "an older copy").expect("writes");
    let output = run(folder.path(), &["farm", "--container", "tub=2lb"]);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("farm.schema-4-2.daybook"), "{said}");
    assert_eq!(
        files(folder.path())["farm.schema-4.daybook"],
        b"an older copy"
    );
}

/// A copy that is not whole could not be gone back to.
#[test]
fn a_book_that_is_not_whole_is_left_at_its_schema() {
    let folder = farm_of(4);
    let path = folder.path().join("farm.daybook");
    let mut bytes = fs::read(&path).expect("reads");
    let name = b"Corner grocer";
    let at = bytes
        .windows(name.len())
        .position(|seen| seen == name)
        .expect("a name");
    bytes[at] = b'D';
    fs::write(&path, bytes).expect("writes");
    let before = files(folder.path());
    let output = run(folder.path(), &["farm", "--container", "tub=2lb"]);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        !output.status.success() && said.contains("is of schema 4 and was left as it is"),
        "{said}"
    );
    assert!(files(folder.path()) == before);
}
