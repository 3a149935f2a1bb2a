//! What every kind of thing (body, pocket, handle, closure, lining) says about itself, and the
//! parameters that a person may set. Help, forms, the file reader and the guide are loops over it.

use std::collections::BTreeMap;

use measure::{Length, MassPerArea, System};

/// What sort of value a parameter takes, its range and its default.
#[derive(Clone, Copy, Debug)]
pub enum Quantity {
    /// A length; the defaults differ so that both editions are round on their own ruler.
    Length {
        /// Shortest allowed.
        least: Length,
        /// Longest allowed.
        most: Length,
        /// Default in an inch design.
        inch: Length,
        /// Default in a metric design.
        metric: Length,
    },
    /// A length that may be left out; leaving it out has the meaning told in the help.
    OptionalLength {
        /// Shortest allowed.
        least: Length,
        /// Longest allowed.
        most: Length,
    },
    /// A whole number.
    Count {
        /// Smallest allowed.
        least: u32,
        /// Largest allowed.
        most: u32,
        /// Default.
        default: u32,
    },
    /// One word of a list; each word with what it means.
    Choice {
        /// The words, each with its meaning.
        options: &'static [(&'static str, &'static str)],
        /// Default word.
        default: &'static str,
    },
    /// The id of something that a bag may have to hold, see `measure::fits`.
    Thing {
        /// Default id.
        default: &'static str,
    },
    /// Yes or no.
    Flag {
        /// Default.
        default: bool,
    },
    /// Free text of at most 200 characters.
    Text {
        /// Default.
        default: &'static str,
    },
    /// A share in hundredths of a percent (300 is 3 %).
    Percent {
        /// Largest allowed, in hundredths of a percent.
        most: u32,
        /// Default, in hundredths of a percent.
        default: u32,
    },
    /// How heavy cloth is for its area, which may be left out.
    Weight,
}

/// One parameter: a key in the file, a label on the form, a sentence of help.
#[derive(Clone, Copy, Debug)]
pub struct Param {
    /// The key in a design file.
    pub key: &'static str,
    /// What a form or a table calls it.
    pub label: &'static str,
    /// One or two sentences.
    pub help: &'static str,
    /// What it takes.
    pub quantity: Quantity,
    /// What becomes of it when the bag is made larger or smaller as a whole; none for what keeps its
    /// measure: room for a hand, a zip, an allowance.
    pub grows: Option<Grows>,
}

/// What becomes of a length when its bag is made larger or smaller as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grows {
    /// A size of the bag: it may be stepped, alone or with the others; the first of a kind leads.
    Size,
    /// Grows with the sizes, as far as its range goes.
    Along,
}

impl Param {
    /// The same parameter, as a size of the bag that grows.
    #[must_use]
    pub const fn size(self) -> Self {
        Self { grows: Some(Grows::Size), ..self }
    }

    /// The same parameter, as a length that grows along with the sizes.
    #[must_use]
    pub const fn along(self) -> Self {
        Self { grows: Some(Grows::Along), ..self }
    }
}

/// The value of a parameter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// A length left out.
    Absent,
    /// A whole number.
    Count(u32),
    /// A word of the parameter's list, or the id of a thing.
    Choice(&'static str),
    /// Yes or no.
    Flag(bool),
    /// Free text.
    Text(String),
    /// Hundredths of a percent.
    Percent(u32),
    /// How heavy cloth is.
    Weight(MassPerArea),
}

/// A value for each parameter of one list: complete by construction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Values(BTreeMap<&'static str, Value>);

impl Values {
    /// Every parameter at its default for the ruler in use.
    pub fn defaults(params: &[Param], system: System) -> Self {
        Self(params.iter().map(|p| (p.key, p.default_value(system))).collect())
    }

    /// Sets one parameter; true if the list has it.
    pub fn set(&mut self, key: &str, value: Value) -> bool {
        match self.0.get_mut(key) {
            Some(slot) => {
                *slot = value;
                true
            }
            None => false,
        }
    }

    /// The same values with one set; for tests and examples.
    ///
    /// # Panics
    /// If the list has no such parameter, which is a bug of the caller.
    #[must_use]
    pub fn with(mut self, key: &str, value: Value) -> Self {
        assert!(self.set(key, value), "no parameter `{key}`");
        self
    }

    /// The value of `key`, if the list has it.
    pub fn get(&self, key: &str) -> Option<&Value> {
        self.0.get(key)
    }

