//! What people type and scales send, and whether two of them could mean
//! different weights by it. The readings a person could make are worked out
//! here in another way than the program's: as many as can be thought of, from
//! the words of the text, by people who write decimals after a point, after a
//! comma, and who take blanks for a slip or for thousands.

use std::collections::BTreeSet;

use trayful::quantity::{Dice, Grams, MassUnit, NumberForm, QuantityError, Reader};

const FORMS: [NumberForm; 3] = [NumberForm::Point, NumberForm::Comma, NumberForm::Unsaid];

/// Micrograms, so that equal weights are equal.
type Readings = BTreeSet<i64>;

/// Nobody could say what is meant, or it is no weight at rest.
const NO_WEIGHT: i64 = -1;

fn value(whole: &str, behind: &str) -> Option<f64> {
    format!("{whole}.{behind}0").parse().ok()
}

/// What somebody takes a chunk of digits and marks for.
fn numbers(chunk: &str, decimal: &[char]) -> Vec<f64> {
    let digits: String = chunk.chars().filter(char::is_ascii_digit).collect();
    let marks: Vec<char> = chunk.chars().filter(|c| !c.is_ascii_digit()).collect();
    let groups: Vec<&str> = chunk.split(|c: char| !c.is_ascii_digit()).collect();
    let mut found = Vec::new();
    for mark in decimal {
        let (before, behind) = match chunk.split_once(*mark) {
            Some((before, behind)) => (before, behind),
            None => (chunk, ""),
        };
        let others = before.chars().filter(|c| !c.is_ascii_digit());
        let between: BTreeSet<char> = others.collect();
        let threes: Vec<&str> = before.split(|c: char| !c.is_ascii_digit()).collect();
        let grouped = threes.len() == 1
            || ((1..=3).contains(&threes[0].len())
                && !threes[0].starts_with('0')
                && threes[1..].iter().all(|group| group.len() == 3));
        if between.len() <= 1 && grouped && behind.bytes().all(|b| b.is_ascii_digit()) {
            let whole = before
                .chars()
                .filter(char::is_ascii_digit)
                .collect::<String>();
            found.extend(value(&whole, behind));
        }
    }
    if found.is_empty() {
        // Not as anyone here writes it: a decimal mark of another place, or a slip.
        match marks.as_slice() {
            ['.' | ','] => found.extend(value(groups[0], groups[1])),
            _ => {
                found.extend(value(&digits, ""));
                found.extend(
                    groups
                        .iter()
                        .filter(|group| !group.is_empty())
                        .filter_map(|group| value(group, "")),
                );
            }
        }
        if marks.len() == 1 && groups[1].len() == 3 && !groups[0].starts_with('0') {
            found.extend(value(&digits, ""));
        }
    }
    found
}

/// Chunks of digits with what stands between them, words, and other signs.
fn tokens(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let kind = |c: char| match c {
        '0'..='9' | '.' | ',' | '\'' | '/' => 0,
        _ if c.is_alphabetic() => 1,
        _ if c.is_whitespace() => 2,
        _ => 3,
    };
    let mut last = None;
    for c in text.chars() {
        match found.last_mut() {
            Some(token) if last == Some(kind(c)) && kind(c) != 3 => token.push(c),
            _ => found.push(c.to_string()),
        }
        last = Some(kind(c));
    }
    found
}

#[expect(clippy::cast_possible_truncation, reason = "a cast saturates")]
fn micrograms(amount: f64, unit: MassUnit) -> i64 {
    let (above, below) = unit.grams_ratio();
    (amount * above as f64 / below as f64 * 1e6).round() as i64
}

/// Every weight somebody could read from the text.
fn readings(text: &str, decimal: &[char], default: MassUnit) -> Readings {
    let text = text.replace('\u{a0}', " ");
    let mut texts = vec![text.trim().to_owned()];
    // A blank between digits may part two numbers or thousands.
    let letters: Vec<char> = text.trim().chars().collect();
    for at in 1..letters.len().saturating_sub(1) {
        let is_digit = |c: char| c.is_ascii_digit();
        let before: String = letters[..at].iter().collect();
        let time = before
            .rsplit(' ')
            .next()
            .is_some_and(|word| word.contains(':'));
        if letters[at] == ' ' && !time && is_digit(letters[at - 1]) && is_digit(letters[at + 1]) {
            texts = texts
                .iter()
                .flat_map(|text| {
                    let joined: String = text
                        .chars()
                        .enumerate()
                        .map(|(i, c)| if i == at { '\'' } else { c })
                        .collect();
                    [text.clone(), joined]
                })
                .collect();
        }
    }
    let threes = |text: &str| {
        let fine = |chunk: &str| {
            let groups: Vec<&str> = chunk.split('\'').collect();
            groups.len() == 1
                || (!groups[0].starts_with('0')
                    && (1..=3).contains(&groups[0].len())
                    && groups[1..]
                        .iter()
                        .all(|group| group.split(['.', ',']).next().is_some_and(|g| g.len() == 3)))
        };
        tokens(text)
            .iter()
            .filter(|t| t.starts_with(|c: char| c.is_ascii_digit()))
            .all(|t| fine(t))
    };
    // Joined in threes throughout is how thousands look; parted then is not.
    if let Some(joined) = texts.last().cloned()
        && texts.len() > 1
        && threes(&joined)
    {
        texts = vec![joined];
    }
    texts
        .iter()
        .flat_map(|text| of_one(text, decimal, default))
        .collect()
}

