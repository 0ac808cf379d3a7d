//! What is ticked of tonight's sheet before it is fed, on every tablet. It is kept in
//! memory alone: nothing is done with a lot before the form says so, and each tablet
//! has its own ticks still when the program comes back.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

/// The newest sheet that was ticked, and how its lines stand.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub(crate) struct Ticks {
    /// The sheet, such as r57; none since the program began where it is null
    sheet: Option<String>,
    /// Fields of its lines as the page has them, `t:GROUP:LOT` and `w:GROUP:LOT`;
    /// blank where it was taken back
    lines: BTreeMap<String, String>,
    #[serde(skip)]
    record: i64,
}

impl Ticks {
    pub(super) fn of(&self, record: i64) -> Option<&BTreeMap<String, String>> {
        (self.record == record).then_some(&self.lines)
    }

    /// Takes what was told of a sheet's lines, and whether it is the newest one.
    pub(super) fn take(
        &mut self,
        record: i64,
        sheet: String,
        told: BTreeMap<String, String>,
    ) -> bool {
        // A sheet that was printed anew takes the place of the one before.
        if record > self.record {
            *self = Self {
                sheet: Some(sheet),
                record,
                ..Self::default()
            };
        }
        let is_it = record == self.record;
        if is_it {
            self.lines.extend(told);
        }
        is_it
    }
}
