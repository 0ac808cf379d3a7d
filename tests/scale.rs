//! Scales on a wire, through real pseudo-terminals.

#![cfg(unix)]

mod dock_support;
mod scale_support;

use std::io::{BufRead, BufReader};
use std::time::{Duration, Instant};

use dock_support::{Dock, Farm, Tablet};
use scale_support::SimulatedScale;
use serde_json::{Value, json};

/// Longest wait for a scale, on a busy machine in a debug build.
const PATIENCE: Duration = Duration::from_secs(60);

/// What scales show, as an open page hears it.
struct Heard(Box<dyn Iterator<Item = String>>);

impl Heard {
    fn by(dock: &Dock, tablet: &Tablet) -> Self {
        let lines = BufReader::new(dock.ask("/events", tablet, "")).lines();
        Self(Box::new(lines.map_while(Result::ok)))
    }

    /// The first state of the first scale for which this holds.
    fn until(&mut self, holds: impl Fn(&Value) -> bool) -> Value {
        let began = Instant::now();
        let mut last = Value::Null;
        for line in self.0.by_ref() {
            assert!(began.elapsed() < PATIENCE, "last heard: {last}");
            let told = line
                .strip_prefix("data: ")
                .and_then(|data| serde_json::from_str::<Value>(data).ok());
            let Some(scale) = told.and_then(|told| Some(told.as_array()?.first()?.clone())) else {
                continue;
            };
            if holds(&scale) {
                return scale;
            }
            last = scale;
        }
        panic!("the page's events ended; last heard: {last}");
    }

    fn steady(&mut self, text: &str) -> Value {
        self.until(|scale| scale["state"] == "steady" && scale["text"] == text)
    }
}

fn bucket(id: &str, gross: &str, reading: &str) -> Value {
    json!({
        "id": id, "supplier": "Quay brewery", "stream": "spent-grain", "gross": gross,
        "container": "pail", "reading": reading, "sure": "yes",
    })
}

#[test]
fn a_bucket_is_weighed_by_the_terminal_from_the_scale_itself() {
    let farm = Farm::new();
    let scale = SimulatedScale::streaming(&farm.path(""), "scale");
    scale.load(14_600);
    let port = format!("dock={}", scale.port());
    let weigh = [
        "weigh",
        "--supplier",
        "Quay brewery",
        "--stream",
        "spent-grain",
        "--container",
        "pail",
        "--sure",
        "--scale",
        &port,
    ];
    let ticket = farm.json(&weigh);
    assert_eq!(
        (&ticket["gross_g"], &ticket["scale"]),
        (&json!(14_600), &json!("dock"))
    );
    let typed = [
        "weigh",
        "--supplier",
        "Quay brewery",
        "--stream",
        "spent-grain",
        "--gross",
        "30lb",
        "--tare",
        "0",
    ];
    assert_eq!(farm.json(&typed)["scale"], Value::Null);
    let month = jiff::Timestamp::now()
        .in_tz("America/Denver")
        .expect("a zone")
        .strftime("%Y-%m")
        .to_string();
    let statement = farm.run(&["statement", "Quay brewery", &month]);
    assert!(
        statement.contains("1 sent by the scale itself, 1 typed in"),
        "{statement}"
    );
    assert!(farm.run(&["check"]).contains("The book is whole"));
}

#[test]
fn what_the_scale_shows_is_said_and_never_taken() {
    let farm = Farm::new();
    let scale = SimulatedScale::printing(&farm.path(""), "scale");
    let dock = farm.dock_with(&["--scale", &scale.port()]);
    let tablet = dock.tablet();
    let mut heard = Heard::by(&dock, &tablet);
    heard.until(|scale| scale["state"] == "quiet");
    // What comes right after the port was opened may have begun before.
    std::thread::sleep(Duration::from_millis(500));
    for (line, state) in [
        ("US,GS,+  12.3kg\r\n", "moving"),
        ("OL,GS,+  99.9kg\r\n", "beyond"),
        ("ST,GS,-   0.4kg\r\n", "below-zero"),
        ("Batch 12\r\n", "unread"),
    ] {
        scale.send(line.as_bytes());
        let seen = heard.until(|scale| scale["state"] == state);
        assert_eq!(seen["reading"], "", "{seen}");
        if state == "unread" {
            assert_eq!(seen["text"], "Batch 12");
        }
    }
    // Its key: one line by itself.
    scale.load(5_250);
    std::thread::sleep(Duration::from_millis(1_500));
    scale.print();
    let seen = heard.steady("5.250 kg");
    assert_eq!(seen["printed"], true, "{seen}");
    let kept = tablet.post(
        &dock,
        "/api/weigh",
        &bucket(
            "auto-printed-0001",
            "5.250 kg",
            seen["reading"].as_str().expect("a name"),
        ),
    );
    assert_eq!(kept.status, 200, "{kept:?}");
    assert_eq!(kept.json()["scale"], "scale");
}

