//! Reads what a digest covers back, where it was kept elsewhere: the settings
//! of a farm and its closed months.

use serde::Deserialize;
use serde_json::Value;

use crate::daybook::{Farm, MonthClosed, MonthRow};
use crate::quantity::{Flow, Grams};
use crate::stream::StreamId;

/// A farm's settings from a record's `entry`.
pub fn unsealed_farm(entry: &Value) -> serde_json::Result<Farm> {
    Ok(Farm {
        said: Deserialize::deserialize(entry)?,
        chosen: Deserialize::deserialize(entry)?,
        ..Farm::deserialize(entry)?
    })
}

/// A closed month from a record's `entry`.
pub fn unsealed_month(entry: &Value) -> serde_json::Result<MonthClosed> {
    #[derive(Deserialize)]
    struct Row {
        supplier: String,
        stream: StreamId,
        bought: bool,
        loads: i64,
        refused_loads: i64,
        further_g: Vec<Grams>,
    }
    let row = |told: &Value| -> serde_json::Result<MonthRow> {
        let row = Row::deserialize(told)?;
        let mut flow = Flow {
            loads: row.loads,
            refused_loads: row.refused_loads,
            ..Flow::default()
        };
        for (at, grams) in flow.figures_mut().into_iter().enumerate() {
            if Flow::FURTHER.contains(&at) {
                let seen = row.further_g.get(at - Flow::FURTHER.start);
                *grams = seen.copied().unwrap_or_default();
            } else if Flow::NAMES[at] != "bought" {
                *grams = Grams::deserialize(&told[Flow::COLUMNS[at]])?;
            }
        }
        Ok(MonthRow {
            supplier: row.supplier,
            stream: row.stream,
            bought: row.bought,
            flow,
        })
    };
    let rows = Vec::<Value>::deserialize(&entry["rows"])?;
    Ok(MonthClosed {
        rows: rows.iter().map(row).collect::<Result<_, _>>()?,
        ..MonthClosed::deserialize(entry)?
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::daybook::Entry;
    use crate::daybook::fixture::fullest_book;

    #[test]
    fn what_was_sealed_reads_back_the_same() {
        let book = fullest_book();
        let (mut farms, mut months) = (0, 0);
        for seq in 1..=book.seal().expect("a seal").seq {
            let found = book.record(seq).expect("reads").expect("a record");
            let entry = found.record.content.entry;
            let told = serde_json::to_value(&entry).expect("JSON");
            match entry {
                Entry::Farm(farm) => {
                    assert_eq!(unsealed_farm(&told).expect("reads"), farm);
                    farms += 1;
                }
                Entry::MonthClosed(month) => {
                    assert_eq!(unsealed_month(&told).expect("reads"), month);
                    months += 1;
                }
                _ => {}
            }
        }
        assert!(farms > 1 && months > 0, "{farms} {months}");
    }
}
