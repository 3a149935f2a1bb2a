//! What a size or an option of a bag says otherwise than the bag, changed as a field of the page does
//! it: `size.add`, `size[1].name`, `size[1].body.width`, `option[2].handles.kind`.

use bag::Design;
use bag::design::{ALLOWANCES, FABRIC, INTERFACING, SHOP, STITCHING};
use bag::kinds::{Kind, Param, Quantity, Value};
use store::{Member, Refused, Variant, Variants, literal, shown_value, typed_value};

use crate::change::{self, LONGEST_LIST, kinds, no_such_field, refused};

/// The most characters of a name.
const LONGEST_NAME: usize = 40;

/// Which list a size or option is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// The sizes.
    Size,
    /// The options.
    Option,
}

impl List {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Size, Self::Option];

    /// As in a path, and as a person calls one of them.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Size => "size",
            Self::Option => "option",
        }
    }

    /// Those of a bag.
    pub fn of(self, variants: &Variants) -> &[Variant] {
        match self {
            Self::Size => &variants.sizes,
            Self::Option => &variants.options,
        }
    }

    fn of_mut(self, variants: &mut Variants) -> &mut Vec<Variant> {
        match self {
            Self::Size => &mut variants.sizes,
            Self::Option => &mut variants.options,
        }
    }

    /// The design as one of them has it, without one of the other list.
    pub fn design<'m>(self, members: &'m [Member], name: &str) -> Option<&'m Design> {
        let is_it = |member: &&Member| {
            let (own, other) = match self {
                Self::Size => (&member.size, &member.option),
                Self::Option => (&member.option, &member.size),
            };
            other.is_none() && own.as_deref() == Some(name)
        };
        members.iter().find(is_it).map(|member| &member.design)
    }
}

/// Everything that may differ: the title of each section, with path and label of what is in it. A list
/// of pockets or extras is told as a whole, in the text.
pub fn differing(design: &Design) -> Vec<(&'static str, Vec<(String, &'static str)>)> {
    let of = |head: &str, params: &'static [Param]| -> Vec<(String, &'static str)> {
        // A weight that is not known cannot be said otherwise than by typing it.
        let said = params.iter().filter(|param| !matches!(param.quantity, Quantity::Weight));
        said.map(|param| (format!("{head}.{}", param.key), param.label)).collect()
    };
    let mut all = Vec::new();
    let chosen = [
        ("body", "Body", &design.body),
        ("handles", "Handles", &design.handles),
        ("closure", "Closure", &design.closure),
        ("lining", "Lining", &design.lining),
    ];
    for (section, title, chosen) in chosen {
        let params = Design::params_of(section, chosen.kind).unwrap_or_default();
        let mut here = vec![(format!("{section}.kind"), "kind")];
        here.extend(of(section, params));
        all.push((title, here));
    }
    let roles = |word: &str, roles: Vec<bag::Role>, params: &'static [Param]| {
        roles
            .into_iter()
            .map(|role| (role.title(), of(&format!("{word}.{}", role.key()), params)))
            .collect::<Vec<_>>()
    };
    all.extend(roles("fabric", design.fabrics.keys().copied().collect(), FABRIC));
    all.extend(roles("interfacing", design.interfacings.keys().copied().collect(), INTERFACING));
    all.push(("Seam allowances", of("allowances", ALLOWANCES)));
    all.push(("Stitches and thread", of("stitching", STITCHING)));
    all.push(("Cutting and the shop", of("shop", SHOP)));
    all
}

