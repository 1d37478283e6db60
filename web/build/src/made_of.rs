//! Gathers whose programs are in the page, with their terms: asked of cargo and read from their own sources.
//!
//! Of terms that are offered as alternatives one is taken, the shortest that the program brings. It knows how the
//! usual licences begin and end; of the page it knows nothing.

use crate::compile::{CRATE, TARGET, program};
use crate::error::BuildError;
use leanyear_engine::page::{Borrowed, MadeOf};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

/// A licence by its SPDX name, with the words that its text begins and ends with.
struct Licence {
    name: &'static str,
    begins: &'static str,
    ends: &'static str,
}

/// In the order in which they are taken where there is a choice.
const LICENCES: [Licence; 5] = [
    Licence { name: "MIT", begins: "Permission is hereby granted, free of charge", ends: "SOFTWARE." },
    Licence { name: "Zlib", begins: "This software is provided 'as-is'", ends: "source distribution." },
    Licence { name: "Unicode-3.0", begins: "UNICODE LICENSE V3", ends: "of the copyright holder." },
    Licence { name: "Apache-2.0", begins: "Apache License", ends: "END OF TERMS AND CONDITIONS" },
    Licence {
        name: "BSL-1.0",
        begins: "Boost Software License - Version 1.0",
        ends: "DEALINGS IN THE SOFTWARE.",
    },
];
/// How the files begin that hold terms.
const FILES: [&str; 5] = ["license", "licence", "copying", "unlicense", "copyright"];
/// The compiler's own library is in every program, and in no list of packages.
const STANDARD_LIBRARY: (&str, &str, &str) =
    ("Rust standard library", "MIT OR Apache-2.0", "Copyright (c) The Rust Project Contributors");

/// A program before its terms are put in one list.
struct Found {
    name: String,
    version: String,
    licence: String,
    holders: Vec<String>,
    /// Name of each licence taken, and its text where the program brings it.
    terms: Vec<(&'static str, Option<String>)>,
}

/// Everything of others in the page of the workspace at `root`.
///
/// # Errors
/// [`BuildError::Packages`] where cargo does not tell, [`BuildError::Terms`] for a program whose terms are not known.
pub fn made_of(root: &Path) -> Result<MadeOf, BuildError> {
    let packages = packages(root)?;
    let mut found = vec![standard_library(root)?];
    for (name, version) in in_the_page(root)? {
        let package = packages.get(&(name.clone(), version.clone()));
        // What cargo knows no registry for is this workspace's own.
        if let Some(package) = package.filter(|package| !package["source"].is_null()) {
            found.push(described(name, version, package)?);
        }
    }
    listed(found)
}

fn cargo(root: &Path, arguments: &[&str]) -> Result<String, BuildError> {
    let cargo = program("CARGO", "cargo");
    let output = Command::new(&cargo)
        .current_dir(root)
        .args(arguments)
        .output()
        .map_err(|source| BuildError::Start { program: cargo.to_string_lossy().into_owned(), source })?;
    let said = String::from_utf8_lossy(if output.status.success() { &output.stdout } else { &output.stderr });
    if output.status.success() {
        Ok(said.into_owned())
    } else {
        Err(BuildError::Packages { reason: said.into() })
    }
}

/// Name and version of every package that is compiled into the page; those that only write code are not in it.
fn in_the_page(root: &Path) -> Result<BTreeSet<(String, String)>, BuildError> {
    let tree = cargo(
        root,
        &[
            "tree",
            "--locked",
            "--package",
            CRATE,
            "--target",
            TARGET,
            "--edges",
            "normal,no-proc-macro",
            "--prefix",
            "none",
            "--format",
            "{p}",
        ],
    )?;
    let named = |line: &str| {
        let mut words = line.split_whitespace();
        Some((words.next()?.to_owned(), words.next()?.trim_start_matches('v').to_owned()))
    };
    Ok(tree.lines().filter_map(named).collect())
}

/// What the packages say of themselves, by name and version.
fn packages(root: &Path) -> Result<BTreeMap<(String, String), Value>, BuildError> {
    let text = cargo(root, &["metadata", "--locked", "--format-version", "1"])?;
    let mut metadata: Value =
        serde_json::from_str(&text).map_err(|error| BuildError::Packages { reason: error.to_string() })?;
    let list = metadata["packages"].as_array_mut().map(std::mem::take).unwrap_or_default();
    let key = |package: &Value| (text_of(&package["name"]), text_of(&package["version"]));
    Ok(list.into_iter().map(|package| (key(&package), package)).collect())
}

fn text_of(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

fn standard_library(root: &Path) -> Result<Found, BuildError> {
    let rustc = program("RUSTC", "rustc");
    let output = Command::new(&rustc)
        .current_dir(root)
        .arg("--version")
        .output()
        .map_err(|source| BuildError::Start { program: rustc.to_string_lossy().into_owned(), source })?;
    let said = String::from_utf8_lossy(&output.stdout);
    let (name, licence, holder) = STANDARD_LIBRARY;
    Ok(Found {
        name: name.to_owned(),
        version: said.split_whitespace().nth(1).unwrap_or_default().to_owned(),
        licence: licence.to_owned(),
        holders: vec![holder.to_owned()],
        terms: vec![(LICENCES[0].name, None)],
    })
}

fn described(name: String, version: String, package: &Value) -> Result<Found, BuildError> {
    let licence = text_of(&package["license"]);
    let folder = PathBuf::from(text_of(&package["manifest_path"]));
    let texts = texts_in(folder.parent().unwrap_or(&folder))?;
    let terms = taken(&licence, &texts)
        .ok_or_else(|| BuildError::Terms { package: name.clone(), licence: licence.clone() })?;
    let brought = |text: &&String| terms.iter().any(|(licence, _)| text_from(licence, text).is_some());
    let mut holders: Vec<String> = texts.iter().filter(brought).flat_map(|text| holders_in(text)).collect();
    if holders.is_empty() {
        holders = authors(&package["authors"]);
    }
    // Who names nobody is found where the sources lie.
    if holders.is_empty() {
        holders.extend(package["repository"].as_str().map(str::to_owned));
    }
    holders.dedup();
    Ok(Found { name, version, licence, holders, terms })
}

/// The texts of the files in a package's folder that hold terms.
fn texts_in(folder: &Path) -> Result<Vec<String>, BuildError> {
    let failed = |path: &Path, source| BuildError::Read { path: path.to_path_buf(), source };
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .map_err(|source| failed(folder, source))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
            path.is_file() && FILES.iter().any(|start| name.starts_with(start))
        })
        .collect();
    // A folder is listed in no order, and the page is to be the same wherever it is built.
    paths.sort();
    let read = |path: &PathBuf| {
        let bytes = std::fs::read(path).map_err(|source| failed(path, source))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    };
    paths.iter().map(read).collect()
}

