//! The shipped tables hold together: every figure has a source, every class a rule.

use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::stream::{
    Analyte, Class, Evidence, LarvaeFor, Leave, Meant, Region, Ruling, SHIPPED_LABELS,
    SHIPPED_NAMES, SHIPPED_SOURCES, SHIPPED_STREAMS, SHIPPED_USE_RULES, SourceTable, Stream,
    StreamId, StreamTable, UseRules, Verdict, flag, read_labels, read_names,
};

fn streams() -> StreamTable {
    StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams")
}

fn named() -> StreamTable {
    streams().with_names(read_names("names.csv", SHIPPED_NAMES).expect("names"))
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
    assert!(streams.iter().count() >= 45);
    for stream in streams.iter() {
        assert!(
            sources.get(&stream.source).is_some(),
            "{} names {}",
            stream.id.as_str(),
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
            let rules = UseRules::read("use-rules.csv", SHIPPED_USE_RULES, larvae_for, region)
                .expect("rules");
            for stream in streams().iter() {
                let rule = rules.strictest(stream, &[]).expect("a rule");
                assert!(sources.get(&rule.source).is_some(), "{}", rule.source);
            }
        }
    }
}

#[test]
fn caps_cover_streams_of_the_table_and_a_farm_s_own_of_the_kind() {
    let (streams, stages) = (streams(), stages());
    let of = |id: &str| streams.get(&StreamId::parse(id).expect("id")).expect(id);
    let mut ground_shell = of("citrus-peel").clone();
    ground_shell.id = StreamId::parse("ground-shell").expect("id");
    ground_shell.class = Class::Mineral;
    let cap = |age: i32, stream: &Stream| {
        let cap = stages.at_age(age).expect("a stage").cap_of(stream);
        cap.map(|cap| (cap.name.as_str().to_owned(), cap.share.value.pct()))
    };
    for stage in &stages.stages {
        for cap in &stage.caps {
            let covers = |stream: &Stream| stage.cap_of(stream) == Some(cap);
            let any = streams.iter().any(covers) || covers(&ground_shell);
            assert!(any, "{}", cap.name.as_str());
        }
    }
    for (id, name) in [
        (of("coffee-grounds"), "coffee"),
        (of("citrus-peel"), "citrus"),
        (of("onion-trim"), "onion"),
        (&ground_shell, "mineral"),
    ] {
        assert_eq!(cap(4, id), Some((name.to_owned(), 0.0)), "{name}");
        let older = cap(9, id).expect(name);
        assert!(older.0 == name && older.1 > 0.0, "{name}: {older:?}");
    }
    let mut own = of("citrus-peel").clone();
    own.id = StreamId::parse("orange-halves").expect("id");
    assert_eq!(cap(4, &own), Some(("citrus".to_owned(), 0.0)));
    own.id = StreamId::parse("lettuce").expect("id");
    assert_eq!(cap(4, &own), None);
}

