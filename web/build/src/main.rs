//! Builds the page with a network inside, writes it and serves it on loopback.
//!
//! Usage: `cargo run [-- --build-only] [--data DIR] [--port N]`. This is the only place that knows where
//! the parts of the page lie and how the compiler is called; what a page is, the engine knows.

mod apart;
mod compile;
mod compress;
mod error;
mod made_of;
mod network;
mod parts;
mod serve;
mod write;

use clap::Parser;
use error::BuildError;
use leanyear_engine::page::page_content;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Builds the page, writes `dist/leanyear.html` and `dist/site/`, and serves the latter on loopback.
#[derive(Debug, Parser)]
#[command(name = "leanyear-build")]
struct Arguments {
    /// Write the page and stop, without serving it.
    #[arg(long)]
    build_only: bool,
    /// The network's folder.
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
    /// Port to serve on; a free one where none is given.
    #[arg(long, value_name = "N", default_value_t = 0)]
    port: u16,
}

fn main() -> ExitCode {
    match run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("leanyear: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &Arguments) -> Result<(), BuildError> {
    let root = workspace_root();
    let data = arguments.data.clone().unwrap_or_else(|| root.join("data").join("demo"));
    // The data first: an error in them should not have to wait for the compiler.
    let advisor = network::advisor(&data)?;
    let program = compile::compile(&root)?;
    let shell_parts = parts::read(&root, &program)?;
    let content = page_content(&advisor, &shell_parts.site.words_in(&advisor.pack().network.info.lang)?)?;
    let built = write::write(&root.join("dist"), &shell_parts, &content)?;
    println!("page: {} ({} kB)", built.page.display(), built.page_bytes / 1000);
    if arguments.build_only {
        println!("site: {}", built.site.display());
        return Ok(());
    }
    serve::serve(&built.site, arguments.port, |address| println!("site: {address}  (Ctrl-C ends it)"))
}

/// The folder two levels above this package's own.
fn workspace_root() -> PathBuf {
    let package = Path::new(env!("CARGO_MANIFEST_DIR"));
    package.ancestors().nth(2).unwrap_or(package).to_path_buf()
}
