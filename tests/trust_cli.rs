//! What people see of an explanation, of buckets, of chances, and of slips in asking.

use std::path::Path;
use std::process::Command;

const STOCK: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\nG1,spent-grain,28.0,1,,,2\nG2,spent-grain,14.2,2,78.5,,1\nB1,bread,2.0,1,,,1\n";
const TARGETS: &str = "[group.growing]\ndry_matter_kg = 5.0\n[group.growing.window]\nmoisture_pct = { max = 72.0, limit_max = 80.0 }\n";
const WET: &str = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\nG1,spent-grain,28.0,1,,,2\nL1,lettuce-trim,6.0,1,,,1\n";

/// Standard output, standard error and exit code of `mix` on files of a fresh folder.
fn mix(stock: &str, targets: &str, more: &[&str]) -> (String, serde_json::Value, String) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), stock).expect("written");
    std::fs::write(folder.path().join("targets.toml"), targets).expect("written");
    let out = run(folder.path(), more);
    let stdout = String::from_utf8(out.stdout).expect("text");
    let stderr = String::from_utf8(out.stderr).expect("text");
    let json = serde_json::from_str(&stdout).unwrap_or(serde_json::Value::Null);
    let code = out.status.code().unwrap_or(-1);
    (format!("{stdout}{stderr}exit {code}\n"), json, stderr)
}

fn run(folder: &Path, more: &[&str]) -> std::process::Output {
    Command::new(assert_cmd::cargo::cargo_bin!("trayful"))
        .current_dir(folder)
        .args(["mix", "--stock", "stock.csv", "--targets", "targets.toml"])
        .args(more)
        .output()
        .expect("run")
}

