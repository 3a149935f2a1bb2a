//! The whole pattern, section by section.

use std::collections::BTreeSet;

use measure::{Increments, Length, System, Units};

use super::basic::{items, whole};
use super::reader::{LONGEST_LIST, short};
use super::{
    Datum, Fault, Field, FieldInfo, Fields, Form, Part, Plain, Reader, Table, claims, materials,
    pieces, steps, words,
};
use crate::design::Edition;
use crate::pattern::{
    Chapter, Claims, Hinge, Material, Notion, Pattern, Piece, Shop, Step, Thread,
};

words!(Units { "inch" => Inch, "cm" => Cm, "mm" => Mm });

/// The most edges of all copies together: sewing and checking take time in proportion.
const MOST_EDGES: usize = 2_000;

/// A pattern as a tree.
pub fn write_pattern(pattern: &Pattern) -> Datum {
    let mut fields: Vec<(String, Datum)> = Vec::new();
    let mut put = |key: &str, datum: Option<Datum>| {
        fields.extend(datum.map(|datum| (key.to_owned(), datum)));
    };
    put("title", pattern.title.write(pattern));
    put("about", pattern.about.write(pattern).filter(|_| !pattern.about.is_empty()));
    put("units", pattern.units.write(pattern));
    put("notions", pattern.notions.write(pattern).filter(|_| !pattern.notions.is_empty()));
    put("tools", pattern.tools.write(pattern).filter(|_| !pattern.tools.is_empty()));
    put("edition", pattern.edition.write(pattern));
    put("shop", pattern.shop.write(pattern));
    put("thread", pattern.thread.write(pattern));
    put("material", pattern.materials.write(pattern));
    put("piece", pattern.pieces.write(pattern));
    put("copies", Some(pieces::write_copies(pattern)));
    put("step", pattern.steps.write(pattern));
    put("claims", pattern.claims.write(pattern));
    put("hinge", pattern.hinges.write(pattern).filter(|_| !pattern.hinges.is_empty()));
    Datum::Record(fields)
}

/// A tree as a pattern. `known` are keys of the file that belong to whoever spells it.
///
/// # Errors
/// Everything that is wrong with it (the first hundred things), in no particular order.
pub fn read_pattern(tree: &Datum, known: &[&str]) -> Result<Pattern, Vec<Fault>> {
    let mut reader = Reader::new(nothing());
    let done = Table::open(&mut reader, tree).and_then(|mut table| {
        for key in known {
            table.get(key);
        }
        let done = sections(&mut reader, &mut table);
        table.close(&mut reader);
        done
    });
    let failed = done.is_none() && reader.fault_count() == 0;
    if failed {
        reader.report("this is no pattern", "write `units`, materials, pieces, copies and steps");
    }
    match reader.into_faults() {
        (pattern, faults) if faults.is_empty() => Ok(pattern),
        (_, faults) => Err(faults),
    }
}

fn nothing() -> Pattern {
    Pattern {
        title: String::new(),
        about: String::new(),
        units: Units::Inch,
        edition: Edition { number: 1, ..Edition::default() },
        materials: Vec::new(),
        pieces: Vec::new(),
        copies: Vec::new(),
        steps: Vec::new(),
        claims: Claims::default(),
        hinges: Vec::new(),
        notions: Vec::new(),
        tools: Vec::new(),
        shop: usual_shop(Units::Inch),
        thread: USUAL_THREAD,
    }
}

fn sections(reader: &mut Reader, table: &mut Table<'_>) -> Option<()> {
    let units = table.field::<Units, Plain>(reader, "units", None);
    reader.units = units.unwrap_or(Units::Inch);
    reader.pattern.units = reader.units;
    reader.pattern.shop = usual_shop(reader.units);
    let title = table.field::<String, Plain>(reader, "title", None);
    let about = table.field::<Option<String>, Plain>(reader, "about", None);
    let notions = table.field::<Vec<Notion>, Plain>(reader, "notions", None);
    let tools = table.field::<Vec<String>, Plain>(reader, "tools", None);
    let edition = table.field::<Option<Edition>, Plain>(reader, "edition", None);
    let shop = table.field::<Option<Shop>, Plain>(reader, "shop", None);
    let thread = table.field::<Option<Thread>, Plain>(reader, "thread", None);
    let materials = declared(reader, table, "material", "id", |reader, datum| {
        let material = Material::read(reader, datum)?;
        reader.pattern.materials.push(material);
        Some(())
    });
    let pieces = declared(reader, table, "piece", "id", |reader, datum| {
        let piece = Piece::read(reader, datum)?;
        reader.pattern.pieces.push(piece);
        Some(())
    });
    copies(reader, table);
    let steps = steps_of(reader, table);
    let claims = table.field::<Claims, Plain>(reader, "claims", None);
    let hinges = table.field::<Vec<Hinge>, Plain>(reader, "hinge", None);
    let pattern = &mut reader.pattern;
    (pattern.title, pattern.about) = (title?, about?.unwrap_or_default());
    (pattern.notions, pattern.tools, pattern.hinges) = (notions?, tools?, hinges?);
    pattern.edition = edition?.unwrap_or(Edition { number: 1, ..Edition::default() });
    if let Some(shop) = shop? {
        pattern.shop = shop;
    }
    pattern.thread = thread?.unwrap_or(USUAL_THREAD);
    (pattern.steps, pattern.claims) = (steps?, claims?);
    materials.and(pieces)
}

