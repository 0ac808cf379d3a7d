use super::{Decimal, Grams, MassUnit, NumberForm, QuantityError};
use crate::words::say;

/// Reads what is typed, whatever it means: the form of the numbers, and the
/// unit of a weight that names none. How a weight, a scale's line, an amount of
/// money or a volume is read stands beside each of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reader {
    pub form: NumberForm,
    /// Unit of a weight without one; `None` refuses it.
    pub unit: Option<MassUnit>,
}

impl Reader {
    /// What programs and shipped files write.
    pub const PLAIN: Self = Self {
        form: NumberForm::Plain,
        unit: None,
    };

    /// A number, for a share, a rate, a measure.
    pub fn number(self, text: &str) -> Result<f64, QuantityError> {
        let number = self.form.number(text);
        number
            .map(Decimal::to_f64)
            .map_err(|error| error.of(say!("accepted-any-number")))
    }

    pub fn count(self, text: &str) -> Result<i64, QuantityError> {
        self.form.count(text)
    }

    /// Grams as a kitchen scale shows them: `15.2`, `15.2 g`.
    pub fn grams(self, text: &str) -> Result<f64, QuantityError> {
        let number = text.trim().trim_end_matches('g');
        self.number(number)
    }

    /// A weight printed with a point, as hands here type it.
    pub fn printed(self, grams: Grams, unit: MassUnit) -> String {
        self.form.printed(&grams.in_unit(unit))
    }
}
