//! The whole form of a design: a loop over sections, kinds and their parameters. Nothing here knows
//! a bag; a new kind appears by itself.

use bag::design::{ALLOWANCES, FABRIC, INTERFACING, SHOP, STITCHING};
use bag::kinds::{Kind, Param, Value, Values};
use bag::{Chosen, Design, Role, Severity};
use maud::{Markup, html};
use measure::Units;

use super::field::{Around, id_of};
use super::list::body_cards;
use super::parts::{Extent, Part, whole_way};
use super::shell::{capital, hidden};
use crate::change::{EDITION, HEAD, LONGEST_LIST, kinds, listed, units_word};
use crate::keep::FabricRow;

/// The form, a part for each fold.
pub(super) fn form(around: &Around<'_>, design: &Design, shelf: &[FabricRow]) -> Vec<Part> {
    vec![
        name(around, design),
        body(around, design),
        other_body(around, design),
        list(
            around,
            design,
            "pocket",
            "Pockets",
            "No pocket yet. Add one: it is placed, sewn and checked by itself, and you can change all of it.",
        ),
        section(around, "handles", "Handles", &design.handles),
        section(around, "closure", "Closure", &design.closure),
        section(around, "lining", "Lining", &design.lining),
        list(
            around,
            design,
            "extra",
            "Extras",
            "Nothing besides. Add what the bag shall have, such as piping along a seam.",
        ),
        fabrics(around, design, shelf),
        interfacings(around, design),
        plain(around, "allowances", "Seam allowances", ALLOWANCES, &design.allowances),
        plain(around, "stitching", "Stitches and thread", STITCHING, &design.stitching),
        plain(around, "shop", "Cutting and the shop", SHOP, &design.shop),
        edition(around, design),
    ]
}

/// A part of the form that opens and closes; open where something is wrong in it. Folded, it is not made
/// before the page has been shown: there is a way to it for the case that the script does not come.
fn fold(
    around: &Around<'_>,
    key: &str,
    title: &str,
    says: &str,
    inner: impl FnOnce() -> Markup,
) -> Part {
    let begins = |path: &str| {
        path.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
    };
    let found = around
        .findings
        .iter()
        .filter(|f| f.severity != Severity::Note)
        .filter(|f| f.place.parameter.as_deref().is_some_and(begins))
        .count();
    let wrong = found > 0 || around.slip.is_some_and(|slip| begins(&slip.path));
    let open = wrong || key == "body" || around.extent == Extent::Whole(key);
    let id = format!("fold-{key}");
    let is_made = open || around.extent != Extent::First;
    let element = html! {
        details.fold id=(id) open[open] data-wrong=[wrong.then_some("yes")] {
            summary {
                span.name { (title) }
                span.says { (says) }
                @if found > 0 { span.count title="findings here" { (found) } }
            }
            div.inner {
                @if is_made { (inner()) }
                @else { p { a href={ (whole_way(around.id, key)) "#" (id) } { "Show what is in here" } } }
            }
        }
    };
    if is_made { Part::of(&id, element) } else { Part::unmade(&id, element) }
}

fn fields(around: &Around<'_>, head: &str, params: &[Param], values: &Values) -> Markup {
    html! {
        @for param in params {
            @if let Some(value) = values.get(param.key).filter(|_| counts(param, values)) {
                (around.field(&format!("{head}.{}", param.key), param, value))
            }
        }
    }
}

/// Whether a parameter counts as things stand: some say that they do so only with a certain choice
/// of another one.
pub(super) fn counts(param: &Param, values: &Values) -> bool {
    let Some((key, word)) = super::field::only_with(param.help) else { return true };
    match values.get(key) {
        Some(Value::Choice(chosen)) => *chosen == word,
        _ => true,
    }
}

fn name(around: &Around<'_>, design: &Design) -> Part {
    let units = html! {
        label for="units" { "Measures" }
        select id="units" name="value" aria-describedby="about-units" {
            @for (units, says) in [
                (Units::Inch, "inches and eighths; fabric in yards"),
                (Units::Cm, "centimetres; fabric in metres"),
                (Units::Mm, "millimetres; fabric in metres"),
            ] {
                option value=(units_word(units)) selected[units == design.units] { (says) }
            }
        }
        button.set { "Set" }
        div.about id="about-units" {
            p { "Between inches and centimetres the bag is drafted anew, with round sizes there. A measure may always be typed with its own unit, as in 11.4cm." }
        }
    };
    fold(around, "title", "Name and measures", &design.title, || {
        html! {
            (around.field("title", &HEAD[0], &Value::Text(design.title.clone())))
            (around.field("about", &HEAD[1], &Value::Text(design.about.clone())))
            (around.change("units", "field", &units))
        }
    })
}

