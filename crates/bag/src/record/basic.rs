//! Texts, lengths, numbers, lists: the plain values.

use measure::{Length, Point, Ruler, Style, System, Units, parse_length};

use super::reader::{LONGEST_LIST, short};
use super::{Datum, Field, Form, Part, Reader};
use crate::operations::Phrase;
use crate::pattern::{Half, Pattern};

/// The most characters of a text.
const LONGEST_TEXT: usize = 1_000;

/// The longest length: far more than any strap, and far below what could overflow.
pub(super) const LONGEST: Length = Length::mm(20_000);

impl Field for String {
    fn takes() -> String {
        "a text".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(self))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let Datum::Text(text) = datum else {
            reader.mistyped(datum, "a text in quotes");
            return None;
        };
        let text = text.replace("\r\n", " ").replace('\n', " ");
        let count = text.chars().count();
        if count > LONGEST_TEXT {
            let message = format!("the text has {count} characters");
            reader.report(message, format!("at most {LONGEST_TEXT} are taken"));
            return None;
        }
        if let Some(c) = text.chars().find(|c| c.is_control()) {
            let message = format!("the text holds the control character U+{:04X}", u32::from(c));
            reader.report(message, "leave it out");
            return None;
        }
        Some(text)
    }
}

impl Field for Length {
    fn takes() -> String {
        "a length".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::Length(*self))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let length = Signed::read(reader, datum)?;
        if length < Self::ZERO {
            reader.report("a length is not negative here", "write it without the `-`");
            return None;
        }
        Some(length)
    }
}

/// A length that may be negative: a coordinate, or ease.
#[derive(Debug)]
pub(crate) struct Signed;

impl Form<Length> for Signed {
    fn takes() -> String {
        "a length, or a negative one such as `\"-1/4 in\"`".to_owned()
    }

    fn write(value: &Length, _: &Pattern) -> Option<Datum> {
        Some(Datum::Length(*value))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Length> {
        let text = match datum {
            Datum::Length(length) => return Some(*length),
            Datum::Text(text) | Datum::Number(text) => text,
            other => {
                reader.mistyped(other, "a length, as in `\"4 1/2 in\"`");
                return None;
            }
        };
        let plain = text.trim();
        let (plain, is_negative) = match plain.strip_prefix(['-', '−']) {
            Some(rest) => (rest, true),
            None => (plain.strip_prefix('+').unwrap_or(plain), false),
        };
        match parse_length(plain, reader.units) {
            Ok(length) if length > LONGEST => {
                let most = reader.show(LONGEST);
                let message = format!("`{}` is longer than anything on a bag", short(text));
                reader.report(message, format!("at most {most} are taken"));
                None
            }
            Ok(length) => Some(if is_negative { -length } else { length }),
            Err(error) => {
                let (message, hint) = (format!("`{}` is no length", short(text)), error.reason());
                reader.report(message, hint);
                None
            }
        }
    }
}

/// A length as a person writes it, that reads back to the same nanometre: a fraction of an inch
/// where it is one that a ruler has, down to 1/64 in, and millimetres with decimals elsewhere.
pub fn spell(length: Length, units: Units) -> String {
    let sixty_fourth = Ruler::new(Length::inch_frac(1, 64), Style::Inch);
    match units.system() {
        System::Inch if sixty_fourth.is_on(length) => sixty_fourth.show(length),
        _ => Ruler::new(Length::nm(1), Style::Mm).show(length),
    }
}

/// A whole number in a range.
pub(super) fn whole(reader: &mut Reader, datum: &Datum, least: u32, most: u32) -> Option<u32> {
    let takes = format!("a whole number from {least} to {most}");
    let Datum::Number(text) = datum else {
        reader.mistyped(datum, &takes);
        return None;
    };
    let number = text.parse().ok().filter(|number| (least..=most).contains(number));
    if number.is_none() {
        reader.report(format!("`{}` is not taken", short(text)), format!("write {takes}"));
    }
    number
}

impl Field for u32 {
    fn takes() -> String {
        "a whole number".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::Number(self.to_string()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        whole(reader, datum, 0, 1_000)
    }
}

impl Field for bool {
    fn takes() -> String {
        "`true` or `false`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::Flag(*self))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let Datum::Flag(flag) = datum else {
            reader.mistyped(datum, "true or false, without quotes");
            return None;
        };
        Some(*flag)
    }

