//! A pattern as a tree of plain values, and back: what a pattern file holds, whatever spells it.
//!
//! Everything goes by its stable word: a copy by its name, an edge by its name on its piece, a
//! step, a piece and a material by id; so a file can be read, written by hand, and edited without
//! counting. What is read has been looked over: no index points outside, no outline crosses
//! itself, no measure is absurd. What the bag is like when it is sewn is for the checks.
//!
//! A [`Field`] knows how one value is written and read; `record!` makes a whole structure from
//! its fields, each with its help, from which the guide is written.

mod basic;
mod claims;
mod edges;
mod materials;
mod notions;
mod outline;
mod pattern;
mod pieces;
mod reader;
mod steps;

pub use basic::spell;
pub use edges::Seams;
pub use materials::{StepId, UsedPiece};
pub use pattern::{parts, read_pattern, write_pattern};
pub use reader::{Fault, Part, Reader, Table};

pub(crate) use basic::{AtLeastOne, Signed};
pub(crate) use edges::{edge_named, name_of_edge};

use measure::Length;

use crate::pattern::Pattern;

/// A plain value.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// A text, a word or a name.
    Text(String),
    /// A length. A reader may also give one as text or number, and it is read as a person's.
    Length(Length),
    /// A number, as it is spelled.
    Number(String),
    /// Yes or no.
    Flag(bool),
    /// Several of a kind.
    List(Vec<Datum>),
    /// Values by key, in the order in which they stand.
    Record(Vec<(String, Datum)>),
}

impl Datum {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// What it is, for "…, not …".
    pub(crate) const fn sort(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text in quotes",
            Self::Length(_) => "a length",
            Self::Number(_) => "a number",
            Self::Flag(_) => "true or false",
            Self::List(_) => "a list",
            Self::Record(_) => "a table",
        }
    }
}

/// A value that can be written into a tree and read from one.
pub trait Field: Sized {
    /// What it takes, for the guide: "a length", "the name of a copy".
    fn takes() -> String;
    /// As a datum; nothing if it is left out.
    fn write(&self, pattern: &Pattern) -> Option<Datum>;
    /// Reads it; what is wrong is reported, and then there is nothing.
    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self>;
    /// What it is when it is left out, if it may be.
    fn absent() -> Option<Self> {
        None
    }
}

/// Another way to write a value than its type's own.
pub trait Form<T> {
    /// What it takes, for the guide.
    fn takes() -> String;
    /// As a datum; nothing if it is left out.
    fn write(value: &T, pattern: &Pattern) -> Option<Datum>;
    /// Reads it.
    fn read(reader: &mut Reader, datum: &Datum) -> Option<T>;
    /// What it is when it is left out, if it may be.
    fn absent() -> Option<T> {
        None
    }
}

/// The way that belongs to the value's type.
#[derive(Debug)]
pub struct Plain;

impl<T: Field> Form<T> for Plain {
    fn takes() -> String {
        T::takes()
    }

    fn write(value: &T, pattern: &Pattern) -> Option<Datum> {
        value.write(pattern)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<T> {
        T::read(reader, datum)
    }

    fn absent() -> Option<T> {
        T::absent()
    }
}

/// One field of a structure, for the guide.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldInfo {
    /// Its key.
    pub key: String,
    /// What it takes.
    pub takes: String,
    /// What it is for.
    pub help: &'static str,
    /// Whether it may be left out.
    pub optional: bool,
}

