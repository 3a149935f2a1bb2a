//! Thread, from every row of stitches.
//!
//! A lockstitch takes 2 + 2 T S inches of thread for each inch of seam, needle and bobbin together,
//! where T is the thickness of the seam and S the stitches per inch (textileblog.com,
//! textilecalculations.com; the same derivation as American & Efird, technical bulletin of February
//! 2008, for the chain stitch). Thickness is that of the layers under the needle.

use bag::operations::{Layer, Sewing, Stitching, Takes};
use bag::pattern::{Form, InterfacingCut, MaterialId, Pattern};
use measure::{Length, System};

/// At both ends a row is sewn over again for 1/2 in, and one in the round overlaps by as much
/// (MIL-L-24778, 3.7.3: backstitch or overlap at the ends, 1/2 in at least).
const OVER_AGAIN: Length = Length::inch_frac(1, 2);
/// Tails at the beginning and at the end of a row, both threads (common practice, no source).
const TAILS: Length = Length::mm(300);
/// What is wasted besides, for threading and trying: 15 % (American & Efird: 10 to 15 %; others 15
/// to 20 %).
const WASTE_PERCENT: i64 = 15;
/// Width and length of an overcasting stitch, in millimetres (common practice, no source).
const ZIGZAG: (f64, f64) = (5.0, 2.0);
/// A hand stitch takes twice its seam with a single thread (common practice, no source).
const BY_HAND: i64 = 2;

/// Thickness of a layer that nobody has measured, in nanometres: of cloth by its weight, at half a
/// gram per cubic centimetre; of cloth of unknown weight; of interfacing (all three common practice,
/// no source). Webbing is 2 mm (polypropylene; an encyclopedia's article on webbing).
const MG_PER_M2_OF_MM: i64 = 500_000;
const CLOTH: Length = Length::nm(500_000);
const INTERFACING: Length = Length::nm(300_000);
const WEBBING: Length = Length::mm(2);

/// Lengths of thread on a spool, as sold (hobby shops; the metric ones from memory).
pub const SPOOLS: [(System, &[i64]); 2] =
    [(System::Metric, &[100, 250, 500, 1000]), (System::Inch, &[150, 250, 400])];

/// Thread of one colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ThreadNeed {
    /// The material that it matches.
    pub matches: MaterialId,
    /// How much: needle and bobbin, tails and waste with it.
    pub length: Length,
}

/// Spools to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spools {
    /// How many.
    pub count: i64,
    /// What is on each.
    pub each: Length,
}

/// Thread for a lockstitch row, needle and bobbin together, without ends and waste: twice its
/// length, and twice its thickness for each stitch.
pub fn lockstitch(length: Length, stitch: Length, thickness: Length) -> Length {
    let stitch = i128::from(stitch.to_nm().max(1));
    let (length, thickness) = (i128::from(length.to_nm()), i128::from(thickness.to_nm()));
    nm(2 * length + 2 * length * thickness / stitch)
}

fn nm(nm: i128) -> Length {
    Length::nm(i64::try_from(nm).unwrap_or(i64::MAX / 4))
}

/// The thread of some steps by the material that it matches, in the order of the materials; and
/// whether all layers were measured.
pub fn thread_of(pattern: &Pattern, steps: &[Takes]) -> (Vec<ThreadNeed>, bool) {
    let mut lengths = vec![Length::ZERO; pattern.materials.len()];
    let mut measured = true;
    for row in steps.iter().flat_map(|step| &step.rows) {
        let Some(first) = row.layers.first() else { continue };
        let (length, known) = row_thread(pattern, row);
        measured &= known;
        lengths[pattern.piece_of(first.copy).material.0] += length;
    }
    let needs = lengths.into_iter().enumerate().filter(|(_, length)| length.is_positive());
    let wasted =
        |length: Length| nm(i128::from(length.to_nm()) * i128::from(100 + WASTE_PERCENT) / 100);
    let needs = needs
        .map(|(at, length)| ThreadNeed { matches: MaterialId(at), length: wasted(length) })
        .collect();
    (needs, measured)
}

/// The thread of some equal rows with their ends, and whether their layers were measured.
fn row_thread(pattern: &Pattern, row: &Sewing) -> (Length, bool) {
    if !row.length.is_positive() {
        return (Length::ZERO, true);
    }
    if row.kind == Stitching::Hand {
        return ((row.length * BY_HAND + TAILS) * i64::from(row.rows), true);
    }
    let mut known = true;
    // Thickness times length, summed over what lies along only a part of the row.
    let mut pile: i128 = 0;
    for layer in &row.layers {
        let (thick, measured) = thickness(pattern, row.kind, *layer);
        known &= measured;
        pile += i128::from(thick.to_nm()) * i128::from(layer.along.to_nm());
    }
    let thick = nm(pile / i128::from(row.length.to_nm().max(1)));
    let ends = if row.round { OVER_AGAIN } else { OVER_AGAIN * 2 };
    let sewn = row.length + if row.kind == Stitching::Baste { Length::ZERO } else { ends };
    let thread = match row.kind {
        Stitching::Overcast => {
            let (wide, long) = ZIGZAG;
            let slant = (wide * wide + long * long).sqrt() / long;
            let along = Length::from_mm_f64(sewn.to_mm() * slant);
            along * 2 + lockstitch(sewn, Length::from_mm_f64(long), thick) - sewn * 2
        }
        _ => lockstitch(sewn, row.stitch, thick),
    };
    ((thread + TAILS) * i64::from(row.rows), known)
}

