use super::small_scale;
use crate::acts::error::Rejection;
use crate::daybook::{Chosen, WaterUse};
use crate::larvae::StageTable;
use crate::quantity::{DecimalMark, Grams, MassUnit, NumberForm, Reader};
use crate::words::{Language, say};

/// Choices as a table: where it goes, its flag, what was typed, how that is read, what is accepted.
macro_rules! choose {
    ($rejections:ident; $($value:expr, $flag:literal = $given:expr => $read:expr, $accepted:expr;)+) => {$(
        match $given.as_deref().map(str::trim) {
            None => {}
            Some("default") => $value = None,
            Some(text) => match $read(text) {
                read @ Some(_) => $value = read,
                None => {
                    let accepted = say!("accepted-or-default", accepted = $accepted);
                    $rejections.push(Rejection::new($flag, text, accepted));
                }
            },
        }
    )+};
}

/// What a farm chooses where there is a default, as typed; `default` goes back to it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ChosenText {
    pub decimal_mark: Option<String>,
    pub sure: Option<String>,
    pub smallest: Option<String>,
    pub most_lots: Option<String>,
    pub water: Option<String>,
    /// Division and the most it carries, as 1g:5kg.
    pub small_scale: Option<String>,
    pub first_stage: Option<String>,
    pub language: Option<String>,
}

impl ChosenText {
    /// These choices put over those that held before; `unit` is the farm's.
    pub fn put_over(
        &self,
        old: &Chosen,
        unit: MassUnit,
        stages: &StageTable,
    ) -> Result<Chosen, Vec<Rejection>> {
        let mut chosen = old.clone();
        let mut rejections = Vec::new();
        choose! { rejections;
            chosen.decimal_mark, "--decimal-mark" = self.decimal_mark =>
                DecimalMark::parse, DecimalMark::accepted();
        }
        let form = chosen.decimal_mark.into();
        let reader = Reader {
            form,
            unit: Some(unit),
        };
        let count = |text: &str| text.parse().ok().filter(|count| (1..=100).contains(count));
        let mut small = old.small_division.clone().zip(old.small_up_to_g);
        let scale = |text: &str| {
            let (division, most) = text.split_once(':')?;
            let reader = Reader { form, unit: None };
            let scale = small_scale(reader, division, reader.weight(most).ok()?.grams())?;
            Some((scale.division.to_string(), scale.up_to))
        };
        let names: Vec<&str> = (stages.stages.iter())
            .map(|stage| stage.name.as_str())
            .collect();
        choose! { rejections;
            chosen.sure_pct, "--sure" = self.sure =>
                hundredths, say!("accepted-chance-hundredths");
            chosen.smallest_draw_g, "--smallest" = self.smallest =>
                |text: &str| weight(reader, text), say!("accepted-weight-from-1g");
            chosen.most_lots, "--most-lots" = self.most_lots => count, say!("accepted-count", least = 1, most = 100);
            chosen.water, "--water" = self.water => WaterUse::parse, WaterUse::accepted();
            small, "--small-scale" = self.small_scale => scale,
                say!("accepted-small-scale");
            chosen.first_stage, "--first-stage" = self.first_stage =>
                |text: &str| names.contains(&text).then(|| text.to_owned()), names.join(", ");
            chosen.language, "--language" = self.language => Language::parse, "en, es";
        }
        (chosen.small_division, chosen.small_up_to_g) = small.unzip();
        if rejections.is_empty() {
            Ok(chosen)
        } else {
            Err(rejections)
        }
    }
}

/// A chance in whole hundredths, 0.5 to 0.99.
fn hundredths(text: &str) -> Option<i64> {
    // With either mark: a share has one reading.
    let chance = NumberForm::Unsaid.number(text).ok()?;
    let (above, below) = (chance.numerator() * 100, chance.denominator());
    let whole = i64::try_from(above / below).ok()?;
    (above % below == 0 && (50..=99).contains(&whole)).then_some(whole)
}

fn weight(reader: Reader, text: &str) -> Option<Grams> {
    let grams = reader.weight(text).ok()?.grams();
    (1..=1_000_000).contains(&grams.get()).then_some(grams)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::larvae::SHIPPED_STAGES;

    fn asked(change: impl Fn(&mut ChosenText)) -> Result<Chosen, String> {
        let mut asked = ChosenText::default();
        change(&mut asked);
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let told = asked.put_over(&Chosen::default(), MassUnit::Lb, &stages);
        told.map_err(|all| crate::acts::ActError::from(all).to_string())
    }

    #[test]
    fn choices_are_read_as_typed_and_checked() {
        let chosen = asked(|it| {
            it.sure = Some("0.85".into());
            it.smallest = Some("1".into());
            it.small_scale = Some("1 g: 5kg".into());
        });
        let chosen = chosen.expect("accepted");
        assert_eq!(
            (chosen.sure_pct, chosen.smallest_draw_g),
            (Some(85), Some(Grams::new(454)))
        );
        assert_eq!(chosen.small_division.as_deref(), Some("1 g"));
        assert_eq!(chosen.small_up_to_g, Some(Grams::new(5_000)));
        let told = asked(|it| {
            it.decimal_mark = Some("dot".into());
            it.sure = Some("0.855".into());
            it.smallest = Some("0".into());
            it.most_lots = Some("0".into());
            it.water = Some("no".into());
            it.small_scale = Some("1g:9g".into());
        });
        insta::assert_snapshot!(told.expect_err("refused"), @"
        `--decimal-mark`: `dot` is not accepted; accepted: point, comma; or `default`
        `--sure`: `0.855` is not accepted; accepted: a chance from 0.5 to 0.99 in hundredths, such as 0.8; or `default`
        `--smallest`: `0` is not accepted; accepted: a weight from 1 g to 1000 kg, such as 1 lb; or `default`
        `--most-lots`: `0` is not accepted; accepted: a count from 1 to 100; or `default`
        `--water`: `no` is not accepted; accepted: last-resort, never; or `default`
        `--small-scale`: `1g:9g` is not accepted; accepted: DIVISION:MOST, each with its unit, MOST from ten divisions to 1000 kg, such as 1g:5kg; or `default`
        ");
    }
}
