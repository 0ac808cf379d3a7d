//! The program as people meet it: standard output, standard error and exit
//! status of each command, as one snapshot.

mod asking;
mod bad_input;
mod book;
mod day;
mod doubts;
mod farm;
mod harvest;
mod help;
mod larvae;
mod learn;
mod masked;
mod mix_files;
mod names;
mod night;
mod options;
mod targets;
#[cfg(unix)]
mod terminal;
mod workbook;
