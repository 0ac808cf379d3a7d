//! The house rules a compiler does not hold: which room may use which, how
//! long a file may be, what may never be written.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Each room with the rooms it may use, besides `words`, which all may. An arrow
/// points down only.
const ROOMS: &[(&str, &[&str])] = &[
    ("words", &[]),
    ("quantity", &[]),
    ("table", &["quantity"]),
    ("scale", &["quantity", "table"]),
    ("stream", &["quantity", "table"]),
    ("larvae", &["quantity", "table", "stream"]),
    ("daybook", &["quantity", "stream", "larvae"]),
    ("stock", &["quantity", "stream", "larvae"]),
    ("blend", &["quantity", "table", "stream"]),
    (
        "outlook",
        &["quantity", "table", "stream", "larvae", "blend"],
    ),
    ("harvest", &["quantity", "table", "stream"]),
    ("money", &["quantity"]),
    ("learn", &["quantity", "table", "stream", "harvest"]),
    ("trace", &["quantity", "stream"]),
    ("report", &["quantity", "stream"]),
    (
        "sheet",
        &[
            "quantity", "stream", "larvae", "stock", "blend", "outlook", "harvest", "money",
            "learn", "trace", "report",
        ],
    ),
    (
        "acts",
        &[
            "quantity", "table", "stream", "larvae", "daybook", "stock", "blend", "outlook",
            "harvest", "money", "learn", "trace", "report", "sheet",
        ],
    ),
    (
        "dock",
        &[
            "quantity", "scale", "stream", "larvae", "daybook", "stock", "blend", "report",
            "sheet", "acts",
        ],
    ),
    (
        "share",
        &["quantity", "stream", "daybook", "report", "acts"],
    ),
    (
        "cli",
        &[
            "quantity", "scale", "table", "stream", "larvae", "daybook", "stock", "blend",
            "outlook", "harvest", "money", "learn", "trace", "report", "sheet", "acts", "dock",
            "share",
        ],
    ),
];

/// Rooms that compute: no clock, environment, file, randomness or print.
const PURE: &[&str] = &[
    "quantity", "table", "stream", "larvae", "stock", "blend", "outlook", "harvest", "money",
    "learn", "trace", "report", "sheet", "acts",
];

const LINES_MOST: usize = 600;

fn sources(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
    {
        if entry.is_dir() {
            found.extend(sources(&entry));
        } else if entry.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&entry).expect("a source file");
            found.push((entry, text));
        }
    }
    found.sort();
    found
}

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The part of a file that ships: what stands before its unit tests.
fn shipped(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text)
}

