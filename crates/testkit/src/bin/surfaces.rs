//! Writes the complexes of sewn bodies as JSON, with what the assembly says of them, for the
//! outside reference in `tests/outside/surface_check.py`.

#![allow(clippy::print_stdout, reason = "a command talks to whoever runs it")]

use anyhow::Result;
use bag::assembly::{Assembly, Surface};
use testkit::{Rng, corpus, faults};

fn main() -> Result<()> {
    let mut bodies = Vec::new();
    let mut samples = corpus::examples()?;
    samples.extend(corpus::combinations(24, 1));
    for sample in &samples {
        let steps = sample.pattern.steps.len();
        for count in (0..=steps).rev().step_by(3) {
            let name = format!("{} after {count}", sample.name);
            bodies.extend(all_bodies(&name, &Assembly::sew_first(&sample.pattern, count)));
        }
    }
    // Bags of which one seam is sewn with a twist in it.
    let mut rng = Rng::new(1);
    let twisted = faults::all().filter(|kind| kind.name == "panel-flipped");
    for kind in twisted {
        for sample in samples.iter().cycle().take(60) {
            if let Some(seeded) = (kind.seed)(&sample.pattern, &mut rng) {
                let name = format!("{} twisted", sample.name);
                bodies.extend(all_bodies(&name, &Assembly::sew(&seeded.pattern)));
            }
        }
    }
    println!("[\n{}\n]", bodies.join(",\n"));
    Ok(())
}

/// The bodies of the work that are more than one panel, or sewn to themselves. Slits are mouths in
/// the middle of a panel, and a zip between two sheets is a mouth of both that holds them together:
/// neither is told by which panels share an edge, so such bodies are left out.
fn all_bodies(name: &str, work: &Assembly<'_>) -> Vec<String> {
    let zipped = work.pattern.steps.iter().any(|step| step.id.contains("zip"));
    let surfaces = work.bodies().into_iter().map(|body| work.surface(body));
    surfaces
        .filter(|surface| surface.slits == 0 && !(zipped && sheets(surface) > 1))
        .map(|surface| json(name, &surface))
        .collect()
}

/// How many sheets there are that share no edge with one another.
fn sheets(surface: &Surface) -> usize {
    let mut sheets: Vec<Vec<usize>> = Vec::new();
    for edge in &surface.complex {
        let mut whole: Vec<usize> = edge.panels.iter().map(|(copy, _)| copy.0).collect();
        let touched = |sheet: &Vec<usize>| sheet.iter().any(|copy| whole.contains(copy));
        let (joined, rest): (Vec<_>, Vec<_>) = sheets.into_iter().partition(touched);
        whole.extend(joined.into_iter().flatten());
        sheets = rest;
        sheets.push(whole);
    }
    sheets.len()
}

/// Names are made of letters, digits, dashes and blanks, so that nothing has to be escaped.
fn json(name: &str, surface: &Surface) -> String {
    let edges: Vec<String> = surface
        .complex
        .iter()
        .map(|edge| {
            let (from, to) = edge.ends;
            let panels: Vec<String> =
                edge.panels.iter().map(|(copy, along)| format!("[{}, {along}]", copy.0)).collect();
            format!("[{from}, {to}, [{}]]", panels.join(", "))
        })
        .collect();
    format!(
        "{{\"name\": \"{name}\", \"vertices\": {}, \"euler\": {}, \"mouths\": {}, \
         \"orientable\": {}, \"edges\": [{}]}}",
        surface.vertices,
        surface.euler(),
        surface.mouths.len(),
        surface.orientable,
        edges.join(", ")
    )
}
