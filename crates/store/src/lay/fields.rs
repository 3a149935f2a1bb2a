//! The fields of a JSON object, read strictly.

use measure::Length;
use serde_json::{Map, Value};

use super::place;
use crate::nearest;

/// Nothing is longer, in millimetres: a kilometre.
const LONGEST: f64 = 1_000_000.0;
/// No layout is longer, in millimetres; its nanometres can still be told apart.
const LONGEST_LAID: f64 = 4e9;
/// More troubles than this are not told.
const MOST: usize = 100;

/// What is wrong, field by field.
#[derive(Debug, Default)]
pub(super) struct Troubles(Vec<(String, String)>);

impl Troubles {
    pub(super) fn add(&mut self, field: &str, what: &str) {
        if self.0.len() < MOST {
            self.0.push((field.to_owned(), what.to_owned()));
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// All of them in words, each with its line in the text that was read.
    pub(super) fn all(self, text: &str) -> Vec<String> {
        let fields: Vec<&str> = self.0.iter().map(|(field, _)| field.as_str()).collect();
        let lines = place::lines(text, &fields);
        let tell = |((field, what), line): ((String, String), usize)| {
            if field.is_empty() { what } else { format!("line {line}, {field}: {what}") }
        };
        self.0.into_iter().zip(lines).map(tell).collect()
    }
}

/// The value of a JSON text, and what is given in it twice.
///
/// # Errors
/// When it is no JSON, with line and column.
pub(super) fn value(text: &str, troubles: &mut Troubles) -> Result<Value, Vec<String>> {
    let value = serde_json::from_str(text).map_err(|error| vec![format!("no JSON: {error}")])?;
    for field in place::given_again(text) {
        troubles.add(&field, "is given more than once");
    }
    Ok(value)
}

/// The fields of one object, and where it stands.
pub(super) struct Fields<'a> {
    map: &'a Map<String, Value>,
    at: String,
}

impl<'a> Fields<'a> {
    /// The fields of an object that knows only these keys.
    pub(super) fn new(
        value: &'a Value,
        at: &str,
        known: &[&str],
        troubles: &mut Troubles,
    ) -> Option<Self> {
        let Some(map) = value.as_object() else {
            troubles.add(at, "must be an object, { … }");
            return None;
        };
        let fields = Self { map, at: at.to_owned() };
        for key in map.keys().filter(|key| !known.contains(&key.as_str())) {
            let hint = match nearest(key, known.iter().copied()) {
                Some(near) => format!("no such field; did you mean \"{near}\"?"),
                None => format!("no such field; there are {}", known.join(", ")),
            };
            troubles.add(&fields.path(key), &hint);
        }
        Some(fields)
    }

    fn path(&self, key: &str) -> String {
        if self.at.is_empty() { key.to_owned() } else { format!("{}.{key}", self.at) }
    }

    pub(super) fn get(&self, key: &str) -> Option<&'a Value> {
        self.map.get(key)
    }

    pub(super) fn text(&self, key: &str, troubles: &mut Troubles) -> Option<&'a str> {
        let value = self.get(key)?;
        if value.as_str().is_none() {
            troubles.add(&self.path(key), "must be a text in quotes");
        }
        value.as_str()
    }

    pub(super) fn flag(&self, key: &str, troubles: &mut Troubles) -> Option<bool> {
        let value = self.get(key)?;
        if value.as_bool().is_none() {
            troubles.add(&self.path(key), "must be true or false");
        }
        value.as_bool()
    }

    /// A whole number from one to `most`.
    pub(super) fn count(&self, key: &str, most: u64, troubles: &mut Troubles) -> Option<u32> {
        let value = self.get(key)?;
        let count = value.as_u64().filter(|count| (1..=most).contains(count));
        if count.is_none() {
            troubles.add(&self.path(key), &format!("must be a whole number from 1 to {most}"));
        }
        count.and_then(|count| u32::try_from(count).ok())
    }

    /// A whole number, also none.
    pub(super) fn index(&self, key: &str, troubles: &mut Troubles) -> Option<u32> {
        let value = self.get(key)?;
        let index = value.as_u64().and_then(|index| u32::try_from(index).ok());
        if index.is_none() {
            troubles.add(&self.path(key), "must be a whole number, 0 or more");
        }
        index
    }

    /// A length that may be nothing.
    pub(super) fn length(&self, key: &str, troubles: &mut Troubles) -> Option<Length> {
        length(self.get(key)?, &self.path(key), troubles)
    }

    /// A length in a layout.
    pub(super) fn laid(&self, key: &str, troubles: &mut Troubles) -> Option<Length> {
        laid(self.get(key)?, &self.path(key), troubles)
    }

    /// A length that must be given and more than nothing.
    pub(super) fn size(&self, key: &str, troubles: &mut Troubles) -> Option<Length> {
        match self.get(key) {
            Some(value) => size(value, &self.path(key), troubles),
            None => {
                troubles.add(&self.path(key), "is missing; give a length in mm");
                None
            }
        }
    }
}

/// A length in millimetres, from nothing to a kilometre.
pub(super) fn length(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Length> {
    let mm = value.as_f64().filter(|mm| (0.0..=LONGEST).contains(mm));
    if mm.is_none() {
        troubles.add(at, "must be a length in mm, from 0 to 1000000");
    }
    mm.map(Length::from_mm_f64)
}

/// A length in a layout: what is laid may be longer than anything that is cut.
pub(super) fn laid(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Length> {
    let mm = value.as_f64().filter(|mm| (0.0..=LONGEST_LAID).contains(mm));
    if mm.is_none() {
        troubles.add(at, "must be a length in mm, 0 or more");
    }
    mm.map(Length::from_mm_f64)
}

/// A length that is more than nothing.
pub(super) fn size(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Length> {
    let found = length(value, at, troubles)?;
    if !found.is_positive() {
        troubles.add(at, "must be more than 0");
    }
    Some(found).filter(|found| found.is_positive())
}
