//! What to buy, why so much, and what it costs where a price is known.

use maud::{Markup, html};
use measure::{Money, show_bought, show_length};
use packet::Packet;

use super::Page;
use super::shell::{capital, not_yet, of_bag};
use crate::ask::Answer;
use crate::keep::{FabricRow, Trouble};
use crate::room::{Drawn, Room};

/// What the fabrics cost.
pub(super) struct Costs {
    /// For each cut that is bought, where its fabric has a price on the shelf.
    pub(super) each: Vec<Option<Money>>,
    /// All that have one together; none when there is none, or they are in several currencies.
    pub(super) sum: Option<Money>,
    /// The fabrics on the shelf.
    rows: Vec<Option<FabricRow>>,
}

/// What the fabrics of a packet cost, by the last prices on the shelf.
pub(super) fn costs(room: &Room, packet: &Packet) -> Result<Costs, Trouble> {
    let mut costs = Costs { each: Vec::new(), sum: None, rows: Vec::new() };
    let mut mixed = false;
    for cut in packet.cuts.iter().filter(|cut| cut.is_bought()) {
        let row = room.on_shelf(&packet.pattern.material(cut.material).name)?;
        let price = row.as_ref().and_then(|row| row.price);
        let cost = match (&cut.layout, price) {
            (Some(layout), Some(price)) => {
                Some(price.money.for_length(layout.bought, price.unit()))
            }
            _ => None,
        };
        if let Some(cost) = cost {
            match costs.sum.map_or(Some(cost), |sum| sum.plus(cost)) {
                Some(sum) => costs.sum = Some(sum),
                None => mixed = true,
            }
        }
        costs.each.push(cost);
        costs.rows.push(row);
    }
    if mixed {
        costs.sum = None;
    }
    Ok(costs)
}

/// The page.
pub(super) fn page(room: &Room, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let body = match room.best(drawn) {
        None => html! { h1 { (drawn.design.title) } (not_yet(id, "shopping list")) },
        Some(packet) => list(room, drawn, &packet)?,
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "shopping", &body)))
}

fn list(room: &Room, drawn: &Drawn, packet: &Packet) -> Result<Markup, Trouble> {
    let (pattern, system) = (&packet.pattern, packet.system);
    let costs = costs(room, packet)?;
    let bought = packet.cuts.iter().filter(|cut| cut.is_bought());
    Ok(html! {
        h1 { (drawn.design.title) ": shopping" }
        @if packet.has_errors() { p.wrong { "Not ready to cut: see what was found in the design before you buy." } }
        ul.shopping {
            @for ((cut, cost), row) in bought.zip(&costs.each).zip(&costs.rows) {
                @let material = pattern.material(cut.material);
                li {
                    p.what {
                        span.title { (capital(&material.name)) }
                        @if let Some(cloth) = material.cloth() { ", " (packet::show_bolt(cloth.bought_width, system)) " wide" }
                        ": "
                        strong { @match &cut.layout { Some(layout) => (show_bought(layout.bought, system)), None => "does not fit" } }
                        @if let Some(cost) = cost { ", " (cost) }
                    }
                    @if let (Some(_), Some(row)) = (cost, row) {
                        @if let Some(price) = row.price { p.says { "at " (price.money) " a " @if price.per_yard { "yard" } @else { "metre" } ", as of " (price.day_shown()) } }
                    }
                    @if let Some(row) = row { p.says { "On the shelf: " (show_length(row.fabric.length, system)) "." } }
                    @if !material.serves.is_empty() { p.says { "For " (material.serves) "." } }
                    p.says { (capital(&cut.why(pattern, system))) "." }
                    @if let Some(note) = cut.shrinkage_note() { p.says { (capital(note)) "." } }
                    @if let Some(narrow) = cut.narrow(system) { p.says { (capital(&narrow)) "." } }
                }
            }
            @for webbing in &packet.webbing {
                li {
                    p.what { span.title { (capital(&pattern.material(webbing.material).name)) } ": " strong { (show_bought(webbing.bought, system)) } }
                    p.says { (show_length(webbing.used, system)) " are used." }
                }
            }
        }
        @if let Some(sum) = costs.sum { p.sum { "Fabric with a price: " strong { (sum) } } }
        h2 { "Notions and tools" }
        ul.ticks { @for thing in paper::notions_and_tools(packet) { li { (capital(&thing)) } } }
    })
}
