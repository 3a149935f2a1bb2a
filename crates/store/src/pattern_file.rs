//! Pattern files: a whole pattern in TOML, written by hand or by `bagwright explain`. Read
//! strictly, with every problem at once; what is written reads back to the same pattern.
//!
//! What stands in the file is told by `bag::record`; here it is only spelled, and the place of
//! each problem found.

mod page;
mod spell;

use std::ops::Range;

use bag::Pattern;
use bag::record::{self, Datum, Fault, Part};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::document;
use crate::nearest::{list, nearest};
use crate::problem::{Problem, Source};
use crate::values::{plain_number, shown};

pub use page::pattern_page;
pub use spell::write_pattern;

/// The key that tells a pattern file from a design, and its value.
const FORMAT: (&str, &str) = ("format", "pattern");

/// The most names that a hint lists.
const MOST_NAMES: usize = 16;

/// Whether a text is a pattern file: it says its `format`, or forgets to and has steps or copies.
/// A design has none of these keys.
pub fn is_pattern(text: &str) -> bool {
    let (tables, _) = DeTable::parse_recoverable(text);
    [FORMAT.0, "step", "copies"].iter().any(|key| tables.get_ref().contains_key(*key))
}

/// Whether a text is meant as a design: it names a body.
pub fn is_design(text: &str) -> bool {
    let (tables, _) = DeTable::parse_recoverable(text);
    tables.get_ref().contains_key("body") && !is_pattern(text)
}

/// Whether a text is meant as an audit: it lists pieces, and is neither a design nor a pattern.
pub fn is_audit(text: &str) -> bool {
    let (tables, _) = DeTable::parse_recoverable(text);
    tables.get_ref().contains_key("piece") && !is_design(text) && !is_pattern(text)
}

/// Reads the text of a pattern file; `file` is its name for messages.
///
/// # Errors
/// Every problem there is (the first hundred that are met), in the order of the file. When the
/// file is no TOML, only what keeps it from being read as such.
pub fn read_pattern(file: &str, text: &str) -> Result<Pattern, Vec<Problem>> {
    let source = Source { file, text };
    let (document, minor) = document::parse(source)?;
    let mut problems = format_problem(source, document.get_ref());
    let read = record::read_pattern(&table(document.get_ref()), &[FORMAT.0]);
    match read {
        Ok(pattern) if problems.is_empty() && minor.is_empty() => return Ok(pattern),
        Ok(_) => {}
        Err(faults) => {
            let found = faults.iter().map(|fault| problem(source, document.get_ref(), fault));
            problems.extend(found);
        }
    }
    // What the TOML parser made of a value without quotes is not worth a second problem.
    problems.retain(|problem| minor.iter().all(|known| known.line != problem.line));
    problems.extend(minor);
    problems.sort_by_key(|problem| (problem.line, problem.column));
    problems.dedup();
    Err(problems)
}

/// What is wrong with the key `format`.
fn format_problem(source: Source<'_>, document: &DeTable<'_>) -> Vec<Problem> {
    let hint = "write `format = \"pattern\"` at the top of a pattern file";
    match document.get(FORMAT.0) {
        Some(value) if value.get_ref().as_str() == Some(FORMAT.1) => Vec::new(),
        Some(value) => {
            let message = format!("`{}` is no format", shown(source.slice(value.span())));
            vec![source.problem(value.span(), message, hint)]
        }
        None => vec![source.problem(0..0, "the file does not say its `format`", hint)],
    }
}

/// A table as plain values, in the order of the file.
fn table(table: &DeTable<'_>) -> Datum {
    let mut keys: Vec<_> = table.iter().collect();
    keys.sort_by_key(|(key, _)| key.span().start);
    let fields = keys.into_iter().map(|(key, item)| (key.get_ref().to_string(), value(item)));
    Datum::Record(fields.collect())
}

fn value(item: &Spanned<DeValue<'_>>) -> Datum {
    match item.get_ref() {
        DeValue::String(text) => Datum::text(text.to_string()),
        DeValue::Integer(number) if number.radix() == 10 => {
            Datum::Number(plain_number(number.as_str()).to_owned())
        }
        DeValue::Integer(number) => Datum::Number(number.to_string()),
        DeValue::Float(number) => Datum::Number(plain_number(number.as_str()).to_owned()),
        DeValue::Boolean(flag) => Datum::Flag(*flag),
        // A day without quotes is as good as one with them.
        DeValue::Datetime(day) => Datum::text(day.to_string()),
        DeValue::Array(list) => Datum::List(list.iter().map(value).collect()),
        DeValue::Table(inner) => table(inner),
    }
}

/// A fault at its place in the file.
fn problem(source: Source<'_>, document: &DeTable<'_>, fault: &Fault) -> Problem {
    let hint = match &fault.word {
        Some((word, known)) => word_hint(word, known, &fault.hint),
        None => fault.hint.clone(),
    };
    source.problem(place(document, fault), fault.message.clone(), hint)
}

/// "did you mean `x`? write …: a, b, c".
fn word_hint(word: &str, known: &[String], hint: &str) -> String {
    let near = nearest(word, known.iter().map(String::as_str));
    let meant = near.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
    let mut names = list(known.iter().take(MOST_NAMES).map(String::as_str));
    if known.len() > MOST_NAMES {
        names.push_str(", …");
    }
    if names.is_empty() { format!("{meant}{hint}") } else { format!("{meant}{hint}: {names}") }
}

/// The place of a fault; where something is missing, the place of what it is missing from.
fn place(document: &DeTable<'_>, fault: &Fault) -> Range<usize> {
    let mut place = 0..0;
    let mut at: Option<&DeValue<'_>> = None;
    for (index, part) in fault.path.iter().enumerate() {
        let is_last = index + 1 == fault.path.len();
        let next = match part {
            Part::Key(word) => {
                let table = match at {
                    None => Some(document),
                    Some(DeValue::Table(table)) => Some(table),
                    Some(_) => None,
                };
                let found = table.and_then(|table| table.get_key_value(word.as_str()));
                let Some((key, item)) = found else { break };
                if is_last && fault.at_key {
                    return key.span();
                }
                item
            }
            Part::Index(index) => {
                let Some(DeValue::Array(list)) = at else { break };
                let Some(item) = list.get(*index) else { break };
                item
            }
        };
        place = next.span();
        at = Some(next.get_ref());
    }
    place
}

/// Where the step of that id, or else the copy of that name, stands in a pattern file: line and
/// column, both counted from 1.
pub fn locate_in_pattern(
    text: &str,
    step: Option<&str>,
    copy: Option<&str>,
) -> Option<(usize, usize)> {
    let (tables, _) = DeTable::parse_recoverable(text);
    let steps = tables.get_ref().get("step").and_then(|steps| steps.get_ref().as_array());
    let id_of = |item: &Spanned<DeValue<'_>>| {
        let id = item.get_ref().get("id")?;
        (id.get_ref().as_str() == step).then(|| id.span())
    };
    let by_step = step.and_then(|_| steps.into_iter().flatten().find_map(id_of));
    let by_copy = || {
        let copies = tables.get_ref().get("copies")?.get_ref().as_table()?;
        copies.get_key_value(copy?).map(|(key, _)| key.span())
    };
    let place = by_step.or_else(by_copy)?;
    let problem = Source { file: "", text }.problem(place, "", "");
    Some((problem.line, problem.column))
}
