use std::collections::BTreeMap;

use crate::table::{Findings, Row, Table};
use crate::words::{Said, say};

/// How well a figure is supported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// Read in the named published source.
    Seen,
    /// Read as quoted in a second document.
    SeenSecondhand,
    /// Arithmetic on figures that were read.
    Derived,
    /// From memory, unverified.
    Memory,
    CommonPractice,
    /// Set by this program, published nowhere.
    OurDefault,
}

impl Evidence {
    const ALL: [(&'static str, &'static str, Self); 6] = [
        ("seen", "seen in the source", Self::Seen),
        (
            "seen-secondhand",
            "seen as quoted elsewhere",
            Self::SeenSecondhand,
        ),
        ("derived", "derived from seen figures", Self::Derived),
        ("memory", "from memory, unverified", Self::Memory),
        (
            "common-practice",
            "common practice, no source",
            Self::CommonPractice,
        ),
        ("our-default", "our default", Self::OurDefault),
    ];

    fn row(self) -> Option<&'static (&'static str, &'static str, Self)> {
        Self::ALL.iter().find(|(_, _, evidence)| *evidence == self)
    }

    /// The label printed beside a figure.
    pub fn label(self) -> &'static str {
        self.row().map_or("", |(_, label, _)| label)
    }

    /// The same for people; without evidence a figure is the farm's own.
    pub fn said(evidence: Option<Self>) -> Said {
        let found = evidence.and_then(Self::row);
        say!("evidence", key = found.map_or("own", |(key, _, _)| key))
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    pub evidence: Evidence,
    pub citation: String,
    /// Which figures are what.
    pub note: String,
}

impl Source {
    /// Authors and year, up to the first comma.
    pub fn short(&self) -> &str {
        self.citation.split(',').next().unwrap_or_default()
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SourceTable(BTreeMap<String, Source>);

impl SourceTable {
    /// Reads `key,evidence,citation,note`.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Findings> {
        let columns = ["key", "evidence", "citation", "note"];
        let table = Table::read(file, bytes, &columns, |_| false)?;
        let mut seen = BTreeMap::new();
        let rows = table.rows(|row| {
            let key = row.needed("key", "a key")?;
            row.once(&mut seen, key.clone(), ("key", &key), "key");
            row.needed("evidence", "an evidence label");
            let evidence = evidence(row, "evidence");
            let citation = row.needed("citation", "a citation")?;
            let note = row.text("note").unwrap_or_default().to_owned();
            let source = Source {
                evidence: evidence?,
                citation,
                note,
            };
            Some((key, source))
        })?;
        Ok(Self(rows.into_iter().collect()))
    }

    pub fn get(&self, key: &str) -> Option<&Source> {
        self.0.get(key)
    }
}

pub(super) fn evidence(row: &mut Row<'_>, field: &str) -> Option<Evidence> {
    let accepted = "seen, seen-secondhand, derived, memory, common-practice or our-default";
    row.parsed(field, accepted, |text| {
        let mut all = Evidence::ALL.iter();
        let found = all.find(|(key, _, _)| *key == text)?;
        Some(found.2)
    })
}
