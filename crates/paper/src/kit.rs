//! A kit on paper: what to buy together, how it is cut, what goes into each bundle, the list of the
//! class, and labels.

mod price;

use std::collections::BTreeMap;

use bag::operations::sentence as capital;
use bag::pattern::notion::Counter;
use drawing::layouts::{self, LayoutOptions, On};
use drawing::{Cloth, pieces};
use layout::{Layout, Problem};
use measure::{System, show_length, show_size};
use packet::earns::KitPrice;
use packet::kit::{Kit, KitCloth, KitNotion};

use packet::takes::spools;
use packet::{LaidPiece, Packet, Source, show_asked_for, show_needed};
use serde_json::{Value, json};

use crate::booklet::PaperSize;
use crate::cautions::tools;
use crate::legible::make_legible;
use crate::lists::bought;
use crate::pictures::Album;
use crate::takes::{show_spools, show_thread};
use crate::typeset::{PaperError, to_pdf};

pub use price::{KitCosts, kit_costs, kit_price_text};

/// How the kit's pages look, and its labels.
const LOOK: &str = include_str!("kit/kit.typ");
const LABELS: &str = include_str!("kit/labels.typ");
/// Room for a layout, width × height in mm.
const LAYOUT_ROOM: (f64, f64) = (140.0, 130.0);

/// The kit's pages as PDF (tagged, PDF/UA-1): purchase, price if it is given, cutting, bundles, class
/// list. The same kit gives the same bytes.
///
/// # Errors
/// Only for faults of the program itself.
pub fn kit(
    kit: &Kit,
    price: Option<&KitPrice>,
    paper: PaperSize,
    system: System,
) -> Result<Vec<u8>, PaperError> {
    let mut album = Album::default();
    let mut data = json!({
        "title": title(kit),
        "paper": paper.typeset_name(),
        "intro": intro(kit),
        "buy": buy(kit, system),
        "things": things(kit),
        "tools": all_tools(kit),
        "price": price.map(|price| price::data(kit, price)),
        "cutting": kit.cloths.iter().enumerate().map(|(index, cloth)| {
            cutting(kit, cloth, index, &mut album, system)
        }).collect::<Vec<_>>(),
        "bundles": bundles(kit),
        "class": class(kit),
        "chapters": chapters(kit),
    });
    make_legible(&mut data);
    let mut files = album.files;
    files.insert("data.json".to_owned(), data.to_string().into_bytes());
    to_pdf(LOOK, files, None)
}

/// Labels for the bundles as PDF, one for each bag that is cut: 24 of 70 × 37 mm on A4, or 30 of
/// 2 5/8 × 1 in on Letter (sizes of plain label sheets that are sold everywhere; from memory).
///
/// # Errors
/// Only for faults of the program itself.
pub fn kit_labels(kit: &Kit, paper: PaperSize) -> Result<Vec<u8>, PaperError> {
    let mut number = 0;
    let mut labels = Vec::new();
    for bag in &kit.bags {
        let pieces: u32 = bundle(&bag.packet).iter().map(|(_, count, _)| count).sum();
        for copy in 0..bag.cut {
            number += 1;
            labels.push(json!({
                "number": number.to_string(),
                "title": bag.packet.pattern.title,
                "spare": copy >= bag.wanted,
                "pieces": format!("{pieces} pieces"),
                "edition": format!("edition {}", bag.packet.pattern.edition.number),
            }));
        }
    }
    let mut data = json!({ "title": title(kit), "paper": paper.typeset_name(), "labels": labels });
    make_legible(&mut data);
    to_pdf(LABELS, BTreeMap::from([("data.json".to_owned(), data.to_string().into_bytes())]), None)
}

/// The purchase for all bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitList {
    /// "14 × Market day bag".
    pub title: String,
    /// Which bags, and how many of them are spare: one sentence.
    pub intro: String,
    /// Name with width, purchase, and why, for each cloth and webbing.
    pub buy: Vec<[String; 3]>,
    /// Notions.
    pub things: Vec<String>,
    /// Tools, shared.
    pub tools: Vec<String>,
}

/// What to buy for all bags.
pub fn kit_list(kit: &Kit, system: System) -> KitList {
    KitList {
        title: title(kit),
        intro: intro(kit),
        buy: buy(kit, system),
        things: things(kit),
        tools: all_tools(kit),
    }
}

/// The purchase for all bags as plain text.
pub fn kit_shopping_text(kit: &Kit, system: System) -> String {
    let mut text = format!("{}: shopping list\n{}\n", title(kit), intro(kit));
    for row in buy(kit, system) {
        text.push_str(&format!("\n[ ] {}: {}\n", row[0], row[1]));
        text.push_str(&format!("    {}\n", row[2]));
    }
    text.push_str("\nNotions\n");
    things(kit).iter().for_each(|thing| text.push_str(&format!("[ ] {thing}\n")));
    text.push_str("\nTools, shared\n");
    all_tools(kit).iter().for_each(|tool| text.push_str(&format!("[ ] {tool}\n")));
    text
}

