use std::collections::BTreeMap;

use crate::table::{Findings, Row, Table};
use crate::words::{Said, say};

use super::StreamId;
use super::source::{Evidence, evidence};

/// How well each figure of a row is supported, and what else is said of it.
/// A label that is not there says that the figure is the farm's own.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Labels {
    /// Moisture and analytes: the weakest of them.
    pub composition: Option<Evidence>,
    /// Moisture alone, where a farm said it of its own stream.
    pub moisture: Option<Evidence>,
    /// Their spreads: the weakest of them.
    pub spread: Option<Evidence>,
    pub density: Option<Evidence>,
    /// Share of whole parts larvae leave.
    pub inedible: Option<Evidence>,
    pub keeping: Option<Evidence>,
    /// Where the figures are of one thing and stand in for another: both.
    pub stands_in: Option<(String, String)>,
    /// Whether it is food or the inedible part of food, as the FLW Standard
    /// has it; `None` leaves it to the class.
    pub food: Option<bool>,
}

impl Labels {
    /// Such as `figures of the flesh stand in for the rind`.
    pub fn stand_in(&self) -> Option<Said> {
        let (of, part) = self.stands_in.as_ref()?;
        Some(say!("stream-stand-in", of, part))
    }
}

/// Reads how well each figure of each shipped stream is supported.
pub fn read_labels(file: &str, bytes: &[u8]) -> Result<BTreeMap<StreamId, Labels>, Findings> {
    const COLUMNS: [&str; 9] = [
        "stream",
        "composition",
        "spread",
        "density",
        "inedible",
        "keeping",
        "figures_of",
        "stand_in_for",
        "food",
    ];
    let table = Table::read(file, bytes, &COLUMNS, |_| false)?;
    let rows = table.rows(|row| {
        let id = row.required("stream", StreamId::accepted(), StreamId::parse);
        let text = |row: &Row<'_>, field| row.text(field).unwrap_or_default().to_owned();
        let (of, stands_for) = (text(row, "figures_of"), text(row, "stand_in_for"));
        let composition = evidence(row, "composition");
        let labels = Labels {
            composition,
            moisture: composition,
            spread: evidence(row, "spread"),
            density: evidence(row, "density"),
            inedible: evidence(row, "inedible"),
            keeping: evidence(row, "keeping"),
            stands_in: (!of.is_empty()).then_some((of, stands_for)),
            food: row.parsed("food", say!("accepted-yes-no-cell"), |text| match text {
                "yes" => Some(true),
                "no" => Some(false),
                _ => None,
            }),
        };
        Some((id?, labels))
    })?;
    Ok(rows.into_iter().collect())
}
