//! Which machine needle suits the cloth.

use std::fmt;

use bag::pattern::{Form, Look, Material, Pattern};
use measure::MassPerArea;

/// A machine needle, by the thickness of its blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Needle {
    /// In hundredths of a millimetre (DIN 5325).
    nm: u32,
    /// The number that the same needle has in the United States.
    us: u32,
}

impl fmt::Display for Needle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.nm, self.us)
    }
}

/// Needles by the weight up to which they suit, in ounces per square yard: 65 to 75 for light cloth,
/// 80 to 90 for medium, 100 to 110 for heavy (texpedia.org, 2013, after a maker of needles). The
/// classes of cloth are the trade's: light to 4, quilting cotton 4 to 6, medium to 12, heavy 12 to
/// 14, very heavy above (pnwkyne.com, 5mv.com; sources disagree at the edges, so a hint).
const BY_WEIGHT: [(f64, Needle); 4] = [
    (4.0, Needle { nm: 70, us: 10 }),
    (7.0, Needle { nm: 80, us: 12 }),
    (12.0, Needle { nm: 90, us: 14 }),
    (14.0, Needle { nm: 100, us: 16 }),
];
/// For what is heavier still.
const HEAVIEST: Needle = Needle { nm: 110, us: 18 };
/// Thread from this Tex on asks for 100/16 at least: an eye is about 40 % wider than its thread, and
/// Tex 70 is the heaviest advised for machines at home (jsrz.com).
const THICK_THREAD: (u32, Needle) = (70, Needle { nm: 100, us: 16 });

/// The needle for a cloth of such weight and thread of such Tex.
pub fn needle(weight: MassPerArea, tex: u32) -> Needle {
    let ounces = weight.to_oz_per_yd2();
    let by_cloth = BY_WEIGHT.iter().find(|(upto, _)| ounces <= *upto).map(|(_, needle)| *needle);
    let least = (tex >= THICK_THREAD.0).then_some(THICK_THREAD.1);
    by_cloth.unwrap_or(HEAVIEST).max(least.unwrap_or(BY_WEIGHT[0].1))
}

/// The machine needles for what is sewn, in words; for cloth whose weight nobody says, what is usual.
pub fn needles(pattern: &Pattern) -> String {
    let is_sewn = |material: &&Material| {
        matches!(material.form, Form::Fabric(_)) && material.look != Look::Window
    };
    let cloth = || pattern.materials.iter().filter(is_sewn);
    let mut sizes: Vec<(Needle, Vec<&str>)> = Vec::new();
    for material in cloth() {
        let Some((weight, _)) = material.weight() else { continue };
        let size = needle(weight, pattern.thread.tex);
        match sizes.iter_mut().find(|(other, _)| *other == size) {
            Some((_, names)) => names.push(&material.name),
            None => sizes.push((size, vec![&material.name])),
        }
    }
    sizes.sort_by_key(|(size, _)| *size);
    if sizes.is_empty() {
        return "machine needles, new, to suit the cloth (80/12 for quilting cotton, 90/14 to \
                100/16 for canvas)"
            .to_owned();
    }
    let all_known = cloth().all(|material| material.weight().is_some());
    let each: Vec<String> =
        sizes.iter().map(|(size, names)| format!("{size} for {}", names.join(" and "))).collect();
    let mut told = format!("machine needles, new: {}", each.join(", "));
    if !all_known {
        told.push_str(", and for the rest 80/12 (quilting cotton) to 100/16 (canvas)");
    }
    if sizes.len() > 1 {
        told.push_str("; a seam takes the needle of its heaviest fabric");
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DIN 5325 and the US numbers (apparelscience.com; a needle dealer's page): from 8 to 18 each
    /// number is five hundredths, NM = 60 + 5 (n − 8), until 14 from where they go in tens.
    #[test]
    fn the_two_numbers_of_a_needle_belong_together() {
        let published =
            [(60, 8), (65, 9), (70, 10), (75, 11), (80, 12), (90, 14), (100, 16), (110, 18)];
        let used = BY_WEIGHT.iter().map(|(_, needle)| *needle).chain([HEAVIEST, THICK_THREAD.1]);
        for Needle { nm, us } in used {
            assert!(published.contains(&(nm, us)), "{nm}/{us}");
        }
    }

    /// texpedia.org (2013): light 65 to 75, medium 80 to 90, heavy 100 to 110.
    #[test]
    fn cloth_by_its_weight() {
        for (ounces, tex, needle_of) in [
            ("2 oz/yd²", 35, "70/10"),
            ("5 oz/yd²", 35, "80/12"),
            ("8 oz/yd²", 35, "90/14"),
            ("10 oz/yd²", 35, "90/14"),
            ("13 oz/yd²", 35, "100/16"),
            ("18 oz/yd²", 35, "110/18"),
            ("5 oz/yd²", 70, "100/16"),
            ("18 oz/yd²", 70, "110/18"),
        ] {
            let weight = MassPerArea::parse(ounces).expect("a weight");
            assert_eq!(needle(weight, tex).to_string(), needle_of, "{ounces}, Tex {tex}");
        }
    }

    #[test]
    fn what_is_said_for_a_bag() {
        use bag::kinds::Value;
        let body = bag::bodies::find("flat").expect("in the list");
        let mut design = bag::Design::of(body, measure::Units::Inch);
        let said =
            |design: &bag::Design| needles(&bag::draft(design).pattern.expect("it can be drafted"));
        assert!(said(&design).contains("to suit the cloth"), "{}", said(&design));
        let weight = |text| Value::Weight(MassPerArea::parse(text).expect("a weight"));
        let fabrics = &mut design.fabrics;
        let outside = fabrics.get_mut(&bag::Role::Outside).expect("there");
        assert!(outside.set("weight", weight("13 oz/yd²")));
        assert_eq!(
            said(&design),
            "machine needles, new: 100/16 for outside fabric, and for the rest 80/12 (quilting \
             cotton) to 100/16 (canvas)"
        );
        let lining = design.fabrics.get_mut(&bag::Role::Lining).expect("there");
        assert!(lining.set("weight", weight("4.5 oz/yd²")));
        assert_eq!(
            said(&design),
            "machine needles, new: 80/12 for lining fabric, 100/16 for outside fabric; a seam takes \
             the needle of its heaviest fabric"
        );
    }
}
