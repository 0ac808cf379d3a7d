use std::io::Read;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;

use super::setting::scale_port;
use super::target::{Over, refuse_new};
use super::*;
use crate::acts::begin_by_custom;
use crate::dock::{
    Clock, DockAsked, DockError, MIX_SECONDS, Pin, Pins, Tls, certificate_for, serve,
};

#[derive(clap::Args)]
pub(super) struct Args {
    /// Let tablets on the farm's network in; asks for a PIN
    #[arg(long)]
    lan: bool,
    /// The port
    #[arg(long, default_value_t = 8470, value_name = "N", value_parser = whole(0_u16..=65_535))]
    port: u16,
    /// A file with the PIN in it, that only its owner can read; asked for if left out
    #[arg(long, value_name = "FILE", requires = "lan")]
    pin_file: Option<PathBuf>,
    /// A file with a second PIN: it opens all, the other one only the daily work
    #[arg(long, value_name = "FILE", requires = "lan")]
    owner_pin_file: Option<PathBuf>,
    /// Begin a daybook where there is none; the page then asks for the rest
    #[arg(long)]
    begin: bool,
    /// Serve by https, with this certificate and its chain (PEM)
    #[arg(long, value_name = "FILE", requires = "key")]
    certificate: Option<PathBuf>,
    /// The certificate's key (PEM), in a file that only its owner can read
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
    /// Make a certificate for this machine beside the daybook, and serve by https with it
    #[arg(long, conflicts_with = "certificate")]
    make_certificate: bool,
    #[command(flatten)]
    over: Over,
    /// A further name browsers come by, with its port unless that is the usual one
    #[arg(long, value_name = "NAME[:PORT]")]
    host: Vec<String>,
    /// After so many seconds nothing more is begun for tonight's mix
    #[arg(long, value_name = "N", default_value_t = MIX_SECONDS, value_parser = whole(0_u16..=36_000))]
    seconds: u16,
    /// A scale on a wire, more than once for two: dock=/dev/ttyUSB0 or small=COM3@4800-7E1
    #[arg(long, value_name = "NAME=PORT")]
    scale: Vec<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    if args.begin && !setting.daybook.exists() {
        refuse_new(setting, &setting.daybook)?;
        let machine = TimeZone::system();
        let zone = machine.iana_name().unwrap_or("Etc/UTC");
        begin_by_custom(&setting.daybook, zone, &setting.asked(&machine)?)?.close()?;
    }
    let (mut book, _) = setting.open()?;
    if book.is_read_only() {
        let path = setting.daybook.display();
        return Err(CliError::refused(say!("dock-read-only", path = path)));
    }
    book.bring_up()?;
    let (pins, address) = if args.lan {
        (pins(setting, args)?, Ipv4Addr::UNSPECIFIED)
    } else {
        (Pins::default(), Ipv4Addr::LOCALHOST)
    };
    let own = own_address().map(|own| own.to_string());
    let tls = tls(setting, args, own.clone())?;
    let hosts = args.host.iter().cloned().chain(own_names());
    let asked = DockAsked {
        listen: SocketAddr::new(address.into(), args.port),
        hosts: hosts.collect(),
        pins,
        tls: tls.clone(),
        book,
        tables: setting.load_tables()?,
        by: setting.by(),
        mix_seconds: args.seconds,
        scales: (args.scale.iter())
            .map(|text| scale_port(text))
            .collect::<Result<_, _>>()?,
        clock: if setting.is_rehearsal() {
            Clock::saying(setting.now)
        } else {
            Clock::default()
        },
    };
    let lan = args.lan;
    serve(asked, |at| {
        let port = at.port();
        let http = if tls.is_some() { "https" } else { "http" };
        output::text(&format!("Dock page: {http}://localhost:{port}/\n"));
        let address = own.unwrap_or_else(|| "THIS-MACHINE'S-ADDRESS".to_owned());
        if lan {
            output::text(&format!("On the network: {http}://{address}:{port}/\n"));
        }
        match tls {
            None if lan => output::note(say!("dock-not-encrypted")),
            None => {}
            Some(tls) => {
                let fingerprint = tls.fingerprint();
                let from = format!("http://{address}:{port}/certificate.crt");
                output::note(say!("certificate-trust", from, fingerprint));
            }
        }
        output::note(say!("dock-stop"));
    })
    .map_err(told)?;
    Ok(DONE)
}

fn told(error: DockError) -> CliError {
    match error {
        DockError::Book(error) => error.into(),
        DockError::Listen { ref source, .. } => {
            let cause = source.to_string();
            let mut told = CliError::refused(error.said()).with_hint(say!("hint-port"));
            told.causes.push(cause);
            told
        }
        other => CliError::refused(other.said()),
    }
}

