//! Harvests, money and parts picked out as forms and JSON bring them, as the acts want them.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{ActError, HarvestAsked, LarvaeCount, PaymentAsked, Rejection, Sending};
use crate::daybook::{MoneyItem, ResidueTo};
use crate::quantity::{Money, QuantityError, Reader, Reading, ScaleReading};

use super::shape::{given, sending, ticked};

/// A harvest as a form or JSON brings it. A blank field is an absent one.
/// `id`, `by`, `sure` and the clocks are as of a bucket.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "cohort", "larvae"]))]
pub(super) struct HarvestSent {
    pub(super) id: String,
    pub(super) by: String,
    /// The cohort on its trays, by name; or its record such as r57
    pub(super) cohort: String,
    /// Fresh weight of the larvae, as typed by hand or by a scale
    pub(super) larvae: String,
    /// Their moisture, per cent of the fresh weight
    pub(super) larvae_moisture_pct: String,
    /// Their nitrogen, per cent of dry matter
    pub(super) larvae_nitrogen_dm_pct: String,
    /// How many larvae, all of them counted
    pub(super) count: String,
    /// Instead: how many larvae were in a sample
    pub(super) sample_count: String,
    /// What that sample weighed, grams
    pub(super) sample_g: String,
    pub(super) dead: String,
    /// Weight of the residue; left out while it goes back on the trays
    pub(super) residue: String,
    /// Its moisture, per cent of its weight
    pub(super) residue_moisture_pct: String,
    /// Where it goes: kept, sold, land, composted, digestion, landfilled
    pub(super) residue_to: String,
    /// `yes` when nothing is left on the trays: ends the cohort
    pub(super) last: String,
    pub(super) note: String,
    pub(super) sure: String,
    pub(super) entered_at: String,
    pub(super) sent_at: String,
}

impl HarvestSent {
    /// How it came here.
    pub(super) fn sending(&self, by: &str) -> Result<Sending, Rejection> {
        sending([&self.id, &self.by, &self.entered_at, &self.sent_at], by)
    }

    /// The harvest to record, or every field that is not understood.
    pub(super) fn asked(&self, reader: Reader) -> Result<HarvestAsked, ActError> {
        let mut fields = Fields::of(reader);
        let cohort = given(&self.cohort);
        if cohort.is_none() {
            fields.refuse("cohort", "", "the name of a cohort on its trays");
        }
        let larvae = fields.weight("larvae", &self.larvae);
        if larvae.is_none() && given(&self.larvae).is_none() {
            fields.refuse("larvae", "", "the fresh weight of the larvae, as 20.4 lb");
        }
        let wanted = HarvestAsked {
            cohort: cohort.unwrap_or_default(),
            larvae_moisture_pct: fields.number("larvae-moisture", &self.larvae_moisture_pct),
            larvae_nitrogen_dm_pct: fields.number("larvae-nitrogen", &self.larvae_nitrogen_dm_pct),
            count: self.counted(&mut fields),
            dead: fields.whole("dead", &self.dead),
            residue: fields.weight("residue", &self.residue),
            residue_moisture_pct: fields.number("residue-moisture", &self.residue_moisture_pct),
            residue_to: fields.residue_to(&self.residue_to),
            last: ticked(&self.last),
            note: given(&self.note),
            sure: ticked(&self.sure),
            larvae: fields.done(larvae)?,
        };
        Ok(wanted)
    }

    fn counted(&self, fields: &mut Fields) -> Option<LarvaeCount> {
        let all = fields.whole("count", &self.count);
        let larvae = fields.whole("sample", &self.sample_count);
        let grams = fields.number("sample", &self.sample_g);
        let half = given(&self.sample_count).is_some() != given(&self.sample_g).is_some();
        if half {
            let seen = format!("{} = {} g", self.sample_count.trim(), self.sample_g.trim());
            fields.refuse("sample", &seen, "larvae counted and their weight in grams");
        }
        match (all, larvae.zip(grams)) {
            (Some(all), Some(_)) => {
                let seen = all.to_string();
                fields.refuse("count", &seen, "a count of all or a sample, not both");
                None
            }
            (Some(all), None) => Some(LarvaeCount::All(all)),
            (None, Some((larvae, grams))) => Some(LarvaeCount::Sample { larvae, grams }),
            (None, None) => None,
        }
    }
}