#[test]
fn rooms_use_only_what_lies_below() {
    let mut faults = Vec::new();
    for entry in fs::read_dir(src())
        .expect("src")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_dir())
    {
        let name = entry
            .file_name()
            .and_then(|name| name.to_str())
            .expect("a name")
            .to_owned();
        let room = ROOMS
            .iter()
            .find(|(room, _)| *room == name)
            .unwrap_or_else(|| panic!("room `{name}` is not in the table"));
        for (path, text) in sources(&entry) {
            for (number, line) in shipped(&text)
                .lines()
                .enumerate()
                .filter(|(_, line)| !line.trim_start().starts_with("//"))
            {
                for used in line.split("crate::").skip(1) {
                    let used: String = used
                        .chars()
                        .take_while(|c| c.is_ascii_lowercase() || *c == '_')
                        .collect();
                    let known = used != "words" && ROOMS.iter().any(|(room, _)| *room == used);
                    if known && used != name && !room.1.contains(&used.as_str()) {
                        faults.push(format!(
                            "{}:{}: {name} may not use {used}",
                            path.display(),
                            number + 1
                        ));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn solver_crates_and_sql_stay_in_their_place() {
    let mut faults = Vec::new();
    for (path, text) in sources(&src()) {
        let place = path
            .strip_prefix(src())
            .expect("inside src")
            .display()
            .to_string();
        for crate_name in ["clarabel", "good_lp", "microlp", "highs"] {
            let engines = ["blend/solve.rs", "blend/solve_whole.rs"];
            if !engines.contains(&place.as_str())
                && shipped(&text).contains(&format!("{crate_name}::"))
            {
                faults.push(format!("{place} names {crate_name}"));
            }
        }
        if !place.starts_with("daybook/") && text.contains("rusqlite") {
            faults.push(format!("{place} names rusqlite"));
        }
        if !place.starts_with("share/") && text.contains("postgres::") {
            faults.push(format!("{place} names postgres"));
        }
        // The sheet's pages made for print have templates too.
        let has_templates = place.starts_with("dock/") || place == "sheet/page.rs";
        if !has_templates && text.contains("askama::") {
            faults.push(format!("{place} names askama"));
        }
        for crate_name in ["tokio::", "axum::", "hyper::", "async fn"] {
            if !place.starts_with("dock/") && text.contains(crate_name) {
                faults.push(format!("{place} names {crate_name}"));
            }
        }
        if !place.starts_with("cli/") && text.contains("clap::") {
            faults.push(format!("{place} names clap"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn rooms_that_compute_touch_nothing_outside() {
    const BANNED: &[(&str, &str)] = &[
        ("std::env", "an argument"),
        ("std::fs", "bytes handed in"),
        ("SystemTime", "`now` as an argument"),
        ("Timestamp::now", "`now` as an argument"),
        ("ZonedDateTime::now", "`now` as an argument"),
        ("getrandom", "an id handed in"),
        ("println!", "a document"),
        ("eprintln!", "an error"),
    ];
    let mut faults = Vec::new();
    for room in PURE {
        for (path, text) in sources(&src().join(room)) {
            for (banned, instead) in BANNED {
                if shipped(&text).contains(banned) {
                    faults.push(format!("{}: `{banned}`; use {instead}", path.display()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn files_stay_short_and_finished() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut faults = Vec::new();
    for folder in ["src", "tests"] {
        for (path, text) in sources(&root.join(folder)) {
            if text.lines().count() > LINES_MOST {
                faults.push(format!(
                    "{}: {} lines, at most {LINES_MOST}",
                    path.display(),
                    text.lines().count()
                ));
            }
            for unfinished in [
                "TO\u{44}O",
                "FIX\u{4d}E",
                "todo\u{21}(",
                "unimplemented\u{21}(",
                "db\u{67}!(",
            ] {
                if text.contains(unfinished) {
                    faults.push(format!("{}: `{unfinished}`", path.display()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_room_says_what_it_owns() {
    for (room, _) in ROOMS {
        let text = fs::read_to_string(src().join(room).join("mod.rs")).expect("a mod.rs");
        for word in ["Owns", "ust not know", "nvariant"] {
            assert!(text.contains(word), "{room}/mod.rs does not say `{word}`");
        }
    }
}

/// Assets of the page stay small, and nothing in them is fetched from elsewhere.
#[test]
fn the_page_s_assets_are_ours_and_short() {
    let dock = src().join("dock");
    for script in [
        "wait.js",
        "reach.js",
        "dock.js",
        "reading.js",
        "scale.js",
        "ticks.js",
        "worker.js",
    ] {
        let text = fs::read_to_string(dock.join("assets").join(script)).expect("the script");
        let lines = text.lines().count();
        assert!(lines < 250, "{script}: {lines}");
    }
    let mut folders = vec![dock.join("assets"), dock.join("templates")];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder)
            .expect("a folder")
            .map(|entry| entry.expect("an entry").path())
        {
            // Our own drawings are markup, and escape their text themselves.
            let text = fs::read_to_string(&path).expect("text");
            let text = text.replace("{{ drawing|safe }}", "");
            for outside in [
                "http://",
                "https://",
                "@import",
                "innerHTML",
                "eval(",
                "|safe",
            ] {
                assert!(!text.contains(outside), "{}: {outside}", path.display());
            }
        }
    }
}

/// What a contributor reads first is read whole.
#[test]
fn the_contributor_s_guide_is_short() {
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let text = fs::read_to_string(guide).expect("the guide");
    let lines = text.lines().count();
    assert!(lines <= 150, "DEVELOPERS.md has {lines} lines, at most 150");
    let words = text.split("## Words").nth(1).expect("its words");
    let words = words.split("## ").next().expect("a section");
    let rows = words.lines().filter(|line| line.starts_with("| ")).count();
    assert!(
        rows <= 31,
        "the glossary has {} entries, at most 30",
        rows - 1
    );
}

/// Files of a room that stand in circles of `use`: the blend's are known, and
/// may only become fewer.
const IN_CIRCLES: &[(&str, usize)] = &[("blend", 8)];

/// A module by its path below `src/`.
type Module = Vec<String>;

/// The path a text begins with, its braces spread out.
fn spread(text: &str) -> Vec<Vec<String>> {
    let in_path = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    let end = text.find(|c| !in_path(c)).unwrap_or(text.len());
    let parts = text[..end].split("::").filter(|part| !part.is_empty());
    let before: Vec<String> = parts.map(str::to_owned).collect();
    if !text[end..].starts_with('{') {
        return vec![before];
    }
    let (mut depth, mut from, mut found) = (0, end + 1, Vec::new());
    for (at, c) in text.char_indices().skip_while(|(at, _)| *at < end) {
        depth += i32::from(c == '{') - i32::from(c == '}');
        if depth == 0 || (depth == 1 && c == ',') {
            let inner = spread(text[from..at].trim_start());
            let named = inner.into_iter().filter(|more| !more.is_empty());
            found.extend(named.map(|more| [before.clone(), more].concat()));
            from = at + 1;
        }
        if depth == 0 {
            break;
        }
    }
    found
}

/// The paths that stand after a word, or begin with it.
fn paths(text: &str, words: &[&str], after: bool) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for word in words {
        for (at, _) in text.match_indices(word) {
            if !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':') {
                found.extend(spread(&text[at + if after { word.len() } else { 0 }..]));
            }
        }
    }
    found
}

/// A room's modules with their code, and where what one names anew really stands.
struct Room {
    code: BTreeMap<Module, String>,
    named: BTreeMap<(Module, String), Vec<String>>,
}

impl Room {
    fn read(room: &str) -> Self {
        const PUBLIC: &[&str] = &["pub use ", "pub(crate) use ", "pub(super) use "];
        let (mut code, mut named) = (BTreeMap::new(), BTreeMap::new());
        for (path, text) in sources(&src().join(room)) {
            let place = path.strip_prefix(src()).expect("inside").with_extension("");
            let parts = place.iter().map(|part| part.to_string_lossy().into_owned());
            let module: Module = parts.filter(|part| part != "mod").collect();
            let lines = shipped(&text).lines();
            let lines = lines.map(|line| line.split("//").next().unwrap_or_default());
            let text = lines.collect::<Vec<_>>().join("\n");
            for path in paths(&text, PUBLIC, true) {
                if let [_, .., last] = path.as_slice() {
                    named.insert((module.clone(), last.clone()), path);
                }
            }
            code.insert(module, text);
        }
        Self { code, named }
    }

    /// The module in which what a path names stands.
    fn home(&self, from: &Module, path: &[String]) -> Module {
        let mut at = from.clone();
        for (position, part) in path.iter().enumerate() {
            match part.as_str() {
                "crate" => at.clear(),
                "self" => {}
                "super" => drop(at.pop()),
                _ => {
                    at.push(part.clone());
                    if at.len() > 1 && !self.code.contains_key(&at) {
                        at.pop();
                        let named = self.named.get(&(at.clone(), part.clone()));
                        return match named {
                            Some(real) => self.home(&at, &[real, &path[position + 1..]].concat()),
                            None => at,
                        };
                    }
                }
            }
        }
        at
    }

    /// The modules of the room that a module uses, besides those around and in it.
    fn used_by(&self, module: &Module) -> BTreeSet<Module> {
        let paths = paths(&self.code[module], &["super::", "crate::", "self::"], false);
        let homes = paths.iter().map(|path| self.home(module, path));
        homes
            .filter(|home| home.len() > 1 && self.code.contains_key(home))
            .filter(|home| !module.starts_with(home) && !home.starts_with(module))
            .collect()
    }
}

/// A file that uses another is not used by it, on no way round: each can be
/// read, and changed, after the ones it stands on.
#[test]
fn no_room_has_a_circle_of_files() {
    for (name, _) in ROOMS {
        let room = Room::read(name);
        let modules = room.code.keys().filter(|module| module.len() > 1);
        let uses: BTreeMap<&Module, BTreeSet<Module>> =
            modules.map(|of| (of, room.used_by(of))).collect();
        let comes_back = |start: &&&Module| {
            let (mut waiting, mut seen) = (vec![**start], BTreeSet::new());
            while let Some(module) = waiting.pop() {
                let unseen = uses[module].iter().filter(|next| seen.insert(*next));
                waiting.extend(unseen);
            }
            seen.contains(**start)
        };
        let circles: Vec<String> = (uses.keys().filter(comes_back))
            .map(|module| module.join("/"))
            .collect();
        let known = IN_CIRCLES.iter().find(|(of, _)| of == name);
        assert_eq!(
            circles.len(),
            known.map_or(0, |(_, count)| *count),
            "{name}: more must not become of it, fewer belong in IN_CIRCLES; in circles stand {}",
            circles.join(", ")
        );
    }
}
