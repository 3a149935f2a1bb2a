//! One change of a design, as a field of the page makes it: a path such as `body.width` or
//! `pocket[2].kind`, and what was typed.

use bag::design::{ALLOWANCES, FABRIC, INTERFACING, SHOP, STITCHING};
use bag::kinds::{Kind, Param, Quantity, Value, Values};
use bag::{Chosen, Design, Role, bodies, closures, extras, handles, linings, pockets};
use measure::Units;
use store::{Refused, shown_value, typed_value};

/// The most pockets, extras and lines of changes that a design file may list.
pub const LONGEST_LIST: usize = 24;

/// The name of the bag, and the sentence for its cover.
pub const HEAD: &[Param] = &[
    text("title", "name", "What the bag is called."),
    text("about", "about", "A sentence or two for the cover of the booklet."),
];

/// The edition.
pub const EDITION: &[Param] = &[
    Param {
        key: "number",
        label: "edition",
        help: "Counted from 1. It is printed on every page, so that nobody sews from an old one.",
        quantity: Quantity::Count { least: 1, most: 999, default: 1 },
        grows: None,
    },
    text("date", "date", "The day of this edition, as in 2026-11-25."),
];

/// A parameter that takes a text.
pub(crate) const fn text(key: &'static str, label: &'static str, help: &'static str) -> Param {
    Param { key, label, help, quantity: Quantity::Text { default: "" }, grows: None }
}

/// The kinds that a section chooses from; none when it chooses no kind.
pub fn kinds(section: &str) -> Vec<&'static dyn Kind> {
    match section {
        "body" => bodies::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        "pocket" => pockets::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        "handles" => handles::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        "closure" => closures::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        "lining" => linings::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        "extra" => extras::ALL.iter().map(|kind| *kind as &dyn Kind).collect(),
        _ => Vec::new(),
    }
}

/// A place in a design: a section, which one of it, and a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Path<'a> {
    section: &'a str,
    /// From zero, for pockets and extras.
    index: Option<usize>,
    /// The part of the bag, for fabrics and interfacings.
    role: Option<Role>,
    key: &'a str,
}

impl<'a> Path<'a> {
    fn read(path: &'a str) -> Option<Self> {
        let (head, key) = path.rsplit_once('.').unwrap_or(("", path));
        if let Some((section, inner)) = head.split_once('[') {
            let number: usize = inner.strip_suffix(']')?.parse().ok()?;
            let index = Some(number.checked_sub(1)?);
            return Some(Self { section, index, role: None, key });
        }
        let (section, role) = match head.split_once('.') {
            None => (head, None),
            Some((section, word)) => {
                (section, Some(Role::ALL.into_iter().find(|role| role.key() == word)?))
            }
        };
        Some(Self { section, index: None, role, key })
    }
}

pub(crate) fn refused(message: impl Into<String>) -> Refused {
    Refused { message: message.into(), hint: String::new() }
}

pub(crate) fn no_such_field() -> Refused {
    refused("the page asks for a field that this bag does not have; load the page again")
}

/// The parameter at a path, with its value.
pub fn at<'a>(design: &'a Design, path: &str) -> Option<(&'static Param, &'a Value)> {
    let path = Path::read(path)?;
    let (params, values) = section(design, path)?;
    let param = params.iter().find(|param| param.key == path.key)?;
    Some((param, values.get(param.key)?))
}

/// The parameters of the part to which a path belongs.
pub fn params(design: &Design, path: &str) -> Option<&'static [Param]> {
    section(design, Path::read(path)?).map(|(params, _)| params)
}

/// The pockets, or the extras.
pub fn listed<'a>(design: &'a Design, section: &str) -> Option<&'a Vec<Chosen>> {
    match section {
        "pocket" => Some(&design.pockets),
        "extra" => Some(&design.extras),
        _ => None,
    }
}

fn listed_mut<'a>(design: &'a mut Design, section: &str) -> Option<&'a mut Vec<Chosen>> {
    match section {
        "pocket" => Some(&mut design.pockets),
        "extra" => Some(&mut design.extras),
        _ => None,
    }
}

fn section<'a>(design: &'a Design, path: Path<'_>) -> Option<(&'static [Param], &'a Values)> {
    let chosen =
        |chosen: &'a Chosen| Some((Design::params_of(path.section, chosen.kind)?, &chosen.values));
    match (path.section, path.index, path.role) {
        ("body", None, None) => chosen(&design.body),
        ("handles", None, None) => chosen(&design.handles),
        ("closure", None, None) => chosen(&design.closure),
        ("lining", None, None) => chosen(&design.lining),
        (list, Some(index), None) => chosen(listed(design, list)?.get(index)?),
        ("allowances", None, None) => Some((ALLOWANCES, &design.allowances)),
        ("stitching", None, None) => Some((STITCHING, &design.stitching)),
        ("shop", None, None) => Some((SHOP, &design.shop)),
        ("fabric", None, Some(role)) => Some((FABRIC, design.fabrics.get(&role)?)),
        ("interfacing", None, Some(role)) => Some((INTERFACING, design.interfacings.get(&role)?)),
        _ => None,
    }
}

