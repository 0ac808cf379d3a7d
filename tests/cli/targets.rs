//! No flag that names a file destroys a farm's book, its tables or another file.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::farm::Farm;

/// What a command needs besides, so that it gets as far as its files.
fn needed(command: &str) -> &'static [&'static str] {
    match command {
        "statement" => &["Quay brewery", "2026-03"],
        "trace" | "recall" => &["A1"],
        "mix" => &["--look"],
        "month" => &["2026-03"],
        "ahead" => &["--nights", "1", "--weeks", "0"],
        "dock" => &["--lan", "--port", "0", "--no-input"],
        _ => &[],
    }
}

/// Every command with every way to name a file to it.
fn ways(farm: &Farm) -> Vec<(String, String)> {
    let help = farm.run(&["--help"]);
    let names = help.lines().filter_map(|line| {
        let name = line.strip_prefix("  ")?.split(' ').next()?;
        let is_word = !name.is_empty() && name.bytes().all(|byte| byte.is_ascii_lowercase());
        (is_word && name != "trayful").then_some(name)
    });
    let commands: BTreeSet<&str> = names.collect();
    let mut ways = Vec::new();
    for command in commands {
        let help = farm.run(&[command, "--help"]);
        assert!(help.ends_with("exit 0\n"), "{command}: {help}");
        for line in help.lines().map(str::trim_start) {
            let flag = line.split(" <FILE>").next().filter(|flag| *flag != line);
            let flag = flag.and_then(|flag| flag.split(' ').next_back());
            // The problems' names are made of the one given: they have a test of their own.
            let flag = flag.filter(|flag| !["--daybook", "--model"].contains(flag));
            let of_all = flag.is_some_and(|flag| {
                ["--streams", "--names", "--stages", "--use-rules"].contains(&flag)
            });
            if let Some(flag) = flag.filter(|_| !of_all || command == "stock") {
                ways.push((command.to_owned(), flag.to_owned()));
            }
        }
        if ["keep", "demo", "papers"].contains(&command) {
            ways.push((command.to_owned(), String::new()));
        }
    }
    ways
}

/// All files of a folder with their bytes; of a link, where it leads.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder).expect("lists");
    let read = |entry: std::io::Result<std::fs::DirEntry>| {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let bytes = match std::fs::read_link(&path) {
            Ok(link) => link.display().to_string().into_bytes(),
            Err(_) => std::fs::read(&path).expect("reads"),
        };
        (name, bytes)
    };
    entries.map(read).collect()
}

#[cfg(unix)]
#[test]
fn no_flag_of_any_command_touches_the_book() {
    let farm = Farm::stocked();
    let link = |to: &str, name: &str| {
        std::os::unix::fs::symlink(to, farm.folder().join(name)).expect("a link");
    };
    link("farm.daybook", "month.html");
    link("nowhere", "dangling.html");
    std::fs::hard_link(
        farm.folder().join("farm.daybook"),
        farm.folder().join("same.html"),
    )
    .expect("a link");
    farm.run(&["keep", "kept.daybook"]);
    let before = files(farm.folder());
    let ways = ways(&farm);
    let out =
        |(_, flag): &&(String, String)| ["--html", "--xlsx", "--csv", ""].contains(&flag.as_str());
    assert!(ways.iter().filter(out).count() >= 17, "{ways:?}");
    let all = [
        "farm.daybook",
        "month.html",
        "farm.daybook-wal",
        "same.html",
        "./farm.daybook",
        "farm.daybook-shm",
        "farm.daybook-journal",
        "kept.daybook",
        "kept.daybook-wal",
        "dangling.html",
        "farm.streams.csv",
        "farm.stages.toml",
        "farm.use-rules.csv",
        ".",
        "..",
    ];
    for (command, flag) in &ways {
        // All kinds of names for one command; the first three for each.
        let names = if ["month", "keep", "demo"].contains(&command.as_str()) {
            &all[..]
        } else {
            &all[..3]
        };
        for name in names {
            let flagged = format!("{flag}={name}");
            let mut args = vec![command.as_str()];
            args.extend(needed(command));
            args.push(if flag.is_empty() { name } else { &flagged });
            if ["--html", "--xlsx", "--csv"].contains(&flag.as_str()) {
                args.push("--over");
            }
            let told = farm.run(&args);
            let refused = told.ends_with("exit 1\n") || told.ends_with("exit 2\n");
            let is_read = !["--html", "--xlsx", "--csv", ""].contains(&flag.as_str());
            assert!(refused || is_read, "{args:?}: {told}");
            assert!(
                files(farm.folder()) == before,
                "{args:?} changed a file: {told}"
            );
        }
    }
}

