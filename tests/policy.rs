//! What our default policy promises, on invented nights and on small ones that
//! can be reckoned by hand.

use trayful::blend::{
    Few, Mix, MixVerdict, Policy, Problem, Weighed, WeighedGroup, Wishes, assess, in_order,
    propose, propose_with, read_stock, read_targets,
};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, Grams, MassUnit, SmallScale};

#[path = "stocked/spread.rs"]
mod spread;
mod stocked;

const HEADER: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n";

fn night(seed: u64, lots: usize, policy: Policy) -> Problem {
    let mut night = stocked::night(seed, lots);
    night.spreads = Some(spread::spreads(&night));
    night.policy = policy;
    let water = (!night.policy.water_last).then_some(night.water_limit);
    night.with_water(water)
}

/// A night from tables, by our default policy without margins.
fn from_tables(stock: &str, targets: &str) -> Problem {
    let streams = stocked::streams();
    let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
    let stock = format!("{HEADER}{stock}");
    let targets = read_targets("targets.toml", targets, &streams).expect("targets");
    let problem = Problem {
        lots: read_stock("stock.csv", stock.as_bytes(), &streams, &stages.flag_limits)
            .expect("stock"),
        purchases: targets.purchases,
        water_limit: targets.water_limit,
        groups: targets.groups,
        division: Decimal::parse("0.01")
            .and_then(|step| Division::new(step, MassUnit::Kg))
            .expect("a division"),
        spreads: None,
        policy: Policy::ours(),
    };
    problem.with_water(None)
}

fn share(mix: &Mix, group: usize) -> f64 {
    mix.groups[group].figures.ration_kg / mix.groups[group].wanted_dm_kg
}

fn lines(mix: &Mix) -> Vec<(String, String, Grams)> {
    let of = |group: &trayful::blend::GroupMix| {
        let name = group.name.clone();
        let draws = group.draws.iter();
        let draws = draws.map(move |draw| (name.clone(), draw.lot.clone(), draw.grams));
        draws.collect::<Vec<_>>()
    };
    mix.groups.iter().flat_map(of).collect()
}

/// Asked twice, and with the lots in another order, a night has the same sheet.
#[test]
fn one_night_has_one_sheet() {
    for seed in 0..6 {
        let first = night(seed, 20, Policy::ours());
        let mut turned = first.clone();
        turned.lots.reverse();
        let sheet = propose(&first);
        assert_eq!(sheet, propose(&first), "seed {seed}");
        assert_eq!(sheet, propose(&turned), "seed {seed}");
    }
}

/// Bread alone at 36 % moisture wants water up to 60 %: of 4 kg dry matter
/// 6.25 kg of bread and 3.75 kg of water, and not a gram more.
#[test]
fn water_is_the_last_resort_and_no_more_than_needed() {
    let targets = "[group.g]\ndry_matter_kg = 4.0\n[group.g.window]\nmoisture_pct = { min = 60.0, max = 72.0, limit_min = 45.0 }\n";
    let mix = propose(&from_tables("1,bread,60,1,36,,\n", targets));
    assert_eq!(mix.verdict, MixVerdict::Inside, "{mix:#?}");
    let water = mix.groups[0].water.kg();
    assert!((3.74..=3.78).contains(&water), "{water}");
    // With wet stock at hand none is added.
    let both = from_tables("1,bread,60,1,36,,\n2,lettuce-trim,60,1,94,,\n", targets);
    let mix = propose(&both);
    assert_eq!(mix.verdict, MixVerdict::Inside);
    assert_eq!(mix.groups[0].water, Grams::ZERO);
    // Nor to what is too wet, nor where the farm says never.
    let wet = targets.replace("72.0", "70.0").replace("60.0", "50.0");
    let mix = propose(&from_tables("2,lettuce-trim,60,1,94,,\n", &wet));
    assert_eq!(mix.groups[0].water, Grams::ZERO);
    let never = from_tables("1,bread,60,1,36,,\n", targets).with_water(Some(Grams::ZERO));
    let mix = propose(&never);
    assert_ne!(mix.verdict, MixVerdict::Inside);
    assert_eq!(mix.groups[0].water, Grams::ZERO);
}

