//! The layouts: how the pieces lie on the fabric, what that proves, and better ones while she looks.

use drawing::{Scene, svg};
use layout::Proof;
use maud::{Markup, PreEscaped, html};
use measure::{show_bought, show_length, show_size};
use packet::{Cut, Packet};

use super::Page;
use super::fabrics::on_the_shelf;
use super::parts::{self, Part};
use super::shell::{capital, hidden, not_yet, of_bag, way};
use crate::ask::{Answer, Ask};
use crate::improve::is_improved;
use crate::keep::{CutOff, Trouble};
use crate::room::{Drawn, Room};

/// The layouts small, beside the form.
pub(super) fn small(drawn: &Drawn, packet: &Packet) -> Markup {
    html! {
        ul.thumbs.wide {
            @for (cut, scene) in packet.cuts.iter().zip(paper::layout_scenes(packet)) {
                li {
                    @if let Some((_, scene)) = scene {
                        a href=(way(drawn.opened.id, "cutting")) {
                            (PreEscaped(outlines(&scene)))
                            span.title { (capital(&cut.title(&packet.pattern))) }
                        }
                        @if let Some(layout) = &cut.layout {
                            span.says { (show_bought(layout.bought, packet.system)) ", " (layout.proof) }
                        }
                    } @else {
                        span.title { (capital(&cut.title(&packet.pattern))) }
                        span.wrong { "does not fit" }
                    }
                }
            }
        }
    }
}

/// A layout with plain grounds: small pictures want few lines.
fn outlines(scene: &Scene) -> String {
    let mut scene = scene.clone();
    scene.id = format!("small-{}", scene.id);
    for layer in &mut scene.layers {
        layer.items.retain(|item| !matches!(item, drawing::Item::Text(_)));
        for item in &mut layer.items {
            if let drawing::Item::Shape { fill, .. } = item {
                *fill = drawing::Fill::None;
            }
        }
    }
    svg::element(&scene)
}

/// The page; for its own script, the part that may have become better.
pub(super) fn page(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let Some(packet) = room.best(drawn) else {
        let body = html! { h1 { (drawn.design.title) } (not_yet(id, "layout")) };
        return Ok(Answer::page(of_bag(id, &drawn.design.title, "cutting", &body)));
    };
    let all = [
        Part::of("search", html! { div id="search" { (search(room, drawn)) } }),
        Part::of("layouts", html! { div id="layouts" { (layouts(&packet)) } }),
    ];
    if let Some(has) = &ask.parts {
        return Ok(parts::told(200, None, &all, has));
    }
    let body = html! {
        h1 { (drawn.design.title) ": cutting" }
        p.help { "Pieces on the fabric so that the least is bought. How it is cut (in any order, or strips first), the width of the fabric and whether pieces may be turned are set in the design." }
        @for (head, text) in paper::cautions_before_cutting(&packet) { p.caution { strong { (head) } " " (text) } }
        @for part in &all { (part) }
        (from_shelf(room, drawn, &packet)?)
        (widths(&packet))
        h2 { "The largest from what there is" }
        p { "A piece lies there, and this bag shall be as large as it allows?" }
        p { a.button href=(way(id, "largest")) { "Find the largest" } }
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "cutting", &body)))
}

/// How far the search is, and the buttons that begin and stop it.
fn search(room: &Room, drawn: &Drawn) -> Markup {
    let (id, revision) = (drawn.opened.id, drawn.opened.revision);
    let progress = room.improver.progress((id, revision));
    let going = progress.as_ref().is_some_and(|progress| progress.is_going);
    let found = progress.as_ref().map_or(0, |p| p.better.iter().filter(|b| b.is_some()).count());
    html! {
        div.searching data-going=[going.then_some("yes")] {
            @match &progress {
                Some(progress) if going => {
                    form.act method="post" action={ (way(id, "cutting")) "/stop" } { button id="stop" { "Stop looking" } }
                    progress max="100" value=(progress.share()) aria-label="How far the search is" {}
                    p role="status" { "Looking for layouts that take less" @if found > 0 { "; found better ones for " (found) } "." }
                }
                Some(progress) => {
                    p role="status" {
                        @if progress.is_proven { "Every layout is proven: nothing shorter can be laid." }
                        @else if found > 0 { "The search has ended; better layouts were found for " (found) " of " (progress.better.len()) "." }
                        @else { "The search has ended; it found nothing better." }
                    }
                }
                None => {
                    form.act method="post" action={ (way(id, "cutting")) "/improve" } { button id="improve" { "Look for better layouts" } }
                    p { "The first layouts are there at once. A longer search often saves fabric, and proves how good they are." }
                }
            }
        }
    }
}

