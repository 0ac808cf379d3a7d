//! The catalogue of sentences: the same in every language, and what the code asks for.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use fluent_syntax::ast::{
    Entry, Expression, InlineExpression, Pattern, PatternElement, VariantKey,
};

#[path = "highs/python.rs"]
mod python;

/// What is put into each sentence by key, and in brackets the kinds it tells apart.
type Sentences = BTreeMap<String, BTreeSet<String>>;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|one| one == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn put_into(pattern: &Pattern<String>, names: &mut BTreeSet<String>) {
    let inline = |expression: &InlineExpression<String>, names: &mut BTreeSet<String>| {
        if let InlineExpression::VariableReference { id } = expression {
            names.insert(id.name.clone());
        }
    };
    for element in &pattern.elements {
        match element {
            PatternElement::Placeable {
                expression: Expression::Inline(one),
            } => inline(one, names),
            PatternElement::Placeable {
                expression: Expression::Select { selector, variants },
            } => {
                inline(selector, names);
                for variant in variants {
                    // How many numbers a language tells apart is its own affair.
                    if let VariantKey::Identifier { name } = &variant.key
                        && !["one", "many", "other"].contains(&name.as_str())
                    {
                        names.insert(format!("[{name}]"));
                    }
                    put_into(&variant.value, names);
                }
            }
            PatternElement::TextElement { .. } => {}
        }
    }
}

fn sentences(language: &str) -> Sentences {
    let mut all = Sentences::new();
    for path in files(&root().join("data/words").join(language), "ftl") {
        let text = fs::read_to_string(&path).expect("text");
        let resource = fluent_syntax::parser::parse(text)
            .unwrap_or_else(|(_, errors)| panic!("{}: {errors:?}", path.display()));
        for entry in resource.body {
            let Entry::Message(message) = entry else {
                assert!(
                    matches!(entry, Entry::Comment(_) | Entry::GroupComment(_)),
                    "{}: only sentences and comments: {entry:?}",
                    path.display()
                );
                continue;
            };
            let key = message.id.name;
            let pattern = message.value.unwrap_or_else(|| panic!("`{key}` is empty"));
            let mut names = BTreeSet::new();
            put_into(&pattern, &mut names);
            assert!(all.insert(key.clone(), names).is_none(), "`{key}` twice");
        }
    }
    all
}

/// The arguments of a call from just after `say!(` on, cut at its commas.
fn arguments(text: &str) -> Vec<String> {
    let (mut depth, mut in_text, mut parts) = (0_usize, false, vec![String::new()]);
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' if in_text => {
                letters.next();
            }
            '"' => in_text = !in_text,
            _ if in_text => {}
            '(' | '[' | '{' => depth += 1,
            ')' if depth == 0 => break,
            ')' | ']' | '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(String::new());
                continue;
            }
            _ => {}
        }
        parts.last_mut().expect("one").push(letter);
    }
    parts
}

/// Every `say!` of the code, and what the dock's pages say: where, which key, what is put in.
fn asked_for() -> Vec<(String, String, BTreeSet<String>)> {
    let mut asked = Vec::new();
    let sources = files(&root().join("src"), "rs").into_iter();
    for path in sources.chain(files(&root().join("src/dock/templates"), "html")) {
        let text = fs::read_to_string(&path).expect("text");
        if path.ends_with("words/mod.rs") {
            continue;
        }
        let place = path.display().to_string();
        for (call, put_in) in [(".t(\"", ""), (".with(\"", "what"), ("shown(frame, \"", "")] {
            for call in text.split(call).skip(1) {
                let key = call.split('"').next().unwrap_or_default().to_owned();
                let names = [put_in.to_owned()].into_iter();
                let names = names.filter(|name| !name.is_empty()).collect();
                asked.push((place.clone(), key, names));
            }
        }
        for call in text.split("say!(").skip(1) {
            let mut parts = arguments(call).into_iter();
            let key = parts.next().unwrap_or_default();
            let key = key.trim().trim_matches('"').to_owned();
            let names = parts
                .filter_map(|part| {
                    Some(
                        part.split('=')
                            .next()?
                            .rsplit('.')
                            .next()?
                            .trim()
                            .to_owned(),
                    )
                })
                .filter(|name| !name.is_empty());
            asked.push((path.display().to_string(), key, names.collect()));
        }
    }
    asked
}

