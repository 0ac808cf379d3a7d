//! What another process takes.

use std::io::{Read, Seek};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

/// What a process took, the least of five runs.
#[derive(Clone, Copy)]
pub(crate) struct Took {
    pub wall_s: f64,
    /// Of its first thread.
    pub cpu_s: f64,
    pub peak_mb: f64,
}

impl std::fmt::Display for Took {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            wall_s,
            cpu_s,
            peak_mb,
        } = self;
        write!(
            f,
            "{wall_s:.3} s, {cpu_s:.3} s on the processor, {peak_mb:.0} MB at most"
        )
    }
}

/// Runs a command five times; `None` when it can't be run. With what it printed last.
pub(crate) fn took(program: &Path, args: &[&str]) -> Option<(Took, String)> {
    let least = |(a, _): (Took, String), (b, out): (Took, String)| {
        let least = Took {
            wall_s: a.wall_s.min(b.wall_s),
            cpu_s: a.cpu_s.min(b.cpu_s),
            peak_mb: a.peak_mb.min(b.peak_mb),
        };
        (least, out)
    };
    (0..5)
        .map(|_| once(program, args))
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .reduce(least)
}

/// One run, watched through Linux's `/proc`: time on the processor and peak
/// memory stay unknown (not a number) elsewhere.
fn once(program: &Path, args: &[&str]) -> Option<(Took, String)> {
    let mut out = tempfile::tempfile().expect("a file");
    let began = Instant::now();
    let mut child = Command::new(program)
        .args(args)
        .stdout(out.try_clone().expect("a file"))
        .spawn()
        .ok()?;
    let proc = PathBuf::from(format!("/proc/{}", child.id()));
    let mut peak_kb = f64::NAN;
    // A process that has ended tells no memory any more, but its time still.
    while let Some(kb) = peak_kb_of(&proc) {
        peak_kb = kb;
        std::thread::sleep(Duration::from_millis(1));
    }
    let wall_s = began.elapsed().as_secs_f64();
    let ns = std::fs::read_to_string(proc.join("schedstat")).ok();
    let ns = ns.and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    let status = child.wait().expect("ends");
    // A mix that is only near ends with 3.
    let ended = matches!(status.code(), Some(0 | 3));
    assert!(ended, "{} {args:?}: {status}", program.display());
    let mut printed = String::new();
    out.rewind().expect("a file");
    out.read_to_string(&mut printed).expect("text");
    let took = Took {
        wall_s,
        cpu_s: ns.unwrap_or(f64::NAN) / 1e9,
        peak_mb: peak_kb / 1024.0,
    };
    Some((took, printed))
}

fn peak_kb_of(proc: &Path) -> Option<f64> {
    let status = std::fs::read_to_string(proc.join("status")).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