/// A structure of fields.
pub trait Fields: Sized {
    /// What it is, one sentence.
    const HELP: &'static str;
    /// Its fields, in order.
    fn fields() -> Vec<FieldInfo>;
    /// Writes its fields.
    fn put(&self, pattern: &Pattern, into: &mut Vec<(String, Datum)>);
    /// Reads its fields from a table that is open.
    fn take(reader: &mut Reader, table: &mut Table<'_>) -> Option<Self>;
}

/// The key of a field of that name: kebab case, without the underscore that keeps a Rust keyword
/// off.
pub fn key(field: &str) -> String {
    field.trim_end_matches('_').replace('_', "-")
}

/// One field for the guide; `get` only tells its type.
pub fn info<S, T, F: Form<T>>(
    field: &str,
    help: &'static str,
    has_default: bool,
    _get: fn(&S) -> &T,
) -> FieldInfo {
    let optional = has_default || F::absent().is_some();
    FieldInfo { key: key(field), takes: F::takes(), help, optional }
}

/// Writes one field, unless it is what it would be if left out.
pub fn put<T: PartialEq, F: Form<T>>(
    into: &mut Vec<(String, Datum)>,
    field: &str,
    value: &T,
    default: Option<T>,
    pattern: &Pattern,
) {
    if default.or_else(F::absent).as_ref() == Some(value) {
        return;
    }
    if let Some(datum) = F::write(value, pattern) {
        into.push((key(field), datum));
    }
}

/// Makes a structure readable and writable from its fields, each with its help:
/// `field [via Form] [= default]: "help"`. A function after `check` looks the whole over and
/// reports what is wrong with it.
macro_rules! record {
    (
        $type:ident: $help:literal {
            $($field:ident $(via $form:ty)? $(= $default:expr)?; $what:literal),+ $(,)?
        }
        $(check $check:expr)?
    ) => {
        impl $crate::record::Fields for $type {
            const HELP: &'static str = $help;

            fn fields() -> Vec<$crate::record::FieldInfo> {
                vec![$(
                    $crate::record::info::<Self, _, $crate::record::record!(@form $($form)?)>(
                        stringify!($field),
                        $what,
                        $crate::record::record!(@has $($default)?),
                        |it| &it.$field,
                    )
                ),+]
            }

            fn put(
                &self,
                pattern: &$crate::pattern::Pattern,
                into: &mut Vec<(String, $crate::record::Datum)>,
            ) {
                $(
                    $crate::record::put::<_, $crate::record::record!(@form $($form)?)>(
                        into,
                        stringify!($field),
                        &self.$field,
                        $crate::record::record!(@default $($default)?),
                        pattern,
                    );
                )+
            }

            fn take(
                reader: &mut $crate::record::Reader,
                table: &mut $crate::record::Table<'_>,
            ) -> Option<Self> {
                $(
                    let $field = table.field::<_, $crate::record::record!(@form $($form)?)>(
                        reader,
                        stringify!($field),
                        $crate::record::record!(@default $($default)?),
                    );
                )+
                let whole = Self { $($field: $field?),+ };
                $(
                    let check: fn(&Self, &mut $crate::record::Reader) -> bool = $check;
                    if !check(&whole, reader) {
                        return None;
                    }
                )?
                Some(whole)
            }
        }

        impl $crate::record::Field for $type {
            fn takes() -> String {
                let fields = <Self as $crate::record::Fields>::fields();
                let keys: Vec<&str> = fields.iter().map(|field| field.key.as_str()).collect();
                format!("`{{ {} }}`", keys.join(", "))
            }

            fn write(
                &self,
                pattern: &$crate::pattern::Pattern,
            ) -> Option<$crate::record::Datum> {
                let mut fields = Vec::new();
                $crate::record::Fields::put(self, pattern, &mut fields);
                Some($crate::record::Datum::Record(fields))
            }

            fn read(
                reader: &mut $crate::record::Reader,
                datum: &$crate::record::Datum,
            ) -> Option<Self> {
                let mut table = $crate::record::Table::open(reader, datum)?;
                let read = <Self as $crate::record::Fields>::take(reader, &mut table);
                table.close(reader);
                read
            }
        }
    };
    (@form) => { $crate::record::Plain };
    (@form $form:ty) => { $form };
    (@has) => { false };
    (@has $default:expr) => { true };
    (@default) => { None };
    (@default $default:expr) => { Some($default) };
}
pub(crate) use record;

/// Makes an enum readable and writable: plain variants by their word, and variants with one value
/// as a table with that key: `toward = "the base"`.
macro_rules! words {
    ($type:ident {
        $($word:literal => $variant:ident),* $(,)?
        $(; $($key:literal: $with:ident($inner:ty)),+ $(,)?)?
    }) => {
        impl $crate::record::Field for $type {
            fn takes() -> String {
                let words: &[&str] = &[$($word),*];
                let plain = words.iter().map(|word| format!("`\"{word}\"`"));
                let with: &[(&str, String)] =
                    &[$($(($key, <$inner as $crate::record::Field>::takes())),+)?];
                let with = with.iter().map(|(key, inner)| format!("`{{ {key} = … }}` with {inner}"));
                $crate::operations::listed_or(&plain.chain(with).collect::<Vec<String>>())
            }

            fn write(&self, pattern: &$crate::pattern::Pattern) -> Option<$crate::record::Datum> {
                let _ = pattern;
                match self {
                    $(Self::$variant => Some($crate::record::Datum::text($word)),)*
                    $($(
                        Self::$with(inner) => {
                            let inner = $crate::record::Field::write(inner, pattern)?;
                            Some($crate::record::Datum::Record(vec![($key.to_owned(), inner)]))
                        }
                    )+)?
                }
            }

            fn read(
                reader: &mut $crate::record::Reader,
                datum: &$crate::record::Datum,
            ) -> Option<Self> {
                const WORDS: &[&str] = &[$($word),*];
                match datum {
                    $crate::record::Datum::Text(word) => {
                        match word.as_str() {
                            $($word => return Some(Self::$variant),)*
                            _ => {}
                        }
                        reader.no_such_word(word, WORDS, &<Self as $crate::record::Field>::takes());
                        None
                    }
                    $($(
                        $crate::record::Datum::Record(fields)
                            if fields.len() == 1 && fields[0].0 == $key =>
                        {
                            let inner = reader.within(
                                $crate::record::Part::Key($key.to_owned()),
                                |reader| <$inner as $crate::record::Field>::read(reader, &fields[0].1),
                            );
                            inner.map(Self::$with)
                        }
                    )+)?
                    other => {
                        reader.mistyped(other, &<Self as $crate::record::Field>::takes());
                        None
                    }
                }
            }
        }
    };
}
pub(crate) use words;
