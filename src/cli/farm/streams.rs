use crate::acts::{ActError, OwnStreamText, Tables, add_own_stream};
use crate::cli::*;
use crate::sheet::{Align, Grid, StreamLine, grid, streams_document};
use crate::stream::{Analyte, Evidence, Meant, Measure, Stream, UseRules};

#[derive(clap::Args)]
pub(crate) struct Args {
    /// One stream with its source, by id or an everyday word; a word for several finds them
    stream: Option<String>,
    /// Name a stream of the farm's own: figures are taken from this one, but for what follows
    #[arg(long, value_name = "STREAM", requires = "stream")]
    like: Option<String>,
    /// Its moisture, per cent of the weight as fed
    #[arg(long, value_name = "PCT", requires = "like")]
    moisture: Option<String>,
    /// Days it keeps
    #[arg(long, value_name = "DAYS", requires = "like")]
    keeps: Option<String>,
    /// Be stricter with it: pick-out, ask-first, compost or refuse
    #[arg(long, value_name = "VERDICT", requires = "like")]
    verdict: Option<String>,
    /// Unlikely figures are meant
    #[arg(long, requires = "like")]
    sure: bool,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    if let (Some(name), Some(like)) = (&args.stream, &args.like) {
        return name_own(setting, args, name, like);
    }
    let default_book = setting.is_usual_book();
    let mut tables = setting.load_tables()?;
    let (rules, farm) = if default_book && !setting.daybook.exists() {
        (None, say!("streams-no-book"))
    } else {
        let (book, farm, own) = setting.open_all()?;
        tables = own.of_farm(&book, setting.now)?.into_owned();
        let rules = tables.rules(&farm)?;
        (
            Some(rules),
            say!(
                "streams-for",
                larvae = farm.larvae_for,
                region = farm.region
            ),
        )
    };
    if let Some(name) = &args.stream {
        return one(setting, &tables, rules.as_ref(), name);
    }
    let lines: Vec<StreamLine> = tables
        .streams
        .iter()
        .map(|stream| line(&tables, rules.as_ref(), stream))
        .collect();
    let mut document = streams_document(&lines, &farm);
    for caution in &tables.cautions {
        document.caution(caution.clone());
    }
    setting.list(to_json::each::<_, to_json::Stream>(&lines), &document)
}

/// Records a stream of the farm's own by one it is like.
fn name_own(setting: &Setting, args: &Args, name: &str, like: &str) -> Done {
    let (mut book, farm, tables) = setting.open_all()?;
    let text = OwnStreamText {
        name: name.to_owned(),
        like: like.to_owned(),
        moisture_pct: args.moisture.clone(),
        keeps_days: args.keeps.clone(),
        verdict: args.verdict.clone(),
    };
    let asked = setting.asked(&farm.zone)?;
    let kept = unless_doubted(setting, asked, args.sure, |asked| {
        add_own_stream(&mut book, (&farm, &tables), &text, asked)
    })?;
    let tables = setting.tables_of(&book)?;
    let line = StreamLine {
        stream: kept.stream,
        flag: kept.flag,
    };
    let next = say!("stream-own-kept", seq = kept.record);
    told(setting, &tables, &line, None, Some(next))
}

fn line(tables: &Tables, rules: Option<&UseRules>, stream: &Stream) -> StreamLine {
    StreamLine {
        stream: stream.clone(),
        flag: tables.judge(stream, rules, None),
    }
}

/// What a word means: one stream, or those it may mean.
fn one(setting: &Setting, tables: &Tables, rules: Option<&UseRules>, word: &str) -> Done {
    let (title, near) = match tables.streams.meant(word) {
        Meant::Id(stream) => {
            return told(setting, tables, &line(tables, rules, stream), None, None);
        }
        Meant::Name(stream) => {
            let taken = say!("streams-taken-as", word, stream = &stream.id);
            return told(
                setting,
                tables,
                &line(tables, rules, stream),
                Some(taken),
                None,
            );
        }
        Meant::Several(near) => (say!("streams-several", word), near),
        Meant::Near(near) if near.is_empty() => {
            return Err(ActError::NotFound {
                what: "stream",
                seen: word.to_owned(),
                nearest: Vec::new(),
            }
            .into());
        }
        Meant::Near(near) => (say!("streams-near", word), near),
    };
    let lines: Vec<StreamLine> = (near.iter())
        .map(|stream| line(tables, rules, stream))
        .collect();
    let mut document = Document::titled(title);
    document.table(grid!(for StreamLine { stream, flag } in &lines => {
        Left say!("stream") => &stream.id,
        Left "" => &stream.name,
        Left say!("streams-class") => stream.class,
        Left say!("stock-verdict") => flag.said(),
    }));
    document.next(say!("streams-name-one", stream = &near[0].id));
    setting.list(to_json::each::<_, to_json::Stream>(&lines), &document)
}

