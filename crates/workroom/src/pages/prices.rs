//! The price list: fabrics and notions, each price with its day, shop and unit.

use std::collections::BTreeMap;

use maud::{Markup, html};
use measure::Money;

use super::Page;
use super::cells::{Cells, Slips};
use super::shell::{Here, capital, shell};
use crate::ask::{Answer, Ask};
use crate::keep::{Day, Per, Price, PriceRow, Trouble, read_day};
use crate::room::Room;

/// The setting that holds after how many months a price is old.
const OLD_AFTER: &str = "prices-old-after";
/// Months, if she has set nothing.
const MONTHS: u32 = 12;

/// After how many months a price counts as old.
pub(crate) fn old_after(room: &Room) -> Result<u32, Trouble> {
    let said = room.keep.setting(OLD_AFTER)?;
    Ok(said.and_then(|months| months.parse().ok()).unwrap_or(MONTHS))
}

/// "12.50 EUR a metre at the market, as of 2026-11-25".
pub(crate) fn price_shown(price: &Price) -> String {
    let at = if price.shop.is_empty() { String::new() } else { format!(" at {}", price.shop) };
    format!("{} {}{at}, as of {}", price.money, price.per.title(), price.day_shown())
}

/// The list.
pub(super) fn list(room: &Room, ask: &Ask) -> Page {
    page(room, ask.query.text("thing"), None, &Slips::new())
}

fn page(room: &Room, thing: &str, ask: Option<&Ask>, slips: &Slips) -> Page {
    let rows = room.keep.prices()?;
    let (months, today) = (old_after(room)?, room.keep.today()?);
    let now = read_day(&today).unwrap_or((9_999, 12, 31));
    let mut things: BTreeMap<String, Vec<&PriceRow>> = BTreeMap::new();
    for row in &rows {
        things.entry(row.thing.trim().to_lowercase()).or_default().push(row);
    }
    let body = html! {
        h1 { "Prices" }
        p.help { "What things cost in your shops: fabric, interfacing and webbing by the length, thread by the spool, zips, hardware and needles by the piece. The newest price counts; older ones stay here." }
        @if things.is_empty() { div.empty { p { "No price is noted yet. With prices, the shopping list of every bag says what it comes to, and “Time and price” what to sell it for." } } }
        @else {
            div.scroll role="region" tabindex="0" aria-label="All prices" {
                table.prices {
                    thead { tr { th scope="col" { "Thing" } th.number scope="col" { "Price" } th scope="col" { "Shop" } th scope="col" { "Day" } th scope="col" { span.unseen { "Change" } } } }
                    @for rows in things.values() { tbody { (of_thing(rows, months, now)) } }
                }
            }
        }
        (form(room, thing, ask, slips, &today)?)
        section.aside {
            h2 { "Old prices" }
            form.row method="post" action="/prices/old" {
                label for="months" { "Mark prices as old after" }
                input type="number" id="months" name="months" min="1" max="120" value=(months) required;
                span { "months" }
                button { "Set" }
            }
        }
    };
    let status = if slips.is_empty() { 200 } else { 422 };
    Ok(Answer::fault(status, shell("Prices", Here::Prices, &body)))
}

fn of_thing(rows: &[&PriceRow], months: u32, now: Day) -> Markup {
    let newest = rows.iter().position(|row| !row.is_struck);
    html! {
        @for (at, row) in rows.iter().enumerate() {
            @let counts = newest == Some(at);
            @let (word, says) = if row.is_struck { ("put-back", "Put back") } else { ("strike", "Strike out") };
            tr.older[!counts] {
                th scope="row" { @if at == 0 { (capital(&row.thing)) } @else { span.unseen { (row.thing) } } }
                td.number { @if row.is_struck { s { (row.price.money) } } @else { (row.price.money) } " " (row.price.per.title()) }
                td { (row.price.shop) }
                td.day {
                    (row.price.day_shown())
                    @if row.is_struck { " " span.says { "struck out" } }
                    @else if !counts { " " span.says { "earlier" } }
                    @else if row.price.is_older(months, now) { " " strong.care { "old: ask again" } }
                }
                td { form.act method="post" action={ "/prices/" (row.id) "/" (word) } { button aria-label={ (says) ": " (row.thing) ", " (row.price.day_shown()) } { (says) } } }
            }
        }
    }
}