/// The sizes and options of a bag with one change made, and a word on it, for undo; without members
/// where they do not go with it.
///
/// # Errors
/// What is wrong with what was typed, and what would be right.
pub fn apply(
    (base, members): (&Design, &[Member]),
    variants: &Variants,
    path: &str,
    typed: &str,
) -> Result<(Variants, String), Refused> {
    let mut variants = variants.clone();
    for list in List::ALL {
        let word = list.word();
        let Some(rest) = path.strip_prefix(word) else { continue };
        if rest == ".add" {
            let name = named(list.of(&variants), None, typed)?;
            let all = list.of_mut(&mut variants);
            if all.len() >= LONGEST_LIST {
                return Err(refused(format!("at most {LONGEST_LIST} of them are taken")));
            }
            all.push(Variant { name: name.clone(), ..Variant::default() });
            return Ok((variants, format!("one more {word}: {name}")));
        }
        let Some((number, key)) = rest.strip_prefix('[').and_then(|it| it.split_once("].")) else {
            continue;
        };
        let at = number.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let at = at.filter(|at| *at < list.of(&variants).len()).ok_or_else(no_such_field)?;
        let name = list.of(&variants)[at].name.clone();
        let what = match key {
            "name" => {
                let new = named(list.of(&variants), Some(at), typed)?;
                let what = format!("{word}: {name} → {new}");
                list.of_mut(&mut variants)[at].name = new;
                what
            }
            "remove" => {
                list.of_mut(&mut variants).remove(at);
                format!("one {word} less: {name}")
            }
            _ => {
                let design = list.design(members, &name).unwrap_or(base);
                let says = said((design, base), &mut list.of_mut(&mut variants)[at], key, typed)?;
                format!("{word} {name}, {says}")
            }
        };
        return Ok((variants, what));
    }
    Err(no_such_field())
}

/// A name that is not taken.
fn named(all: &[Variant], own: Option<usize>, typed: &str) -> Result<String, Refused> {
    let name = typed.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control)
    {
        return Err(refused(format!(
            "a name has at least one and at most {LONGEST_NAME} characters"
        )));
    }
    let same = |other: &Variant| other.name.to_lowercase() == name.to_lowercase();
    if all.iter().enumerate().any(|(at, other)| Some(at) != own && same(other)) {
        let hint = "choose another name".to_owned();
        return Err(Refused { message: format!("there is one called “{name}” already"), hint });
    }
    Ok(name)
}

/// One thing that differs; with `differs`, the path is what was typed, and it says what the bag has.
fn said(
    (design, base): (&Design, &Design),
    variant: &mut Variant,
    key: &str,
    typed: &str,
) -> Result<String, Refused> {
    let (path, typed) = match key {
        "differs" => (typed, None),
        key => (key, Some(typed.trim())),
    };
    if typed == Some("") {
        variant.take(path);
        if let Some(section) = path.strip_suffix(".kind") {
            keep_known(variant, section, chosen_kind(base, section).ok_or_else(no_such_field)?);
        }
        return Ok(format!("{} as in the bag", label(base, path)));
    }
    if let Some(section) = path.strip_suffix(".kind") {
        let word = match typed {
            Some(word) => word,
            None => chosen_kind(design, section).ok_or_else(no_such_field)?.name(),
        };
        let kind = kinds(section).into_iter().find(|kind| kind.name() == word);
        let kind = kind.ok_or_else(no_such_field)?;
        let value = literal(&Value::Choice(kind.name()), base.units).ok_or_else(no_such_field)?;
        variant.set(path, value);
        keep_known(variant, section, kind);
        return Ok(format!("{section}: {}", kind.title()));
    }
    let (param, now) = change::at(design, path).ok_or_else(no_such_field)?;
    let value = match typed {
        Some(typed) => typed_value(param, typed, base.units)?,
        // What is left out in the bag cannot be said; the least it takes is a beginning.
        None => begin(param, now),
    };
    let spelled = literal(&value, base.units).ok_or_else(|| refused("it says nothing"))?;
    variant.set(path, spelled);
    Ok(format!("{}: {}", param.label, shown_value(&value, base.units)))
}

/// What a field begins with.
fn begin(param: &Param, now: &Value) -> Value {
    match (now, param.quantity) {
        (Value::Absent, Quantity::OptionalLength { least, .. }) => Value::Length(least),
        _ => now.clone(),
    }
}

/// The kind that a section has.
pub fn chosen_kind(design: &Design, section: &str) -> Option<&'static dyn Kind> {
    let chosen = match section {
        "body" => &design.body,
        "handles" => &design.handles,
        "closure" => &design.closure,
        "lining" => &design.lining,
        _ => return None,
    };
    kinds(section).into_iter().find(|kind| kind.name() == chosen.kind)
}