fn told(
    setting: &Setting,
    tables: &Tables,
    line: &StreamLine,
    taken: Option<Said>,
    next: Option<Said>,
) -> Done {
    let stream = &line.stream;
    let (name, id, class) = (&stream.name, &stream.id, stream.class);
    let mut document = Document::titled(say!("stream-title", name, id, class));
    document.answer(Tone::Plain, say!("stream-verdict", flag = line.flag.said()));
    if let Some(taken) = taken {
        document.line(taken);
    }
    document.table(figures(stream));
    if let Some(stand_in) = stream.labels.stand_in() {
        document.caution(say!("stream-stands-in", stand_in));
    }
    if !line.flag.use_note.is_empty() {
        document.line(say!("ticket-use", note = &line.flag.use_note));
    }
    match tables.sources.get(&stream.source) {
        Some(source) => {
            let evidence = Evidence::said(Some(source.evidence));
            let citation = &source.citation;
            document.line(say!("stream-source", evidence, citation));
            document.small(source.note.clone());
        }
        None => document.line(match &stream.like {
            Some(stream) => say!("stream-source-like", stream),
            None => say!("stream-source-own", source = &stream.source),
        }),
    }
    if let Some(next) = next {
        document.next(next);
    }
    setting.list([to_json::Stream::from(line)], &document)
}

/// Every figure of a stream with its spread and how well it is supported.
fn figures(stream: &Stream) -> Grid {
    let labels = &stream.labels;
    let mut grid = Grid::new(&[
        (say!("figure"), Align::Left),
        (say!("figure-value"), Align::Right),
        (say!("figure-spread"), Align::Right),
        (say!("figure-is"), Align::Left),
        (say!("figure-spread-is"), Align::Left),
    ]);
    let shares = (stream.moisture.iter())
        .map(|moisture| {
            let name = say!("figure-moisture");
            (name, moisture.value.pct(), moisture.sd, labels.moisture)
        })
        .chain(stream.analytes.iter().map(|(analyte, share)| {
            let measure = Measure::Analyte(Analyte::clone(analyte)).said();
            let name = say!("figure-of-dry-matter", measure);
            (name, share.value.pct(), share.sd, labels.composition)
        }));
    for (name, pct, sd, label) in shares {
        let (spread, spread_is) = match sd {
            Some(sd) => {
                let is = Evidence::said(labels.spread);
                (format!("{:.1}", sd * 100.0).into(), is)
            }
            None => (say!("figure-unknown"), Said::default()),
        };
        let is = Evidence::said(label);
        grid.row([name, format!("{pct:.1} %").into(), spread, is, spread_is]);
    }
    let mut row = |name: Said, value: Said, is: Said| {
        grid.row([name, value, Said::default(), is, Said::default()]);
    };
    if let Some(share) = stream.reckoned(&Measure::NonFibreCarbohydrate) {
        let measure = Measure::NonFibreCarbohydrate.said();
        let pct = format!("{:.1} %", share * 100.0);
        let name = say!("figure-of-dry-matter", measure);
        row(name, pct.into(), say!("figure-reckoned"));
    }
    if let Some(ratio) = stream.carbon_to_nitrogen() {
        let is = match stream.carbon_to_nitrogen_tested {
            Some(_) => say!("figure-tested"),
            None => say!("figure-reckoned"),
        };
        let name = say!("figure-carbon-to-nitrogen");
        row(name, format!("{ratio:.0}").into(), is);
    }
    if let Some(density) = stream.bulk_density {
        let kg = format!("{:.0} kg/m3", density.kg_per_m3());
        let is = Evidence::said(labels.density);
        row(say!("figure-density"), kg.into(), is);
    }
    if let Some(part) = &stream.inedible {
        let (share, is) = match part.share {
            Some(share) => {
                let is = Evidence::said(labels.inedible);
                (format!("{:.0} %", share.pct()).into(), is)
            }
            None => (say!("figure-unknown"), Said::default()),
        };
        row(say!("figure-inedible", kind = &part.kind), share, is);
    }
    if let Some(days) = stream.keeps_days {
        let is = Evidence::said(labels.keeping);
        row(say!("figure-keeps"), say!("figure-days", days), is);
    }
    let (price, is) = match stream.price_per_kg {
        Some(price) => (format!("{price:.2}").into(), say!("figure-own")),
        None => (say!("figure-unknown"), Said::default()),
    };
    row(say!("figure-price"), price, is);
    grid
}
