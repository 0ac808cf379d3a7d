//! The shipped tables hold together: every figure has a source, every class a rule.

use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::stream::{
    Evidence, LarvaeFor, Region, Ruling, SHIPPED_SOURCES, SHIPPED_STREAMS, SHIPPED_USE_RULES,
    SourceTable, StreamId, StreamTable, UseRules, Verdict, flag,
};

fn streams() -> StreamTable {
    StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams")
}

fn sources() -> SourceTable {
    SourceTable::read("sources.csv", SHIPPED_SOURCES).expect("sources")
}

fn stages() -> StageTable {
    StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages")
}

#[test]
fn every_stream_names_a_source_with_evidence() {
    let (streams, sources) = (streams(), sources());
    assert!(streams.len() >= 45, "{}", streams.len());
    for stream in streams.iter() {
        assert!(
            sources.get(&stream.source).is_some(),
            "{} names {}",
            stream.id,
            stream.source
        );
    }
}

#[test]
fn every_stage_value_and_rule_names_a_source() {
    let sources = sources();
    for key in stages().sources {
        assert!(sources.get(&key).is_some(), "{key}");
    }
    for region in Region::ALL {
        for larvae_for in LarvaeFor::ALL {
            let rules = UseRules::read("use-rules.csv", SHIPPED_USE_RULES, *larvae_for, *region)
                .expect("rules");
            for stream in streams().iter() {
                let rule = rules.strictest(stream, &[]).expect("a rule");
                assert!(sources.get(&rule.source).is_some(), "{}", rule.source);
            }
        }
    }
}

#[test]
fn caps_name_streams_of_the_table() {
    let (streams, stages) = (streams(), stages());
    for stage in &stages.stages {
        for stream in stage.caps.keys() {
            assert!(streams.get(stream).is_some(), "{stream}");
        }
    }
}

/// No published lignin or C:N limit for these larvae is known: the label must say so.
#[test]
fn thresholds_are_labelled_ours() {
    assert_eq!(stages().flag_limits.label, "our default");
    assert_eq!(
        sources().get("our-default").map(|source| source.evidence),
        Some(Evidence::OurDefault)
    );
}

/// Common practice, no source: what larvae leave is picked out, wood is composted, fruit is fed.
#[test]
fn verdicts_of_common_practice() {
    let (streams, stages) = (streams(), stages());
    let verdict = |id: &str| {
        let stream = streams.get(&StreamId::parse(id).expect("id")).expect(id);
        flag(stream, &stages.flag_limits, None).verdict
    };
    for id in [
        "spent-grain",
        "apple-culls",
        "grapes",
        "citrus-peel",
        "carrot-trim",
        "bread",
        "okara",
        "wheat-bran",
        "coffee-grounds",
    ] {
        assert_eq!(verdict(id), Verdict::Feed, "{id}");
    }
    for id in [
        "sawdust",
        "wood-shavings",
        "cardboard",
        "wheat-straw",
        "nut-shells",
        "corn-cobs",
        "dry-leaves",
    ] {
        assert_eq!(verdict(id), Verdict::Compost, "{id}");
    }
    for id in [
        "bones",
        "chicken-wings",
        "egg-whole",
        "avocado-whole",
        "corn-on-cob",
        "plum-culls",
    ] {
        assert_eq!(verdict(id), Verdict::PickOut, "{id}");
    }
}

/// Regulation (EC) 1069/2009 as restated in secondary sources: catering waste
/// and manure are barred from larvae bred for feed in the EU.
#[test]
fn eu_feed_farms_refuse_kitchen_waste_and_manure() {
    let (streams, stages) = (streams(), stages());
    let rules = UseRules::read(
        "use-rules.csv",
        SHIPPED_USE_RULES,
        LarvaeFor::PoultryFishPig,
        Region::Eu,
    )
    .expect("rules");
    for id in [
        "restaurant-mix",
        "household-mix",
        "poultry-litter",
        "meat-trim",
        "retail-mixed-surplus",
    ] {
        let stream = streams.get(&StreamId::parse(id).expect("id")).expect(id);
        let flagged = flag(stream, &stages.flag_limits, rules.strictest(stream, &[]));
        assert_eq!(flagged.verdict, Verdict::Refuse, "{id}");
        assert!(
            flagged.use_note.contains("local authority"),
            "{}",
            flagged.use_note
        );
    }
    let grain = streams
        .get(&StreamId::parse("spent-grain").expect("id"))
        .expect("stream");
    assert_eq!(
        rules.strictest(grain, &[]).map(|rule| rule.ruling),
        Some(Ruling::Allowed)
    );
    let touched = rules
        .strictest(grain, &[trayful::stream::Class::MeatFish])
        .expect("rule");
    assert_eq!(touched.ruling, Ruling::Barred);
}