/// How thick a layer is with its interfacing, and whether that was measured. Interfacing without
/// allowance ends before the seam.
fn thickness(pattern: &Pattern, kind: Stitching, layer: Layer) -> (Length, bool) {
    let piece = pattern.piece_of(layer.copy);
    let (mut thick, mut known) = one_layer(pattern, piece.material);
    if let Some(on) = piece.interfacing
        && !(kind == Stitching::Seam && on.cut == InterfacingCut::Net)
    {
        let (more, measured) = one_layer(pattern, on.material);
        thick += more;
        known &= measured;
    }
    (thick * i64::from(layer.times), known)
}

fn one_layer(pattern: &Pattern, material: MaterialId) -> (Length, bool) {
    let material = pattern.material(material);
    let (cloth, usual) = match &material.form {
        Form::Webbing { .. } => return (WEBBING, false),
        Form::Fabric(cloth) => (cloth, CLOTH),
        Form::Interfacing(cloth) => (cloth, INTERFACING),
    };
    match (cloth.thickness, cloth.weight) {
        (Some(thickness), _) => (thickness, true),
        (None, Some(weight)) => {
            (nm(i128::from(weight.to_mg_per_m2()) * 1_000_000 / i128::from(MG_PER_M2_OF_MM)), false)
        }
        (None, None) => (usual, false),
    }
}

/// The spools for so much thread: the smallest that holds it all, or as many of the largest as it
/// takes.
pub fn spools(length: Length, system: System) -> Spools {
    let unit = match system {
        System::Metric => Length::mm(1_000),
        System::Inch => Length::YARD,
    };
    let sizes = SPOOLS.iter().find(|(sold, _)| *sold == system).map_or(&[][..], |(_, sizes)| sizes);
    let largest = unit * sizes.last().copied().unwrap_or(1);
    match sizes.iter().map(|size| unit * *size).find(|size| *size >= length) {
        Some(each) => Spools { count: 1, each },
        None => {
            let count = (length.to_nm() + largest.to_nm() - 1) / largest.to_nm().max(1);
            Spools { count, each: largest }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn inches(thickness: Length, per_inch: i64) -> f64 {
        let seam = Length::inch(1000);
        lockstitch(seam, Length::INCH / per_inch, thickness).to_inch() / 1000.0
    }

    #[test]
    fn published_lockstitch_examples() {
        // textileblog.com: T 0.01 in at 10 stitches per inch gives 2.2 in of thread per inch.
        assert!((inches(Length::inch_frac(1, 100), 10) - 2.2).abs() < 1e-6);
        // The ratio method (Coats, by way of melgeecrafts): 2.5, which is T S = 0.25; a seam of 220 cm
        // takes 550 cm.
        assert!((inches(Length::inch_frac(25, 1000), 10) - 2.5).abs() < 1e-6);
        let seam = Length::mm(2_200);
        let thread = lockstitch(seam, Length::INCH / 10, Length::inch_frac(25, 1000));
        assert!((thread.to_mm() - 5_500.0).abs() < 0.1, "{}", thread.to_mm());
        // A heavy seam of a bag by the same formula: T 0.12 in at 8 stitches per inch, 3.92.
        assert!((inches(Length::inch_frac(12, 100), 8) - 3.92).abs() < 1e-6);
        // A lockstitch takes twice its seam at the least.
        assert_eq!(lockstitch(Length::mm(100), Length::mm(3), Length::ZERO), Length::mm(200));
    }

    #[test]
    fn spools_as_sold() {
        let metric = |metres: i64| {
            let spools = spools(Length::mm(metres * 1_000), System::Metric);
            (spools.count, spools.each.to_mm() / 1_000.0)
        };
        assert_eq!(metric(60), (1, 100.0));
        assert_eq!(metric(100), (1, 100.0));
        assert_eq!(metric(101), (1, 250.0));
        assert_eq!(metric(2_100), (3, 1000.0));
        let yards = spools(Length::YARD * 401, System::Inch);
        assert_eq!((yards.count, yards.each), (2, Length::YARD * 400));
    }

    proptest! {
        #[test]
        fn spools_hold_what_is_needed(mm in 1_i64..20_000_000) {
            for system in [System::Inch, System::Metric] {
                let (need, bought) = (Length::mm(mm), spools(Length::mm(mm), system));
                prop_assert!(bought.each * bought.count >= need);
                prop_assert!(bought.each * (bought.count - 1) < need);
            }
        }

        #[test]
        fn more_of_anything_takes_more_thread(
            mm in 1_i64..5_000, thick in 0_i64..8_000, stitch in 1_000_i64..6_000,
        ) {
            let thread = |mm, um, stitch| {
                lockstitch(Length::mm(mm), Length::nm(stitch * 1_000), Length::nm(um * 1_000))
            };
            let one = thread(mm, thick, stitch);
            prop_assert!(thread(mm + 1, thick, stitch) > one);
            prop_assert!(thread(mm, thick + 100, stitch) >= one);
            prop_assert!(thread(mm, thick, stitch + 100) <= one);
        }
    }
}
