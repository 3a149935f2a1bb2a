//! What to buy, why so much, and what it costs where a price is known.

use maud::{Markup, html};
use measure::{Money, show_bought, show_length};
use packet::Packet;
use packet::earns::{Earns, Priced};

use super::Page;
use super::shell::{capital, counted, not_yet, of_bag, unbroken};
use crate::ask::Answer;
use crate::keep::Trouble;
use crate::reckoned::Reckoned;
use crate::room::{Drawn, Room};

/// What one thing costs, and the words for the price that it goes by.
pub(super) type Cost = (Money, String);

/// What is bought for one bag costs, by the newest prices.
pub(super) struct Costs {
    /// For each cut that is bought.
    pub(super) cuts: Vec<Option<Cost>>,
    /// For each webbing.
    pub(super) webbing: Vec<Option<Cost>>,
    /// Every line, and what has no price; none when nothing has one.
    pub(super) earns: Option<Earns>,
}

impl Costs {
    /// What the things of a packet cost.
    pub(super) fn of(reckoned: &Reckoned, packet: &Packet) -> Self {
        let earns = reckoned.materials(packet);
        let mut lines: Vec<Option<(&str, Money, &Priced)>> = Vec::new();
        if let Some(earns) = &earns {
            let both = earns.lines.iter().zip(&earns.by);
            lines.extend(both.map(|((what, money), by)| Some((what.as_str(), *money, by))));
        }
        // Two cloths may have one name: each takes a line of its own.
        let mut cost = |material| {
            let name = packet.pattern.material(material).name.as_str();
            let mut named = lines.iter_mut().filter(|line| line.is_some_and(|line| line.0 == name));
            let (_, money, by) = named.next()?.take()?;
            Some((money, reckoned.price_of(by).unwrap_or_default().to_owned()))
        };
        let bought = packet.cuts.iter().filter(|cut| cut.is_bought());
        let cuts = bought.map(|cut| cost(cut.material)).collect();
        let webbing = packet.webbing.iter().map(|webbing| cost(webbing.material)).collect();
        Self { cuts, webbing, earns }
    }
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
    let reckoned = room.reckoned(&room.keep.workshop()?, &drawn.packets())?;
    let costs = Costs::of(&reckoned, packet);
    let mut bought = Vec::new();
    for (cut, cost) in packet.cuts.iter().filter(|cut| cut.is_bought()).zip(&costs.cuts) {
        bought.push((cut, cost, room.on_shelf(&pattern.material(cut.material).name)?));
    }
    let what = |material, buy: &str, cost: &Option<Cost>| {
        let asked_for = packet::show_asked_for(pattern.material(material), system);
        html! {
            p.what { span.title { (capital(&asked_for)) } ": " strong { (unbroken(buy)) } @if let Some((money, _)) = cost { ", " (money) } }
            @if let Some((_, price)) = cost { p.says { "at " (price) } }
        }
    };
    Ok(html! {
        h1 { (drawn.design.title) ": shopping" }
        @if packet.has_errors() { p.wrong { "Not ready to cut: see what was found in the design before you buy." } }
        ul.shopping {
            @for (cut, cost, row) in &bought {
                @let material = pattern.material(cut.material);
                li {
                    @let buy = cut.layout.as_ref().map_or("does not fit".to_owned(), |layout| show_bought(layout.bought, system));
                    (what(cut.material, &buy, cost))
                    @if let Some(row) = row { p.says { "On the shelf: " (show_length(row.fabric.length, system)) "." } }
                    @if !material.serves.is_empty() { p.says { "For " (material.serves) "." } }
                    p.says { (capital(&cut.why(pattern, system))) "." }
                    @if let Some(note) = cut.shrinkage_note() { p.says { (capital(note)) "." } }
                    @if let Some(narrow) = cut.narrow(system) { p.says { (capital(&narrow)) "." } }
                }
            }
            @for (webbing, cost) in packet.webbing.iter().zip(&costs.webbing) {
                li {
                    (what(webbing.material, &show_bought(webbing.bought, system), cost))
                    p.says { (show_length(webbing.used, system)) " are used." }
                }
            }
        }
        h2 { "Notions and tools" }
        ul.ticks { @for thing in paper::notions_and_tools(packet) { li { (capital(&thing)) } } }
        h2 { "What it comes to" }
        @match &costs.earns {
            None => p.help { "Nothing has a price yet. " a href="/prices" { "Note what things cost" } ", and the sum stands here." },
            Some(earns) => {
                (materials(&reckoned, earns))
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
