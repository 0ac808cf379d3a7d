//! From a bucket's text to weights and words, with every rejection at once.

use std::collections::BTreeMap;

use crate::acts::error::{Rejection, is_text};
use crate::acts::{FarmSettings, Tables};
use crate::daybook::{Container, PickedOut};
use crate::quantity::{
    Grams, Litres, MassUnit, NumberForm, Reader, Reading, Refused, ScaleReading,
};
use crate::stream::{Class, Stream, UseRules, Verdict};
use crate::table::same_name;
use crate::words::{Said, say};

/// A bucket as entered, every figure still text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bucket {
    pub supplier: String,
    pub stream: String,
    pub gross: Option<String>,
    pub tare: Option<String>,
    /// Unit of bare numbers; the farm's own when absent.
    pub unit: Option<String>,
    /// How its numbers are written; as the farm writes them when absent.
    pub form: Option<NumberForm>,
    /// A named tare.
    pub container: Option<String>,
    pub volume: Option<String>,
    pub moisture_pct: Option<String>,
    pub picked_out: Vec<PickedText>,
    pub refuse: Option<String>,
    /// A stricter verdict by staff.
    pub verdict: Option<Verdict>,
    pub touched: Vec<Class>,
    pub bought: bool,
    pub price_per_kg: Option<String>,
    /// The same for one of the farm's unit of weight, as people are asked for it.
    pub price: Option<String>,
    pub note: Option<String>,
    pub sure: bool,
    /// The scale that sent the gross weight itself.
    pub scale: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PickedText {
    pub weight: String,
    pub kind: String,
}

/// All a bucket is judged against.
#[derive(Debug)]
pub struct Dock<'a> {
    pub farm: &'a FarmSettings,
    pub tables: &'a Tables,
    pub(in crate::acts) rules: UseRules,
    pub(in crate::acts) containers: BTreeMap<String, Container>,
    pub(in crate::acts) suppliers: Vec<String>,
}

/// A bucket whose text made sense.
pub(crate) struct Read<'a> {
    pub(crate) stream: &'a Stream,
    pub(crate) gross: Option<Reading>,
    pub(crate) tare: Option<(Grams, String)>,
    pub(crate) net: Grams,
    pub(crate) unit: MassUnit,
    pub(crate) volume: Option<Litres>,
    pub(crate) moisture_pct: Option<f64>,
    pub(crate) price_per_kg: Option<f64>,
    pub(crate) picked_out: Vec<PickedOut>,
}

/// A bucket while it is read.
pub(crate) struct BucketReading<'a, 'b> {
    pub(crate) dock: &'b Dock<'a>,
    pub(crate) bucket: &'b Bucket,
    pub(crate) rejections: Vec<Rejection>,
}

