//! What people see of an explanation, of buckets, of chances, and of slips in asking.

use std::path::Path;
use std::process::Command;

const STOCK: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\nG1,spent-grain,28.0,1,,,2\nG2,spent-grain,14.2,2,78.5,,1\nB1,bread,2.0,1,,,1\n";
const TARGETS: &str = "[group.grower]\ndry_matter_kg = 5.0\n[group.grower.window]\nmoisture_pct = { max = 72.0, limit_max = 80.0 }\n";
const WET: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\nG1,spent-grain,28.0,1,,,2\nL1,lettuce-trim,6.0,1,,,1\n";

/// Standard output, standard error and exit code of `mix` on files of a fresh folder.
fn mix(stock: &str, targets: &str, more: &[&str]) -> (String, serde_json::Value, String) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), stock).expect("written");
    std::fs::write(folder.path().join("targets.toml"), targets).expect("written");
    let out = run(folder.path(), more);
    let stdout = String::from_utf8(out.stdout).expect("text");
    let stderr = String::from_utf8(out.stderr).expect("text");
    let json = serde_json::from_str(&stdout).unwrap_or(serde_json::Value::Null);
    let code = out.status.code().unwrap_or(-1);
    (format!("{stdout}{stderr}exit {code}\n"), json, stderr)
}

fn run(folder: &Path, more: &[&str]) -> std::process::Output {
    Command::new(assert_cmd::cargo::cargo_bin!("trayful"))
        .current_dir(folder)
        .args(["mix", "--stock", "stock.csv", "--targets", "targets.toml"])
        .args(more)
        .output()
        .expect("run")
}

#[test]
fn nearest_says_what_clashes_and_what_cures() {
    insta::assert_snapshot!(mix(STOCK, TARGETS, &[]).0, @"");
}

#[test]
fn all_too_wet_is_said_in_one_sentence() {
    let (text, _, _) = mix(WET, TARGETS, &[]);
    let line = text
        .lines()
        .find(|line| line.starts_with("Everything"))
        .expect("a sentence");
    assert_eq!(
        line,
        "Everything that may be fed to grower is wetter than 72 %: no mix can come under 77 %, what G1 has."
    );
}

#[test]
fn why_in_sentences_then_tables() {
    let targets = TARGETS.replace("72.0", "73.0").replace("5.0", "4.5");
    insta::assert_snapshot!(mix(STOCK, &targets, &["--why"]).0, @"");
}

#[test]
fn buckets_come_first() {
    let targets = TARGETS.replace("72.0", "77.5").replace("5.0", "6.2");
    insta::assert_snapshot!(mix(STOCK, &targets, &["--buckets", "--smallest", "0.5kg", "--bucket-streams", "2"]).0, @"");
}

#[test]
fn json_carries_the_numbers() {
    let (_, value, _) = mix(
        STOCK,
        TARGETS,
        &["--json", "--why", "--sure", "0.9", "--buckets"],
    );
    assert_eq!(value["why"]["conflicts"][0]["demands"][1]["kind"], "window");
    assert!(
        value["why"]["cures"]
            .as_array()
            .is_some_and(|cures| cures.iter().all(|cure| cure["verdict"] == "inside"))
    );
    assert_eq!(value["sureness"]["asked"], 0.9);
    assert!(
        value["buckets"]["gap"]
            .as_f64()
            .is_some_and(|gap| gap < 0.05),
        "{}",
        value["buckets"]
    );
}

#[test]
fn a_chance_that_none_reaches_gives_the_surest() {
    let (text, _, _) = mix(STOCK, &TARGETS.replace("72.0", "74.0"), &["--sure", "0.95"]);
    assert!(text.contains("this is the surest there is"), "{text}");
}

#[test]
fn models_are_written_beside_the_name() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), STOCK).expect("written");
    std::fs::write(folder.path().join("targets.toml"), TARGETS).expect("written");
    let out = run(folder.path(), &["--model", "night.mps", "--buckets"]);
    assert_eq!(out.status.code(), Some(3));
    for name in [
        "night-1-shortage.mps",
        "night-2-outside.mps",
        "night-3-urgent.mps",
    ] {
        let text = std::fs::read_to_string(folder.path().join(name)).expect(name);
        assert!(
            text.starts_with("NAME") && text.ends_with("ENDATA\n"),
            "{text}"
        );
    }
    let missing = run(folder.path(), &["--model", "nowhere/night.mps"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(
        String::from_utf8_lossy(&missing.stderr).contains("nowhere"),
        "{missing:?}"
    );
}

#[test]
fn slips_in_asking_are_named() {
    let asked: [&[&str]; 9] = [
        &["--sure", "1.2"],
        &["--sure", "nan"],
        &["--buckets", "--bucket-streams", "0"],
        &["--buckets", "--smallest", "much"],
        &["--smallest", "1kg"],
        &["--liquor-dry", "40"],
        &["--steady"],
        &["--steady", "--last", "nothing.csv"],
        &["--last", "stock.csv"],
    ];
    let told: Vec<String> = asked
        .iter()
        .map(|asked| {
            let text = mix(STOCK, TARGETS, asked).0;
            let kept: Vec<&str> = text
                .lines()
                .filter(|line| line.starts_with("error") || line.starts_with("exit"))
                .collect();
            format!("{}: {}", asked.join(" "), kept.join(" | "))
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"");
}

#[test]
fn the_mix_before_is_read_or_named() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), STOCK).expect("written");
    std::fs::write(folder.path().join("targets.toml"), TARGETS).expect("written");
    let last = folder.path().join("last.csv");
    std::fs::write(
        &last,
        "group,stream,kg\ngrower,spent-grain,14\ngrower,bread,2\n",
    )
    .expect("written");
    let out = run(folder.path(), &["--steady", "--last", "last.csv", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).expect("json");
    assert!(value["change_kg"].is_number(), "{value}");
    std::fs::write(&last, "group,stream,kg\ngrower,spent-gran,14\n").expect("written");
    let out = run(folder.path(), &["--steady", "--last", "last.csv"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(
        String::from_utf8_lossy(&out.stderr).contains("spent-grain"),
        "{out:?}"
    );
}