/// Money as a form or JSON brings it. A blank field is an absent one.
/// `id`, `by`, `sure` and the clocks are as of a bucket.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "item"]))]
pub(super) struct PaymentSent {
    pub(super) id: String,
    pub(super) by: String,
    /// In: gate-fee, sold-live, sold-dried, sold-frass; out: feed, labour, energy, packaging, disposal, other
    pub(super) item: String,
    /// How much, not below zero; may be left out where minutes or kilowatt hours say it
    pub(super) amount: String,
    /// The task of labour, or what else it was for
    pub(super) what: String,
    /// Minutes of labour
    pub(super) minutes: String,
    /// Kilowatt hours of energy
    pub(super) kwh: String,
    /// What an hour or a kilowatt hour costs; as the last time when left out
    pub(super) rate: String,
    /// The weight it is for; needed for what was sold
    pub(super) weight: String,
    /// Who paid or was paid
    pub(super) party: String,
    /// A cohort it belongs to, by name or record; the whole farm when left out
    pub(super) cohort: String,
    pub(super) note: String,
    pub(super) sure: String,
    pub(super) entered_at: String,
    pub(super) sent_at: String,
}

impl PaymentSent {
    /// How it came here.
    pub(super) fn sending(&self, by: &str) -> Result<Sending, Rejection> {
        let sending = sending([&self.id, &self.by, &self.entered_at, &self.sent_at], by)?;
        let sure = ticked(&self.sure);
        Ok(Sending { sure, ..sending })
    }

    /// The money to write down, or every field that is not understood.
    pub(super) fn asked(&self, reader: Reader) -> Result<PaymentAsked, ActError> {
        let mut fields = Fields::of(reader);
        let item = MoneyItem::parse(self.item.trim());
        if item.is_none() {
            let words = MoneyItem::accepted();
            fields.refuse("item", &self.item, words);
        }
        let amount = fields.money("amount", &self.amount);
        let minutes = fields.whole("minutes", &self.minutes);
        let kwh = fields.number("kwh", &self.kwh);
        let rate = fields.money("rate", &self.rate);
        let weight = fields.weight("weight", &self.weight);
        Ok(PaymentAsked {
            item: fields.done(item)?,
            amount,
            what: given(&self.what),
            minutes,
            kwh,
            rate,
            weight,
            party: given(&self.party),
            cohorts: given(&self.cohort).into_iter().collect(),
            note: given(&self.note),
        })
    }
}

/// Parts picked out of a lot as a form or JSON brings them. `id`, `by` and the
/// clocks are as of a bucket.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "lot", "weight"]))]
pub(super) struct DiscardSent {
    pub(super) id: String,
    pub(super) by: String,
    pub(super) lot: String,
    pub(super) weight: String,
    /// What they are, such as bone, shell or pit; blank for the parts the stream table expects
    /// of the lot.
    pub(super) kind: String,
    pub(super) entered_at: String,
    pub(super) sent_at: String,
}

impl DiscardSent {
    /// How it came here.
    pub(super) fn sending(&self, by: &str) -> Result<Sending, Rejection> {
        sending([&self.id, &self.by, &self.entered_at, &self.sent_at], by)
    }

    /// The lot and the weight of the parts, or every field that is not understood.
    pub(super) fn asked(&self, reader: Reader) -> Result<(String, Reading), ActError> {
        let mut fields = Fields::of(reader);
        let lot = given(&self.lot);
        if lot.is_none() {
            fields.refuse("lot", "", "a lot on hand");
        }
        let weight = fields.weight("weight", &self.weight);
        if weight.is_none() && given(&self.weight).is_none() {
            fields.refuse("weight", "", "the weight of the parts, as 2.1 lb");
        }
        fields.done(lot.zip(weight))
    }
}

/// Fields while they are read, with every one that is not understood.
struct Fields {
    reader: Reader,
    refused: Vec<Rejection>,
}

impl Fields {
    fn of(reader: Reader) -> Self {
        let refused = Vec::new();
        Self { reader, refused }
    }

    fn refuse(&mut self, field: &'static str, seen: &str, accepted: impl Into<String>) {
        self.refused.push(Rejection {
            field,
            seen: seen.chars().take(80).collect(),
            accepted: accepted.into(),
        });
    }

