//! Materials, and words that refer to steps and pieces.

use measure::{Length, MassPerArea};

use super::reader::short;
use super::{Datum, Field, Form, Part, Plain, Reader, Table};
use crate::draft::usual_usable;
use crate::pattern::{
    Band, Cloth, Form as Sold, Look, Material, MaterialId, Pattern, spell_weight,
};
use crate::record::words;

/// The id of a step that the file has.
#[derive(Debug)]
pub struct StepId;

impl Form<String> for StepId {
    fn takes() -> String {
        "the id of a step".to_owned()
    }

    fn write(id: &String, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(id))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<String> {
        let id = String::read(reader, datum)?;
        if !reader.steps.contains(&id) {
            let known = reader.steps.clone();
            reader.no_such_name("a step", &id, known);
            return None;
        }
        Some(id)
    }
}

impl Form<Option<String>> for StepId {
    fn takes() -> String {
        <Self as Form<String>>::takes()
    }

    fn write(id: &Option<String>, _: &Pattern) -> Option<Datum> {
        id.as_ref().map(Datum::text)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Option<String>> {
        <Self as Form<String>>::read(reader, datum).map(Some)
    }

    fn absent() -> Option<Option<String>> {
        Some(None)
    }
}

/// The id of a piece that the file has.
#[derive(Debug)]
pub struct UsedPiece;

impl Form<String> for UsedPiece {
    fn takes() -> String {
        "the id of a piece".to_owned()
    }

    fn write(id: &String, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(id))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<String> {
        let id = String::read(reader, datum)?;
        if !reader.pattern.pieces.iter().any(|piece| piece.id == id) {
            let known = reader.pattern.pieces.iter().map(|piece| piece.id.clone()).collect();
            reader.no_such_name("a piece", &id, known);
            return None;
        }
        Some(id)
    }
}

impl Form<Option<String>> for UsedPiece {
    fn takes() -> String {
        <Self as Form<String>>::takes()
    }

    fn write(id: &Option<String>, _: &Pattern) -> Option<Datum> {
        id.as_ref().map(Datum::text)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Option<String>> {
        <Self as Form<String>>::read(reader, datum).map(Some)
    }

    fn absent() -> Option<Option<String>> {
        Some(None)
    }
}

/// A stable word: it names files, so it holds nothing but small letters, digits and hyphens.
pub(super) struct Word;

impl Form<String> for Word {
    fn takes() -> String {
        "a word of small letters, digits and hyphens".to_owned()
    }

    fn write(word: &String, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(word))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<String> {
        let word = String::read(reader, datum)?;
        let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if word.is_empty() || word.len() > 80 || !word.chars().all(fits) || word.starts_with('-') {
            let message = format!("`{}` is no id", short(&word));
            reader.report(message, "write small letters, digits and hyphens, as in `front-panel`");
            return None;
        }
        Some(word)
    }
}

impl Field for MaterialId {
    fn takes() -> String {
        "the id of a material".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::text(&pattern.materials.get(self.0)?.id))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let id = String::read(reader, datum)?;
        let found = reader.pattern.materials.iter().position(|material| material.id == id);
        if found.is_none() {
            let known = reader.pattern.materials.iter().map(|m| m.id.clone()).collect();
            reader.no_such_name("a material", &id, known);
        }
        found.map(Self)
    }
}

words!(Look {
    "outside" => Outside,
    "contrast" => Contrast,
    "lining" => Lining,
    "interfacing" => Interfacing,
    "webbing" => Webbing,
    "window" => Window,
});

/// A share in percent, kept in parts per million: up to four decimals.
struct Share;

impl Form<u32> for Share {
    fn takes() -> String {
        "a percentage, as in `3` or `2.5`".to_owned()
    }

