//! Gathers the parts of the page from `public/` and puts them together around the compiled program.

use crate::compile::Program;
use crate::compress::pack;
use crate::error::BuildError;
use crate::made_of::made_of;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use leanyear_engine::order::Map;
use leanyear_engine::page::{Parts, Shell, SiteParts, assemble};
use std::path::Path;

/// In the order in which later rules win.
const STYLES: [&str; 4] = ["style.css", "paper.css", "office.css", "plain-table.css"];
/// What starts the page, then what adds to it.
const SCRIPTS: [&str; 2] = ["boot.js", "office.js"];
const SITE_FILES: [&str; 3] = ["sw.js", "manifest.webmanifest", "READ-ME.txt"];
const ICONS: [&str; 4] =
    ["icons/icon-192.png", "icons/icon-512.png", "icons/maskable-512.png", "icons/touch-180.png"];

/// The page with empty slots, and what its hosted copy is made of.
#[derive(Debug, Clone)]
pub struct ShellParts {
    /// The page, to be filled.
    pub shell: Shell,
    /// The same parts that the page carries in its site text.
    pub site: SiteParts,
}

/// Reads the parts of the workspace at `root` and assembles the page around `program`.
///
/// # Errors
/// [`BuildError::Read`] for a missing file, [`BuildError::Page`] for parts that make no page.
pub fn read(root: &Path, program: &Program) -> Result<ShellParts, BuildError> {
    let public = root.join("public");
    let template = text(&public.join("shell.html"))?;
    let style = each(&STYLES, |name| text(&public.join(name)))?;
    let style = STYLES.map(|name| style.get(name).map_or("", String::as_str)).concat();
    let scripts = SCRIPTS.map(|name| text(&public.join(name)));
    let scripts = scripts.into_iter().collect::<Result<Vec<_>, _>>()?.concat();
    let site = SiteParts {
        template: template.clone(),
        words: SiteParts::sentences(&leanyear_web::plain_tables())?,
        files: each(&SITE_FILES, |name| text(&public.join(name)))?,
        icons: each(&ICONS, |name| Ok(STANDARD.encode(bytes(&public.join(name))?)))?,
        made_of: made_of(root)?,
    };
    let packed = pack(&program.wasm)?;
    let shell = assemble(&Parts {
        template: &template,
        style: &style,
        script: &format!(
            "var leanyear_unpacker=[\"{}\",{},{}];{}{scripts}",
            STANDARD.encode(&program.unpacker),
            packed.apart,
            program.wasm.len(),
            program.glue
        ),
        wasm_base64: &STANDARD.encode(packed.stream),
        site: &site.to_json()?,
    })?;
    Ok(ShellParts { shell, site })
}

fn each(
    names: &[&str],
    read: impl Fn(&str) -> Result<String, BuildError>,
) -> Result<Map<String, String>, BuildError> {
    names.iter().map(|name| Ok(((*name).to_owned(), read(name)?))).collect()
}

fn text(path: &Path) -> Result<String, BuildError> {
    let text = std::fs::read_to_string(path)
        .map_err(|source| BuildError::Read { path: path.to_path_buf(), source })?;
    Ok(text.replace("\r\n", "\n"))
}

fn bytes(path: &Path) -> Result<Vec<u8>, BuildError> {
    std::fs::read(path).map_err(|source| BuildError::Read { path: path.to_path_buf(), source })
}
