//! A folder of its own for each test, with the program in reach.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// The root of the workspace.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Names, without ending, of the designs in a folder of the workspace.
pub(crate) fn designs_in(folder: &str) -> Vec<String> {
    let entries = fs::read_dir(root().join(folder)).expect("the folder can be listed");
    let paths = entries.map(|entry| entry.expect("the folder can be listed").path());
    let mut names: Vec<String> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
        .collect();
    names.sort();
    assert!(!names.is_empty(), "{folder} holds no design");
    names
}

/// A folder with design files on it; it goes away with the value.
pub(crate) struct Table {
    folder: TempDir,
}

impl Table {
    /// An empty one.
    pub(crate) fn new() -> Self {
        Self { folder: TempDir::new().expect("a folder can be made") }
    }

    /// The same with a design file.
    pub(crate) fn design(self, name: &str, text: &str) -> Self {
        fs::write(self.at(name), text).expect("a file can be written");
        self
    }

    /// The same with a file of `examples/`, such as `market-day-bag` or `faulty/gift-bag`; it
    /// keeps its last name.
    pub(crate) fn example(self, name: &str) -> Self {
        let path = root().join("examples").join(format!("{name}.toml"));
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let last = path.file_name().expect("it has a name").to_string_lossy().into_owned();
        self.design(&last, &text)
    }

    /// A path on the table.
    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The text of a file on the table.
    #[track_caller]
    pub(crate) fn text(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// What lies on the table, at the top: hidden files too.
    pub(crate) fn lies_there(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("the table can be listed");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("the table can be listed").file_name())
            .map(|name| name.to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// Every file below a folder on the table, by its path within it.
    pub(crate) fn files(&self, folder: &str) -> BTreeMap<String, Vec<u8>> {
        let top = self.at(folder);
        let mut files = BTreeMap::new();
        let mut open = vec![top.clone()];
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(&folder).expect("a folder of the packet can be listed") {
                let path = entry.expect("a folder of the packet can be listed").path();
                if path.is_dir() {
                    open.push(path);
                } else {
                    let within = path.strip_prefix(&top).expect("it lies below");
                    let name = within.to_string_lossy().replace('\\', "/");
                    files.insert(name, fs::read(&path).expect("a file can be read"));
                }
            }
        }
        files
    }

    /// Runs the program on the table.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        let output = self.command(arguments).output().expect("the program starts");
        Ran { arguments: arguments.join(" "), output }
    }

    /// The program, ready to run on the table.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_bagwright"));
        command.args(arguments).current_dir(self.folder.path()).stdin(Stdio::null());
        command
    }
}

/// What a run gave.
pub(crate) struct Ran {
    arguments: String,
    output: Output,
}

impl Ran {
    /// Standard output.
    pub(crate) fn out(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).expect("it prints UTF-8")
    }

    /// Standard error.
    pub(crate) fn err(&self) -> String {
        String::from_utf8(self.output.stderr.clone()).expect("it tells UTF-8")
    }

    /// Compares the exit code.
    #[track_caller]
    pub(crate) fn exits(&self, code: i32) -> &Self {
        assert_eq!(self.output.status.code(), Some(code), "exit code\n{}", self.everything());
        self
    }

    /// Standard output has these words.
    #[track_caller]
    pub(crate) fn prints(&self, words: &str) -> &Self {
        assert!(self.out().contains(words), "`{words}` is not printed\n{}", self.everything());
        self
    }

    /// Standard error has these words.
    #[track_caller]
    pub(crate) fn tells(&self, words: &str) -> &Self {
        assert!(self.err().contains(words), "`{words}` is not told\n{}", self.everything());
        self
    }

    /// Nothing on standard output.
    #[track_caller]
    pub(crate) fn prints_nothing(&self) -> &Self {
        assert_eq!(self.out(), "", "{}", self.everything());
        self
    }

    fn everything(&self) -> String {
        format!(
            "bagwright {}\n--- standard output\n{}--- standard error\n{}",
            self.arguments,
            self.out(),
            self.err()
        )
    }
}
