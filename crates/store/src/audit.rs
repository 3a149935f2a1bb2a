//! Audit files: what a paper pattern says, in TOML. Read strictly, with every problem at once.

mod assemble;
mod json;
mod keys;
mod page;

use std::collections::BTreeMap;
use std::ops::Range;

use bag::kinds::Value;
use measure::{Increments, Length, Units};
use packet::audit::Claims;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use self::keys::{HEAD, Key, LONGEST_LIST, SECTIONS, Section, Takes};
use crate::problem::{Problem, Source};
use crate::values::{self, clean_text, found, shown};
use crate::{document, nearest};

pub use json::audit_json;
pub use page::audit_page;

/// The most problems that are told at once; a file with more is another kind of file.
const MOST: usize = 100;

/// The most characters of a name.
const LONGEST_NAME: usize = 200;

/// Reads the text of an audit file; `file` is its name for messages.
///
/// # Errors
/// Every problem there is (the first hundred that are met), in the order of the file. When the
/// file is no TOML, only what keeps it from being read as such.
pub fn read_audit(file: &str, text: &str) -> Result<Claims, Vec<Problem>> {
    let source = Source { file, text };
    let (document, problems) = document::parse(source)?;
    let mut reader = Reader { source, units: None, problems: Vec::new() };
    let claims = reader.claims(document.get_ref());
    // What the TOML parser made of a value without quotes is not worth a second problem.
    let is_new = |problem: &Problem| problems.iter().all(|known| known.line != problem.line);
    reader.problems.retain(is_new);
    reader.problems.extend(problems);
    if reader.problems.is_empty() {
        return Ok(claims);
    }
    reader.problems.sort_by_key(|problem| (problem.line, problem.column));
    Err(reader.problems)
}

type Item<'a> = Spanned<DeValue<'a>>;
type Place = Range<usize>;

struct Reader<'a> {
    source: Source<'a>,
    /// The unit of numbers without one, once it is known.
    units: Option<Units>,
    problems: Vec<Problem>,
}

/// What a key was given.
#[derive(Debug)]
enum Given {
    Value(Value),
    Names(Vec<(String, Place)>),
    Increments(Increments),
}

/// What a section says: the keys that were given and understood, and where.
#[derive(Debug, Default)]
struct Said {
    place: Place,
    keys: BTreeMap<&'static str, (Given, Place)>,
}

