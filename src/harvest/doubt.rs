use super::Yield;
use crate::words::{Said, say};

/// A hair's breadth: what floating point alone may leave \[share\].
const HAIR: f64 = 1e-9;

/// Results that can't be, each with its figures and what to check. They are
/// told, never corrected.
pub(super) fn doubts(of: &Yield, gain: Option<f64>) -> Vec<Said> {
    let mut doubts = Vec::new();
    let above = |more: f64, less: f64| more > less * (1.0 + HAIR) + HAIR;
    let two = |kg: f64| format!("{kg:.2}");
    // More dry matter fed than weight as fed.
    if let Some(dry) = of.fed_dry_kg.filter(|dry| above(*dry, of.fed_kg)) {
        let (dry, wet) = (two(dry), two(of.fed_kg));
        doubts.push(say!("conversion-dry-above-wet", dry, wet));
    }
    if let (Some(fed), Some(residue)) = (of.fed_dry_kg, of.residue_dry_kg) {
        let gone = fed - residue;
        if above(residue, fed) {
            let (residue, fed) = (two(residue), two(fed));
            doubts.push(say!("conversion-residue-above-fed", residue, fed));
        } else if let Some(gain) = gain.filter(|gain| above(*gain, gone)) {
            let (gain, gone) = (two(gain), two(gone));
            doubts.push(say!("conversion-gain-above-gone", gain, gone));
        }
    }
    if let Some(gain) = gain.filter(|gain| *gain <= 0.0) {
        let gain = format!("{gain:.3}");
        doubts.push(say!("conversion-nothing-gained", gain));
    }
    if let (Some(began), Some(ended)) = (of.began, of.ended) {
        let (most, dead) = (began as f64, of.deaths_seen as f64);
        if above(ended + dead, most) {
            let (ended, dead) = (format!("{ended:.0}"), of.deaths_seen);
            doubts.push(say!("conversion-more-larvae", ended, dead, began));
        }
    }
    // More protein in larvae than dry matter.
    let protein = of
        .larvae_nitrogen
        .map(|share| share.pct() * of.factor.value());
    if let Some(pct) = protein.filter(|pct| *pct > 100.0) {
        let pct = format!("{pct:.0}");
        doubts.push(say!("conversion-protein-above-dry", pct));
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
            let words: Vec<String> = doubts.into_iter().map(|one| one.in_english()).collect();
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