/// Of a section, only what its kind knows.
fn keep_known(variant: &mut Variant, section: &str, kind: &dyn Kind) {
    let is_known = |path: &str| match path.strip_prefix(section).and_then(|it| it.strip_prefix('.'))
    {
        Some(key) => key == "kind" || kind.params().iter().any(|param| param.key == key),
        None => true,
    };
    variant.says.retain(|(path, _)| is_known(path));
}

fn label(design: &Design, path: &str) -> String {
    change::at(design, path).map_or_else(|| path.to_owned(), |(param, _)| param.label.to_owned())
}

#[cfg(test)]
mod tests {
    use bag::bodies;
    use measure::{Length, Units};

    use super::*;

    fn members(variants: &Variants) -> Vec<Member> {
        let design = Design::of(bodies::find("boxed").unwrap(), Units::Inch);
        let text = store::write_family(&design, &variants.write());
        store::read_family("it", &text).expect("it can be read")
    }

    fn changed(variants: &Variants, path: &str, typed: &str) -> (Variants, String) {
        let members = members(variants);
        apply((&members[0].design, &members), variants, path, typed).expect("it is taken")
    }

    #[test]
    fn a_size_is_added_named_filled_in_and_taken_away() {
        let none = Variants::default();
        let (one, what) = changed(&none, "size.add", " small ");
        assert_eq!(what, "one more size: small");
        let (wide, what) = changed(&one, "size[1].body.width", "11.4cm");
        assert_eq!(what, "size small, width: 114 mm");
        let design = List::Size.design(&members(&wide), "small").unwrap().clone();
        assert_eq!(design.body.values.length("width"), Length::mm(114));
        let (named, _) = changed(&wide, "size[1].name", "for children");
        assert_eq!(named.write(), "[size.\"for children\"]\nbody.width = \"114 mm\"");
        let (as_the_bag, what) = changed(&named, "size[1].body.width", " ");
        assert_eq!(
            (as_the_bag.sizes[0].says.len(), what.as_str()),
            (0, "size for children, width as in the bag")
        );
        assert_eq!(changed(&as_the_bag, "size[1].remove", "").0, none);
    }

    #[test]
    fn an_option_of_another_kind_keeps_what_both_know() {
        let (one, _) = changed(&Variants::default(), "option.add", "webbing");
        let (one, _) = changed(&one, "option[1].differs", "handles.drop");
        let (one, _) = changed(&one, "option[1].differs", "handles.strip");
        let (one, what) = changed(&one, "option[1].handles.kind", "webbing");
        assert!(what.starts_with("option webbing, handles: "), "{what}");
        let says: Vec<&str> = one.options[0].says.iter().map(|(path, _)| path.as_str()).collect();
        assert_eq!(says, ["handles.drop", "handles.kind"]);
    }

    #[test]
    fn slips_are_told_and_change_nothing() {
        let (one, _) = changed(&Variants::default(), "size.add", "small");
        for (path, typed) in [
            ("size.add", ""),
            ("size.add", "Small"),
            ("size[1].body.width", "broad"),
            ("size[1].body.width", "900"),
            ("size[2].body.width", "9"),
            ("size[0].name", "x"),
            ("size[1].body.nothing", "9"),
            ("size[1].units", "mm"),
            ("size[1].body.kind", "tent"),
            ("option[1].remove", ""),
            ("sizes", ""),
        ] {
            let members = members(&one);
            let told = apply((&members[0].design, &members), &one, path, typed).expect_err(path);
            assert!(!told.message.is_empty(), "{path}");
        }
    }

    #[test]
    fn everything_that_may_differ_can_be_said() {
        let (one, _) = changed(&Variants::default(), "option.add", "other");
        let design = members(&one)[0].design.clone();
        for (path, _) in differing(&design).into_iter().flat_map(|(_, here)| here) {
            let (said, _) = changed(&one, "option[1].differs", &path);
            assert_eq!(members(&said).len(), 2, "{path}");
        }
    }
}
