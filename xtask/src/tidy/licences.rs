//! Every library may be passed on under our licences, and comes from a package registry.

use std::process::Command;

use anyhow::{Context, Result};
use serde_json::Value;

use super::Fault;
use crate::shell::{self, cargo, command};

/// Licences that ask for no more than a notice, and the file-wise MPL for unmodified libraries.
const TAKEN: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "Unlicense",
    "Zlib",
];

/// The call whose output [`check`] reads: all that is built for a manifest on this kind of machine.
///
/// # Errors
/// When `rustc` cannot name the machine.
pub(super) fn metadata(manifest: &str) -> Result<Command> {
    let version = shell::output(command("rustc").arg("-vV"))?;
    let host = version.lines().find_map(|line| line.strip_prefix("host: "));
    let host = host.context("`rustc -vV` names no host")?;
    let mut metadata = cargo(&["metadata", "--format-version", "1", "--filter-platform", host]);
    metadata.args(["--manifest-path", manifest]);
    Ok(metadata)
}

/// The faults in the output of `cargo metadata`.
///
/// # Errors
/// When the output is not what cargo documents.
pub(super) fn check(metadata: &str) -> Result<Vec<Fault>> {
    let metadata: Value = serde_json::from_str(metadata)?;
    let packages = metadata["packages"].as_array().context("cargo metadata has no packages")?;
    let mut faults = Vec::new();
    for package in packages {
        let name = package["name"].as_str().context("a package has no name")?;
        let place = format!("library {name}");
        let source = package["source"].as_str();
        if let Some(source) = source.filter(|source| !source.starts_with("registry+")) {
            faults.push(Fault::new(&place, format!("comes from {source}, not a registry")));
        }
        match package["license"].as_str() {
            Some(licence) if is_taken(licence) => {}
            Some(licence) => {
                let message = format!(
                    "has the licence `{licence}`, which is not among those taken \
                     (xtask/src/tidy/licences.rs)"
                );
                faults.push(Fault::new(place, message));
            }
            None => faults.push(Fault::new(place, "names no licence")),
        }
    }
    Ok(faults)
}

/// Whether one choice of an SPDX expression is taken in all its parts. Brackets are read as the
/// registry's expressions use them: around a choice that another part is added to.
fn is_taken(expression: &str) -> bool {
    // The old spelling with a slash means a choice.
    let expression = expression.replace('/', " OR ");
    let parts = split_outside_brackets(&expression, " AND ");
    if parts.len() > 1 && !has_outside_brackets(&expression, " OR ") {
        return parts.into_iter().all(is_taken);
    }
    let choices = split_outside_brackets(&expression, " OR ");
    if choices.len() > 1 {
        return choices.into_iter().any(is_taken);
    }
    let trimmed = expression.trim();
    match trimmed.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        Some(inner) => is_taken(inner),
        None => TAKEN.contains(&trimmed),
    }
}

fn has_outside_brackets(text: &str, word: &str) -> bool {
    split_outside_brackets(text, word).len() > 1
}

/// `text` split at each `word` that no bracket encloses.
fn split_outside_brackets<'a>(text: &'a str, word: &str) -> Vec<&'a str> {
    let (mut parts, mut start) = (Vec::new(), 0);
    for (index, _) in text.match_indices(word) {
        let before = &text[..index];
        if before.matches('(').count() == before.matches(')').count() {
            parts.push(&text[start..index]);
            start = index + word.len();
        }
    }
    parts.push(&text[start..]);
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_needs_one_licence_that_is_taken() {
        assert!(is_taken("MIT OR Apache-2.0"));
        assert!(is_taken("MIT/GPL-3.0-only"));
        assert!(is_taken("GPL-2.0-only OR (MIT AND Zlib)"));
        assert!(!is_taken("GPL-3.0-only"));
    }

    #[test]
    fn a_sum_needs_all_of_them() {
        assert!(is_taken("(MIT OR Apache-2.0) AND Unicode-3.0"));
        assert!(!is_taken("(MIT OR Apache-2.0) AND GPL-3.0-only"));
        assert!(!is_taken("MIT AND GPL-3.0-only OR AGPL-3.0-only"));
        assert!(is_taken("MIT AND GPL-3.0-only OR ISC"));
    }

    #[test]
    fn a_library_from_elsewhere_or_without_licence_is_a_fault() {
        let json = r#"{"packages":[
            {"name":"a","license":"MIT","source":"registry+x"},
            {"name":"b","license":"MIT","source":"git+x"},
            {"name":"c","license":null,"source":"registry+x"},
            {"name":"d","license":"AGPL-3.0-only","source":null}]}"#;
        let faults = check(json).expect("this is metadata");
        let places: Vec<&str> = faults.iter().map(|fault| fault.place.as_str()).collect();
        assert_eq!(places, ["library b", "library c", "library d"]);
    }
}
