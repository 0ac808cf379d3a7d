use super::FormerOutlet;

/// One set of parameters of the decay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameters {
    /// Degradable organic carbon, share of the weight it is used with: wet or dry.
    pub doc: f64,
    /// Share of it that decays.
    pub doc_f: f64,
    /// Methane correction factor of the landfill.
    pub mcf: f64,
    /// Methane's share of the gas, by volume.
    pub methane_share: f64,
    pub oxidised: f64,
    /// Share captured, as a share of what is generated.
    pub captured: f64,
}

/// Methane emitted over all years by a weight of landfilled food waste, wet or dry as
/// its carbon is told \[kg\].
///
/// DDOCm = W·DOC·DOCf·MCF (eq. 3.2); generated = DDOCm·F·16/12 (eq. 3.6, all
/// of it decomposed); emitted = (generated − R)·(1 − OX) (eq. 3.1). Source: IPCC
/// 2006 Guidelines, vol. 5, ch. 3. Departure: eq. 3.1 has R as an amount, here
/// it is a share of what is generated.
pub fn lifetime_methane_kg(kg: f64, with: &Parameters) -> f64 {
    let decomposable = kg * with.doc * with.doc_f * with.mcf;
    let generated = decomposable * with.methane_share * 16.0 / 12.0;
    generated * (1.0 - with.captured) * (1.0 - with.oxidised)
}

/// Share decomposed after so many years of decay at `k` per year: 1 − e^(−k·t).
///
/// Source: IPCC 2006 Guidelines, vol. 5, eq. 3.4 and 3.5, repeated. Decay is
/// taken to begin the year after the load was landfilled.
pub fn decomposed_after(years: u32, k: f64) -> f64 {
    -(-k * f64::from(years)).exp_m1()
}

/// Why there is no figure, or the range there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Avoided {
    /// Emitted over all years, low and high \[kg CH4\], had it been landfilled.
    Range {
        low_kg: f64,
        high_kg: f64,
    },
    Nothing,
    Unknown,
    /// The law asks for diversion: the farm may claim nothing.
    Mandated,
    /// No diverted weight in the month.
    NoWeight,
    /// All of it is left out: woody or mineral, or its dry matter is not known.
    LeftOut,
}

/// What is asked about the landfill a load was kept from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Baseline {
    pub outlet: FormerOutlet,
    pub mandated: bool,
    pub captured: (f64, f64),
}

/// Captured share when nobody knows it: the span of the cases the method was
/// checked with (our default).
pub const CAPTURED_DEFAULT: (f64, f64) = (0.0, 0.5);

/// Degradable carbon of the dry matter of food waste, low and high (IPCC 2006
/// Guidelines, vol. 5, table 2.4; the default there is 0.38). One range of wet
/// weight for everything would overclaim on wet greens and underclaim on bread.
pub const CARBON_OF_DRY: (f64, f64) = (0.20, 0.50);

/// Low and high parameters for the dry matter of food waste in that landfill.
///
/// DOC as [`CARBON_OF_DRY`]; DOCf 0.49 to
/// 0.91 for food (2019 Refinement, table 3.0); F 0.5; OX 0 to 0.1 for a covered managed
/// landfill. Values as seen in an open implementation of the Guidelines. All
/// low ends and all high ends are taken together, so the range is wide (our
/// default).
pub fn ends(mcf: f64, managed: bool, captured: (f64, f64)) -> [Parameters; 2] {
    let at = |doc, doc_f, oxidised, captured| Parameters {
        doc,
        doc_f,
        mcf,
        methane_share: 0.5,
        oxidised,
        captured,
    };
    let covered = if managed { 0.1 } else { 0.0 };
    let (low, high) = CARBON_OF_DRY;
    [
        at(low, 0.49, covered, captured.1),
        at(high, 0.91, 0.0, captured.0),
    ]
}

