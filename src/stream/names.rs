//! What people call a stream, and what that may mean.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use crate::table::{Findings, Table};
use crate::words::{Language, say};

use super::{Class, Stream, StreamId};

/// Shared words weighed by how few streams have them, of all words of both:
/// below this two names have nothing to do with each other (our default).
const ALIKE_ENOUGH: f64 = 0.25;
/// What a word of the question counts that no stream has (our default).
const UNKNOWN_WORD: f64 = 0.3;
/// What a word counts that is the other but for a slip (our default).
const A_SLIP: f64 = 0.8;

#[derive(Debug, Clone, PartialEq, Eq)]
enum Stands {
    For(StreamId),
    Family(Class),
}

/// Another name of a stream, or the name of a family of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherName {
    /// As it is written.
    name: String,
    words: Vec<String>,
    language: Language,
    stands: Stands,
    /// Where it stands in its file.
    row: u64,
}

impl OtherName {
    /// Whether it is the same word, whatever it means.
    pub(super) fn is_said_as(&self, other: &Self) -> bool {
        self.words == other.words
    }

    /// The stream it means, and its row; nothing where it is a family's name.
    pub(super) fn of_stream(&self) -> Option<(u64, &StreamId)> {
        match &self.stands {
            Stands::For(id) => Some((self.row, id)),
            Stands::Family(_) => None,
        }
    }

    /// How it is written in this language, where it means one stream.
    pub(super) fn in_language(&self, language: Language) -> Option<(&str, &StreamId)> {
        let (_, id) = self.of_stream()?;
        (self.language == language).then_some((&self.name, id))
    }
}

/// What a word may mean.
#[derive(Debug, Clone, PartialEq)]
pub enum Meant<'a> {
    /// It is the id.
    Id(&'a Stream),
    /// It is another name, with this meaning alone.
    Name(&'a Stream),
    /// It names all of these, or a family, be there but one of it.
    Several(Vec<&'a Stream>),
    /// Nobody calls anything so; these are called something like it, nearest first.
    Near(Vec<&'a Stream>),
}

/// Reads the other names of streams: `means` is a stream, or a class for a
/// family. A name with several rows has several meanings.
pub fn read_names(file: &str, bytes: &[u8]) -> Result<Vec<OtherName>, Findings> {
    let table = Table::read(file, bytes, &["name", "language", "means"], |_| false)?;
    table.rows(|row| {
        let name = row.required("name", say!("accepted-a-name"), |text| {
            let words = words(text);
            (!words.is_empty()).then(|| (text.to_owned(), words))
        });
        let language = row.required("language", "en, es", Language::parse);
        let stands = row.required("means", say!("accepted-stream"), |text| {
            let class = Class::parse(text).map(Stands::Family);
            class.or_else(|| StreamId::parse(text).map(Stands::For))
        });
        let (name, words) = name?;
        Some(OtherName {
            name,
            words,
            language: language?,
            stands: stands?,
            row: row.line(),
        })
    })
}

/// The words of a name without case, accents, plurals and the small words between.
fn words(name: &str) -> Vec<String> {
    const BETWEEN: [&str; 15] = [
        "a", "an", "and", "de", "del", "el", "from", "la", "las", "los", "of", "some", "the",
        "with", "y",
    ];
    let lower = name.to_lowercase().replace(['\'', '\u{2019}'], "");
    lower
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !BETWEEN.contains(word))
        .map(|word| singular(&word.chars().map(unaccented).collect::<String>()).to_owned())
        .collect()
}

/// A small letter without its accent.
pub fn unaccented(letter: char) -> char {
    match letter {
        'á' => 'a',
        'é' => 'e',
        'í' => 'i',
        'ó' => 'o',
        'ú' | 'ü' => 'u',
        'ñ' => 'n',
        other => other,
    }
}

/// A word without the ending of a plural; the same for one and for many.
fn singular(word: &str) -> &str {
    let one = word.strip_suffix('s').filter(|one| one.len() >= 3);
    let one = one.filter(|one| !one.ends_with('s')).unwrap_or(word);
    one.strip_suffix('e')
        .filter(|stem| stem.len() >= 4)
        .unwrap_or(one)
}

/// What a name is about, its last words in English and its first in Spanish:
/// chicken manure is manure, not chicken.
fn head<'a>(
    name: &str,
    words: &'a [String],
    language: Language,
    length: usize,
) -> Option<&'a [String]> {
    if language == Language::Es {
        return words.get(..length);
    }
    let lower = name.to_lowercase();
    let ends = [" of ", " from ", " with "].iter();
    let end = ends.filter_map(|between| lower.find(between)).min();
    let before = self::words(&lower[..end.unwrap_or(lower.len())]).len();
    words.get(before.checked_sub(length)?..before)
}

/// How far one word is the other: all, all but a slip, or not at all.
fn alike(one: &str, other: &str) -> f64 {
    if one == other {
        return 1.0;
    }
    // What costs nothing is looked at first: most words begin otherwise.
    let same_start = one.chars().next() == other.chars().next();
    let (one_is, other_is) = (one.chars().count(), other.chars().count());
    let slips_most = (one_is.max(other_is) / 4).min(2);
    let is_slip = same_start
        && one_is.min(other_is) >= 3
        && one_is.abs_diff(other_is) <= slips_most
        && strsim::damerau_levenshtein(one, other) <= slips_most;
    if is_slip { A_SLIP } else { 0.0 }
}