    fn absent() -> Option<Self> {
        Some(false)
    }
}

impl<T: Field> Field for Option<T> {
    fn takes() -> String {
        T::takes()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        self.as_ref().and_then(|value| value.write(pattern))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        T::read(reader, datum).map(Some)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

/// Reads the items of a list, each with its place; nothing if any of them cannot be read.
pub(super) fn items<T>(
    reader: &mut Reader,
    datum: &Datum,
    most: usize,
    mut read: impl FnMut(&mut Reader, &Datum) -> Option<T>,
) -> Option<Vec<T>> {
    let Datum::List(list) = datum else {
        reader.mistyped(datum, "a list, as in `[first, second]`");
        return None;
    };
    if list.len() > most {
        reader.report(
            format!("the list has {} items", list.len()),
            format!("at most {most} are taken"),
        );
        return None;
    }
    let mut all = Some(Vec::new());
    for (index, item) in list.iter().enumerate() {
        let value = reader.within(Part::Index(index), |reader| read(reader, item));
        all = match (all, value) {
            (Some(mut values), Some(value)) => {
                values.push(value);
                Some(values)
            }
            _ => None,
        };
    }
    all
}

impl<T: Field> Field for Vec<T> {
    fn takes() -> String {
        format!("a list, each {}", T::takes())
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::List(self.iter().filter_map(|item| item.write(pattern)).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        items(reader, datum, LONGEST_LIST, T::read)
    }

    fn absent() -> Option<Self> {
        Some(Self::new())
    }
}

/// A list that says nothing when it is empty.
#[derive(Debug)]
pub(crate) struct AtLeastOne;

impl<T: Field> Form<Vec<T>> for AtLeastOne {
    fn takes() -> String {
        Vec::<T>::takes()
    }

    fn write(items: &Vec<T>, pattern: &Pattern) -> Option<Datum> {
        items.write(pattern)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<T>> {
        let items = Vec::<T>::read(reader, datum)?;
        if items.is_empty() {
            reader.report("the list is empty", "write at least one");
            return None;
        }
        Some(items)
    }
}

/// Two of a kind.
fn pair<T>(
    reader: &mut Reader,
    datum: &Datum,
    takes: &str,
    read: impl FnMut(&mut Reader, &Datum) -> Option<T>,
) -> Option<[T; 2]> {
    match datum {
        Datum::List(list) if list.len() == 2 => {
            items(reader, datum, 2, read).and_then(|items| items.try_into().ok())
        }
        Datum::List(list) => {
            reader.report(
                format!("the list has {} items, not 2", list.len()),
                format!("write {takes}"),
            );
            None
        }
        other => {
            reader.mistyped(other, takes);
            None
        }
    }
}

impl Field for Point {
    fn takes() -> String {
        "a point, `[\"across\", \"up\"]`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::List(vec![Datum::Length(self.x), Datum::Length(self.y)]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let takes = "a point: across and up, as in `[\"2 in\", \"3 1/2 in\"]`";
        let [x, y] = pair(reader, datum, takes, Signed::read)?;
        Some(Self::new(x, y))
    }
}

impl Field for [Point; 2] {
    fn takes() -> String {
        "two points, `[[\"across\", \"up\"], [\"across\", \"up\"]]`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::List(self.iter().filter_map(|point| point.write(pattern)).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        pair(reader, datum, "two points", Point::read)
    }
}

impl Field for [Half; 2] {
    fn takes() -> String {
        format!("two of {}", Half::takes())
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::List(self.iter().filter_map(|half| half.write(pattern)).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        pair(reader, datum, "the two halves", Half::read)
    }
}

/// A width and a height.
impl Field for (Length, Length) {
    fn takes() -> String {
        "`[\"width\", \"height\"]`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::List(vec![Datum::Length(self.0), Datum::Length(self.1)]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let takes = "width and height, as in `[\"2 in\", \"3 1/2 in\"]`";
        let [width, height] = pair(reader, datum, takes, Length::read)?;
        Some((width, height))
    }
}

/// One length for both sides, or one for each.
impl Field for [Length; 2] {
    fn takes() -> String {
        "a length for both sides, or a list of one for each".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        let [a, b] = *self;
        Some(match a == b {
            true => Datum::Length(a),
            false => Datum::List(vec![Datum::Length(a), Datum::Length(b)]),
        })
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        match datum {
            Datum::List(_) => pair(reader, datum, "two lengths, one for each side", Length::read),
            one => Length::read(reader, one).map(|length| [length; 2]),
        }
    }
}

/// Words with lengths in braces: "{1 1/2 in} below the rim". A brace itself is doubled.
impl Field for Phrase {
    fn takes() -> String {
        "a text, lengths in it in braces: `\"{1 1/2 in} below the rim\"`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::Text(self.spelled(|length| spell(length, pattern.units))))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let text = String::read(reader, datum)?;
        let mut phrase = Self::default();
        let mut words = String::new();
        let mut rest = text.as_str();
        while let Some(at) = rest.find(['{', '}']) {
            words.push_str(&rest[..at]);
            let doubled = rest[at..].starts_with("{{") || rest[at..].starts_with("}}");
            if doubled {
                words.push_str(&rest[at..=at]);
                rest = &rest[at + 2..];
                continue;
            }
            let Some((inner, behind)) =
                rest[at..].strip_prefix('{').and_then(|r| r.split_once('}'))
            else {
                let hint = "lengths stand in braces, as in `{1 1/2 in}`; a brace itself is doubled";
                reader.report("a brace has no partner", hint);
                return None;
            };
            let length = Length::read(reader, &Datum::text(inner))?;
            if !words.is_empty() {
                phrase = phrase.say(std::mem::take(&mut words));
            }
            phrase = phrase.len(length);
            rest = behind;
        }
        words.push_str(rest);
        Some(if words.is_empty() { phrase } else { phrase.say(words) })
    }
}
