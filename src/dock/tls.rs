//! TLS: a certificate that the farm brings, or one made for this machine.

use std::sync::Arc;

use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
    date_time_ymd,
};
use sha2::{Digest, Sha256};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring::default_provider;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

use crate::words::{Said, say};

/// How long a made certificate holds. Some tablets take none of more than 825 days.
const HOLDS_DAYS: i64 = 800;
/// A tablet's clock may be behind.
const BEHIND_DAYS: i64 = 2;

/// What the page is served under.
#[derive(Clone)]
pub struct Tls {
    pub(super) acceptor: TlsAcceptor,
    /// The last of the chain: what a tablet is told to trust, where it is our own.
    pub(super) trusted: CertificateDer<'static>,
}

impl std::fmt::Debug for Tls {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Tls")
    }
}

impl Tls {
    /// Reads a certificate with its chain, and its key, each as PEM.
    pub fn of(certificate: &[u8], key: &[u8]) -> Result<Self, Said> {
        let chain: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(certificate).collect();
        let chain = chain.map_err(|error| say!("certificate-not-read", error = error))?;
        let trusted = chain.last().cloned().ok_or(say!("certificate-none"))?;
        let key = PrivateKeyDer::from_pem_slice(key)
            .map_err(|error| say!("certificate-no-key", error = error))?;
        let unfit = |error| say!("certificate-unfit", error = error);
        let mut config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(unfit)?
            .with_no_client_auth()
            .with_single_cert(chain, key)
            .map_err(unfit)?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        let acceptor = TlsAcceptor::from(Arc::new(config));
        Ok(Self { acceptor, trusted })
    }

    /// SHA-256 of the certificate that is to be trusted, as browsers show it.
    pub fn fingerprint(&self) -> String {
        let pairs = Sha256::digest(&self.trusted);
        let pairs: Vec<String> = pairs.iter().map(|byte| format!("{byte:02X}")).collect();
        pairs.join(":")
    }
}

/// A certificate with what signed it, and its key, as PEM.
#[derive(Debug)]
pub struct Made {
    pub certificate: String,
    pub key: String,
    pub until: jiff::civil::Date,
}

/// Makes a certificate for names and addresses, signed by an authority of its own,
/// since tablets take nothing else by hand. The authority may sign for these names
/// alone, and its key is let go here: nobody can sign a second certificate with it.
pub fn certificate_for(names: &[String], today: jiff::civil::Date) -> Result<Made, Said> {
    let not_made = |error| say!("certificate-not-made", error = error);
    let until = today.saturating_add(jiff::Span::new().days(HOLDS_DAYS));
    let from = today.saturating_sub(jiff::Span::new().days(BEHIND_DAYS));
    let day = |date: jiff::civil::Date| {
        let part = |number: i8| u8::try_from(number).unwrap_or(1);
        date_time_ymd(date.year().into(), part(date.month()), part(date.day()))
    };
    let made = |names: &[String], called: &str| -> Result<_, rcgen::Error> {
        let mut params = CertificateParams::new(names)?;
        params.distinguished_name = rcgen::DistinguishedName::new();
        params.distinguished_name.push(DnType::CommonName, called);
        (params.not_before, params.not_after) = (day(from), day(until));
        Ok((params, KeyPair::generate()?))
    };
    let called = names.first().map_or("localhost", String::as_str);
    let (mut server, key) = made(names, called).map_err(not_made)?;
    server.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    server.use_authority_key_identifier_extension = true;
    let only = server
        .subject_alt_names
        .iter()
        .filter_map(|name| match name {
            SanType::DnsName(name) => Some(GeneralSubtree::DnsName(name.to_string())),
            SanType::IpAddress(at) => {
                let whole = if at.is_ipv4() { 32 } else { 128 };
                let just_it = CidrSubnet::from_addr_prefix(*at, whole);
                Some(GeneralSubtree::IpAddress(just_it))
            }
            _ => None,
        });
    let only = only.collect();
    // Two farms' authorities must not bear one name: browsers find them by it.
    let own = format!(
        "trayful {called} {}",
        &super::session::Sessions::fresh().unwrap_or_default()
    );
    let (mut authority, signs) = made(&[], &own).map_err(not_made)?;
    authority.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    authority.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    authority.name_constraints = Some(NameConstraints {
        permitted_subtrees: only,
        excluded_subtrees: Vec::new(),
    });
    let root = authority.self_signed(&signs).map_err(not_made)?;
    let signed = server
        .signed_by(&key, &Issuer::new(authority, signs))
        .map_err(not_made)?;
    Ok(Made {
        certificate: format!("{}{}", signed.pem(), root.pem()),
        key: key.serialize_pem(),
        until,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_certificate_and_its_key_belong_together_or_are_refused_in_words() {
        let today = jiff::civil::date(2026, 11, 16);
        let names = ["localhost".to_owned(), "192.0.2.7".to_owned()];
        let one = certificate_for(&names, today).expect("made");
        let other = certificate_for(&names, today).expect("made");
        assert_eq!(one.until, jiff::civil::date(2029, 1, 24));
        let read = |certificate: &str, key: &str| Tls::of(certificate.as_bytes(), key.as_bytes());
        let whole = read(&one.certificate, &one.key).expect("fits");
        assert_eq!(whole.fingerprint().len(), 32 * 3 - 1);
        for (certificate, key, words) in [
            (&*one.certificate, &*other.key, "do not belong together"),
            ("", &*one.key, "holds no certificate"),
            (&*one.certificate, "", "holds no key"),
            (
                "-----BEGIN CERTIFICATE-----\n?\n-----END CERTIFICATE-----\n",
                &*one.key,
                "can't be read",
            ),
        ] {
            let told = read(certificate, key).expect_err(words).in_english();
            assert!(told.contains(words), "{told}");
        }
    }
}
