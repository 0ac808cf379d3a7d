use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use crate::acts::{TrustAsked, WaterAsked};
use crate::blend::BucketRule;
use crate::cli::target::Over;
use crate::cli::*;
use crate::dock::{MIX_SECONDS, patience};
use crate::quantity::Grams;
use crate::words::say;

/// What makes a mix one that staff can trust.
#[derive(clap::Args)]
pub(crate) struct TrustArgs {
    /// The whole sheet, and why it is so: what binds, what each thing is worth, what was near
    #[arg(long)]
    why: bool,
    /// Plan in whole buckets, at most one opened per stream
    #[arg(long)]
    buckets: bool,
    /// The most streams a group takes from
    #[arg(long, value_name = "K", requires = "buckets")]
    bucket_streams: Option<String>,
    /// The plain goals: no margin, no smallest draw, any number of lots, no water unless named
    #[arg(long, conflicts_with_all = ["sure", "most_lots"])]
    plain: bool,
    /// A mix of its own for each feed group, though some could share one
    #[arg(long)]
    apart: bool,
    /// Take nothing below this weight from a lot, unless that empties it
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    smallest: Option<String>,
    /// Lots a group takes from at most, where nobody goes short or less sure for it
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    most_lots: Option<String>,
    /// Keep each window at this chance, such as 0.9
    #[arg(long, value_name = "CHANCE", allow_hyphen_values = true)]
    sure: Option<String>,
    /// Water: `never`, `last-resort`, or a weight: as the last resort, at most that
    #[arg(long, value_name = "WATER", allow_hyphen_values = true)]
    water: Option<String>,
    /// Stay close to the mix before, as a fifth goal
    #[arg(long)]
    steady: bool,
    /// The mix before, for a mix from files: a table group,stream,kg
    #[arg(long, value_name = "FILE", requires = "stock", requires = "steady")]
    last: Option<PathBuf>,
    /// Write each goal's exact problem as free MPS, numbered files beside FILE
    #[arg(long, value_name = "FILE")]
    model: Option<PathBuf>,
    /// After so many seconds nothing more is begun: one mix for several groups, few lines, buckets, why
    #[arg(long, value_name = "N", default_value_t = MIX_SECONDS, value_parser = whole(0_u16..=36_000))]
    seconds: u16,
    #[command(flatten)]
    over: Over,
    /// Dry matter of pressed or drained liquor in %, for cures
    #[arg(long, value_name = "PCT", allow_hyphen_values = true)]
    liquor_dry: Option<String>,
}

impl TrustArgs {
    pub(crate) fn asked(&self, reader: Reader, from_files: bool) -> Result<TrustAsked, CliError> {
        if self.steady && from_files && self.last.is_none() {
            return Err(CliError::usage(say!("steady-needs-last")));
        }
        let buckets = self.buckets.then(|| self.rule(reader)).transpose()?;
        let sure = number(
            reader,
            "--sure",
            &self.sure,
            say!("accepted-chance"),
            0.5..=0.999,
        )?;
        let liquor = number(
            reader,
            "--liquor-dry",
            &self.liquor_dry,
            say!("accepted-per-cent", most = 20),
            0.0..=20.0,
        )?;
        Ok(TrustAsked {
            why: self.why,
            buckets,
            plain: self.plain,
            apart: self.apart,
            sure,
            smallest: self.smallest(reader)?,
            most_lots: count("--most-lots", &self.most_lots)?,
            water: self.water(reader)?,
            steady: self.steady,
            last: self.last.as_deref().map(read_file).transpose()?,
            models: self.model.is_some(),
            liquor_dry: liquor.map(|pct| pct / 100.0),
            patience: patience(self.seconds),
        })
    }

    fn rule(&self, reader: Reader) -> Result<BucketRule, CliError> {
        let streams_most = count("--bucket-streams", &self.bucket_streams)?;
        let smallest = self.smallest(reader)?.unwrap_or(Grams::ZERO);
        Ok(BucketRule {
            streams_most,
            smallest,
            ..BucketRule::default()
        })
    }

    fn smallest(&self, reader: Reader) -> Result<Option<Grams>, CliError> {
        let read = if_any("--smallest", &self.smallest, reader, Reader::weight)?;
        Ok(read.map(|reading| reading.grams()))
    }

    fn water(&self, reader: Reader) -> Result<Option<WaterAsked>, CliError> {
        Ok(match self.water.as_deref() {
            None => None,
            Some("never") => Some(WaterAsked::Never),
            Some("last-resort") => Some(WaterAsked::LastResort),
            Some(text) => {
                let accepted = say!("accepted-water");
                let refused = |_| Rejection::new("--water", text, accepted);
                let most = reader.weight(text).map_err(refused)?;
                Some(WaterAsked::UpTo(most.grams()))
            }
        })
    }

    /// Writes each problem beside the file named: `night.mps` becomes `night-1-shortage.mps` and so on.
    pub(crate) fn write_models(
        &self,
        setting: &Setting,
        models: &[(String, String)],
    ) -> Result<(), CliError> {
        let Some(file) = &self.model else {
            return Ok(());
        };
        let paths: Vec<PathBuf> = (models.iter().enumerate())
            .map(|(position, (name, _))| numbered(file, position + 1, name))
            .collect();
        let targets = self
            .over
            .targets(setting, paths.iter().map(PathBuf::as_path))?;
        for (target, (_, text)) in targets.iter().zip(models) {
            target.write(text.as_bytes()).map_err(|error| CliError {
                code: USAGE,
                ..error
            })?;
            output::note(say!("written", file = target.named().display()));
        }
        Ok(())
    }
}

fn numbered(file: &Path, number: usize, name: &str) -> PathBuf {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let ending = file
        .extension()
        .map_or("mps".into(), |e| e.to_string_lossy());
    file.with_file_name(format!("{stem}-{number}-{name}.{ending}"))
}

fn count(flag: &'static str, text: &Option<String>) -> Result<Option<usize>, CliError> {
    let Some(text) = text else { return Ok(None) };
    let read = text.parse().ok().filter(|most| (1..=100).contains(most));
    let refused = || Rejection::new(flag, text, say!("accepted-whole", least = 1, most = 100));
    Ok(Some(read.ok_or_else(refused)?))
}

fn number(
    reader: Reader,
    flag: &'static str,
    text: &Option<String>,
    accepted: Said,
    most: RangeInclusive<f64>,
) -> Result<Option<f64>, CliError> {
    let Some(text) = text else { return Ok(None) };
    let read = (reader.number(text).ok()).filter(|number| most.contains(number));
    Ok(Some(
        read.ok_or_else(|| Rejection::new(flag, text, accepted))?,
    ))
}
