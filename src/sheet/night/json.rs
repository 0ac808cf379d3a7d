//! A mix and its explanation as numbers, for other programs.

use serde_json::{Value, json};

use crate::blend::explain::{
    Binding, Change, Conflict, Cure, Demand, Effect, Interval, LotWorth, Near, Room, Step, Why,
};
use crate::blend::sureness::{HelpedBy, MeasureSureness, Sureness, TestFirst};
use crate::blend::{
    BucketTip, Bucketed, DrawnLot, GroupMix, HeldBack, LeftOver, MeasureFigure, MixVerdict, Tiers,
};
use crate::quantity::wire::{Pct, each, view};
use crate::quantity::{Grams, Units};
use crate::stream::{Measure, StreamId, Window};
use crate::words::Said;

use super::cures::{because_words, conflict_words, cure_words, demand_words};
use super::what_is_out;
use super::{MixSheet, TrayDose};

view! {
    /// A mix: kilograms, per cent and money as numbers.
    pub Mix(sheet: &MixSheet) {
        verdict: &'static str = sheet.mix.verdict.as_str(),
        reason: Option<Said> = match &sheet.mix.verdict {
            MixVerdict::Nothing { because } => Some(because_words(because, sheet.units)),
            MixVerdict::Stopped { reason } => Some(reason.clone()),
            _ => None,
        },
        tiers: Option<Goals> = sheet.mix.tiers.as_ref().map(Goals::from),
        groups: Vec<GroupMixed> = groups(sheet),
        held_back: Vec<HeldBack> = sheet.mix.held_back.clone(),
        left: Vec<LeftOver> = sheet.mix.left.clone(),
        too_coarse: Vec<Said> = sheet.mix.too_coarse.clone(),
        notes: Vec<Said> = [&*sheet.mix.guessed, &sheet.mix.notes].concat(),
    }

    /// The same with all that was asked for besides.
    pub MixAsked(sheet: &MixSheet) {
        #[serde(flatten)]
        mix: Mix = Mix::from(sheet),
        night: Option<String> = sheet.night.map(|night| night.to_string()),
        sheet: Option<String>, cautions: Vec<Said>,
        #[serde(skip_serializing_if = "Option::is_none")]
        why: Option<WhyTold> = sheet.trust.why.as_ref().map(|why| WhyTold::from((why, sheet.units))),
        #[serde(skip_serializing_if = "Option::is_none")]
        sureness: Option<Sure> = sheet.trust.sureness.as_ref().map(Sure::from),
        #[serde(skip_serializing_if = "Option::is_none")]
        buckets: Option<Tipped> =
            sheet.trust.buckets.as_ref().map(|buckets| Tipped::from((buckets, &*sheet.mix.groups))),
        #[serde(skip_serializing_if = "Option::is_none")]
        change_kg: Option<f64> = sheet.trust.change_kg,
    }

    Goals(of: &Tiers) {
        short_dm_kg: f64, outside: f64, water_kg: f64, unsure: f64, urgent_kg: f64, cost: f64,
    }

    GroupMixed((group, trays, units): (&GroupMix, Option<&[TrayDose]>, Units)) {
        group: String = group.name.clone(),
        scale: String = group.division.to_string(),
        wanted_dm_kg: f64 = group.wanted_dm_kg,
        dm_kg: f64 = group.figures.dry_matter_kg,
        ration_kg: f64 = group.figures.ration_kg,
        wet_kg: f64 = group.figures.wet.kg(),
        water_kg: f64 = group.water.kg(),
        #[serde(with = "Pct")]
        nfc_dm_pct: Option<f64> = group.figures.non_fibre_carbohydrate,
        carbon_to_nitrogen: Option<f64> = group.figures.carbon_to_nitrogen,
        volume_l: Option<f64> = group.figures.volume_l,
        cohorts: Option<Vec<Dose>> =
            trays.map(|trays| trays.iter().map(|dose| Dose::from((dose, group))).collect()),
        cost: f64 = group.figures.cost,
        draws: Vec<DrawnLot> = group.draws.clone(),
        bought: Vec<Bought> = each(&group.bought),
        measures: Vec<MeasureLine> = each(&group.figures.measures),
        out: Vec<Said> = what_is_out(group, units),
    }

    Dose((dose, group): (&TrayDose, &GroupMix)) {
        cohort: String = dose.cohort.clone(),
        trays: i64 = dose.trays,
        per_tray_g: Grams = dose.per_tray(group.figures.wet),
        layer_cm: Option<f64> = group.figures.volume_l.map(|litres| dose.layer_cm(litres)),
        from_before_cm: f64 = dose.lies_cm(),
        days: i32 = dose.days,
    }

    Bought((stream, grams): &(StreamId, Grams)) {
        stream: StreamId = stream.clone(), kg: f64 = grams.kg(),
    }

    /// A measure of a mix against its window; bounds as people write them.
    pub(super) MeasureLine(figure: &MeasureFigure) {
        measure: String = figure.measure.key(),
        #[serde(with = "Pct")]
        value: Option<f64>,
        #[serde(flatten)]
        window: Window,
        inside: bool = figure.standing.is_inside(),
    }

    WhyTold((why, units): (&Why, Units)) {
        conflicts: Vec<Clash> = why.conflicts.iter().map(|of| Clash::from((of, units))).collect(),
        cures: Vec<CureTold> = why.cures.iter().map(|of| CureTold::from((of, units))).collect(),
        bindings: Vec<Binds> = why.bindings.iter().map(|of| Binds::from((of, units))).collect(),
        lots: Vec<LotWorth> = why.lots.clone(),
        near: Vec<Near> = why.near.clone(),
        room: Vec<RoomTold> = each(&why.rooms),
        unexplained: Option<Said> = why.unexplained.clone(),
    }

    Clash((of, units): (&Conflict, Units)) {
        words: Said = conflict_words(of, units),
        demands: Vec<Demanded> = of.demands.iter().map(|of| Demanded::from((of, units))).collect(),
    }

    Demanded((of, units): (&Demand, Units)) {
        #[serde(flatten)]
        demand: Value = demand_value(of),
        words: Said = demand_words(of, units),
    }

    CureTold((of, units): (&Cure, Units)) {
        #[serde(flatten)]
        change: Value = change_value(&of.what),
        words: Said = cure_words(of, units, |_| None),
        money: Option<f64> = of.money,
    }

    Binds((of, units): (&Binding, Units)) {
        demand: Demanded = Demanded::from((&of.demand, units)),
        effects: Vec<Effect> = of.effects.clone(),
    }

    RoomTold(of: &Room) {
        lots: Vec<String>, price_per_kg: Option<Interval>,
        drier_points: Step = of.moisture_points[0],
        wetter_points: Step = of.moisture_points[1],
    }

    Sure(of: &Sureness) {
        measures: Vec<SureOf> = each(&of.measures),
        asked: Option<f64>, test_first: Option<TestFirst>, helped_by: Option<HelpedBy>,
        untold: Vec<UntoldOf> = each(&of.untold),
        without_spread: Vec<Said>,
    }

    SureOf(of: &MeasureSureness) {
        group: String,
        measure: String = of.measure.key(),
        value: f64 = of.value * 100.0,
        sd: f64 = of.sd * 100.0,
        chance: f64,
    }

    UntoldOf((group, measure): &(String, Measure)) {
        group: String = group.clone(), measure: String = measure.key(),
    }

    Tipped((of, groups): (&Bucketed, &[GroupMix])) {
        groups: Vec<Tips> = groups.iter().zip(&of.tips).map(Tips::from).collect(),
        gap: f64 = of.gap,
        folded: f64 = of.folded.0,
        bound: f64 = of.folded.1,
        tiers: TippedGoals = TippedGoals::from(&of.tiers),
        engine: Option<&'static str> = of.engine,
    }

    Tips((group, tips): (&GroupMix, &Vec<BucketTip>)) {
        group: String = group.name.clone(), tips: Vec<BucketTip> = tips.clone(),
    }

    TippedGoals([buckets, linear, rounding]: &[Tiers; 3]) {
        buckets: Goals = buckets.into(), linear: Goals = linear.into(), rounding: Goals = rounding.into(),
    }
}