/// What is served by https, where it is: a certificate that the farm brings, or one made now.
fn tls(setting: &Setting, args: &Args, own: Option<String>) -> Result<Option<Tls>, CliError> {
    let (certificate, key) = match (&args.certificate, &args.key) {
        (Some(certificate), Some(key)) => (certificate.clone(), key.clone()),
        _ if args.make_certificate => made(setting, args, own)?,
        _ => return Ok(None),
    };
    let name = certificate.display().to_string();
    let chain = std::fs::read_to_string(&certificate)
        .map_err(|error| CliError::usage(say!("not-read", name = &name, error = error)))?;
    let tls = Tls::of(chain.as_bytes(), private(&key, "--key")?.as_bytes());
    let tls = tls.map_err(|why| CliError::refused(say!("certificate-refused", name, why)))?;
    Ok(Some(tls))
}

/// Makes a certificate for this machine's names and addresses, beside the book.
fn made(
    setting: &Setting,
    args: &Args,
    own: Option<String>,
) -> Result<(PathBuf, PathBuf), CliError> {
    let beside = |ending| setting.daybook.with_extension(ending);
    let (certificate, key) = (beside("certificate.pem"), beside("key.pem"));
    let targets = [&*certificate, &*key];
    let targets = args.over.targets(setting, targets)?;
    let given = args.host.iter().map(|host| match host.rsplit_once(':') {
        Some((name, _)) => name.to_owned(),
        None => host.clone(),
    });
    let here = ["localhost", "127.0.0.1", "::1"].map(str::to_owned);
    let names: Vec<String> = given.chain(own_names()).chain(own).chain(here).collect();
    // A certificate goes by the clocks of tablets, whatever is rehearsed here.
    let today = jiff::Timestamp::now()
        .to_zoned_datetime(TimeZone::UTC)
        .date();
    let made = certificate_for(&names, today).map_err(CliError::refused)?;
    if let [certificate, key] = &targets[..] {
        key.write_private(made.key.as_bytes())?;
        certificate.write(made.certificate.as_bytes())?;
    }
    let (names, until) = (names.join(", "), made.until.to_string());
    let (cert, own_key) = (certificate.display(), key.display());
    let said = say!("certificate-made", names, until, cert = cert, key = own_key);
    output::note(said);
    Ok((certificate, key))
}

/// What this machine is called on its network.
fn own_names() -> impl Iterator<Item = String> {
    let name = gethostname::gethostname().to_string_lossy().to_lowercase();
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '.';
    let name = Some(name).filter(|name| name.chars().all(plain) && !name.is_empty());
    let local = (name.clone()).filter(|name| !name.contains('.'));
    name.into_iter()
        .chain(local.map(|name| format!("{name}.local")))
}

/// The PIN is never an argument: those can be read by every program here.
fn pins(setting: &Setting, args: &Args) -> Result<Pins, CliError> {
    let text = match &args.pin_file {
        Some(file) => private(file, "--pin-file")?,
        None => needed(setting, "--pin-file", &None)?,
    };
    let owner = args.owner_pin_file.as_deref();
    let owner = owner.map(|file| private(file, "--owner-pin-file"));
    let owner = owner.transpose()?;
    if owner
        .as_deref()
        .is_some_and(|owner| owner.trim() == text.trim())
    {
        return Err(CliError::usage(say!("pin-twice")));
    }
    let pin = |text: &str| Pin::of(text).map_err(CliError::usage);
    let (all, owner) = (Some(pin(&text)?), owner.as_deref().map(pin).transpose()?);
    Ok(Pins { all, owner })
}

/// What stands in a file that nobody else may read.
#[cfg_attr(not(unix), allow(unused_variables))]
fn private(file: &Path, option: &str) -> Result<String, CliError> {
    const LARGEST: u64 = 64 * 1024;
    let name = file.display();
    let refused =
        |error: std::io::Error| CliError::usage(say!("not-read", name = &name, error = error));
    let opened = std::fs::File::open(file).map_err(refused)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = opened.metadata().map_err(refused)?.permissions().mode();
        if mode & 0o077 != 0 {
            let open = CliError::usage(say!("private-file-open", name = &name, option = option));
            return Err(open.with_hint(format!("chmod 600 {name}")));
        }
    }
    let mut text = String::new();
    opened
        .take(LARGEST)
        .read_to_string(&mut text)
        .map_err(refused)?;
    Ok(text)
}

/// This machine's address on its network. No packet is sent: a UDP socket that
/// is "connected" only looks the way up.
fn own_address() -> Option<IpAddr> {
    // An address set aside for documentation (RFC 5737).
    const ELSEWHERE: (Ipv4Addr, u16) = (Ipv4Addr::new(192, 0, 2, 1), 9);
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect(ELSEWHERE).ok()?;
    Some(socket.local_addr().ok()?.ip())
}
