/// What a zone's farms mostly weigh, pay and go by: proposed to a newcomer,
/// never taken without a word (our default; `data/zone-customs.txt`).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Custom {
    pub currency: Option<&'static str>,
    pub region: &'static str,
    pub unit: &'static str,
}

/// The custom of a zone; where nothing is known of it, kilograms alone.
pub fn custom_of(zone: &str) -> Custom {
    let customs = include_str!("../../../data/zone-customs.txt").lines();
    let known = customs.filter_map(|line| {
        let (custom, zones) = line.split_once(": ")?;
        zones.split(' ').find(|known| *known == zone)?;
        let mut words = custom.split(' ');
        Some(Custom {
            currency: words.next(),
            region: words.next()?,
            unit: words.next()?,
        })
    });
    known.into_iter().next().unwrap_or(Custom {
        currency: None,
        region: "other",
        unit: "kg",
    })
}

#[cfg(test)]
mod tests {
    use jiff::tz::TimeZone;

    use super::*;
    use crate::quantity::MassUnit;
    use crate::stream::Region;

    #[test]
    fn what_is_proposed_would_be_taken() {
        let text = include_str!("../../../data/zone-customs.txt");
        let lines = || text.lines().filter(|line| !line.starts_with('#'));
        let zones = lines().flat_map(|line| line.split_once(": ").expect("zones").1.split(' '));
        let mut seen = std::collections::BTreeSet::new();
        for zone in zones {
            assert!(TimeZone::get(zone).is_ok() && seen.insert(zone), "{zone}");
            let custom = custom_of(zone);
            assert_eq!(custom.currency.map(str::len), Some(3), "{zone}");
            assert!(Region::parse(custom.region).is_some(), "{zone}");
            assert!(MassUnit::from_word(custom.unit).is_some(), "{zone}");
        }
        assert!(seen.len() > 60);
        assert_eq!(custom_of("Europe/Madrid").currency, Some("EUR"));
        assert_eq!(custom_of("America/Denver").unit, "lb");
        assert_eq!(custom_of("Etc/UTC").currency, None);
    }
}
