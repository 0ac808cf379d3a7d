//! What is generated beside the program is kept, and holds: schemas of answers,
//! manual pages, completions. `INSTA_UPDATE=always` writes the schemas anew.

use std::path::Path;
use std::process::Command;

fn answer(folder: &Path, args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_trayful"))
        .args(args)
        .current_dir(folder)
        .env("TRAYFUL_NOW", "2026-11-25T23:00:00Z")
        .env("TRAYFUL_BY", "Ana")
        .output()
        .expect("the program runs");
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        matches!(output.status.code(), Some(0 | 3)),
        "{args:?}: {told}"
    );
    String::from_utf8(output.stdout).expect("text")
}

#[test]
fn schemas_are_those_of_the_types() {
    let folder = tempfile::tempdir().expect("a folder");
    answer(folder.path(), &["papers", "papers"]);
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/schema");
    let made = folder.path().join("papers");
    let mut names = Vec::new();
    for entry in std::fs::read_dir(made.join("schema")).expect("schemas") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name").to_owned();
        let now = std::fs::read_to_string(&path).expect("text");
        let at = kept.join(&name);
        if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
            std::fs::write(&at, &now).expect("written");
        }
        let written = std::fs::read_to_string(&at).unwrap_or_default();
        let differ = now
            .lines()
            .zip(written.lines())
            .find(|(now, was)| now != was);
        assert_eq!(differ, None, "{}", name.display());
        assert_eq!(now.len(), written.len(), "{}", name.display());
        names.push(name);
    }
    let in_data = std::fs::read_dir(kept).expect("data/schema").count();
    assert_eq!(in_data, names.len(), "one that nothing makes is left");
    for file in [
        "man/trayful.1",
        "man/trayful-weigh.1",
        "completions/trayful.bash",
    ] {
        let text = std::fs::read_to_string(made.join(file)).expect(file);
        assert!(text.contains("weigh"), "{file}: {text}");
    }
}

/// On the demo farm every answer is as its schema says.
#[test]
fn answers_are_as_their_schema_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = "demo-farm/farm.daybook";
    answer(folder.path(), &["demo"]);
    let weighed = [
        "weigh",
        "--stream",
        "bread",
        "--supplier",
        "Quay brewery",
        "--gross",
        "16.4lb",
        "--tare",
        "0.4lb",
        "--sure",
    ];
    let asked: [(&str, &[&str]); 13] = [
        ("weigh", &weighed),
        ("ahead", &["ahead", "--nights", "2"]),
        ("cohort-list", &["cohort", "list"]),
        ("harvest", &["harvest"]),
        ("learn", &["learn"]),
        ("mix", &["mix", "--why", "--buckets"]),
        ("mixes", &["learn", "--mixes"]),
        ("money", &["money"]),
        ("month", &["month"]),
        ("statement", &["statement", "Quay brewery", "2026-10"]),
        ("stock", &["stock"]),
        ("streams", &["streams"]),
        ("trace", &["trace", "1"]),
    ];
    for (name, args) in asked {
        let mut args = args.to_vec();
        args.extend(["--json", "--daybook", book]);
        let told = answer(folder.path(), &args);
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("data/schema/{name}.json"));
        let schema = std::fs::read_to_string(&file).expect(name);
        let schema = serde_json::from_str(&schema).expect("JSON");
        let mut schemas = boon::Schemas::new();
        let mut compiler = boon::Compiler::new();
        compiler
            .add_resource("answer.json", schema)
            .expect("a schema");
        let schema = compiler
            .compile("answer.json", &mut schemas)
            .expect("a schema");
        if let Err(error) = schemas.validate(&told, schema) {
            panic!("{name}: {error:#}");
        }
    }
}
