use std::collections::BTreeMap;

use crate::quantity::word_enum;
use crate::table::{Findings, Row, Table};
use crate::words::{Said, say};

word_enum!(
    /// How well a figure is supported.
    Evidence {
        /// Read in the named published source.
        Seen = "seen",
        /// Read as quoted in a second document.
        SeenSecondhand = "seen-secondhand",
        /// Arithmetic on figures that were read.
        Derived = "derived",
        /// From memory, unverified.
        Memory = "memory",
        CommonPractice = "common-practice",
        /// Set by this program, published nowhere.
        OurDefault = "our-default",
        /// Taken from the stream a farm's own one is like.
        TakenOver = "taken-over",
    }
);

impl Evidence {
    pub const fn label(self) -> &'static str {
        match self {
            Self::Seen => "seen in the source",
            Self::SeenSecondhand => "seen as quoted elsewhere",
            Self::Derived => "derived from seen figures",
            Self::Memory => "from memory, unverified",
            Self::CommonPractice => "common practice, no source",
            Self::OurDefault => "our default",
            Self::TakenOver => "taken from the stream it is like",
        }
    }

    /// The same for people; without evidence a figure is the farm's own.
    pub fn said(evidence: Option<Self>) -> Said {
        say!("evidence", key = evidence.map_or("own", Self::as_str))
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
            let key = row.needed("key", say!("accepted-filled"))?;
            row.once(&mut seen, key.clone(), ("key", &key));
            row.needed("evidence", Evidence::accepted());
            let evidence = evidence(row, "evidence");
            let citation = row.needed("citation", say!("accepted-filled"))?;
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
    row.parsed(field, Evidence::accepted(), Evidence::parse)
}