#[test]
fn a_weight_is_given_once_and_one_typed_over_counts_as_typed() {
    let farm = Farm::new();
    let scale = SimulatedScale::streaming(&farm.path(""), "scale");
    let dock = farm.dock_with(&["--scale", &format!("dock={}", scale.port())]);
    let tablet = dock.tablet();
    let mut heard = Heard::by(&dock, &tablet);
    scale.load(9_000);
    let seen = heard.steady("9.000 kg");
    let reading = seen["reading"].as_str().expect("a name");
    let over = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-typed-over-1", "9.5 kg", reading),
    );
    assert_eq!(over.json()["scale"], Value::Null, "{over:?}");
    let first = bucket("auto-first-00001", "9.000 kg", reading);
    let kept = tablet.post(&dock, "/api/weigh", &first);
    assert_eq!(
        (kept.status, &kept.json()["scale"]),
        (200, &json!("dock")),
        "{kept:?}"
    );
    // The same bucket sent again is the same; another one needs its own weight.
    assert_eq!(
        tablet.post(&dock, "/api/weigh", &first).json()["already_there"],
        true
    );
    let again = tablet.post(
        &dock,
        "/api/weigh",
        &bucket("auto-second-0001", "9.000 kg", reading),
    );
    assert_eq!(again.status, 422, "{again:?}");
    assert!(again.body.contains("taken for another"), "{again:?}");
    // After the dock began anew the entry still is what was kept.
    drop(dock);
    let dock = farm.dock_with(&["--scale", &format!("dock={}", scale.port())]);
    let resent = dock.tablet().post(&dock, "/api/weigh", &first);
    assert_eq!(
        (resent.status, &resent.json()["scale"]),
        (200, &json!("dock")),
        "{resent:?}"
    );
}

#[test]
fn a_cable_that_is_pulled_is_said_and_its_return_is_heard() {
    let farm = Farm::new();
    let scale = SimulatedScale::streaming(&farm.path(""), "scale");
    let dock = farm.dock_with(&["--scale", &scale.port()]);
    let tablet = dock.tablet();
    let mut heard = Heard::by(&dock, &tablet);
    scale.load(7_000);
    heard.steady("7.000 kg");
    scale.plug(false);
    let gone = heard.until(|scale| scale["state"] == "gone");
    assert_eq!(gone["reading"], "");
    scale.load(8_000);
    scale.plug(true);
    heard.steady("8.000 kg");
}

#[test]
fn two_scales_are_told_apart_by_name() {
    let farm = Farm::new();
    let [big, small] = ["big", "small"].map(|name| SimulatedScale::streaming(&farm.path(""), name));
    let ports =
        [("dock", &big), ("small", &small)].map(|(name, scale)| format!("{name}={}", scale.port()));
    let dock = farm.dock_with(&["--scale", &ports[0], "--scale", &ports[1]]);
    let tablet = dock.tablet();
    small.load(250);
    big.load(12_000);
    let mut heard = Heard::by(&dock, &tablet);
    heard.steady("12.000 kg");
    let lines = BufReader::new(dock.ask("/events", &tablet, ""))
        .lines()
        .map_while(Result::ok);
    let both = lines
        .filter_map(|line| serde_json::from_str::<Vec<Value>>(line.strip_prefix("data: ")?).ok());
    let names = |all: Vec<Value>| {
        all.iter()
            .map(|one| one["name"].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        both.map(names).next(),
        Some(vec![json!("dock"), json!("small")])
    );
}

#[test]
fn a_port_that_is_none_is_refused_by_name() {
    let farm = Farm::new();
    let output = farm
        .command()
        .args(["dock", "--scale", "dock=x@fast"])
        .output()
        .expect("runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        !output.status.success() && said.contains("`--scale`: `dock=x@fast`"),
        "{said}"
    );
    // One that nothing is plugged into is waited for, and told in the end.
    let absent = farm.path("nothing").display().to_string();
    let weigh = [
        "weigh",
        "--supplier",
        "Q",
        "--stream",
        "bread",
        "--tare",
        "0",
        "--no-input",
        "--scale",
        &absent,
    ];
    let output = farm.command().args(weigh).output().expect("runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        !output.status.success() && said.contains("look at the cable"),
        "{said}"
    );
    assert_eq!(farm.lots().len(), 0);
}
