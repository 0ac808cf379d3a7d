//! Malformed input: a clear error, exit 1 or 2, nothing recorded, never a panic.

use crate::farm::Farm;

const HEADER: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets";
const TARGETS: &str = "[group.g]\ndry_matter_kg = 5.0\n";

fn refused(farm: &Farm, args: &[&str]) -> String {
    let told = farm.run(args);
    assert!(
        told.contains("error: ") && (told.ends_with("exit 1\n") || told.ends_with("exit 2\n")),
        "{args:?}: {told}"
    );
    assert!(!told.contains("panicked"), "{told}");
    told
}

fn mix(stock: impl AsRef<[u8]>, targets: impl AsRef<[u8]>) -> String {
    let farm = Farm::without_book();
    farm.file("stock.csv", stock);
    farm.file("targets.toml", targets);
    refused(
        &farm,
        &["mix", "--stock", "stock.csv", "--targets", "targets.toml"],
    )
}

#[test]
fn stock_tables() {
    let row = |cells: &str| format!("{HEADER}\n{cells}\n");
    let told = [
        mix("", TARGETS),
        mix("\u{feff}", TARGETS),
        mix(HEADER.replace(',', ";"), TARGETS),
        mix(b"lot,stream\xff\xfe\n", TARGETS),
        mix(format!("{HEADER},kg\n"), TARGETS),
        mix(row("1,spent-grain,NaN,1,,,"), TARGETS),
        mix(row("1,spent-grain,inf,1,,,"), TARGETS),
        mix(row("1,spent-grain,1e308,1,,,"), TARGETS),
        mix(row("1,spent-grain,-3,1,,,"), TARGETS),
        mix(row("1,spent-grain,3,1,101,,"), TARGETS),
        mix(row("1,spnt-grain,3,1,,,"), TARGETS),
        mix(row("1,spent-grain,3,1,,,\n1,bread,3,1,,,"), TARGETS),
        mix(row("1,spent-grain,3"), TARGETS),
        mix(row("1,spent-grain,,,,,"), TARGETS),
        mix(row("1,\"spent-grain,3,1,,,"), TARGETS),
    ];
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn targets() {
    let stock = format!("{HEADER}\n1,spent-grain,30,1,,,\n");
    let told = [
        mix(&stock, ""),
        mix(&stock, "[group.g"),
        mix(&stock, "[group.g]\n"),
        mix(&stock, "[group.g]\ndry_matter_kg = nan\n"),
        mix(&stock, "[group.g]\ndry_matter_kg = inf\n"),
        mix(&stock, "[group.g]\ndry_matter_kg = 1e308\n"),
        mix(&stock, "[group.g]\ndry_matter_kg = \"five\"\n"),
        mix(&stock, "[group.g]\ndry_matter_kg = 5\nlarvae = 3\n"),
        mix(
            &stock,
            "[group.g]\ndry_matter_kg = 5\n[group.g.window]\nmoisture_pct = { min = 80, max = 60 }\n",
        ),
        mix(
            &stock,
            "[group.g]\ndry_matter_kg = 5\n[group.g.window]\nprotein = { min = 8 }\n",
        ),
        mix(
            &stock,
            "[group.g]\ndry_matter_kg = 5\n[group.g.cap]\nwheat-brn = 10\n",
        ),
        mix(
            &stock,
            "[group.g]\ndry_matter_kg = 5\n[[buy]]\nstream = \"bread\"\nprice_per_kg = 1\n",
        ),
        mix(&stock, b"[group.g]\n\xff\n"),
    ];
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn arguments() {
    let farm = Farm::stocked();
    let before = farm.json(&["check"])["seal"].clone();
    let bucket = |gross: &'static str, tare: &'static str| {
        vec![
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            gross,
            "--tare",
            tare,
        ]
    };
    let mut told = Vec::new();
    for (gross, tare) in [
        ("", "1lb"),
        ("heavy", "1lb"),
        ("NaN", "1lb"),
        ("inf lb", "1lb"),
        ("1e308kg", "1lb"),
        ("-5lb", "1lb"),
        ("2 tons", "1lb"),
        ("3 stone", "1lb"),
        ("5lb", "6lb"),
        ("500t", "0"),
    ] {
        told.push(refused(&farm, &bucket(gross, tare)));
    }
    for args in [
        vec!["weigh", "--stream", "bread"],
        vec![
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "\u{1b}[31mred",
            "--gross",
            "5lb",
            "--tare",
            "0",
        ],
        vec![
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5lb",
            "--tare",
            "0",
            "--ticket",
            "r12",
        ],
        vec![
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5lb",
            "--tare",
            "0",
            "--at",
            "yesterday",
        ],
        vec![
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            "Hearth bakery",
            "--gross",
            "5lb",
            "--container",
            "barrel",
        ],
        vec!["weigh", "--file", "nothing.csv"],
        vec![
            "cohort",
            "add",
            "H9",
            "--hatched",
            "2026-02-30",
            "--larvae",
            "5",
            "--trays",
            "1",
            "--tray-area",
            "0.2",
        ],
        vec![
            "cohort",
            "add",
            "H9",
            "--hatched",
            "2026-02-20",
            "--larvae",
            "-5",
            "--trays",
            "0",
            "--tray-area",
            "9999",
        ],
        vec!["mix", "--buy", "wheat-bran"],
        vec!["mix", "--buy", "sawdust=5kg@1"],
        vec!["mix", "--stock", "nothing.csv"],
        vec!["fed", "--change", "A1"],
        vec!["fed", "--sheet", "r2"],
        vec!["month", "march"],
        vec!["wiegh"],
        vec!["check", "--seal", "nonsense"],
    ] {
        told.push(refused(&farm, &args));
    }
    assert_eq!(
        before,
        farm.json(&["check"])["seal"],
        "nothing was recorded"
    );
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn the_farm_s_own_stream_table() {
    let farm = Farm::begun();
    farm.file("farm.streams.csv", "stream,name\nx,y\n");
    let told = refused(&farm, &["stock"]);
    insta::assert_snapshot!(told);
}

/// A zone in brackets would be passed over, and a mark that turns the direction
/// of text lets a name be read as another.
#[test]
fn what_would_be_read_otherwise_than_it_is_written() {
    let farm = Farm::begun();
    let weigh = |supplier: &str, at: &str| {
        farm.run(&[
            "weigh",
            "--stream",
            "bread",
            "--supplier",
            supplier,
            "--gross",
            "9lb",
            "--tare",
            "0",
            "--at",
            at,
        ])
    };
    for at in [
        "2026-03-10T10:00[Europe/Madrid]",
        "2026-03-10T10:00+01:00[Europe/Madrid]",
    ] {
        let told = weigh("Hearth bakery", at);
        assert!(
            told.contains("`--at`") && told.ends_with("exit 2\n"),
            "{told}"
        );
    }
    for supplier in ["Hearth \u{202e}yrekab", "\u{2066}Hearth", "Hearth\u{200f}"] {
        let told = weigh(supplier, "2026-03-10T10:00");
        assert!(
            told.contains("`supplier`") && told.ends_with("exit 2\n"),
            "{told}"
        );
    }
}