fn groups(sheet: &MixSheet) -> Vec<GroupMixed> {
    let cards = sheet.cards.iter().map(|card| Some(&*card.trays));
    let cards = cards.chain(std::iter::repeat(None));
    let groups = sheet.mix.groups.iter().zip(cards);
    let groups = groups.map(|(group, trays)| GroupMixed::from((group, trays, sheet.units)));
    groups.collect()
}

fn demand_value(demand: &Demand) -> Value {
    match demand {
        Demand::Feed { group, side, dm_kg } => {
            json!({"kind": "feed", "group": group, "side": side.as_str(), "dm_kg": dm_kg})
        }
        Demand::Bound {
            group,
            measure,
            side,
            share,
            is_hard,
        } => json!({
            "kind": if *is_hard { "limit" } else { "window" }, "group": group, "measure": measure.key(),
            "side": side.as_str(), "pct": share * 100.0,
        }),
        Demand::Volume { group, litres } => {
            json!({"kind": "volume", "group": group, "volume_l": litres})
        }
        Demand::Cap {
            group,
            stream,
            share,
        } => {
            json!({"kind": "cap", "group": group, "stream": stream, "pct": share * 100.0})
        }
        Demand::Purchase { stream, kg } => json!({"kind": "buy", "stream": stream, "limit_kg": kg}),
        Demand::Water { kg } => json!({"kind": "water", "limit_kg": kg}),
    }
}

fn change_value(change: &Change) -> Value {
    match change {
        Change::Buy {
            stream,
            grams,
            price_per_kg,
        } => {
            json!({"kind": "buy", "stream": stream, "kg": grams.kg(), "price_per_kg": price_per_kg})
        }
        Change::Press { lots, liquor_dry } => json!({
            "kind": "press", "liquor_dry_pct": liquor_dry * 100.0,
            "lots": lots.iter().map(|(lot, litres, after)| json!({"lot": lot, "litres": litres, "moisture_pct": after * 100.0})).collect::<Vec<_>>(),
        }),
        Change::Water { grams } => json!({"kind": "water", "kg": grams.kg()}),
        Change::Room {
            group,
            from_l,
            to_l,
        } => {
            json!({"kind": "room", "group": group, "from_l": from_l, "to_l": to_l, "two_meals": *to_l <= 2.0 * from_l})
        }
        Change::Test {
            lot,
            stream,
            drier,
            moisture,
        } => json!({
            "kind": "test", "lot": lot, "stream": stream, "side": if *drier { "max" } else { "min" }, "moisture_pct": moisture * 100.0,
        }),
        Change::Loosen { windows } => json!({
            "kind": "loosen",
            "windows": windows.iter().map(|(demand, to)| match demand {
                Demand::Bound { group, measure, side, share, .. } => json!({
                    "group": group, "measure": measure.key(), "side": side.as_str(), "from_pct": share * 100.0, "to_pct": to * 100.0,
                }),
                _ => Value::Null,
            }).collect::<Vec<_>>(),
        }),
        Change::FeedLess { groups } => json!({
            "kind": "feed_less",
            "groups": groups.iter().map(|(group, from, to)| json!({"group": group, "from_dm_kg": from, "to_dm_kg": to})).collect::<Vec<_>>(),
        }),
    }
}
