//! What one tablet ticks of tonight's sheet, for the others.

use std::collections::BTreeMap;

use super::super::ticks::Ticks;
use super::tonight::field;
use super::*;
use crate::acts::{KeptLine, sheet_lines};
use crate::words::say;

/// A weight as typed is shorter.
const TEXT_MOST: usize = 60;

/// Lines that were ticked, weighed otherwise, or taken back.
#[derive(Debug, Deserialize, JsonSchema)]
pub(crate) struct TicksSent {
    /// The sheet, such as r57
    sheet: String,
    /// Those of its fields that have changed
    lines: BTreeMap<String, String>,
}

impl Change for TicksSent {
    type Done = Ticks;

    async fn keep(self, frame: &Frame) -> Result<Ticks, Unkept> {
        let Self { sheet, lines: told } = self;
        let seen = sheet.clone();
        let (record, lines) = frame
            .app
            .read(move |at| sheet_lines(at.book, &seen))
            .await?;
        let is_field = |key: &str| {
            let is = |line: &KeptLine| ['t', 'w'].iter().any(|kind| field(*kind, line) == key);
            lines.iter().any(is)
        };
        let wrong = |(key, text): &(&String, &String)| !is_field(key) || text.len() > TEXT_MOST;
        if let Some((key, text)) = told.iter().find(wrong) {
            let seen: String = format!("{key}={text}").chars().take(80).collect();
            let refused = Rejection::new("lines", seen, say!("accepted-fields"));
            return Err(ActError::from(refused).into());
        }
        let ticked = &frame.app.shared.ticked;
        ticked.send_if_modified(|ticks| ticks.take(record, sheet, told));
        Ok(ticked.borrow().clone())
    }
}