/// 6.4 kg of dry matter for wishes of 4, 4 and 2 kg: everyone gets 64 %.
#[test]
fn a_shortage_is_shared() {
    let targets = "[group.a]\ndry_matter_kg = 4.0\n[group.b]\ndry_matter_kg = 4.0\n[group.c]\ndry_matter_kg = 2.0\n";
    let mut short = from_tables("1,bread,10,1,36,,\n", targets);
    let mix = propose(&short);
    for group in 0..3 {
        assert!((share(&mix, group) - 0.64).abs() < 0.01, "{mix:#?}");
    }
    // One that goes first has all it wants.
    short.policy.first = Some("b".to_owned());
    let mix = propose(&short);
    assert!((share(&mix, 1) - 1.0).abs() < 0.01);
    assert!((share(&mix, 0) - 0.4).abs() < 0.01 && (share(&mix, 2) - 0.4).abs() < 0.01);
    // One that can have nothing of what is there takes nothing from the others.
    let dry = targets.replace(
        "[group.b]\ndry_matter_kg = 4.0\n",
        "[group.b]\ndry_matter_kg = 4.0\n[group.b.window]\nmoisture_pct = { limit_min = 60.0 }\n",
    );
    let mix = propose(&from_tables("1,bread,6,1,36,,\n", &dry).with_water(Some(Grams::ZERO)));
    assert!((share(&mix, 0) - 0.64).abs() < 0.01 && (share(&mix, 2) - 0.64).abs() < 0.01);
}

/// Shell and what is ash above a quarter feed nobody: nothing of the ration.
#[test]
fn ballast_is_no_ration() {
    let targets = "[group.g]\ndry_matter_kg = 3.0\n";
    let mut night = from_tables("1,bread,10,1,36,,\n2,eggshell,10,1,10,,\n", targets);
    assert!(night.lots[1].composition.ballast > 0.99);
    assert!(night.lots[0].composition.ballast < 0.01);
    night.lots[1].barred = None;
    let only_shell = Problem {
        lots: vec![night.lots[1].clone()],
        ..night.clone()
    };
    let fed = propose(&only_shell);
    assert!(
        fed.groups
            .iter()
            .all(|group| group.figures.ration_kg <= 0.0)
    );
    assert_ne!(fed.verdict, MixVerdict::Inside);
}

/// Lines below the smallest that leave of their lot what the scale shows.
fn too_small(asked: &Problem, mix: &Mix) -> usize {
    let small = mix.groups.iter().flat_map(|group| {
        let least = Few::default().smallest_draw(asked.division, group.figures.wet.kg());
        group.draws.iter().filter(move |draw| {
            let lot = asked.lots.iter().find(|lot| lot.name == draw.lot);
            let rest = mix.left.iter().find(|left| left.lot == draw.lot);
            let kept = lot.map_or(Grams::ZERO, |lot| lot.on_hand - lot.edible);
            let rest = rest.map_or(Grams::ZERO, |rest| rest.grams) - kept;
            draw.grams < least && rest.kg() >= asked.division.kg()
        })
    });
    small.count()
}

/// Few lines cost nothing of the goals before sureness and less than 1 % of what
/// spoils and of money after it; `cargo bench --bench policy` prints the same of
/// 72 larger nights, and what each window's chance loses.
#[test]
fn few_lines_cost_next_to_nothing() {
    let (mut free_lines, mut few_lines, mut small) = (0, 0, 0);
    for seed in 0..12 {
        let free = Policy {
            few: None,
            ..Policy::ours()
        };
        let free = propose(&night(seed, 25, free));
        let asked = night(seed, 25, Policy::ours());
        let few = propose(&asked);
        let (was, is) = (free.tiers.expect("solved"), few.tiers.expect("solved"));
        assert!(is.short_dm_kg <= was.short_dm_kg + 1e-4, "seed {seed}");
        assert!(is.outside <= was.outside + 1e-4, "seed {seed}");
        assert!(is.water_kg <= was.water_kg + 1e-4, "seed {seed}");
        let urgent = (was.urgent_kg - is.urgent_kg) / was.urgent_kg.abs().max(0.1);
        let cost = (is.cost - was.cost) / was.cost.abs().max(0.1);
        assert!(urgent < 0.01, "seed {seed}: {urgent} of what spoils");
        assert!(cost < 0.01, "seed {seed}: {cost} of money");
        free_lines += lines(&free).len();
        few_lines += lines(&few).len();
        small += too_small(&asked, &few);
    }
    assert!(
        few_lines * 4 <= free_lines * 3,
        "{few_lines} of {free_lines}"
    );
    assert_eq!(small, 0, "lines too small to carry");
}

