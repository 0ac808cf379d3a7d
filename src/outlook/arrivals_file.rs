use jiff::civil::Date;

use crate::stream::{StreamId, StreamTable};
use crate::table::{Findings, Table};
use crate::words::say;

use super::Expected;

const COLUMNS: [&str; 4] = ["day", "supplier", "stream", "kg"];
const FURTHER: [&str; 2] = ["spread_kg", "moisture_pct"];

/// Reads an arrivals file, what is expected instead of what was learned: `day,supplier,stream,kg` and where wanted
/// `spread_kg,moisture_pct`.
pub fn read_arrivals(
    file: &str,
    bytes: &[u8],
    streams: &StreamTable,
) -> Result<Vec<Expected>, Findings> {
    let table = Table::read(file, bytes, &COLUMNS, |name| FURTHER.contains(&name))?;
    let mut seen = std::collections::BTreeMap::new();
    table.rows(|row| {
        let supplier = row.needed("supplier", say!("accepted-who-brings"));
        let day = row.required("day", say!("accepted-day", day = "2026-11-27"), |text| {
            text.parse().ok()
        });
        let stream = streams.of_row(row).map(|stream| stream.id.clone());
        row.needed("kg", say!("accepted-kilograms"));
        let kg = row.number("kg", 0.0, 100_000.0);
        let spread_kg = row.number("spread_kg", 0.0, 100_000.0).unwrap_or(0.0);
        let moisture_pct = row.number("moisture_pct", 0.0, 99.0);
        let (day, supplier, stream): (Date, String, StreamId) = (day?, supplier?, stream?);
        let key = (day, supplier.clone(), stream.clone());
        let text = format!("{day}, {supplier}, {}", stream.as_str());
        row.once(&mut seen, key, ("day, supplier, stream", &text));
        Some(Expected {
            day,
            supplier,
            stream,
            kg: kg?,
            spread_kg,
            moisture_pct,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::SHIPPED_STREAMS;

    #[test]
    fn rows_are_read_and_bad_cells_named() {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let read = |text: &str| read_arrivals("next.csv", text.as_bytes(), &streams);
        let rows =
            read("day,supplier,stream,kg,spread_kg\n2026-11-27,Invented grocer,melon-trim,120,\n")
                .expect("rows");
        assert_eq!((rows[0].kg, rows[0].spread_kg), (120.0, 0.0));
        let bad = read("day,supplier,stream,kg\n27.11.,A,melon-trim,12\n2026-11-27,A,mellon,-1\n2026-11-27,A,bread,1\n2026-11-27,A,bread,2\n")
            .expect_err("bad rows")
            .to_string();
        insta::assert_snapshot!(bad, @r#"
        `next.csv` row 2, `day`: `27.11.` is not accepted; accepted: a day such as 2026-11-27
        `next.csv` row 3, `stream`: `mellon` is not accepted; accepted: a stream of the stream table; nearest: melon-trim (produce)
        `next.csv` row 3, `kg`: `-1` is not accepted; accepted: a number from 0 to 100000, or empty
        `next.csv` row 5, `day, supplier, stream`: `2026-11-27, A, bread` is not accepted; accepted: each `day, supplier, stream` once; row 4 has it
        "#);
    }
}
