use std::sync::Arc;
use std::time::Duration;

use postgres::config::{Host, SslMode};
use postgres::{Client, Config, NoTls};
use sha2::{Digest, Sha256};
use tokio_postgres_rustls::MakeRustlsConnect;
use tokio_rustls::rustls::crypto::ring::default_provider;
use tokio_rustls::rustls::pki_types::CertificateDer;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::{ClientConfig, RootCertStore};

use super::{Result, ShareError};
use crate::words::say;

/// By number; one that has shipped is never edited.
const MIGRATIONS: [(i32, &str); 2] = [
    (1, include_str!("../../data/share/001-records.sql")),
    (2, include_str!("../../data/share/002-views.sql")),
];

pub(super) const KNOWN: i32 = MIGRATIONS[MIGRATIONS.len() - 1].0;

/// How long a host may take to answer a first word.
const PATIENCE: Duration = Duration::from_secs(10);

/// Where a database is, and how it is spoken to.
pub struct Address {
    config: Config,
    /// PEM of who may have signed its certificate; else whom this machine trusts.
    authority: Option<Vec<u8>>,
}

/// The database of a network of sites.
pub struct Network {
    pub(super) client: Client,
    pub(super) named: String,
}

impl Address {
    /// Reads `postgres://user@host/database`. Another host than this machine is
    /// spoken to by TLS, unless `open` says otherwise.
    pub fn parse(
        text: &str,
        password: Option<String>,
        authority: Option<Vec<u8>>,
        open: bool,
    ) -> Result<Self> {
        let not_one = |why: &str| ShareError::Address(say!("share-not-an-address", why));
        if !text.starts_with("postgres://") && !text.starts_with("postgresql://") {
            return Err(not_one("postgres://..."));
        }
        let read = text.parse::<Config>();
        let mut config = read.map_err(|error| not_one(&error.to_string()))?;
        if let (None, Some(password)) = (config.get_password(), password) {
            config.password(password);
        }
        let here = config.get_hosts().iter().all(|host| match host {
            Host::Tcp(name) => ["localhost", "127.0.0.1", "::1"].contains(&name.as_str()),
            #[cfg(unix)]
            Host::Unix(_) => true,
        });
        let by_tls =
            authority.is_some() || config.get_ssl_mode() == SslMode::Require || !(here || open);
        config.ssl_mode(match by_tls {
            true => SslMode::Require,
            false => SslMode::Disable,
        });
        if config.get_connect_timeout().is_none() {
            config.connect_timeout(PATIENCE);
        }
        config.application_name("trayful");
        Ok(Self { config, authority })
    }

    /// Who and where, without the password.
    fn named(&self) -> String {
        let user = self.config.get_user().unwrap_or_default();
        let host = self.config.get_hosts().iter().map(|host| match host {
            Host::Tcp(name) => name.clone(),
            #[cfg(unix)]
            Host::Unix(path) => path.display().to_string(),
        });
        let host = host.collect::<Vec<_>>().join(",");
        let database = self.config.get_dbname().unwrap_or(user);
        format!("{user}@{host}/{database}")
    }

    fn tls(&self) -> Result<MakeRustlsConnect> {
        let unfit = |error: String| ShareError::Address(say!("share-bad-authority", error));
        let mut roots = RootCertStore::empty();
        match &self.authority {
            Some(pem) => {
                for one in CertificateDer::pem_slice_iter(pem) {
                    let one = one.map_err(|error| unfit(error.to_string()))?;
                    roots.add(one).map_err(|error| unfit(error.to_string()))?;
                }
            }
            None => {
                roots.add_parsable_certificates(rustls_native_certs::load_native_certs().certs);
            }
        }
        if roots.is_empty() {
            return Err(ShareError::Address(say!("share-no-authority")));
        }
        let config = ClientConfig::builder_with_provider(Arc::new(default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(|error| unfit(error.to_string()))?
            .with_root_certificates(roots)
            .with_no_client_auth();
        Ok(MakeRustlsConnect::new(config))
    }

    fn reach(&self) -> Result<Network> {
        let named = self.named();
        let client = match self.config.get_ssl_mode() {
            SslMode::Disable => self.config.connect(NoTls),
            _ => self.config.connect(self.tls()?),
        };
        let client = client.map_err(|error| told(&named, &error))?;
        Ok(Network { client, named })
    }

    /// Connects to a database that holds the tables this program knows.
    pub fn connect(&self) -> Result<Network> {
        let mut network = self.reach()?;
        let found = network.schema()?;
        if found < KNOWN {
            let with = network.named;
            return Err(ShareError::NotPrepared { with, found });
        }
        Ok(network)
    }

    /// Makes the tables, or brings them to this program's, in one transaction,
    /// and says which migration is the last.
    pub fn prepare(&self) -> Result<i32> {
        let Network { mut client, named } = self.reach()?;
        let fault = |error| told(&named, &error);
        let mut all = client.transaction().map_err(fault)?;
        all.batch_execute(
            "SELECT pg_advisory_xact_lock(hashtext('trayful migration'));
             CREATE SCHEMA IF NOT EXISTS trayful;
             SET LOCAL search_path = trayful;
             CREATE TABLE IF NOT EXISTS migration (
                 number integer PRIMARY KEY, sha256 bytea NOT NULL,
                 made_at timestamptz NOT NULL DEFAULT now());",
        )
        .map_err(fault)?;
        for (number, sql) in MIGRATIONS {
            let digest = Sha256::digest(sql).to_vec();
            let there = all
                .query_opt("SELECT sha256 FROM migration WHERE number = $1", &[&number])
                .map_err(fault)?;
            match there.map(|row| row.get::<_, Vec<u8>>(0)) {
                Some(there) if there == digest => continue,
                Some(_) => return Err(ShareError::OtherMigration { number }),
                None => all.batch_execute(sql).map_err(fault)?,
            }
            let made = "INSERT INTO migration (number, sha256) VALUES ($1, $2)";
            all.execute(made, &[&number, &digest]).map_err(fault)?;
        }
        all.commit().map_err(fault)?;
        Ok(KNOWN)
    }
}

impl Network {
    /// The last migration made; 0 where there is none.
    fn schema(&mut self) -> Result<i32> {
        let there = "SELECT to_regclass('trayful.migration') IS NOT NULL";
        let there = self.client.query_one(there, &[]);
        let there: bool = there.map_err(|error| told(&self.named, &error))?.get(0);
        if !there {
            return Ok(0);
        }
        let last = "SELECT coalesce(max(number), 0) FROM trayful.migration";
        let last = self.client.query_one(last, &[]);
        Ok(last.map_err(|error| told(&self.named, &error))?.get(0))
    }
}

/// What the database says, or how the line to it broke.
pub(super) fn told(with: &str, error: &postgres::Error) -> ShareError {
    let Some(said) = error.as_db_error() else {
        let causes = std::iter::successors(Some(error as &dyn std::error::Error), |&error| {
            error.source()
        });
        return ShareError::Broke {
            with: with.to_owned(),
            why: causes
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(": "),
        };
    };
    let code = said.code().code();
    // The server goes down, or its line does.
    if code.starts_with("57P") || code.starts_with("08") || code.starts_with("28") {
        return ShareError::Broke {
            with: with.to_owned(),
            why: said.message().to_owned(),
        };
    }
    let detail = said.detail().unwrap_or_default();
    ShareError::Refused {
        why: [said.message(), detail].join(" ").trim().to_owned(),
    }
}