fn section_mut<'a>(design: &'a mut Design, path: Path<'_>) -> Option<&'a mut Values> {
    match (path.section, path.index, path.role) {
        ("body", None, None) => Some(&mut design.body.values),
        ("handles", None, None) => Some(&mut design.handles.values),
        ("closure", None, None) => Some(&mut design.closure.values),
        ("lining", None, None) => Some(&mut design.lining.values),
        (list, Some(index), None) => Some(&mut listed_mut(design, list)?.get_mut(index)?.values),
        ("allowances", None, None) => Some(&mut design.allowances),
        ("stitching", None, None) => Some(&mut design.stitching),
        ("shop", None, None) => Some(&mut design.shop),
        ("fabric", None, Some(role)) => design.fabrics.get_mut(&role),
        ("interfacing", None, Some(role)) => design.interfacings.get_mut(&role),
        _ => None,
    }
}

/// The design with one change made, and a word on what was changed, for undo.
///
/// # Errors
/// What is wrong with what was typed, and what would be right.
pub fn apply(design: &Design, path: &str, typed: &str) -> Result<(Design, String), Refused> {
    let mut design = design.clone();
    let what = change(&mut design, path, typed)?;
    Ok((design, what))
}

fn change(design: &mut Design, path: &str, typed: &str) -> Result<String, Refused> {
    match path {
        "title" | "about" => return head(design, path, typed),
        "units" => return units(design, typed),
        "edition.number" | "edition.date" => return edition(design, path, typed),
        "edition.changes" => return edition_changes(design, typed),
        "pocket.add" => return add(design, "pocket", typed),
        "extra.add" => return add(design, "extra", typed),
        "fabric.add" | "interfacing.add" => return add_cloth(design, path, typed),
        _ => {}
    }
    let place = Path::read(path).ok_or_else(no_such_field)?;
    match place.key {
        "kind" => choose(design, place, typed),
        "remove" => remove(design, place),
        "earlier" => earlier(design, place),
        _ => set(design, path, place, typed),
    }
}

fn set(design: &mut Design, path: &str, place: Path<'_>, typed: &str) -> Result<String, Refused> {
    let units = design.units;
    let (param, before) = at(design, path).ok_or_else(no_such_field)?;
    let value = typed_value(param, typed, units)?;
    let what = format!(
        "{}: {} → {}",
        param.label,
        or_nothing(shown_value(before, units)),
        or_nothing(shown_value(&value, units)),
    );
    let values = section_mut(design, place).ok_or_else(no_such_field)?;
    values.set(param.key, value);
    within_bought(design, place)?;
    Ok(what)
}

fn or_nothing(text: String) -> String {
    if text.is_empty() { "nothing".to_owned() } else { text }
}

/// A usable width is no wider than the fabric itself, as in a design file.
fn within_bought(design: &Design, place: Path<'_>) -> Result<(), Refused> {
    if !matches!(place.section, "fabric" | "interfacing") {
        return Ok(());
    }
    let Some((_, values)) = section(design, place) else { return Ok(()) };
    let bought = values.length("width");
    match values.optional("usable") {
        Some(usable) if usable > bought => Err(Refused {
            message: "the usable width would be wider than the fabric".to_owned(),
            hint: "leave the usable width empty, or make it no wider than what is bought"
                .to_owned(),
        }),
        _ => Ok(()),
    }
}

fn head(design: &mut Design, key: &str, typed: &str) -> Result<String, Refused> {
    let param = HEAD.iter().find(|param| param.key == key).ok_or_else(no_such_field)?;
    let Value::Text(text) = typed_value(param, typed, design.units)? else {
        return Err(no_such_field());
    };
    if key == "about" {
        design.about = text;
        return Ok("about the bag".to_owned());
    }
    if text.is_empty() {
        return Err(refused("a bag has a name"));
    }
    let what = format!("name: {} → {text}", design.title);
    design.title = text;
    Ok(what)
}

fn units(design: &mut Design, typed: &str) -> Result<String, Refused> {
    let units = Units::ALL.into_iter().find(|units| units_word(*units) == typed);
    let units = units.ok_or_else(|| refused("units are inch, cm or mm"))?;
    if units.system() == design.system() {
        design.units = units;
    } else {
        *design = design.redrafted(units);
    }
    Ok(format!("units: {typed}"))
}