/// The range of lifetime methane avoided by diverted dry matter, or why there is
/// none. It must be net of what was landfilled later, water, bought stock and
/// wood. From an open dump no gas is captured.
pub fn avoided(dry_kg: f64, baseline: &Baseline) -> Avoided {
    if baseline.mandated {
        return Avoided::Mandated;
    }
    if baseline.outlet == FormerOutlet::Unknown {
        return Avoided::Unknown;
    }
    let Some(mcf) = baseline.outlet.correction() else {
        return Avoided::Nothing;
    };
    if dry_kg <= 0.0 {
        return Avoided::NoWeight;
    }
    let dump = baseline.outlet.is_dump();
    let managed = !dump && baseline.outlet != FormerOutlet::LandfillUnsorted;
    let captured = if dump { (0.0, 0.0) } else { baseline.captured };
    let [low, high] = ends(mcf, managed, captured);
    Avoided::Range {
        low_kg: lifetime_methane_kg(dry_kg, &low),
        high_kg: lifetime_methane_kg(dry_kg, &high),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Climate, Gwp};
    use super::*;

    /// Worked from the equations of IPCC 2006, vol. 5, ch. 3, with the values
    /// of the Guidelines and the 2019 Refinement: 1000 kg of food waste, DOC
    /// 0.15, MCF 1, F 0.5, over all years; kg CH4, then × 28 and × 27.0.
    #[test]
    fn ipcc_first_order_decay_worked_cases() {
        for (doc_f, oxidised, captured, methane, ar5, ar6) in [
            (0.5, 0.0, 0.0, "50.0", "1400", "1350.0"),
            (0.5, 0.1, 0.0, "45.0", "1260", "1215.0"),
            (0.5, 0.1, 0.5, "22.5", "630", "607.5"),
            (0.7, 0.0, 0.0, "70.0", "1960", "1890.0"),
            (0.7, 0.1, 0.0, "63.0", "1764", "1701.0"),
            (0.7, 0.1, 0.5, "31.5", "882", "850.5"),
        ] {
            let with = Parameters {
                doc: 0.15,
                doc_f,
                mcf: 1.0,
                methane_share: 0.5,
                oxidised,
                captured,
            };
            let kg = lifetime_methane_kg(1000.0, &with);
            assert_eq!(format!("{kg:.1}"), methane);
            assert_eq!(format!("{:.0}", kg * Gwp::Ar5.factor()), ar5);
            assert_eq!(format!("{:.1}", kg * Gwp::Ar6.factor()), ar6);
        }
    }

    /// IPCC 2006, vol. 5, table 3.3 constants in eq. 3.4 and 3.5.
    #[test]
    fn share_decomposed_after_1_5_10_and_20_years() {
        let told = |climate: Climate| {
            [1, 5, 10, 20]
                .map(|years| format!("{:.1}", 100.0 * decomposed_after(years, climate.decay())))
        };
        assert_eq!(
            told(Climate::TemperateWet),
            ["16.9", "60.3", "84.3", "97.5"]
        );
        assert_eq!(told(Climate::TemperateDry), ["5.8", "25.9", "45.1", "69.9"]);
        assert_eq!(
            told(Climate::TropicalWet),
            ["33.0", "86.5", "98.2", "100.0"]
        );
    }

    /// The recursion of eq. 3.4 and 3.5, year by year, gives the closed form.
    #[test]
    fn year_by_year_the_same_share_decomposes() {
        let k = Climate::TemperateWet.decay();
        let (mut accumulated, mut decomposed) = (1.0_f64, 0.0_f64);
        for years in 1..=30 {
            decomposed += accumulated * (1.0 - (-k).exp());
            accumulated *= (-k).exp();
            assert!((decomposed - decomposed_after(years, k)).abs() < 1e-12);
        }
    }

    #[test]
    fn no_figure_without_a_landfill_or_where_the_law_asks() {
        let baseline = |outlet, mandated| Baseline {
            outlet,
            mandated,
            captured: CAPTURED_DEFAULT,
        };
        let told = |outlet| avoided(1000.0, &baseline(outlet, false));
        assert_eq!(told(FormerOutlet::AnimalFeed), Avoided::Nothing);
        assert_eq!(told(FormerOutlet::Compost), Avoided::Nothing);
        assert_eq!(told(FormerOutlet::Unknown), Avoided::Unknown);
        let managed = FormerOutlet::LandfillManaged;
        assert_eq!(avoided(1000.0, &baseline(managed, true)), Avoided::Mandated);
        assert_eq!(avoided(-5.0, &baseline(managed, false)), Avoided::NoWeight);
        let Avoided::Range { low_kg, high_kg } = told(managed) else {
            panic!("no range")
        };
        // 1000·0.20·0.49·0.5·16/12·0.9·0.5 and 1000·0.50·0.91·0.5·16/12.
        assert!((low_kg - 29.4).abs() < 1e-9 && (high_kg - 910.0 / 3.0).abs() < 1e-9);
        // An open dump: MCF 0.8, nothing oxidised, nothing captured whatever is said.
        let wells = Baseline {
            captured: (0.4, 0.6),
            ..baseline(FormerOutlet::DumpDeep, false)
        };
        let Avoided::Range { low_kg, .. } = avoided(1000.0, &wells) else {
            panic!("no range")
        };
        // 1000·0.20·0.49·0.8·0.5·16/12.
        assert!((low_kg - 784.0 / 15.0).abs() < 1e-9);
        for outlet in FormerOutlet::ALL {
            assert_eq!(FormerOutlet::parse(outlet.as_str()), Some(outlet));
        }
    }
}
