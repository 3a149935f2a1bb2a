//! The list of bags, a new one, and the welcome.

use bag::{Design, bodies};
use drawing::svg;
use maud::{Markup, html};
use measure::Units;

use super::Page;
use super::seen::blank;
use super::shell::{Here, shell, way};
use crate::ask::{Answer, Ask};
use crate::change::units_word;
use crate::keep::{BagRow, Trouble};
use crate::room::Room;

/// The bag that lies on the table at the first visit.
const EXAMPLE: &str = include_str!("../../../../examples/market-day-bag.toml");

/// The first page: at the first visit the example, later the list.
pub(super) fn first(room: &Room) -> Page {
    if room.keep.setting("welcomed")?.is_some() {
        return Ok(Answer::see("/bags"));
    }
    let known = room.keep.bags(false)?;
    if let Some(bag) = known.first() {
        return Ok(Answer::see(way(bag.id, "")));
    }
    let design = store::read_design("the example", EXAMPLE)
        .map_err(|_| Trouble::Broken("the example cannot be read".to_owned()))?;
    let added = room.keep.add(&design.title, &store::write_design(&design), "the example")?;
    Ok(Answer::see(way(added.id, "")))
}

/// The welcome was read.
pub(super) fn welcomed(room: &Room, ask: &Ask) -> Page {
    room.keep.set("welcomed", "yes")?;
    let to = ask.form.text("to");
    Ok(Answer::see(if is_own(to) { to } else { "/bags" }))
}

/// Whether a place is on this server.
fn is_own(to: &str) -> bool {
    to.starts_with('/') && !to.starts_with("//") && !to.contains(['\\', '\r', '\n'])
}

/// All bags.
pub(super) fn bags(room: &Room, ask: &Ask) -> Page {
    let away = ask.query.text("show") == "put-away";
    let bags = room.keep.bags(away)?;
    let others = room.keep.bags(!away)?.len();
    let body = html! {
        h1 { @if away { "Put away" } @else { "Bags" } }
        @if !away {
            div.row {
                a.button.main href="/new" { "A new bag" }
                @if !bags.is_empty() { a.button href="/kit" { "A kit for the class" } }
                @if bags.len() > 1 { a.button href="/compare" { "Put two side by side" } }
            }
        }
        @if bags.is_empty() {
            div.empty {
                @if away { p { "Nothing is put away." } }
                @else { p { "There is no bag here yet. Begin a new one: choose its body from pictures, and change whatever you like." } }
            }
        }
        ul.cards { @for bag in &bags { (card(bag, away)) } }
        @if away || others > 0 {
            p { @if away { a href="/bags" { "Back to the bags" } } @else { a href="/bags?show=put-away" { (others) " put away" } } }
        }
        @if !away { (import_form()) }
    };
    Ok(Answer::page(shell("Bags", Here::Bags, &body)))
}

fn import_form() -> Markup {
    html! {
        section.aside {
            h2 { "A design from a file" }
            form.row method="post" action="/import" enctype="multipart/form-data" {
                label for="file" { "Design file (TOML)" }
                input type="file" id="file" name="file" accept=".toml" required;
                button { "Take it in" }
            }
        }
    }
}

fn card(bag: &BagRow, away: bool) -> Markup {
    html! {
        li.card {
            a.cover href=(way(bag.id, "")) {
                img src={ (way(bag.id, "cover.svg")) "?" (bag.revision) } alt="" width="240" height="200" loading="lazy";
                span.title { (bag.title) }
            }
            p.when { "changed " (bag.changed) @if bag.is_shared { ", shared with the class" } }
            @if away {
                div.row {
                    form.act method="post" action=(way(bag.id, "take-out")) { button { "Take out again" } }
                    form.act method="post" action=(way(bag.id, "throw-away")) { button.grave aria-label={ "Throw away for good: " (bag.title) } { "Throw away for good" } }
                }
            }
        }
    }
}

/// The bodies as pictures to choose from.
pub(super) fn body_cards(chosen: Option<&str>) -> Markup {
    html! {
        div.bodies role="group" aria-label="Bodies" {
            @for body in bodies::ALL {
                button.body name="value" value=(body.name()) aria-pressed=[chosen.map(|name| (name == body.name()).to_string())] {
                    img src={ "/body/" (body.name()) "?" (env!("CARGO_PKG_VERSION")) } alt="" width="160" height="130" loading="lazy";
                    span.title { (body.title()) }
                    span.help { (super::field::page_help(body.help())) }
                }
            }
        }
    }
}

