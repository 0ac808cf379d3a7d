use super::{Density, Division, Grams, MassUnit, NumberForm, Reader, SmallScale, US_GALLON_L};

/// How a farm has its weights, volumes and layers said: in the system of its
/// scale alone. Both units stand only where law asks, on a month's page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units {
    /// The scale every printed draw is a multiple of.
    pub division: Division,
    /// Which mark stands before decimals.
    pub form: NumberForm,
    /// A second, finer scale for what weighs little.
    pub small: Option<SmallScale>,
}

/// Centimetres in an inch, exact (NIST Handbook 44, Appendix C).
const CM_IN_INCH: f64 = 2.54;

/// Divisions below which the scale shows a weight too roughly to dose by (our default).
const FEW_DIVISIONS: i64 = 10;

impl Units {
    /// Those of one scale, with numbers as files have them.
    pub const fn of(division: Division) -> Self {
        Self {
            division,
            form: NumberForm::Plain,
            small: None,
        }
    }

    pub fn unit(self) -> MassUnit {
        self.division.unit()
    }

    pub fn reader(self) -> Reader {
        Reader {
            form: self.form,
            unit: Some(self.unit()),
        }
    }

    /// How many of the farm's unit so many kilograms are.
    pub fn amount_kg(self, kg: f64) -> f64 {
        kg / self.unit().kg()
    }

    /// A weight as the scale shows it, with the division's decimals.
    pub fn weight(self, grams: Grams) -> String {
        let amount = self.amount_kg(grams.kg());
        let places = usize::from(self.division.step().places());
        self.said(amount, places, self.unit().as_str())
    }

    /// The same of kilograms as reckoned.
    pub fn weight_kg(self, kg: f64) -> String {
        self.weight(Grams::from_kg(kg).unwrap_or_default())
    }

    /// A weight as it was weighed: what the division can't show was weighed on
    /// the small scale.
    pub fn as_weighed(self, grams: Grams) -> String {
        match self.small {
            _ if self.shows(grams) => self.weight(grams),
            Some(small) if grams <= small.up_to => Self::of(small.division).weight(grams),
            _ => self.told(grams),
        }
    }

    /// A dose for one tray: what is few divisions is told as the small scale
    /// shows it, where there is one.
    pub fn dose(self, grams: Grams) -> String {
        match self.small {
            _ if grams >= self.division.grams(FEW_DIVISIONS) => self.weight(grams),
            Some(small) if grams <= small.up_to => Self::of(small.division).weight(grams),
            _ => self.told(grams),
        }
    }

    /// A weight that no scale need show: a sum, a share of a load.
    pub fn told(self, grams: Grams) -> String {
        match self.shows(grams) {
            true => self.told_with(grams.kg(), 0),
            false => self.told_kg(grams.kg()),
        }
    }

    /// Dry matter, to a hundredth: what is wanted and what is given differ by little.
    pub fn dry(self, kg: f64) -> String {
        self.told_with(kg, little(self.amount_kg(kg)).max(2))
    }

    /// The same of kilograms as reckoned: at least two figures that tell
    /// something, so that what is little never reads as nothing.
    pub fn told_kg(self, kg: f64) -> String {
        self.told_with(kg, little(self.amount_kg(kg)))
    }

    /// With the unit's usual decimals, the division's or so many, the most of these.
    fn told_with(self, kg: f64, places: usize) -> String {
        let unit = self.unit();
        let usual = unit.usual_places().max(self.division.step().places());
        self.said(
            self.amount_kg(kg),
            places.max(usize::from(usual)),
            unit.as_str(),
        )
    }

    /// Whether a weight is a whole number of divisions.
    fn shows(self, grams: Grams) -> bool {
        let steps = self.division.steps_nearest(grams.kg());
        self.division.grams(steps) == grams
    }

    /// Both units: the farm's own, then kilograms or pounds.
    pub fn both(self, grams: Grams) -> String {
        grams.in_both(self.unit())
    }

    /// A volume: litres, or US gallons.
    pub fn volume(self, litres: f64) -> String {
        let (unit, in_one) = self.volume_unit();
        let amount = litres / in_one;
        self.said(amount, usize::from(amount < 99.5), unit)
    }

    /// What volumes are told in, and its litres.
    pub fn volume_unit(self) -> (&'static str, f64) {
        match self.is_in_pounds() {
            true => ("gal", US_GALLON_L),
            false => ("L", 1.0),
        }
    }

    /// How deep a layer is: centimetres, or inches.
    pub fn depth(self, cm: f64) -> String {
        match self.is_in_pounds() {
            true => self.said(cm / CM_IN_INCH, 1, "in"),
            false => self.said(cm, 1, "cm"),
        }
    }

