use crate::acts::{all_taken, must, shown};
use crate::cli::*;
use crate::report::methane::{Climate, FormerOutlet, Gwp, MethaneAsked};

/// Flags about avoided methane.
#[derive(clap::Args)]
pub(crate) struct MethaneArgs {
    /// Add the landfill methane avoided, as a range; needs --outlet
    #[arg(long)]
    methane: bool,
    /// Where it would have gone: OUTLET, or SUPPLIER=OUTLET; may be repeated
    #[arg(long, requires = "methane", value_name = "OUTLET")]
    outlet: Vec<String>,
    /// Share of the gas captured there in per cent: 40, or 20-60
    #[arg(long, requires = "methane", value_name = "PERCENT")]
    captured: Option<String>,
    /// Climate there: temperate-wet, temperate-dry, tropical-wet, tropical-dry
    #[arg(long, requires = "methane", default_value = "temperate-wet")]
    climate: String,
    /// Edition of methane's warming potential: ar5 (28) or ar6 (27.0)
    #[arg(long, requires = "methane", default_value = "ar5")]
    gwp: String,
    /// The law asks for diversion here, so nothing may be claimed
    #[arg(long, requires = "methane")]
    required_by_law: bool,
}

impl MethaneArgs {
    /// What is asked, if anything is; every value that is not taken is told at once.
    pub(crate) fn asked(&self) -> Result<Option<MethaneAsked>, CliError> {
        if !self.methane {
            return Ok(None);
        }
        let outlet = |seen: &str| {
            let (supplier, name) = match seen.rsplit_once('=') {
                Some((supplier, name)) => (Some(supplier.trim().to_owned()), name),
                None => (None, seen),
            };
            Some((supplier, FormerOutlet::parse(name.trim())?))
        };
        let accepted = FormerOutlet::accepted();
        let accepted = say!("accepted-outlet", accepted);
        let (mut everyone, mut by_supplier) = (FormerOutlet::Unknown, Vec::new());
        let mut rejections = Vec::new();
        for seen in &self.outlet {
            match outlet(seen) {
                Some((None, outlet)) => everyone = outlet,
                Some((Some(supplier), outlet)) => by_supplier.push((supplier, outlet)),
                None => rejections.push(Rejection::new("--outlet", seen, &accepted)),
            }
        }
        let captured = self.captured.as_deref().map(captured);
        let (climate, gwp) = (Climate::parse(&self.climate), Gwp::parse(&self.gwp));
        rejections.extend(must! {
            captured != Some(None) => "--captured", shown(&self.captured),
                say!("accepted-captured");
            climate.is_some() => "--climate", self.climate, Climate::accepted();
            gwp.is_some() => "--gwp", self.gwp, "ar5, ar6";
        });
        all_taken(rejections)?;
        Ok(Some(MethaneAsked {
            outlet: everyone,
            by_supplier,
            mandated: self.required_by_law,
            captured: captured.flatten(),
            climate: climate.unwrap_or(Climate::TemperateWet),
            gwp: gwp.unwrap_or(Gwp::Ar5),
        }))
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

    fn args(outlets: &[&str], captured: Option<&str>) -> MethaneArgs {
        MethaneArgs {
            methane: true,
            outlet: outlets.iter().map(|&outlet| outlet.to_owned()).collect(),
            captured: captured.map(ToOwned::to_owned),
            climate: "temperate-wet".to_owned(),
            gwp: "ar6".to_owned(),
            required_by_law: false,
        }
    }

    #[test]
    fn outlets_by_supplier_and_a_captured_range() {
        let outlets = ["landfill-managed", "Quay brewery=animal-feed"];
        let asked = args(&outlets, Some("20-60")).asked().expect("reads");
        let asked = asked.expect("is asked");
        assert_eq!(asked.outlet, FormerOutlet::LandfillManaged);
        assert_eq!(
            asked.by_supplier,
            [("Quay brewery".to_owned(), FormerOutlet::AnimalFeed)]
        );
        assert_eq!((asked.captured, asked.gwp), (Some((0.2, 0.6)), Gwp::Ar6));
    }

    #[test]
    fn every_bad_value_is_named() {
        let error = args(&["moon", "A=sea"], Some("60-20")).asked();
        let told = format!("{:?}", error.expect_err("bad"));
        for seen in ["moon", "A=sea", "60-20"] {
            assert!(told.contains(seen), "{told}");
        }
    }
}