/// Streams by id.
type Streams = BTreeMap<StreamId, Stream>;

/// The names a table's streams go by, with how much each word tells.
#[derive(Debug, Clone)]
struct Known {
    names: Vec<(Vec<String>, StreamId)>,
    weight: BTreeMap<String, f64>,
}

/// The same, worked out when first asked for: a file may ask for each of its rows.
/// It follows from the table, so two tables are the same without it.
#[derive(Debug, Clone, Default)]
pub(super) struct Index(OnceLock<Known>);

impl PartialEq for Index {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Known {
    fn of(streams: &Streams, other_names: &[OtherName]) -> Self {
        let own = streams.values().flat_map(|stream| {
            [stream.id.as_str(), &stream.name].map(|name| (words(name), stream.id.clone()))
        });
        let other = other_names.iter().filter_map(|name| match &name.stands {
            Stands::For(id) if streams.contains_key(id) => Some((name.words.clone(), id.clone())),
            _ => None,
        });
        let names: Vec<(Vec<String>, StreamId)> = own.chain(other).collect();
        let mut having: BTreeMap<&String, BTreeSet<&StreamId>> = BTreeMap::new();
        for (words, id) in &names {
            for word in words {
                having.entry(word).or_default().insert(id);
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "a count of streams")]
        let weight = having
            .into_iter()
            .map(|(word, streams)| (word.clone(), 1.0 / streams.len().max(1) as f64))
            .collect();
        Self { names, weight }
    }

    fn weighed(&self, words: &[String]) -> f64 {
        let weight = |word| self.weight.get(word).copied().unwrap_or(UNKNOWN_WORD);
        words.iter().map(weight).sum()
    }

    /// What two names share, of what both say.
    fn score(&self, asked: &[String], name: &[String]) -> f64 {
        let shared = |word: &String| {
            let alike = asked.iter().map(|asked| alike(asked, word));
            let best = alike.fold(0.0, f64::max);
            best * self.weighed(std::slice::from_ref(word))
        };
        2.0 * name.iter().map(shared).sum::<f64>() / (self.weighed(asked) + self.weighed(name))
    }

    fn called<'a>(&self, asked: &[String], streams: &'a Streams) -> Vec<&'a Stream> {
        let mut found: Vec<&Stream> = Vec::new();
        for (_, id) in self.names.iter().filter(|(words, _)| words == asked) {
            if !found.iter().any(|known| known.id == *id) {
                found.extend(streams.get(id));
            }
        }
        found
    }

    fn near<'a>(
        &self,
        asked: &[String],
        family: Option<Class>,
        streams: &'a Streams,
    ) -> Vec<&'a Stream> {
        let mut best: BTreeMap<&StreamId, f64> = BTreeMap::new();
        let listed = |id: &StreamId| streams.get(id).is_some_and(|of| !of.is_not_listed());
        for (words, id) in self.names.iter().filter(|(_, id)| listed(id)) {
            let known = best.entry(id).or_default();
            *known = known.max(self.score(asked, words));
        }
        let mut near: Vec<(f64, &Stream)> = best
            .into_iter()
            .filter_map(|(id, score)| Some((score, streams.get(id)?)))
            .filter(|(score, stream)| match family {
                Some(class) => stream.class == class,
                None => *score >= ALIKE_ENOUGH,
            })
            .collect();
        near.sort_by(|one, other| other.0.total_cmp(&one.0));
        near.into_iter().map(|(_, stream)| stream).collect()
    }
}

/// What people may mean by a word that is no id, among these streams.
pub(super) fn meant<'a>(
    word: &str,
    streams: &'a Streams,
    other_names: &[OtherName],
    index: &Index,
) -> Meant<'a> {
    let asked = words(word);
    if asked.is_empty() {
        return Meant::Near(Vec::new());
    }
    let known = index.0.get_or_init(|| Known::of(streams, other_names));
    let mut called = known.called(&asked, streams);
    let family = family_of(word, &asked, other_names);
    let is_family = family.is_some_and(|(_, whole)| whole);
    if let [stream] = called[..]
        && !is_family
    {
        return Meant::Name(stream);
    }
    if called.is_empty() {
        let near = known.near(&asked, family.map(|(class, _)| class), streams);
        return if is_family {
            Meant::Several(near)
        } else {
            Meant::Near(near)
        };
    }
    if let Some((class, true)) = family {
        called.extend(known.near(&asked, Some(class), streams));
    }
    Meant::Several(called)
}

/// The family that is the head of what was said, and whether that is all of it.
fn family_of(word: &str, asked: &[String], other_names: &[OtherName]) -> Option<(Class, bool)> {
    let families = other_names.iter().filter_map(|name| {
        let Stands::Family(class) = name.stands else {
            return None;
        };
        let part = head(word, asked, name.language, name.words.len())?;
        (part == name.words).then_some((name.words.len(), class))
    });
    let (length, class) = families.max_by_key(|(length, _)| *length)?;
    Some((class, length == asked.len()))
}