/// The word for units in a design file.
pub const fn units_word(units: Units) -> &'static str {
    match units {
        Units::Inch => "inch",
        Units::Cm => "cm",
        Units::Mm => "mm",
    }
}

fn edition(design: &mut Design, path: &str, typed: &str) -> Result<String, Refused> {
    let key = path.trim_start_matches("edition.");
    let param = EDITION.iter().find(|param| param.key == key).ok_or_else(no_such_field)?;
    match typed_value(param, typed, design.units)? {
        Value::Count(number) => design.edition.number = number,
        Value::Text(date) => design.edition.date = date,
        _ => return Err(no_such_field()),
    }
    Ok(format!("edition: {typed}"))
}

fn edition_changes(design: &mut Design, typed: &str) -> Result<String, Refused> {
    let lines: Vec<&str> = typed.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    if lines.len() > LONGEST_LIST {
        return Err(refused(format!("at most {LONGEST_LIST} lines are taken")));
    }
    let mut changes = Vec::new();
    for line in lines {
        match typed_value(&HEAD[1], line, design.units)? {
            Value::Text(text) => changes.push(text),
            _ => return Err(no_such_field()),
        }
    }
    design.edition.changes = changes;
    Ok("what has changed in this edition".to_owned())
}

fn find_kind(section: &str, word: &str) -> Result<&'static dyn Kind, Refused> {
    let kind = kinds(section).into_iter().find(|kind| kind.name() == word);
    kind.ok_or_else(|| refused("there is no such kind; load the page again"))
}

fn add(design: &mut Design, section: &str, typed: &str) -> Result<String, Refused> {
    let kind = find_kind(section, typed)?;
    let system = design.system();
    let list = listed_mut(design, section).ok_or_else(no_such_field)?;
    if list.len() >= LONGEST_LIST {
        return Err(refused(format!("at most {LONGEST_LIST} of them are taken")));
    }
    list.push(Chosen::new(kind, system));
    Ok(format!("one more {section}: {}", kind.title()))
}

fn add_cloth(design: &mut Design, path: &str, typed: &str) -> Result<String, Refused> {
    let role = Role::ALL.into_iter().find(|role| role.key() == typed);
    let role = role.ok_or_else(no_such_field)?;
    let system = design.system();
    let named = |params, name: String| {
        let mut values = Values::defaults(params, system);
        values.set("name", Value::Text(name));
        values
    };
    if path == "fabric.add" {
        let name = format!("{} fabric", role.title());
        design.fabrics.entry(role).or_insert_with(|| named(FABRIC, name));
        return Ok(format!("a fabric of its own: {}", role.title()));
    }
    let name = design
        .interfacings
        .values()
        .next()
        .map_or_else(|| "interfacing".to_owned(), |values| values.text("name").to_owned());
    design.interfacings.entry(role).or_insert_with(|| named(INTERFACING, name));
    Ok(format!("interfacing: {}", role.title()))
}

/// Another kind; what both kinds know by the same key stays as it was.
fn choose(design: &mut Design, place: Path<'_>, typed: &str) -> Result<String, Refused> {
    let kind = find_kind(place.section, typed)?;
    let (system, units) = (design.system(), design.units);
    let slot = match (place.section, place.index) {
        ("body", _) => &mut design.body,
        ("handles", _) => &mut design.handles,
        ("closure", _) => &mut design.closure,
        ("lining", _) => &mut design.lining,
        (list, Some(index)) => {
            let list = listed_mut(design, list).ok_or_else(no_such_field)?;
            list.get_mut(index).ok_or_else(no_such_field)?
        }
        _ => return Err(no_such_field()),
    };
    let mut chosen = Chosen::new(kind, system);
    for param in kind.params() {
        let Some(before) = slot.values.get(param.key) else { continue };
        if let Ok(value) = typed_value(param, &shown_value(before, units), units) {
            chosen.values.set(param.key, value);
        }
    }
    *slot = chosen;
    Ok(format!("{}: {}", place.section, kind.title()))
}

fn remove(design: &mut Design, place: Path<'_>) -> Result<String, Refused> {
    match (place.section, place.index, place.role) {
        (section, Some(index), None) => {
            let list = listed_mut(design, section).filter(|list| index < list.len());
            list.ok_or_else(no_such_field)?.remove(index);
            Ok(format!("one {section} less"))
        }
        ("fabric", None, Some(role)) if role.fallback() != role => {
            design.fabrics.remove(&role);
            Ok(format!("no fabric of its own: {}", role.title()))
        }
        ("interfacing", None, Some(role)) => {
            design.interfacings.remove(&role);
            Ok(format!("no interfacing: {}", role.title()))
        }
        _ => Err(no_such_field()),
    }
}

