//! Steps: a chapter, an operation with its fields, and what can be checked after it.

use super::materials::Word;
use super::{Datum, Field, Part, Plain, Reader, Table, words};
use crate::operations;
use crate::pattern::{Chapter, Checkpoint, Gauge, Pattern, Step};

words!(Chapter {
    "cut" => Cut,
    "interface" => Interface,
    "handles" => Handles,
    "pockets" => Pockets,
    "panels" => Panels,
    "outside" => Outside,
    "lining" => Lining,
    "together" => Together,
    "finish" => Finish,
});

/// How something is measured, in words.
const HOW: [&str; 4] = ["around", "across", "wide", "high"];

/// What a table of a step takes besides the fields of its operation, for the guide.
pub(super) const TAKES: &[(&str, &str, bool, &str)] = &[
    ("id", "a word of small letters, digits and hyphens", false, "By which later steps name it."),
    ("chapter", "a word", false, "The part of the work, see above."),
    ("do", "the word of an operation", false, "What is done, see below."),
    (
        "check",
        "`{ look }`, `{ measures, how, gauge }` or `{ size, width, height }`, with `depth` for a box",
        true,
        "What can be looked at or measured afterwards; the number itself is computed.",
    ),
];

impl Field for Step {
    fn takes() -> String {
        "a step".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("id".to_owned(), Datum::text(&self.id)),
            ("chapter".to_owned(), self.chapter.write(pattern)?),
            ("do".to_owned(), Datum::text(self.operation.word())),
        ];
        fields.extend(self.operation.record(pattern));
        fields.extend(self.checkpoint.write(pattern).map(|check| ("check".to_owned(), check)));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let id = table.field::<String, Word>(reader, "id", None);
        let chapter = table.field::<Chapter, Plain>(reader, "chapter", None);
        let word = table.field::<String, Plain>(reader, "do", None);
        let checkpoint = table.field::<Option<Checkpoint>, Plain>(reader, "check", None);
        let word = word?;
        let Some(written) = operations::ALL.iter().find(|written| written.word == word) else {
            let known: Vec<&str> = operations::ALL.iter().map(|written| written.word).collect();
            reader.within(Part::Key("do".to_owned()), |reader| {
                reader.no_such_word(&word, &known, "the word of an operation");
            });
            return None;
        };
        let operation = (written.read)(reader, &mut table);
        table.close(reader);
        Some(Self { id: id?, chapter: chapter?, operation: operation?, checkpoint: checkpoint? })
    }
}

impl Field for Checkpoint {
    fn takes() -> String {
        TAKES.last().map_or_else(String::new, |(_, takes, ..)| (*takes).to_owned())
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let field = |key: &str, datum: Datum| (key.to_owned(), datum);
        Some(Datum::Record(match self {
            Self::Measures { what, gauge, how } => vec![
                field("measures", Datum::text(what)),
                field("how", Datum::text(*how)),
                field("gauge", gauge.write(pattern)?),
            ],
            Self::Size { what, width, height, depth } => {
                let mut fields = vec![
                    field("size", Datum::text(what)),
                    field("width", width.write(pattern)?),
                    field("height", height.write(pattern)?),
                ];
                if let Some(depth) = depth {
                    fields.push(field("depth", depth.write(pattern)?));
                }
                fields
            }
            Self::Look(look) => vec![field("look", Datum::text(look))],
        }))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let read = if table.has("look") {
            table.field::<String, Plain>(reader, "look", None).map(Self::Look)
        } else if table.has("size") {
            let what = table.field::<String, Plain>(reader, "size", None);
            let width = table.field::<Gauge, Plain>(reader, "width", None);
            let height = table.field::<Gauge, Plain>(reader, "height", None);
            let depth = table.field::<Option<Gauge>, Plain>(reader, "depth", None);
            match (what, width, height, depth) {
                (Some(what), Some(width), Some(height), Some(depth)) => {
                    Some(Self::Size { what, width, height, depth })
                }
                _ => None,
            }
        } else {
            let what = table.field::<String, Plain>(reader, "measures", None);
            let word = table.field::<String, Plain>(reader, "how", None);
            let gauge = table.field::<Gauge, Plain>(reader, "gauge", None);
            let how = word.and_then(|word| how(reader, &word));
            match (what, how, gauge) {
                (Some(what), Some(how), Some(gauge)) => Some(Self::Measures { what, gauge, how }),
                _ => None,
            }
        };
        table.close(reader);
        read
    }
}

fn how(reader: &mut Reader, word: &str) -> Option<&'static str> {
    let found = HOW.into_iter().find(|how| *how == word);
    if found.is_none() {
        reader.within(Part::Key("how".to_owned()), |reader| {
            reader.no_such_word(word, &HOW, &format!("one of {}", HOW.join(", ")));
        });
    }
    found
}