fn body(around: &Around<'_>, design: &Design) -> Part {
    let title = kind_of("body", &design.body).map_or("", Kind::title);
    let params = Design::params_of("body", design.body.kind).unwrap_or_default();
    fold(around, "body", "Body", title, || {
        html! {
            @if let Some(kind) = kind_of("body", &design.body) { p.help { (super::field::page_help(kind.help())) } }
            (fields(around, "body", params, &design.body.values))
        }
    })
}

fn other_body(around: &Around<'_>, design: &Design) -> Part {
    fold(around, "other-body", "Another body", "chosen from pictures", || {
        around.change("body.kind", "choose", &body_cards(Some(design.body.kind)))
    })
}

fn kind_of(section: &str, chosen: &Chosen) -> Option<&'static dyn Kind> {
    kinds(section).into_iter().find(|kind| kind.name() == chosen.kind)
}

/// The choice of a kind, with what the chosen one is.
pub(super) fn kind(
    around: &Around<'_>,
    section: &str,
    head: &str,
    label: &str,
    chosen: &'static str,
) -> Markup {
    let path = format!("{head}.kind");
    let id = id_of(&path);
    let inner = html! {
        label for=(id) { (label) }
        select id=(id) name="value" aria-describedby={ "about-" (id) } {
            @for kind in kinds(section) {
                option value=(kind.name()) selected[kind.name() == chosen] { (kind.title()) }
            }
        }
        button.set { "Set" }
        div.about id={ "about-" (id) } {
            @if let Some(kind) = kinds(section).into_iter().find(|kind| kind.name() == chosen && !around.brief) {
                p { (super::field::page_help(kind.help())) }
            }
        }
    };
    around.change(&path, if around.brief { "field brief" } else { "field" }, &inner)
}

fn section(around: &Around<'_>, key: &str, title: &str, chosen: &Chosen) -> Part {
    let says = kind_of(key, chosen).map_or("", Kind::title);
    let params = Design::params_of(key, chosen.kind).unwrap_or_default();
    fold(around, key, title, says, || {
        html! {
            (kind(around, key, key, "Kind", chosen.kind))
            (fields(around, key, params, &chosen.values))
        }
    })
}

/// Pockets or extras: as many as she likes, each with its kind and its values.
fn list(around: &Around<'_>, design: &Design, section: &str, title: &str, none: &str) -> Part {
    let empty = Vec::new();
    let all = listed(design, section).unwrap_or(&empty);
    let says = match all.len() {
        0 => "none".to_owned(),
        count => super::shell::counted(count, section),
    };
    let add_path = format!("{section}.add");
    let add_id = id_of(&add_path);
    let inner = || {
        html! {
            @if all.is_empty() { p.help { (none) } }
            @for (index, chosen) in all.iter().enumerate() {
                @let head = format!("{section}[{}]", index + 1);
                @let called = format!("{section} {}", index + 1);
                @let kind_title = kind_of(section, chosen).map_or("", Kind::title);
                @let params = Design::params_of(section, chosen.kind).unwrap_or_default();
                fieldset {
                    legend { (capital(&called)) ": " (kind_title) }
                    (kind(around, section, &head, "Kind", chosen.kind))
                    (fields(around, &head, params, &chosen.values))
                    div.row {
                        @if index > 0 {
                            @let says = if section == "pocket" { "Farther out" } else { "Earlier" };
                            (around.button(&format!("{head}.earlier"), "", says, &format!("{says}: {called}")))
                        }
                        (around.button(&format!("{head}.remove"), "", "Take away", &format!("Take away: {called}")))
                    }
                }
            }
            @if all.len() < LONGEST_LIST {
                @let add = html! {
                    label for=(add_id) { "One more " (section) }
                    select id=(add_id) name="value" {
                        @for kind in kinds(section) { option value=(kind.name()) { (kind.title()) } }
                    }
                    button.add { "Add it" }
                };
                (around.change(&add_path, "field waits", &add))
            }
        }
    };
    fold(around, section, title, &says, inner)
}

