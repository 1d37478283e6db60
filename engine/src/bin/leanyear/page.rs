//! `leanyear page DIR --out FILE`: the page with this network inside, made from a page that was built before.

use crate::output::{Outcome, network};
use leanyear_engine::decide::Advisor;
use leanyear_engine::pack::Pack;
use leanyear_engine::page::{Shell, SiteParts, hosted_site, page_content};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Make the page with a network inside.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder of the network.
    dir: PathBuf,
    /// The page to write.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Also write the hosted copy into this folder.
    #[arg(long, value_name = "DIR")]
    site: Option<PathBuf>,
    /// The built page that lends its program; what it holds of data is replaced.
    #[arg(long, value_name = "FILE", default_value = "dist/leanyear.html")]
    template: PathBuf,
}

/// A file that could not be read or written.
#[derive(Debug, Error)]
enum FileError {
    #[error("{}: {source}; build the page once with `cargo run -- --build-only`, or name one with --template", .path.display())]
    Template { path: PathBuf, source: io::Error },
    #[error("{}: cannot write ({source}); choose a place you may write to", .path.display())]
    Write { path: PathBuf, source: io::Error },
}

/// Writes the page and, if asked, its hosted copy.
pub fn run(arguments: &Arguments) -> Outcome {
    let advisor = Advisor::new(Pack::new(network(&arguments.dir)?)?)?;
    let template = fs::read_to_string(&arguments.template)
        .map_err(|source| FileError::Template { path: arguments.template.clone(), source })?;
    let shell = Shell::parse(&template)?;
    let parts = SiteParts::from_json(shell.site()?)?;
    let content = page_content(&advisor, &parts.words_in(&advisor.pack().network.info.lang)?)?;
    let page = shell.fill(&content.title, &content.static_table, &content.pack_json);
    write(&arguments.out, page.as_bytes())?;
    let mut text = format!("page written to {}\n", arguments.out.display());
    if let Some(site) = &arguments.site {
        for file in hosted_site(&page, &content.title, &parts)? {
            write(&site.join(&file.path), &file.bytes)?;
        }
        text += &format!("hosted copy written to {}\n", site.display());
    }
    Ok(text)
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let failed = |source| FileError::Write { path: path.to_owned(), source };
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        fs::create_dir_all(folder).map_err(failed)?;
    }
    fs::write(path, bytes).map_err(failed)
}