/// Names that may be meant: the fabrics on the shelf, and what the bag that was changed last needs.
fn known(room: &Room) -> Result<Vec<String>, Trouble> {
    let mut names: Vec<String> =
        room.keep.fabrics()?.into_iter().map(|row| row.fabric.name).collect();
    names.push("thread".to_owned());
    for bag in room.keep.bags(false)?.iter().take(4) {
        let Ok(drawn) = room.bag(bag.id) else { continue };
        if let Some(packet) = &drawn.packet {
            names.extend(packet.pattern.materials.iter().map(|material| material.name.clone()));
            names.extend(packet.pattern.notions.iter().map(|it| it.spec(packet.system)));
        }
    }
    names.sort();
    names.dedup();
    Ok(names)
}

fn form(
    room: &Room,
    thing: &str,
    ask: Option<&Ask>,
    slips: &Slips,
    today: &str,
) -> Result<Markup, Trouble> {
    let cells = Cells { ask, slips };
    let per = cells.typed("per", "one");
    Ok(html! {
        section.aside id="note" {
            h2 { "Note a price" }
            @if !slips.is_empty() { p.wrong role="alert" { "Not noted: see the marked fields." } }
            form.stack.wide method="post" action="/prices" {
                datalist id="known" { @for name in known(room)? { option value=(name) {} } }
                div.fields {
                    (cells.cell("thing", "What", "A fabric by its name, thread, or words of a notion.", &html! { input id="thing" name="thing" value=(cells.typed("thing", thing)) list="known" required maxlength="200" autocomplete="off" aria-describedby="about-thing" aria-invalid=[cells.invalid("thing")]; }))
                    (cells.cell("amount", "Price", "With its currency, as in 12.50 EUR.", &html! { input id="amount" name="amount" value=(cells.typed("amount", "")) required maxlength="30" autocomplete="off" aria-describedby="about-amount" aria-invalid=[cells.invalid("amount")]; }))
                    (cells.cell("per", "For", "How it is sold.", &html! { select id="per" name="per" aria-describedby="about-per" { @for it in Per::ALL { option value=(it.word()) selected[it.word() == per] { (it.title()) } } } }))
                    (cells.cell("shop", "Shop", "As you call it; may be left out.", &html! { input id="shop" name="shop" value=(cells.typed("shop", "")) maxlength="200" autocomplete="off" aria-describedby="about-shop" aria-invalid=[cells.invalid("shop")]; }))
                    (cells.cell("day", "Day", "When it cost that.", &html! { input type="date" id="day" name="day" value=(cells.typed("day", today)) required aria-describedby="about-day" aria-invalid=[cells.invalid("day")]; }))
                }
                button.main { "Note it" }
            }
        }
    })
}

/// A price as the form says it, or what is wrong with which field.
pub(super) fn read(ask: &Ask) -> Result<Price, Slips> {
    let mut slips = Slips::new();
    let money = Money::parse(ask.form.text("amount").trim());
    if let Err(error) = &money {
        slips.insert("amount", error.to_string());
    }
    let day = read_day(ask.form.text("day"));
    if day.is_none() {
        slips.insert("day", "the day is written as 2026-11-25".to_owned());
    }
    let per = Per::find(ask.form.text("per")).unwrap_or(Per::One);
    let shop = ask.form.text("shop").trim().to_owned();
    if shop.chars().count() > 200 {
        slips.insert("shop", "a shop has a name of at most 200 characters".to_owned());
    }
    match (money, day) {
        (Ok(money), Some(day)) if slips.is_empty() => Ok(Price { money, per, day, shop }),
        _ => Err(slips),
    }
}

/// Notes a price.
pub(super) fn note(room: &Room, ask: &Ask) -> Page {
    let mut read = read(ask);
    let thing = ask.form.text("thing").trim();
    if thing.is_empty() || thing.chars().count() > 200 {
        let slip = "say what it is, in at most 200 characters".to_owned();
        let mut slips = read.err().unwrap_or_default();
        slips.insert("thing", slip);
        read = Err(slips);
    }
    match read {
        Ok(price) => {
            room.keep.note_price(thing, &price)?;
            Ok(Answer::see("/prices"))
        }
        Err(slips) => page(room, "", Some(ask), &slips),
    }
}

/// Strikes a price out, or puts it back.
pub(super) fn strike(room: &Room, id: &str, struck: bool) -> Page {
    let id = id.parse().map_err(|_| Trouble::NotThere("price"))?;
    room.keep.strike_price(id, struck)?;
    Ok(Answer::see("/prices"))
}

/// Sets after how many months a price is old.
pub(super) fn set_old(room: &Room, ask: &Ask) -> Page {
    let months = ask.form.number("months").unwrap_or(i64::from(MONTHS)).clamp(1, 120);
    room.keep.set(OLD_AFTER, &months.to_string())?;
    Ok(Answer::see("/prices"))
}