/// Of each part of a licence expression that is joined by AND, the alternative that is taken; `None` where no
/// alternative is among the known ones. A text that is brought goes before one that is not.
fn taken(expression: &str, texts: &[String]) -> Option<Vec<(&'static str, Option<String>)>> {
    let parts = expression.split(" AND ").map(|part| {
        let offered: Vec<&str> = part
            .split(['/', '(', ')'])
            .flat_map(|piece| piece.split(" OR "))
            .map(str::trim)
            .filter(|name| !name.is_empty())
            .collect();
        let known = || LICENCES.iter().map(|l| l.name).filter(|name| offered.contains(name));
        let brought = known().find_map(|name| {
            let text = texts.iter().find_map(|text| text_from(name, text))?;
            Some((name, Some(text)))
        });
        brought.or_else(|| known().next().map(|name| (name, None)))
    });
    parts.collect()
}

/// The text of a licence within a file: its paragraphs, each on one line.
fn text_from(name: &str, file: &str) -> Option<String> {
    let licence = LICENCES.iter().find(|licence| licence.name == name)?;
    let paragraphs: Vec<String> = file
        .replace("\r\n", "\n")
        .split("\n\n")
        .map(|paragraph| paragraph.split_whitespace().collect::<Vec<_>>().join(" "))
        .filter(|paragraph| !paragraph.is_empty())
        .collect();
    let text = paragraphs.join("\n\n");
    let from = &text[text.find(licence.begins)?..];
    let end = from.find(licence.ends).map(|at| at + licence.ends.len())?;
    // The last of the words that it ends with: MIT says them twice in its last paragraph.
    let last = from[end..].find("\n\n").map_or(from.len(), |after| end + after);
    let end = from[..last].rfind(licence.ends).map_or(end, |at| at + licence.ends.len());
    Some(from[..end].to_owned())
}

