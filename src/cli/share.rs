//! Records sent to the database of a network of sites. A build without the
//! feature `share` has the command, which then says how to get it.

use std::path::PathBuf;

use crate::cli::*;

#[derive(clap::Args)]
#[cfg_attr(not(feature = "share"), allow(dead_code))]
pub(super) struct Args {
    /// The database, as postgres://SITE@HOST/DATABASE; a password is taken from PGPASSWORD
    #[arg(
        long,
        env = "TRAYFUL_SHARE_TO",
        hide_env_values = true,
        value_name = "ADDRESS"
    )]
    to: String,
    /// Make the tables there, or bring them up, and send nothing: for whoever keeps the database
    #[arg(long)]
    prepare: bool,
    #[command(flatten)]
    line: LineArgs,
}

/// How a database on another machine is spoken to.
#[derive(clap::Args)]
#[cfg_attr(not(feature = "share"), allow(dead_code))]
pub(super) struct LineArgs {
    /// Who signed the database's certificate, as PEM; whom this machine trusts if left out
    #[arg(long, value_name = "FILE")]
    ca: Option<PathBuf>,
    /// Speak to another machine without TLS: all can be read and changed on the way
    #[arg(long, conflicts_with = "ca")]
    no_tls: bool,
}

#[cfg(not(feature = "share"))]
pub(super) fn run(_: &Setting, _: &Args) -> Done {
    Err(left_out())
}

/// That this program was built without.
#[cfg(not(feature = "share"))]
pub(super) fn left_out() -> CliError {
    CliError::refused(say!("share-left-out")).with_hint(say!("hint-share-build"))
}

#[cfg(feature = "share")]
pub(super) use built_in::run;

#[cfg(feature = "share")]
mod built_in {
    use super::*;
    use crate::share::{Address, ShareError};

    impl LineArgs {
        pub(in crate::cli) fn address(&self, text: &str) -> Result<Address, CliError> {
            let authority = self.ca.as_deref().map(read_file).transpose()?;
            let authority = authority.map(|file| file.bytes);
            let password = std::env::var("PGPASSWORD").ok();
            Ok(Address::parse(text, password, authority, self.no_tls)?)
        }
    }

    impl From<ShareError> for CliError {
        fn from(error: ShareError) -> Self {
            let error = match error {
                ShareError::Book(error) => return error.into(),
                error => error,
            };
            let failed = match &error {
                ShareError::Address(_) => Self::usage(error.said()),
                _ => Self::refused(error.said()),
            };
            match error {
                ShareError::Broke { .. } => failed.with_hint(say!("hint-share-again")),
                ShareError::NotPrepared { .. } => failed.with_hint(say!("hint-share-prepare")),
                ShareError::Fork { .. } => failed.with_hint(say!("hint-share-fork")),
                ShareError::Behind { .. } => failed.with_hint(say!("hint-share-behind")),
                _ => failed,
            }
        }
    }

    pub(in crate::cli) fn run(setting: &Setting, args: &Args) -> Done {
        let address = args.line.address(&args.to)?;
        if args.prepare {
            let schema = address.prepare()?;
            let page = Document::titled(say!("share-prepared", schema));
            return setting.answer(json!({"share_schema": schema}), &page);
        }
        let (book, _) = setting.open()?;
        let bar = indicatif::ProgressBar::new(0);
        let sent = address.connect()?.send(&book, |done, all| {
            bar.set_length(u64::try_from(all).unwrap_or_default());
            bar.set_position(u64::try_from(done).unwrap_or_default());
        });
        bar.finish_and_clear();
        let sent = sent?;
        let (site, records, all) = (&sent.site, sent.records, sent.seal.seq);
        let seal = sent.seal.short();
        let page = Document::titled(say!("share-sent", site, records, all, seal = &seal));
        let told = json!({"site": site, "sent": records, "records": all, "seal": seal});
        setting.answer(told, &page)
    }
}