#[test]
fn a_file_that_is_there_is_written_over_only_where_that_is_meant() {
    let farm = Farm::stocked();
    farm.file("mine.html", "a letter");
    let mine = || std::fs::read_to_string(farm.folder().join("mine.html")).expect("reads");
    insta::assert_snapshot!(farm.run(&["month", "2026-03", "--html", "mine.html"]), @r"
    --- stderr
    error: `mine.html` is there already
    hint: `--over` writes over it
    exit 1
    ");
    assert_eq!(mine(), "a letter");
    insta::assert_snapshot!(farm.run(&["month", "2026-03", "--html", "./mine.html", "--xlsx", "mine.html", "--over"]), @r"
    --- stderr
    error: `mine.html` is named twice; accepted: a name of its own for each file
    exit 2
    ");
    insta::assert_snapshot!(farm.run(&["month", "2026-03", "--html", "new.x", "--xlsx", "new.x"]), @r"
    --- stderr
    error: `new.x` is named twice; accepted: a name of its own for each file
    exit 2
    ");
    insta::assert_snapshot!(farm.run(&["ahead", "--html", "farm.daybook", "--over"]), @r"
    --- stderr
    error: `farm.daybook` is a daybook or goes with one, and is never written over; accepted: the name of another file
    exit 1
    ");
    insta::assert_snapshot!(farm.run(&["trace", "A1", "--xlsx", "farm.streams.csv"]), @r"
    --- stderr
    error: `farm.streams.csv` is where one of the farm's tables is read from; accepted: the name of another file
    exit 1
    ");
    assert_eq!(mine(), "a letter");
    let told = farm.run(&["month", "2026-03", "--html", "mine.html", "--over"]);
    assert!(
        told.ends_with("exit 0\n") && mine().trim_end().ends_with("</html>"),
        "{told}"
    );
    // A month is not closed where its page can't be written.
    let closed = farm.run(&["month", "2026-02", "--close", "--html", "mine.html"]);
    assert!(closed.ends_with("exit 1\n"), "{closed}");
    assert_eq!(farm.json(&["check"])["records"], 8);
}

/// A model that can't be written leaves no sheet behind.
#[test]
fn problems_are_written_over_only_where_that_is_meant() {
    let farm = Farm::stocked();
    let write = |more: &[&str]| farm.run(&[&["mix", "--model", "night.mps"], more].concat());
    assert!(write(&[]).ends_with("exit 0\n"));
    let records = || farm.json(&["check"])["records"].clone();
    let before = records();
    let told = write(&[]);
    assert!(
        told.contains("is there already") && told.ends_with("exit 1\n"),
        "{told}"
    );
    assert_eq!(records(), before);
    assert!(write(&["--over"]).ends_with("exit 0\n"));
    std::fs::remove_file(farm.folder().join("night-1-shortage.mps")).expect("removed");
    farm.run(&["keep", "night-1-shortage.mps"]);
    let told = write(&["--over"]);
    assert!(
        told.contains("is a daybook or goes with one") && told.ends_with("exit 1\n"),
        "{told}"
    );
}

#[cfg(unix)]
#[test]
fn a_pipe_is_written_into_and_a_link_followed() {
    let farm = Farm::stocked();
    let pipe = farm.folder().join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.is_ok_and(|made| made.success()));
    let reader = {
        let pipe = pipe.clone();
        std::thread::spawn(move || std::fs::read_to_string(pipe))
    };
    let told = farm.run(&["month", "2026-03", "--html", "pipe"]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    let page = reader.join().expect("ends").expect("reads");
    assert!(page.trim_end().ends_with("</html>"));
    std::os::unix::fs::symlink("letters", farm.folder().join("link")).expect("a link");
    farm.file("letters", "a letter");
    let told = farm.run(&["month", "2026-03", "--html", "link", "--over"]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    assert!(farm.folder().join("link").is_symlink());
    let written = std::fs::read_to_string(farm.folder().join("letters")).expect("reads");
    assert!(written.trim_end().ends_with("</html>"));
}