#[test]
fn nearest_says_what_clashes_and_what_cures() {
    insta::assert_snapshot!(mix(STOCK, TARGETS, &["--plain"]).0, @"
    LOOK FIRST. Not everything can be met; this mix comes nearest.
    Tonight's mix
    - growing: moisture 72.5 %, 0.5 over 72 %: too wet, 0.35 kg of water too much
    With this stock you can't have all of these. Give up one: growing gets all its 5.00 kg of dry matter; growing moisture at most 72 %.
    Any one of these fixes it, cheapest first:
    1. drain or press 0.7 kg off lot G1 (to 76.5 % moisture); we assume the drained liquid is 3 % solids
    2. buy 0.2 kg of barley (price not known)
    3. buy 0.2 kg of chick-feed (price not known)
    4. buy 0.2 kg of rice-bran (price not known)
    5. test the moisture of lot G1 (spent-grain): at 75.9 % or less all fits

    growing
    Tip in all that is left, no need to weigh: B1 bread (2.0 kg).
     take          from lot    weight   buckets
    ------------- ---------- --------- --------- -------
     spent-grain   G1         16.2 kg       1.2   1.0 d
    In all 18.20 kg, dry matter 5.00 kg of 5.00 kg wanted
    exit 3
    ");
}

#[test]
fn all_too_wet_is_said_in_one_sentence() {
    let (text, _, _) = mix(WET, TARGETS, &[]);
    let line = text
        .lines()
        .find(|line| line.starts_with("Everything"))
        .expect("a sentence");
    assert_eq!(
        line,
        "Everything that may be fed to growing is wetter than 72 %. The driest, G1, has 77 %."
    );
}

#[test]
fn why_in_sentences_then_tables() {
    let targets = TARGETS.replace("72.0", "73.0").replace("5.0", "4.5");
    insta::assert_snapshot!(mix(STOCK, &targets, &["--plain", "--why"]).0, @"
    FEED THIS. Least sure: growing moisture, 5 in 10.
    Tonight's mix

    growing
    Tip in all that is left, no need to weigh: B1 bread (2.0 kg).
     take          from lot   weight   buckets
    ------------- ---------- -------- --------- -------
     spent-grain   G2         9.5 kg       0.7   2.0 d
     spent-grain   G1         5.2 kg       0.4   1.0 d
    In all 16.70 kg, dry matter 4.51 kg of 4.50 kg wanted

    The figures
     group     measure     value   window   limit            chance
    --------- ---------- -------- -------- ------- -------- ---------
     growing   moisture   73.0 %    to 73   to 80   inside   5 in 10

    Why this mix
    - growing gets all its 4.50 kg of dry matter: one more kg of dry matter leaves 3.09 kg more to spoil
    - growing moisture at most 73 %: one point looser uses 5.04 kg more of what spoils soon
     lot   is        one more kg
    ----- --------- ----------------------------------------
     B1    used up   uses 13.28 kg more of what spoils soon
     lot in use   stays best at a price per kg   same lots when drier by   same lots when wetter by
    ------------ ------------------------------ ------------------------- --------------------------
     G2           price makes no difference      3 points and more         3 points and more
     G1           price makes no difference      3 points and more         less than 1 point
     B1           price makes no difference      3 points and more         3 points and more

    Stays on hand
    27.50 kg: G2 4.7 kg, G1 22.8 kg
    exit 0
    ");
}

/// No English between: a sheet is in one language.
#[test]
fn a_mix_in_spanish() {
    insta::assert_snapshot!(mix(STOCK, TARGETS, &["--plain", "--why", "--buckets", "--lang", "es"]).0, @"
    MIRE ANTES. No todo se puede cumplir; esta mezcla es la más cercana.
    La mezcla de esta noche
    - crecimiento: humedad 72.4 %, 0.4 por encima de 72 %: demasiado húmedo, sobran 0.28 kg de agua
    Con estas existencias no se puede tener todo esto. Renuncie a uno: crecimiento recibe todos sus 5.00 kg de materia seca; crecimiento humedad a lo sumo 72 %.
    Cualquiera de estos basta, primero lo más barato:
    1. escurrir o prensar 0.7 kg del lote G1 (hasta 76.5 % de humedad); suponemos que el líquido lleva 3 % de sólidos
    2. comprar 0.2 kg de barley (precio desconocido)
    3. comprar 0.2 kg de chick-feed (precio desconocido)
    4. comprar 0.2 kg de rice-bran (precio desconocido)
    5. probar la humedad del lote G1 (spent-grain): con 75.9 % o menos todo cabe

    crecimiento
     tome          del lote   vacíe                              peso
    ------------- ---------- ------------------------------- --------- -------
     spent-grain   G1         1 cubo + 1.8 kg del siguiente   15.8 kg   1.0 d
     bread         B1         1 cubo                           2.0 kg   1.0 d
    En total 17.80 kg, materia seca 4.91 kg de 5.00 kg pedidos

    Las cifras
     grupo         medida     valor     margen     límite                    probabilidad
    ------------- --------- -------- ---------- ---------- ---------------- --------------
     crecimiento   humedad   72.4 %   hasta 72   hasta 80   DEMASIADO ALTO   4 de cada 10
    Cubos enteros, uno abierto por material como mucho: a 0.1 % de lo mejor posible, como mucho. Usa 8.61 kg de lo que pronto se estropea; 8.61 kg si los cubos se pudieran partir a gusto.

    Por qué esta mezcla
    De la mezcla antes de pasarla a cubos enteros:
    - crecimiento recibe todos sus 5.00 kg de materia seca: 1 kg más de materia seca pone la mezcla 0.16 más fuera de sus márgenes, usa 2.17 kg más de lo que pronto se estropea
    - crecimiento humedad a lo sumo 72 %: un punto más de holgura pone la mezcla 0.13 menos fuera de sus márgenes
    - el lote G2 no se usa; se usaría con 76.5 % de humedad
     lote   está           1 kg más
    ------ -------------- ------------------------------------------------------------------------------------
     B1     usado entero   pone la mezcla 0.35 menos fuera de sus márgenes, deja 1.13 kg más que se estropean
     G2     sin usar       pone la mezcla 0.013 más fuera de sus márgenes
     lote en uso   sigue siendo el mejor a un precio por kg de   los mismos lotes si es más seco en   los mismos lotes si es más húmedo en
    ------------- --------------------------------------------- ------------------------------------ --------------------------------------
     G1            el precio no importa                          menos de 1 punto                     1, no 3 puntos
     B1            el precio no importa                          3 puntos y más                       3 puntos y más

    Queda
    26.40 kg: G2 14.2 kg, G1 12.2 kg
    exit 3
    ");
    let (told, _, _) = mix(WET, TARGETS, &["--lang", "es"]);
    insta::assert_snapshot!(told, @"
    MIRE ANTES. No todo se puede cumplir; esta mezcla es la más cercana.
    La mezcla de esta noche
    - crecimiento: humedad 77.0 %, 5.0 por encima de 72 %: demasiado húmedo, sobran 3.88 kg de agua
    La granja pide 8 de cada 10. Ninguna mezcla de estas existencias es mucho más segura.
    Lo que más ayuda: compre 1.00 kg de rice-bran: entonces 3 de cada 10.
    Todo lo que se puede dar a crecimiento tiene más de 72 % de humedad. Lo más seco, G1, tiene 77 %.
    Cualquiera de estos basta, primero lo más barato:
    1. escurrir o prensar 5.6 kg del lote G1 (hasta 72 % de humedad); suponemos que el líquido lleva 3 % de sólidos
    2. comprar 1.3 kg de rice-bran (precio desconocido)
    3. comprar 1.4 kg de barley (precio desconocido)
    4. comprar 1.4 kg de chick-feed (precio desconocido)
    5. aflojar crecimiento humedad a lo sumo 72 % hasta 77 %

    crecimiento
     tome          del lote      peso   cubos
    ------------- ---------- --------- ------- -------
     spent-grain   G1         21.7 kg     1.6   1.0 d
    En total 21.70 kg, materia seca 4.99 kg de 5.00 kg pedidos

    Ojo esta noche
    - `crecimiento` puede gotear: humedad 77.0 %; desde un 75 % sale agua al apretar un puñado
    exit 3
    ");
}

#[test]
fn buckets_come_first() {
    let targets = TARGETS.replace("72.0", "77.5").replace("5.0", "6.2");
    insta::assert_snapshot!(mix(STOCK, &targets, &["--plain", "--buckets", "--smallest", "0.5kg", "--bucket-streams", "2"]).0, @"
    FEED THIS. Least sure: growing moisture, 5 in 10.
    Tonight's mix

    growing
     take          from lot   tip                      weight
    ------------- ---------- ----------------------- --------- -------
     spent-grain   G2         1 bucket                14.2 kg   2.0 d
     spent-grain   G1         12.3 kg of one bucket   12.3 kg   1.0 d
     bread         B1         0.5 kg of its bucket     0.5 kg   1.0 d
    In all 27.00 kg, dry matter 6.20 kg of 6.20 kg wanted

    Mind tonight
    - `growing` may drip: moisture 77.0 %; from about 75 % water runs when you squeeze a handful
    exit 0
    ");
}

#[test]
fn what_only_the_rule_on_buckets_keeps_out_is_said() {
    let targets = TARGETS.replace("72.0", "76.5").replace("5.0", "6.0");
    let plain = mix(STOCK, &targets, &[]).0;
    assert!(plain.contains("FEED THIS"), "{plain}");
    let (told, _, _) = mix(STOCK, &targets, &["--buckets", "--bucket-streams", "1"]);
    let verdict: Vec<&str> = told.lines().take(3).collect();
    insta::assert_snapshot!(verdict.join("\n"), @"
    LOOK FIRST. Whole buckets can't meet everything; split buckets can.
    Tonight's mix
    - growing: moisture 77.0 %, 0.5 over 76.5 %: too wet, 0.56 kg of water too much
    ");
    assert!(told.ends_with("exit 3\n"), "{told}");
}

#[test]
fn staying_close_to_nothing_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in [
        ("stock.csv", STOCK),
        ("targets.toml", TARGETS),
        ("last.csv", "group,stream,kg\n"),
    ] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    let out = run(folder.path(), &["--steady", "--last", "last.csv"]);
    let told = String::from_utf8(out.stdout).expect("text");
    assert!(told.contains("there is no mix to stay close to"), "{told}");
}

#[test]
fn json_carries_the_numbers() {
    let (_, value, _) = mix(
        STOCK,
        TARGETS,
        &["--json", "--why", "--sure", "0.9", "--buckets"],
    );
    assert_eq!(value["why"]["conflicts"][0]["demands"][1]["kind"], "window");
    let cures = value["why"]["cures"].as_array().expect("cures");
    let bought = cures.iter().filter(|cure| cure["kind"] == "buy");
    let mut tried = 0;
    for cure in bought {
        let (stream, kg) = (cure["stream"].as_str().expect("a stream"), &cure["kg"]);
        let stock = format!("{STOCK}N1,{stream},{kg},0,,,1\n");
        let (told, with_it, _) = mix(&stock, TARGETS, &["--json"]);
        assert_eq!(with_it["verdict"], "inside", "{cure}: {told}");
        tried += 1;
    }
    assert!(tried > 0, "{cures:?}");
    assert_eq!(value["sureness"]["asked"], 0.9);
    assert!(
        value["buckets"]["gap"]
            .as_f64()
            .is_some_and(|gap| gap < 0.05),
        "{}",
        value["buckets"]
    );
}

#[test]
fn a_chance_that_none_reaches_gives_the_surest() {
    let (text, _, _) = mix(STOCK, &TARGETS.replace("72.0", "74.0"), &["--sure", "0.95"]);
    assert!(
        text.contains("The farm asks for 19 in 20. No mix of this stock is much surer"),
        "{text}"
    );
}

#[test]
fn models_are_written_beside_the_name() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), STOCK).expect("written");
    std::fs::write(folder.path().join("targets.toml"), TARGETS).expect("written");
    let out = run(
        folder.path(),
        &["--plain", "--model", "night.mps", "--buckets"],
    );
    assert_eq!(out.status.code(), Some(3));
    for name in [
        "night-1-shortage.mps",
        "night-2-outside.mps",
        "night-3-urgent.mps",
    ] {
        let text = std::fs::read_to_string(folder.path().join(name)).expect(name);
        assert!(
            text.starts_with("NAME") && text.ends_with("ENDATA\n"),
            "{text}"
        );
    }
    let missing = run(folder.path(), &["--model", "nowhere/night.mps"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(
        String::from_utf8_lossy(&missing.stderr).contains("nowhere"),
        "{missing:?}"
    );
}

#[test]
fn slips_in_asking_are_named() {
    let asked: [&[&str]; 11] = [
        &["--sure", "1.2"],
        &["--sure", "nan"],
        &["--buckets", "--bucket-streams", "0"],
        &["--buckets", "--smallest", "much"],
        &["--most-lots", "few"],
        &["--plain", "--sure", "0.9"],
        &["--water", "some"],
        &["--liquor-dry", "40"],
        &["--steady"],
        &["--steady", "--last", "nothing.csv"],
        &["--last", "stock.csv"],
    ];
    let told: Vec<String> = asked
        .iter()
        .map(|asked| {
            let text = mix(STOCK, TARGETS, asked).0;
            let kept: Vec<&str> = text
                .lines()
                .filter(|line| line.starts_with("error") || line.starts_with("exit"))
                .collect();
            format!("{}: {}", asked.join(" "), kept.join(" | "))
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    --sure 1.2: error: `--sure`: `1.2` is not accepted; accepted: a chance from 0.5 to 0.999 | exit 2
    --sure nan: error: `--sure`: `nan` is not accepted; accepted: a chance from 0.5 to 0.999 | exit 2
    --buckets --bucket-streams 0: error: `--bucket-streams`: `0` is not accepted; accepted: a whole number from 1 to 100 | exit 2
    --buckets --smallest much: error: `--smallest`: `much` is not accepted; accepted: a number with lb, oz, kg, g or t, such as `32.2lb` or `12lb 3oz` | exit 2
    --most-lots few: error: `--most-lots`: `few` is not accepted; accepted: a whole number from 1 to 100 | exit 2
    --plain --sure 0.9: error: `--plain` and `--sure` do not go together | exit 2
    --water some: error: `--water`: `some` is not accepted; accepted: `never`, `last-resort`, or a weight with its unit | exit 2
    --liquor-dry 40: error: `--liquor-dry`: `40` is not accepted; accepted: per cent from 0 to 20 | exit 2
    --steady: error: `--steady` without a daybook needs the mix before; accepted: --last FILE, a table group,stream,kg | exit 2
    --steady --last nothing.csv: error: `nothing.csv` could not be read: No such file or directory (os error 2) | exit 2
    --last stock.csv: error: `--steady` is missing | exit 2
    ");
}

#[test]
fn the_mix_before_is_read_or_named() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("stock.csv"), STOCK).expect("written");
    std::fs::write(folder.path().join("targets.toml"), TARGETS).expect("written");
    let last = folder.path().join("last.csv");
    std::fs::write(
        &last,
        "group,stream,kg\ngrowing,spent-grain,14\ngrowing,bread,2\n",
    )
    .expect("written");
    let out = run(folder.path(), &["--steady", "--last", "last.csv", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).expect("json");
    assert!(value["change_kg"].is_number(), "{value}");
    std::fs::write(&last, "group,stream,kg\ngrowing,spent-gran,14\n").expect("written");
    let out = run(folder.path(), &["--steady", "--last", "last.csv"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(
        String::from_utf8_lossy(&out.stderr).contains("spent-grain"),
        "{out:?}"
    );
}
