//! Bags for a class or a batch, cut together: which and how many, what to buy for all, and the pages
//! to print.

use std::sync::Arc;

use maud::{Markup, html};
use measure::{System, Units};
use packet::Packet;
use packet::earns::{KitPrice, kit_price};
use packet::kit::Kit;

use super::Page;
use super::files::{self, File};
use super::shell::{Here, capital, hidden, shell, unbroken, way};
use super::tables::amounts;
use super::take::paper_size;
use crate::ask::{Answer, Ask};
use crate::change::units_word;
use crate::keep::Trouble;
use crate::reckoned::Reckoned;
use crate::room::{Drawn, Room};

/// Most bags of one design.
const MOST: i64 = 500;
/// Rounds in which each layout is improved: what a page may take.
const ROUNDS: u32 = 20;
/// What it costs, as text; only once something has a price.
const PRICE: &str = "price.txt";
/// The files of a kit.
const FILES: [File; 5] = [
    (
        "kit.pdf",
        "The kit",
        "What to buy, how to cut all bags together, bundles, the list of the class, and what each \
         student pays once you have said your rates.",
    ),
    ("labels.pdf", "Labels", "One to stick on each bundle."),
    ("shopping.txt", "Shopping list", "What to buy for all of them, counter by counter."),
    (PRICE, "What it costs", "Materials for all, and what each student pays."),
    ("kit.json", "Data", "All of it, for programs."),
];

/// The rulers on which a kit can be drafted.
const RULERS: [(Units, &str); 2] =
    [(Units::Inch, "inches; fabric in yards"), (Units::Cm, "centimetres; fabric in metres")];

/// A bag that may be part of it, and how many.
struct Wanted {
    id: i64,
    title: String,
    count: i64,
}

/// What is asked for.
struct Asked {
    bags: Vec<Wanted>,
    spare: u32,
    /// On which ruler all are drafted; each on its own if nothing is said.
    units: Option<Units>,
}

impl Asked {
    fn read(room: &Room, ask: &Ask) -> Result<Self, Trouble> {
        let bags = room.keep.bags(false)?;
        let count = |id: i64| ask.query.number(&format!("bag-{id}")).unwrap_or(0).clamp(0, MOST);
        let bags = bags.into_iter().map(|row| Wanted {
            count: count(row.id),
            id: row.id,
            title: row.title,
        });
        let spare = ask.query.number("spare").unwrap_or(0).clamp(0, 100);
        let said = ask.query.text("units");
        let units = RULERS.into_iter().find(|(units, _)| units_word(*units) == said);
        let units = units.map(|(units, _)| units);
        Ok(Self { bags: bags.collect(), spare: u32::try_from(spare).unwrap_or(0), units })
    }

    fn wanted(&self) -> impl Iterator<Item = &Wanted> {
        self.bags.iter().filter(|bag| bag.count > 0)
    }

    /// The same question as the end of an address.
    fn query(&self) -> String {
        let bags: String =
            self.wanted().map(|bag| format!("bag-{}={}&", bag.id, bag.count)).collect();
        let units =
            self.units.map_or(String::new(), |units| format!("&units={}", units_word(units)));
        format!("{bags}spare={}{units}", self.spare)
    }

    /// The kit, or why there is none.
    fn kit(&self, room: &Room) -> Result<Result<(Kit, System), String>, super::Ended> {
        let mut bags = Vec::new();
        let mut system = None;
        for wanted in self.wanted() {
            let drawn: Arc<Drawn> = room.bag(wanted.id)?;
            let own = drawn.packet.as_ref().filter(|packet| !packet.has_errors());
            let other = self.units.filter(|units| units.system() != drawn.design.system());
            let packet = match other {
                Some(units) => room.redrafted(&drawn, units).as_deref().cloned(),
                None => own.cloned(),
            };
            let packet = packet.filter(|packet| own.is_some() && !packet.has_errors());
            let Some(packet) = packet else {
                let why =
                    format!("“{}” is not ready to cut: see what was found in it", wanted.title);
                return Ok(Err(why));
            };
            if *system.get_or_insert(packet.system) != packet.system {
                let why = "some of these bags are in inches and some are metric, and a kit has one ruler: \
                           say on which all are drafted";
                return Ok(Err(why.to_owned()));
            }
            bags.push((packet, u32::try_from(wanted.count).unwrap_or(1)));
        }
        Ok(match system {
            Some(system) => Ok((Kit::of(bags, self.spare, ROUNDS), system)),
            None => Err("say of one bag at least how many".to_owned()),
        })
    }
}

/// The page: the question, and the purchase once it is asked.
pub(super) fn page(room: &Room, ask: &Ask) -> Page {
    let asked = Asked::read(room, ask)?;
    let answer = match ask.query.get("look") {
        Some(_) => Some(asked.kit(room)?),
        None => None,
    };
    let status = if matches!(answer, Some(Err(_))) { 422 } else { 200 };
    let body = html! {
        h1 { "A kit for the class" }
        p.help { "All bags of a class or a batch, cut together: one layout for each cloth, so that less is bought than bag by bag." }
        @if asked.bags.is_empty() { div.empty { p { "There is no bag yet to make a kit of." } p { a.button href="/new" { "A new bag" } } } }
        @else { (question(&asked)) }
        @match &answer {
            Some(Err(why)) => p.wrong role="alert" { (capital(why)) "." },
            Some(Ok((kit, system))) => (told(room, &asked, kit, *system)?),
            None => {}
        }
    };
    Ok(Answer::fault(status, shell("A kit for the class", Here::Bags, &body)))
}

