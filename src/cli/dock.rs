use std::io::Read;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;

use super::target::refuse_new;
use super::*;
use crate::acts::begin_by_custom;
use crate::dock::{Clock, DockAsked, DockError, MIX_SECONDS, Pin, Pins, serve};

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
    /// A further name browsers come by, with its port unless that is the usual one
    #[arg(long, value_name = "NAME[:PORT]")]
    host: Vec<String>,
    /// After so many seconds nothing more is begun for tonight's mix
    #[arg(long, value_name = "N", default_value_t = MIX_SECONDS, value_parser = whole(0_u16..=36_000))]
    seconds: u16,
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
    let asked = DockAsked {
        listen: SocketAddr::new(address.into(), args.port),
        hosts: args.host.clone(),
        pins,
        book,
        tables: setting.load_tables()?,
        by: setting.by(),
        mix_seconds: args.seconds,
        clock: if setting.is_rehearsal() {
            Clock::saying(setting.now)
        } else {
            Clock::default()
        },
    };
    let lan = args.lan;
    serve(asked, |at| {
        let port = at.port();
        output::text(&format!("Dock page: http://localhost:{port}/\n"));
        if lan {
            let address = own_address().map(|own| own.to_string());
            let address = address.unwrap_or_else(|| "THIS-MACHINE'S-ADDRESS".to_owned());
            output::text(&format!("On the network: http://{address}:{port}/\n"));
            output::note(say!("dock-not-encrypted"));
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

/// The PIN is never an argument: those can be read by every program here.
fn pins(setting: &Setting, args: &Args) -> Result<Pins, CliError> {
    let text = match &args.pin_file {
        Some(file) => pin_in(file)?,
        None => needed(setting, "--pin-file", &None)?,
    };
    let owner = args.owner_pin_file.as_deref().map(pin_in).transpose()?;
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

fn pin_in(file: &Path) -> Result<String, CliError> {
    const LARGEST: u64 = 1024;
    let name = file.display();
    let refused =
        |error: std::io::Error| CliError::usage(say!("not-read", name = &name, error = error));
    let opened = std::fs::File::open(file).map_err(refused)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = opened.metadata().map_err(refused)?.permissions().mode();
        if mode & 0o077 != 0 {
            let open = CliError::usage(say!("pin-file-open", name = &name));
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