    fn write(share: &u32, _: &Pattern) -> Option<Datum> {
        let decimals = format!("{:04}", share % 10_000);
        let text = format!("{}.{decimals}", share / 10_000);
        Some(Datum::Number(text.trim_end_matches('0').trim_end_matches('.').to_owned()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<u32> {
        let text = match datum {
            Datum::Number(text) | Datum::Text(text) => text,
            other => {
                reader.mistyped(other, &Self::takes());
                return None;
            }
        };
        let plain = text.trim().trim_end_matches('%').trim_end();
        let share = parts_per_ten_thousand(plain).filter(|share| *share <= 500_000);
        if share.is_none() {
            let message = format!("`{}` is no share that cloth shrinks by", short(text));
            reader.report(message, "write a percentage up to 50, with at most four decimals");
        }
        share
    }

    fn absent() -> Option<u32> {
        Some(0)
    }
}

/// A decimal of at most four places, times ten thousand.
fn parts_per_ten_thousand(text: &str) -> Option<u32> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || decimals.len() > 4 || whole.len() > 4 {
        return None;
    }
    format!("{whole}{decimals:0<4}").parse().ok()
}

/// What a table of a material takes, for the guide.
pub(super) const TAKES: &[(&str, &str, bool, &str)] = &[
    ("id", "a word of small letters, digits and hyphens", false, "By which pieces name it."),
    ("name", "a text", false, "What it is called on the shopping list."),
    ("serves", "a text", false, "What it is for: \"outside and handles\"."),
    ("form", "`\"fabric\"`, `\"interfacing\"` or `\"webbing\"`", false, "How it is sold."),
    ("width", "a length", false, "As it is sold, selvedge to selvedge."),
    (
        "usable",
        "a length",
        true,
        "Between the selvedges. Left out: 2 in (5 cm) less, and all of an interfacing.",
    ),
    ("one-way", "`true` or `false`", true, "A print or a nap: no piece upside down."),
    ("turnable", "`true` or `false`", true, "Pieces may lie across the grain."),
    ("thickness", "a length", true, "Of one layer."),
    (
        "weight",
        "a weight for an area, as in `8 oz/yd²` or `270 g/m²`",
        true,
        "Of the cloth, or of the webbing.",
    ),
    (
        "band",
        "`\"webbing\"`, `\"tape\"`, `\"hook-or-loop\"` or `\"cord\"`",
        true,
        "What a webbing is: its usual weight follows from it. Left out: a woven webbing.",
    ),
    ("shrinks-in-length", "a percentage", true, "At the first wash."),
    ("shrinks-in-width", "a percentage", true, "At the first wash."),
    (
        "look",
        "`\"outside\"`, `\"contrast\"`, `\"lining\"`, `\"interfacing\"` or `\"webbing\"`",
        true,
        "How it is drawn.",
    ),
];

const fn usual_look(form: &Sold) -> Look {
    match form {
        Sold::Fabric(_) => Look::Outside,
        Sold::Interfacing(_) => Look::Interfacing,
        Sold::Webbing { .. } => Look::Webbing,
    }
}

impl Field for MassPerArea {
    fn takes() -> String {
        "a weight for an area, as in `8 oz/yd²` or `270 g/m²`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::text(spell_weight(*self)))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let text = String::read(reader, datum)?;
        match Self::parse(&text) {
            Ok(weight) => Some(weight),
            Err(error) => {
                reader.report(error.to_string(), "a bare number of ounces says nothing");
                None
            }
        }
    }
}

impl Field for Material {
    fn takes() -> String {
        "a material".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = Vec::new();
        let mut put = |key: &str, datum: Option<Datum>| {
            fields.extend(datum.map(|datum| (key.to_owned(), datum)));
        };
        put("id", Some(Datum::text(&self.id)));
        put("name", Some(Datum::text(&self.name)));
        put("serves", Some(Datum::text(&self.serves)));
        let (form, width) = match &self.form {
            Sold::Fabric(cloth) => ("fabric", cloth.bought_width),
            Sold::Interfacing(cloth) => ("interfacing", cloth.bought_width),
            Sold::Webbing { width, .. } => ("webbing", *width),
        };
        put("form", Some(Datum::text(form)));
        put("width", Some(Datum::Length(width)));
        if let Some(cloth) = self.cloth() {
            let usual = usual(width, self.is_interfacing(), pattern);
            let is_usual = (cloth.usable_width, cloth.usable_given) == usual;
            put("usable", (!is_usual).then_some(Datum::Length(cloth.usable_width)));
            put("one-way", cloth.one_way.then_some(Datum::Flag(true)));
            put("turnable", cloth.turnable.then_some(Datum::Flag(true)));
            put("thickness", cloth.thickness.map(Datum::Length));
            put("weight", cloth.weight.map(|weight| Datum::text(spell_weight(weight))));
            for (key, share) in [
                ("shrinks-in-length", cloth.shrinks_in_length),
                ("shrinks-in-width", cloth.shrinks_in_width),
            ] {
                put(key, (share > 0).then(|| Share::write(&share, pattern)).flatten());
            }
        }
        if let Sold::Webbing { band, weight, .. } = &self.form {
            put("band", (*band != Band::Webbing).then(|| band.write(pattern)).flatten());
            put("weight", weight.map(|weight| Datum::text(spell_weight(weight))));
        }
        put(
            "look",
            (self.look != usual_look(&self.form)).then(|| self.look.write(pattern)).flatten(),
        );
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let id = table.field::<String, Word>(reader, "id", None);
        let name = table.field::<String, Plain>(reader, "name", None);
        let serves = table.field::<String, Plain>(reader, "serves", None);
        let form = table.field::<Sale, Plain>(reader, "form", None);
        let width = table.field::<Length, Plain>(reader, "width", None);
        let width = width.and_then(|width| sold_width(reader, "width", width));
        let mut band = (Some(None), Some(None));
        let cloth = match form {
            Some(Sale::Webbing) => {
                band.0 = table.field::<Option<Band>, Plain>(reader, "band", None);
                band.1 = table.field::<Option<MassPerArea>, Plain>(reader, "weight", None);
                None
            }
            Some(form) => cloth(reader, &mut table, form, width),
            None => cloth(reader, &mut table, Sale::Fabric, None),
        };
        let look = table.field::<Option<Look>, Plain>(reader, "look", None);
        table.close(reader);
        let form = match form? {
            Sale::Fabric => Sold::Fabric(cloth?),
            Sale::Interfacing => Sold::Interfacing(cloth?),
            Sale::Webbing => {
                Sold::Webbing { width: width?, band: band.0?.unwrap_or_default(), weight: band.1? }
            }
        };
        let look = look?.unwrap_or(usual_look(&form));
        Some(Self { id: id?, name: name?, serves: serves?, form, look })
    }
}

words!(Band {
    "webbing" => Webbing,
    "tape" => Tape,
    "hook-or-loop" => HookOrLoop,
    "cord" => Cord,
});

/// How a material is sold, before its measures are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sale {
    Fabric,
    Interfacing,
    Webbing,
}

words!(Sale { "fabric" => Fabric, "interfacing" => Interfacing, "webbing" => Webbing });

/// The usable width when nothing is said of it, and whether that counts as given.
fn usual(width: Length, is_interfacing: bool, pattern: &Pattern) -> (Length, bool) {
    match is_interfacing {
        true => (width, true),
        false => (usual_usable(width, pattern.units.system()), false),
    }
}

fn cloth(
    reader: &mut Reader,
    table: &mut Table<'_>,
    form: Sale,
    width: Option<Length>,
) -> Option<Cloth> {
    let usable = table.field::<Option<Length>, Plain>(reader, "usable", None);
    let one_way = table.field::<bool, Plain>(reader, "one-way", None);
    let turnable = table.field::<bool, Plain>(reader, "turnable", None);
    let thickness = table.field::<Option<Length>, Plain>(reader, "thickness", None);
    let weight = table.field::<Option<MassPerArea>, Plain>(reader, "weight", None);
    let shrinks_in_length = table.field::<u32, Share>(reader, "shrinks-in-length", None);
    let shrinks_in_width = table.field::<u32, Share>(reader, "shrinks-in-width", None);
    let bought_width = width?;
    let (usable_width, usable_given) = match usable? {
        Some(usable) => (sold_width(reader, "usable", usable)?, true),
        None => usual(bought_width, form == Sale::Interfacing, &reader.pattern),
    };
    if usable_width > bought_width || !usable_width.is_positive() {
        let hint =
            format!("more than nothing, and at most the `width` of {}", reader.show(bought_width));
        reader.report("this usable width cannot be", hint);
        return None;
    }
    Some(Cloth {
        bought_width,
        usable_width,
        usable_given,
        one_way: one_way?,
        turnable: turnable?,
        thickness: thickness?,
        weight: weight?,
        shrinks_in_length: shrinks_in_length?,
        shrinks_in_width: shrinks_in_width?,
    })
}

/// A width that is sold: cord from 1 mm, cloth up to 3.5 m.
fn sold_width(reader: &mut Reader, key: &str, width: Length) -> Option<Length> {
    let (least, most) = (Length::MM, Length::mm(3_500));
    if (least..=most).contains(&width) {
        return Some(width);
    }
    let hint = format!("write a width from {} to {}", reader.show(least), reader.show(most));
    reader.within(Part::Key(key.to_owned()), |reader| {
        reader.report("nothing is sold in this width", hint);
    });
    None
}