/// A pocket changes places with the one before it: pockets are listed outermost first.
fn earlier(design: &mut Design, place: Path<'_>) -> Result<String, Refused> {
    let list = listed_mut(design, place.section).ok_or_else(no_such_field)?;
    match place.index {
        Some(index) if index > 0 && index < list.len() => {
            list.swap(index - 1, index);
            Ok(format!("order of each {}", place.section))
        }
        _ => Err(no_such_field()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    fn design() -> Design {
        Design::of(bodies::ALL[0], Units::Inch)
    }

    #[test]
    fn a_field_is_set_as_it_is_typed() {
        let (after, what) = apply(&design(), "body.width", "4 1/2").unwrap();
        assert_eq!(after.body.values.length("width"), Length::inch_frac(9, 2));
        assert!(what.ends_with("→ 4 1/2"), "{what}");
        let (after, _) = apply(&after, "fabric.lining.name", "calico").unwrap();
        assert_eq!(after.fabrics[&Role::Lining].text("name"), "calico");
        let (after, _) = apply(&after, "title", " Post bag ").unwrap();
        assert_eq!(after.title, "Post bag");
    }

    #[test]
    fn what_is_wrong_changes_nothing_and_says_why() {
        let design = design();
        for (path, typed) in [
            ("body.width", "wide"),
            ("body.width", ""),
            ("body.wdth", "4"),
            ("body.kind", "sock"),
            ("pocket[1].height", "4"),
            ("pocket[0].height", "4"),
            ("pocket[x].height", "4"),
            ("fabric.sleeve.width", "4"),
            ("fabric.outside.usable", "90"),
            ("fabric.outside.remove", ""),
            ("title", "  "),
            ("units", "ell"),
            ("edition.number", "0"),
            ("", ""),
            ("....", "x"),
            ("pocket[99999999999999999999].x", "x"),
        ] {
            let refused = apply(&design, path, typed).expect_err(path);
            assert!(!refused.message.is_empty());
        }
    }

    #[test]
    fn another_kind_keeps_what_both_know() {
        let (wide, _) = apply(&design(), "body.width", "19").unwrap();
        for kind in kinds("body") {
            let (after, _) = apply(&wide, "body.kind", kind.name()).unwrap();
            if kind.params().iter().any(|param| param.key == "width") {
                assert_eq!(after.body.values.length("width"), Length::inch(19), "{}", kind.name());
            }
        }
    }

    /// Every value of every kind that the page shows is taken again as it is shown.
    #[test]
    fn what_is_shown_can_be_typed() {
        for section in ["body", "handles", "closure", "lining", "pocket", "extra"] {
            for kind in kinds(section) {
                for units in Units::ALL {
                    let mut design = Design::of(bodies::ALL[0], units);
                    let head = if listed(&design, section).is_some() {
                        design = apply(&design, &format!("{section}.add"), kind.name()).unwrap().0;
                        &format!("{section}[1]")
                    } else {
                        design = apply(&design, &format!("{section}.kind"), kind.name()).unwrap().0;
                        section
                    };
                    for param in kind.params() {
                        let path = format!("{head}.{}", param.key);
                        let (_, value) = at(&design, &path).expect("it is there");
                        let shown = shown_value(value, units);
                        let (after, _) = apply(&design, &path, &shown)
                            .unwrap_or_else(|refused| panic!("{path} {shown}: {refused:?}"));
                        assert_eq!(after, design, "{path}");
                    }
                }
            }
        }
    }

    #[test]
    fn pockets_come_and_go_and_change_places() {
        let (design, _) = apply(&design(), "pocket.add", "slip").unwrap();
        let (design, _) = apply(&design, "pocket.add", "patch").unwrap();
        let (design, _) = apply(&design, "pocket[2].earlier", "").unwrap();
        assert_eq!(design.pockets[0].kind, "patch");
        let (design, _) = apply(&design, "pocket[1].remove", "").unwrap();
        assert_eq!(design.pockets.len(), 1);
        assert!(apply(&design, "pocket[1].earlier", "").is_err());
    }

    #[test]
    fn another_ruler_is_drafted_anew() {
        let (metric, _) = apply(&design(), "units", "cm").unwrap();
        assert_eq!(metric.units, Units::Cm);
        let width = metric.body.values.length("width");
        assert_eq!(width.to_nm() % 1_000_000, 0, "whole millimetres");
    }
}