/// Reads the tables of a list, each with a name of its own in `key`; those that cannot be read are
/// remembered by name.
fn declared(
    reader: &mut Reader,
    table: &mut Table<'_>,
    section: &str,
    key: &str,
    mut read: impl FnMut(&mut Reader, &Datum) -> Option<()>,
) -> Option<()> {
    let Some(datum) = table.get(section) else {
        let hint = format!("write `[[{section}]]` for each, and its keys under it");
        reader.report(format!("there is no `[[{section}]]`"), hint);
        return None;
    };
    let mut names: BTreeSet<String> = BTreeSet::new();
    reader.within(Part::Key(section.to_owned()), |reader| {
        let all = items(reader, datum, LONGEST_LIST, |reader, datum| {
            let name = named(datum, key);
            let is_new = name.as_ref().is_none_or(|name| names.insert(name.clone()));
            if !is_new {
                twice(reader, key, name.as_deref().unwrap_or_default());
                return None;
            }
            let done = read(reader, datum);
            if let (None, Some(name)) = (done, name) {
                reader.broken.insert(name);
            }
            done
        });
        all.map(|_| ())
    })
}

fn named(datum: &Datum, key: &str) -> Option<String> {
    let Datum::Record(fields) = datum else { return None };
    fields.iter().find(|(word, _)| word == key).and_then(|(_, datum)| match datum {
        Datum::Text(name) => Some(name.clone()),
        _ => None,
    })
}

fn twice(reader: &mut Reader, key: &str, name: &str) {
    reader.within(Part::Key(key.to_owned()), |reader| {
        let message = format!("`{}` is used twice", short(name));
        reader.report(message, "give each its own");
    });
}

fn copies(reader: &mut Reader, table: &mut Table<'_>) {
    let Some(datum) = table.get("copies") else {
        let hint = "write `[copies]`, and under it a line `\"front panel\" = \"panel\"` for each";
        reader.report("there is no `[copies]`", hint);
        return;
    };
    reader.within(Part::Key("copies".to_owned()), |reader| {
        pieces::read_copies(reader, datum);
        let edges: usize =
            reader.pattern.copy_ids().map(|copy| reader.pattern.piece_of(copy).edges.len()).sum();
        if edges > MOST_EDGES {
            let message = format!("all copies together have {edges} edges");
            reader.report(message, format!("at most {MOST_EDGES} are taken"));
        }
    });
}

fn steps_of(reader: &mut Reader, table: &mut Table<'_>) -> Option<Vec<Step>> {
    if let Some(Datum::List(list)) = table.get("step") {
        reader.steps = list.iter().filter_map(|step| named(step, "id")).collect();
    }
    let mut steps: Vec<Step> = Vec::new();
    let mut latest = Chapter::Cut;
    let done = declared(reader, table, "step", "id", |reader, datum| {
        let step = Step::read(reader, datum)?;
        if step.chapter < latest {
            let message = format!(
                "the chapter \"{}\" comes before \"{}\", in which the last step stands",
                step.chapter.title(),
                latest.title()
            );
            reader.within(Part::Key("chapter".to_owned()), |reader| {
                reader.report(message, "put the step into a later chapter, or higher up");
            });
            return None;
        }
        latest = step.chapter;
        steps.push(step);
        Some(())
    });
    done.map(|()| steps)
}

