//! Every sentence a person reads, in the language of whoever reads it.
//!
//! Owns: the catalogue (`data/words/`, Project Fluent files, one folder a
//! language) and [`Said`], a sentence before it has words: its key and what is
//! put into it. Must not know: any other room.
//!
//! Invariant: the sentence is the same whoever asks; what a language needs
//! besides stands in its file.
//!
//! Rooms that compute answer with a `Said`; only a terminal, a page or a file
//! asks for its words. `tests/words.rs` holds the languages to each other and
//! the keys to the code.

mod catalogue;

use std::fmt::Display;

pub use catalogue::Language;

/// What is to be said, before it is words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// A name or a figure: the same in every language.
    Text(String),
    /// A stream by its id, as it is typed at a terminal; on a page
    /// [`Said::with_names`] says what people call it.
    Stream(String),
    /// A sentence of the catalogue with what is put into it.
    Sentence {
        key: &'static str,
        with: Vec<(&'static str, Said)>,
    },
    /// One after the other, with this between them.
    Joined(Vec<Said>, &'static str),
}

impl Said {
    #[must_use]
    pub fn sentence(key: &'static str, with: Vec<(&'static str, Self)>) -> Self {
        Self::Sentence { key, with }
    }

    #[must_use]
    pub fn joined(parts: impl IntoIterator<Item = Self>, between: &'static str) -> Self {
        Self::Joined(parts.into_iter().collect(), between)
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Text(text) | Self::Stream(text) => text.is_empty(),
            Self::Sentence { .. } => false,
            Self::Joined(parts, _) => parts.iter().all(Self::is_empty),
        }
    }

    #[must_use]
    pub fn in_language(&self, language: Language) -> String {
        match self {
            Self::Text(text) | Self::Stream(text) => text.clone(),
            Self::Sentence { key, with } => catalogue::sentence(language, key, with),
            Self::Joined(parts, between) => {
                let parts: Vec<String> = (parts.iter())
                    .map(|part| part.in_language(language))
                    .collect();
                parts.join(between)
            }
        }
    }

    /// The same, with what people call a stream in the place of its id.
    #[must_use]
    pub fn with_names(&self, called: &impl Fn(&str) -> Option<Self>) -> Self {
        match self {
            Self::Text(_) => self.clone(),
            Self::Stream(id) => called(id).unwrap_or_else(|| self.clone()),
            Self::Sentence { key, with } => {
                let with = with
                    .iter()
                    .map(|(name, part)| (*name, part.with_names(called)));
                Self::sentence(key, with.collect())
            }
            Self::Joined(parts, between) => {
                Self::joined(parts.iter().map(|part| part.with_names(called)), between)
            }
        }
    }

    /// For files that programs read, which are in English.
    #[must_use]
    pub fn in_english(&self) -> String {
        self.in_language(Language::En)
    }
}

impl Default for Said {
    fn default() -> Self {
        Self::Text(String::new())
    }
}

impl<T: Display> From<T> for Said {
    fn from(shown: T) -> Self {
        Self::Text(shown.to_string())
    }
}

impl From<&Said> for Said {
    fn from(said: &Said) -> Self {
        said.clone()
    }
}

impl serde::Serialize for Said {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.in_english())
    }
}

impl schemars::JsonSchema for Said {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Said".into()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

/// Whether a character can't be seen: it steers a terminal, or turns the
/// direction of what stands around it, so that a name reads as another.
#[must_use]
pub fn is_unseen(c: char) -> bool {
    let turns = matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    c.is_control() || turns
}

/// A sentence of the catalogue: `say!("kept", number)`, `say!("kept", card.number)` or
/// `say!("kept", number = 1 + last)`.
#[macro_export]
macro_rules! say {
    (@put [$of:expr] $name:ident = $value:expr) => { (stringify!($name), $crate::words::Said::from($value)) };
    (@put [$of:expr] $name:ident) => { (stringify!($name), $crate::words::Said::from($of.clone())) };
    (@put [$of:expr] $skipped:ident . $($name:ident).+) => { $crate::say!(@put [$of] $($name).+) };
    ($key:literal $(, $($name:ident).+ $(= $value:expr)?)* $(,)?) => {
        $crate::words::Said::sentence(
            $key,
            vec![$($crate::say!(@put [$($name).+] $($name).+ $(= $value)?)),*],
        )
    };
}
pub use say;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_within_a_sentence_is_in_the_same_language() {
        let card = say!("ticket-kept", number = 12);
        let both = say!("ticket-strike", state = card, ticket = "A1");
        assert!(both.in_english().starts_with("Kept as no. 12. "));
        assert!(
            both.in_language(Language::Es)
                .starts_with("Guardado con el n.º 12. ")
        );
    }
}
