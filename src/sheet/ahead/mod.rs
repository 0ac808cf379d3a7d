mod page;
mod words;

pub use crate::quantity::Units;
pub use page::{ahead_document, ahead_page};

use std::collections::{BTreeMap, BTreeSet};

use crate::blend::MeasureFigure;
use crate::learn::Published;
use crate::outlook::{
    Advice, Backtest, Chance, Expected, Forecast, Foreseen, GroupFed, Heeded, Intake, NightFed,
    Raise, Room, Trouble, Wrong, fresh_larvae_kg,
};
use crate::quantity::wire::{Pct, each, view};
use crate::sheet::data::{DataTable, data};
use crate::stream::{Side, StreamId};
use crate::words::Said;

#[derive(Debug, Clone, PartialEq)]
pub struct AheadSheet {
    /// The plan as it comes, its troubles, the advice and the plan with it.
    pub heeded: Heeded,
    pub forecast: Forecast,
    pub intakes: Vec<Intake>,
    /// Room to grow; `None` for one night.
    pub growth: Option<GrowthCard>,
    pub chance: Option<Chance>,
    /// What to buy against that, and how often then.
    pub reserve: Option<(Vec<Advice>, Chance)>,
    /// The nights the answers besides the plan are of.
    pub near_nights: usize,
    pub undone: Vec<Said>,
    /// Every stream that is there, comes or can be bought: what the legend is of.
    pub streams: BTreeSet<StreamId>,
    pub notes: Vec<Said>,
    /// By stream, kilograms and names of lots too old already or found unfit.
    pub kept_out: BTreeMap<StreamId, (f64, Vec<String>)>,
    /// How many keeping times a lot may be used on later nights.
    pub usable_keeping_times: f64,
    /// ISO 4217 code.
    pub currency: String,
    pub units: Units,
    pub seal: String,
}

/// Room to grow with what it is a factor of.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthCard {
    /// The factor, and what each stream adds to it.
    pub room: Room,
    /// Larvae due on a night, the mean.
    pub larvae: f64,
    /// Dry matter wanted a week, kilograms.
    pub dm_kg_per_week: f64,
    /// What others published of bioconversion, per cent of dry matter fed.
    pub conversion: Option<Published>,
}

impl GrowthCard {
    /// Fresh larvae a week at a factor on all demand, kilograms: at the least and
    /// the greatest published conversion.
    pub fn larvae_kg(&self, factor: f64) -> Option<(f64, f64)> {
        let range = self.conversion.as_ref()?;
        let dm_kg = self.dm_kg_per_week * factor;
        Some(fresh_larvae_kg(dm_kg, (range.low, range.high)))
    }
}

impl AheadSheet {
    /// The plan that is shown: with the advice taken.
    pub fn plan(&self) -> &Foreseen {
        &self.heeded.with_advice
    }

    pub(super) fn weight(&self, kg: f64) -> String {
        self.units.weight_kg(kg)
    }
}

/// The nights as a table, a row for each stream fed to a group; kilograms.
pub fn ahead_table(sheet: &AheadSheet) -> DataTable {
    // To the gram, and to a hundredth of a point.
    let kg = |kg: f64| (kg * 1e3).round() / 1e3;
    let pct = |share: f64| (share * 1e4).round() / 1e2;
    let groups = (sheet.plan().nights.iter())
        .flat_map(|night| night.groups.iter().map(move |group| (night, group)));
    let rows = groups.flat_map(|(night, group)| {
        let fed = group.by_stream.iter();
        fed.map(move |(stream, kg)| (night, group, stream, kg))
    });
    data!("Nights", for (night, group, stream, (wet, dry)) in rows => {
        let window = group.of_moisture().map(|figure| figure.window);
        "night" => night.day,
        "group" => &group.name,
        "stream" => stream.as_str(),
        "kg" => kg(*wet),
        "dm_kg" => kg(*dry),
        "group_dm_wanted_kg" => kg(group.wanted_dm_kg),
        "group_dm_fed_kg" => kg(group.dm_kg),
        "group_moisture_pct" => group.moisture.map(pct),
        "group_moisture_min_pct" => window.and_then(|window| window.min).map(pct),
        "group_moisture_max_pct" => window.and_then(|window| window.max).map(pct),
        "night_stock_kg" => kg(night.stock_kg),
        "night_spoils_kg" => kg(night.spoils_kg),
    })
}

