//! One weight while it is being rounded, and what is left to draw from.

use crate::quantity::{Division, Grams};

use super::eligible::{Parts, figures};
use super::problem::{Group, Problem};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    Lot(usize),
    Purchase(usize),
    Water,
}

/// One weight of a group while it is being rounded.
#[derive(Debug, Clone)]
pub(super) struct Slot {
    pub what: What,
    /// What the point says.
    pub kg: f64,
    /// What the scale shows, in steps.
    pub steps: i64,
    /// It stays at that.
    pub is_fixed: bool,
    pub moisture: f64,
    /// Share of dry matter that feeds nobody.
    pub ballast: f64,
    /// One for each window on dry matter, in the windows' order.
    pub analytes: Vec<Parts>,
    pub litres_per_kg: f64,
    /// Position of the cap on its stream, if there is one.
    pub cap: Option<usize>,
}

impl Slot {
    /// Kilograms of ration in a kilogram.
    pub(super) fn ration(&self) -> f64 {
        (1.0 - self.moisture) * (1.0 - self.ballast)
    }
}

/// A weight with the figures it is rounded by; none where they are not known.
pub(super) fn slot(
    problem: &Problem,
    group: &Group,
    what: What,
    kg: f64,
    steps: i64,
) -> Option<Slot> {
    let (stream, composition) = match what {
        What::Lot(lot) => (&problem.lots[lot].stream, &problem.lots[lot].composition),
        What::Purchase(item) => (
            &problem.purchases[item].stream,
            &problem.purchases[item].composition,
        ),
        What::Water => {
            let analytes = vec![Parts::default(); group.windows.len()];
            return Some(Slot {
                what,
                kg,
                steps,
                is_fixed: false,
                moisture: 1.0,
                ballast: 0.0,
                analytes,
                litres_per_kg: 1.0,
                cap: None,
            });
        }
    };
    let figures = figures(composition, group).ok()?;
    let under = group.cap_of(stream);
    let cap = group.caps.keys().position(|capped| capped == under);
    Some(Slot {
        what,
        kg,
        steps,
        is_fixed: false,
        moisture: figures.moisture,
        ballast: figures.ballast,
        analytes: figures.analytes,
        litres_per_kg: figures.litres_per_kg,
        cap,
    })
}

/// What is left to draw from, in grams.
pub(super) struct Room {
    lots: Vec<Grams>,
    purchases: Vec<Grams>,
    water: Grams,
}

impl Room {
    pub(super) fn new(problem: &Problem) -> Self {
        Self {
            lots: problem.lots.iter().map(|lot| lot.edible).collect(),
            purchases: problem
                .purchases
                .iter()
                .map(|purchase| purchase.limit)
                .collect(),
            water: problem.water_limit,
        }
    }

    pub(super) fn left(&mut self, what: What) -> &mut Grams {
        match what {
            What::Lot(lot) => &mut self.lots[lot],
            What::Purchase(item) => &mut self.purchases[item],
            What::Water => &mut self.water,
        }
    }

    /// Whether a slot may go from `steps` to one more.
    pub(super) fn fits_one_more(&mut self, division: Division, slot: &Slot) -> bool {
        let more = division.grams(slot.steps + 1) - division.grams(slot.steps);
        *self.left(slot.what) >= more
    }

    pub(super) fn shift(&mut self, division: Division, slot: &mut Slot, by: i64) {
        let before = division.grams(slot.steps);
        slot.steps += by;
        *self.left(slot.what) += before - division.grams(slot.steps);
    }
}
