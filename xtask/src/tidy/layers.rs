//! Who may read whom: the arrows between crates, read from the manifests.

use std::process::Command;

use anyhow::{Context, Result};
use serde_json::Value;

use super::Fault;
use crate::shell::cargo;

/// The crates of the workspace that each of them may depend on, and for the pure ones all that
/// they may take from outside. A crate without a line here is a fault.
const ROWS: &[Row] = &[
    Row { name: "measure", inside: &[], outside: Some(&["kurbo", "libm", "strsim"]) },
    Row { name: "bag", inside: &["measure"], outside: Some(&["libm"]) },
    Row {
        name: "layout",
        inside: &["measure"],
        outside: Some(&["pumpkin-conflict-resolvers", "pumpkin-constraints", "pumpkin-core"]),
    },
    Row { name: "packet", inside: &["bag", "layout", "measure"], outside: Some(&[]) },
    Row {
        name: "drawing",
        inside: &["packet", "bag", "layout", "measure"],
        outside: Some(&["kurbo", "libm"]),
    },
    Row {
        name: "paper",
        inside: &["drawing", "packet", "bag", "layout", "measure"],
        outside: None,
    },
    Row { name: "store", inside: &["packet", "bag", "layout", "measure"], outside: None },
    Row {
        name: "workroom",
        inside: &["store", "paper", "drawing", "packet", "bag", "layout", "measure"],
        outside: None,
    },
    Row {
        name: "bagwright",
        inside: &["workroom", "store", "paper", "drawing", "packet", "bag", "layout", "measure"],
        outside: None,
    },
    // Only ever a dev-dependency: no row above has it.
    Row {
        name: "testkit",
        inside: &["store", "packet", "bag", "layout", "measure"],
        outside: None,
    },
    Row { name: "xtask", inside: &[], outside: None },
];

/// Libraries that only some crates may use. A `*` at the end stands for any ending.
const CONFINED: &[Confined] = &[
    Confined { outside: "typst*", to: &["paper"], in_tests: false },
    Confined { outside: "comemo", to: &["paper"], in_tests: false },
    Confined { outside: "pumpkin*", to: &["layout"], in_tests: false },
    Confined { outside: "krilla*", to: &["paper"], in_tests: false },
    Confined { outside: "resvg", to: &["paper"], in_tests: false },
    Confined { outside: "serde", to: &["store"], in_tests: true },
    Confined { outside: "toml*", to: &["store"], in_tests: true },
    Confined { outside: "rusqlite", to: &["workroom"], in_tests: true },
    Confined {
        outside: "serde_json",
        to: &["store", "bagwright", "paper", "xtask"],
        in_tests: true,
    },
    Confined { outside: "clap*", to: &["bagwright", "testkit"], in_tests: true },
    Confined { outside: "axum*", to: &["workroom"], in_tests: true },
    Confined { outside: "tokio*", to: &["workroom"], in_tests: true },
    Confined { outside: "image", to: &["workroom"], in_tests: true },
    Confined { outside: "tower*", to: &["workroom"], in_tests: true },
];

struct Row {
    name: &'static str,
    inside: &'static [&'static str],
    /// `None`: whatever is not confined to another crate.
    outside: Option<&'static [&'static str]>,
}

struct Confined {
    outside: &'static str,
    to: &'static [&'static str],
    /// Whether the tests of any crate may use it all the same.
    in_tests: bool,
}

/// One arrow: `from` depends on `to`.
struct Arrow<'a> {
    from: &'a str,
    to: &'a str,
    /// `to` is a crate of this workspace.
    inside: bool,
    for_tests: bool,
}

/// The call whose output [`check`] reads.
pub(super) fn metadata() -> Command {
    cargo(&["metadata", "--format-version", "1", "--no-deps"])
}

/// The faults in the output of `cargo metadata --no-deps`.
///
/// # Errors
/// When the output is not what cargo documents.
pub(super) fn check(metadata: &str) -> Result<Vec<Fault>> {
    let metadata: Value = serde_json::from_str(metadata)?;
    let packages = metadata["packages"].as_array().context("cargo metadata has no packages")?;
    let mut faults = Vec::new();
    for package in packages {
        let from = package["name"].as_str().context("a package has no name")?;
        if !ROWS.iter().any(|row| row.name == from) {
            let message = "is not in the table of who may read whom (xtask/src/tidy/layers.rs)";
            faults.push(Fault::new(format!("crate {from}"), message));
        }
        for dependency in package["dependencies"].as_array().into_iter().flatten() {
            let to = dependency["name"].as_str().context("a dependency has no name")?;
            let inside = !dependency["path"].is_null();
            let for_tests = dependency["kind"] == "dev";
            let arrow = Arrow { from, to, inside, for_tests };
            let messages = [kept_apart(&arrow), confined(&arrow)].into_iter().flatten();
            faults.extend(messages.map(|message| Fault::new(format!("crate {from}"), message)));
        }
    }
    Ok(faults)
}

