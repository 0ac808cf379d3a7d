//! Everyday words for streams: used and said where they mean one thing, asked
//! back where they may mean several.

use crate::farm::Farm;

fn weigh(farm: &Farm, word: &str, more: &[&str]) -> String {
    let args = ["weigh", "--supplier", "Hearth bakery", "--stream", word];
    let weights = ["--gross", "12.0lb", "--tare", "1.0lb"];
    let args: Vec<&str> = args.iter().chain(&weights).chain(more).copied().collect();
    farm.run(&args)
}

#[test]
fn a_word_with_one_meaning_is_used_and_said() {
    let farm = Farm::begun();
    for (number, word, stream) in [
        (1, "stale bread", "bread"),
        (2, "Pan Duro", "bread"),
        (3, "used coffee", "coffee-grounds"),
        (4, "Carrots", "carrot-trim"),
    ] {
        let told = weigh(&farm, word, &["--sure"]);
        let said = format!("“{word}” is written down as {stream} (");
        assert!(told.contains(&said) && told.ends_with("exit 0\n"), "{told}");
        let ticket = farm.json(&["trace", &number.to_string()]);
        assert_eq!(ticket["lots"][0]["stream"], stream, "{ticket}");
    }
    let own = weigh(&farm, "bread", &["--sure"]);
    assert!(!own.contains("written down as"), "{own}");
}

#[test]
fn a_word_with_several_meanings_is_never_guessed() {
    let farm = Farm::begun();
    let told = [
        "bakery",
        "manure",
        "scraps",
        "cáscaras",
        "cow manure",
        "stael bread",
        "bag",
    ];
    let told = told.map(|word| weigh(&farm, word, &["--sure"]));
    assert!(told.iter().all(|told| told.ends_with("exit 2\n")));
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!(farm.json(&["stock"]), serde_json::json!([]));
}

#[test]
fn streams_finds_shows_families_and_says_which_it_would_use() {
    let farm = Farm::begun();
    let told = ["bakery", "restos de cocina", "wholemeal", "bag"];
    let told = told.map(|word| farm.run(&["streams", word]));
    insta::assert_snapshot!(told.join("\n"));
    let told = farm.run(&["streams", "posos de café"]);
    let used = "“posos de café” means this stream: `weigh` takes it as coffee-grounds.";
    assert!(told.contains(used), "{told}");
    let bakery = farm.json(&["streams", "bakery"]);
    let bakery = bakery.as_array().expect("streams");
    assert!(bakery.iter().all(|stream| stream["class"] == "bakery"));
}

#[test]
fn a_file_may_say_everyday_words_and_each_is_told() {
    let farm = Farm::begun();
    let head = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note";
    let row = |id: &str, word: &str| {
        format!("2026-03-10T08:00,{id},Hearth bakery,{word},12,1,lb,,,,,,,\n")
    };
    let rows = [row("F1", "stale bread"), row("F2", "coffee")];
    farm.file("words.csv", format!("{head}\n{}", rows.concat()));
    let told = farm.run(&["weigh", "--file", "words.csv"]);
    assert!(told.contains("“stale bread” was taken as bread."), "{told}");
    assert!(
        told.contains("“coffee” was taken as coffee-grounds."),
        "{told}"
    );
    let rows = [row("F3", "bread"), row("F4", "bakery")];
    farm.file("words.csv", format!("{head}\n{}", rows.concat()));
    let told = farm.run(&["weigh", "--file", "words.csv"]);
    assert!(told.contains("row 3, `stream`: `bakery`"), "{told}");
}

/// A farm's own word goes before a shipped one, and needs no flag beside its book.
#[test]
fn a_farm_s_own_names_are_put_over_the_shipped_ones() {
    let farm = Farm::begun();
    let own = "name,language,means\nblue bin,en,lettuce-trim\nstale bread,en,bread-wholemeal\n";
    farm.file("farm.stream-names.csv", own);
    for (word, stream) in [
        ("blue bins", "lettuce-trim"),
        ("stale bread", "bread-wholemeal"),
        ("beer grain", "spent-grain"),
    ] {
        let told = farm.run(&["streams", word]);
        let used = format!("`weigh` takes it as {stream}.");
        assert!(told.contains(&used), "{told}");
    }
    farm.file(
        "other.csv",
        "name,language,means\nblue bin,en,letuce-trim\n",
    );
    let told = farm.run(&["streams", "blue bin", "--names", "other.csv"]);
    insta::assert_snapshot!(told, @"
    --- stderr
    error: `other.csv` row 2, `means`: `letuce-trim` is not accepted; accepted: a stream of the stream table; nearest: lettuce-trim (produce)
    hint: nothing was recorded; mend the file and run the same command again
    exit 1
    ");
}