/// A crumb of a lot is no line, however soon it spoils; a small lot that is whole may be.
#[test]
fn what_is_too_little_to_weigh_stays_out() {
    let stock = "1,bread,0.2,3.9,,,0.02\n2,bread,20,1,,,1\n3,carrot-trim,30,1,,,1\n4,carrot-trim,0.2,3.9,,,1\n";
    let targets = "[group.g]\ndry_matter_kg = 3.0\n[group.g.window]\nmoisture_pct = { min = 60.0, max = 70.0 }\n";
    let problem = from_tables(stock, targets);
    let mix = propose(&problem);
    assert_eq!(mix.verdict, MixVerdict::Inside, "{mix:#?}");
    let held = mix
        .held_back
        .iter()
        .find(|held| held.lot == "1")
        .expect("held back");
    let reason = held.reason.in_english();
    assert!(reason.contains("too little"), "{reason}");
    assert!(mix.held_back.iter().all(|held| held.lot != "4"));
    let plain = propose(&Problem {
        policy: Policy::default(),
        ..problem
    });
    assert!(lines(&plain).iter().any(|(_, lot, _)| lot == "1"));
}

/// A farm that says how many lots has no more where nobody pays for it in feed or sureness.
#[test]
fn a_number_of_lots_is_kept_to() {
    let mut fewer = 0;
    for seed in 0..6 {
        let of = |most_lots| {
            let mut policy = Policy::ours();
            policy.few = Some(Few {
                smallest: None,
                most_lots,
            });
            propose(&night(seed, 25, policy))
        };
        let (free, four) = (of(None), of(Some(4)));
        let most = |mix: &Mix| {
            mix.groups
                .iter()
                .map(|group| group.draws.len())
                .max()
                .unwrap_or(0)
        };
        assert!(most(&four) <= most(&free), "seed {seed}");
        fewer += usize::from(most(&four) < most(&free) || most(&four) <= 4);
    }
    assert!(fewer >= 4, "{fewer}");
}

/// Groups that share a mix get the same of it by the dry matter they want, so each
/// is to be inside its own windows, checked by arithmetic that knows no sharing.
#[test]
fn who_shares_a_mix_stays_inside_the_own_windows() {
    let (mut shared, mut apart_lines, mut lines) = (0, 0, 0);
    for seed in 0..12 {
        let asked = in_order(&night(seed, 25, Policy::ours()));
        let alone = propose(&asked);
        let (mix, _) = propose_with(&asked, &Wishes::default());
        apart_lines += alone
            .groups
            .iter()
            .map(|of| of.weighed_lines())
            .sum::<usize>();
        lines += mix
            .groups
            .iter()
            .map(|of| of.weighed_lines())
            .sum::<usize>();
        let (was, is) = (alone.tiers.expect("solved"), mix.tiers.expect("solved"));
        assert!(is.short_dm_kg <= was.short_dm_kg + 1e-4, "seed {seed}");
        assert!(is.outside <= was.outside + 1e-4, "seed {seed}");
        assert!(is.water_kg <= was.water_kg + 1e-4, "seed {seed}");
        if mix.groups.len() == asked.groups.len() || mix.verdict != MixVerdict::Inside {
            continue;
        }
        shared += 1;
        let one = &mix.groups[0];
        assert_eq!(one.name, "growing + last-feeds");
        let of_group = |wanted_kg: f64| {
            let part = |grams: Grams| {
                let kg = grams.kg() * wanted_kg / one.wanted_dm_kg;
                Grams::from_kg(kg).expect("a part")
            };
            let lot = |name: &str| asked.lots.iter().position(|lot| lot.name == name);
            let bought = |id| asked.purchases.iter().position(|of| of.stream == id);
            WeighedGroup {
                draws: (one.draws.iter())
                    .map(|draw| (lot(&draw.lot).expect("a lot"), part(draw.grams)))
                    .collect(),
                bought: (one.bought.iter())
                    .map(|(id, grams)| (bought(id.clone()).expect("bought"), part(*grams)))
                    .collect(),
                water: part(one.water),
            }
        };
        let groups = asked.groups.iter().map(|of| of_group(of.dry_matter_kg));
        let weighed = Weighed {
            groups: groups.collect(),
        };
        let figures = assess(&asked, &weighed);
        assert!(
            figures.faults.is_empty(),
            "seed {seed}: {:?}",
            figures.faults
        );
        for group in &figures.groups {
            // Parts in whole grams: a window is missed by no more than that.
            let off = group.measures.iter().filter_map(|of| match of.standing {
                trayful::blend::Standing::Inside => None,
                beyond => Some(format!("{beyond:?}")),
            });
            assert_eq!(off.collect::<Vec<_>>(), Vec::<String>::new(), "seed {seed}");
        }
    }
    assert!(shared >= 6, "{shared} of 12 nights share");
    assert!(
        lines * 4 <= apart_lines * 3,
        "{lines} of {apart_lines} lines to weigh"
    );
}

