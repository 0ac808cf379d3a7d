use crate::acts::ChosenText;

/// What the farm chooses where there is a default; `default` goes back to it
#[derive(clap::Args, Debug, PartialEq, Default)]
pub(crate) struct ChosenArgs {
    /// How numbers are written: point or comma
    #[arg(long, value_name = "MARK")]
    decimal_mark: Option<String>,
    /// The chance that each window of a mix should hold, such as 0.8
    #[arg(long, value_name = "CHANCE")]
    sure: Option<String>,
    /// The smallest weight worth taking from a lot, such as 1lb
    #[arg(long, value_name = "WEIGHT")]
    smallest: Option<String>,
    /// The most lots for one feed group
    #[arg(long, value_name = "COUNT")]
    most_lots: Option<String>,
    /// Whether water may be added to a mix: last-resort or never
    #[arg(long, value_name = "WHEN")]
    water: Option<String>,
    /// A second scale for small weights: its division and the most it carries, such as 1g:5kg
    #[arg(long, value_name = "DIVISION:MOST")]
    small_scale: Option<String>,
    /// The stage fed first when there is not enough
    #[arg(long, value_name = "STAGE")]
    first_stage: Option<String>,
    /// The language of answers and sheets: en or es
    #[arg(long, value_name = "LANGUAGE")]
    language: Option<String>,
}

impl ChosenArgs {
    pub(super) fn text(&self) -> ChosenText {
        ChosenText {
            decimal_mark: self.decimal_mark.clone(),
            sure: self.sure.clone(),
            smallest: self.smallest.clone(),
            most_lots: self.most_lots.clone(),
            water: self.water.clone(),
            small_scale: self.small_scale.clone(),
            first_stage: self.first_stage.clone(),
            language: self.language.clone(),
        }
    }
}
