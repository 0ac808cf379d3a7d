//! Help as people look for it: commands by when they are used, and an example
//! of each.

use clap::builder::styling::Styles;
use clap::{Command, CommandFactory};

use super::Cli;

/// Commands by when they are used.
const GROUPS: &[(&str, &[&str])] = &[
    (
        "Every day, at the scale",
        &["weigh", "streams", "lot", "dock"],
    ),
    ("Every day, at the trays", &["stock", "mix", "fed"]),
    (
        "Every week",
        &["cohort", "harvest", "money", "ahead", "learn"],
    ),
    ("Every month", &["month", "statement", "keep", "share"]),
    (
        "When something is wrong",
        &["correct", "strike", "trace", "recall", "check"],
    ),
    (
        "Once",
        &["demo", "begin", "farm", "allow", "stages", "papers"],
    ),
];

/// A worked example of each command, in an order in which they can be run: a
/// farm's first days. `tests/cli/help.rs` runs them.
pub(super) const EXAMPLES: &[(&str, &str)] = &[
    (
        "begin",
        "trayful begin --zone America/Denver --unit lb --division 0.1 --currency USD --region us --larvae-for not-feed",
    ),
    ("farm", "trayful farm --container pail=1.5lb/5gal"),
    (
        "streams",
        "trayful streams \"stale bread\"
  trayful streams \"rye ends\" --like bread --moisture 41",
    ),
    ("stages", "trayful stages"),
    (
        "weigh",
        "trayful weigh --supplier \"Quay brewery\" --stream \"beer grain\" --gross 32.2lb --container pail",
    ),
    (
        "correct",
        "trayful correct 1 --supplier \"Old quay brewery\" --why \"wrong name\"",
    ),
    (
        "allow",
        "trayful allow restaurant-mix --by-whom \"county office\" --for \"larvae for compost\"",
    ),
    (
        "cohort",
        "trayful cohort add H1 --hatched 2026-11-17 --larvae 60000 --trays 16 --tray-area 60x40cm",
    ),
    ("stock", "trayful stock"),
    ("mix", "trayful mix"),
    ("fed", "trayful fed"),
    (
        "lot",
        "trayful lot 1
  trayful lot 1 test --wet 100 --dry 23.5
  trayful lot 1 look --fit
  trayful lot 1 weigh --weight 10.0lb
  trayful lot 1 discard --to compost --weight 2.0lb --spoiled",
    ),
    (
        "harvest",
        "trayful harvest H1 --larvae 20lb --larvae-moisture 67 --sample 100=15.2",
    ),
    (
        "money",
        "trayful money add gate-fee 96.00 --party \"Quay brewery\"",
    ),
    ("learn", "trayful learn\n  trayful learn --mixes"),
    ("ahead", "trayful ahead --nights 3"),
    ("month", "trayful month"),
    (
        "statement",
        "trayful statement \"Old quay brewery\" 2026-11",
    ),
    ("trace", "trayful trace 1"),
    ("recall", "trayful recall 1"),
    (
        "strike",
        "trayful strike r11 --why \"looked at the wrong lot\"",
    ),
    ("check", "trayful check"),
    ("keep", "trayful keep copy.daybook"),
    (
        "share",
        "trayful share --to postgres://orchard_lane@db.example.org/network",
    ),
    ("papers", "trayful papers papers"),
    ("demo", "trayful demo --days 7"),
    ("dock", "trayful dock"),
];

/// The parser, with help by when a command is used.
pub(super) fn command() -> Command {
    let mut command = Cli::command();
    for (name, example) in EXAMPLES {
        command =
            command.mut_subcommand(name, |of| of.after_help(format!("Example:\n  {example}")));
    }
    let groups = groups(&command);
    let heading = *Styles::styled().get_header();
    command.help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{groups}{heading}For every command:{heading:#}\n{{options}}{{after-help}}"
    ))
}

fn groups(command: &Command) -> String {
    let heading = *Styles::styled().get_header();
    let literal = *Styles::styled().get_literal();
    let told = |name: &&str| {
        let about = command.find_subcommand(name).and_then(Command::get_about);
        let about = about.map(ToString::to_string).unwrap_or_default();
        format!("  {literal}{name:<10}{literal:#} {about}\n")
    };
    let group = |(when, names): &(&str, &[&str])| {
        let lines: String = names.iter().map(told).collect();
        format!("{heading}{when}:{heading:#}\n{lines}\n")
    };
    GROUPS.iter().map(group).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_command_has_its_place_and_its_example() {
        let command = command();
        let shown = |one: &&Command| !one.is_hide_set();
        let all = command.get_subcommands().filter(shown);
        let all: BTreeSet<&str> = all.map(Command::get_name).collect();
        let grouped = || GROUPS.iter().flat_map(|(_, names)| names.iter().copied());
        assert_eq!(grouped().collect::<BTreeSet<_>>(), all);
        assert_eq!(grouped().count(), all.len(), "one is in two groups");
        let examples: BTreeSet<&str> = EXAMPLES.iter().map(|(name, _)| *name).collect();
        assert_eq!(examples, all);
    }
}
