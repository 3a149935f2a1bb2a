//! What the finished bag weighs, as far as is known.

use bag::pattern::{InterfacingCut, Material, Pattern};
use measure::{Area, Mass};

use super::ThreadNeed;

/// What is known of a bag's mass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weighed {
    /// What is known, together.
    pub known: Mass,
    /// The part of it that rests on what such webbing and notions usually weigh.
    pub usual: Mass,
    /// The materials and notions of which nothing is known, by name: the bag is heavier by these.
    pub unknown: Vec<String>,
}

/// Weighs the pieces of a bag as they are cut, with their interfacing, thread, webbing and notions.
pub fn weigh(pattern: &Pattern, threads: &[ThreadNeed]) -> Weighed {
    let (mut known, mut usual) = (0_i64, 0_i64);
    let mut unknown: Vec<String> = Vec::new();
    let mut add = |name: &str, mass: Option<(Mass, bool)>| match mass {
        Some((mass, given)) => {
            known = known.saturating_add(mass.to_mg());
            usual = usual.saturating_add(if given { 0 } else { mass.to_mg() });
        }
        None if unknown.iter().any(|other| other == name) => {}
        None => unknown.push(name.to_owned()),
    };
    let of = |material: &Material, area: Area| {
        material.weight().map(|(weight, given)| (weight.of(area), given))
    };
    for copy in &pattern.copies {
        let piece = pattern.piece(copy.piece);
        let area = piece.cut().as_ref().unwrap_or(&piece.net).area();
        let material = pattern.material(piece.material);
        add(&material.name, of(material, area));
        if let Some(on) = piece.interfacing {
            let area = match on.cut {
                InterfacingCut::Full => area,
                InterfacingCut::Net => piece.net.area(),
            };
            let material = pattern.material(on.material);
            add(&material.name, of(material, area));
        }
    }
    for notion in &pattern.notions {
        add(&notion.spec(pattern.units.system()), notion.mass());
    }
    // Tex is grams per 1000 m, which is milligrams per metre; half a metre counts as none.
    let metres: i64 = threads.iter().map(|thread| thread.length.to_nm() / 1_000_000_000).sum();
    known = known.saturating_add(metres * i64::from(pattern.thread.tex));
    Weighed { known: Mass::mg(known), usual: Mass::mg(usual), unknown }
}

#[cfg(test)]
mod tests {
    use bag::kinds::Value;
    use bag::{Design, Role};
    use measure::{Length, MassPerArea, Units};

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

    /// Two webbing handles and a pair of rings: what each weighs by its length and its size.
    #[test]
    fn webbing_and_notions_are_weighed() {
        let body = bag::bodies::find("boxed").expect("it is in the list");
        let mut design = Design::of(body, Units::Mm);
        let kind = bag::handles::find("rings").expect("it is in the list");
        design.handles = bag::Chosen::new(kind, design.system());
        let packet = crate::build(&design).packet.expect("it can be made");
        let weighed = weigh(&packet.pattern, &[]);
        // 1,100 g/m² of 25 mm is 27.5 g a metre; four rings of 6.5 g.
        let webbing = packet.webbing[0].used.to_mm() / 1e3 * 27.5;
        let rings: f64 = packet.pattern.notions.iter().map(|it| f64::from(it.count) * 6.5).sum();
        assert!(rings >= 26.0 && webbing > 20.0, "{rings} {webbing}");
        assert!((weighed.usual.to_grams() - webbing - rings).abs() < 0.01, "{weighed:?}");
        // A weight that is given is no longer a usual one: 40 g a metre at 25 mm.
        let given = MassPerArea::parse("40 g per linear metre at 25 mm").expect("a weight");
        design.handles.values.set("weight", Value::Weight(given));
        let packet = crate::build(&design).packet.expect("it can be made");
        let heavier = weigh(&packet.pattern, &[]);
        assert!((heavier.usual.to_grams() - rings).abs() < 0.01, "{heavier:?}");
        let more = heavier.known.to_grams() - weighed.known.to_grams();
        assert!((more - webbing / 27.5 * 12.5).abs() < 0.01, "{more}");
    }
}
