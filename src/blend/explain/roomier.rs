//! Cures that take no money: more trays or two meals, tap water, a test that may settle it.

use crate::quantity::{Grams, Litres, ShareAsFed};

use super::super::constraints::build;
use super::super::model::Goal;
use super::super::problem::Problem;
use super::super::propose::Mix;
use super::super::solve::solve;
use super::super::sureness::TEST_SD;
use super::conflict::Conflict;
use super::cures::{Change, Cure, DELIVERY_KG, at_least, bisect, fits, proven, without_excess};
use super::strict::Demand;

/// Tap water, where none may be added: the least that makes everything fit.
pub(super) fn watered(problem: &Problem, least_kg: f64) -> Option<Cure> {
    if problem.water_limit.get() > 0 {
        return None;
    }
    let with = |water_limit: Grams| Problem {
        water_limit,
        ..problem.clone()
    };
    let plan = build(&with(Grams::from_kg(DELIVERY_KG)?));
    let terms = plan
        .groups
        .iter()
        .filter_map(|columns| Some((columns.water?, 1.0)));
    let goal = Goal::minimise(terms.collect());
    let kg = solve(&without_excess(&plan, true), &goal).ok()?.value;
    if at_least(problem, kg, 0).kg() < least_kg {
        return None;
    }
    (0..4).find_map(|more| {
        let grams = at_least(problem, kg, more);
        let what = Change::Water { grams };
        proven(what, None, with(grams))
    })
}

/// For each group whose trays are too full: the least litres with which everything fits.
pub(super) fn roomier(problem: &Problem, conflicts: &[Conflict]) -> Vec<Cure> {
    /// More than a hair, so that rounding has room.
    const ROOM: f64 = 1.01;
    let demands = conflicts.iter().flat_map(|conflict| &conflict.demands);
    let full = demands.filter_map(|demand| match demand {
        Demand::Volume { group, litres } => Some((group, *litres)),
        _ => None,
    });
    full.filter_map(|(name, from_l)| {
        let position = problem
            .groups
            .iter()
            .position(|group| group.name == *name)?;
        let plan = build(problem);
        let row = plan.groups[position].volume?;
        let mut model = without_excess(&plan, true);
        model.rows[row].upper = f64::INFINITY;
        let goal = Goal::minimise(model.rows[row].terms.clone());
        let to_l = (solve(&model, &goal).ok()?.value * ROOM)
            .ceil()
            .max(from_l * ROOM);
        let mut changed = problem.clone();
        changed.groups[position].volume = Litres::new(to_l).ok();
        let group = name.clone();
        proven(
            Change::Room {
                group,
                from_l,
                to_l,
            },
            None,
            changed,
        )
    })
    .collect()
}

