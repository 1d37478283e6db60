//! Compiles the page to wasm and binds it to its script; knows the compiler, and nothing of the page.

use crate::error::BuildError;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// What the page is compiled for.
pub const TARGET: &str = "wasm32-unknown-unknown";
const PROFILE: &str = "page";
/// The package of the page.
pub const CRATE: &str = "leanyear-web";
const CRATES: [&str; 2] = [CRATE, "leanyear-unpack"];
const ARTIFACT: &str = "leanyear_web";
const UNPACKER: &str = "leanyear_unpack";

/// The compiled page.
#[derive(Debug, Clone)]
pub struct Program {
    /// The wasm.
    pub wasm: Vec<u8>,
    /// The script that starts it, defining `wasm_bindgen`.
    pub glue: String,
    /// The wasm that unpacks the other.
    pub unpacker: Vec<u8>,
}

/// Compiles and binds the page of the workspace at `root`.
///
/// # Errors
/// [`BuildError::TargetMissing`], [`BuildError::Compile`] and [`BuildError::Bind`] say what to do.
pub fn compile(root: &Path) -> Result<Program, BuildError> {
    require_target(root)?;
    let target_directory =
        std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    let cargo = program("CARGO", "cargo");
    let status = Command::new(&cargo)
        .current_dir(root)
        .args(["build", "--lib", "--target", TARGET, "--profile", PROFILE])
        .args(CRATES.iter().flat_map(|name| ["--package", name]))
        .arg("--target-dir")
        .arg(&target_directory)
        .env("CARGO_ENCODED_RUSTFLAGS", rust_flags(root))
        .status()
        .map_err(|source| BuildError::Start { program: cargo.to_string_lossy().into_owned(), source })?;
    if !status.success() {
        return Err(BuildError::Compile);
    }
    let artifact = |name: &str| target_directory.join(TARGET).join(PROFILE).join(format!("{name}.wasm"));
    let path = artifact(UNPACKER);
    let unpacker = std::fs::read(&path).map_err(|source| BuildError::Read { path, source })?;
    bind(&artifact(ARTIFACT), unpacker)
}

fn require_target(root: &Path) -> Result<(), BuildError> {
    let rustc = program("RUSTC", "rustc");
    let output = Command::new(&rustc)
        .current_dir(root)
        .args(["--print", "target-libdir", "--target", TARGET])
        .output()
        .map_err(|source| BuildError::Start { program: rustc.to_string_lossy().into_owned(), source })?;
    let directory = PathBuf::from(String::from_utf8_lossy(&output.stdout).trim());
    if output.status.success() && directory.is_dir() { Ok(()) } else { Err(BuildError::TargetMissing) }
}

/// A program by its environment variable, or by its usual name.
pub fn program(variable: &str, otherwise: &str) -> OsString {
    std::env::var_os(variable).unwrap_or_else(|| otherwise.into())
}

/// Source paths in messages of the compiled page name the package and not the machine that built it, so
/// that the same source gives the same page anywhere.
fn rust_flags(root: &Path) -> OsString {
    let home = std::env::var_os("HOME").or_else(|| std::env::var_os("USERPROFILE")).map(PathBuf::from);
    let cargo_home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let cargo_home = cargo_home.or_else(|| home.map(|home| home.join(".cargo")));
    let mut flags = OsString::new();
    // The last matching prefix wins, so the widest comes first.
    for (path, name) in cargo_home.iter().map(|path| (path.as_path(), "cargo")).chain([(root, "leanyear")]) {
        if !flags.is_empty() {
            flags.push("\x1f");
        }
        flags.push("--remap-path-prefix=");
        flags.push(path);
        flags.push("=");
        flags.push(name);
    }
    flags
}

fn bind(wasm: &Path, unpacker: Vec<u8>) -> Result<Program, BuildError> {
    let refused = |reason: String| BuildError::Bind { reason };
    let mut binder = Bindgen::new();
    binder
        .input_path(wasm)
        .no_modules(true)
        .map_err(|error| refused(error.to_string()))?
        .typescript(false)
        // Without a default address the glue never tries to fetch the wasm from beside the page.
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true);
    let mut output = binder.generate_output().map_err(|error| refused(format!("{error:#}")))?;
    let glue = without_indentation(output.js());
    Ok(Program { wasm: output.wasm_mut().emit_wasm(), glue, unpacker })
}

/// The glue comes indented by chance; its lines hold no multi-line text, so the indentation is only weight.
fn without_indentation(glue: &str) -> String {
    glue.lines().map(str::trim).filter(|line| !line.is_empty()).flat_map(|line| [line, "\n"]).collect()
}
