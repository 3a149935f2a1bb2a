//! Writes a pattern as TOML that a person can read and change.

use bag::Pattern;
use bag::record::{self, Datum};
use measure::Units;

use super::FORMAT;
use crate::write::quoted;

/// The widest line, where it can be helped.
const WIDTH: usize = 100;

/// What stands above every pattern file that the program writes.
const HEAD: &str = "\
# A bag pattern for bagwright: everything that is cut, marked and sewn. Lines that start with a #
# are remarks. `bagwright check` and `bagwright make` take this file as they take a design;
# docs/pattern-file.md tells what each key means.
";

/// A pattern as the text of a pattern file. Reading it gives the same pattern again.
pub fn write_pattern(pattern: &Pattern) -> String {
    let units = pattern.units;
    let mut text = format!("{HEAD}{} = \"{}\"\n", FORMAT.0, FORMAT.1);
    let Datum::Record(fields) = record::write_pattern(pattern) else { return text };
    let is_section = |datum: &Datum| match datum {
        Datum::Record(_) => true,
        Datum::List(list) => matches!(list.first(), Some(Datum::Record(_))),
        _ => false,
    };
    let (sections, plain): (Vec<_>, Vec<_>) =
        fields.iter().partition(|(_, datum)| is_section(datum));
    for (key, datum) in plain {
        line(&mut text, key, datum, units);
    }
    for (key, datum) in sections {
        match datum {
            Datum::Record(fields) => section(&mut text, &format!("[{key}]"), fields, units),
            Datum::List(list) => {
                for item in list {
                    let Datum::Record(fields) = item else { continue };
                    section(&mut text, &format!("[[{key}]]"), fields, units);
                }
            }
            _ => {}
        }
    }
    text
}

fn section(text: &mut String, header: &str, fields: &[(String, Datum)], units: Units) {
    text.push_str(&format!("\n{header}\n"));
    for (key, datum) in fields {
        line(text, key, datum, units);
    }
}

fn line(text: &mut String, key: &str, datum: &Datum, units: Units) {
    let key = spelled_key(key);
    let value = spelled(datum, units, 0, key.chars().count() + 3);
    text.push_str(&format!("{key} = {value}\n"));
}

fn spelled_key(key: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !key.is_empty() && key.chars().all(is_bare) { key.to_owned() } else { quoted(key) }
}

/// A value, on one line if there is room beside what stands before it. Otherwise its lists go
/// over several lines, an item on each; a table in braces must stay on one line but for these.
fn spelled(datum: &Datum, units: Units, indent: usize, before: usize) -> String {
    let flat = on_one_line(datum, units);
    if indent + before + flat.chars().count() <= WIDTH {
        return flat;
    }
    match datum {
        Datum::List(list) => {
            let inner = indent + 4;
            let space = " ".repeat(inner);
            let items = list.iter().map(|item| {
                let item = spelled(item, units, inner, 1);
                format!("{space}{item},\n")
            });
            format!("[\n{}{}]", items.collect::<String>(), " ".repeat(indent))
        }
        Datum::Record(fields) => {
            let fields = fields.iter().map(|(key, datum)| {
                let key = spelled_key(key);
                format!("{key} = {}", spelled(datum, units, indent, key.chars().count() + 5))
            });
            format!("{{ {} }}", fields.collect::<Vec<_>>().join(", "))
        }
        _ => flat,
    }
}

fn on_one_line(datum: &Datum, units: Units) -> String {
    match datum {
        Datum::Text(text) => quoted(text),
        Datum::Length(length) => quoted(&length_spelled(*length, units)),
        Datum::Number(number) => number.clone(),
        Datum::Flag(flag) => flag.to_string(),
        Datum::List(list) => {
            let items: Vec<_> = list.iter().map(|item| on_one_line(item, units)).collect();
            format!("[{}]", items.join(", "))
        }
        Datum::Record(fields) if fields.is_empty() => "{}".to_owned(),
        Datum::Record(fields) => {
            let fields = fields.iter().map(|(key, datum)| {
                format!("{} = {}", spelled_key(key), on_one_line(datum, units))
            });
            format!("{{ {} }}", fields.collect::<Vec<_>>().join(", "))
        }
    }
}

fn length_spelled(length: measure::Length, units: Units) -> String {
    record::spell(length, units)
}