fn layouts(packet: &Packet) -> Markup {
    html! {
        @for (cut, scene) in packet.cuts.iter().zip(paper::layout_scenes(packet)) {
            article.layout {
                h2 { (capital(&cut.title(&packet.pattern))) }
                @match (scene, &cut.layout) {
                    (Some((scale, scene)), Some(layout)) => {
                        p { (capital(&proof(cut, layout.proof))) " " (capital(&cut.why(&packet.pattern, packet.system))) "." }
                        @if let Some(narrow) = cut.narrow(packet.system) { p.says { (capital(&narrow)) "." } }
                        @if let Some(note) = cut.shrinkage_note() { p.says { (capital(note)) "." } }
                        div.paper { (PreEscaped(svg::element(&scene))) }
                        p.says { (capital(&scale.say())) "." }
                        @let cuts = layout.cuts_in_words(&cut.sheet.problem, packet.system);
                        @if !cuts.is_empty() {
                            details id={ "cuts-" (scene.id) } {
                                summary { "The cuts, in order" }
                                ul.plain { @for step in &cuts { li { (step) } } }
                            }
                        }
                    }
                    _ => p.wrong { (capital(&cut.why(&packet.pattern, packet.system))) "." }
                }
            }
        }
    }
}

fn proof(cut: &Cut, proof: Proof) -> String {
    match proof {
        _ if !is_improved(cut) => "this block is fused before it is cut.".to_owned(),
        Proof::Shortest => "proven: no layout of these pieces is shorter.".to_owned(),
        Proof::NoShorterPurchase => "proven: no shorter purchase is possible.".to_owned(),
        within @ Proof::Within(_) => {
            format!("proven to be {within} of the shortest possible.")
        }
    }
}

/// Yardage at the usual widths.
fn widths(packet: &Packet) -> Markup {
    let show = |length: Option<measure::Length>| {
        length.map_or_else(|| "does not fit".to_owned(), |l| show_bought(l, packet.system))
    };
    html! {
        h2 { "At other widths" }
        div.scroll role="region" tabindex="0" aria-label="What to buy at other widths" {
            table {
                caption { "What to buy, by the width of the fabric" }
                thead { tr {
                    th scope="col" { "Width" }
                    th scope="col" { "All in one fabric" }
                    @for id in &packet.widths.fabrics { th scope="col" { (capital(&packet.pattern.material(*id).name)) } }
                } }
                tbody { @for row in &packet.widths.rows {
                    tr {
                        th scope="row" { (row.label) }
                        td { (show(row.one_fabric)) }
                        @for each in &row.each { td { (show(*each)) } }
                    }
                } }
            }
        }
    }
}

/// Begins to look for better layouts.
pub(super) fn improve(room: &Room, drawn: &Drawn) -> Page {
    if let Some(packet) = &drawn.packet {
        room.improver.begin((drawn.opened.id, drawn.opened.revision), packet);
    }
    Ok(Answer::see(way(drawn.opened.id, "cutting")))
}

/// Stops looking.
pub(super) fn stop(room: &Room, drawn: &Drawn) -> Page {
    room.improver.stop((drawn.opened.id, drawn.opened.revision));
    Ok(Answer::see(way(drawn.opened.id, "cutting")))
}