/// Lines such as "Copyright (c) 2018 …".
fn holders_in(text: &str) -> Vec<String> {
    let is_one = |line: &&str| {
        let rest = line.strip_prefix("Copyright").map(str::trim_start);
        rest.is_some_and(|rest| ["(c)", "(C)", "©"].iter().any(|sign| rest.starts_with(sign)))
    };
    text.lines().map(str::trim).filter(is_one).map(str::to_owned).collect()
}

/// Authors as a package names them, without their addresses.
fn authors(list: &Value) -> Vec<String> {
    let name =
        |author: &Value| author.as_str().and_then(|a| a.split('<').next()).map(|a| a.trim().to_owned());
    list.as_array().into_iter().flatten().filter_map(name).filter(|name| !name.is_empty()).collect()
}

/// Puts every distinct text in one list. A program that brings none shares that of another under the same licence.
fn listed(found: Vec<Found>) -> Result<MadeOf, BuildError> {
    let mut usual: BTreeMap<&str, BTreeMap<&str, usize>> = BTreeMap::new();
    for (name, text) in found.iter().flat_map(|part| &part.terms) {
        if let Some(text) = text {
            *usual.entry(name).or_default().entry(text).or_default() += 1;
        }
    }
    let usual: BTreeMap<&str, String> = usual
        .into_iter()
        .filter_map(|(name, texts)| {
            Some((name, texts.into_iter().max_by_key(|(_, times)| *times)?.0.to_owned()))
        })
        .collect();
    let mut made_of = MadeOf::default();
    for Found { name, version, licence, holders, terms } in &found {
        let mut places = Vec::new();
        for (licence_name, text) in terms {
            let text = text
                .as_ref()
                .or_else(|| usual.get(licence_name))
                .ok_or_else(|| BuildError::Terms { package: name.clone(), licence: licence.clone() })?;
            let known = made_of.terms.iter().position(|known| known == text);
            places.push(known.unwrap_or_else(|| {
                made_of.terms.push(text.clone());
                made_of.terms.len() - 1
            }));
        }
        made_of.parts.push(Borrowed {
            name: name.clone(),
            version: version.clone(),
            licence: licence.clone(),
            holders: holders.clone(),
            terms: places,
        });
    }
    Ok(made_of)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const MIT: &str = "MIT License\n\nCopyright (c) 2020 A Maker\n\nPermission is hereby granted, free of charge, to\n\
        anyone of the Software.\n\nTHE SOFTWARE IS PROVIDED \"AS IS\" WITH THE\nSOFTWARE.\nMore words.\n";

    #[test]
    fn the_shortest_terms_that_are_brought_are_taken() {
        let texts = [MIT.to_owned()];
        let text = "Permission is hereby granted, free of charge, to anyone of the Software.\n\n\
            THE SOFTWARE IS PROVIDED \"AS IS\" WITH THE SOFTWARE.";
        for expression in ["Apache-2.0 OR MIT", "MIT/Apache-2.0", "Unlicense OR MIT"] {
            assert_eq!(taken(expression, &texts).unwrap(), [("MIT", Some(text.to_owned()))], "{expression}");
        }
        let both = taken("(MIT OR Apache-2.0) AND Unicode-3.0", &texts).unwrap();
        assert_eq!(both, [("MIT", Some(text.to_owned())), ("Unicode-3.0", None)]);
        assert_eq!(taken("Proprietary", &texts), None);
        assert_eq!(holders_in(MIT), ["Copyright (c) 2020 A Maker"]);
    }

    #[test]
    fn texts_are_listed_once_and_shared_by_whoever_brings_none() {
        let part = |name: &str, text: Option<&str>| Found {
            name: name.to_owned(),
            version: "1.0.0".to_owned(),
            licence: "MIT".to_owned(),
            holders: Vec::new(),
            terms: vec![("MIT", text.map(str::to_owned))],
        };
        let list =
            listed(vec![part("a", None), part("b", Some("x")), part("c", Some("x")), part("d", Some("y"))]);
        let list = list.unwrap();
        assert_eq!(list.terms, ["x", "y"]);
        assert_eq!(list.parts.iter().map(|p| p.terms[0]).collect::<Vec<_>>(), [0, 0, 0, 1]);
        assert!(matches!(listed(vec![part("a", None)]), Err(BuildError::Terms { .. })));
    }
}
