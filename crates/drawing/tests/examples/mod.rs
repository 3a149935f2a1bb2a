//! The patterns of all examples, for the tests of this folder.

use std::path::PathBuf;

use bag::pattern::Pattern;
use measure::System;

/// The patterns of all examples, by name.
pub(crate) fn patterns() -> Vec<(String, Pattern, System)> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut found = Vec::new();
    for folder in ["examples", "examples/written"] {
        let entries = std::fs::read_dir(root.join(folder)).expect("the folder is there");
        let mut paths: Vec<PathBuf> =
            entries.map(|entry| entry.expect("an entry").path()).collect();
        paths.sort();
        for path in paths.into_iter().filter(|it| it.extension().is_some_and(|it| it == "toml")) {
            let text = std::fs::read_to_string(&path).expect("an example can be read");
            let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
            let (pattern, system) = if store::is_pattern(&text) {
                let pattern = store::read_pattern(&name, &text).expect("an example is understood");
                let system = pattern.units.system();
                (pattern, system)
            } else {
                let design = store::read_design(&name, &text).expect("an example is understood");
                let system = design.system();
                (bag::draft(&design).pattern.expect("an example can be made"), system)
            };
            found.push((name, pattern, system));
        }
    }
    assert!(found.len() >= 7, "{} examples", found.len());
    found
}
