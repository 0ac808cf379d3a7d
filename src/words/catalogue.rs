use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use serde::{Deserialize, Serialize};

use super::Said;

/// A language the catalogue has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    #[default]
    En,
    Es,
}

impl Language {
    pub const ALL: [Self; 2] = [Self::En, Self::Es];

    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.as_str() == text)
    }

    /// Its code by BCP 47.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Es => "es",
        }
    }
}

/// The files of `data/words/`, each in English and Spanish.
macro_rules! files {
    ($($name:literal)*) => {
        [
            &[$(include_str!(concat!("../../data/words/en/", $name, ".ftl"))),*],
            &[$(include_str!(concat!("../../data/words/es/", $name, ".ftl"))),*],
        ]
    };
}

const FILES: [&[&str]; 2] = files! {
    "accepted" "ahead" "ask" "book" "cohort" "common" "day" "dock" "doubts" "farm" "harvest" "intake" "learn" "methane" "money" "month" "refused" "share" "statement" "stock" "streams" "tables" "terminal" "ticket" "tonight"
    "trace" "why"
};

type Bundle = FluentBundle<FluentResource>;

static BUNDLES: [LazyLock<Bundle>; 2] = [
    LazyLock::new(|| bundle(Language::En)),
    LazyLock::new(|| bundle(Language::Es)),
];

fn bundle(language: Language) -> Bundle {
    let mut bundle = Bundle::new_concurrent(language.as_str().parse().into_iter().collect());
    // Marks of direction around names would show in a terminal.
    bundle.set_use_isolating(false);
    for text in FILES[language as usize] {
        // What is no Fluent is left out; a test sees that there is none.
        let (Ok(resource) | Err((resource, _))) = FluentResource::try_new((*text).to_owned());
        bundle.add_resource_overriding(resource);
    }
    bundle
}

pub(super) fn sentence(language: Language, key: &str, with: &[(&'static str, Said)]) -> String {
    let bundle = &BUNDLES[language as usize];
    let Some(pattern) = bundle.get_message(key).and_then(|message| message.value()) else {
        return key.to_owned();
    };
    let mut args = FluentArgs::new();
    for (name, said) in with {
        let text = said.in_language(language);
        let text = match (key, *name) {
            (STAGE, _) if !text.contains([',', '+']) => text,
            (STAGE, _) | (_, "group" | "groups" | "stage") => stages(language, &text),
            _ => text,
        };
        args.set(*name, value(text));
    }
    bundle
        .format_pattern(pattern, Some(&args), &mut Vec::new())
        .into_owned()
}

/// What a stage is called.
const STAGE: &str = "stage-called";

/// Stages, which name feed groups too, as the reader calls them: records and
/// files have them by their ids, and two of them where a mix is shared.
fn stages(language: Language, text: &str) -> String {
    let called = |stage: &str| sentence(language, STAGE, &[("what", stage.into())]);
    let shared = |group: &str| {
        group
            .split(" + ")
            .map(called)
            .collect::<Vec<_>>()
            .join(" + ")
    };
    text.split(", ").map(shared).collect::<Vec<_>>().join(", ")
}

/// A whole number stays one, so that a language can choose between one and many.
fn value(text: String) -> FluentValue<'static> {
    match text.parse::<i64>() {
        Ok(number) if number.to_string() == text && number.abs() < 1 << 52 => number.into(),
        _ => text.into(),
    }
}