impl Reader<'_> {
    fn is_full(&self) -> bool {
        self.problems.len() >= MOST
    }

    fn report(&mut self, place: Place, message: impl Into<String>, hint: impl Into<String>) {
        if !self.is_full() {
            self.problems.push(self.source.problem(place, message, hint));
        }
    }

    fn system(&self) -> measure::System {
        self.units.unwrap_or(Units::Inch).system()
    }

    /// The whole file; what is wrong in it is reported and left out.
    fn claims(&mut self, file: &DeTable<'_>) -> Claims {
        self.unknown_keys(file);
        let head = self.head(file);
        let mut said: BTreeMap<&str, Vec<Said>> = BTreeMap::new();
        for section in SECTIONS {
            let sections = match file.get(section.key) {
                Some(item) => self.sections(section, item),
                None => Vec::new(),
            };
            self.is_there(section, file.get(section.key));
            said.insert(section.key, sections);
        }
        self.assemble(&head, &said)
    }

    /// Reports a section that must be there and is not.
    fn is_there(&mut self, section: &Section, item: Option<&Item<'_>>) {
        let end = self.source.text.trim_end().len();
        let place = match item.map(|item| (item.get_ref(), item.span())) {
            None => end..end,
            Some((DeValue::Array(list), place)) if list.is_empty() => place,
            Some(_) => return,
        };
        if section.must {
            let label = section.label();
            let hint = format!("add a line `{label}`, and its keys under it");
            self.report(place, format!("the file has no section {label}"), hint);
        }
    }

    fn unknown_keys(&mut self, file: &DeTable<'_>) {
        let known =
            || HEAD.iter().map(|key| key.key).chain(SECTIONS.iter().map(|section| section.key));
        for key in file.keys() {
            let word = key.get_ref();
            if !self.is_full() && known().all(|known| known != word) {
                let hint = nearest::hint(word, known().collect::<Vec<_>>(), "an audit file takes");
                self.report(
                    key.span(),
                    format!("an audit file has no key `{}`", shown(word)),
                    hint,
                );
            }
        }
    }

    /// What stands before the sections; the units first, as they give numbers their meaning.
    fn head(&mut self, file: &DeTable<'_>) -> Said {
        let mut said = Said::default();
        let units = HEAD.iter().filter(|key| key.key == "units");
        for key in units.chain(HEAD.iter().filter(|key| key.key != "units")) {
            let Some(item) = file.get(key.key) else {
                if key.key == "units" {
                    let hint = "write `units = \"inch\"` (or \"cm\" or \"mm\") at the top: it \
                                says what a number without a unit means";
                    self.report(0..0, "the file does not name its `units`", hint);
                }
                continue;
            };
            if let Some(given) = self.given(key, item) {
                said.keys.insert(key.key, (given, item.span()));
            }
            if key.key == "units" {
                self.units = said.word("units").and_then(|word| match word {
                    "inch" => Some(Units::Inch),
                    "cm" => Some(Units::Cm),
                    "mm" => Some(Units::Mm),
                    _ => None,
                });
            }
        }
        said
    }

    /// A section as often as it is there.
    fn sections(&mut self, section: &Section, item: &Item<'_>) -> Vec<Said> {
        let label = section.label();
        let list = match item.get_ref() {
            DeValue::Array(list) if section.many => list,
            // One may also be written as a single section.
            _ => return self.section(section, item).into_iter().collect(),
        };
        if let Some(first) = list.get(LONGEST_LIST) {
            let message = format!("there are {} sections {label}", list.len());
            self.report(first.span(), message, format!("at most {LONGEST_LIST} are taken"));
        }
        let list = list.iter().take(LONGEST_LIST);
        list.filter_map(|item| self.section(section, item)).collect()
    }

    fn section(&mut self, section: &Section, item: &Item<'_>) -> Option<Said> {
        let label = section.label();
        let DeValue::Table(table) = item.get_ref() else {
            let message = format!("{label} should be a section, not {}", found(item.get_ref()));
            let hint = format!("write a line `{label}`, and its keys under it, each on its line");
            self.report(item.span(), message, hint);
            return None;
        };
        let mut said = Said { place: item.span(), ..Said::default() };
        for (key, item) in table {
            let word = key.get_ref();
            if let Some(key) = section.keys.iter().find(|key| key.key == word) {
                if let Some(given) = self.given(key, item) {
                    said.keys.insert(key.key, (given, item.span()));
                }
            } else if !self.is_full() {
                let known: Vec<&str> = section.keys.iter().map(|key| key.key).collect();
                let hint = nearest::hint(word, known, &format!("{label} takes"));
                self.report(key.span(), format!("{label} has no key `{}`", shown(word)), hint);
            }
        }
        for key in section.keys.iter().filter(|key| key.absent.is_none()) {
            if !table.contains_key(key.key) {
                let hint = format!("write `{} = …`: {}", key.key, key.help);
                self.report(item.span(), format!("{label} does not say its `{}`", key.key), hint);
            }
        }
        Some(said)
    }

    /// The value of a key; nothing when it is wrong, which is reported.
    fn given(&mut self, key: &Key, item: &Item<'_>) -> Option<Given> {
        if let Some(param) = key.param() {
            return match values::read(self.units, &param, item.get_ref()) {
                Ok(value) => Some(Given::Value(value)),
                Err(fault) => {
                    self.report(item.span(), fault.message, fault.hint);
                    None
                }
            };
        }
        let names = self.texts(key, item)?;
        if !matches!(key.takes, Takes::Increments) {
            return Some(Given::Names(names));
        }
        let texts = names.iter().map(|(text, _)| text.as_str());
        match Increments::parse(texts, self.units.unwrap_or(Units::Inch)) {
            Ok(increments) => Some(Given::Increments(increments)),
            Err(error) => {
                self.report(item.span(), error.to_string(), key.help);
                None
            }
        }
    }

    /// A text, or a list of texts.
    fn texts(&mut self, key: &Key, item: &Item<'_>) -> Option<Vec<(String, Place)>> {
        let list: Vec<&Item<'_>> = match item.get_ref() {
            DeValue::Array(list) if !matches!(key.takes, Takes::Piece) => list.iter().collect(),
            _ => vec![item],
        };
        if list.is_empty() || list.len() > LONGEST_LIST {
            let message = format!("`{}` lists {} texts", key.key, list.len());
            self.report(item.span(), message, format!("give 1 to {LONGEST_LIST}"));
            return None;
        }
        let mut texts = Vec::new();
        for item in list {
            let DeValue::String(text) = item.get_ref() else {
                let message = format!(
                    "`{}` should be a text in quotes, not {}",
                    key.key,
                    found(item.get_ref())
                );
                self.report(item.span(), message, key.help);
                return None;
            };
            match clean_text(text, LONGEST_NAME) {
                Ok(text) => texts.push((text, item.span())),
                Err(message) => {
                    self.report(item.span(), message, key.help);
                    return None;
                }
            }
        }
        Some(texts)
    }
}

impl Said {
    /// Where a key was given, else where the section starts.
    fn place_of(&self, key: &str) -> Place {
        self.keys.get(key).map_or_else(|| self.place.clone(), |(_, place)| place.clone())
    }

    fn value(&self, key: &str) -> Option<&Value> {
        match self.keys.get(key) {
            Some((Given::Value(value), _)) => Some(value),
            _ => None,
        }
    }

    fn length(&self, key: &str) -> Option<Length> {
        match self.value(key) {
            Some(Value::Length(length)) => Some(*length),
            _ => None,
        }
    }

    fn count(&self, key: &str) -> Option<u32> {
        match self.value(key) {
            Some(Value::Count(count)) => Some(*count),
            _ => None,
        }
    }

    fn word(&self, key: &str) -> Option<&'static str> {
        match self.value(key) {
            Some(Value::Choice(word)) => Some(word),
            _ => None,
        }
    }

    fn flag(&self, key: &str) -> bool {
        matches!(self.value(key), Some(Value::Flag(true)))
    }

    fn text(&self, key: &str) -> &str {
        match self.value(key) {
            Some(Value::Text(text)) => text,
            _ => "",
        }
    }

    /// Parts per million.
    fn share(&self, key: &str) -> u32 {
        match self.value(key) {
            Some(Value::Percent(share)) => share.saturating_mul(100),
            _ => 0,
        }
    }

    fn names(&self, key: &str) -> &[(String, Place)] {
        match self.keys.get(key) {
            Some((Given::Names(names), _)) => names,
            _ => &[],
        }
    }

    fn increments(&self, key: &str) -> Option<&Increments> {
        match self.keys.get(key) {
            Some((Given::Increments(increments), _)) => Some(increments),
            _ => None,
        }
    }
}