/// No published lignin or C:N limit for these larvae is known: the label must say so.
#[test]
fn thresholds_are_labelled_ours() {
    assert_eq!(stages().flag_limits.label, "our-default");
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
        flag(stream, &stages.flag_limits, None, None).verdict
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
        "bones",
        "eggshell",
    ] {
        assert_eq!(verdict(id), Verdict::Compost, "{id}");
    }
    for id in [
        "household-mix",
        "restaurant-mix",
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
        let flagged = flag(
            stream,
            &stages.flag_limits,
            rules.strictest(stream, &[]),
            None,
        );
        assert_eq!(flagged.verdict, Verdict::Refuse, "{id}");
        let note = flagged.use_note.in_english();
        assert!(note.contains("local authority"), "{note}");
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

/// Every figure of a shipped row has a label of its own; no price is ours.
#[test]
fn every_figure_is_labelled() {
    let mut labels = read_labels("labels.csv", SHIPPED_LABELS).expect("labels");
    let streams = streams().labelled(labels.clone());
    for stream in streams.iter() {
        let said = labels.remove(&stream.id).expect("a row of labels");
        let part = stream.inedible.as_ref().and_then(|part| part.share);
        let spread = (stream.moisture.and_then(|moisture| moisture.sd))
            .or(stream.analytes.values().find_map(|share| share.sd));
        for (figure, is_there, label) in [
            ("composition", true, said.composition),
            ("spread", spread.is_some(), said.spread),
            ("density", stream.bulk_density.is_some(), said.density),
            ("inedible", part.is_some(), said.inedible),
            ("keeping", stream.keeps_days.is_some(), said.keeping),
        ] {
            assert_eq!(is_there, label.is_some(), "{} {figure}", stream.id.as_str());
        }
        assert_eq!(stream.price_per_kg, None, "{}", stream.id.as_str());
        assert!(said.food.is_some(), "{}", stream.id.as_str());
        let (of, stands_for) = said.stands_in.unwrap_or(("a".into(), "b".into()));
        assert!(
            !of.is_empty() && !stands_for.is_empty(),
            "{}",
            stream.id.as_str()
        );
    }
    assert!(labels.is_empty(), "{labels:?}");
}

/// Mouldy loads are barred whatever the use, and every rule has its year.
#[test]
fn mouldy_loads_are_barred_for_every_use() {
    let sources = sources();
    for (region, larvae_for) in Region::ALL
        .iter()
        .flat_map(|region| LarvaeFor::ALL.iter().map(move |use_| (*region, *use_)))
    {
        let rules = UseRules::read("use-rules.csv", SHIPPED_USE_RULES, larvae_for, region);
        let rules = rules.expect("rules");
        let mouldy = rules.mouldy().expect("a rule for mouldy loads");
        assert_eq!(mouldy.ruling, Ruling::Barred, "{larvae_for} {region}");
        assert!(sources.get(&mouldy.source).is_some(), "{}", mouldy.source);
        for stream in streams().iter() {
            let rule = rules.strictest(stream, &[]).expect("a rule");
            assert!(!rule.source_year.is_empty(), "{}", stream.id.as_str());
            // "none" is an own reading, so it may not call a source seen.
            let evidence = sources.get(&rule.source).map(|source| source.evidence);
            let is_ours = evidence == Some(Evidence::OurDefault);
            assert_eq!(rule.source_year == "none", is_ours, "{}", rule.source);
        }
    }
}

/// Poultry litter under larvae that are no feed: it waits until leave is in the
/// book, of whoever the leave is for; nothing barred is lifted.
#[test]
fn ask_first_waits_for_leave() {
    let (streams, stages) = (streams(), stages());
    let rules = UseRules::read(
        "use-rules.csv",
        SHIPPED_USE_RULES,
        LarvaeFor::NotFeed,
        Region::Us,
    );
    let leave = Leave {
        stream: StreamId::parse("poultry-litter").expect("id"),
        supplier: Some("Hill farm (invented)".into()),
        given_by: "county office".into(),
        given_on: "2026-03-01".parse().expect("day"),
        what_for: "compost larvae only".into(),
    };
    let rules = rules.expect("rules").with_leaves(&[leave]);
    let judged = |id: &str, supplier: &str, touched: &[Class]| {
        let stream = streams.get(&StreamId::parse(id).expect("id")).expect(id);
        let leave = rules.leave(&stream.id, Some(supplier));
        flag(
            stream,
            &stages.flag_limits,
            rules.strictest(stream, touched),
            leave,
        )
    };
    let held = judged("poultry-litter", "Anyone else", &[]);
    assert_eq!(held.verdict, Verdict::AskFirst);
    let note = held.use_note.in_english();
    assert!(note.contains("ask first"), "{note}");
    let lifted = judged("poultry-litter", " hill FARM (invented)", &[]);
    assert_eq!(lifted.verdict, Verdict::Feed);
    let note = lifted.use_note.in_english();
    assert!(
        note.starts_with("leave given by county office on 2026-03-01 for: compost larvae only"),
        "{note}"
    );
    for id in ["restaurant-mix", "meat-trim"] {
        assert_eq!(judged(id, "Anyone", &[]).verdict, Verdict::AskFirst, "{id}");
    }
    assert_eq!(
        judged("bread", "Anyone", &[Class::MeatFish]).verdict,
        Verdict::AskFirst
    );
    assert_eq!(judged("bones", "Anyone", &[]).verdict, Verdict::Compost);
}

/// What people type finds streams of the kind they mean.
#[test]
fn near_streams_are_of_the_kind_meant() {
    let streams = named();
    let near = |word: &str| streams.nearest(word);
    assert_eq!(near("cow manure"), ["poultry-litter (manure)"]);
    assert_eq!(near("raw chicken manure"), ["poultry-litter (manure)"]);
    assert_eq!(near("manure of raw chicken"), ["poultry-litter (manure)"]);
    for (family, ending) in [
        ("bakery", "(bakery)"),
        ("panaderia", "(bakery)"),
        ("scraps", "(kitchen)"),
        ("school kitchen scraps", "(kitchen)"),
        ("estiércol de vaca", "(manure)"),
    ] {
        let near = near(family);
        let of_it = near.iter().all(|stream| stream.ends_with(ending));
        assert!(of_it && !near.is_empty(), "{family}: {near:?}");
    }
    assert_eq!(near("bag"), [""; 0]);
    assert_eq!(near("an"), [""; 0]);
    assert_eq!(near("spnt-grain")[0], "spent-grain (grain)");
    assert_eq!(near("wheat-brn")[0], "wheat-bran (grain)");
    assert_eq!(near("old melons and rinds")[0], "melon-trim (produce)");
}

#[test]
fn other_names_stand_for_what_is_there_and_hide_no_id() {
    let streams = named();
    let mut names = 0;
    let table = std::str::from_utf8(SHIPPED_NAMES).expect("text");
    for line in table.lines().skip(1) {
        let [name, language, means] = line.split(',').collect::<Vec<_>>()[..] else {
            panic!("{line}");
        };
        assert!(["en", "es"].contains(&language), "{line}");
        let is_stream = StreamId::parse(means).is_some_and(|id| streams.get(&id).is_some());
        assert!(is_stream || Class::parse(means).is_some(), "{line}");
        let found = match streams.meant(name) {
            Meant::Name(stream) => vec![stream],
            Meant::Several(several) => several,
            other => panic!("{line}: {other:?}"),
        };
        let meant =
            |stream: &&Stream| stream.id.as_str() == means || stream.class.as_str() == means;
        assert!(found.iter().any(meant), "{line}: {found:?}");
        names += 1;
    }
    assert!(names > 300, "{names}");
    for stream in streams.iter() {
        assert_eq!(streams.meant(stream.id.as_str()), Meant::Id(stream));
    }
}

/// Anses. 2020. Ciqual French food composition table: of each analyte at least
/// nine cells in ten lie within two of our standard deviations. That table had
/// no part in setting them.
#[test]
fn an_independent_food_table_lies_within_two_spreads() {
    let streams = streams();
    let names = ["moisture", "protein", "fat", "fibre", "ash"];
    let mut inside = [0_u32; 5];
    let mut cells = [0_u32; 5];
    let rows = include_str!("data/ciqual.txt").lines();
    for row in rows.filter(|line| !line.starts_with('#')) {
        let mut words = row.split(' ');
        let id = words.next().and_then(StreamId::parse).expect("a stream");
        let stream = streams.get(&id).expect("a stream of the table");
        let as_fed: Vec<Option<f64>> = words.skip(1).map(|word| word.parse().ok()).collect();
        let dry = 1.0 - as_fed[0].expect("water") / 100.0;
        for (at, name) in names.into_iter().enumerate() {
            let Some(theirs) = as_fed[at] else { continue };
            let (ours, sd, theirs) = if at == 0 {
                let of = stream.moisture.expect("moisture");
                (of.value.pct(), of.sd, theirs)
            } else {
                let of = &stream.analytes[&Analyte::named(name)];
                (of.value.pct(), of.sd, theirs / dry)
            };
            let sd = 100.0 * sd.expect("a spread");
            cells[at] += 1;
            inside[at] += u32::from((theirs - ours).abs() <= 2.0 * sd);
        }
    }
    for (at, name) in names.into_iter().enumerate() {
        let share = f64::from(inside[at]) / f64::from(cells[at]);
        assert!(cells[at] >= 25, "{name}: {} cells", cells[at]);
        assert!(share >= 0.9, "{name}: {} of {}", inside[at], cells[at]);
    }
}

/// No analyte that a shipped window holds is without a spread where it is known.
#[test]
fn every_known_figure_of_a_window_has_a_spread() {
    let windows = ["protein", "fat", "fibre", "ash"];
    for stream in streams().iter().filter(|of| !of.is_not_listed()) {
        let moisture = stream.moisture.expect("moisture");
        assert!(moisture.sd.is_some(), "{}", stream.id.as_str());
        for name in windows {
            let known = stream.analytes.get(&Analyte::named(name));
            assert!(
                known.is_none_or(|of| of.sd.is_some()),
                "{}: {name}",
                stream.id.as_str()
            );
        }
    }
}

/// Every stream shipped is called something of its own in Spanish.
#[test]
fn every_stream_has_a_spanish_name() {
    let words = include_str!("../data/words/es/streams.ftl");
    let streams = include_str!("../data/streams.csv");
    let ids: Vec<&str> = streams
        .lines()
        .skip(1)
        .filter_map(|row| row.split(',').next())
        .collect();
    assert!(ids.len() > 80);
    for id in &ids {
        assert!(
            words.contains(&format!("[{id}] ")),
            "{id} has no Spanish name"
        );
    }
    let named = words
        .lines()
        .filter(|line| line.trim_start().starts_with('['));
    assert_eq!(named.count(), ids.len(), "a name of no stream");
}