/// No mix suits both where windows don't meet; what one group never gets the other gets apart.
#[test]
fn who_can_not_share_has_a_mix_apart() {
    let stock = "1,bread,40,1,36,,4\n2,carrot-trim,60,1,88,,6\n3,spent-grain,60,1,77,,6\n";
    let targets = |moisture: &str| {
        format!(
            "[group.a]\ndry_matter_kg = 3.0\n[group.a.window]\nmoisture_pct = {{ min = 60.0, max = 66.0 }}\n\
             [group.b]\ndry_matter_kg = 3.0\n[group.b.window]\nmoisture_pct = {{ {moisture} }}\n"
        )
    };
    let groups = |moisture: &str, policy: Policy| {
        let problem = from_tables(stock, &targets(moisture));
        let (mix, _) = propose_with(&Problem { policy, ..problem }, &Wishes::default());
        assert_eq!(mix.verdict, MixVerdict::Inside, "{moisture}");
        mix.groups
            .into_iter()
            .map(|group| group.name)
            .collect::<Vec<_>>()
    };
    let ours = Policy::ours;
    assert_eq!(groups("min = 64.0, max = 72.0", ours()), ["a + b"]);
    assert_eq!(groups("min = 68.0, max = 72.0", ours()), ["a", "b"]);
    let apart = Policy {
        one_mix: false,
        ..ours()
    };
    assert_eq!(groups("min = 64.0, max = 72.0", apart), ["a", "b"]);
}

/// On a fine scale a rest that a coarse one could not show is still to be weighed off.
#[test]
fn what_a_group_s_own_scale_can_show_is_not_tipped_in() {
    let coarse = |step| Division::new(Decimal::parse(step).expect("a step"), MassUnit::Kg);
    let targets = "[group.g]\ndry_matter_kg = 0.1\n";
    let mut night = from_tables("1,bread,0.25,1,36,,1\n", targets);
    night.division = coarse("0.1").expect("a division");
    let emptied = |night: &Problem| {
        let mix = propose(night);
        let draw = &mix.groups[0].draws[0];
        (draw.grams.get(), draw.empties)
    };
    night.policy.small_scale = Some(SmallScale {
        division: coarse("0.001").expect("a division"),
        up_to: Grams::new(5_000),
    });
    assert_eq!(emptied(&night), (156, false));
    night.lots[0].on_hand = Grams::new(156);
    night.lots[0].edible = Grams::new(156);
    assert_eq!(emptied(&night), (156, true));
}

/// 45 g are less than a tenth of a pound, though that too is 45 g when rounded.
#[test]
fn a_rest_below_one_step_of_the_scale_is_tipped_in() {
    let targets = "[group.g]\ndry_matter_kg = 0.3483\n";
    let mut night = from_tables("1,bread,0.589,1,36,,1\n", targets);
    let step = Decimal::parse("0.1").expect("a step");
    night.division = Division::new(step, MassUnit::Lb).expect("a division");
    let mix = propose(&night);
    let draw = &mix.groups[0].draws[0];
    assert_eq!((draw.grams.get(), draw.empties), (544, true));
}
