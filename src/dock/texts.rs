use std::collections::BTreeMap;

pub(super) use crate::words::Language as Lang;

type Table = BTreeMap<String, String>;

/// The page's texts, one plain file a language.
#[derive(Debug)]
pub(super) struct Texts {
    en: Table,
    es: Table,
}

const EN: &str = include_str!("texts/en.toml");
const ES: &str = include_str!("texts/es.toml");

impl Texts {
    pub(super) fn shipped() -> Result<Self, String> {
        let read = |name: &str, text: &str| -> Result<Table, String> {
            let table: BTreeMap<String, Table> =
                toml::from_str(text).map_err(|error| format!("texts/{name}.toml: {error}"))?;
            Ok(table
                .into_iter()
                .flat_map(|(part, keys)| {
                    keys.into_iter()
                        .map(move |(key, text)| (format!("{part}.{key}"), text))
                })
                .collect())
        };
        Ok(Self {
            en: read("en", EN)?,
            es: read("es", ES)?,
        })
    }

    /// A text by its key; a key without a text shows itself.
    pub(super) fn get<'a>(&'a self, lang: Lang, key: &'a str) -> &'a str {
        self.table(lang).get(key).map_or(key, String::as_str)
    }

    /// A word of a sheet, in the page's language where the texts have it.
    pub(super) fn word<'a>(&'a self, lang: Lang, english: &'a str) -> &'a str {
        self.table(lang)
            .get(&format!("words.{english}"))
            .map_or(english, String::as_str)
    }

    fn table(&self, lang: Lang) -> &Table {
        match lang {
            Lang::En => &self.en,
            Lang::Es => &self.es,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_languages_say_the_same_things() {
        let texts = Texts::shipped().expect("the shipped texts");
        let keys = |table: &Table| table.keys().cloned().collect::<Vec<_>>();
        assert_eq!(keys(&texts.en), keys(&texts.es));
        for (key, text) in texts.en.iter().chain(&texts.es) {
            assert!(!text.trim().is_empty(), "`{key}` is empty");
            assert_eq!(
                texts.en[key].matches("{}").count(),
                texts.es[key].matches("{}").count(),
                "`{key}`"
            );
        }
    }

    #[test]
    fn every_key_asked_for_has_a_text_and_every_text_is_asked_for() {
        let texts = Texts::shipped().expect("the shipped texts");
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/dock");
        let mut all = String::new();
        let mut folders = vec![folder];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                if path.is_dir() {
                    folders.push(path);
                } else if !path.ends_with("texts.rs")
                    && path.extension().is_none_or(|ending| ending != "toml")
                {
                    all.push_str(&std::fs::read_to_string(path).expect("text"));
                }
            }
        }
        let parts: Vec<&str> = texts
            .en
            .keys()
            .filter_map(|key| key.split_once('.'))
            .map(|(part, _)| part)
            .collect();
        for piece in all.split('"').filter(|piece| {
            piece.split_once('.').is_some_and(|(part, key)| {
                parts.contains(&part)
                    && !key.is_empty()
                    && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
                    && !key.ends_with("html")
            })
        }) {
            assert!(
                texts.en.contains_key(piece),
                "`{piece}` is asked for and has no text"
            );
        }
        for key in texts.en.keys().filter(|key| !key.starts_with("words.")) {
            assert!(
                all.contains(&format!("\"{key}\"")),
                "nobody asks for `{key}`"
            );
        }
    }
}
