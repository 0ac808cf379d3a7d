use std::fmt;

/// An analyte by its short name: `protein` stands for the column `protein_dm_pct`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Analyte(String);

/// The key of non-fibre carbohydrate, which is reckoned from the others and never given.
pub(super) const NFC_KEY: &str = "nfc_dm_pct";

impl Analyte {
    /// Reads a column or key such as `protein_dm_pct`.
    pub fn from_key(key: &str) -> Option<Self> {
        let name = key.strip_suffix("_dm_pct").filter(|_| key != NFC_KEY)?;
        let fine = !name.is_empty()
            && name
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        fine.then(|| Self(name.to_owned()))
    }

    /// A known analyte by its short name, for the analytes this program itself speaks of.
    pub fn named(name: &'static str) -> Self {
        Self(name.to_owned())
    }

    /// The column or key, with unit and basis.
    pub fn key(&self) -> String {
        format!("{}_dm_pct", self.0)
    }

    /// The short name, for people.
    pub fn name(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Analyte {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