/// What of the bag's fabrics lies on the shelf, and whether it suffices.
fn from_shelf(room: &Room, drawn: &Drawn, packet: &Packet) -> Result<Markup, Trouble> {
    let takes = takes(room, packet)?;
    let system = packet.system;
    if takes.is_empty() {
        return Ok(html! {
            h2 { "Cut it from the shelf" }
            p.help { "None of these fabrics is on the " a href="/fabrics" { "fabric shelf" } ". Put one there, choose it in the design, and its length is taken off when you cut." }
        });
    }
    let enough = takes.iter().all(Take::is_enough);
    Ok(html! {
        h2 { "Cut it from the shelf" }
        table {
            thead { tr { th scope="col" { "Material" } th scope="col" { "Takes" } th scope="col" { "On the shelf" } th scope="col" { "Then left" } } }
            tbody { @for take in &takes {
                tr {
                    th scope="row" { a href={ "/fabrics/" (take.id) } { (take.name) } }
                    td { (show_length(take.length, system)) }
                    td { (on_the_shelf(take.left, system)) }
                    td {
                        @if !take.is_enough() { span.wrong { (take.lacks(system)) } }
                        @else {
                            (on_the_shelf(take.left - take.length, system))
                            @if let Some((width, length)) = take.remnant { ", and a remnant of " (show_size(width, length, system)) }
                        }
                    }
                }
            } }
        }
        @if enough {
            form method="post" action={ (way(drawn.opened.id, "cutting")) "/cut" } {
                (hidden("revision", drawn.opened.revision))
                button { "I have cut it: take it off the shelf" }
            }
        } @else {
            p.help { "There is too little of one of them. Look for better layouts, turn or join pieces, or buy some more." }
        }
    })
}

/// A length that is taken off the shelf.
struct Take {
    id: i64,
    name: String,
    length: measure::Length,
    left: measure::Length,
    remnant: Option<(measure::Length, measure::Length)>,
    too_narrow: bool,
}

impl Take {
    fn is_enough(&self) -> bool {
        self.left >= self.length && !self.too_narrow
    }

    fn lacks(&self, system: measure::System) -> String {
        if self.too_narrow {
            "narrower than the design says".to_owned()
        } else {
            format!("{} too little", show_length(self.length - self.left, system))
        }
    }
}

/// A remnant is kept from this size on, both ways: a hand (common practice, no source).
const WORTH_KEEPING: measure::Length = measure::Length::mm(100);

fn takes(room: &Room, packet: &Packet) -> Result<Vec<Take>, Trouble> {
    let mut takes = Vec::new();
    let ruler = measure::Ruler::drafting(packet.system);
    for cut in packet.cuts.iter().filter(|cut| cut.is_bought()) {
        let material = packet.pattern.material(cut.material);
        let (Some(layout), Some(row)) = (&cut.layout, room.on_shelf(&material.name)?) else {
            continue;
        };
        let bought = material.cloth().map_or(measure::Length::ZERO, |cloth| cloth.bought_width);
        let length = ruler.round(layout.needed, measure::Rounding::Up);
        // The largest rectangle beside the pieces; what lies behind them stays on the bolt.
        let remnant =
            layout.remnant.map(|rest| (rest.width, rest.length.min(layout.length - rest.y)));
        let round = |length| ruler.round(length, measure::Rounding::Down);
        let remnant = remnant
            .map(|(width, length)| (round(width), round(length)))
            .filter(|(width, length)| *width >= WORTH_KEEPING && *length >= WORTH_KEEPING);
        takes.push(Take {
            id: row.id,
            name: row.fabric.name.clone(),
            length,
            left: row.fabric.length,
            remnant,
            too_narrow: row.fabric.width < bought,
        });
    }
    Ok(takes)
}

/// Takes the lengths off the shelf.
pub(super) fn cut(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    if ask.form.number("revision") != Some(drawn.opened.revision) {
        return Err(Trouble::Changed.into());
    }
    let packet = room.best(drawn).ok_or(Trouble::NotThere("layout"))?;
    if packet.has_errors() {
        let why = "the bag is not ready to cut: see what was found in the design";
        return Err(Trouble::NotTaken(why.to_owned()).into());
    }
    let takes = takes(room, &packet)?;
    if takes.is_empty() || !takes.iter().all(Take::is_enough) {
        let why = "there is too little on the shelf, so nothing was taken";
        return Err(Trouble::NotTaken(why.to_owned()).into());
    }
    let lengths: Vec<_> = takes
        .iter()
        .map(|take| CutOff { fabric: take.id, length: take.length, remnant: take.remnant })
        .collect();
    room.keep.cut_off(drawn.opened.id, &drawn.design.title, &lengths)?;
    Ok(Answer::see("/fabrics?cut=yes"))
}