impl Field for Edition {
    fn takes() -> String {
        "`{ number, date, changes }`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![("number".to_owned(), self.number.write(pattern)?)];
        if !self.date.is_empty() {
            fields.push(("date".to_owned(), Datum::text(&self.date)));
        }
        if !self.changes.is_empty() {
            fields.push(("changes".to_owned(), self.changes.write(pattern)?));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let number = table.field::<u32, Plain>(reader, "number", Some(1));
        let date = table.field::<Option<String>, Plain>(reader, "date", None);
        let changes = table.field::<Vec<String>, Plain>(reader, "changes", None);
        table.close(reader);
        Some(Self { number: number?, date: date?.unwrap_or_default(), changes: changes? })
    }
}

/// What is usual: the system's increments, 1 in (25 mm) for squaring up, no gaps.
fn usual_shop(units: Units) -> Shop {
    let system = units.system();
    let squaring = match system {
        System::Inch => Length::INCH,
        System::Metric => Length::mm(25),
    };
    Shop { increments: Increments::usual(system), squaring, gap: Length::ZERO, strips_first: None }
}

impl Field for Shop {
    fn takes() -> String {
        "`{ increments, squaring, gap, strips-first }`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("increments".to_owned(), self.increments.steps().to_vec().write(pattern)?),
            ("squaring".to_owned(), Datum::Length(self.squaring)),
            ("gap".to_owned(), Datum::Length(self.gap)),
        ];
        let longest = self.strips_first.map(Datum::Length);
        fields.extend(longest.map(|longest| ("strips-first".to_owned(), longest)));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let usual = usual_shop(reader.units);
        let mut table = Table::open(reader, datum)?;
        let steps = table.get("increments").map(|datum| {
            reader.within(Part::Key("increments".to_owned()), |reader| {
                let steps = items(reader, datum, 20, Length::read)?;
                match Increments::new(steps) {
                    Ok(increments) => Some(increments),
                    Err(error) => {
                        reader.report(error.to_string(), "write a list, as in `[\"1/8 yd\"]`");
                        None
                    }
                }
            })
        });
        let squaring = table.field::<Length, Plain>(reader, "squaring", Some(usual.squaring));
        let gap = table.field::<Length, Plain>(reader, "gap", Some(usual.gap));
        let strips_first = table.field::<Option<Length>, Plain>(reader, "strips-first", None);
        table.close(reader);
        let increments = steps.unwrap_or(Some(usual.increments))?;
        Some(Self { increments, squaring: squaring?, gap: gap?, strips_first: strips_first? })
    }
}

/// All-purpose polyester, see `crate::draft`.
const USUAL_THREAD: Thread = Thread { tex: 35, strength_mn: 11_100 };

impl Field for Thread {
    fn takes() -> String {
        "`{ tex, newtons }`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        let decimals = format!("{}.{:03}", self.strength_mn / 1_000, self.strength_mn % 1_000);
        let newtons = decimals.trim_end_matches('0').trim_end_matches('.').to_owned();
        Some(Datum::Record(vec![
            ("tex".to_owned(), Datum::Number(self.tex.to_string())),
            ("newtons".to_owned(), Datum::Number(newtons)),
        ]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let tex = table.get("tex").map(|datum| {
            reader.within(Part::Key("tex".to_owned()), |reader| whole(reader, datum, 5, 500))
        });
        let strength = table.field::<u32, Newtons>(reader, "newtons", None);
        table.close(reader);
        let Some(tex) = tex else {
            reader
                .report("`tex` is missing here", "write the number on the spool, as in `tex = 35`");
            return None;
        };
        Some(Self { tex: tex?, strength_mn: strength? })
    }
}

/// A force in newtons, kept in millinewtons.
struct Newtons;

impl Form<u32> for Newtons {
    fn takes() -> String {
        "a force in newtons".to_owned()
    }

    fn write(force: &u32, _: &Pattern) -> Option<Datum> {
        Some(Datum::Number(force.to_string()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<u32> {
        let force = match datum {
            Datum::Number(text) => thousandths(text).filter(|mn| (500..=500_000).contains(mn)),
            _ => None,
        };
        if force.is_none() {
            let hint = "write newtons from 0.5 to 500, with at most three decimals";
            reader.report("this is not the strength of a thread", hint);
        }
        force
    }
}

pub(super) fn thousandths(text: &str) -> Option<u32> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || decimals.len() > 3 || whole.len() > 4 {
        return None;
    }
    format!("{whole}{decimals:0<3}").parse().ok()
}

/// The sections of a pattern file, each with its heading and fields: for the guide.
pub fn parts() -> Vec<(&'static str, Vec<FieldInfo>)> {
    let listed = |rows: &[(&str, &str, bool, &'static str)]| {
        let row = |(key, takes, optional, help): &(&str, &str, bool, &'static str)| FieldInfo {
            key: (*key).to_owned(),
            takes: (*takes).to_owned(),
            help,
            optional: *optional,
        };
        rows.iter().map(row).collect::<Vec<FieldInfo>>()
    };
    vec![
        ("[[material]]", listed(materials::TAKES)),
        ("[[piece]]", listed(pieces::TAKES)),
        ("[[step]]", listed(steps::TAKES)),
        ("notions", listed(super::notions::TAKES)),
        ("[claims]", Claims::fields()),
        ("[claims] handles", crate::pattern::HandleClaim::fields()),
        ("[claims] pockets", crate::pattern::PocketClaim::fields()),
        ("[claims] dividers", crate::pattern::DividerClaim::fields()),
        ("[claims] parts", crate::pattern::PartClaim::fields()),
        ("[claims] closures", crate::pattern::ClosureClaim::fields()),
        ("[[hinge]]", listed(claims::HINGE_TAKES)),
    ]
}
