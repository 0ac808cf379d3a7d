use crate::words::{Said, say};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// On which nights a cohort gets its rations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(into = "String", try_from = "String")]
pub enum Feeding {
    /// Every night.
    Daily,
    /// All of them at once, on the first night.
    Once,
    /// Several nights' at once, every so many nights.
    Every(u8),
}

impl Feeding {
    /// What is accepted, for messages.
    pub fn accepted() -> Said {
        say!("accepted-feeding")
    }

    /// Reads the one form in which each plan is written.
    pub fn parse(text: &str) -> Option<Self> {
        match text {
            "daily" => Some(Self::Daily),
            "once" => Some(Self::Once),
            _ => {
                let nights: u8 = text.strip_prefix("every-")?.parse().ok()?;
                let plan = Self::Every(nights);
                ((2..=30).contains(&nights) && plan.to_string() == text).then_some(plan)
            }
        }
    }
}

impl std::fmt::Display for Feeding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Daily => f.write_str("daily"),
            Self::Once => f.write_str("once"),
            Self::Every(nights) => write!(f, "every-{nights}"),
        }
    }
}

impl From<Feeding> for String {
    fn from(plan: Feeding) -> Self {
        plan.to_string()
    }
}

impl TryFrom<String> for Feeding {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| Self::accepted().in_english())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_plan_has_one_form() {
        for text in ["daily", "once", "every-2", "every-30"] {
            let plan = Feeding::parse(text).expect(text);
            assert_eq!(plan.to_string(), text);
        }
        for text in [
            "", "Daily", "every-1", "every-02", "every-+2", "every-31", "every-",
        ] {
            assert_eq!(Feeding::parse(text), None, "{text}");
        }
    }
}
