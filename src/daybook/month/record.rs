use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use crate::quantity::{Flow, Grams};
use crate::stream::StreamId;

/// The weights of one supplier's stream over a span, bought lots apart: what
/// was bought is received there.
///
/// Always `opening + received − left = closing`, to the gram. Outflows count in the
/// span they happened in, by the supplier and stream of the lot they left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MonthRow {
    pub supplier: String,
    pub stream: StreamId,
    /// Whether these lots were bought; what is received is then bought.
    pub bought: bool,
    pub flow: Flow,
}

/// As a digest sees it, where the further ways stand in one list.
impl Serialize for MonthRow {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut row = serializer.serialize_map(None)?;
        row.serialize_entry("supplier", &self.supplier)?;
        row.serialize_entry("stream", &self.stream)?;
        row.serialize_entry("bought", &self.bought)?;
        let further = &Flow::COLUMNS[Flow::FURTHER];
        let columns = self.flow.columns();
        for (column, grams) in columns.filter(|(column, _)| !further.contains(column)) {
            if column == "closing_g" {
                let grams = &self.flow.figures()[Flow::FURTHER];
                row.serialize_entry("further_g", sealed(grams))?;
            }
            row.serialize_entry(column, &grams)?;
        }
        row.serialize_entry("loads", &self.flow.loads)?;
        row.serialize_entry("refused_loads", &self.flow.refused_loads)?;
        row.end()
    }
}

/// The first seven are always part of a digest; one that came later only where
/// it holds something, so that months closed before it still verify.
pub(crate) fn sealed(further: &[Grams]) -> &[Grams] {
    let later = further.iter().rposition(|grams| *grams != Grams::ZERO);
    &further[..later.map_or(0, |at| at + 1).max(7).min(further.len())]
}
