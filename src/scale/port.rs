//! The serial port: opened, read line by line, opened again when it comes back.

use std::io::{ErrorKind, Read};
use std::str::FromStr;
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::{Duration, Instant};

use serialport::{ClearBuffer, DataBits, Parity, SerialPort, StopBits};

use super::line::LineGrammar;
use super::watch::{Seen, Watch};
use crate::quantity::MassUnit;
use crate::words::{Said, is_unseen, say};

/// No line of a scale is longer.
const LONGEST: usize = 64;
/// What comes so soon after opening may have begun before it.
const BEGUN_BEFORE: Duration = Duration::from_millis(200);
/// A line that stops for so long has lost its end.
const CUT: Duration = Duration::from_millis(500);
const AGAIN: Duration = Duration::from_secs(1);
const READ: Duration = Duration::from_millis(100);

/// Where a scale is, and how it sends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Port {
    pub name: String,
    pub path: String,
    baud: u32,
    bits: DataBits,
    parity: Parity,
    stop: StopBits,
}

/// A text that names no port; [`Port::accepted`] says what would.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotAPort;

/// `NAME=PORT@9600-8N1`; without a name it is `scale`, without settings 9600-8N1.
impl FromStr for Port {
    type Err = NotAPort;

    fn from_str(text: &str) -> Result<Self, NotAPort> {
        let (name, rest) = text.split_once('=').unwrap_or(("scale", text));
        let (path, settings) = rest.rsplit_once('@').unwrap_or((rest, "9600-8N1"));
        let (baud, form) = settings.split_once('-').unwrap_or((settings, "8N1"));
        let baud = baud
            .parse()
            .ok()
            .filter(|baud| (300..=921_600).contains(baud));
        let [bits, parity, stop] = form.as_bytes() else {
            return Err(NotAPort);
        };
        let is_name = (1..=20).contains(&name.chars().count()) && !name.contains([':', ',']);
        let fine = is_name && !path.is_empty() && !text.chars().any(is_unseen);
        Ok(Self {
            name: fine.then(|| name.to_owned()).ok_or(NotAPort)?,
            path: path.to_owned(),
            baud: baud.ok_or(NotAPort)?,
            bits: match bits {
                b'7' => DataBits::Seven,
                b'8' => DataBits::Eight,
                _ => return Err(NotAPort),
            },
            parity: match parity {
                b'N' => Parity::None,
                b'E' => Parity::Even,
                b'O' => Parity::Odd,
                _ => return Err(NotAPort),
            },
            stop: match stop {
                b'1' => StopBits::One,
                b'2' => StopBits::Two,
                _ => return Err(NotAPort),
            },
        })
    }
}

impl Port {
    /// What is accepted where a port is named.
    pub fn accepted() -> Said {
        say!("accepted-scale-port")
    }

    fn open(&self) -> serialport::Result<Box<dyn SerialPort>> {
        serialport::new(&self.path, self.baud)
            .data_bits(self.bits)
            .parity(self.parity)
            .stop_bits(self.stop)
            .timeout(READ)
            .open()
            // What waited before is no weight of now.
            .and_then(|port| port.clear(ClearBuffer::Input).map(|()| port))
    }
}

/// A scale that is followed on a thread of its own, for as long as this is held.
#[derive(Debug, Clone)]
pub struct Followed {
    began: Instant,
    watch: Arc<Mutex<Watch>>,
}

impl Followed {
    pub fn seen(&self) -> Seen {
        locked(&self.watch).seen(self.began.elapsed())
    }
}

fn locked(watch: &Mutex<Watch>) -> std::sync::MutexGuard<'_, Watch> {
    watch.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Follows a scale; `unit` is that of weights that name none. A port that is
/// not there, or is lost, is tried again every second.
///
/// # Errors
/// When the shipped grammar can't be read.
pub fn follow(port: Port, unit: MassUnit) -> Result<Followed, Said> {
    let grammar = LineGrammar::shipped().map_err(|error| error.said())?;
    let mut watch = Watch::default();
    watch.connected(false);
    let followed = Followed {
        began: Instant::now(),
        watch: Arc::new(Mutex::new(watch)),
    };
    let (began, watch) = (followed.began, Arc::downgrade(&followed.watch));
    std::thread::spawn(move || {
        while watch.strong_count() > 0 {
            if let Ok(mut open) = port.open() {
                connected(&watch, true);
                let lines = Lines::opened(began.elapsed());
                hear(open.as_mut(), lines, began, |line, at| {
                    let held = watch.upgrade()?;
                    locked(&held).hear(grammar.hear(line, unit), line, at);
                    Some(())
                });
                connected(&watch, false);
            }
            std::thread::sleep(AGAIN);
        }
    });
    Ok(followed)
}

fn connected(watch: &Weak<Mutex<Watch>>, is: bool) {
    if let Some(watch) = watch.upgrade() {
        locked(&watch).connected(is);
    }
}