/// Where a new bag begins.
pub(super) fn new_page() -> Page {
    let body = html! {
        h1 { "A new bag" }
        form method="post" action="/new" {
            fieldset.row {
                legend { "Measures in" }
                @for units in Units::ALL {
                    label { input type="radio" name="units" value=(units_word(units)) checked[units == Units::Inch]; " " (units_word(units)) }
                }
            }
            p.help { "Choose a body. Its size and everything on it can be changed afterwards, and the body, too." }
            (body_cards(None))
        }
    };
    Ok(Answer::page(shell("A new bag", Here::Bags, &body)))
}

/// Makes a new bag.
pub(super) fn make_new(room: &Room, ask: &Ask) -> Page {
    let body = bodies::find(ask.form.text("value")).ok_or(Trouble::NotThere("body"))?;
    let units = Units::ALL.into_iter().find(|units| units_word(*units) == ask.form.text("units"));
    let design = Design::of(body, units.unwrap_or(Units::Inch));
    let added = room.keep.add(&design.title, &store::write_design(&design), "the new bag")?;
    room.keep.set("welcomed", "yes")?;
    Ok(Answer::see(way(added.id, "")))
}

/// Takes a design file in; of a family every size and option becomes a bag of its own.
pub(super) fn import(room: &Room, ask: &Ask) -> Page {
    let bytes = ask.files.get("file").map(Vec::as_slice).unwrap_or_default();
    let text = std::str::from_utf8(bytes);
    let read =
        text.as_ref().map_err(|_| Vec::new()).and_then(|text| store::read_family("the file", text));
    let members = match read {
        Ok(members) => members,
        Err(problems) => {
            let body = html! {
                h1 { "The file is no design that can be read" }
                @if problems.is_empty() { p.fault { "It is not a text." } }
                ul.problems {
                    @for problem in &problems {
                        li { "Line " (problem.line) ", column " (problem.column) ": " (problem.message) @if !problem.hint.is_empty() { "; " (problem.hint) } "." }
                    }
                }
                p { a.button href="/bags" { "To the bags" } }
            };
            return Ok(Answer::fault(422, shell("Not read", Here::Bags, &body)));
        }
    };
    // A file whose sizes are written in sections of their own stays one bag.
    if let ([first, _, ..], Ok(text)) = (&members[..], text) {
        let whole = store::write_family(&first.design, &store::family_of(text));
        if store::read_family("the file", &whole).is_ok_and(|again| again == members) {
            let added = room.keep.add(&first.design.title, &whole, "the file as it came")?;
            room.keep.set("welcomed", "yes")?;
            return Ok(Answer::see(way(added.id, "sizes")));
        }
    }
    let mut last = None;
    // The design as it stands comes first in a family, and is added last: it is opened.
    for member in members.iter().rev() {
        let mut design = member.design.clone();
        for word in [&member.size, &member.option].into_iter().flatten() {
            design.title = format!("{}, {word}", design.title).chars().take(200).collect();
        }
        let text = store::write_design(&design);
        last = Some(room.keep.add(&design.title, &text, "the file as it came")?);
    }
    room.keep.set("welcomed", "yes")?;
    Ok(Answer::see(match (last, members.len()) {
        (Some(added), 1) => way(added.id, ""),
        _ => "/bags".to_owned(),
    }))
}

/// A picture of a body with everything at its default.
pub(super) fn body_picture(kind: &str) -> Page {
    let body = bodies::find(kind).ok_or(Trouble::NotThere("body"))?;
    let design = Design::of(body, Units::Inch);
    let pattern = bag::draft(&design).pattern;
    let picture = pattern.map(|pattern| {
        let options = drawing::finished::FinishedOptions::new(design.system(), (70.0, 56.0));
        svg::file(&drawing::finished::draw(&pattern, options))
    });
    let answer = Answer::of("image/svg+xml", picture.unwrap_or_else(blank));
    Ok(Answer { lasting: true, ..answer })
}

#[cfg(test)]
mod tests {
    use super::is_own;

    #[test]
    fn the_welcome_leads_nowhere_else() {
        assert!(is_own("/bag/3"));
        for to in ["", "//elsewhere", "https://elsewhere", "/\\elsewhere", "/a\r\nx: y"] {
            assert!(!is_own(to), "{to}");
        }
    }
}