    /// How dense: kilograms a litre, or pounds a US gallon.
    pub fn density(self, density: Density) -> String {
        self.kg_per_l(1.0 / density.litres_per_kg())
    }

    /// The same of kilograms a litre as reckoned.
    pub fn kg_per_l(self, kg_per_l: f64) -> String {
        match self.is_in_pounds() {
            true => self.said(kg_per_l / MassUnit::Lb.kg() * US_GALLON_L, 1, "lb/gal"),
            false => self.said(kg_per_l, 2, "kg/L"),
        }
    }

    fn is_in_pounds(self) -> bool {
        matches!(self.unit(), MassUnit::Lb | MassUnit::Oz)
    }

    fn said(self, amount: f64, places: usize, unit: &str) -> String {
        let number = format!("{amount:.places$}");
        let is_zero = number.chars().all(|digit| "-0.".contains(digit));
        let number = number.trim_start_matches(if is_zero { "-" } else { "" });
        self.form.printed(&format!("{number} {unit}"))
    }
}

/// Decimals that leave what is below one two figures that tell something.
fn little(amount: f64) -> usize {
    match amount.abs() {
        one if one < 1e-4 => 0,
        one if one < 0.001 => 5,
        one if one < 0.01 => 4,
        one if one < 0.1 => 3,
        one if one < 1.0 => 2,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Decimal;

    fn units(step: &str, unit: MassUnit) -> Units {
        let step = Decimal::parse(step).expect("number");
        Units::of(Division::new(step, unit).expect("division"))
    }

    #[test]
    fn weights_keep_the_division_s_decimals() {
        let fine = units("0.05", MassUnit::Lb);
        assert_eq!(fine.weight(Grams::new(13_925)), "30.70 lb");
        assert_eq!(fine.weight(Grams::new(-2)), "0.00 lb");
    }

    /// Seen: "0.00 kg of dry matter more than the 0.08 kg wanted".
    #[test]
    fn what_is_told_never_reads_as_nothing() {
        let (kg, lb) = (units("0.1", MassUnit::Kg), units("0.1", MassUnit::Lb));
        let told = [0.0024, 0.08, 0.19, 1.256, 0.0, -0.3].map(|of| kg.told_kg(of));
        let expected = [
            "0.0024 kg",
            "0.080 kg",
            "0.19 kg",
            "1.26 kg",
            "0.00 kg",
            "-0.30 kg",
        ];
        assert_eq!(told, expected);
        assert_eq!(lb.told(Grams::new(181)), "0.4 lb");
        assert_eq!(
            (lb.told_kg(2.88), lb.dry(2.88)),
            ("6.3 lb".into(), "6.35 lb".into())
        );
        assert_eq!(lb.told_kg(0.0024), "0.0053 lb");
    }

    #[test]
    fn a_small_dose_is_what_the_small_scale_shows() {
        let (plain, dose) = (units("0.1", MassUnit::Lb), Grams::new(393));
        assert_eq!(plain.dose(dose), "0.87 lb");
        let gram = units("1", MassUnit::G).division;
        let up_to = Grams::new(5_000);
        let small = Some(SmallScale {
            division: gram,
            up_to,
        });
        let both = Units { small, ..plain };
        assert_eq!(both.dose(dose), "393 g");
        assert_eq!(both.dose(Grams::new(636)), "1.4 lb");
        assert_eq!(both.as_weighed(Grams::new(635)), "1.4 lb");
        assert_eq!(both.as_weighed(Grams::new(393)), "393 g");
        assert_eq!(plain.as_weighed(Grams::new(393)), "0.87 lb");
    }

    /// NIST Handbook 44, Appendix C: 1 in = 2.54 cm, 1 US gal = 231 in³, exact.
    #[test]
    fn layers_and_volumes_are_in_the_farm_s_system() {
        let (kg, lb) = (units("0.1", MassUnit::Kg), units("0.1", MassUnit::Lb));
        assert_eq!(lb.depth(5.08), "2.0 in");
        assert_eq!(kg.depth(5.08), "5.1 cm");
        assert_eq!(lb.volume(18.927), "5.0 gal");
        assert_eq!(
            (kg.volume(18.927), kg.volume(170.2)),
            ("18.9 L".into(), "170 L".into())
        );
        let density = Density::new(450.0).expect("density");
        assert_eq!(lb.density(density), "3.8 lb/gal");
        assert_eq!(kg.density(density), "0.45 kg/L");
    }
}
