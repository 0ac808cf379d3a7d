//! Generated plans: invented streams, arrivals and larvae within what a small
//! farm can have. The same seed gives the same plan.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::date;
use trayful::blend::{Composition, Group, Lot, Purchase};
use trayful::outlook::{Batch, NightAhead, Offer, Outlook, Storage};
use trayful::quantity::{
    Decimal, Density, Dice, Division, Grams, Litres, MassUnit, ShareAsFed, ShareOfDry,
};
use trayful::stream::{Analyte, Measure, StreamId, Window};

/// What a generated plan is like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    pub nights: usize,
    pub streams: usize,
    pub groups: usize,
    pub seed: u64,
}

struct Kind {
    id: StreamId,
    composition: Composition,
    keeps_days: f64,
    price: f64,
}

fn kind(number: usize, dice: &mut Dice) -> Kind {
    let is_dry = number % 4 == 3;
    let share = |pct: f64| ShareOfDry::from_pct(pct.clamp(0.5, 60.0)).expect("a share");
    let moisture = if is_dry {
        8.0 + 25.0 * dice.roll()
    } else {
        74.0 + 20.0 * dice.roll()
    };
    let analytes: BTreeMap<Analyte, ShareOfDry> = [
        (Analyte::named("protein"), share(6.0 + 22.0 * dice.roll())),
        (Analyte::named("fat"), share(1.0 + 12.0 * dice.roll())),
        (Analyte::named("fibre"), share(8.0 + 40.0 * dice.roll())),
        (Analyte::named("ash"), share(2.0 + 9.0 * dice.roll())),
    ]
    .into();
    Kind {
        id: StreamId::parse(&format!("stream-{number:02}")).expect("an id"),
        composition: Composition {
            moisture: Some(ShareAsFed::from_pct(moisture).expect("moisture")),
            analytes,
            density: Some(Density::new(250.0 + 400.0 * dice.roll()).expect("density")),
            ballast: 0.0,
        },
        keeps_days: if is_dry {
            10.0
        } else {
            2.0 + (2.0 * dice.roll()).round()
        },
        price: if is_dry { 0.1 } else { 0.0 },
    }
}

fn group(number: usize, dm_kg: f64) -> Group {
    let window = |min: f64, max: f64| Window {
        min: Some(min),
        max: Some(max),
        ..Window::default()
    };
    let windows = [
        (
            "moisture_pct",
            Window {
                limit_min: Some(0.45),
                limit_max: Some(0.82),
                ..window(0.60, 0.72)
            },
        ),
        ("protein_dm_pct", window(0.12, 0.22)),
        ("fat_dm_pct", window(0.02, 0.20)),
        (
            "fibre_dm_pct",
            Window {
                max: Some(0.45),
                ..Window::default()
            },
        ),
    ];
    Group {
        name: ["last-feeds", "growing", "young"][number % 3].to_owned(),
        dry_matter_kg: dm_kg,
        volume: Some(Litres::new(dm_kg * 12.0).expect("litres")),
        windows: windows
            .into_iter()
            .map(|(key, window)| (Measure::from_key(key).expect("a measure"), window))
            .collect(),
        caps: [(
            StreamId::parse("stream-01").expect("an id"),
            ShareAsFed::from_pct(15.0).expect("a cap"),
        )]
        .into(),
        assumed: BTreeMap::new(),
        assumed_density: None,
        ..Group::default()
    }
}

/// A plan with one arrival of most streams each day and two old lots of each on hand.
pub(crate) fn plan(size: Size) -> Outlook {
    let mut dice = Dice::seeded(size.seed);
    let kinds: Vec<Kind> = (0..size.streams)
        .map(|number| kind(number, &mut dice))
        .collect();
    let mut batches = Vec::new();
    let mut add = |kind: &Kind, first: usize, age: f64, kg: f64| {
        let grams = Grams::from_kg(kg.max(0.2)).expect("a weight");
        batches.push(Batch {
            lot: Lot {
                name: format!("L{:04}", batches.len()),
                stream: kind.id.clone(),
                on_hand: grams,
                edible: grams,
                composition: kind.composition.clone(),
                price_per_kg: kind.price,
                age_days: age,
                keeps_days: Some(kind.keeps_days),
                buckets: 1.0,
                barred: None,
            },
            first,
            supplier: "an invented supplier".to_owned(),
            expected: first > 0,
            apart: false,
            most_times: f64::INFINITY,
        });
    };
    for kind in &kinds {
        for night in 0..size.nights {
            if night == 0 || dice.roll() < 0.7 {
                let kg = dice.around(12.0, 4.0);
                add(kind, night, 0.5, kg);
            }
        }
        let age = (kind.keeps_days * dice.roll()).round();
        add(kind, 0, age, dice.around(8.0, 3.0));
    }
    #[expect(clippy::cast_precision_loss, reason = "a count of streams is small")]
    let wanted = size.streams as f64 * 2.0;
    let first_day = date(2026, 11, 25);
    let nights = (0..size.nights).map(|night| NightAhead {
        day: first_day + i64::try_from(night).expect("a night").days(),
        groups: (0..size.groups)
            .map(|number| {
                let share = [0.5, 0.4, 0.1][number % 3];
                group(number, wanted * share * dice.around(1.0, 0.1))
            })
            .collect(),
        larvae: 100_000,
    });
    Outlook {
        nights: nights.collect(),
        offers: vec![Offer {
            purchase: Purchase {
                stream: StreamId::parse("wheat-bran").expect("an id"),
                composition: Composition {
                    moisture: Some(ShareAsFed::from_pct(10.0).expect("moisture")),
                    ..kinds[0].composition.clone()
                },
                price_per_kg: 0.45,
                limit: Grams::new(200_000),
            },
            first: 1.min(size.nights - 1),
            keeps_days: Some(180.0),
            most_times: f64::INFINITY,
            pack: Some(Grams::new(20_000)),
            order_by: first_day,
        }],
        batches,
        water_limit: Grams::ZERO,
        division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
            .expect("division"),
        cold: None,
        storage: Storage::default(),
        usable_keeping_times: 2.0,
    }
}
