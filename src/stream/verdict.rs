use std::fmt;

use crate::words::{Said, say};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What staff should do with a lot.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Verdict {
    /// Goes to the larvae.
    #[serde(rename = "feed")]
    Feed,
    /// Goes to the larvae once the whole parts they leave are out.
    #[serde(rename = "pick out")]
    PickOut,
    /// Waits until an authority's leave to feed it is in the book.
    #[serde(rename = "ask first")]
    AskFirst,
    /// Woody carbon, or nothing larvae eat: goes to compost.
    #[serde(rename = "compost")]
    Compost,
    /// Is turned away.
    #[serde(rename = "refuse")]
    Refuse,
}

impl Verdict {
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::Feed => say!("verdict-feed"),
            Self::PickOut => say!("verdict-pick-out"),
            Self::AskFirst => say!("verdict-ask-first"),
            Self::Compost => say!("verdict-compost"),
            Self::Refuse => say!("verdict-refuse"),
        }
    }

    /// As large letters on a sign.
    #[must_use]
    pub fn sign(self) -> Said {
        match self {
            Self::Feed => say!("sign-feed"),
            Self::PickOut => say!("sign-pick-out"),
            Self::AskFirst => say!("sign-ask-first"),
            Self::Compost => say!("sign-compost"),
            Self::Refuse => say!("sign-refuse"),
        }
    }

    /// Every verdict.
    pub const ALL: [Self; 5] = [
        Self::Feed,
        Self::PickOut,
        Self::AskFirst,
        Self::Compost,
        Self::Refuse,
    ];

    /// The verdict in words.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Feed => "feed",
            Self::PickOut => "pick out",
            Self::AskFirst => "ask first",
            Self::Compost => "compost",
            Self::Refuse => "refuse",
        }
    }

    /// Whether a mix may take a lot of it.
    #[must_use]
    pub const fn may_be_fed(self) -> bool {
        matches!(self, Self::Feed | Self::PickOut)
    }

    /// Reads a verdict; a hyphen for the blank is fine.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_lowercase().replace(['-', '_'], " ");
        Self::ALL
            .into_iter()
            .find(|verdict| verdict.as_str() == text)
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
