use jiff::Timestamp;

use crate::daybook::{Book, LotRow};
use crate::sheet::StockView;
use crate::stock::{LearnedBySupplier, LotInBook, Tested, on_hand};

use super::learned::learned_by_supplier;
use super::lot::lot_name;
use super::{ActError, FarmSettings, Tables};

/// The stock at an instant.
///
/// # Errors
/// When the book can't be read or the rule table has findings.
pub fn stock_now(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    now: Timestamp,
) -> Result<StockView, ActError> {
    Ok(stock_and_learned(book, farm, tables, now)?.0)
}

/// The stock, and what it rests on of suppliers' own tests.
pub(super) fn stock_and_learned(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    now: Timestamp,
) -> Result<(StockView, LearnedBySupplier), ActError> {
    let tables = &tables.of_farm(book, now)?;
    let rules = tables.rules(farm)?;
    let rows = book.lots(now)?;
    let learned = learned_by_supplier(book, tables, now)?;
    let lots = on_hand(
        rows.into_iter().map(in_book),
        now,
        &tables.streams,
        &learned,
        &tables.stages.flag_limits,
        &rules,
    );
    let view = StockView {
        lots,
        zone: farm.zone.clone(),
        units: farm.units,
    };
    Ok((view, learned))
}

fn in_book(row: LotRow) -> LotInBook {
    let tested = row
        .assay
        .map(|assay| Tested {
            pct: assay.moisture_pct,
            sd: Some(assay.moisture_sd),
            method: assay.method,
        })
        .or(row.moisture_pct.map(|pct| Tested {
            pct,
            sd: None,
            method: "dock".to_owned(),
        }));
    LotInBook {
        name: lot_name(&row.id, row.number),
        seq: row.seq,
        number: row.number,
        supplier: row.supplier,
        stream: row.stream,
        weighed_at: row.at,
        net: row.net_g,
        picked_out: row.picked_out_g,
        remaining: row.remaining_g,
        tested_moisture: tested,
        touched: row.touched,
        price_per_kg: row.price_per_kg,
        dock_verdict: row.verdict,
        dock_reason: row.reason,
        estimated: row.estimated,
        bought: row.bought,
    }
}
