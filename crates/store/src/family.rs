//! One design in several sizes and with several options: what a file says below `[size.NAME]` and
//! `[option.NAME]` is laid over the rest of it.
//!
//! A size or an option says only what differs, under the same sections as the design itself:
//!
//! ```toml
//! [size.small]
//! body.width = 10
//! body.height = 9
//!
//! [option.webbing]
//! handles.kind = "webbing"
//! ```
//!
//! A section that names another `kind` starts from that kind's defaults; a list of pockets takes
//! the place of the whole list.

use bag::Design;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::design::read_table;
use crate::document;
use crate::problem::{Problem, Source};
use crate::sections::LONGEST_LIST;
use crate::values::{found, shown};
use crate::variants::{Variant, Variants};

/// The sections that hold sizes and options.
pub(crate) const SIZE: &str = "size";
/// See [`SIZE`].
pub(crate) const OPTION: &str = "option";

/// One member of a family.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// The size's name; none for the design as it stands.
    pub size: Option<String>,
    /// The option's name; none for the design as it stands.
    pub option: Option<String>,
    /// The design.
    pub design: Design,
}

/// Reads a design file with its sizes and options: every size with every option, the design as it
/// stands first. A file without either gives the design alone.
///
/// # Errors
/// Every problem there is, in the order of the file, each told once.
pub fn read_family(file: &str, text: &str) -> Result<Vec<Member>, Vec<Problem>> {
    let source = Source { file, text };
    let (document, mut problems) = document::parse(source)?;
    let base = document.get_ref();
    let sizes = variants(source, base, SIZE, &mut problems);
    let options = variants(source, base, OPTION, &mut problems);
    let mut members = Vec::new();
    for size in &sizes {
        for option in &options {
            let mut table = base.clone();
            for variant in [size, option].into_iter().filter_map(|named| named.table.as_ref()) {
                lay_over(&mut table, variant);
            }
            match read_table(source, &table) {
                Ok(design) => members.push(Member {
                    size: size.name.clone(),
                    option: option.name.clone(),
                    design,
                }),
                Err(more) => problems.extend(more),
            }
        }
    }
    if problems.is_empty() {
        return Ok(members);
    }
    problems.sort_by_key(|problem| (problem.line, problem.column));
    problems.dedup();
    Err(problems)
}

/// The sizes and options of a design file as they are written there, remarks and all; empty if there
/// are none; where they do not stand in sections of their own, in the words of [`Variants`].
/// [`write_family`] puts them back.
pub fn family_of(text: &str) -> String {
    let part = sections_of(text);
    let said = |text: &str| {
        let Variants { sizes, options } = Variants::read(text)?;
        let says = |all: Vec<Variant>| all.into_iter().map(|it| (it.name, it.says));
        Some(says(sizes).chain(says(options)).collect::<Vec<_>>())
    };
    match said(text) {
        Some(all) if said(&part).is_none_or(|part| part != all) => {
            Variants::read(text).map_or(part, |variants| variants.write())
        }
        _ => part,
    }
}

/// The sections of a text that hold sizes and options, line by line.
fn sections_of(text: &str) -> String {
    let mut part = String::new();
    let mut is_within = false;
    for line in text.lines() {
        if let Some(header) = line.trim_start().strip_prefix('[') {
            let first = header.trim_start_matches('[').trim_start();
            let named = |section: &str| {
                first.strip_prefix(section).is_some_and(|rest| rest.trim_start().starts_with('.'))
            };
            is_within = named(SIZE) || named(OPTION);
        }
        if is_within {
            part.push_str(line);
            part.push('\n');
        }
    }
    part.trim().to_owned()
}

/// A design with its sizes and options as the text of one file.
pub fn write_family(design: &Design, family: &str) -> String {
    let base = crate::write::write_design(design);
    match family.trim() {
        "" => base,
        family => format!("{base}\n{family}\n"),
    }
}

/// A named table of differences; the first of each list has neither.
struct Named<'i> {
    name: Option<String>,
    table: Option<DeTable<'i>>,
}

/// Keys that are the same for the whole file.
const FOR_ALL: [&str; 4] = [SIZE, OPTION, "units", "edition"];

