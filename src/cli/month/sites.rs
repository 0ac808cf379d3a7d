//! The month of many sites, from the database they send to.

#[cfg(feature = "share")]
use crate::acts::{Month, sites_month};
use crate::cli::paper::Papers;
use crate::cli::share::LineArgs;
use crate::cli::*;
#[cfg(feature = "share")]
use crate::sheet::sites_document;

#[derive(clap::Args)]
#[cfg_attr(not(feature = "share"), allow(dead_code))]
pub(super) struct SitesArgs {
    /// Of the sites in this database, as postgres://READER@HOST/DATABASE, instead of this book
    #[arg(
        long,
        env = "TRAYFUL_SHARE_FROM",
        hide_env_values = true,
        value_name = "ADDRESS",
        conflicts_with_all = ["close", "why", "version"]
    )]
    pub(super) from: Option<String>,
    /// One site by its id, or all
    #[arg(
        long,
        requires = "from",
        default_value = "all",
        value_name = "SITE|all"
    )]
    sites: String,
    /// Only what this supplier brought, to whichever site: its statement
    #[arg(long, requires = "from", value_name = "NAME")]
    supplier: Option<String>,
    #[command(flatten)]
    line: LineArgs,
}

impl SitesArgs {
    #[cfg(not(feature = "share"))]
    pub(super) fn run(&self, _: &Setting, _: (Option<&str>, bool), _: &Papers) -> Done {
        Err(crate::cli::share::left_out())
    }

    #[cfg(feature = "share")]
    pub(super) fn run(
        &self,
        setting: &Setting,
        (month, last): (Option<&str>, bool),
        papers: &Papers,
    ) -> Done {
        // The database lies in no zone: this month is the one it is here.
        let this = Month::at(setting.now, &jiff::tz::TimeZone::system());
        let month = match month {
            Some(text) => Month::parse(text)?,
            None if last => this.before(),
            None => this,
        };
        let address = self
            .line
            .address(self.from.as_deref().unwrap_or_default())?;
        let wanted = Some(self.sites.as_str()).filter(|site| *site != "all");
        let sites = address.connect()?.month(wanted, month)?;
        let mut sheet = sites_month(month, self.supplier.as_deref(), sites)?;
        sheet.not_food = setting.load_tables()?.not_food();
        papers.hand_out(setting, &sheet, |sheet, _| sites_document(sheet))
    }
}
