//! Compiles this package to wasm as the page is compiled, and binds it for node.

use super::Failure;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// Builds into `folder`; returns the module to load.
pub fn build(root: &Path, folder: &Path) -> Result<PathBuf, Failure> {
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let status = Command::new(cargo)
        .current_dir(root)
        .args(["build", "--quiet", "--package", "leanyear-benches", "--lib", "--profile", "page"])
        .args(["--target", "wasm32-unknown-unknown", "--target-dir"])
        .arg(&target)
        .status()?;
    if !status.success() {
        return Err("the benchmarks do not compile to wasm".into());
    }
    Bindgen::new()
        .input_path(target.join("wasm32-unknown-unknown/page/leanyear_benches.wasm"))
        .nodejs(true)?
        .typescript(false)
        .generate(folder)?;
    Ok(folder.join("leanyear_benches.js"))
}
