//! Generated nights: invented stock, targets and scales within what a small
//! farm can have, with equal lots, unknown figures and empty buckets among them.

use std::collections::BTreeMap;

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use trayful::blend::{Composition, Group, Lot, Problem, Purchase};
use trayful::quantity::{
    Decimal, Density, Division, Grams, Litres, MassUnit, ShareAsFed, ShareOfDry,
};
use trayful::stream::{Analyte, Measure, StreamId, Window};

const STREAMS: [&str; 6] = ["bran", "bread", "citrus", "grain", "peel", "trim"];

fn tenths_pct(range: std::ops::Range<u32>) -> impl Strategy<Value = f64> {
    range.prop_map(|tenths| f64::from(tenths) / 10.0)
}

fn stream_id(name: &str) -> StreamId {
    StreamId::parse(name).expect("a stream id")
}

prop_compose! {
    fn composition()(
        wet in tenths_pct(700..965),
        dry in tenths_pct(20..700),
        is_wet in any::<bool>(),
        protein in option::weighted(0.95, tenths_pct(20..400)),
        fibre in option::weighted(0.9, tenths_pct(20..600)),
        density in option::weighted(0.9, 180_u32..900),
        known in proptest::bool::weighted(0.97),
    ) -> Composition {
        let share = |pct: f64| ShareOfDry::from_pct(pct).expect("a share");
        let moisture = if is_wet { wet } else { dry };
        let protein = protein.map(|pct| (Analyte::named("protein"), share(pct)));
        let fibre = fibre.map(|pct| (Analyte::named("fibre"), share(pct)));
        Composition {
            moisture: known.then(|| ShareAsFed::from_pct(moisture).expect("moisture")),
            analytes: protein.into_iter().chain(fibre).collect(),
            density: density.map(|density| Density::new(f64::from(density)).expect("density")),
            ballast: 0.0,
        }
    }
}

prop_compose! {
    fn lot()(
        composition in composition(),
        stream in select(&STREAMS[..]),
        grams in prop_oneof![1 => Just(0_i64), 20 => 200_i64..30_000],
        edible_pct in prop_oneof![4 => Just(100_i64), 1 => 30_i64..100],
        price in prop_oneof![3 => Just(0.0), 1 => (1_u32..90).prop_map(|cents| f64::from(cents) / 100.0)],
        age_days in 0_u32..8,
        keeps_days in option::weighted(0.8, select(vec![1.0, 2.0, 4.0, 14.0, 180.0])),
        buckets in 1_u32..5,
        barred in proptest::bool::weighted(0.05),
    ) -> Lot {
        Lot {
            name: String::new(),
            stream: stream_id(stream),
            on_hand: Grams::new(grams),
            edible: Grams::new(grams * edible_pct / 100),
            composition,
            price_per_kg: price,
            age_days: f64::from(age_days),
            keeps_days,
            buckets: f64::from(buckets),
            barred: barred.then(|| "refuse: an invented reason".into()),
        }
    }
}

fn window(least: std::ops::Range<u32>, width: std::ops::Range<u32>) -> BoxedStrategy<Window> {
    let bound = tenths_pct(least).prop_map(|pct| pct / 100.0);
    let width = tenths_pct(width).prop_map(|pct| pct / 100.0);
    let sides = (proptest::bool::weighted(0.7), proptest::bool::weighted(0.9));
    (bound, width, sides, proptest::bool::weighted(0.4))
        .prop_map(|(least, width, (below, above), limited)| Window {
            min: below.then_some(least),
            max: above.then_some((least + width).min(0.95)),
            limit_min: (limited && below).then_some((least - 0.15).max(0.0)),
            limit_max: (limited && above).then_some((least + width + 0.15).min(0.97)),
        })
        .boxed()
}

prop_compose! {
    fn group(name: &'static str)(
        tenths in prop_oneof![3 => 5_u32..60, 1 => 60_u32..400],
        moisture in option::weighted(0.9, window(500..700, 0..150)),
        protein in option::weighted(0.7, window(80..180, 0..120)),
        fibre in option::weighted(0.5, window(30..200, 50..300)),
        litres in option::weighted(0.4, 8_u32..200),
        cap in option::weighted(0.5, (select(&STREAMS[..]), tenths_pct(50..500))),
        assume in any::<bool>(),
    ) -> Group {
        let windows = [("moisture_pct", moisture), ("protein_dm_pct", protein), ("fibre_dm_pct", fibre)]
            .into_iter()
            .filter_map(|(key, window)| Some((Measure::from_key(key)?, window?)))
            .filter(|(_, window)| window.bounds().next().is_some());
        let assumed = assume.then(|| (Analyte::named("fibre"), ShareOfDry::from_pct(20.0).expect("a share")));
        Group {
            name: name.to_owned(),
            dry_matter_kg: f64::from(tenths) / 10.0,
            volume: litres.map(|litres| Litres::new(f64::from(litres)).expect("litres")),
            windows: windows.collect(),
            caps: cap
                .map(|(stream, pct)| (stream_id(stream), ShareAsFed::from_pct(pct).expect("a cap")))
                .into_iter()
                .collect(),
            assumed: assumed.into_iter().collect::<BTreeMap<_, _>>(),
            assumed_density: assume.then(|| Density::new(450.0).expect("density")),
            ..Group::default()
        }
    }
}

fn division() -> impl Strategy<Value = Division> {
    select(vec![
        ("0.1", MassUnit::Kg),
        ("0.01", MassUnit::Kg),
        ("1", MassUnit::G),
        ("0.1", MassUnit::Lb),
        ("0.5", MassUnit::Lb),
        ("1", MassUnit::Kg),
    ])
    .prop_map(|(step, unit)| {
        Division::new(Decimal::parse(step).expect("number"), unit).expect("division")
    })
}

prop_compose! {
    /// A night of two groups that share 5 to 40 lots.
    pub(crate) fn night()(
        mut lots in vec(lot(), 5..36),
        twins in vec(any::<prop::sample::Index>(), 0..4),
        bought in option::weighted(0.4, (composition(), 10_u32..100, 0_i64..20_000)),
        water in prop_oneof![2 => Just(0_i64), 1 => 1_i64..20_000],
        groups in (group("last-feeds"), group("growing")),
        division in division(),
    ) -> Problem {
        for twin in twins {
            let mut lot = lots[twin.index(lots.len())].clone();
            lot.age_days += 1.0;
            lots.push(lot);
        }
        for (position, lot) in lots.iter_mut().enumerate() {
            lot.name = format!("L{position:02}");
        }
        let purchases = bought.map(|(composition, cents, grams)| Purchase {
            stream: stream_id("meal"),
            composition,
            price_per_kg: f64::from(cents) / 100.0,
            limit: Grams::new(grams),
        });
        Problem {
            lots,
            purchases: purchases.into_iter().collect(),
            water_limit: Grams::new(water),
            groups: vec![groups.0, groups.1],
            division,
            spreads: None,
            policy: trayful::blend::Policy::default(),
        }
    }
}
