//! The spreads that go with the invented nights.

use trayful::blend::Problem;
use trayful::blend::sureness::{Spread, Spreads};

/// Spreads of a night: a moisture that is not the book's is the lot's own test.
pub(crate) fn spreads(problem: &Problem) -> Spreads {
    let streams = super::stocked::streams();
    let of = |lot: &trayful::blend::Lot| {
        let stream = streams.get(&lot.stream).expect("a stream");
        let book = Spread::of(stream);
        let is_own = lot.composition.moisture != stream.moisture.map(|estimate| estimate.value);
        (
            lot.name.clone(),
            if is_own { book.tested(0.02) } else { book },
        )
    };
    Spreads {
        lots: problem.lots.iter().map(of).collect(),
        purchases: streams
            .iter()
            .map(|stream| (stream.id.clone(), Spread::of(stream)))
            .collect(),
    }
}