/// Untested lots in the mix, heaviest first, that need only be a little drier
/// or wetter than the table says, within one standard deviation.
pub(super) fn tested(problem: &Problem, nearest: &Mix) -> Option<Cure> {
    const LOTS_MOST: usize = 3;
    const PARTS: u32 = 4;
    let spreads = problem.spreads.as_ref()?;
    let mut draws: Vec<_> = nearest
        .groups
        .iter()
        .flat_map(|group| &group.draws)
        .collect();
    draws.sort_by_key(|draw| std::cmp::Reverse(draw.grams));
    draws.into_iter().take(LOTS_MOST).find_map(|draw| {
        let spread = spreads
            .lots
            .get(&draw.lot)
            .filter(|spread| !spread.is_tested)?;
        let sd = spread.moisture.filter(|sd| *sd > TEST_SD)?;
        let position = problem.lots.iter().position(|lot| lot.name == draw.lot)?;
        let expected = problem.lots[position].composition.moisture?;
        [true, false].into_iter().find_map(|drier| {
            let at = |part: u32| {
                let by = sd * f64::from(part) / f64::from(PARTS);
                let share = expected.get() + if drier { -by } else { by };
                // Told in tenths of a point, on the side where it fits.
                let tenths = share * 1000.0;
                let pct = if drier { tenths.floor() } else { tenths.ceil() } / 10.0;
                let mut changed = problem.clone();
                changed.lots[position].composition.moisture = Some(ShareAsFed::from_pct(pct).ok()?);
                Some((pct / 100.0, changed))
            };
            let holds = |part: u32| at(part).is_some_and(|(_, changed)| fits(&changed));
            if !holds(PARTS) {
                return None;
            }
            let (moisture, changed) = at(bisect(PARTS, holds))?;
            let (lot, stream) = (draw.lot.clone(), draw.stream.clone());
            let what = Change::Test {
                lot,
                stream,
                drier,
                moisture,
            };
            proven(what, None, changed)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::super::super::propose::tests::problem;
    use super::super::super::sureness::{Spread, Spreads};
    use super::super::super::{Wishes, propose_with};
    use super::super::WhyAsked;
    use super::super::cures::Offered;
    use super::*;
    use crate::blend::{MixVerdict, Purchase, propose};
    use crate::stream::StreamId;

    fn night(stock: &str, targets: &str) -> Problem {
        let header = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n";
        problem(&format!("{header}{stock}"), targets)
    }

    fn cures_of(night: &Problem, offers: Vec<Offered>) -> Vec<Cure> {
        let why = WhyAsked {
            offers,
            ..WhyAsked::default()
        };
        let wishes = Wishes {
            why: Some(why),
            ..Wishes::default()
        };
        let (mix, trust) = propose_with(night, &wishes);
        assert_eq!(mix.verdict, MixVerdict::Nearest);
        let cures = trust.why.expect("why").cures;
        assert!(
            cures
                .iter()
                .all(|cure| propose(&cure.night).verdict == MixVerdict::Inside)
        );
        cures
    }

    /// The first cure of overfull trays once was a looser window.
    #[test]
    fn full_trays_ask_for_more_trays_first() {
        let targets = "[group.g]\ndry_matter_kg = 5.0\nvolume_l = 20.0\n[group.g.window]\nmoisture_pct = { min = 60.0, max = 70.0 }\n[group.g.assume]\nbulk_density_kg_m3 = 500.0\n";
        let cures = cures_of(
            &night("1,spent-grain,40,1,77,,\n2,bread,20,1,36,,\n", targets),
            Vec::new(),
        );
        let Some(Change::Room {
            group,
            from_l,
            to_l,
        }) = cures.first().map(|cure| &cure.what)
        else {
            panic!("{cures:#?}");
        };
        assert_eq!((group.as_str(), *from_l), ("g", 20.0));
        assert!(*to_l > 21.0 && *to_l < 60.0, "{to_l}");
    }

    #[test]
    fn dry_stock_asks_for_water() {
        let targets = "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { min = 60.0, max = 70.0 }\n";
        let cures = cures_of(&night("1,bread,20,1,36,,\n", targets), Vec::new());
        let grams = cures.iter().find_map(|cure| match cure.what {
            Change::Water { grams } => Some(grams),
            _ => None,
        });
        // 5 kg of dry matter at 60 % are 12.5 kg; the bread weighs 7.8 kg.
        assert!(
            grams.is_some_and(|grams| (4_600..=4_900).contains(&grams.get())),
            "{grams:?}"
        );
    }

    /// "Buy 0.1 lb of barley" is no cure, nor is more than is to be had.
    #[test]
    fn no_cure_is_a_pinch_or_more_than_a_delivery() {
        let targets =
            "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { max = 76.8 }\n";
        let wet = night("1,spent-grain,60,1,77,,\n", targets);
        let bran = |grams: i64| {
            let purchase = Purchase {
                stream: StreamId::parse("wheat-bran").expect("an id"),
                composition: night("1,wheat-bran,1,1,12,,\n", targets).lots[0]
                    .composition
                    .clone(),
                price_per_kg: 0.45,
                limit: Grams::new(grams),
            };
            vec![Offered::from(purchase)]
        };
        let bought = |cures: &[Cure]| {
            cures
                .iter()
                .any(|cure| matches!(cure.what, Change::Buy { .. }))
        };
        // 0.07 kg would do: below 1 % of 22 kg.
        assert!(!bought(&cures_of(&wet, bran(0))));
        let mut wetter = wet;
        wetter.groups[0]
            .windows
            .values_mut()
            .for_each(|window| window.max = Some(0.72));
        assert!(bought(&cures_of(&wetter, bran(0))));
        assert!(
            !bought(&cures_of(&wetter, bran(300))),
            "more than is to be had"
        );
    }

    #[test]
    fn a_test_that_may_settle_it_is_named_with_its_figure() {
        let targets =
            "[group.g]\ndry_matter_kg = 5.0\n[group.g.window]\nmoisture_pct = { max = 76.0 }\n";
        let mut wet = night("1,spent-grain,60,1,77,,\n", targets);
        let spread = Spread {
            moisture: Some(0.03),
            ..Spread::default()
        };
        wet.spreads = Some(Spreads {
            lots: [("1".to_owned(), spread)].into(),
            ..Spreads::default()
        });
        let cures = cures_of(&wet, Vec::new());
        let test = cures.iter().find_map(|cure| match &cure.what {
            Change::Test {
                lot,
                drier: true,
                moisture,
                ..
            } => Some((lot.clone(), *moisture)),
            _ => None,
        });
        let (lot, moisture) = test.expect("a test");
        assert_eq!(lot, "1");
        assert!((0.735..=0.76).contains(&moisture), "{moisture}");
    }
}