/// One list for all bags, counter by counter.
pub fn counters_text(kit: &Kit, system: System) -> String {
    let mut text = format!("{}: what to buy\n{}\n", title(kit), intro(kit));
    for (name, rows) in counters(kit, system) {
        text.push_str(&format!("\n{name}\n"));
        for (what, why) in rows {
            text.push_str(&format!("[ ] {what}\n"));
            if !why.is_empty() {
                text.push_str(&format!("    {why}\n"));
            }
        }
    }
    text
}

/// What to buy at each counter of the shop: its name, and each thing with why so much of it, which may
/// be empty.
pub fn counters(kit: &Kit, system: System) -> Vec<(&'static str, Vec<(String, String)>)> {
    let rows = buy(kit, system);
    let (cloths, webbing) = rows.split_at(kit.cloths.len());
    let of = |source: Source| -> Vec<&[String; 3]> {
        let of = kit.cloths.iter().zip(cloths).filter(|(cloth, _)| cloth.source == source);
        of.map(|(_, row)| row).collect()
    };
    let mut counters: Vec<(&'static str, Vec<(String, String)>)> = Vec::new();
    let mut counter = |name: &'static str, rows: Vec<(String, String)>| {
        if !rows.is_empty() {
            counters.push((name, rows));
        }
    };
    let bought = |rows: Vec<&[String; 3]>| -> Vec<(String, String)> {
        rows.into_iter().map(|row| (format!("{}: {}", row[0], row[1]), row[2].clone())).collect()
    };
    counter("Fabric, by the length", bought(of(Source::Fabric)));
    counter("Interfacing", bought(of(Source::Interfacing)));
    counter("Webbing, tape and cord", bought(webbing.iter().collect()));
    let plain = |things: Vec<String>| -> Vec<(String, String)> {
        things.into_iter().map(|thing| (thing, String::new())).collect()
    };
    counter("Thread", plain(threads(kit)));
    for at in Counter::ALL {
        let here = kit.notions.iter().filter(|one| one.counter() == at);
        counter(at.title(), plain(here.map(|one| notion_line(one, system)).collect()));
    }
    counters
}

fn title(kit: &Kit) -> String {
    match &kit.bags[..] {
        [one] => format!("{} × {}", one.cut, one.packet.pattern.title),
        _ => format!("Kit of {} bags", kit.count()),
    }
}

fn intro(kit: &Kit) -> String {
    let bags = kit.bags.iter().map(|bag| {
        let title = &bag.packet.pattern.title;
        match bag.cut - bag.wanted {
            0 => format!("{} × {title}", bag.wanted),
            spare => format!("{} × {title} and {spare} spare", bag.wanted),
        }
    });
    format!("For {}.", bags.collect::<Vec<_>>().join(", "))
}

/// Name with width, purchase, and why, for each cloth and webbing.
fn buy(kit: &Kit, system: System) -> Vec<[String; 3]> {
    let material =
        |of: (usize, bag::pattern::MaterialId)| kit.bags[of.0].packet.pattern.material(of.1);
    let cloths = kit.cloths.iter().map(|cloth| {
        let (buy, why) = match &cloth.layout {
            Ok(layout) => (
                bought(cloth.bought().unwrap_or(layout.bought), system),
                why(cloth, layout, system),
            ),
            Err(no) => ("does not fit".to_owned(), no.describe(system)),
        };
        [show_asked_for(material(cloth.of), system), buy, why]
    });
    let webbing = kit.webbing.iter().map(|webbing| {
        [
            show_asked_for(material(webbing.of), system),
            bought(webbing.bought, system),
            format!("{} are used", show_length(webbing.used, system)),
        ]
    });
    cloths.chain(webbing).collect()
}

fn why(cloth: &KitCloth, layout: &Layout, system: System) -> String {
    let apart =
        cloth.apart.filter(|apart| *apart > layout.bought).map_or_else(String::new, |apart| {
            format!("; bought bag by bag it would be {}", bought(apart, system))
        });
    if !cloth.is_together() {
        return "cut bag by bag, as each bag's own packet shows: together it takes no less"
            .to_owned();
    }
    format!("all pieces take {}; {}{apart}", show_needed(layout.needed, system), layout.proof)
}

/// Thread and notions, counted over all bags that have the same.
fn things(kit: &Kit) -> Vec<String> {
    let system = kit.bags.first().map_or(System::Inch, |bag| bag.packet.system);
    let notions = kit.notions.iter().map(|one| notion_line(one, system));
    threads(kit).into_iter().chain(notions).collect()
}

