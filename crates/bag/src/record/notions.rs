//! Small things that are used up.

use measure::{Length, Mass};

use super::basic::whole;
use super::{Datum, Field, Form, Part, Plain, Reader, Table};
use crate::pattern::notion::{self, KINDS, NotionKind, OTHER};
use crate::pattern::{Notion, Pattern};

/// What a table of a notion takes, for the guide.
pub(super) const TAKES: &[(&str, &str, bool, &str)] = &[
    (
        "kind",
        "a word, as in `\"ring\"`",
        false,
        "What it is; a mistaken word is told with the nearest.",
    ),
    ("count", "a whole number", true, "How many, or in how many pieces. Left out: 1."),
    ("width", "a length", true, "Its width, or that of the webbing or the hole that it is for."),
    ("length", "a length", true, "How long one is."),
    ("thickness", "a length", true, "How thick it is, or the cord that it is for."),
    ("note", "a text", true, "A shape; for the kind `other`, its name."),
    ("for", "a text", true, "The part of the bag: \"the zip pocket\"."),
    ("grams", "a number", true, "What one weighs. Left out: what such a thing usually weighs."),
];

impl Field for &'static NotionKind {
    fn takes() -> String {
        "the word of a notion, as in `\"ring\"`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(self.key))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let word = String::read(reader, datum)?;
        let kind = notion::find(&word);
        if kind.is_none() {
            let known: Vec<&str> = KINDS.iter().map(|kind| kind.key).collect();
            let takes = format!("one of {}", known.join(", "));
            reader.no_such_word(&word, &known, &takes);
        }
        kind
    }
}

impl Field for Notion {
    fn takes() -> String {
        "a text, or `{ kind, count, width, length, thickness, note, for, grams }`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        if *self == Self::other(&self.note) {
            return Some(Datum::text(&self.note));
        }
        let mut fields = vec![("kind".to_owned(), self.kind.write(pattern)?)];
        let mut put = |key: &str, datum: Option<Datum>| {
            fields.extend(datum.map(|datum| (key.to_owned(), datum)));
        };
        put("count", (self.count != 1).then(|| Datum::Number(self.count.to_string())));
        put("width", self.width.map(Datum::Length));
        put("length", self.length.map(Datum::Length));
        put("thickness", self.thickness.map(Datum::Length));
        put("note", (!self.note.is_empty()).then(|| Datum::text(&self.note)));
        put("for", (!self.serves.is_empty()).then(|| Datum::text(&self.serves)));
        put("grams", Grams::write(&self.weight, pattern));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        if matches!(datum, Datum::Text(_)) {
            return String::read(reader, datum).map(|words| Self::other(&words));
        }
        let mut table = Table::open(reader, datum)?;
        let kind = table.field::<&'static NotionKind, Plain>(reader, "kind", None);
        let count = table.get("count").map(|datum| {
            reader.within(Part::Key("count".to_owned()), |reader| whole(reader, datum, 1, 1_000))
        });
        let mut size = |key: &str| table.field::<Option<Length>, Plain>(reader, key, None);
        let (width, length, thickness) = (size("width"), size("length"), size("thickness"));
        let note = table.field::<Option<String>, Plain>(reader, "note", None);
        let serves = table.field::<Option<String>, Plain>(reader, "for", None);
        let weight = table.field::<Option<Mass>, Grams>(reader, "grams", None);
        table.close(reader);
        let notion = Self {
            kind: kind?,
            count: count.unwrap_or(Some(1))?,
            width: width?,
            length: length?,
            thickness: thickness?,
            note: note?.unwrap_or_default(),
            serves: serves?.unwrap_or_default(),
            weight: weight?,
        };
        if notion.kind.key == OTHER.key && notion.note.is_empty() {
            reader.report("this notion has no name", "write what it is as its `note`");
            return None;
        }
        Some(notion)
    }
}

/// A mass in grams, up to three decimals.
struct Grams;

impl Form<Option<Mass>> for Grams {
    fn takes() -> String {
        "a number".to_owned()
    }

    fn write(mass: &Option<Mass>, _: &Pattern) -> Option<Datum> {
        let mg = mass.as_ref()?.to_mg();
        let decimals = format!("{}.{:03}", mg / 1_000, mg % 1_000);
        let grams = decimals.trim_end_matches('0').trim_end_matches('.');
        Some(Datum::Number(grams.to_owned()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Option<Mass>> {
        let mg = match datum {
            Datum::Number(text) => super::pattern::thousandths(text),
            _ => None,
        };
        if mg.is_none() {
            let hint = "write grams up to 9999, with at most three decimals";
            reader.report("this is no weight of a small thing", hint);
        }
        mg.map(|mg| Some(Mass::mg(i64::from(mg))))
    }

    fn absent() -> Option<Option<Mass>> {
        Some(None)
    }
}
