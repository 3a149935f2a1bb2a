//! Writes outlines with curves as JSON, finely cut into chords, with the lengths of their edges and
//! their cutting lines as we compute them, for the outside reference in
//! `tests/outside/curve_check.py`.

#![allow(clippy::print_stdout, reason = "a command talks to whoever runs it")]

use anyhow::Result;
use measure::{Edge, Length, Outline, Point};
use testkit::Rng;

/// So many chords to an edge that their sum is within 0.001 mm of its length.
const CHORDS: i64 = 600;

fn main() -> Result<()> {
    let mut rng = Rng::new(7);
    let mut shapes = Vec::new();
    let mut mm = |least: usize, most: usize| {
        let range = most - least;
        Length::mm(i64::try_from(least + rng.below(range)).unwrap_or(i64::MAX))
    };
    for number in 0..60 {
        let (width, height) = (mm(60, 600), mm(60, 600));
        let oval = Outline::ellipse(width, height)?;
        let radius = mm(12, 28);
        let base = Outline::rounded_rectangle(width, height, (radius, radius))?;
        let panel = Outline::round_bottomed(width, height, radius)?;
        let allowance = mm(3, 12);
        for (what, outline) in [("oval", oval), ("base", base), ("panel", panel)] {
            let cut = outline.offset_evenly(allowance)?;
            shapes.push(json(&format!("{what} {number}"), &outline, &cut, allowance));
        }
    }
    println!("[\n{}\n]", shapes.join(",\n"));
    Ok(())
}

/// An edge as many points at equal distances along it.
fn points(edge: &Edge) -> Vec<Point> {
    let parts = if edge.is_straight() { 1 } else { CHORDS };
    let long = edge.length();
    (0..parts).map(|part| edge.point_along(long * part / parts)).collect()
}

fn list(points: &[Point]) -> String {
    let each: Vec<String> =
        points.iter().map(|p| format!("[{}, {}]", p.x.to_mm(), p.y.to_mm())).collect();
    format!("[{}]", each.join(", "))
}

fn json(name: &str, net: &Outline, cut: &Outline, allowance: Length) -> String {
    let edges: Vec<String> = net
        .edges()
        .iter()
        .map(|edge| {
            let mut points = points(edge);
            points.push(edge.end());
            format!("{{\"length\": {}, \"points\": {}}}", edge.length().to_mm(), list(&points))
        })
        .collect();
    let fine = cut.flattened(0.001);
    format!(
        "{{\"name\": \"{name}\", \"allowance\": {}, \"area\": {}, \"cut_perimeter\": {}, \
         \"edges\": [{}], \"cut\": {}}}",
        allowance.to_mm(),
        net.area().to_mm2(),
        cut.perimeter().to_mm(),
        edges.join(", "),
        list(&fine)
    )
}
