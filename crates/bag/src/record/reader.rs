//! Reading a tree: the place that is read, what has been declared so far, and what is wrong.

use std::collections::BTreeSet;

use measure::{Length, Units};

use super::basic::items;
use super::{Datum, Form, key};
use crate::pattern::{CopyId, Pattern, Piece};

/// The most that is told at once.
const MOST: usize = 100;

/// The longest list.
pub(super) const LONGEST_LIST: usize = 300;

/// A step on the way to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// The value of a key.
    Key(String),
    /// An item of a list, counted from 0.
    Index(usize),
}

/// Something wrong with a tree, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The way to the value.
    pub path: Vec<Part>,
    /// Whether the key itself is wrong, not its value.
    pub at_key: bool,
    /// What is wrong, one sentence.
    pub message: String,
    /// What would be right.
    pub hint: String,
    /// A word that is not known, and those that are: whoever shows the fault may name the nearest.
    pub word: Option<(String, Vec<String>)>,
}

/// What has been declared so far, and what is wrong.
#[derive(Debug)]
pub struct Reader {
    /// The pattern as far as it has been read.
    pub(super) pattern: Pattern,
    /// Ids of all steps.
    pub(super) steps: Vec<String>,
    /// Names that were declared and could not be read: it is enough to say so once.
    pub(super) broken: BTreeSet<String>,
    /// What a number without a unit means.
    pub(super) units: Units,
    path: Vec<Part>,
    faults: Vec<Fault>,
}

impl Reader {
    pub(super) fn new(pattern: Pattern) -> Self {
        let units = pattern.units;
        Self {
            pattern,
            steps: Vec::new(),
            broken: BTreeSet::new(),
            units,
            path: Vec::new(),
            faults: Vec::new(),
        }
    }

    /// All that is wrong.
    pub(super) fn into_faults(self) -> (Pattern, Vec<Fault>) {
        (self.pattern, self.faults)
    }

    /// How many faults there are so far.
    pub(super) fn fault_count(&self) -> usize {
        self.faults.len()
    }

    /// Reads something one step further down.
    pub fn within<T>(&mut self, part: Part, read: impl FnOnce(&mut Self) -> T) -> T {
        self.path.push(part);
        let value = read(self);
        self.path.pop();
        value
    }

    /// Something is wrong here.
    pub fn report(&mut self, message: impl Into<String>, hint: impl Into<String>) {
        self.push(false, message.into(), hint.into(), None);
    }

    /// A word is none of those known.
    pub fn no_such_word(&mut self, word: &str, known: &[&str], takes: &str) {
        let known = known.iter().map(|word| (*word).to_owned()).collect();
        let message = format!("`{}` is none of the words that stand here", short(word));
        self.push(false, message, format!("write {takes}"), Some((word.to_owned(), known)));
    }

    /// A name refers to nothing, unless what it names has been reported already.
    pub fn no_such_name(&mut self, what: &str, name: &str, known: Vec<String>) {
        if self.broken.contains(name) {
            return;
        }
        let hint = format!("name {what} that the file declares");
        let message = format!("there is no {} `{}`", bare(what), short(name));
        self.push(false, message, hint, Some((name.to_owned(), known)));
    }

    /// It is another sort of value.
    pub fn mistyped(&mut self, datum: &Datum, takes: &str) {
        self.report(format!("{} stands here", datum.sort()), format!("write {takes}"));
    }

    fn push(
        &mut self,
        at_key: bool,
        message: String,
        hint: String,
        word: Option<(String, Vec<String>)>,
    ) {
        if self.faults.len() < MOST {
            let path = self.path.clone();
            self.faults.push(Fault { path, at_key, message, hint, word });
        }
    }

    /// The piece of a copy that has been read.
    pub(crate) fn piece_of(&self, copy: CopyId) -> &Piece {
        self.pattern.piece_of(copy)
    }

