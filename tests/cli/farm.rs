//! A farm in a folder of its own, for tests of the program.

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Output};

use tempfile::TempDir;

use super::masked::masked;

/// A folder with or without a daybook, and a clock that stands still.
pub(crate) struct Farm {
    folder: TempDir,
    now: String,
}

impl Farm {
    /// A folder without a daybook.
    pub(crate) fn without_book() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
            now: "2026-03-10T18:00:00Z".to_owned(),
        }
    }

    /// A farm in Denver that weighs in pounds and feeds poultry.
    pub(crate) fn begun() -> Self {
        let farm = Self::without_book();
        let begun = farm.run(&[
            "begin",
            "--zone",
            "America/Denver",
            "--unit",
            "lb",
            "--division",
            "0.1",
            "--currency",
            "USD",
            "--region",
            "us",
            "--larvae-for",
            "poultry-fish-pig",
        ]);
        assert!(begun.ends_with("exit 0\n"), "{begun}");
        farm
    }

    /// Sets the clock.
    pub(crate) fn at(&mut self, now: &str) {
        now.clone_into(&mut self.now);
    }

    /// What its clock says.
    #[cfg(unix)]
    pub(crate) fn now(&self) -> &str {
        &self.now
    }

    /// The folder.
    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Writes a file into the folder.
    pub(crate) fn file(&self, name: &str, bytes: impl AsRef<[u8]>) {
        std::fs::write(self.folder().join(name), bytes).expect("a file");
    }

    /// Runs the program and returns its raw output.
    pub(crate) fn output(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args(args)
            .current_dir(self.folder())
            .env_clear()
            .env("TRAYFUL_NOW", &self.now)
            .env("TRAYFUL_BY", "AB")
            .output()
            .expect("the program runs")
    }

    /// Runs the program: standard output, then standard error, then the exit status.
    pub(crate) fn run(&self, args: &[&str]) -> String {
        let output = self.output(args);
        let mut told = masked(&String::from_utf8(output.stdout).expect("text"));
        let errors = String::from_utf8(output.stderr).expect("text");
        if !errors.is_empty() {
            let _told = write!(told, "--- stderr\n{errors}");
        }
        let _told = writeln!(told, "exit {}", output.status.code().expect("an exit code"));
        told
    }

    /// Runs the program, which must succeed or be the nearest mix, and reads its JSON.
    pub(crate) fn json(&self, args: &[&str]) -> serde_json::Value {
        let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
        let output = self.output(&args);
        assert!(
            matches!(output.status.code(), Some(0 | 3)),
            "{args:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        serde_json::from_slice(&output.stdout).expect("JSON")
    }

    /// Weighs a bucket in.
    pub(crate) fn weigh(
        &self,
        ticket: &str,
        supplier: &str,
        stream: &str,
        gross: &str,
        more: &[&str],
    ) {
        let mut args = vec![
            "weigh",
            "--ticket",
            ticket,
            "--supplier",
            supplier,
            "--stream",
            stream,
            "--gross",
            gross,
        ];
        if !more.contains(&"--container") {
            args.extend(["--tare", "1.5lb"]);
        }
        args.extend(more);
        let told = self.run(&args);
        assert!(told.ends_with("exit 0\n"), "{told}");
    }

    /// Six buckets and a cohort: enough for a night.
    pub(crate) fn stocked() -> Self {
        let farm = Self::begun();
        farm.weigh(
            "A1",
            "Quay brewery",
            "spent-grain",
            "32.2lb",
            &["--moisture", "76"],
        );
        farm.weigh("A2", "Quay brewery", "spent-grain", "30.8lb", &[]);
        farm.weigh("A3", "Hearth bakery", "bread", "16.4lb", &[]);
        farm.weigh("A4", "Corner grocer", "carrot-trim", "21.9lb", &[]);
        farm.weigh(
            "A5",
            "Corner grocer",
            "plum-culls",
            "24.0lb",
            &["--picked-out", "1.1lb=pit"],
        );
        farm.weigh("A6", "Corner grocer", "lettuce-trim", "14.0lb", &[]);
        let told = farm.run(&[
            "cohort",
            "add",
            "H1",
            "--hatched",
            "2026-03-01",
            "--larvae",
            "60000",
            "--counted",
            "3 samples of 1 g",
            "--trays",
            "16",
            "--tray-area",
            "60x40cm",
        ]);
        assert!(told.ends_with("exit 0\n"), "{told}");
        farm
    }
}
