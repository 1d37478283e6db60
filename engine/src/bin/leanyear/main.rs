//! The command line: the only place of this package with files and clocks.

mod demo;

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Variety trials in, honest odds out.
#[derive(Parser)]
#[command(name = "leanyear", version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

/// What to do.
#[derive(Subcommand)]
enum Command {
    /// Write the invented demo network into a folder.
    Demo {
        /// The folder; it is made if it is not there.
        dir: PathBuf,
    },
}

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Demo { dir } => match demo::write(&dir) {
            Ok(files) => {
                println!("{} files written to {} (invented data)", files.len(), dir.display());
                ExitCode::SUCCESS
            }
            Err(error) => {
                eprintln!("{error}");
                ExitCode::from(2)
            }
        },
    }
}
