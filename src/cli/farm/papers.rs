use std::path::PathBuf;

use clap::ValueEnum;
use clap_complete::Shell;
use schemars::Schema;
use schemars::generate::{SchemaGenerator, SchemaSettings};

use crate::cli::target::refuse_new;
use crate::cli::*;
use crate::quantity::wire::Versioned;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The folder to write them to, made where there is none; three new ones go into it
    folder: PathBuf,
}

/// The answers of commands to `--json`, by the command that gives them.
macro_rules! answers {
    ($fresh:ident: $($command:literal = $answer:ty;)+) => {
        [$(($command, $fresh().into_root_schema_for::<$answer>())),+]
    };
}

/// What `--json` answers look like, as JSON Schema.
fn schemas() -> impl IntoIterator<Item = (&'static str, Schema)> {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let fresh = || SchemaGenerator::new(settings.clone());
    answers! {fresh:
        "ahead" = Versioned<to_json::Ahead>;
        "cohort-list" = Vec<to_json::Cohort>;
        "harvest" = Versioned<to_json::Yields>;
        "learn" = Versioned<to_json::Learn>;
        "mix" = Versioned<to_json::MixAsked>;
        "mixes" = Versioned<to_json::Mixes>;
        "money" = Versioned<to_json::Money>;
        "month" = Versioned<to_json::Month>;
        "month-sites" = Versioned<to_json::Sites>;
        "statement" = Versioned<to_json::Statement>;
        "stock" = Vec<to_json::LotLine>;
        "streams" = Vec<to_json::Stream>;
        "trace" = Versioned<to_json::Trace>;
        "weigh" = Versioned<to_json::Ticket>;
    }
}

/// Manual pages, completions for shells and schemas, each in a folder of its own.
pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    refuse_new(setting, &args.folder)?;
    // In a folder that is new, nothing can be written over.
    let folder = |name: &str| {
        let folder = args.folder.join(name);
        std::fs::create_dir_all(&args.folder)
            .and_then(|()| std::fs::create_dir(&folder))
            .map(|()| folder.clone())
            .map_err(|error| unwritten(&folder, &error))
    };
    let command = help::command().name("trayful");
    let pages = folder("man")?;
    clap_mangen::generate_to(command.clone(), &pages).map_err(|error| unwritten(&pages, &error))?;
    let completions = folder("completions")?;
    for shell in Shell::value_variants() {
        clap_complete::generate_to(*shell, &mut command.clone(), "trayful", &completions)
            .map_err(|error| unwritten(&completions, &error))?;
    }
    let answers = folder("schema")?;
    for (name, schema) in schemas() {
        let path = answers.join(format!("{name}.json"));
        std::fs::write(&path, format!("{:#}\n", schema.to_value()))
            .map_err(|error| unwritten(&path, &error))?;
    }
    let mut document = Document::titled(say!("papers-title", folder = args.folder.display()));
    document.line(say!("papers-what"));
    setting.answer(json!({"folder": args.folder}), &document)
}

fn unwritten(folder: &std::path::Path, error: &std::io::Error) -> CliError {
    let folder = folder.display();
    CliError::refused(say!("not-written", name = folder, error = error))
}
