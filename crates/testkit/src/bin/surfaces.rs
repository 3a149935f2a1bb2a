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

/// The bodies of the work that are more than one panel, or sewn to themselves.
fn all_bodies(name: &str, work: &Assembly<'_>) -> Vec<String> {
    let surfaces = work.bodies().into_iter().map(|body| work.surface(body));
    surfaces.filter(|surface| surface.slits == 0).map(|surface| json(name, &surface)).collect()
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
