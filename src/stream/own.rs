use serde::{Deserialize, Serialize};

use crate::quantity::ShareAsFed;

use super::{Estimate, Evidence, Labels, Stream, StreamId, Verdict};

/// A stream of the farm's own that is like one of the table but for what is
/// said here; the newest of an id holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OwnStream {
    pub stream: StreamId,
    pub name: String,
    /// The stream its other figures are taken from.
    pub template: StreamId,
    /// Moisture, per cent of the weight as fed.
    pub moisture_pct: Option<f64>,
    pub keeps_days: Option<f64>,
    /// The mildest verdict the farm gives it.
    pub verdict: Option<Verdict>,
}

impl OwnStream {
    /// Its row in the table. Figures taken from the template are called so,
    /// never published: nobody measured them on this stream. Its price is its own.
    pub(super) fn like(&self, template: &Stream) -> Stream {
        let taken = Some(Evidence::TakenOver);
        let unless = |own: Option<f64>| taken.filter(|_| own.is_none());
        let mut stream = Stream {
            id: self.stream.clone(),
            name: self.name.clone(),
            price_per_kg: None,
            source: format!("like {}", template.id.as_str()),
            like: template.like.clone().or(Some(template.id.clone())),
            at_least: self.verdict.max(template.at_least),
            labels: Labels {
                composition: taken,
                moisture: unless(self.moisture_pct),
                spread: taken,
                density: taken,
                inedible: taken,
                keeping: unless(self.keeps_days),
                stands_in: Some((template.name.clone(), self.name.clone())),
                food: Some(template.is_food()),
            },
            ..template.clone()
        };
        let pct = self.moisture_pct;
        if let Some(value) = pct.and_then(|pct| ShareAsFed::from_pct(pct).ok()) {
            let sd = template.moisture.and_then(|moisture| moisture.sd);
            stream.moisture = Some(Estimate { value, sd });
        }
        stream.keeps_days = self.keeps_days.or(template.keeps_days);
        stream
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::{Meant, SHIPPED_STREAMS, StreamTable};

    #[test]
    fn an_own_stream_is_known_by_its_name_though_names_were_looked_up_before() {
        let mut streams = StreamTable::read("s", SHIPPED_STREAMS).expect("streams");
        let name = "Ends of the rye";
        let known = |streams: &StreamTable| match streams.meant(name) {
            Meant::Name(stream) => Some(stream.id.as_str().to_owned()),
            _ => None,
        };
        assert_eq!(known(&streams), None);
        let id = |text| StreamId::parse(text).expect("an id");
        streams.put_own(&[OwnStream {
            stream: id("rye-ends"),
            name: name.to_owned(),
            template: id("bread"),
            moisture_pct: None,
            keeps_days: None,
            verdict: None,
        }]);
        assert_eq!(known(&streams).as_deref(), Some("rye-ends"));
    }
}