    /// All keys with their values, in alphabetical order.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &Value)> {
        self.0.iter().map(|(key, value)| (*key, value))
    }

    /// Changes every length in place; for drafting on another ruler.
    pub fn map_lengths(&mut self, change: impl Fn(&'static str, Length) -> Length) {
        for (key, value) in &mut self.0 {
            if let Value::Length(length) = value {
                *length = change(key, *length);
            }
        }
    }

    /// A length parameter; zero when it was left out.
    pub fn length(&self, key: &str) -> Length {
        self.optional(key).unwrap_or(Length::ZERO)
    }

    /// A length parameter that may be left out.
    pub fn optional(&self, key: &str) -> Option<Length> {
        match self.0.get(key) {
            Some(Value::Length(length)) => Some(*length),
            Some(Value::Absent) => None,
            other => self.mistaken(key, "length", other),
        }
    }

    /// How heavy cloth is, if it is known.
    pub fn weight(&self, key: &str) -> Option<MassPerArea> {
        match self.0.get(key) {
            Some(Value::Weight(weight)) => Some(*weight),
            Some(Value::Absent) => None,
            other => self.mistaken(key, "weight", other),
        }
    }

    /// A whole number.
    pub fn count(&self, key: &str) -> u32 {
        match self.0.get(key) {
            Some(Value::Count(count)) => *count,
            other => self.mistaken(key, "count", other),
        }
    }

    /// A word of the parameter's list.
    pub fn choice(&self, key: &str) -> &'static str {
        match self.0.get(key) {
            Some(Value::Choice(word)) => word,
            other => self.mistaken(key, "choice", other),
        }
    }

    /// Yes or no.
    pub fn flag(&self, key: &str) -> bool {
        match self.0.get(key) {
            Some(Value::Flag(flag)) => *flag,
            other => self.mistaken(key, "flag", other),
        }
    }

    /// Free text.
    pub fn text(&self, key: &str) -> &str {
        match self.0.get(key) {
            Some(Value::Text(text)) => text,
            other => self.mistaken(key, "text", other),
        }
    }

    /// Hundredths of a percent.
    pub fn percent(&self, key: &str) -> u32 {
        match self.0.get(key) {
            Some(Value::Percent(share)) => *share,
            other => self.mistaken(key, "percent", other),
        }
    }

    /// A kind that reads a parameter which it did not declare is a bug, not bad input.
    fn mistaken<T>(&self, key: &str, wanted: &str, found: Option<&Value>) -> T {
        panic!("parameter `{key}` should be a {wanted}, but the list has {found:?}")
    }
}

impl Param {
    /// The default on the given ruler.
    pub fn default_value(&self, system: System) -> Value {
        match self.quantity {
            Quantity::Length { inch, metric, .. } => Value::Length(match system {
                System::Inch => inch,
                System::Metric => metric,
            }),
            Quantity::OptionalLength { .. } | Quantity::Weight => Value::Absent,
            Quantity::Count { default, .. } => Value::Count(default),
            Quantity::Choice { default, .. } | Quantity::Thing { default } => {
                Value::Choice(default)
            }
            Quantity::Flag { default } => Value::Flag(default),
            Quantity::Text { default } => Value::Text(default.to_owned()),
            Quantity::Percent { default, .. } => Value::Percent(default),
        }
    }
}

/// A length parameter; the arguments are least, most, inch default, metric default.
pub const fn length(
    key: &'static str,
    label: &'static str,
    help: &'static str,
    [least, most, inch, metric]: [Length; 4],
) -> Param {
    Param {
        key,
        label,
        help,
        quantity: Quantity::Length { least, most, inch, metric },
        grows: None,
    }
}

/// A length that may be left out; the arguments are least and most.
pub const fn optional(
    key: &'static str,
    label: &'static str,
    help: &'static str,
    [least, most]: [Length; 2],
) -> Param {
    Param { key, label, help, quantity: Quantity::OptionalLength { least, most }, grows: None }
}

/// A choice of words, the first being the default.
pub const fn choice(
    key: &'static str,
    label: &'static str,
    help: &'static str,
    options: &'static [(&'static str, &'static str)],
) -> Param {
    Param {
        key,
        label,
        help,
        quantity: Quantity::Choice { options, default: options[0].0 },
        grows: None,
    }
}

/// What every kind of body, pocket, handle, closure and lining says about itself.
pub trait Kind: Sync {
    /// The word in a design file, kebab case.
    fn name(&self) -> &'static str;
    /// A title for a person.
    fn title(&self) -> &'static str;
    /// Two or three sentences: what it is, when to choose it.
    fn help(&self) -> &'static str;
    /// What may be set.
    fn params(&self) -> &'static [Param];
}

/// Declares the modules of a list of kinds and the list itself, from one word each: adding a kind
/// is its file plus its word here.
macro_rules! kinds {
    ($trait:ident: $($module:ident),+ $(,)?) => {
        $(mod $module;)+
        /// Every kind there is, in the order in which they are shown.
        pub const ALL: &[&dyn $trait] = &[$(&$module::KIND),+];

        /// The kind of that name.
        pub fn find(name: &str) -> Option<&'static dyn $trait> {
            ALL.iter().copied().find(|kind| kind.name() == name)
        }
    };
}
pub(crate) use kinds;
