//! The API by its own description: schemathesis, a fuzzer by other authors, makes
//! requests from it and holds every answer to it. `tests/run` installs it; where it
//! is not there the test says so.

use std::io::Write;
use std::path::Path;
use std::process::Command;

use dock_support::Farm;

mod dock_support;

#[test]
fn every_answer_is_as_described_whatever_is_sent() {
    let fuzzer = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/target/python/bin/schemathesis"
    );
    if !Path::new(fuzzer).exists() {
        // Past the harness, which keeps what a passing test prints.
        writeln!(std::io::stderr(), "NOT RUN: no schemathesis at {fuzzer}").expect("stderr");
        return;
    }
    let farm = Farm::new();
    farm.cohort("C1");
    let load = "weigh --supplier Quay --stream spent-grain --gross 30 --tare 0 --id first --sure";
    farm.run(&load.split(' ').collect::<Vec<_>>());
    let dock = farm.dock();
    let tablet = dock.tablet();
    // That text of any kind may be sent and is then refused with what is taken is
    // meant: the rules of a farm are no part of a schema.
    let told = Command::new(fuzzer)
        .current_dir(farm.path(""))
        .arg("run")
        .arg(format!("http://{}/api/openapi.json", dock.host()))
        .args(["-H", &format!("Cookie: {}", tablet.cookie)])
        .args(["-H", &format!("X-Trayful-Token: {}", tablet.token)])
        .args(["--exclude-checks", "positive_data_acceptance"])
        .args(["--max-examples", "15", "--seed", "20261127"])
        .args(["--generation-database", "none", "--no-color"])
        .output()
        .expect("runs");
    let text = String::from_utf8_lossy(&told.stdout);
    assert!(told.status.success(), "{text}");
    assert!(text.contains("✅ Fuzzing"), "{text}");
    let (_, said) = dock.stop();
    assert!(!said.contains("panicked"), "{said}");
    assert_eq!(farm.json(&["check"])["whole"], true);
}