/// The sizes, or the options, of the file, in its order, after the design as it stands.
fn variants<'i>(
    source: Source<'_>,
    base: &DeTable<'i>,
    section: &str,
    problems: &mut Vec<Problem>,
) -> Vec<Named<'i>> {
    let mut all = vec![Named { name: None, table: None }];
    let Some(item) = base.get(section) else { return all };
    let hint =
        format!("write `[{section}.NAME]`, and under it what differs, as in `body.width = 9`");
    let DeValue::Table(named) = item.get_ref() else {
        let message = format!("[{section}] should hold sections, not {}", found(item.get_ref()));
        problems.push(source.problem(item.span(), message, hint));
        return all;
    };
    let mut entries: Vec<_> = named.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    if let Some((key, _)) = entries.get(LONGEST_LIST) {
        let message = format!("there are {} of [{section}.NAME]", entries.len());
        problems.push(source.problem(key.span(), message, format!("at most {LONGEST_LIST}")));
        return all;
    }
    for (key, value) in entries {
        let DeValue::Table(table) = value.get_ref() else {
            let message = format!(
                "[{section}.{}] should be a section, not {}",
                shown(key.get_ref()),
                found(value.get_ref())
            );
            problems.push(source.problem(value.span(), message, hint.clone()));
            continue;
        };
        for (inner, _) in
            table.iter().filter(|(inner, _)| FOR_ALL.contains(&inner.get_ref().as_ref()))
        {
            let message = format!("[{section}] cannot change `{}`", shown(inner.get_ref()));
            let hint = "leave it out: it is the same for the whole file";
            problems.push(source.problem(inner.span(), message, hint));
        }
        let mut table = table.clone();
        for inner in FOR_ALL {
            table.remove(inner);
        }
        all.push(Named { name: Some(key.get_ref().to_string()), table: Some(table) });
    }
    all
}

/// Lays the differences over a table: sections key by key, all else in place of what was there.
fn lay_over<'i>(table: &mut DeTable<'i>, over: &DeTable<'i>) {
    for (key, value) in over {
        let both = match (table.get_mut(key.get_ref().as_ref()), value.get_ref()) {
            (Some(old), DeValue::Table(new)) if !new.contains_key("kind") => Some((old, new)),
            _ => None,
        };
        if let Some((old, new)) = both
            && let DeValue::Table(old) = old.get_mut()
        {
            lay_over(old, new);
            continue;
        }
        table.insert(key.clone(), Spanned::new(value.span(), value.get_ref().clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;
    use measure::Length;

    const BAG: &str = "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = 12\ndepth = 3\n\
                       [fabric.outside]\nname = \"duck\"\n\
                       [size.small]\nbody.width = 10\n\
                       [size.large]\nbody.width = \"15 1/2\"\nbody.depth = 5\n\
                       [option.webbing]\nhandles.kind = \"webbing\"\nfabric.outside.width = 60\n";

    #[test]
    fn every_size_comes_with_every_option() {
        let members = read_family("bag.toml", BAG).expect("it can be read");
        let told: Vec<String> = members
            .iter()
            .map(|member| {
                let values = &member.design.body.values;
                format!(
                    "{} {} {} × {} {} {}",
                    member.size.as_deref().unwrap_or("-"),
                    member.option.as_deref().unwrap_or("-"),
                    measure::show_number(values.length("width"), measure::System::Inch),
                    measure::show_number(values.length("depth"), measure::System::Inch),
                    member.design.handles.kind,
                    member.design.fabrics[&bag::Role::Outside].text("name"),
                )
            })
            .collect();
        expect![[r#"
            - - 12 × 3 folded duck
            - webbing 12 × 3 webbing duck
            small - 10 × 3 folded duck
            small webbing 10 × 3 webbing duck
            large - 15 1/2 × 5 folded duck
            large webbing 15 1/2 × 5 webbing duck"#]]
        .assert_eq(&told.join("\n"));
        let width = members[1].design.fabrics[&bag::Role::Outside].length("width");
        assert_eq!(width, Length::inch(60));
    }

    #[test]
    fn the_design_as_it_stands_is_what_is_read_without_them() {
        let alone = crate::read_design("bag.toml", BAG).expect("it can be read");
        assert_eq!(read_family("bag.toml", BAG).expect("it can be read")[0].design, alone);
    }

    #[test]
    fn a_family_is_written_back_without_a_loss() {
        let text = BAG.replace("body.width = 10", "# for children\nbody.width = 10");
        let members = read_family("bag.toml", &text).expect("it can be read");
        let again = write_family(&members[0].design, &family_of(&text));
        assert_eq!(read_family("again", &again).expect("it can be read"), members);
        assert!(again.contains("# for children"));
        assert_eq!(family_of(&again), family_of(&text));
        assert_eq!(family_of("[body]\nkind = \"flat\"\n"), "");
        // Nothing is lost of what does not stand in sections of its own.
        let odd = "[body]\nkind = \"flat\"\n[size]\nsmall.body.width = 9\n";
        assert_eq!(family_of(odd), "[size.small]\nbody.width = 9");
    }

    #[test]
    fn a_slip_is_told_once_and_at_its_place() {
        let text = format!("{BAG}[size.wide]\nbody.widht = 20\nunits = \"mm\"\n");
        let problems = read_family("bag.toml", &text).expect_err("there are slips");
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        expect![[r#"
            bag.toml:17:6: [body] of kind `boxed` has no key `widht`
              17 | body.widht = 20
                 |      ^^^^^
                 = did you mean `width`? [body] of kind `boxed` takes size, width, height, depth, taper, contrast-base, holds, stands, ease, kind
            bag.toml:18:1: [size] cannot change `units`
              18 | units = "mm"
                 | ^^^^^
                 = leave it out: it is the same for the whole file"#]].assert_eq(&told.join("\n"));
    }
}