view! {
    /// The nights ahead: kilograms, per cent and money as numbers.
    pub Ahead(sheet: &AheadSheet) {
        fits: bool = sheet.heeded.troubles.is_empty(),
        fits_with_advice: bool = sheet.plan().is_inside(),
        as_it_comes: Goals = Goals::from(&sheet.heeded.as_it_comes),
        with_advice: Goals = Goals::from(sheet.plan()),
        troubles: Vec<Troubled> = each(&sheet.heeded.troubles),
        advice: Vec<Advice> = sheet.heeded.advice.clone(),
        kept_out: Vec<KeptOut> = sheet.kept_out.iter().map(KeptOut::from).collect(),
        more_intake: Vec<Intake> = sheet.intakes.clone(),
        room_to_grow: Option<Growth> = sheet.growth.as_ref().map(Growth::from),
        chance_short: Option<Played> = sheet.chance.as_ref().map(Played::from),
        reserve: Option<Reserve> = sheet.reserve.as_ref().map(Reserve::from),
        nights: Vec<Night> = each(&sheet.plan().nights),
        expected: Vec<Expected> = sheet.forecast.expected.clone(),
        backtest: Option<Tested> = sheet.forecast.backtest.as_ref().map(Tested::from),
        near_nights: usize, undone: Vec<Said>, usable_keeping_times: f64,
        notes: Vec<Said>, seal: String,
    }

    Goals(plan: &Foreseen) {
        inside: bool = plan.is_inside(),
        short_dm_kg: f64 = plan.tiers.short_dm_kg,
        outside: f64 = plan.tiers.outside,
        urgent_kg: f64 = plan.tiers.urgent_kg,
        cost: f64 = plan.tiers.cost,
    }

    Troubled(of: &Trouble) {
        from: String = of.from.to_string(),
        to: String = of.to.to_string(),
        measure: String = match &of.wrong {
            Wrong::Short => "short_dm_kg".to_owned(),
            Wrong::Out(measure, _) => measure.key(),
        },
        above: bool = matches!(of.wrong, Wrong::Out(_, Side::Most)),
        groups: Vec<String> = of.groups.iter().cloned().collect(),
        /// Kilograms, or percentage points.
        worst: f64 = if of.wrong == Wrong::Short { of.worst } else { 100.0 * of.worst },
    }

    KeptOut((stream, (kg, lots)): (&StreamId, &(f64, Vec<String>))) {
        stream: StreamId = stream.clone(), kg: f64 = *kg, lots: Vec<String> = lots.clone(),
    }

    Growth(of: &GrowthCard) {
        factor: f64 = of.room.factor,
        larvae_planned: f64 = of.larvae,
        larvae: f64 = of.larvae * of.room.factor,
        larvae_kg_per_week_low: Option<f64> = of.larvae_kg(of.room.factor).map(|range| range.0),
        larvae_kg_per_week_high: Option<f64> = of.larvae_kg(of.room.factor).map(|range| range.1),
        raises: Vec<Raised> = of.room.raises.iter().map(|raise| Raised::from((of, raise))).collect(),
    }

    Raised((of, raise): (&GrowthCard, &Raise)) {
        stream: StreamId = raise.stream.clone(),
        kg_per_week: f64 = raise.kg_per_week,
        larvae: f64 = of.larvae * raise.factor,
        larvae_kg_per_week_low: Option<f64> = of.larvae_kg(raise.factor).map(|range| range.0),
        larvae_kg_per_week_high: Option<f64> = of.larvae_kg(raise.factor).map(|range| range.1),
    }

    Played(chance: &Chance) {
        weeks: usize, nights: usize,
        short_weeks: usize = chance.short,
        short_pct: f64 = chance.short_pct(),
        short_at_best_weeks: usize = chance.short_at_best,
        standard_error_pct: f64 = chance.short_pct_error(),
        outside_weeks: usize = chance.outside,
    }

    Reserve((advice, again): &(Vec<Advice>, Chance)) {
        advice: Vec<Advice> = advice.clone(),
        chance_short: Played = Played::from(again),
    }

    Night(of: &NightFed) {
        night: String = of.day.to_string(),
        stock_kg: f64, spoils_kg: f64,
        groups: Vec<Group> = each(&of.groups),
    }

    Group(of: &GroupFed) {
        group: String = of.name.clone(),
        wanted_dm_kg: f64, dm_kg: f64, wet_kg: f64, water_kg: f64,
        streams: Vec<Part> = of.by_stream.iter().map(Part::from).collect(),
        measures: Vec<Figure> = each(&of.measures),
    }

    Part((stream, (kg, dry)): (&StreamId, &(f64, f64))) {
        stream: StreamId = stream.clone(), kg: f64 = *kg, dm_kg: f64 = *dry,
    }

    /// A measure beside its preferred range.
    Figure(figure: &MeasureFigure) {
        measure: String = figure.measure.key(),
        #[serde(with = "Pct")]
        value: Option<f64>,
        #[serde(with = "Pct")]
        min: Option<f64> = figure.window.min,
        #[serde(with = "Pct")]
        max: Option<f64> = figure.window.max,
        inside: bool = figure.standing.is_inside(),
    }

    Tested(test: &Backtest) {
        weeks: usize, compared: usize, error_kg: f64,
        same_as_last_week_error_kg: f64 = test.last_week_error_kg,
        better_pct: f64 = test.better_pct(),
    }
}
