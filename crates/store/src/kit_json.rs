//! A kit, for other programs.

use packet::kit::{Kit, KitCloth};
use serde::Serialize;

#[derive(Serialize)]
struct KitJson<'a> {
    format: &'static str,
    bags: Vec<BagJson<'a>>,
    cloths: Vec<ClothJson<'a>>,
    webbing: Vec<WebbingJson<'a>>,
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

/// The kit as JSON: bags, and the purchase of each cloth with its proof.
pub fn kit_json(kit: &Kit) -> String {
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
    })
}
