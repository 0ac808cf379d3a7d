use crate::report::methane::{Climate, FormerOutlet, Gwp, MethaneAsked};

use super::ActError;
use super::error::{Rejection, all_taken, must, shown};

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
    let outlet = |seen: &str| {
        let (supplier, name) = match seen.rsplit_once('=') {
            Some((supplier, name)) => (Some(supplier.trim().to_owned()), name),
            None => (None, seen),
        };
        Some((supplier, FormerOutlet::parse(name.trim())?))
    };
    let accepted = FormerOutlet::accepted();
    let accepted = format!("OUTLET or SUPPLIER=OUTLET with one of {accepted}");
    let (mut everyone, mut by_supplier) = (FormerOutlet::Unknown, Vec::new());
    let mut rejections = Vec::new();
    for seen in &text.outlets {
        match outlet(seen) {
            Some((None, outlet)) => everyone = outlet,
            Some((Some(supplier), outlet)) => by_supplier.push((supplier, outlet)),
            None => rejections.push(Rejection::new("--outlet", seen, &accepted)),
        }
    }
    let captured = text.captured.as_deref().map(captured);
    let (climate, gwp) = (Climate::parse(&text.climate), Gwp::parse(&text.gwp));
    rejections.extend(must! {
        captured != Some(None) => "--captured", shown(&text.captured),
            "per cent of the gas, such as 40 or 20-60";
        climate.is_some() => "--climate", text.climate, Climate::accepted();
        gwp.is_some() => "--gwp", text.gwp, "ar5 or ar6";
    });
    all_taken(rejections)?;
    Ok(MethaneAsked {
        outlet: everyone,
        by_supplier,
        mandated: text.required_by_law,
        captured: captured.flatten(),
        climate: climate.unwrap_or(Climate::TemperateWet),
        gwp: gwp.unwrap_or(Gwp::Ar5),
    })
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
