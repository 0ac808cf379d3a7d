use serde::Deserialize;

use super::Grams;

/// The weights of a month, each by its name: another column is another line
/// here, and in the book one of `month_figure`.
macro_rules! flow {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {
        /// What the book sums up for one source over a span.
        #[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
        #[serde(default)]
        pub struct Flow {
            $($(#[$doc])* pub $name: Grams,)+
            pub loads: i64,
            /// Loads turned away.
            pub refused_loads: i64,
        }

        impl Flow {
            /// The names of the weights, in the order they are printed.
            pub const NAMES: [&str; [$(stringify!($name)),+].len()] = [$(stringify!($name)),+];

            /// The same as columns of whole grams.
            pub const COLUMNS: [&str; Self::NAMES.len()] = [$(concat!(stringify!($name), "_g")),+];

            pub const fn named(&self) -> [(&'static str, Grams); Self::NAMES.len()] {
                [$((stringify!($name), self.$name)),+]
            }

            /// Every weight, in that order.
            pub const fn figures(&self) -> [Grams; Self::NAMES.len()] {
                [$(self.$name),+]
            }

            pub const fn figures_mut(&mut self) -> [&mut Grams; Self::NAMES.len()] {
                [$(&mut self.$name),+]
            }
        }
    };
}

flow! {
    /// On hand just before the span.
    opening,
    /// Accepted net weight, parts picked out at the dock included.
    received,
    /// Of it, what was estimated by volume.
    estimated,
    /// Net weight that was bought, where it is told apart from what was received.
    bought,
    /// Net weight turned away; never in stock.
    refused,
    /// Picked out by hand, at the dock and since.
    picked_out,
    fed,
    composted,
    /// Back to the supplier.
    returned,
    landfilled,
    /// Drained off as liquor.
    liquor,
    /// To animals other than the larvae.
    animals,
    /// To a maker of other goods.
    processing,
    /// To a digester.
    digestion,
    /// Burned under control.
    combustion,
    land,
    /// Dumped or littered.
    discards,
    /// Down the drain.
    sewer,
    /// Lost without a record of where: scale remainders, drying, drip. Below zero when found.
    shrink,
    /// On hand at the end of the span.
    closing,
}

impl Flow {
    /// The ways out that came later than the first five; where they stand
    /// among the names.
    pub const FURTHER: std::ops::Range<usize> = 11..18;

    /// Every way out, shrink among them.
    pub const LEFT: std::ops::Range<usize> = 5..19;

    /// Left by another way than the five of old: other animals, processing,
    /// digestion, combustion, land, discards, sewer.
    pub fn elsewhere(&self) -> Grams {
        self.figures()[Self::FURTHER].iter().copied().sum()
    }

    pub fn left(&self) -> Grams {
        self.figures()[Self::LEFT].iter().copied().sum()
    }

    /// Fed to no larvae, and yet known where it went.
    pub fn other_ways(&self) -> Grams {
        self.left() - self.fed - self.shrink
    }

    /// By column of a source's row, in which what was bought is received.
    pub fn columns(&self) -> impl Iterator<Item = (&'static str, Grams)> {
        let all = Self::COLUMNS.into_iter().zip(self.figures());
        all.filter(|(column, _)| *column != "bought_g")
    }

    pub fn add(&mut self, other: &Self) {
        for (sum, more) in self.figures_mut().into_iter().zip(other.figures()) {
            *sum += more;
        }
        self.loads += other.loads;
        self.refused_loads += other.refused_loads;
    }

    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