/// What is bought of a small thing for all bags: "12 rings for webbing 1 in wide"; "elastic, 1/2 in
/// wide: 1 1/8 yd; 36 in are used, in 4 pieces".
fn notion_line(one: &KitNotion, system: System) -> String {
    let count = u32::try_from(one.count()).unwrap_or(u32::MAX);
    match one.bought {
        Some(buy) => format!(
            "{}: {}; {} are used, in {count} piece{}",
            one.notion.spec(system),
            bought(buy, system),
            show_length(one.run.iter().copied().sum(), system),
            if count == 1 { "" } else { "s" },
        ),
        None => one.notion.describe_times(count, system),
    }
}

/// Thread for all bags, by colour.
fn threads(kit: &Kit) -> Vec<String> {
    let system = kit.bags.first().map_or(System::Inch, |bag| bag.packet.system);
    let line = |thread: &packet::kit::KitThread| {
        format!(
            "thread to match the {}: about {}, {}",
            thread.matches,
            show_thread(thread.length, system),
            show_spools(spools(thread.length, system), system)
        )
    };
    kit.threads.iter().map(line).collect()
}

fn all_tools(kit: &Kit) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for bag in &kit.bags {
        let own = bag.packet.pattern.tools.iter().cloned();
        for tool in own.chain(tools(&bag.packet)) {
            if !all.contains(&tool) {
                all.push(tool);
            }
        }
    }
    all
}

fn cutting(kit: &Kit, cloth: &KitCloth, index: usize, album: &mut Album, system: System) -> Value {
    let packet = &kit.bags[cloth.of.0].packet;
    let material = packet.pattern.material(cloth.of.1);
    let mut draw = |problem: &Problem, layout: &Layout, id: &str| {
        let look = if cloth.source == Source::Interfacing {
            Cloth::Interfacing
        } else {
            pieces::cloth(material.look)
        };
        let options = LayoutOptions {
            id,
            fabric: &material.name,
            cloth: look,
            one_way: material.cloth().is_some_and(|cloth| cloth.one_way),
            on: On::Bolt,
            system,
            room: LAYOUT_ROOM,
        };
        let (scene, scale) = layouts::draw(problem, layout, options);
        json!({ "picture": album.keep(scene), "caption": capital(&scale.say()) })
    };
    let Ok(layout) = &cloth.layout else {
        return json!({ "title": capital(&material.name), "layouts": [], "stacks": [], "cuts": [] });
    };
    let drawn = draw(&cloth.problem, layout, &format!("kit-{}", index + 1));
    let stacks: Vec<[String; 4]> = cloth
        .stacks
        .iter()
        .map(|stack| {
            [
                stack.layers.to_string(),
                show_needed(stack.layout.needed, system),
                bought(stack.bought, system),
                format!("{}", stack.layout.placements.len()),
            ]
        })
        .collect();
    let flat = [
        "1".to_owned(),
        show_needed(layout.needed, system),
        bought(layout.bought, system),
        layout.placements.len().to_string(),
    ];
    json!({
        "title": capital(&material.name),
        "layouts": [drawn],
        "stacks": if stacks.is_empty() { Vec::new() } else { [vec![flat], stacks].concat() },
        "cuts": layout.cuts_in_words(&cloth.problem, system),
    })
}

/// What one bag's bundle holds: name, how many, size; and from which material.
fn bundle(packet: &Packet) -> Vec<(String, u32, String)> {
    let pattern = &packet.pattern;
    let mut rows = Vec::new();
    for cut in packet.cuts.iter().filter(|cut| cut.is_bought()) {
        let material = &pattern.material(cut.material).name;
        for item in cut.items() {
            let name = match item.piece {
                LaidPiece::Piece(id) => pattern.piece(id).name.clone(),
                LaidPiece::Interfacing(id) => format!("for the {}", pattern.piece(id).name),
                LaidPiece::Block => "block to fuse".to_owned(),
            };
            let (width, height) = item.size;
            let size = show_size(width, height, packet.system);
            rows.push((format!("{name}, {material}"), item.count, size));
        }
    }
    for webbing in &packet.webbing {
        let name = &pattern.material(webbing.material).name;
        for id in pattern.piece_ids() {
            let piece = pattern.piece(id);
            if piece.material == webbing.material && pattern.count(id) > 0 {
                let count = u32::try_from(pattern.count(id)).unwrap_or(u32::MAX);
                let long = piece.cut_size().0.max(piece.cut_size().1);
                let size = format!("{} long", show_length(long, packet.system));
                rows.push((format!("{}, {name}", piece.name), count, size));
            }
        }
    }
    rows
}

