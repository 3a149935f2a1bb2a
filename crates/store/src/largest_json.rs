//! The largest bag from some fabric, for other programs.

use measure::Length;
use packet::largest::{Largest, Stop};
use serde::Serialize;

#[derive(Serialize)]
struct LargestJson {
    width_mm: f64,
    height_mm: f64,
    depth_mm: f64,
    stepped: &'static str,
    step_mm: f64,
    /// "no-larger" or "open".
    proof: &'static str,
    /// What stops it at the next step: "fabric", "range" or "unsound".
    stopped_by: &'static str,
    /// Larger steps that were neither laid nor ruled out.
    open_mm: Vec<f64>,
    fabrics: Vec<FabricJson>,
}

#[derive(Serialize)]
struct FabricJson {
    usable_width_mm: f64,
    needed_mm: f64,
    there_is_mm: f64,
}

/// The answer as JSON: the finished size, what is proven, and what is taken of each fabric given.
pub fn largest_json(found: &Largest) -> String {
    let claims = &found.pattern.claims;
    let fabrics = found.laid.iter().map(|(_, layout)| FabricJson {
        usable_width_mm: layout.width.to_mm(),
        needed_mm: layout.needed.to_mm(),
        there_is_mm: layout.bought.to_mm(),
    });
    crate::json::pretty(&LargestJson {
        width_mm: claims.width.to_mm(),
        height_mm: claims.height.to_mm(),
        depth_mm: claims.depth.to_mm(),
        stepped: found.stepped,
        step_mm: found.step.to_mm(),
        proof: if found.open.is_empty() { "no-larger" } else { "open" },
        stopped_by: match found.stop {
            Stop::Fabric(_) => "fabric",
            Stop::Range => "range",
            Stop::Unsound(_) => "unsound",
        },
        open_mm: found.open.iter().copied().map(Length::to_mm).collect(),
        fabrics: fabrics.collect(),
    })
}
