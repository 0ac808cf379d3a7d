use crate::report::methane::{Climate, FormerOutlet, Gwp, MethaneAsked};

use super::ActError;
use super::error::Rejection;

/// What is asked about avoided methane, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MethaneText {
    /// Former outlets: `OUTLET` for everyone, `SUPPLIER=OUTLET` for one.
    pub outlets: Vec<String>,
    /// Share of the gas captured in per cent: `40`, or `20-60`.
    pub captured: Option<String>,
    pub climate: String,
    /// Edition of the warming potential.
    pub gwp: String,
    /// Whether the law asks for diversion.
    pub required_by_law: bool,
}

/// Reads what is asked about avoided methane.
pub fn read_methane(text: &MethaneText) -> Result<MethaneAsked, ActError> {
    let mut rejections = Vec::new();
    let mut asked = MethaneAsked {
        outlet: FormerOutlet::Unknown,
        by_supplier: Vec::new(),
        mandated: text.required_by_law,
        captured: None,
        climate: Climate::TemperateWet,
        gwp: Gwp::Ar5,
    };
    for seen in &text.outlets {
        let (supplier, name) = match seen.rsplit_once('=') {
            Some((supplier, name)) => (Some(supplier.trim()), name),
            None => (None, seen.as_str()),
        };
        match (supplier, FormerOutlet::parse(name.trim())) {
            (None, Some(outlet)) => asked.outlet = outlet,
            (Some(supplier), Some(outlet)) => {
                asked.by_supplier.push((supplier.to_owned(), outlet));
            }
            (_, None) => rejections.push(Rejection::new(
                "--outlet",
                seen,
                format!(
                    "OUTLET or SUPPLIER=OUTLET with one of {}",
                    FormerOutlet::accepted()
                ),
            )),
        }
    }
    if let Some(seen) = &text.captured {
        asked.captured = captured(seen);
        if asked.captured.is_none() {
            let accepted = "per cent of the gas, such as 40 or 20-60";
            rejections.push(Rejection::new("--captured", seen, accepted));
        }
    }
    match Climate::parse(&text.climate) {
        Some(climate) => asked.climate = climate,
        None => rejections.push(Rejection::new(
            "--climate",
            &text.climate,
            Climate::accepted(),
        )),
    }
    match Gwp::parse(&text.gwp) {
        Some(gwp) => asked.gwp = gwp,
        None => rejections.push(Rejection::new("--gwp", &text.gwp, "ar5 or ar6")),
    }
    if rejections.is_empty() {
        Ok(asked)
    } else {
        Err(rejections.into())
    }
}

fn captured(text: &str) -> Option<(f64, f64)> {
    let share = |text: &str| {
        let percent: f64 = text.trim().trim_end_matches('%').parse().ok()?;
        (0.0..=100.0).contains(&percent).then_some(percent / 100.0)
    };
    let (low, high) = match text.split_once('-') {
        Some((low, high)) => (share(low)?, share(high)?),
        None => (share(text)?, share(text)?),
    };
    (low <= high).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(outlets: &[&str], captured: Option<&str>) -> MethaneText {
        MethaneText {
            outlets: outlets.iter().map(|&outlet| outlet.to_owned()).collect(),
            captured: captured.map(ToOwned::to_owned),
            climate: "temperate-wet".to_owned(),
            gwp: "ar6".to_owned(),
            required_by_law: false,
        }
    }

    #[test]
    fn outlets_by_supplier_and_a_captured_range() {
        let asked = read_methane(&text(
            &["landfill-managed", "Quay brewery=animal-feed"],
            Some("20-60"),
        ))
        .expect("reads");
        assert_eq!(asked.outlet, FormerOutlet::LandfillManaged);
        assert_eq!(
            asked.by_supplier,
            [("Quay brewery".to_owned(), FormerOutlet::AnimalFeed)]
        );
        assert_eq!((asked.captured, asked.gwp), (Some((0.2, 0.6)), Gwp::Ar6));
    }

    #[test]
    fn every_bad_value_is_named() {
        let error = read_methane(&text(&["moon", "A=sea"], Some("60-20"))).expect_err("bad");
        let told = error.to_string();
        for seen in ["moon", "A=sea", "60-20"] {
            assert!(told.contains(seen), "{told}");
        }
    }
}
