use crate::quantity::{Flow, Grams, word_enum};
use crate::words::{Said, say};

impl Flow {
    /// What reached a destination of the standard; see [`Destination`].
    pub fn reached(&self, destination: Destination) -> Grams {
        match destination {
            Destination::AnimalFeed => self.fed + self.animals,
            Destination::Biomaterial => self.processing,
            Destination::Digestion => self.digestion,
            Destination::Compost => self.composted,
            Destination::Combustion => self.combustion,
            Destination::LandApplication => self.land,
            Destination::Landfill => self.landfilled,
            Destination::NotHarvested => Grams::ZERO,
            Destination::Discards => self.discards + self.picked_out,
            Destination::Sewer => self.sewer + self.liquor,
        }
    }

    /// Kept from disposal by a named rule.
    pub fn diverted(&self, rule: DivertedRule) -> Grams {
        let parts = self.diverted_parts(rule);
        parts.into_iter().map(|(_, grams)| grams).sum()
    }

    /// What that is the sum of: what counts, or all that came less what does not.
    pub fn diverted_parts(&self, rule: DivertedRule) -> Vec<(Said, Grams)> {
        let reached = |ways: &[Destination]| {
            let reached = ways.iter().map(|way| (way.said(), self.reached(*way)));
            reached.collect()
        };
        match rule {
            DivertedRule::Default => {
                let disposed = [
                    ("picked-out", self.picked_out),
                    ("landfilled", self.landfilled),
                    ("returned", self.returned),
                    ("liquor", self.liquor),
                    ("combustion", self.combustion),
                    ("discards", self.discards),
                    ("sewer", self.sewer),
                ];
                let less = disposed.map(|(way, grams)| (say!("month-way", way), -grams));
                let came = (say!("received"), self.received);
                std::iter::once(came).chain(less).collect()
            }
            DivertedRule::Flw => reached(&[
                Destination::AnimalFeed,
                Destination::Biomaterial,
                Destination::Digestion,
                Destination::Compost,
                Destination::LandApplication,
            ]),
            DivertedRule::EpaWorkgroup => reached(&[
                Destination::AnimalFeed,
                Destination::Biomaterial,
                Destination::Compost,
            ]),
        }
    }
}

word_enum!(
    /// The ten destinations of the Food Loss and Waste Accounting and Reporting
    /// Standard, version 1.0 (2016), in its order.
    ///
    /// What the standard does not settle, and is our default: larvae are animals,
    /// so what they are fed is animal feed; liquor is booked to sewer and parts
    /// picked out by hand to refuse/discards unless the record names another way.
    Destination {
        AnimalFeed = "animal-feed",
        Biomaterial = "biomaterial",
        Digestion = "digestion",
        Compost = "compost",
        Combustion = "combustion",
        LandApplication = "land",
        Landfill = "landfill",
        /// Left in the field; nothing that reached a dock.
        NotHarvested = "not-harvested",
        /// Dumped, littered, or not said where.
        Discards = "discards",
        Sewer = "sewer",
    }
);

impl Destination {
    /// The short name the standard's scope template prints.
    pub fn said(self) -> Said {
        say!("flw-destination", destination = self.as_str())
    }
}

word_enum!(
    /// A rule that says what counts as diverted.
    #[derive(Default)]
    DivertedRule {
        /// Ours: accepted weight less what went to disposal.
        #[default]
        Default = "default",
        Flw = "flw",
        /// The definition of EPA's National Measurement Workgroup.
        EpaWorkgroup = "epa-workgroup",
    }
);

impl DivertedRule {
    /// The rule in words, as printed with every figure of it.
    pub fn said(self) -> Said {
        match self {
            Self::Default => say!("diverted-default"),
            Self::Flw => say!("diverted-flw"),
            Self::EpaWorkgroup => say!("diverted-epa-workgroup"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every weight another, so that a swapped field shows.
    fn flow() -> Flow {
        let g = Grams::new;
        Flow {
            opening: g(1),
            received: g(1 << 20),
            refused: g(1 << 1),
            picked_out: g(1 << 2),
            fed: g(1 << 3),
            composted: g(1 << 4),
            returned: g(1 << 5),
            landfilled: g(1 << 6),
            liquor: g(1 << 7),
            animals: g(1 << 8),
            processing: g(1 << 9),
            digestion: g(1 << 10),
            combustion: g(1 << 11),
            land: g(1 << 12),
            discards: g(1 << 13),
            sewer: g(1 << 14),
            ..Flow::default()
        }
    }

    #[test]
    fn all_that_left_but_returns_and_shrink_reaches_one_destination() {
        let reached: i64 = (Destination::ALL.iter())
            .map(|way| flow().reached(*way).get())
            .sum();
        // Bits 2 to 14, all but what went back to the supplier.
        assert_eq!(reached, (1 << 15) - (1 << 2) - (1 << 5));
    }

    #[test]
    fn each_rule_counts_what_its_sentence_says() {
        let told = DivertedRule::ALL.map(|rule| flow().diverted(rule).get());
        let bits = |bits: &[u32]| bits.iter().map(|bit| 1_i64 << bit).sum::<i64>();
        assert_eq!(
            told,
            [
                (1 << 20) - bits(&[2, 5, 6, 7, 11, 13, 14]),
                bits(&[3, 4, 8, 9, 10, 12]),
                bits(&[3, 4, 8, 9]),
            ]
        );
    }

    #[test]
    fn sums_add_every_figure() {
        let mut sum = flow();
        sum.add(&flow());
        assert_eq!(sum.figures(), flow().figures().map(|once| once + once));
    }
}
