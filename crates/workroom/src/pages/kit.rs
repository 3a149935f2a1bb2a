//! Bags for a class or a batch, cut together: which and how many, what to buy for all, and the pages
//! to print.

use std::sync::Arc;

use maud::{Markup, html};
use measure::System;
use packet::kit::Kit;
use paper::PaperSize;

use super::Page;
use super::shell::{Here, capital, hidden, shell};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// Most bags of one design.
const MOST: i64 = 500;
/// Rounds in which each layout is improved: what a page may take.
const ROUNDS: u32 = 20;
/// The files of a kit.
const FILES: [(&str, &str, &str); 4] = [
    (
        "kit.pdf",
        "The kit",
        "What to buy, how to cut all bags together, bundles, the list of the class.",
    ),
    ("labels.pdf", "Labels", "One to stick on each bundle."),
    ("shopping.txt", "Shopping list", "What to buy for all of them."),
    ("kit.json", "Data", "All of it, for programs."),
];

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
        Ok(Self { bags: bags.collect(), spare: u32::try_from(spare).unwrap_or(0) })
    }

    fn wanted(&self) -> impl Iterator<Item = &Wanted> {
        self.bags.iter().filter(|bag| bag.count > 0)
    }

    /// The same question as the end of an address.
    fn query(&self) -> String {
        let bags: String =
            self.wanted().map(|bag| format!("bag-{}={}&", bag.id, bag.count)).collect();
        format!("{bags}spare={}", self.spare)
    }

    /// The kit, or why there is none.
    fn kit(&self, room: &Room) -> Result<Result<(Kit, System), String>, super::Ended> {
        let mut bags = Vec::new();
        let mut system = None;
        for wanted in self.wanted() {
            let drawn: Arc<Drawn> = room.bag(wanted.id)?;
            let packet = drawn.packet.as_ref().filter(|packet| !packet.has_errors());
            let Some(packet) = packet else {
                let why =
                    format!("“{}” is not ready to cut: see what was found in it", wanted.title);
                return Ok(Err(why));
            };
            if *system.get_or_insert(packet.system) != packet.system {
                let why =
                    "some of these bags are in inches and some are metric: a kit has one ruler";
                return Ok(Err(why.to_owned()));
            }
            bags.push((packet.clone(), u32::try_from(wanted.count).unwrap_or(1)));
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
            Some(Ok((kit, system))) => (told(&asked, kit, *system)),
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
            button.main { "Put it together" }
        }
    }
}

fn told(asked: &Asked, kit: &Kit, system: System) -> Markup {
    let query = asked.query();
    let list = paper::kit_list(kit, system);
    let ticks = |title: &str, things: &[String]| {
        html! { h2 { (title) } ul.ticks { @for thing in things { li { (capital(thing)) } } } }
    };
    html! {
        h2 { (list.title) ": what to buy" }
        p { (list.intro) }
        @for (counter, rows) in paper::counters(kit, system) {
            h3 { (counter) }
            ul.shopping { @for (what, why) in &rows {
                li {
                    p.what { (capital(what)) }
                    @if !why.is_empty() { p.says { (capital(why)) "." } }
                }
            } }
        }
        (ticks("Tools, shared", &list.tools))
        h2 { "Print and files" }
        ul.take { @for (file, title, says) in FILES {
            li {
                a.button href={ "/kit/" (file) "?" (query) } download { (title) }
                p { (says) span.says { " " (file) } }
            }
        } }
    }
}

/// One of the files.
pub(super) fn file(room: &Room, ask: &Ask, file: &str) -> Page {
    let asked = Asked::read(room, ask)?;
    let (kit, system) = asked.kit(room)?.map_err(Trouble::NotTaken)?;
    let size = match system {
        System::Inch => PaperSize::Letter,
        System::Metric => PaperSize::A4,
    };
    let broken = |error: paper::PaperError| Trouble::Broken(error.to_string());
    let (media, bytes) = match file {
        "kit.pdf" => ("application/pdf", paper::kit(&kit, None, size, system).map_err(broken)?),
        "labels.pdf" => ("application/pdf", paper::kit_labels(&kit, size).map_err(broken)?),
        "shopping.txt" => {
            ("text/plain; charset=utf-8", paper::kit_shopping_text(&kit, system).into_bytes())
        }
        "kit.json" => ("application/json", store::kit_json(&kit, None).into_bytes()),
        _ => return Err(Trouble::NotThere("file").into()),
    };
    Ok(Answer::download(&format!("class {file}"), media, bytes))
}
