pub(super) mod assay;
pub(super) mod discard;
pub(super) mod leave;
pub(super) mod look;
pub(super) mod lot;

use std::collections::{BTreeSet, HashMap};

use jiff::Timestamp;

use crate::acts::harvest::learned::learned_by_supplier;
use crate::acts::intake::weigh_in::touched_by;
use crate::acts::night::night_begun;
use crate::acts::stock::lot::lot_name;
use crate::acts::{Desk, FarmSettings, Result};
use crate::daybook::{Book, LotRow};
use crate::quantity::Grams;
use crate::sheet::StockView;
use crate::stock::{LearnedBySupplier, Looked, LotInBook, Tested, on_hand};

pub fn stock_now((book, farm, tables): Desk<'_>, now: Timestamp) -> Result<StockView> {
    Ok(stock_and_learned((book, farm, tables), now)?.0)
}

/// The stock, and what it rests on of suppliers' own tests.
pub(crate) fn stock_and_learned(
    (book, farm, tables): Desk<'_>,
    now: Timestamp,
) -> Result<(StockView, LearnedBySupplier)> {
    let tables = &tables.of_farm(book, now)?;
    let rules = tables.rules(farm)?;
    let rows = book.lots(now)?;
    let looks = looks(book, farm, now)?;
    let learned = learned_by_supplier(book, tables, now)?;
    let lots = on_hand(
        rows.into_iter().map(|row| {
            let look = looks.get(&row.seq).cloned();
            in_book(row, look)
        }),
        now,
        &tables.streams,
        &learned,
        (&tables.stages.flag_limits, &tables.stages.ages),
        &rules,
    );
    let view = StockView {
        lots,
        zone: farm.zone.clone(),
        units: farm.units,
    };
    Ok((view, learned))
}

/// The newest look at each lot for the night of an instant, by then.
fn looks(book: &Book, farm: &FarmSettings, now: Timestamp) -> Result<HashMap<i64, Looked>> {
    let looks = book.looks(night_begun(now, &farm.zone), now)?;
    let looked = looks.into_iter().map(|filed| {
        let look = filed.entry;
        let said = Looked {
            fit: look.fit,
            by: filed.by,
            note: look.note,
        };
        (look.lot_seq, said)
    });
    Ok(looked.collect())
}

fn in_book(mut row: LotRow, look: Option<Looked>) -> LotInBook {
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
    let (since, kinds) = &row.picked_since;
    let picked_since = (*since > Grams::ZERO).then(|| {
        let said: BTreeSet<&str> = kinds.iter().map(|kind| kind.trim()).collect();
        let said = said.into_iter().filter(|kind| !kind.is_empty());
        said.collect::<Vec<_>>().join(", ")
    });
    touched_by(kinds.iter().map(String::as_str), &mut row.touched);
    LotInBook {
        name: lot_name(&row.id, row.number),
        seq: row.seq,
        number: row.number,
        supplier: row.supplier,
        stream: row.stream,
        weighed_at: row.at,
        net: row.net_g,
        picked_out: row.picked_out_g + *since,
        picked_since,
        remaining: row.remaining_g,
        tested_moisture: tested,
        touched: row.touched,
        price_per_kg: row.price_per_kg,
        dock_verdict: row.verdict,
        dock_reason: row.reason,
        estimated: row.estimated,
        bought: row.bought,
        look,
    }
}
