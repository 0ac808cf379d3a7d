//! Everything that is built in may be handed out beside our own licence, and
//! `data/package/licences.csv` says what it is. `INSTA_UPDATE=always` writes the list anew.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use spdx::{Expression, ParseMode};

/// Licences that ask for no more than their text and, MPL-2.0, where the source is of files
/// under it, which are used as they were published.
const ACCEPTED: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Which crates are for what, the first that holds.
const USES: [(&str, &[&str]); 3] = [
    ("program", &["--edges=normal"]),
    (
        "program with share or highs",
        &["--edges=normal", "--features=share,highs"],
    ),
    ("building and tests", &["--all-features", "--target=all"]),
];

/// Name and version of a crate, its licence and what it is for.
fn crates() -> BTreeMap<(String, String), (String, &'static str)> {
    let mut found = BTreeMap::new();
    for (what, args) in USES {
        let tree = Command::new(env!("CARGO"))
            .args(["tree", "--locked", "--prefix=none", "--format={p}|{l}|"])
            .args(args)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("cargo runs");
        let told = String::from_utf8_lossy(&tree.stderr);
        assert!(tree.status.success(), "{told}");
        let tree = String::from_utf8(tree.stdout).expect("text");
        for line in tree.lines().filter(|line| !line.starts_with("trayful ")) {
            let mut parts = line.split('|');
            let (name, licence) = (
                parts.next().expect("a crate"),
                parts.next().expect("a licence"),
            );
            let (name, rest) = name.split_once(" v").expect("a version");
            let version = rest.split(' ').next().expect("a version");
            found
                .entry((name.to_owned(), version.to_owned()))
                .or_insert((licence.to_owned(), what));
        }
    }
    assert!(found.len() > 200, "{}", found.len());
    found
}

fn is_accepted(licence: &str) -> bool {
    // Crates of old write `/` for OR.
    let mode = ParseMode {
        allow_slash_as_or_operator: true,
        ..ParseMode::STRICT
    };
    Expression::parse_mode(licence, mode).is_ok_and(|expression| {
        // An exception takes nothing away.
        expression.evaluate(|one| {
            let id = one.license.id();
            id.is_some_and(|id| ACCEPTED.contains(&id.name))
        })
    })
}

#[test]
fn what_is_built_in_may_be_handed_out() {
    for ((name, version), (licence, what)) in crates() {
        assert!(
            is_accepted(&licence),
            "{name} {version}, {what}: `{licence}`"
        );
    }
    for (licence, accepted) in [
        ("GPL-3.0-only", false),
        ("MIT AND GPL-2.0-only", false),
        ("MIT OR GPL-3.0-only", true),
        ("MIT/AGPL-3.0-only", true),
        ("Apache-2.0 WITH LLVM-exception", true),
        ("LicenseRef-own", false),
        ("", false),
    ] {
        assert_eq!(is_accepted(licence), accepted, "`{licence}`");
    }
}

#[test]
fn the_list_of_licences_is_as_the_lock_file_has_it() {
    let mut list = "crate,version,licence,for\n".to_owned();
    for ((name, version), (licence, what)) in crates() {
        list.push_str(&format!("{name},{version},{licence},{what}\n"));
    }
    let at = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/package/licences.csv");
    if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
        std::fs::write(&at, &list).expect("written");
    }
    let kept = std::fs::read_to_string(&at).expect("the list");
    let differ = (list.lines().zip(kept.lines())).find(|(now, kept)| now != kept);
    assert_eq!(differ, None);
    assert_eq!(list.len(), kept.len());
}