fn fabrics(around: &Around<'_>, design: &Design, shelf: &[FabricRow]) -> Part {
    let names: Vec<&str> = design.fabrics.values().map(|values| values.text("name")).collect();
    let inner = || {
        html! {
            @for (role, values) in &design.fabrics {
                @let head = format!("fabric.{}", role.key());
                fieldset {
                    legend { (capital(role.title())) }
                    @if shelf.is_empty() {
                        p.help { "What you own can be kept on the " a href="/fabrics" { "fabric shelf" } ", and taken from there." }
                    } @else {
                        (from_shelf(around, *role, values, shelf))
                    }
                    (fields(around, &head, FABRIC, values))
                    @if role.fallback() != *role {
                        (around.button(&format!("{head}.remove"), "", "No fabric of its own", &format!("No fabric of its own: {}", role.title())))
                    }
                }
            }
            (add_for_part(around, "fabric.add", "A fabric of its own for", |role| !design.fabrics.contains_key(&role)))
        }
    };
    fold(around, "fabric", "Fabrics", &names.join(", "), inner)
}

fn from_shelf(around: &Around<'_>, role: Role, values: &Values, shelf: &[FabricRow]) -> Markup {
    let id = format!("shelf-{}", role.key());
    let name = values.text("name").to_lowercase();
    html! {
        form.field method="post" action=(around.action("shelf")) {
            (hidden("revision", around.revision))
            (hidden("role", role.key()))
            label for=(id) { "From the shelf" }
            select id=(id) name="fabric" {
                option value="" { "not from the shelf" }
                @for row in shelf {
                    option value=(row.id) selected[row.fabric.name.to_lowercase() == name] { (row.fabric.name) }
                }
            }
            button.set { "Set" }
        }
    }
}

fn add_for_part(
    around: &Around<'_>,
    path: &str,
    label: &str,
    is_free: impl Fn(Role) -> bool,
) -> Markup {
    let free: Vec<Role> = Role::ALL.into_iter().filter(|role| is_free(*role)).collect();
    if free.is_empty() {
        return html! {};
    }
    let id = id_of(path);
    let inner = html! {
        label for=(id) { (label) }
        select id=(id) name="value" {
            @for role in free { option value=(role.key()) { (role.title()) } }
        }
        button.add { "Add it" }
    };
    around.change(path, "field waits", &inner)
}

fn interfacings(around: &Around<'_>, design: &Design) -> Part {
    let names: Vec<&str> = design.interfacings.keys().map(|role| role.title()).collect();
    let says = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
    let inner = || {
        html! {
            @if design.interfacings.is_empty() { p.help { "No part has interfacing. Firm fabric needs none; a bag of quilting cotton stands better with it." } }
            @for (role, values) in &design.interfacings {
                @let head = format!("interfacing.{}", role.key());
                fieldset {
                    legend { (capital(role.title())) }
                    (fields(around, &head, INTERFACING, values))
                    (around.button(&format!("{head}.remove"), "", "No interfacing", &format!("No interfacing: {}", role.title())))
                }
            }
            (add_for_part(around, "interfacing.add", "Interfacing for", |role| !design.interfacings.contains_key(&role)))
        }
    };
    fold(around, "interfacing", "Interfacing", &says, inner)
}

fn plain(around: &Around<'_>, key: &str, title: &str, params: &[Param], values: &Values) -> Part {
    fold(around, key, title, "", || fields(around, key, params, values))
}

fn edition(around: &Around<'_>, design: &Design) -> Part {
    let edition = &design.edition;
    let changes = html! {
        label for="edition-changes" { "What has changed" }
        textarea id="edition-changes" name="value" rows="3" aria-describedby="about-changes" {
            "\n" (edition.changes.join("\n"))
        }
        button.set { "Set" }
        div.about id="about-changes" { p { "One line for each change since the last edition; printed in the booklet." } }
    };
    let inner = || {
        html! {
            (around.field("edition.number", &EDITION[0], &Value::Count(edition.number)))
            (around.field("edition.date", &EDITION[1], &Value::Text(edition.date.clone())))
            (around.change("edition.changes", "field", &changes))
        }
    };
    let says = format!("number {}", edition.number);
    fold(around, "edition", "Edition", &says, inner)
}