#[test]
fn both_languages_say_the_same_things() {
    let (english, spanish) = (sentences("en"), sentences("es"));
    for (key, names) in &english {
        let mut there = spanish.get(key).cloned();
        // English takes the tables' names; the Spanish ones of streams `shipped_tables` counts.
        if ["stage-called", "stream-called"].contains(&key.as_str())
            && let Some(there) = &mut there
        {
            there.retain(|name| !name.starts_with('['));
        }
        assert_eq!(
            Some(names),
            there.as_ref(),
            "`{key}` of the English in the Spanish"
        );
    }
    for key in spanish.keys() {
        assert!(english.contains_key(key), "`{key}` is Spanish only");
    }
}

#[test]
fn what_the_code_says_is_in_the_catalogue_and_nothing_else_is() {
    let english = sentences("en");
    let asked = asked_for();
    assert!(!asked.is_empty());
    for (place, key, names) in &asked {
        let there = english.get(key).cloned().map(|mut there| {
            there.retain(|name| !name.starts_with('['));
            there
        });
        assert_eq!(Some(names), there.as_ref(), "{place}: `{key}`");
    }
    let keys: BTreeSet<&String> = asked.iter().map(|(_, key, _)| key).collect();
    for key in english.keys() {
        assert!(keys.contains(key), "nobody says `{key}`");
    }
}

/// Where refusals, hints and questions are made, which say nothing themselves.
const WORDLESS: &[&str] = &[
    "acts",
    "cli/ask.rs",
    "cli/error.rs",
    "cli/farm/chosen.rs",
    "daybook/error.rs",
    "daybook/store/admit.rs",
    "daybook/store/check.rs",
    "larvae",
    "table",
];

/// What records hold in English, and what is typed.
const NO_SENTENCES: &[&str] = &[
    "past its time (demo)",
    "tablet clock said ",
    "taken off by the scale",
    "trayful cohort add",
    "undone at once",
];

#[test]
fn what_refuses_holds_no_sentence_itself() {
    let is_word = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase());
    let three = |three: &[&str]| three.iter().all(|word| is_word(word));
    for place in WORDLESS.iter().map(|place| root().join("src").join(place)) {
        let inside = match place.is_dir() {
            true => files(&place, "rs"),
            false => vec![place],
        };
        for path in inside.iter().filter(|path| !path.ends_with("tests.rs")) {
            let text = fs::read_to_string(path).expect("text");
            let code = text
                .split("#[cfg(test)]")
                .next()
                .unwrap_or_default()
                .lines();
            let code = code.filter(|line| !line.trim().starts_with("//"));
            for line in code.filter(|line| !line.contains("reason = ")) {
                for said in line.split('"').skip(1).step_by(2) {
                    let words: Vec<&str> = said.split(' ').collect();
                    let fine = NO_SENTENCES.contains(&said) || !words.windows(3).any(three);
                    assert!(fine, "{}: `{said}` belongs in data/words", path.display());
                }
            }
        }
    }
}

