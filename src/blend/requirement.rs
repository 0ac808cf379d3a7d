use crate::stream::{Measure, StreamId};

pub use crate::stream::Side;

/// What a row of the model stands for. Groups, pools and purchases go by
/// their position in the plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Requirement {
    /// Dry matter wanted by a group.
    Feeding { group: usize },
    /// One side of a window or limit.
    Bound {
        group: usize,
        measure: Measure,
        side: Side,
        /// The bound, a share in the measure's own basis.
        share: f64,
        /// A limit, not a window.
        is_hard: bool,
    },
    /// What a group's trays hold.
    Volume { group: usize },
    /// The largest share of a stream.
    Cap { group: usize, stream: StreamId },
    /// What is on hand of a pool of equal lots.
    Stock { pool: usize },
    /// What can be bought.
    Purchase {
        /// The purchase.
        position: usize,
    },
    /// Water that may be added.
    Water,
    /// A tangent that keeps a window at the chance asked for.
    Margin { row: usize },
    /// How far a stream is off its share in the mix before.
    Change { group: usize },
}
