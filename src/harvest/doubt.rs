use super::Yield;
use super::conversion::Told;
use crate::words::{Said, say};

/// A result that can't be, with its figures. It is told, never corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// More dry matter fed than weight as fed.
    DryAboveWet {
        dry_kg: f64,
        /// As fed \[kg\].
        wet_kg: f64,
    },
    /// More dry matter left than was fed.
    ResidueAboveFed {
        /// Dry matter left \[kg\].
        residue_kg: f64,
        /// Dry matter fed \[kg\].
        fed_kg: f64,
    },
    /// More dry matter gained than is gone from the feed.
    GainAboveGone { gain_kg: f64, gone_kg: f64 },
    /// Larvae weigh less than they began with.
    NothingGained {
        /// Gained \[kg\], below or at zero.
        gain_kg: f64,
    },
    MoreLarvae {
        /// At the start.
        began: i64,
        /// Harvested, to the nearest larva.
        ended: f64,
        deaths_seen: i64,
    },
    /// More protein in larvae than dry matter.
    ProteinAboveDry {
        /// Protein, % of dry matter.
        pct: f64,
    },
}

/// A hair's breadth: what floating point alone may leave \[share\].
const HAIR: f64 = 1e-9;

impl Doubt {
    pub(super) fn all(of: &Yield, gain: &Told) -> Vec<Self> {
        let mut doubts = Vec::new();
        let above = |more: f64, less: f64| more > less * (1.0 + HAIR) + HAIR;
        if let Some(dry_kg) = of.fed_dry_kg.filter(|dry| above(*dry, of.fed_kg)) {
            let wet_kg = of.fed_kg;
            doubts.push(Self::DryAboveWet { dry_kg, wet_kg });
        }
        if let (Some(fed_kg), Some(residue_kg)) = (of.fed_dry_kg, of.residue_dry_kg) {
            let gone_kg = fed_kg - residue_kg;
            if above(residue_kg, fed_kg) {
                doubts.push(Self::ResidueAboveFed { residue_kg, fed_kg });
            } else if let Some(gain_kg) = gain.as_ref().ok().copied()
                && above(gain_kg, gone_kg)
            {
                doubts.push(Self::GainAboveGone { gain_kg, gone_kg });
            }
        }
        if let Ok(gain_kg) = gain
            && *gain_kg <= 0.0
        {
            doubts.push(Self::NothingGained { gain_kg: *gain_kg });
        }
        if let (Some(began), Some(ended)) = (of.began, of.ended) {
            #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
            let (most, dead) = (began as f64, of.deaths_seen as f64);
            if above(ended + dead, most) {
                let deaths_seen = of.deaths_seen;
                doubts.push(Self::MoreLarvae {
                    began,
                    ended,
                    deaths_seen,
                });
            }
        }
        let protein = of
            .larvae_nitrogen
            .map(|share| share.pct() * of.factor.value());
        if let Some(pct) = protein.filter(|pct| *pct > 100.0) {
            doubts.push(Self::ProteinAboveDry { pct });
        }
        doubts
    }

    /// What was found and what to check, in a sentence.
    #[must_use]
    pub fn said(self) -> Said {
        let two = |kg: f64| format!("{kg:.2}");
        match self {
            Self::DryAboveWet { dry_kg, wet_kg } => {
                say!(
                    "conversion-dry-above-wet",
                    dry = two(dry_kg),
                    wet = two(wet_kg)
                )
            }
            Self::ResidueAboveFed { residue_kg, fed_kg } => {
                say!(
                    "conversion-residue-above-fed",
                    residue = two(residue_kg),
                    fed = two(fed_kg)
                )
            }
            Self::GainAboveGone { gain_kg, gone_kg } => {
                say!(
                    "conversion-gain-above-gone",
                    gain = two(gain_kg),
                    gone = two(gone_kg)
                )
            }
            Self::NothingGained { gain_kg } => {
                say!("conversion-nothing-gained", gain = format!("{gain_kg:.3}"))
            }
            Self::MoreLarvae {
                began,
                ended,
                deaths_seen,
            } => {
                let ended = format!("{ended:.0}");
                say!("conversion-more-larvae", ended, dead = deaths_seen, began)
            }
            Self::ProteinAboveDry { pct } => {
                say!("conversion-protein-above-dry", pct = format!("{pct:.0}"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::harvest::{NitrogenFactor, StartWeight, Yield, conversion};
    use crate::quantity::ShareOfDry;

    /// Every doubt once, each from one slip of the pen.
    #[test]
    fn what_cannot_be_is_told_with_what_to_check() {
        let sound = Yield {
            fed_kg: 40.0,
            fed_dry_kg: Some(12.0),
            fed_protein_kg: Some(2.0),
            larvae_kg: 5.0,
            larvae_dry_kg: Some(1.8),
            larvae_nitrogen: ShareOfDry::from_pct(7.0).ok(),
            factor: NitrogenFactor::Usual,
            began: Some(30_000),
            start: StartWeight::default(),
            ended: Some(25_000.0),
            deaths_seen: 40,
            residue_kg: Some(6.0),
            residue_dry_kg: Some(3.0),
            days: Some(12.0),
        };
        let slip = |change: &dyn Fn(&mut Yield)| {
            let mut of = sound;
            change(&mut of);
            let doubts = conversion(&of).doubts;
            let words: Vec<String> = doubts
                .into_iter()
                .map(|one| one.said().in_english())
                .collect();
            words.join("\n")
        };
        assert_eq!(slip(&|_| ()), "");
        insta::assert_snapshot!(
            [
                slip(&|of| of.fed_kg = 11.0),
                slip(&|of| of.residue_dry_kg = Some(13.0)),
                slip(&|of| of.residue_dry_kg = Some(11.0)),
                slip(&|of| of.larvae_dry_kg = Some(0.0025)),
                slip(&|of| of.ended = Some(31_204.3)),
                slip(&|of| { of.ended = Some(31_204.3); of.deaths_seen = 0; }),
                slip(&|of| of.larvae_nitrogen = ShareOfDry::from_pct(45.0).ok()),
            ]
            .join("\n"),
            @"
        12.00 kg of dry matter in 11.00 kg fed. Check the moistures of what was fed
        residue holds 13.00 kg of dry matter, 12.00 kg were fed. Check weight and moisture of the residue, and that every night's feed and any bedding is written down
        larvae gained 1.79 kg of dry matter, only 1.00 kg are gone from the feed. Check moisture of larvae and residue, and that every night's feed is written down
        larvae gained -0.012 kg of dry matter. Check weight, moisture and count of the larvae, and the start weight
        31204 larvae harvested and 40 seen dead, 30000 put on trays. Check the start count, and count a larger sample
        31204 larvae harvested, 30000 put on trays. Check the start count, and count a larger sample
        protein of the larvae comes to 281 % of their dry matter. Check the nitrogen, which is in % of dry matter, and the factor
        "
        );
    }
}