fn of_one(text: &str, decimal: &[char], default: MassUnit) -> Readings {
    let tokens = tokens(text);
    let lower: Vec<String> = tokens.iter().map(|token| token.to_lowercase()).collect();
    let mut found = Readings::new();
    if lower.iter().any(|word| {
        ["us", "ol", "ul", "?", "^", "over", "err", "tr", "pt"].contains(&word.as_str())
    }) || text.contains("---")
        || text.contains('/')
        || !text.is_ascii()
        || text.starts_with([',', ':', ';', '.', '\''])
            && !text[1..].starts_with(|c: char| c.is_ascii_digit())
        || text.starts_with([',', ':', ';'])
    {
        found.insert(NO_WEIGHT);
    }
    let is_number = |token: &str| token.bytes().any(|b| b.is_ascii_digit());
    // Marks a scale puts around a weight; a comma behind one is no number's.
    let mut weights: Vec<(Vec<f64>, Option<MassUnit>, bool)> = Vec::new();
    let mut after_id = false;
    let mut position = 0;
    while position < tokens.len() {
        let token = tokens[position].as_str();
        let next_word = tokens[position + 1..]
            .iter()
            .position(|t| !t.trim().is_empty())
            .map(|at| tokens[position + 1 + at].as_str());
        if is_number(token) {
            let of_time = tokens.get(position + 1).is_some_and(|t| t == ":")
                && tokens.get(position + 2).is_some_and(|t| is_number(t))
                && tokens.get(position + 3).is_some_and(|t| t == ":");
            if of_time
                && [0, 2, 4].iter().all(|at| {
                    tokens
                        .get(position + at)
                        .is_some_and(|t| t.trim_matches(',').len() == 2)
                })
            {
                position += 5;
                continue;
            }
            let chunk = token.trim_matches(',');
            let chunk = if position == 0 { token } else { chunk };
            let negative = text[..text.find(token).unwrap_or(0)]
                .trim_end()
                .ends_with('-');
            if after_id
                && tokens
                    .get(position + 1)
                    .is_some_and(|t| t.len() > 1 || t == ";" || t == ":")
            {
                after_id = false;
            } else {
                let values = numbers(chunk, decimal);
                let unit = next_word.and_then(MassUnit::from_word);
                if matches!(next_word, Some("G" | "T")) {
                    found.extend(values.iter().map(|value| micrograms(*value, default)));
                }
                if chunk.ends_with(['.', ','])
                    || chunk.starts_with(',')
                    || negative && values.iter().any(|v| *v > 0.0)
                {
                    found.insert(NO_WEIGHT);
                }
                weights.push((values, unit, false));
            }
        } else if token.chars().all(char::is_alphabetic) {
            let known = ["st", "gs", "nt", "g", "n", "gross", "net", "id"]
                .contains(&lower[position].as_str());
            if MassUnit::from_word(token).is_none() && !known {
                found.insert(NO_WEIGHT);
            }
            after_id = lower[position] == "id";
        }
        position += 1;
    }
    match weights.as_slice() {
        [] => {
            found.insert(NO_WEIGHT);
        }
        [
            (pounds, Some(MassUnit::Lb), _),
            (ounces, Some(MassUnit::Oz), _),
        ] => {
            for pound in pounds {
                for ounce in ounces {
                    found.insert(micrograms(pound * 16.0 + ounce, MassUnit::Oz));
                    if *ounce >= 16.0 || pound.fract() != 0.0 {
                        found.insert(NO_WEIGHT);
                    }
                }
            }
        }
        several => {
            for (values, unit, _) in several {
                found.extend(
                    values
                        .iter()
                        .map(|value| micrograms(*value, unit.unwrap_or(default))),
                );
            }
        }
    }
    let words: Vec<&str> = lower.iter().map(String::as_str).collect();
    let gross = words.contains(&"gs") || words.contains(&"gross");
    if gross && (words.contains(&"nt") || words.contains(&"net")) {
        found.insert(NO_WEIGHT);
    }
    found
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "from zero to a small number"
)]
fn below(dice: &mut Dice, most: usize) -> usize {
    (dice.roll() * most as f64) as usize
}

