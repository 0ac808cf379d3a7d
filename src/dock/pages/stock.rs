//! What is on hand, by when it must be used: a card a lot, with what can be done with it.

use super::*;
use crate::acts::stock_now;
use crate::sheet::{one_decimal, stock_document};
use crate::stock::StockLot;
use crate::stream::Verdict;
use crate::words::{Said, say};

/// What must be used by when, and what is not for larvae.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Shelf {
    Today,
    Tomorrow,
    Later,
    NotForLarvae,
}

impl Shelf {
    fn of(lot: &StockLot) -> Self {
        if !lot.is_feed() {
            Self::NotForLarvae
        } else if lot.spoils_by_next_night() {
            Self::Today
        } else if lot.days_left().is_some_and(|left| left < 2.0) {
            Self::Tomorrow
        } else {
            Self::Later
        }
    }

    fn said(self) -> Said {
        match self {
            Self::Today => say!("dock-stock-today"),
            Self::Tomorrow => say!("dock-stock-tomorrow"),
            Self::Later => say!("dock-stock-later"),
            Self::NotForLarvae => say!("dock-stock-not-feed"),
        }
    }

    const fn class(self) -> &'static str {
        match self {
            Self::Today => "shelf-today",
            Self::Tomorrow => "shelf-tomorrow",
            Self::Later => "shelf-later",
            Self::NotForLarvae => "shelf-not-feed",
        }
    }
}

/// A lot as a card says it.
pub(super) struct Card {
    pub(super) lot: String,
    pub(super) name: String,
    pub(super) supplier: String,
    pub(super) weight: String,
    pub(super) good_for: Said,
    /// Said where the lot may not simply be fed.
    pub(super) verdict: Option<Said>,
    pub(super) picks_out: bool,
}

pub(super) fn card(at: &At, frame: &Frame, lot: &StockLot) -> Card {
    let verdict = lot.flag.verdict;
    Card {
        lot: lot.book.name.clone(),
        name: frame.called(&lot.book.stream),
        supplier: lot.book.supplier.clone(),
        weight: at.farm.units.weight(lot.book.remaining),
        good_for: match lot.days_left() {
            None => say!("not-known"),
            Some(left) if left < 0.0 => say!("dock-stock-past", days = one_decimal(-left)),
            // Rounded down: what is to be used tomorrow has no 2.0 days left.
            Some(left) => {
                let days = one_decimal((left * 10.0).floor() / 10.0);
                say!("dock-stock-left", days)
            }
        },
        verdict: (verdict != Verdict::Feed).then(|| verdict.said()),
        picks_out: lot.asks_for_sorting(),
    }
}

struct OnShelf {
    shelf: Shelf,
    weight: String,
    cards: Vec<Card>,
}

#[derive(Template)]
#[template(path = "stock.html", config = "src/askama.toml")]
pub(crate) struct StockPage {
    frame: Frame,
    total: Said,
    shelves: Vec<OnShelf>,
    lots: Vec<String>,
    blocks: Vec<Block<String>>,
}

pub(crate) fn show(at: &At, frame: Frame, (): ()) -> Result<StockPage> {
    let view = stock_now((at.book, at.farm, at.tables), at.now)?;
    let units = at.farm.units;
    let mut shelves = Vec::new();
    for shelf in [
        Shelf::Today,
        Shelf::Tomorrow,
        Shelf::Later,
        Shelf::NotForLarvae,
    ] {
        let on_it = view.lots.iter().filter(|lot| Shelf::of(lot) == shelf);
        let weight: Grams = on_it.clone().map(|lot| lot.book.remaining).sum();
        let cards: Vec<Card> = on_it.map(|lot| card(at, &frame, lot)).collect();
        if !cards.is_empty() {
            let weight = units.weight(weight);
            shelves.push(OnShelf {
                shelf,
                weight,
                cards,
            });
        }
    }
    let total: Grams = view.lots.iter().map(|lot| lot.book.remaining).sum();
    Ok(StockPage {
        total: say!(
            "stock-total",
            lots = view.lots.len(),
            weight = units.told(total)
        ),
        shelves,
        lots: view.lots.iter().map(|lot| lot.book.name.clone()).collect(),
        blocks: frame.blocks(&stock_document(&view, usize::MAX)),
        frame,
    })
}
