use super::{Decimal, Grams, MassUnit, QuantityError, Refused, split_before};
use crate::words::say;

/// The smallest step a scale shows, such as 0.1 lb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Division {
    step: Decimal,
    unit: MassUnit,
}

impl Division {
    /// A step of at least one gram and at most 10 kg.
    pub fn new(step: Decimal, unit: MassUnit) -> Result<Self, QuantityError> {
        let (grams, per) = unit.grams_ratio();
        let (above, below) = (step.numerator() * grams, step.denominator() * per);
        if above < below || above > 10_000 * below {
            let why = Refused::OutOfRange(say!("accepted-step"));
            return Err(why.of(&format!("{step} {unit}")));
        }
        Ok(Self { step, unit })
    }

    pub fn unit(self) -> MassUnit {
        self.unit
    }

    pub fn step(self) -> Decimal {
        self.step
    }

    /// A step as typed, with its unit or in `unit`: `0.1`, `0.1kg`, `1 g`.
    pub fn parse(text: &str, unit: MassUnit) -> Option<Self> {
        let text = text.trim();
        let (step, word) = split_before(text, char::is_alphabetic);
        let unit = if word.is_empty() {
            unit
        } else {
            MassUnit::from_word(word)?
        };
        Self::new(Decimal::parse(step.trim()).ok()?, unit).ok()
    }

    /// Finer steps that scales are made with, coarsest first: of this unit down
    /// to a tenth, and grams.
    pub fn finer(self) -> Vec<Self> {
        let own = ["5", "2", "1", "0.5", "0.2", "0.1"].map(|step| (step, self.unit));
        let grams = ["20", "10", "5", "2", "1"].map(|step| (step, MassUnit::G));
        let all = own.into_iter().chain(grams);
        let mut finer: Vec<Self> = all
            .filter_map(|(step, unit)| Self::new(Decimal::parse(step).ok()?, unit).ok())
            .filter(|finer| finer.kg() < self.kg() * 0.999)
            .collect();
        finer.sort_by(|a, b| b.kg().total_cmp(&a.kg()));
        finer
    }

    pub fn kg(self) -> f64 {
        let (grams, per) = self.unit.grams_ratio();
        self.step.to_f64() * (grams as f64 / per as f64) / 1000.0
    }

    /// Whole grams in `steps` steps: the exact product, rounded once.
    pub fn grams(self, steps: i64) -> Grams {
        self.unit.whole_grams(
            i128::from(steps) * self.step.numerator(),
            self.step.denominator(),
        )
    }

    /// Steps nearest to a number of kilograms, ties away from zero.
    pub fn steps_nearest(self, kg: f64) -> i64 {
        #![expect(clippy::cast_possible_truncation, reason = "it saturates")]
        (kg / self.kg()).round() as i64
    }

    /// The most steps whose grams do not exceed `weight`.
    pub fn steps_within(self, weight: Grams) -> i64 {
        let mut steps = self.steps_nearest(weight.kg());
        while self.grams(steps) > weight {
            steps -= 1;
        }
        steps
    }
}

impl std::fmt::Display for Division {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.step, self.unit)
    }
}

/// A second, finer scale, for what weighs little.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SmallScale {
    pub division: Division,
    pub up_to: Grams,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn division(step: &str, unit: MassUnit) -> Division {
        Division::new(Decimal::parse(step).expect("number"), unit).expect("division")
    }

    #[test]
    fn steps_are_exact_products_rounded_once() {
        let tenth_pound = division("0.1", MassUnit::Lb);
        assert_eq!(tenth_pound.grams(1).get(), 45);
        assert_eq!(tenth_pound.grams(307).get(), 13_925);
        assert_eq!(tenth_pound.steps_nearest(13.926), 307);
        assert_eq!(tenth_pound.steps_within(Grams::new(13_924)), 306);
        let tenth_kilo = division("0.1", MassUnit::Kg);
        assert_eq!(tenth_kilo.steps_within(Grams::new(12_370)), 123);
        assert_eq!(tenth_kilo.steps_nearest(0.25), 3);
    }

    #[test]
    fn a_division_is_read_with_its_unit_or_without() {
        let read = |text: &str| Division::parse(text, MassUnit::Kg).map(|it| it.to_string());
        for (text, meant) in [("0.1", "0.1 kg"), ("0.1kg", "0.1 kg"), (" 50 g ", "50 g")] {
            assert_eq!(read(text).as_deref(), Some(meant));
        }
        for text in ["0.1 stone", "kg", "20kg", "0.0001", "0", "-0.1"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