/// Reads until the port is lost, or nobody listens.
fn hear(
    port: &mut dyn Read,
    mut lines: Lines,
    began: Instant,
    mut tell: impl FnMut(&str, Duration) -> Option<()>,
) {
    let mut bytes = [0; 256];
    loop {
        let at = |began: Instant| began.elapsed();
        match port.read(&mut bytes) {
            // A port that ends is one whose other side is gone.
            Ok(0) => return,
            Ok(count) => {
                for line in lines.take(&bytes[..count], at(began)) {
                    if tell(&line, at(began)).is_none() {
                        return;
                    }
                }
            }
            Err(error) if matches!(error.kind(), ErrorKind::TimedOut | ErrorKind::Interrupted) => {}
            Err(_) => return,
        }
    }
}

/// Bytes becoming whole lines.
struct Lines {
    opened: Duration,
    last: Duration,
    line: Vec<u8>,
    /// The rest of this line is passed over.
    lost: bool,
}

impl Lines {
    fn opened(at: Duration) -> Self {
        Self {
            opened: at,
            last: at,
            line: Vec::new(),
            lost: false,
        }
    }

    fn take(&mut self, bytes: &[u8], at: Duration) -> Vec<String> {
        if self.line.is_empty() && at - self.opened < BEGUN_BEFORE && self.last == self.opened {
            self.lost = true;
        }
        if !self.line.is_empty() && at - self.last > CUT {
            (self.line, self.lost) = (Vec::new(), true);
        }
        self.last = at.max(self.opened + Duration::from_nanos(1));
        let mut lines = Vec::new();
        for &byte in bytes {
            let ends = matches!(byte, b'\r' | b'\n' | 0x03);
            if ends && !self.lost && !self.line.is_empty() {
                lines.push(shown(&self.line));
            }
            if ends {
                (self.line, self.lost) = (Vec::new(), false);
            } else if self.line.len() == LONGEST {
                // Noise without end is shown once by its beginning.
                if !std::mem::replace(&mut self.lost, true) {
                    lines.push(shown(&self.line));
                }
            } else {
                self.line.push(byte);
            }
        }
        lines
    }
}

/// A line as text; a byte that is no character, or failed its parity, stands as
/// a mark that no grammar reads.
fn shown(line: &[u8]) -> String {
    let shown = |byte: &u8| match byte {
        0x02 | b' '..=b'~' => char::from(*byte),
        _ => '\u{fffd}',
    };
    line.iter().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SECOND: u64 = 1_000;

    /// Lines out of pieces that come at these milliseconds after opening.
    fn lines(pieces: &[(u64, &[u8])]) -> Vec<String> {
        let mut lines = Lines::opened(Duration::ZERO);
        let taken = pieces.iter();
        taken
            .flat_map(|(at, bytes)| lines.take(bytes, Duration::from_millis(*at)))
            .collect()
    }

    #[test]
    fn lines_come_whole_from_any_pieces() {
        let pieces: &[(u64, &[u8])] = &[
            (SECOND, b"ST,GS,+  1"),
            (SECOND + 20, b"2.3kg\r"),
            (SECOND + 30, b"\nUS,GS,+ 1.0kg\r\n\x02 5.0G\x03"),
        ];
        assert_eq!(
            lines(pieces),
            ["ST,GS,+  12.3kg", "US,GS,+ 1.0kg", "\u{2} 5.0G"]
        );
    }

    #[test]
    fn what_was_cut_is_no_line() {
        // Opened in the middle of one.
        assert_eq!(lines(&[(50, b"2.3kg\r\n1.0 kg\r\n")]), ["1.0 kg"]);
        // Its end was lost; the next one is whole.
        let lost: &[(u64, &[u8])] = &[
            (SECOND, b"ST,GS,+  1"),
            (3 * SECOND, b"2.3kg\r\n1.0 kg\r\n"),
        ];
        assert_eq!(lines(lost), ["1.0 kg"]);
        // A print key pressed long after opening.
        assert_eq!(lines(&[(SECOND, b"2.3kg\r\n")]), ["2.3kg"]);
    }

    #[test]
    fn noise_is_shown_and_read_by_nothing() {
        let bad: &[(u64, &[u8])] = &[(SECOND, b"ST,GS,+ \0 2.3kg\r\n\xff\xfe\r\n")];
        assert_eq!(lines(bad), ["ST,GS,+ \u{fffd} 2.3kg", "\u{fffd}\u{fffd}"]);
        let long = [b'x'; 500];
        assert_eq!(lines(&[(SECOND, &long), (SECOND, b"\r\n1 kg\n")]).len(), 2);
    }

    #[test]
    fn ports_are_named_with_how_they_send() {
        let port: Port = "dock=/dev/ttyUSB0@4800-7E1".parse().expect("a port");
        assert_eq!(
            (port.name.as_str(), port.path.as_str(), port.baud),
            ("dock", "/dev/ttyUSB0", 4800)
        );
        assert_eq!((port.bits, port.parity), (DataBits::Seven, Parity::Even));
        let plain: Port = "COM3".parse().expect("a port");
        assert_eq!((plain.name.as_str(), plain.baud), ("scale", 9600));
        for bad in [
            "",
            "dock=",
            "dock=x@fast",
            "x@9600-9N1",
            "x@9600-8N",
            "=x",
            "a,b=x",
        ] {
            assert_eq!(bad.parse::<Port>(), Err(NotAPort), "{bad}");
        }
    }
}
