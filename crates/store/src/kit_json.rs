//! A kit, for other programs.

use packet::earns::{KitBagPrice, KitPrice};
use packet::kit::{Kit, KitCloth};
use serde::Serialize;

use crate::earns_json::LineJson;

#[derive(Serialize)]
struct KitJson<'a> {
    format: &'static str,
    bags: Vec<BagJson<'a>>,
    cloths: Vec<ClothJson<'a>>,
    webbing: Vec<WebbingJson<'a>>,
    thread: Vec<ThreadJson<'a>>,
    notions: Vec<NotionJson>,
    /// Null if no rates are known.
    price: Option<PriceJson<'a>>,
}

#[derive(Serialize)]
struct ThreadJson<'a> {
    matches: &'a str,
    length_mm: f64,
}

#[derive(Serialize)]
struct NotionJson {
    kind: &'static str,
    /// One of it, in words.
    what: String,
    counter: &'static str,
    count: i64,
    /// Of what is sold by length.
    bought_mm: Option<f64>,
}

/// Every amount in the smallest coin of the currency.
#[derive(Serialize)]
struct PriceJson<'a> {
    currency: String,
    materials: i64,
    whole: i64,
    lines: Vec<LineJson<'a>>,
    /// Not counted, as no price is known.
    without_price: &'a [String],
    /// For one student, by design, in the order of `bags`.
    bags: Vec<BagPriceJson>,
}

#[derive(Serialize)]
struct BagPriceJson {
    students: u32,
    cutting_seconds: u64,
    materials: i64,
    labour: i64,
    overhead: i64,
    each: i64,
    cost: i64,
    price: i64,
    with_tax: i64,
}

#[derive(Serialize)]
struct BagJson<'a> {
    title: &'a str,
    wanted: u32,
    cut: u32,
}

#[derive(Serialize)]
struct ClothJson<'a> {
    name: &'a str,
    pieces: usize,
    needed_mm: Option<f64>,
    bound_mm: Option<f64>,
    /// What to buy.
    bought_mm: Option<f64>,
    /// "shortest possible", "no shorter purchase exists" or "within x %".
    proof: Option<String>,
    /// What it comes to when each bag is bought for by itself.
    apart_mm: Option<f64>,
    stacks: Vec<StackJson>,
}

#[derive(Serialize)]
struct StackJson {
    layers: u32,
    each_needs_mm: f64,
    bought_mm: f64,
}

#[derive(Serialize)]
struct WebbingJson<'a> {
    name: &'a str,
    used_mm: f64,
    bought_mm: f64,
}

fn price_json(price: &KitPrice) -> PriceJson<'_> {
    let bag = |bag: &KitBagPrice| BagPriceJson {
        students: bag.wanted,
        cutting_seconds: bag.seconds,
        materials: bag.one.materials.minor(),
        labour: bag.one.labour.minor(),
        overhead: bag.one.overhead.minor(),
        each: bag.one.each.minor(),
        cost: bag.one.cost.minor(),
        price: bag.one.price.minor(),
        with_tax: bag.one.with_tax.minor(),
    };
    PriceJson {
        currency: price.whole.currency().code().to_owned(),
        materials: price.materials.minor(),
        whole: price.whole.minor(),
        lines: price.lines.iter().map(LineJson::of).collect(),
        without_price: &price.unpriced,
        bags: price.bags.iter().map(bag).collect(),
    }
}

/// The kit as JSON: bags, the purchase of each cloth with its proof, thread, notions, and the price.
pub fn kit_json(kit: &Kit, price: Option<&KitPrice>) -> String {
    let system = kit.bags.first().map_or(measure::System::Inch, |bag| bag.packet.system);
    let name = |of: (usize, bag::pattern::MaterialId)| {
        kit.bags[of.0].packet.pattern.material(of.1).name.as_str()
    };
    let cloth = |cloth: &'_ KitCloth| {
        let layout = cloth.layout.as_ref().ok();
        ClothJson {
            name: name(cloth.of),
            pieces: layout.map_or(0, |layout| layout.placements.len()),
            needed_mm: layout.map(|layout| layout.needed.to_mm()),
            bound_mm: layout.map(|layout| layout.bound.to_mm()),
            bought_mm: cloth.bought().map(measure::Length::to_mm),
            proof: layout.filter(|_| cloth.is_together()).map(|layout| layout.proof.to_string()),
            apart_mm: cloth.apart.map(measure::Length::to_mm),
            stacks: cloth
                .stacks
                .iter()
                .map(|stack| StackJson {
                    layers: stack.layers,
                    each_needs_mm: stack.layout.needed.to_mm(),
                    bought_mm: stack.bought.to_mm(),
                })
                .collect(),
        }
    };
    crate::json::pretty(&KitJson {
        format: "bagwright kit",
        bags: kit
            .bags
            .iter()
            .map(|bag| BagJson {
                title: &bag.packet.pattern.title,
                wanted: bag.wanted,
                cut: bag.cut,
            })
            .collect(),
        cloths: kit.cloths.iter().map(cloth).collect(),
        webbing: kit
            .webbing
            .iter()
            .map(|webbing| WebbingJson {
                name: name(webbing.of),
                used_mm: webbing.used.to_mm(),
                bought_mm: webbing.bought.to_mm(),
            })
            .collect(),
        thread: kit
            .threads
            .iter()
            .map(|thread| ThreadJson { matches: &thread.matches, length_mm: thread.length.to_mm() })
            .collect(),
        notions: kit
            .notions
            .iter()
            .map(|one| NotionJson {
                kind: one.notion.kind.key,
                what: one.notion.spec(system),
                counter: one.counter().title(),
                count: one.count(),
                bought_mm: one.bought.map(measure::Length::to_mm),
            })
            .collect(),
        price: price.map(price_json),
    })
}