    /// The edge of a copy by its name.
    pub(crate) fn edge_of(&mut self, copy: CopyId, name: &str) -> Option<usize> {
        let piece = self.pattern.piece_of(copy);
        let found = piece.edge(name);
        if found.is_none() {
            let known = piece.edges.iter().map(|edge| edge.name.clone()).collect();
            let what = format!("an edge of the {}", self.pattern.copy(copy).name);
            self.no_such_name(&what, name, known);
        }
        found
    }

    /// The items of a list.
    pub(crate) fn items<T>(
        &mut self,
        datum: &Datum,
        read: impl FnMut(&mut Self, &Datum) -> Option<T>,
    ) -> Option<Vec<T>> {
        items(self, datum, LONGEST_LIST, read)
    }

    /// The items of a list under a key; an empty list without it.
    pub(crate) fn list_at<T>(
        &mut self,
        table: &mut Table<'_>,
        key: &str,
        read: impl FnMut(&mut Self, &Datum) -> Option<T>,
    ) -> Option<Vec<T>> {
        match table.get(key) {
            Some(datum) => {
                self.within(Part::Key(key.to_owned()), |reader| reader.items(datum, read))
            }
            None => Some(Vec::new()),
        }
    }

    /// The length of an edge of a copy.
    pub(crate) fn edge_length(&self, copy: CopyId, edge: usize) -> Length {
        self.pattern.piece_of(copy).net.edge_length(edge)
    }

    /// A length as a message shows it.
    pub(crate) fn show(&self, length: Length) -> String {
        measure::show_length(length, self.units.system())
    }
}

/// A table that is being read: it knows which keys it has been asked for.
#[derive(Debug)]
pub struct Table<'a> {
    entries: &'a [(String, Datum)],
    known: Vec<String>,
}

impl<'a> Table<'a> {
    /// Opens a table; it is a fault when the datum is something else.
    pub fn open(reader: &mut Reader, datum: &'a Datum) -> Option<Self> {
        match datum {
            Datum::Record(entries) => Some(Self { entries, known: Vec::new() }),
            other => {
                reader.mistyped(other, "a table, as in `{ key = value }`");
                None
            }
        }
    }

    /// The value of a key, if it stands there.
    pub fn get(&mut self, key: &str) -> Option<&'a Datum> {
        self.known.push(key.to_owned());
        self.entries.iter().find(|(word, _)| word == key).map(|(_, datum)| datum)
    }

    /// Whether a key stands there.
    pub fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|(word, _)| word == key)
    }

    /// Reads a field; without it, what stands for it when it is left out.
    pub fn field<T, F: Form<T>>(
        &mut self,
        reader: &mut Reader,
        field: &str,
        default: Option<T>,
    ) -> Option<T> {
        let key = key(field);
        match self.get(&key) {
            Some(datum) => reader.within(Part::Key(key), |reader| F::read(reader, datum)),
            None => match default.or_else(F::absent) {
                Some(value) => Some(value),
                None => {
                    let hint = format!("write `{key} = …`, which takes {}", F::takes());
                    reader.report(format!("`{key}` is missing here"), hint);
                    None
                }
            },
        }
    }

    /// Reports the keys that nobody asked for.
    pub fn close(self, reader: &mut Reader) {
        for (word, _) in self.entries {
            if self.known.contains(word) {
                continue;
            }
            let known = self.known.clone();
            reader.within(Part::Key(word.clone()), |reader| {
                let message = format!("no key `{}` stands here", short(word));
                reader.push(true, message, "there is".to_owned(), Some((word.clone(), known)));
            });
        }
    }
}

/// The start of a text, for a message.
pub(super) fn short(text: &str) -> String {
    let mut start: String =
        text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(40).is_some() {
        start.push('…');
    }
    start
}

/// "a copy" without its article.
fn bare(what: &str) -> &str {
    what.split_once(' ').map_or(what, |(_, bare)| bare)
}
