//! What to buy, why so much, and what it costs where a price is known.

use maud::{Markup, html};
use measure::{Money, show_bought, show_length};
use packet::Packet;
use packet::earns::Earns;

use super::Page;
use super::prices::price_shown;
use super::shell::{capital, counted, not_yet, of_bag};
use crate::ask::Answer;
use crate::keep::{FabricRow, Trouble};
use crate::reckoned::Reckoned;
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
        let price = row.as_ref().and_then(|row| row.price.as_ref());
        let unit = price.and_then(|price| Some((price.money, price.per.length()?)));
        let cost = match (&cut.layout, unit) {
            (Some(layout), Some((money, unit))) => Some(money.for_length(layout.bought, unit)),
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
    let reckoned = room.reckoned(&room.keep.workshop()?, Some(drawn))?;
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
                        @if let Some(price) = &row.price { p.says { "at " (price_shown(price)) } }
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
        h2 { "Notions and tools" }
        ul.ticks { @for thing in paper::notions_and_tools(packet) { li { (capital(&thing)) } } }
        h2 { "What it comes to" }
        @match reckoned.materials(packet) {
            None => p.help { "Nothing has a price yet. " a href="/prices" { "Note what things cost" } ", and the sum stands here." },
            Some(earns) => {
                (materials(&reckoned, &earns))
                p.sum { "All with a price: " strong { (earns.one.materials) } }
            }
        }
    })
}

/// The end of an address that asks for the form with a thing in it.
fn price_query(thing: &str) -> String {
    form_urlencoded::Serializer::new(String::new()).append_pair("thing", thing).finish()
}

/// What each material comes to, with the day of its price; what has none is named.
pub(super) fn materials(reckoned: &Reckoned, earns: &Earns) -> Markup {
    html! {
        @if !earns.lines.is_empty() {
            table {
                caption { "Materials for " (counted(usize::try_from(earns.bags).unwrap_or(1), "bag")) }
                thead { tr { th scope="col" { "Material" } th.number scope="col" { "Costs" } th scope="col" { "By the price" } } }
                tbody { @for ((what, money), by) in earns.lines.iter().zip(&earns.by) {
                    tr {
                        th scope="row" { (capital(what)) }
                        td.number { (money) }
                        td { @if let Some(price) = reckoned.price_of(by) { (price) } }
                    }
                } }
            }
        }
        @if !earns.unpriced.is_empty() {
            p.caution {
                "Without a price, and not counted: "
                @for (at, thing) in earns.unpriced.iter().enumerate() {
                    @if at > 0 { "; " }
                    a href={ "/prices?" (price_query(thing)) "#note" } { (thing) }
                }
                ". The bag costs more by these."
            }
        }
        @if !reckoned.other_money.is_empty() {
            p.caution { "Priced in another currency, and not counted: " (reckoned.other_money.join("; ")) "." }
        }
    }
}