fn question(asked: &Asked) -> Markup {
    html! {
        form.stack method="get" action="/kit" {
            (hidden("look", "yes"))
            @for bag in &asked.bags {
                div.pairs {
                    label for={ "bag-" (bag.id) } { (bag.title) }
                    input type="number" id={ "bag-" (bag.id) } name={ "bag-" (bag.id) } min="0" max=(MOST) value=(bag.count);
                }
            }
            div.pairs {
                label for="spare" { "Spare ones, in percent" }
                input type="number" id="spare" name="spare" min="0" max="100" value=(asked.spare);
            }
            div.pairs {
                label for="units" { "All drafted in" }
                select id="units" name="units" {
                    option value="" { "the measures of each" }
                    @for (units, says) in RULERS { option value=(units_word(units)) selected[asked.units == Some(units)] { (says) } }
                }
            }
            button.main { "Put it together" }
        }
    }
}

fn told(room: &Room, asked: &Asked, kit: &Kit, system: System) -> Result<Markup, Trouble> {
    let query = asked.query();
    let list = paper::kit_list(kit, system);
    let (reckoned, price) = price(room, kit)?;
    let offered = FILES.iter().copied().filter(|(file, ..)| *file != PRICE || price.is_some());
    let offered: Vec<File> = offered.collect();
    let ticks = |title: &str, things: &[String]| {
        html! { h2 { (title) } ul.ticks { @for thing in things { li { (capital(thing)) } } } }
    };
    Ok(html! {
        h2 { (list.title) ": what to buy" }
        p { (list.intro) }
        @for (counter, rows) in paper::counters(kit, system) {
            h3 { (counter) }
            ul.shopping { @for (what, why) in &rows {
                li {
                    p.what { (unbroken(&capital(what))) }
                    @if !why.is_empty() { p.says { (unbroken(&capital(why))) "." } }
                }
            } }
        }
        (ticks("Tools, shared", &list.tools))
        (costs(&reckoned, price.as_ref(), asked, kit))
        h2 { "Print and files" }
        ul.take { (files::offered(&offered, |file| format!("/kit/{file}?{query}"))) }
    })
}

/// What it is reckoned with: her rates, or the prices alone; nothing if nothing has a price either.
fn price(room: &Room, kit: &Kit) -> Result<(Reckoned, Option<KitPrice>), Trouble> {
    let packets: Vec<&Packet> = kit.bags.iter().map(|bag| &bag.packet).collect();
    let reckoned = room.reckoned(&room.keep.workshop()?, &packets)?;
    let price = reckoned.rates().map(|rates| kit_price(kit, rates, reckoned.pace));
    Ok((reckoned, price))
}

/// What it costs, and what each student pays for hers.
fn costs(reckoned: &Reckoned, price: Option<&KitPrice>, asked: &Asked, kit: &Kit) -> Markup {
    let rates = asked.wanted().next().map(|bag| format!("{}#rates", way(bag.id, "reckoning")));
    html! {
        h2 { "What each student pays" }
        @if reckoned.workshop.rates.is_none() && let Some(rates) = &rates {
            p.help { "Say " a href=(rates) { "what an hour of your work is paid" } ", your overhead and margin, and the price of each kit has them in it." }
        }
        @match price {
            None => p.help { "Nothing has a price yet. " a href="/prices" { "Note what things cost" } ", and what they come to stands here." },
            Some(price) => {
                @let told = paper::kit_costs(kit, price);
                p.sum { (told.whole) }
                @if let Some((headings, rows)) = told.table.split_first() {
                    (amounts(("The price of one kit", "For one student, the spare ones shared"), headings, rows))
                }
                @if !told.lines.is_empty() {
                    @let lines: Vec<Vec<String>> = told.lines.iter().map(|(what, money)| vec![what.clone(), money.to_string()]).collect();
                    (amounts(("Materials for all", "Materials for all, as they are bought"), &["Material".to_owned(), "Costs".to_owned()], &lines))
                }
                @for note in &told.notes { p.says { (note) } }
                @if !price.unpriced.is_empty() { p { a href="/prices" { "To the price list" } } }
            }
        }
    }
}

/// One of the files.
pub(super) fn file(room: &Room, ask: &Ask, file: &str) -> Page {
    files::known(&FILES, file)?;
    let asked = Asked::read(room, ask)?;
    let (kit, system) = asked.kit(room)?.map_err(Trouble::NotTaken)?;
    let size = paper_size(system);
    let broken = |error: paper::PaperError| Trouble::Broken(error.to_string());
    let price = || price(room, &kit).map(|(_, price)| price);
    let bytes = match file {
        "kit.pdf" => paper::kit(&kit, price()?.as_ref(), size, system).map_err(broken)?,
        "labels.pdf" => paper::kit_labels(&kit, size).map_err(broken)?,
        "shopping.txt" => paper::counters_text(&kit, system).into_bytes(),
        PRICE => {
            let price =
                price()?.ok_or_else(|| Trouble::NotTaken("nothing has a price yet".into()))?;
            paper::kit_price_text(&kit, &price).into_bytes()
        }
        _ => store::kit_json(&kit, price()?.as_ref()).into_bytes(),
    };
    Ok(Answer::download(&format!("class {file}"), files::media(file), bytes))
}
