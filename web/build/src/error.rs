//! Everything that can go wrong while the page is built, worded for whoever typed `cargo run`.

use leanyear_engine::decide::AdvisorError;
use leanyear_engine::forecast::model::ModelError;
use leanyear_engine::page::PageError;
use std::io;
use std::path::PathBuf;

/// Why the page was not built or is not served.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    /// A program that is not there.
    #[error("cannot start `{program}`: {source}; install Rust with rustup and try again")]
    Start {
        /// The program.
        program: String,
        /// What the system says.
        source: io::Error,
    },
    /// The compiler lacks the target of the page.
    #[error(
        "this Rust has no target wasm32-unknown-unknown; run `rustup target add wasm32-unknown-unknown` \
         and try again"
    )]
    TargetMissing,
    /// The compiler refused the page.
    #[error("the page does not compile (its messages are above); mend it and try again")]
    Compile,
    /// The wasm could not be bound to its script.
    #[error("the compiled page cannot be bound to its script: {reason}")]
    Bind {
        /// What the binder says.
        reason: String,
    },
    /// A program that the unpacker does not put together again.
    #[error(
        "the compiled page has an instruction that the unpacker does not know; add it in web/unpack/src/streams.rs, \
         or compile without it"
    )]
    TakeApart,
    /// A file that cannot be read.
    #[error("cannot read {path}: {source}")]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// A file that cannot be written.
    #[error("cannot write {path}: {source}")]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// Cargo does not tell what the page is made of.
    #[error("cargo does not tell which packages are in the page: {reason}")]
    Packages {
        /// What it says.
        reason: String,
    },
    /// A package whose terms cannot be shown in the page.
    #[error(
        "the terms of `{package}` ({licence}) are among none that the build knows and no file of it holds them; add \
         them in web/build/src/made_of.rs, or do without it"
    )]
    Terms {
        /// The package.
        package: String,
        /// Its licences as it states them.
        licence: String,
    },
    /// Compressing failed.
    #[error("cannot compress the program: {0}")]
    Compress(io::Error),
    /// The parts do not make a page.
    #[error(transparent)]
    Page(#[from] PageError),
    /// The network has errors.
    #[error("{folder}: {errors} to correct (above); run `leanyear check` on it after each correction")]
    Network {
        /// The folder.
        folder: PathBuf,
        /// How many.
        errors: usize,
    },
    /// The network cannot be fitted.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The network cannot answer.
    #[error(transparent)]
    Advisor(#[from] AdvisorError),
    /// The port is taken.
    #[error("cannot serve on 127.0.0.1 port {port}: {source}; choose another with --port")]
    Serve {
        /// The port asked for.
        port: u16,
        /// What the system says.
        source: io::Error,
    },
}
