//! The pure crates do no I/O, read no clock, no environment and no hash order, and compute the
//! same angles on every machine.

use super::code::{code_only, has_word, without_tests};
use super::{Fault, File};

/// The crates that must stay pure.
const PURE: &[&str] = &["measure", "bag", "layout", "packet", "drawing"];

/// What must not stand in them, and what to do instead.
const BANNED: &[(&[&str], &str)] = &[
    (
        &["std::fs", "std::net", "std::process", "std::io", "fs::read", "fs::write"],
        "does I/O; take the data as an argument",
    ),
    (&["std::env", "env::var"], "reads the environment; take the value as an argument"),
    (
        &["std::time", "SystemTime", "Instant"],
        "reads the clock; take the date or a number of rounds as an argument",
    ),
    (
        &["HashMap", "HashSet", "RandomState"],
        "has no fixed order; use BTreeMap, BTreeSet or an indexed Vec",
    ),
    (&["println!", "print!", "eprintln!", "eprint!"], "prints; return the text or a finding"),
    (&["std::thread", "thread::spawn"], "starts threads; the pure call is one computation"),
    (
        &[
            ".sin()",
            ".cos()",
            ".tan()",
            ".sin_cos()",
            ".asin()",
            ".acos()",
            ".atan()",
            ".atan2(",
            ".hypot(",
            ".powf(",
            ".exp()",
            ".exp2()",
            ".ln()",
            ".log(",
            ".log2()",
            ".log10()",
            ".cbrt()",
            ".sinh()",
            ".cosh()",
            ".tanh()",
            "f64::sin",
            "f64::cos",
            "f64::tan",
            "f64::atan2",
            "f64::hypot",
            "f64::powf",
            "f64::exp",
            "f64::ln",
        ],
        "differs between machines in the last digit; use the function of the crate `libm`",
    ),
];

/// The faults of one file.
pub(super) fn check(file: &File) -> Vec<Fault> {
    let Some(text) = file.rust() else { return Vec::new() };
    if !is_pure(&file.path) {
        return Vec::new();
    }
    let code = without_tests(&code_only(text));
    let mut faults = Vec::new();
    for (line, content) in code.lines().enumerate() {
        for (words, why) in BANNED {
            let found = words.iter().find(|word| has_word(content, word));
            faults.extend(found.map(|word| Fault::at(&file.path, line, format!("`{word}` {why}"))));
        }
    }
    faults
}

/// Whether the file is part of a pure crate itself and not of its tests.
fn is_pure(path: &str) -> bool {
    let inside = PURE.iter().find_map(|name| path.strip_prefix(&format!("crates/{name}/src/")));
    inside.is_some_and(|inside| !inside.split('/').any(|part| matches!(part, "tests" | "tests.rs")))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The messages for `text` as the file at `path`.
    fn faults(path: &str, text: &str) -> Vec<String> {
        let file = File { path: path.to_owned(), bytes: text.as_bytes().to_vec() };
        check(&file).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn impure_code_is_a_fault_with_its_line() {
        let text = "//! Doc.\nfn f(x: f64) -> f64 { x.sin() }\nuse std::collections::HashMap;\n";
        let found = faults("crates/bag/src/a.rs", text);
        assert_eq!(found.len(), 2);
        assert!(found[0].starts_with("crates/bag/src/a.rs:2: `.sin()` differs"), "{found:?}");
        assert!(found[1].starts_with("crates/bag/src/a.rs:3: `HashMap` has no"), "{found:?}");
    }

    #[test]
    fn words_of_the_trade_and_libm_are_free() {
        let text = "fn f(thread: Thread) { libm::sin(1.0); x.expect(\"Instant\"); a.sqrt() }";
        assert_eq!(faults("crates/bag/src/a.rs", text), [""; 0]);
    }

    #[test]
    fn tests_and_other_crates_are_free() {
        let text = "use std::fs;\nfn f() { println!() }";
        for path in ["crates/store/src/a.rs", "crates/bag/tests/a.rs", "crates/bag/src/tests.rs"] {
            assert_eq!(faults(path, text), [""; 0], "{path}");
        }
        let marked = format!("#[cfg(test)]\nmod tests {{ {text} }}");
        assert_eq!(faults("crates/bag/src/a.rs", &marked), [""; 0]);
    }
}