/// Text of pieces that fingers and cables put together.
fn hostile(dice: &mut Dice) -> String {
    const PIECES: [&str; 62] = [
        "0",
        "1",
        "2",
        "12",
        "34",
        "007",
        "250",
        "500",
        "000",
        "1234",
        "999",
        "20",
        "3",
        "5",
        "529",
        ".",
        ",",
        ".",
        ",",
        " ",
        " ",
        "  ",
        "'",
        "/",
        "-",
        "+",
        ":",
        ";",
        "?",
        "\u{a0}",
        "½",
        "1/2",
        "lb",
        "oz",
        "kg",
        "g",
        "t",
        "lb ",
        " lb",
        "kg ",
        " kg",
        " oz",
        "lbs",
        "G",
        "T",
        "N",
        " G",
        " N",
        "ST,GS,",
        "ST,NT,",
        "US,NT,",
        "NT",
        "GS ",
        "ID ",
        "ID 12 ",
        "OL",
        "net",
        "stone",
        "ton",
        "18:30:22 ",
        "12 3",
        "e3",
    ];
    let pieces = 1 + below(dice, 7);
    (0..pieces)
        .map(|_| PIECES[below(dice, PIECES.len())])
        .collect()
}

fn accepted_once(text: &str, form: NumberForm) -> Option<Result<(), String>> {
    let unit = MassUnit::Lb;
    let reader = Reader {
        form,
        unit: Some(unit),
    };
    let read: Result<Grams, QuantityError> = reader.scale(text).map(|read| read.reading.grams());
    let grams = read.ok()?;
    let decimal: &[char] = match form {
        NumberForm::Point => &['.'],
        NumberForm::Comma => &[','],
        // Scales set no thousands apart: the mark in their line is the decimal one.
        _ if ["GS", "NT"].iter().any(|mark| text.contains(mark)) => match text.contains('.') {
            true => &['.'],
            false => &[','],
        },
        _ => &['.', ','],
    };
    let readings = readings(text, decimal, unit);
    let near = |micro: &i64| (micro - grams.get() * 1_000_000).abs() <= 600_000;
    if readings.len() == 1 && readings.iter().all(near) {
        return Some(Ok(()));
    }
    Some(Err(format!(
        "{form:?} `{text}` taken as {grams:?}; people read {readings:?} micrograms"
    )))
}

#[test]
fn no_accepted_text_has_two_readings() {
    let mut dice = Dice::seeded(20_261_126);
    let (mut accepted, mut wrong) = (0, Vec::new());
    for _ in 0..10_000 {
        let text = hostile(&mut dice);
        for form in FORMS {
            match accepted_once(&text, form) {
                Some(Ok(())) => accepted += 1,
                Some(Err(why)) => wrong.push(why),
                None => {}
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of them:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(40)].join("\n")
    );
    assert!(
        accepted > 1_000,
        "only {accepted} were taken: the texts try nothing"
    );
}

/// What was once read as something else keeps being refused, or read right.
#[test]
fn the_readings_that_began_this() {
    for (text, form) in [
        ("1,250 lb", NumberForm::Unsaid),
        ("1/2 lb", NumberForm::Point),
        ("12lb20oz", NumberForm::Point),
        ("1.500", NumberForm::Unsaid),
        ("1234,567 lb", NumberForm::Point),
        ("ST,GS,+ 8,300kg", NumberForm::Point),
    ] {
        assert!(accepted_once(text, form).is_none(), "{text}");
    }
    for text in ["1,250 lb", "3'500 g", "1 234.5 kg", "1 200 g"] {
        assert_eq!(
            accepted_once(text, NumberForm::Point),
            Some(Ok(())),
            "{text}"
        );
    }
}

/// A weight printed here, typed again, is the same weight.
#[test]
fn printed_weights_read_back() {
    let mut dice = Dice::seeded(7);
    for _ in 0..20_000 {
        let magnitude = 10_f64.powi(1 + i32::try_from(below(&mut dice, 8)).expect("small"));
        let grams = Grams::from_kg(dice.roll() * magnitude / 1000.0).expect("a weight");
        for unit in [
            MassUnit::Lb,
            MassUnit::Oz,
            MassUnit::Kg,
            MassUnit::G,
            MassUnit::Tonne,
        ] {
            for form in [NumberForm::Point, NumberForm::Comma] {
                let reader = Reader { form, unit: None };
                let printed = reader.printed(grams, unit);
                let read = reader
                    .weight(&printed)
                    .map(|reading| reader.printed(reading.grams(), unit));
                assert_eq!(read.as_ref(), Ok(&printed), "{form:?}");
            }
        }
    }
}
