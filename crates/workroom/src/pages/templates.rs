//! The templates before they are printed: how many sheets, how they are joined, and each of them.

use drawing::svg;
use drawing::templates::{Stock, TemplateOptions, Templates};
use maud::{Markup, PreEscaped, html};
use measure::System;
use packet::Packet;

use super::Page;
use super::shell::{capital, counted, not_yet, of_bag, way};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// The paper that is asked for, or the usual one.
pub(super) fn options(ask: &Ask, system: System) -> (String, TemplateOptions) {
    let usual = match system {
        System::Inch => "letter",
        System::Metric => "a4",
    };
    let word = ask.query.text("paper");
    let (word, stock) = match (Stock::find(word), Stock::find(usual)) {
        (Some(stock), _) => (word, stock),
        (None, Some(stock)) => (usual, stock),
        (None, None) => (usual, Stock::Sheets(&measure::SHEETS[0])),
    };
    let rectangles = ask.query.text("rectangles") == "yes";
    (word.to_owned(), TemplateOptions { system, stock, rectangles })
}

fn drawn_templates(ask: &Ask, packet: &Packet) -> (String, TemplateOptions, Templates) {
    let (word, options) = options(ask, packet.system);
    let templates = drawing::templates::draw(&packet.pattern, options);
    (word, options, templates)
}

/// The page.
pub(super) fn page(_: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let body = match &drawn.packet {
        None => html! { h1 { (drawn.design.title) } (not_yet(id, "template")) },
        Some(packet) => preview(ask, drawn, packet),
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "templates", &body)))
}

fn preview(ask: &Ask, drawn: &Drawn, packet: &Packet) -> Markup {
    let id = drawn.opened.id;
    let (word, options, templates) = drawn_templates(ask, packet);
    let rectangles = if options.rectangles { "yes" } else { "no" };
    let query = format!("paper={word}&rectangles={rectangles}");
    let sheets = templates.leaves.len();
    html! {
        h1 { (drawn.design.title) ": templates" }
        p.help { "Pieces true to size, to cut out of paper and lay on the fabric. What is a plain rectangle is quicker cut by measure, and only listed unless you ask for it." }
        form.row method="get" action=(way(id, "templates")) {
            label for="paper" { "Print on" }
            select id="paper" name="paper" {
                @for (known, stock) in Stock::words() { option value=(known) selected[known == word] { (stock.title()) } }
            }
            label { input type="checkbox" name="rectangles" value="yes" checked[options.rectangles]; " rectangles, too" }
            button { "Show" }
            a.button.main href={ (way(id, "take")) "/templates.pdf?" (query) } { "Save as PDF" }
        }
        p { (capital(&counted(sheets, "sheet"))) ", and one with a square to check your printer by." }
        @if !templates.by_measure.is_empty() {
            p { "Cut by measure: "
                @for (index, piece) in templates.by_measure.iter().enumerate() {
                    @if index > 0 { ", " }
                    (packet.pattern.piece(*piece).name)
                }
                "."
            }
        }
        @if !templates.maps.is_empty() {
            h2 { "How sheets are joined" }
            ul.thumbs {
                @for (index, map) in templates.maps.iter().enumerate() {
                    @let (first, last) = map.numbers();
                    li {
                        (PreEscaped(svg::element(&map.draw(&format!("map-{}", index + 1), (70.0, 62.0)))))
                        span.title { (capital(&map.title)) }
                        span.says { "sheets " (first) " to " (last) }
                    }
                }
            }
        }
        @if sheets > 0 {
            h2 { "Each sheet" }
            ul.thumbs {
                @for leaf in templates.leaves.iter().take(200) {
                    li {
                        a href={ (way(id, "templates")) "/" (leaf.number) "?" (query) } {
                            img src={ (way(id, "templates")) "/" (leaf.number) "?" (query) "&r=" (drawn.opened.revision) } alt={ "Sheet " (leaf.number) ": " (leaf.scene.title) } width="150" height="200" loading="lazy";
                            span.title { "Sheet " (leaf.number) }
                        }
                    }
                }
            }
        }
    }
}

/// One sheet as a picture.
pub(super) fn sheet(ask: &Ask, drawn: &Drawn, number: &str) -> Page {
    let packet = drawn.packet.as_ref().ok_or(Trouble::NotThere("sheet"))?;
    let (_, _, templates) = drawn_templates(ask, packet);
    let leaf = templates.leaves.iter().find(|leaf| leaf.number.to_string() == number);
    let leaf = leaf.ok_or(Trouble::NotThere("sheet"))?;
    Ok(Answer::of("image/svg+xml", svg::file(&leaf.scene)))
}
