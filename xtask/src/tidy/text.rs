//! How files are written: clean lines, no giants, no traces of one machine, no half-done code.

use super::code::{code_only, has_word};
use super::{Fault, File};

/// The largest file that is committed, in bytes.
const LARGEST: usize = 1_000_000;

/// The most lines of a Rust file that gives no reason for its length.
const LONGEST: usize = 800;

/// The one file that a tool writes and that names where libraries come from.
const EXEMPT: &str = "Cargo.lock";

/// The faults of one file.
pub(super) fn check(file: &File) -> Vec<Fault> {
    let mut faults = Vec::new();
    if file.bytes.len() > LARGEST {
        let message = format!("is larger than {LARGEST} bytes; the repository holds no such files");
        faults.push(Fault::new(&file.path, message));
    }
    if let (Some(text), false) = (file.text(), file.path.rsplit('/').next() == Some(EXEMPT)) {
        faults.extend(places(&file.path, text));
        if is_clean_kind(&file.path) {
            faults.extend(clean(&file.path, text));
        }
    }
    if let Some(text) = file.rust() {
        faults.extend(rust(&file.path, text));
    }
    faults
}

/// Files that people write line by line.
fn is_clean_kind(path: &str) -> bool {
    let endings = [".rs", ".md", ".toml", ".py", ".typ", ".sh", ".css", ".js", ".ci/run"];
    endings.iter().any(|ending| path.ends_with(ending))
}

/// No trailing spaces, no tabs, LF endings, one line end at the end.
fn clean(path: &str, text: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (line, content) in text.split('\n').enumerate() {
        if content.ends_with('\r') {
            faults.push(Fault::at(path, line, "ends in CR LF; lines end in LF alone"));
        } else if content.ends_with([' ', '\t']) {
            faults.push(Fault::at(path, line, "has spaces at its end"));
        }
        if content.contains('\t') {
            faults.push(Fault::at(path, line, "has a tab; indent with spaces"));
        }
    }
    if !text.is_empty() && !text.ends_with('\n') {
        faults.push(Fault::new(path, "does not end with a line end"));
    }
    if text.ends_with("\n\n") {
        faults.push(Fault::new(path, "ends with an empty line"));
    }
    faults
}

/// Words that only make sense on one machine, and hosts of package registries.
fn places(path: &str, text: &str) -> Vec<Fault> {
    // Put together here so that this file does not break its own rule.
    let traces = [
        ["tran", "script"],
        ["/wo", "rk/"],
        ["../sha", "red"],
        ["/.libra", "ry"],
        ["/tmp", "/team"],
    ];
    let hosts = [
        ["crates", ".io"],
        ["pypi", ".org"],
        ["pythonhosted", ".org"],
        ["npm", "js."],
        ["debian", ".org"],
        ["proxy.go", "lang"],
    ];
    let mut faults = Vec::new();
    for (line, content) in text.lines().enumerate() {
        let content = content.to_lowercase();
        let mut look = |words: &[[&str; 2]], message: &str| {
            for word in words.iter().map(|halves| halves.concat()) {
                if content.contains(&word) {
                    faults.push(Fault::at(path, line, format!("`{word}` {message}")));
                }
            }
        };
        look(&traces, "means nothing on another machine");
        look(&hosts, "is the host of a registry; name the package alone");
    }
    faults
}

/// A module doc, a reason for an unusual length, nothing half done, no test switched off.
fn rust(path: &str, text: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    if !text.starts_with("//! ") {
        faults.push(Fault::at(path, 0, "starts with no module doc (`//! What this file is.`)"));
    }
    let reasoned = text.lines().any(|line| line.starts_with("//! Length:"));
    let lines = text.lines().count();
    if lines > LONGEST && !reasoned {
        let message = format!(
            "has {lines} lines; over {LONGEST}, split it or give the reason in a line `//! Length:`"
        );
        faults.push(Fault::new(path, message));
    }
    let banned = [
        ("#[ignore", "switches a test off; mend or delete it"),
        ("should_panic", "tests for a panic; return an error and test for that"),
        ("todo!", "is half done"),
        ("unimplemented!", "is half done"),
        ("dbg!", "is left from a search for a fault"),
    ];
    for (line, content) in code_only(text).lines().enumerate() {
        for (word, why) in banned {
            if has_word(content, word) {
                faults.push(Fault::at(path, line, format!("`{word}` {why}")));
            }
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The faults of `text` as the file at `path`.
    fn faults(path: &str, text: &str) -> Vec<String> {
        let file = File { path: path.to_owned(), bytes: text.as_bytes().to_vec() };
        check(&file).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn unclean_lines_are_faults() {
        assert_eq!(faults("a.md", "a \n"), ["a.md:1: has spaces at its end"]);
        assert_eq!(faults("a.toml", "\ta\n"), ["a.toml:1: has a tab; indent with spaces"]);
        assert_eq!(faults("a.md", "a\r\n"), ["a.md:1: ends in CR LF; lines end in LF alone"]);
        assert_eq!(faults("a.md", "a"), ["a.md: does not end with a line end"]);
        assert_eq!(faults("a.md", "a\n\n"), ["a.md: ends with an empty line"]);
        assert_eq!(faults("a.md", "a\n\nb\n"), [""; 0]);
    }

    #[test]
    fn traces_and_registry_hosts_are_faults_except_in_the_lock() {
        let host = ["crates", ".io"].concat();
        let text = format!("a\nsee {host}\n");
        assert_eq!(faults("a.txt", &text).len(), 1);
        assert_eq!(faults("Cargo.lock", &text), [""; 0]);
        let trace = ["See /wo", "rk/main\n"].concat();
        assert!(faults("a.txt", &trace)[0].contains("means nothing on another machine"));
    }

    #[test]
    fn a_rust_file_says_what_it_is() {
        assert!(faults("a.rs", "fn f() {}\n")[0].contains("no module doc"));
        assert_eq!(faults("a.rs", "//! A file.\n"), [""; 0]);
    }

    #[test]
    fn a_long_file_gives_its_reason() {
        let long = format!("//! A file.\n{}", "//\n".repeat(LONGEST));
        assert!(faults("a.rs", &long)[0].contains("has 801 lines"));
        let reasoned = long.replacen("//\n", "//! Length: one table.\n", 1);
        assert_eq!(faults("a.rs", &reasoned), [""; 0]);
    }

    #[test]
    fn half_done_code_is_a_fault_and_a_sentence_about_it_is_not() {
        for code in
            ["fn f() { todo!() }", "#[ignore]", "#[should_panic(expected = \"x\")]", "dbg!(x)"]
        {
            assert_eq!(faults("a.rs", &format!("//! A.\n{code}\n")).len(), 1, "{code}");
        }
        assert_eq!(faults("a.rs", "//! A.\nconst A: &str = \"dbg!\"; // todo!\n"), [""; 0]);
    }

    #[test]
    fn a_giant_is_a_fault() {
        let file = File { path: "a.png".to_owned(), bytes: vec![255; LARGEST + 1] };
        assert_eq!(check(&file).len(), 1);
    }
}