fn bundles(kit: &Kit) -> Vec<Value> {
    kit.bags
        .iter()
        .map(|bag| {
            let rows: Vec<[String; 3]> = bundle(&bag.packet)
                .into_iter()
                .map(|(name, count, size)| [format!("{count} ×"), capital(&name), size])
                .collect();
            let own = &bag.packet.pattern.notions;
            let notions: Vec<String> =
                own.iter().map(|notion| notion.describe(bag.packet.system)).collect();
            json!({
                "title": bag.packet.pattern.title,
                "count": format!("{} bundles", bag.cut),
                "rows": rows,
                "notions": notions,
            })
        })
        .collect()
}

/// One row for each bundle: its number and its bag.
fn class(kit: &Kit) -> Vec<[String; 2]> {
    let mut rows = Vec::new();
    for bag in &kit.bags {
        for copy in 0..bag.cut {
            let spare = if copy >= bag.wanted { ", spare" } else { "" };
            let title = format!("{}{spare}", bag.packet.pattern.title);
            rows.push([(rows.len() + 1).to_string(), title]);
        }
    }
    rows
}

/// The chapters through which the bags go, each once, in order.
fn chapters(kit: &Kit) -> Vec<&'static str> {
    let mut chapters: Vec<bag::pattern::Chapter> = kit
        .bags
        .iter()
        .flat_map(|bag| bag.packet.pattern.steps.iter().map(|step| step.chapter))
        .collect();
    chapters.sort_unstable();
    chapters.dedup();
    chapters.iter().map(|chapter| chapter.title()).collect()
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::typeset::pages::look;

    fn two_designs() -> Kit {
        let packet = |name: &str| {
            let body = bag::bodies::find(name).expect("it is in the list");
            packet::build(&bag::Design::of(body, Units::Inch)).packet.expect("it can be built")
        };
        Kit::of(vec![(packet("boxed"), 3), (packet("flat"), 2)], 10, 0)
    }

    /// 3 and 2 bags and a tenth more of each, rounded up: 4 and 3.
    #[test]
    fn every_bundle_has_a_label_and_a_row() {
        let kit = two_designs();
        assert_eq!(class(&kit).len(), 7);
        assert_eq!(class(&kit)[3][1], "Bag with boxed corners, spare");
        let labels = kit_labels(&kit, PaperSize::A4).expect("it is set");
        assert!(labels.starts_with(b"%PDF-"));
    }

    #[test]
    fn the_pages_name_every_piece_of_every_bag() {
        let kit = two_designs();
        let text = kit_shopping_text(&kit, System::Inch);
        assert!(text.contains("3 × Bag with boxed corners and 1 spare"), "{text}");
        for bag in &kit.bags {
            let pieces = bag.packet.pattern.piece_ids();
            let cut = pieces.filter(|id| bag.packet.pattern.count(*id) > 0).count();
            assert_eq!(bundle(&bag.packet).len(), cut);
        }
        let set = |price| super::kit(&kit, price, PaperSize::Letter, System::Inch);
        let [one, other] = [(); 2].map(|()| set(None).expect("it is set"));
        assert!(one == other);
        let rates = packet::earns::Rates::new(measure::Money::new(15_00, measure::Currency::USD));
        let price = packet::earns::kit_price(&kit, &rates, packet::takes::Pace::USUAL);
        assert!(set(Some(&price)).expect("it is set").len() > one.len());
        // Seven kits of nothing but work; materials have no price, and are named.
        let text = kit_price_text(&kit, &price);
        assert!(text.contains("the 2 spare ones with it"), "{text}");
        assert!(text.contains("not counted: outside fabric; lining fabric"), "{text}");
    }

    /// A4 is 595.276 × 841.890 pt (ISO 216), and 24 labels of 70 × 37 mm are on a sheet.
    #[test]
    fn labels_lie_on_their_sheet() {
        let labels: Vec<Value> = (0..25)
            .map(|n| {
                json!({ "number": n.to_string(), "title": "T", "spare": false, "pieces": "p", "edition": "e" })
            })
            .collect();
        let data = json!({ "title": "t", "paper": "a4", "labels": labels });
        let files = BTreeMap::from([("data.json".to_owned(), data.to_string().into_bytes())]);
        let pages = look(LABELS, files).expect("it is set");
        assert_eq!(pages.len(), 2);
        assert!((pages[0].size.0 - 595.276).abs() < 0.01);
        let below = 37.0 * 72.0 / 25.4;
        let lines: Vec<f64> = pages[0].lines.iter().map(|line| line.1).collect();
        let rows = lines.iter().filter(|y| (*y - lines[0]).abs() < 1.0).count();
        assert!(rows >= 3 && lines.iter().any(|y| (y - lines[0] - below).abs() < 0.5), "{lines:?}");
    }
}