/// The fault of an arrow that the table of rows does not have.
fn kept_apart(arrow: &Arrow<'_>) -> Option<String> {
    let row = ROWS.iter().find(|row| row.name == arrow.from)?;
    let Arrow { from, to, .. } = arrow;
    if arrow.for_tests {
        return None;
    }
    if arrow.inside {
        let allowed = row.inside.contains(to);
        return (!allowed).then(|| format!("reads {to}; {from} may read {}", named(row.inside)));
    }
    let outside = row.outside?;
    let allowed = outside.contains(to);
    (!allowed).then(|| {
        format!("uses the library {to}; {from} is kept pure and may use {}", named(outside))
    })
}

/// The fault of an arrow to a library that is confined to other crates.
fn confined(arrow: &Arrow<'_>) -> Option<String> {
    let Arrow { from, to, .. } = arrow;
    let rule = CONFINED.iter().find(|rule| matches(rule.outside, to))?;
    let allowed = rule.to.contains(from) || (arrow.for_tests && rule.in_tests);
    (!allowed).then(|| format!("uses {to}, which is kept to {}", rule.to.join(", ")))
}

/// Whether `name` is `library`, which may end in `*` for any ending.
fn matches(library: &str, name: &str) -> bool {
    library.strip_suffix('*').map_or(library == name, |start| name.starts_with(start))
}

fn named(list: &[&str]) -> String {
    if list.is_empty() { "nothing else".to_owned() } else { format!("only {}", list.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The messages for one crate with one dependency.
    fn faults(from: &str, to: &str, inside: bool, kind: &str) -> Vec<String> {
        let path = if inside { "\"crates/x\"" } else { "null" };
        let kind = if kind.is_empty() { "null".to_owned() } else { format!("\"{kind}\"") };
        let dependency = format!(r#"{{"name":"{to}","kind":{kind},"path":{path}}}"#);
        let json = format!(r#"{{"packages":[{{"name":"{from}","dependencies":[{dependency}]}}]}}"#);
        let faults = check(&json).expect("this is metadata");
        faults.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn arrows_downwards_are_kept() {
        assert_eq!(faults("bag", "measure", true, ""), [""; 0]);
        assert_eq!(faults("packet", "layout", true, ""), [""; 0]);
        assert_eq!(faults("paper", "typst-pdf", false, ""), [""; 0]);
        assert_eq!(faults("bag", "proptest", false, "dev"), [""; 0]);
    }

    #[test]
    fn arrows_upwards_and_sideways_are_faults() {
        let expected = "crate layout: reads bag; layout may read only measure";
        assert_eq!(faults("layout", "bag", true, ""), [expected]);
        let expected = "crate measure: reads bag; measure may read nothing else";
        assert_eq!(faults("measure", "bag", true, ""), [expected]);
        for row in ROWS {
            assert_eq!(faults(row.name, "bagwright", true, "").len(), 1, "{}", row.name);
        }
    }

    #[test]
    fn a_pure_crate_takes_nothing_new_from_outside() {
        let expected =
            "crate packet: uses the library rand; packet is kept pure and may use nothing else";
        assert_eq!(faults("packet", "rand", false, ""), [expected]);
        assert_eq!(faults("bag", "serde", false, "").len(), 2);
    }

    #[test]
    fn typst_stays_in_paper_even_in_tests() {
        let expected = "crate drawing: uses typst-svg, which is kept to paper";
        assert_eq!(faults("drawing", "typst-svg", false, "dev"), [expected]);
        assert_eq!(faults("bagwright", "typst", false, "").len(), 1);
    }

    #[test]
    fn a_crate_that_is_not_in_the_table_is_a_fault() {
        let faults = faults("newcomer", "measure", true, "");
        assert!(faults[0].starts_with("crate newcomer: is not in the table"), "{faults:?}");
    }
}
