//! A simulated scale at a real pseudo-terminal: it jitters, sends half lines,
//! noise and bursts, and its cable can be pulled. Without hardware nobody can
//! say more than that.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use rustix::fs::{OFlags, fcntl_setfl};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};

/// How often a stream sends.
const EVERY: Duration = Duration::from_millis(40);
/// Lines that move after each change of the load.
const RESTLESS: u32 = 6;

/// What the scale is to do.
struct Play {
    grams: i64,
    restless: u32,
    streams: bool,
    /// Bytes to send as they are.
    sends: Vec<u8>,
    plugged: bool,
    over: bool,
}

pub(crate) struct SimulatedScale {
    port: PathBuf,
    play: Arc<Mutex<Play>>,
}

impl Drop for SimulatedScale {
    fn drop(&mut self) {
        self.play().over = true;
    }
}

impl SimulatedScale {
    /// One that sends all the time; its port is a name in this folder.
    pub(crate) fn streaming(folder: &Path, name: &str) -> Self {
        Self::of(folder, name, true)
    }

    /// One that sends when its key is pressed.
    #[allow(dead_code)]
    pub(crate) fn printing(folder: &Path, name: &str) -> Self {
        Self::of(folder, name, false)
    }

    fn of(folder: &Path, name: &str, streams: bool) -> Self {
        let port = folder.join(name);
        let play = Arc::new(Mutex::new(Play {
            grams: 0,
            restless: 0,
            streams,
            sends: Vec::new(),
            plugged: true,
            over: false,
        }));
        let (path, played) = (port.clone(), Arc::clone(&play));
        let mut wire = None;
        plug(&path, &mut wire);
        std::thread::spawn(move || run(&path, &played, wire));
        Self { port, play }
    }

    fn play(&self) -> std::sync::MutexGuard<'_, Play> {
        self.play.lock().expect("held")
    }

    pub(crate) fn port(&self) -> String {
        self.port.display().to_string()
    }

    /// Puts so much on it, after what lay there was taken off.
    pub(crate) fn load(&self, grams: i64) {
        let mut play = self.play();
        (play.grams, play.restless) = (grams, RESTLESS);
    }

    #[allow(dead_code)]
    pub(crate) fn send(&self, bytes: &[u8]) {
        self.play().sends.extend(bytes);
    }

    /// Presses its print key.
    #[allow(dead_code)]
    pub(crate) fn print(&self) {
        let line = steady(self.play().grams);
        self.send(line.as_bytes());
    }

    #[allow(dead_code)]
    pub(crate) fn plug(&self, is: bool) {
        self.play().plugged = is;
    }
}

pub(crate) fn steady(grams: i64) -> String {
    line("ST", grams)
}

fn line(head: &str, grams: i64) -> String {
    let sign = if grams < 0 { '-' } else { '+' };
    let grams = grams.abs();
    format!(
        "{head},GS,{sign}{:>4}.{:03}kg\r\n",
        grams / 1000,
        grams % 1000
    )
}

/// A new pseudo-terminal behind the port's name.
fn plug(port: &Path, wire: &mut Option<File>) {
    // A program that is started meanwhile must not hold the cable.
    let how = OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC;
    let end = openpt(how).expect("a terminal");
    grantpt(&end).expect("a terminal");
    unlockpt(&end).expect("a terminal");
    let name = ptsname(&end, Vec::new()).expect("its name");
    fcntl_setfl(&end, OFlags::NONBLOCK).expect("a terminal");
    let _none = std::fs::remove_file(port);
    std::os::unix::fs::symlink(name.to_str().expect("text"), port).expect("a name");
    *wire = Some(File::from(end));
}

fn run(port: &Path, play: &Mutex<Play>, mut wire: Option<File>) {
    let mut dice: u32 = 7;
    let mut roll = |sides: u32| {
        dice = dice.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (dice >> 16) % sides
    };
    loop {
        std::thread::sleep(EVERY);
        let mut play = play.lock().expect("held");
        if play.over {
            return;
        }
        if !play.plugged {
            wire = None;
            let _none = std::fs::remove_file(port);
            continue;
        }
        if wire.is_none() {
            plug(port, &mut wire);
        }
        let mut sends = std::mem::take(&mut play.sends);
        if play.streams {
            let moved = i64::from(roll(3_000)) - 1_500;
            let odd = if play.restless == 0 { 99 } else { roll(6) };
            let moving = line("US", play.grams + moved);
            match odd {
                // Half a line, then the next one whole.
                0 => sends.extend(&moving.as_bytes()[..9]),
                // Noise, with and without a line end.
                1 => sends.extend(b"\xff\x13\x00ST,G\r\n\x80"),
                // A burst: what had waited comes at once.
                2 => sends.extend(moving.repeat(3).as_bytes()),
                3..=98 => sends.extend(moving.as_bytes()),
                _ => sends.extend(steady(play.grams).as_bytes()),
            }
            play.restless = play.restless.saturating_sub(1);
        }
        drop(play);
        if let Some(wire) = &mut wire {
            // Nobody may be reading: what does not fit is lost, as on a wire.
            if !sends.is_empty() {
                let _lost = wire.write(&sends);
            }
            let _echo = wire.read(&mut [0; 4096]);
        }
    }
}
