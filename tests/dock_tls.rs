//! The dock page under TLS: with a certificate made for this machine, read here by a
//! client that trusts it and nothing else.

mod dock_support;

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::{Duration, Instant};

use dock_support::{Answer, Dock, Farm, cookie_of, read_answer};
use tokio_rustls::rustls::pki_types::CertificateDer;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

type Client = StreamOwned<ClientConnection, TcpStream>;

/// Who trusts the authority in this file alone.
fn client(farm: &Farm, dock: &Dock, name: &str) -> Client {
    let chain = CertificateDer::pem_file_iter(farm.path("farm.certificate.pem")).expect("PEM");
    let authority = chain.last().expect("a chain").expect("a certificate");
    let mut roots = RootCertStore::empty();
    roots.add(authority).expect("an authority");
    let provider = tokio_rustls::rustls::crypto::ring::default_provider();
    let config = ClientConfig::builder_with_provider(Arc::new(provider))
        .with_safe_default_protocol_versions()
        .expect("versions")
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = name.to_owned().try_into().expect("a name");
    let connection = ClientConnection::new(Arc::new(config), name).expect("a client");
    StreamOwned::new(connection, dock.connect())
}

fn get(mut client: Client, host: &str, more: &str) -> std::io::Result<Answer> {
    let asked =
        format!("GET /api/session HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\r\n");
    client.write_all(asked.as_bytes())?;
    read_answer(&mut client)
}

#[test]
fn a_made_certificate_is_trusted_by_its_names_and_its_cookie_keeps_to_tls() {
    use std::os::unix::fs::PermissionsExt;
    let farm = Farm::new();
    let dock = farm.dock_with(&["--make-certificate"]);
    let key = std::fs::metadata(farm.path("farm.key.pem")).expect("the key");
    assert_eq!(key.permissions().mode() & 0o777, 0o600);
    for name in ["localhost", "127.0.0.1"] {
        let host = format!("{name}:{}", dock.port);
        let answer = get(client(&farm, &dock, name), &host, "").expect("an answer");
        assert_eq!(answer.status, 200, "{answer:?}");
        assert!(
            answer
                .header("set-cookie")
                .expect("a cookie")
                .ends_with("; Secure")
        );
        assert!(cookie_of(&answer).contains('='));
    }
    let elsewhere = get(client(&farm, &dock, "evil.example"), &dock.host(), "");
    let elsewhere = elsewhere.expect_err("another name").to_string();
    assert!(elsewhere.contains("not valid for name"), "{elsewhere}");
    // Who comes without TLS is sent on, and is given what is to be trusted.
    let bare = dock.get("/stock?lang=es", &[]);
    let there = format!("https://{}/stock?lang=es", dock.host());
    assert_eq!((bare.status, bare.header("location")), (307, Some(&*there)));
    let given = dock.raw(&format!(
        "GET /certificate.crt HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        dock.host()
    ));
    let given = given.expect("an answer");
    assert_eq!(
        given.header("content-type"),
        Some("application/x-x509-ca-cert")
    );
    assert_eq!(dock.get("/", &[("Host", "evil.example")]).status, 421);
    let (code, said) = dock.stop();
    assert_eq!(code, Some(0), "{said}");
    let fingerprint = said
        .lines()
        .find(|line| line.trim().len() == 95)
        .expect("a fingerprint")
        .trim();
    assert!(
        said.contains("Caution: a tablet believes what it trusts"),
        "{said}"
    );
    // The same at the next start, with the files named; made anew only when that is meant.
    let again = farm
        .command()
        .args(["dock", "--make-certificate", "--no-input", "--port", "0"])
        .output();
    let again = again.expect("runs");
    assert_eq!(again.status.code(), Some(1));
    assert!(
        String::from_utf8_lossy(&again.stderr).contains("--over"),
        "{again:?}"
    );
    let (cert, key) = (farm.path("farm.certificate.pem"), farm.path("farm.key.pem"));
    let (cert, key) = (cert.to_str().expect("text"), key.to_str().expect("text"));
    let dock = farm.dock_with(&["--certificate", cert, "--key", key]);
    let host = format!("localhost:{}", dock.port);
    let foreign = get(client(&farm, &dock, "localhost"), "evil.example", "").expect("an answer");
    assert_eq!(foreign.status, 421);
    assert_eq!(
        get(client(&farm, &dock, "localhost"), &host, "")
            .expect("an answer")
            .status,
        200
    );
    assert!(dock.stop().1.contains(fingerprint));
    drop(farm.dock_with(&["--make-certificate", "--over"]));
    std::fs::set_permissions(key, PermissionsExt::from_mode(0o644)).expect("opened");
    let open = farm
        .command()
        .args(["dock", "--certificate", cert, "--key", key])
        .output();
    let open = String::from_utf8_lossy(&open.expect("runs").stderr).into_owned();
    assert!(
        open.contains("`--key`") && open.contains("chmod 600"),
        "{open}"
    );
    std::fs::set_permissions(key, PermissionsExt::from_mode(0o600)).expect("closed");
    std::fs::write(cert, "no PEM").expect("written");
    let bad = farm
        .command()
        .args(["dock", "--certificate", cert, "--key", key])
        .output();
    let bad = String::from_utf8_lossy(&bad.expect("runs").stderr).into_owned();
    assert!(
        bad.contains("farm.certificate.pem") && bad.contains("holds no certificate"),
        "{bad}"
    );
}

#[test]
fn who_never_agrees_on_tls_is_ended_and_holds_up_no_one() {
    let farm = Farm::new();
    let dock = farm.dock_with(&["--make-certificate"]);
    let host = format!("localhost:{}", dock.port);
    let timed = || {
        let began = Instant::now();
        let answer = get(client(&farm, &dock, "localhost"), &host, "");
        assert_eq!(answer.expect("an answer").status, 200);
        began.elapsed()
    };
    let alone = timed();
    // Nothing at all, a handshake that stops, and a bare header that never ends.
    let starts: [&[u8]; 3] = [b"", &[22, 3, 1, 2, 0, 1], b"GET / HTTP/1.1\r\nHost: x"];
    let began = Instant::now();
    let slow: Vec<_> = (0..300)
        .map(|nth| {
            let mut stream = dock.connect();
            let _ended = stream.write_all(starts[nth % 3]);
            stream
        })
        .collect();
    let among = timed();
    assert!(
        among < alone + Duration::from_secs(1),
        "{among:?}, alone {alone:?}"
    );
    for mut stream in slow {
        let mut rest = Vec::new();
        let _ended = stream.read_to_end(&mut rest);
    }
    let lasted = began.elapsed();
    assert!(lasted < Duration::from_secs(12), "{lasted:?}");
}