impl<'a> BucketReading<'a, '_> {
    fn reject(&mut self, field: &'static str, seen: &str, accepted: impl Into<Said>) {
        self.rejections.push(Rejection::new(field, seen, accepted));
    }

    pub(crate) fn read(&mut self) -> Option<Read<'a>> {
        let bucket = self.bucket;
        self.words();
        let stream = self.stream();
        let unit = self.unit();
        let gross = bucket.gross.as_deref();
        let scaled = gross.and_then(|text| self.scaled("gross", text, unit));
        let container = self.container();
        let tare = self.tare(scaled.as_ref(), container.as_ref(), unit);
        let gross = scaled.map(|read| read.reading);
        let volume = match &bucket.volume {
            Some(text) => self.volume(text),
            None => container.and_then(|container| Litres::new(container.volume_l?).ok()),
        };
        let moisture_pct = self.number("moisture_pct", bucket.moisture_pct.as_deref(), 0.0, 100.0);
        let price_per_kg = self.price_per_kg();
        let picked_out = self.picked_out(unit);
        let tare_g = tare.as_ref().map(|(grams, _)| *grams);
        let net = self.net(gross.as_ref(), tare_g, volume, stream);
        let out: Grams = picked_out.iter().map(|part| part.grams).sum();
        if let Some(net) = net.filter(|net| out > *net) {
            let accepted = say!("accepted-at-most-net", net = net.in_both(unit));
            self.reject("picked_out", &out.in_both(unit), accepted);
        }
        Some(Read {
            stream: stream?,
            gross,
            tare,
            net: net?,
            unit,
            volume,
            moisture_pct,
            price_per_kg,
            picked_out,
        })
    }

    pub(crate) fn words(&mut self) {
        let supplier = self.bucket.supplier.trim();
        if !is_text(supplier, 80) {
            self.reject("supplier", supplier, say!("accepted-name", most = 80));
        }
        for (field, text) in [("note", &self.bucket.note), ("refuse", &self.bucket.refuse)] {
            if let Some(text) = text.as_ref().filter(|text| !is_text(text, 500)) {
                self.reject(field, text, say!("accepted-text", most = 500));
            }
        }
    }

    pub(crate) fn stream(&mut self) -> Option<&'a Stream> {
        let seen = self.bucket.stream.trim();
        let found = self.dock.tables.streams.called(seen);
        found
            .map_err(|accepted| self.reject("stream", seen, accepted))
            .ok()
    }

    pub(crate) fn price_per_kg(&mut self) -> Option<f64> {
        if let Some(text) = &self.bucket.price {
            let price = self.number("price", Some(text), -1e6, 1e6)?;
            return Some(price / self.dock.farm.units.unit().kg());
        }
        let text = self.bucket.price_per_kg.as_deref();
        self.number("price_per_kg", text, -1e6, 1e6)
    }

    fn unit(&mut self) -> MassUnit {
        let own = self.dock.farm.units.unit();
        let Some(word) = self.bucket.unit.as_deref() else {
            return own;
        };
        MassUnit::from_word(word).unwrap_or_else(|| {
            self.reject("unit", word, say!("accepted-unit"));
            own
        })
    }

    fn container(&mut self) -> Option<Container> {
        let name = self.bucket.container.as_deref()?;
        let known = &self.dock.containers;
        let alike = || known.values().find(|one| same_name(&one.name, name));
        let found = known.get(name).or_else(alike).cloned();
        if found.is_none() {
            let known: Vec<&str> = self.dock.containers().collect();
            let accepted = match known.as_slice() {
                [] => say!("accepted-container-none"),
                known => say!("accepted-container", known = known.join(", ")),
            };
            self.reject("container", name, accepted);
        }
        found
    }

    fn reader(&self, unit: MassUnit) -> Reader {
        let farm = self.dock.farm.units.form;
        Reader {
            form: self.bucket.form.unwrap_or(farm),
            unit: Some(unit),
        }
    }

    fn scaled(&mut self, field: &'static str, text: &str, unit: MassUnit) -> Option<ScaleReading> {
        self.reader(unit)
            .scale(text)
            .map_err(|error| self.reject(field, text, error.accepted()))
            .ok()
    }

    fn weight(&mut self, field: &'static str, text: &str, unit: MassUnit) -> Option<Reading> {
        let scaled = self.scaled(field, text, unit);
        scaled.map(|read| read.reading)
    }

    /// What is to be taken off: nothing more where the scale says it shows net.
    fn tare(
        &mut self,
        gross: Option<&ScaleReading>,
        container: Option<&Container>,
        unit: MassUnit,
    ) -> Option<(Grams, String)> {
        let typed = match &self.bucket.tare {
            Some(text) => {
                let tare = self.weight("tare", text, unit)?;
                Some((tare.grams(), tare.text().to_owned()))
            }
            None => None,
        };
        if let Some(net) = gross.filter(|read| read.is_net == Some(true)) {
            if let Some((_, text)) = typed.filter(|(grams, _)| *grams > Grams::ZERO) {
                let net = net.reading.text();
                self.reject("tare", &text, say!("accepted-tare-of-net", net));
                return None;
            }
            return Some((Grams::ZERO, "taken off by the scale".to_owned()));
        }
        typed.or_else(|| container.map(|known| (known.tare_g, known.tare_text.clone())))
    }

    fn volume(&mut self, text: &str) -> Option<Litres> {
        let volume =
            (self.reader(MassUnit::Kg).litres(text).ok()).filter(|volume| volume.get() > 0.0);
        if volume.is_none() {
            self.reject("volume", text, say!("accepted-volume"));
        }
        volume
    }

    fn number(
        &mut self,
        field: &'static str,
        text: Option<&str>,
        low: f64,
        high: f64,
    ) -> Option<f64> {
        let text = text?;
        let accepted = match self.reader(MassUnit::Kg).number(text) {
            Ok(number) if (low..=high).contains(&number) => return Some(number),
            Err(error) if matches!(error.why, Refused::TwoReadings { .. }) => error.accepted(),
            _ => say!("accepted-number", low, high),
        };
        self.reject(field, text, accepted);
        None
    }

    fn picked_out(&mut self, unit: MassUnit) -> Vec<PickedOut> {
        let mut parts = Vec::new();
        for part in &self.bucket.picked_out {
            let kind = part.kind.trim().to_lowercase();
            if !is_text(&kind, 40) {
                self.reject("picked_out_kind", &part.kind, say!("accepted-kind"));
            }
            if let Some(weight) = self.weight("picked_out", &part.weight, unit) {
                parts.push(PickedOut {
                    kind,
                    grams: weight.grams(),
                    text: weight.text().to_owned(),
                });
            }
        }
        parts
    }

    fn net(
        &mut self,
        gross: Option<&Reading>,
        tare: Option<Grams>,
        volume: Option<Litres>,
        stream: Option<&Stream>,
    ) -> Option<Grams> {
        let bucket = self.bucket;
        match (gross, tare) {
            (Some(gross), Some(tare)) if tare > gross.grams() => {
                let unit = gross.unit();
                let most = gross.grams().in_both(unit);
                let accepted = say!("accepted-at-most-gross", most);
                self.reject("tare", &tare.in_both(unit), accepted);
                None
            }
            (Some(gross), Some(tare)) => Some(gross.grams() - tare),
            (Some(_), None) if bucket.tare.is_none() && bucket.container.is_none() => {
                self.reject("tare", "", say!("accepted-tare"));
                None
            }
            (None, _) if bucket.gross.is_none() => self.estimated(volume, stream),
            _ => None,
        }
    }

    fn estimated(&mut self, volume: Option<Litres>, stream: Option<&Stream>) -> Option<Grams> {
        if self.bucket.volume.is_none() {
            self.reject("gross", "", say!("accepted-gross"));
            return None;
        }
        let (volume, stream) = (volume?, stream?);
        let Some(density) = stream.bulk_density else {
            let accepted = say!("accepted-no-density", stream.id);
            self.reject("volume", &format!("{} L", volume.get()), accepted);
            return None;
        };
        Some(density.weight_of(volume))
    }
}
