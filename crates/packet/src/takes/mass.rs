//! What the finished bag weighs, as far as is known.

use bag::pattern::{InterfacingCut, Pattern};
use measure::{Area, Mass, MassPerArea};

use super::ThreadNeed;

/// What is known of a bag's mass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weighed {
    /// What is known, together.
    pub known: Mass,
    /// The materials of which nothing is known, by name: the bag is heavier by these.
    pub unknown: Vec<String>,
}

/// Weighs the pieces of a bag as they are cut, with their interfacing and thread. Webbing and what
/// is set or sewn on are not weighed, and are named.
pub fn weigh(pattern: &Pattern, threads: &[ThreadNeed]) -> Weighed {
    let mut known = 0;
    let mut unknown: Vec<String> = Vec::new();
    let mut weigh = |name: &str, weight: Option<MassPerArea>, area: Area| match weight {
        Some(weight) => known += weight.of(area).to_mg(),
        None if unknown.iter().any(|other| other == name) => {}
        None => unknown.push(name.to_owned()),
    };
    for copy in &pattern.copies {
        let piece = pattern.piece(copy.piece);
        let area = piece.cut().as_ref().unwrap_or(&piece.net).area();
        let material = pattern.material(piece.material);
        weigh(&material.name, material.cloth().and_then(|cloth| cloth.weight), area);
        if let Some(on) = piece.interfacing {
            let area = match on.cut {
                InterfacingCut::Full => area,
                InterfacingCut::Net => piece.net.area(),
            };
            let material = pattern.material(on.material);
            weigh(&material.name, material.cloth().and_then(|cloth| cloth.weight), area);
        }
    }
    // Tex is grams per 1000 m, which is milligrams per metre; half a metre counts as none.
    let metres: i64 = threads.iter().map(|thread| thread.length.to_nm() / 1_000_000_000).sum();
    known += metres * i64::from(pattern.thread.tex);
    Weighed { known: Mass::mg(known), unknown }
}

#[cfg(test)]
mod tests {
    use bag::kinds::Value;
    use bag::{Design, Role};
    use measure::{Length, Units};

    use super::*;

    #[test]
    fn cloth_is_weighed_by_its_area() {
        let body = bag::bodies::find("flat").expect("it is in the list");
        let mut design = Design::of(body, Units::Mm);
        design.handles = bag::Chosen::new(
            bag::handles::find("none").expect("it is in the list"),
            design.system(),
        );
        let weight = |gsm| Value::Weight(MassPerArea::gsm(gsm));
        design.fabrics.get_mut(&Role::Outside).expect("there").set("weight", weight(300));
        let packet = crate::build(&design).packet.expect("it can be made");
        let weighed = weigh(&packet.pattern, &[]);
        let outside: f64 = packet
            .pattern
            .copies
            .iter()
            .map(|copy| packet.pattern.piece(copy.piece))
            .filter(|piece| packet.pattern.material(piece.material).name == "outside fabric")
            .map(|piece| piece.cut().expect("it has a cutting line").area().to_m2())
            .sum();
        assert!(outside > 0.05, "{outside}");
        assert!((weighed.known.to_grams() - outside * 300.0).abs() < 0.01);
        assert_eq!(weighed.unknown.is_empty(), packet.pattern.materials.len() == 1);
        // Tex 35: a thousand metres are 35 g (the definition).
        let thread =
            ThreadNeed { matches: bag::pattern::MaterialId(0), length: Length::mm(1_000_000) };
        let more = weigh(&packet.pattern, &[thread]);
        let tex = f64::from(packet.pattern.thread.tex);
        assert!((more.known.to_grams() - weighed.known.to_grams() - tex).abs() < 1e-9);
    }
}
