//! Every Rust file below a `src` is declared by the file above it; none is left lying about.

use std::collections::BTreeMap;

use super::code::{code_only, has_word, listed};
use super::{Fault, File};

/// The faults of all files together.
pub(super) fn check(files: &[File]) -> Vec<Fault> {
    let rust = files.iter().filter_map(|file| Some((file.path.as_str(), file.rust()?)));
    let code: BTreeMap<&str, String> = rust.map(|(path, text)| (path, code_only(text))).collect();
    code.keys().filter_map(|path| orphan(path, &code)).collect()
}

/// The fault of `path`, if no file declares it.
fn orphan(path: &str, code: &BTreeMap<&str, String>) -> Option<Fault> {
    let (_, inside) = path.split_once("/src/")?;
    let source = &path[..path.len() - inside.len() - 1];
    let inside = inside.strip_suffix(".rs")?;
    if matches!(inside, "lib" | "main") || inside.starts_with("bin/") {
        return None;
    }
    let inside = inside.strip_suffix("/mod").unwrap_or(inside);
    let (folder, stem) = inside.rsplit_once('/').unwrap_or(("", inside));
    let parents = if folder.is_empty() {
        vec![format!("{source}/lib.rs"), format!("{source}/main.rs")]
    } else {
        vec![format!("{source}/{folder}.rs"), format!("{source}/{folder}/mod.rs")]
    };
    let mut found = parents.iter().filter_map(|parent| code.get(parent.as_str())).peekable();
    if found.peek().is_none() {
        return Some(Fault::new(path, format!("there is no {} to declare it", parents[0])));
    }
    let declared = found.any(|text| has_word(text, &format!("mod {stem};")) || listed(text, stem));
    (!declared).then(|| {
        let message =
            format!("nothing in {} declares it (`mod {stem};` or its word in a list)", parents[0]);
        Fault::new(path, message)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The files that are faults, among files with these paths and texts.
    fn orphans(files: &[(&str, &str)]) -> Vec<String> {
        let file = |(path, text): &(&str, &str)| File {
            path: (*path).to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let files: Vec<File> = files.iter().map(file).collect();
        check(&files).into_iter().map(|fault| fault.place).collect()
    }

    #[test]
    fn declared_files_are_in_order() {
        let files = [
            ("crates/bag/src/lib.rs", "mod bodies;\npub mod size;"),
            ("crates/bag/src/bodies.rs", "kinds! { flat, boxed }"),
            ("crates/bag/src/bodies/flat.rs", ""),
            ("crates/bag/src/bodies/boxed.rs", ""),
            ("crates/bag/src/size.rs", ""),
            ("crates/bag/tests/bags.rs", ""),
            ("xtask/src/main.rs", "mod tidy;"),
            ("xtask/src/tidy/mod.rs", ""),
        ];
        assert_eq!(orphans(&files), [""; 0]);
    }

    #[test]
    fn a_file_that_nothing_declares_is_a_fault() {
        let files = [
            ("crates/bag/src/lib.rs", "mod bodies;\n// mod size;\n"),
            ("crates/bag/src/bodies.rs", "kinds! { flat }\nuse boxed;"),
            ("crates/bag/src/bodies/flat.rs", ""),
            ("crates/bag/src/bodies/boxed.rs", ""),
            ("crates/bag/src/size.rs", ""),
            ("crates/bag/src/lost/child.rs", ""),
        ];
        let expected = [
            "crates/bag/src/bodies/boxed.rs",
            "crates/bag/src/lost/child.rs",
            "crates/bag/src/size.rs",
        ];
        assert_eq!(orphans(&files), expected);
    }
}
