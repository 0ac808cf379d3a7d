use crate::words::{Said, say};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The short name of a stream in tables and commands, such as `spent-grain`.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct StreamId(String);

impl StreamId {
    /// What an id may look like, for messages.
    pub fn accepted() -> Said {
        say!("accepted-stream-id", most = 60)
    }

    /// Lower-case letters, digits and hyphens, at most 60, starting with a letter or digit.
    pub fn parse(text: &str) -> Option<Self> {
        let fine = !text.is_empty()
            && text.len() <= 60
            && !text.starts_with('-')
            && text
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        fine.then(|| Self(text.to_owned()))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<StreamId> for Said {
    fn from(id: StreamId) -> Self {
        Self::Stream(id.0)
    }
}

impl From<&StreamId> for Said {
    fn from(id: &StreamId) -> Self {
        id.clone().into()
    }
}
