use super::Yield;
use crate::words::{Said, say};

/// A hair's breadth: what floating point alone may leave \[share\].
const HAIR: f64 = 1e-9;

/// A result that can't be, dry matter in kilograms. It is told, never corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// More dry matter fed than weight as fed.
    DryAboveWet {
        dry_kg: f64,
        wet_kg: f64,
    },
    ResidueAboveFed {
        residue_kg: f64,
        fed_kg: f64,
    },
    GainAboveGone {
        gain_kg: f64,
        gone_kg: f64,
    },
    NothingGained {
        gain_kg: f64,
    },
    MoreLarvae {
        ended: f64,
        dead: i64,
        began: i64,
    },
    /// More protein in larvae than dry matter, per cent of it.
    ProteinAboveDry {
        pct: f64,
    },
}

impl Impossible {
    /// With its figures, and what to check; a weight in kilograms is worded by the reader's own.
    pub fn said(self, weight: impl Fn(f64) -> String) -> Said {
        match self {
            Self::DryAboveWet { dry_kg, wet_kg } => {
                let (dry, wet) = (weight(dry_kg), weight(wet_kg));
                say!("conversion-dry-above-wet", dry, wet)
            }
            Self::ResidueAboveFed { residue_kg, fed_kg } => {
                let (residue, fed) = (weight(residue_kg), weight(fed_kg));
                say!("conversion-residue-above-fed", residue, fed)
            }
            Self::GainAboveGone { gain_kg, gone_kg } => {
                let (gain, gone) = (weight(gain_kg), weight(gone_kg));
                say!("conversion-gain-above-gone", gain, gone)
            }
            Self::NothingGained { gain_kg } => {
                say!("conversion-nothing-gained", gain = weight(gain_kg))
            }
            Self::MoreLarvae { ended, dead, began } => {
                let ended = format!("{ended:.0}");
                say!("conversion-more-larvae", ended, dead, began)
            }
            Self::ProteinAboveDry { pct } => {
                let pct = format!("{pct:.0}");
                say!("conversion-protein-above-dry", pct)
            }
        }
    }
}

pub(super) fn doubts(of: &Yield, gain: Option<f64>) -> Vec<Impossible> {
    let mut doubts = Vec::new();
    let above = |more: f64, less: f64| more > less * (1.0 + HAIR) + HAIR;
    let wet_kg = of.fed_kg;
    if let Some(dry_kg) = of.fed_dry_kg.filter(|dry| above(*dry, wet_kg)) {
        doubts.push(Impossible::DryAboveWet { dry_kg, wet_kg });
    }
    if let (Some(fed_kg), Some(residue_kg)) = (of.fed_dry_kg, of.residue_dry_kg) {
        let gone_kg = fed_kg - residue_kg;
        if above(residue_kg, fed_kg) {
            doubts.push(Impossible::ResidueAboveFed { residue_kg, fed_kg });
        } else if let Some(gain_kg) = gain.filter(|gain| above(*gain, gone_kg)) {
            doubts.push(Impossible::GainAboveGone { gain_kg, gone_kg });
        }
    }
    if let Some(gain_kg) = gain.filter(|gain| *gain <= 0.0) {
        doubts.push(Impossible::NothingGained { gain_kg });
    }
    if let (Some(began), Some(ended)) = (of.began, of.ended) {
        let dead = of.deaths_seen;
        if above(ended + dead as f64, began as f64) {
            doubts.push(Impossible::MoreLarvae { ended, dead, began });
        }
    }
    let protein = of
        .larvae_nitrogen
        .map(|share| share.pct() * of.factor.value());
    if let Some(pct) = protein.filter(|pct| *pct > 100.0) {
        doubts.push(Impossible::ProteinAboveDry { pct });
    }
    doubts
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
            let kg = |kg: f64| format!("{kg:.2} kg");
            let words: Vec<String> = doubts
                .into_iter()
                .map(|one| one.said(kg).in_english())
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
        residue holds 13.00 kg of dry matter, 12.00 kg was fed. Check weight and moisture of the residue, and that every night's feed and any bedding is written down
        larvae gained 1.79 kg of dry matter, only 1.00 kg is gone from the feed. Check moisture of larvae and residue, and that every night's feed is written down
        larvae gained -0.01 kg of dry matter. Check weight, moisture and count of the larvae, and the start weight
        31204 larvae harvested and 40 seen dead, 30000 put on trays. Check the start count, and count a larger sample
        31204 larvae harvested, 30000 put on trays. Check the start count, and count a larger sample
        protein of the larvae comes to 281 % of their dry matter. Check the nitrogen, which is in % of dry matter, and the factor
        "
        );
    }
}