/// Who reads a file of the catalogue: the highest grade its sentences may have.
/// Intake staff and the feeder read at most grade 7, the owner 9.
const GRADES: &[(&str, f64)] = &[
    ("accepted", 9.0),
    ("ahead", 9.0),
    ("ask", 7.0),
    ("book", 9.0),
    ("cohort", 7.0),
    ("common", 7.0),
    ("day", 7.0),
    ("dock", 7.0),
    ("doubts", 7.0),
    ("farm", 9.0),
    ("intake", 7.0),
    ("streams", 7.0),
    ("harvest", 9.0),
    ("learn", 9.0),
    ("methane", 9.0),
    ("money", 9.0),
    ("month", 9.0),
    ("refused", 9.0),
    ("statement", 9.0),
    ("stock", 7.0),
    ("tables", 9.0),
    ("terminal", 9.0),
    ("ticket", 7.0),
    ("tonight", 7.0),
    ("share", 9.0),
    ("trace", 9.0),
    ("why", 9.0),
];

/// Sentences that are harder, with the reason.
const HARDER: &[(&str, &str)] = &[
    ("accepted-measure", "names keys of a file"),
    ("ahead-room-larvae", "names the studies it rests on"),
    ("ahead-method", "names the methods"),
    ("caution-sold", "names the rule it cites"),
    ("diverted-flw", "names the standard's destinations"),
    (
        "diverted-epa-workgroup",
        "names the standard's destinations",
    ),
    ("hint-begin", "names three commands"),
    ("scope-material", "in the standard's terms"),
    ("share-not-an-address", "shows the form of an address"),
    ("scope-uncertainty", "in the terms of measuring"),
];

/// A shorter text has too few words for a grade.
const WORDS_LEAST: usize = 8;

/// A sentence as it might read: the last variant, `it` where a name or figure goes.
fn as_read(pattern: &Pattern<String>) -> String {
    let mut text = String::new();
    for element in &pattern.elements {
        match element {
            PatternElement::TextElement { value } => text.push_str(value),
            PatternElement::Placeable {
                expression: Expression::Select { variants, .. },
            } => text.push_str(
                &variants
                    .last()
                    .map_or_else(String::new, |v| as_read(&v.value)),
            ),
            PatternElement::Placeable { .. } => text.push_str("it"),
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[expect(clippy::print_stdout, reason = "a skipped check must say so")]
#[test]
fn sentences_are_read_once() {
    let mut read = Vec::new();
    for path in files(&root().join("data/words/en"), "ftl") {
        let name = path
            .file_stem()
            .and_then(|stem| stem.to_str())
            .expect("a name");
        let grade = GRADES.iter().find(|(file, _)| *file == name);
        let (_, most) = grade.unwrap_or_else(|| panic!("who reads `{name}.ftl`?"));
        let text = fs::read_to_string(&path).expect("text");
        for entry in fluent_syntax::parser::parse(text).expect("Fluent").body {
            if let Entry::Message(message) = entry {
                let said = message.value.as_ref().map_or_else(String::new, as_read);
                if said.split_whitespace().count() >= WORDS_LEAST {
                    read.push((message.id.name, said, *most));
                }
            }
        }
    }
    let lines: Vec<&str> = read.iter().map(|(_, said, _)| said.as_str()).collect();
    let Some(python) = python::with("textstat") else {
        println!("skipped: no Python with textstat; `bash tests/run` installs one");
        return;
    };
    let script = root().join("tests/reading_grade.py");
    let mut counting = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("Python runs");
    let mut stdin = counting.stdin.take().expect("its input");
    stdin
        .write_all(lines.join("\n").as_bytes())
        .expect("written");
    drop(stdin);
    let told = counting.wait_with_output().expect("an answer").stdout;
    let told = String::from_utf8(told).expect("text");
    let grades: Vec<f64> = told
        .lines()
        .map(|line| line.parse().expect("a grade"))
        .collect();
    assert_eq!(grades.len(), read.len());
    let mut hard = String::new();
    for ((key, said, most), grade) in read.iter().zip(grades) {
        let may_be_harder = HARDER.iter().any(|(one, _)| one == key);
        if (grade > *most) != may_be_harder {
            let _written = writeln!(hard, "`{key}`: grade {grade:.1} of at most {most}: {said}");
        }
    }
    assert!(hard.is_empty(), "{hard}");
}
