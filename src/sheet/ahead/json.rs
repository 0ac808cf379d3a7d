use crate::blend::MeasureFigure;
use crate::outlook::{
    Advice, Backtest, Chance, Expected, Foreseen, GroupFed, Intake, NightFed, Raise, Trouble, Wrong,
};
use crate::quantity::wire::{Pct, each, view};
use crate::stream::{Side, StreamId};
use crate::words::Said;

use super::{AheadSheet, GrowthCard};

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