    /// Reads a field that was filled in.
    fn read<T>(
        &mut self,
        field: &'static str,
        text: &str,
        parse: impl FnOnce(Reader, &str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        match parse(self.reader, &given(text)?) {
            Ok(value) => Some(value),
            Err(error) => {
                self.refuse(field, text.trim(), error.accepted());
                None
            }
        }
    }

    fn number(&mut self, field: &'static str, text: &str) -> Option<f64> {
        self.read(field, text, Reader::number)
    }

    fn whole(&mut self, field: &'static str, text: &str) -> Option<i64> {
        self.read(field, text, Reader::count)
    }

    fn weight(&mut self, field: &'static str, text: &str) -> Option<Reading> {
        let scaled = self.read(field, text, Reader::scale);
        scaled.map(ScaleReading::into_reading)
    }

    fn money(&mut self, field: &'static str, text: &str) -> Option<Money> {
        self.read(field, text, Reader::money)
    }

    fn residue_to(&mut self, text: &str) -> Option<ResidueTo> {
        let text = given(text)?;
        let found = ResidueTo::parse(&text);
        if found.is_none() {
            let words = ResidueTo::accepted();
            self.refuse("residue-to", &text, words);
        }
        found
    }

    /// The field without which there is nothing to ask for, where all the
    /// others were understood too.
    fn done<T>(self, needed: Option<T>) -> Result<T, ActError> {
        match needed {
            Some(needed) if self.refused.is_empty() => Ok(needed),
            _ => Err(self.refused.into()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{MassUnit, NumberForm};

    const LB: Reader = Reader {
        form: NumberForm::Point,
        unit: Some(MassUnit::Lb),
    };

    fn refused(sent: &HarvestSent) -> Vec<String> {
        match sent.asked(LB) {
            Err(ActError::Rejected(found)) => found.iter().map(ToString::to_string).collect(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_field_that_is_not_understood_is_named() {
        let sent = HarvestSent {
            count: "many".to_owned(),
            sample_count: "100".to_owned(),
            residue: "US,NT, 3.1 kg".to_owned(),
            residue_to: "moon".to_owned(),
            ..HarvestSent::default()
        };
        insta::assert_snapshot!(refused(&sent).join("\n"), @"
        `cohort`: `` is not accepted; accepted: the name of a cohort on its trays
        `larvae`: `` is not accepted; accepted: the fresh weight of the larvae, as 20.4 lb
        `count`: `many` is not accepted; accepted: a whole number such as 60000
        `sample`: `100 =  g` is not accepted; accepted: larvae counted and their weight in grams
        `residue`: `US,NT, 3.1 kg` is not accepted; accepted: a reading at rest, not one from while the scale moved: weigh again
        `residue-to`: `moon` is not accepted; accepted: kept, sold, land, composted, digestion, landfilled
        ");
    }

    #[test]
    fn a_count_and_a_sample_are_not_both_taken() {
        let sent = HarvestSent {
            cohort: "H1".to_owned(),
            larvae: "20 lb".to_owned(),
            count: "9000".to_owned(),
            sample_count: "100".to_owned(),
            sample_g: "15.2".to_owned(),
            ..HarvestSent::default()
        };
        insta::assert_snapshot!(refused(&sent).join("\n"), @"`count`: `9000` is not accepted; accepted: a count of all or a sample, not both");
        let fine = HarvestSent {
            count: String::new(),
            last: "yes".to_owned(),
            ..sent
        };
        let asked = fine.asked(LB).expect("a harvest");
        let sample = LarvaeCount::Sample {
            larvae: 100,
            grams: 15.2,
        };
        assert_eq!(asked.count, Some(sample));
        assert_eq!(asked.larvae.grams().get(), 9072);
        assert!(asked.last && !asked.sure && asked.residue.is_none());
    }

    #[test]
    fn money_needs_its_item() {
        let sent = PaymentSent {
            item: "rent".to_owned(),
            amount: "a lot".to_owned(),
            ..PaymentSent::default()
        };
        let Err(ActError::Rejected(found)) = sent.asked(LB) else {
            panic!("taken");
        };
        let words: Vec<String> = found.iter().map(ToString::to_string).collect();
        insta::assert_snapshot!(words.join("\n"), @"
        `item`: `rent` is not accepted; accepted: gate-fee, sold-live, sold-dried, sold-frass, feed, labour, energy, packaging, disposal, other
        `amount`: `a lot` is not accepted; accepted: an amount such as 96.00, with at most two decimals, up to 1000000000
        ");
    }
}
