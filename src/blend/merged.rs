use std::cmp::Ordering;

use super::problem::{Lot, Problem};

/// Lots that are alike in everything that matters to the mix, as one column.
///
/// Without this, which of two equal buckets is opened depends on the order of
/// the rows, and integer programs see the same choice many times.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pool {
    /// Positions of the lots, oldest first.
    pub members: Vec<usize>,
    /// Kilograms that may be drawn from all of them.
    pub edible_kg: f64,
    /// Days since the oldest came in.
    pub age_days: f64,
}

/// All lots that are not barred and have weight, merged, in an order that
/// depends on their content alone. Only lots of one class are merged; with one
/// night all are of the same.
pub(super) fn pools(problem: &Problem, class: impl Fn(usize) -> usize) -> Vec<Pool> {
    let mut order: Vec<usize> = (0..problem.lots.len())
        .filter(|&index| problem.lots[index].may_be_drawn())
        .collect();
    order.sort_by(|&a, &b| {
        let classes = class(a).cmp(&class(b));
        let (a, b) = (&problem.lots[a], &problem.lots[b]);
        by_content(a, b)
            .then(classes)
            .then(b.age_days.total_cmp(&a.age_days))
            .then_with(|| a.name.cmp(&b.name))
    });
    let mut pools: Vec<Pool> = Vec::new();
    for index in order {
        let lot = &problem.lots[index];
        match pools.last_mut() {
            Some(pool)
                if class(pool.members[0]) == class(index)
                    && by_content(&problem.lots[pool.members[0]], lot) == Ordering::Equal =>
            {
                pool.members.push(index);
                pool.edible_kg += lot.edible.kg();
            }
            _ => pools.push(Pool {
                members: vec![index],
                edible_kg: lot.edible.kg(),
                age_days: lot.age_days,
            }),
        }
    }
    pools
}

fn by_content(a: &Lot, b: &Lot) -> Ordering {
    by_makeup(a, b).then(a.urgency().total_cmp(&b.urgency()))
}

/// By all that the rows of a mix see.
pub(crate) fn by_makeup(a: &Lot, b: &Lot) -> Ordering {
    let numbers = |lot: &Lot| {
        let moisture = lot.composition.moisture.map_or(-1.0, |share| share.get());
        let density = lot
            .composition
            .density
            .map_or(-1.0, |density| density.kg_per_m3());
        let ballast = lot.composition.ballast;
        [moisture, density, ballast, lot.price_per_kg]
    };
    let listed = |lot: &Lot| -> Vec<(String, u64)> {
        lot.composition
            .analytes
            .iter()
            .map(|(analyte, share)| (analyte.key(), share.get().to_bits()))
            .collect()
    };
    let by_numbers = numbers(a)
        .iter()
        .zip(numbers(b))
        .map(|(x, y)| x.total_cmp(&y))
        .find(|order| order.is_ne());
    a.stream
        .cmp(&b.stream)
        .then(by_numbers.unwrap_or(Ordering::Equal))
        .then_with(|| listed(a).cmp(&listed(b)))
}
