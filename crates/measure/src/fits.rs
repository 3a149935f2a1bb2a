//! Things that a bag is made to hold, with their sizes: a bag can be designed from them.
//!
//! Sizes are the thing's own, with no room to spare; how much room a bag leaves is a matter of its
//! design. A thing stands in the bag as it is carried: width × height is the face one sees from the
//! front, thickness goes from front to back. Boxes with food are carried level.

use crate::Length;
use crate::sheets::find_sheet;

/// A thing that must fit in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fit {
    /// A stable name, kebab-case: `a4-folder`.
    pub id: &'static str,
    /// Its name for people.
    pub title: &'static str,
    /// Its width, left to right.
    pub width: Length,
    /// Its height as it stands in the bag.
    pub height: Length,
    /// Its thickness, front to back.
    pub thickness: Length,
    /// Where the size comes from, and what is assumed beyond it.
    pub source: &'static str,
}

/// How much wider than its screen a laptop is, both sides together. From memory, no source.
pub const FRAME_WIDTH: Length = Length::mm(16);

/// How much taller than its screen a laptop is, above and below together. From memory, no source.
pub const FRAME_HEIGHT: Length = Length::mm(40);

/// All things known by name.
pub fn fits() -> Vec<Fit> {
    let mut fits = papers();
    fits.extend(FIXED);
    fits.extend(laptops());
    fits
}

/// The thing of this id.
pub fn find_fit(id: &str) -> Option<Fit> {
    fits().into_iter().find(|fit| fit.id == id)
}

/// The width and the height of a screen from its diagonal and its sides' ratio (`16, 10`), to the
/// nanometre below. With d the diagonal and r the ratio, w = d·r/√(1 + r²) and h = w/r.
pub fn screen(diagonal: Length, (wide, high): (u32, u32)) -> (Length, Length) {
    let square = i128::from(diagonal.to_nm()).unsigned_abs().saturating_pow(2);
    let (wide, high) = (u128::from(wide).pow(2), u128::from(high).pow(2));
    let side = |part: u128| {
        let share = square.checked_div(wide + high).unwrap_or(0).saturating_mul(part);
        Length::nm(i64::try_from(share.isqrt()).unwrap_or(i64::MAX))
    };
    (side(wide), side(high))
}

/// Paper and books, whose faces are sheets.
fn papers() -> Vec<Fit> {
    const PAPER: &str =
        "sheet size by the named standard; 10 mm thick for about 100 sheets, from memory";
    const BOOK: &str = "page size by ISO 216; the thickness is an assumption";
    let sheets = [
        ("a4-paper", "A4 paper, about 100 sheets", "a4", 10, PAPER),
        ("letter-paper", "US Letter paper, about 100 sheets", "letter", 10, PAPER),
        ("a5-book", "A5 book", "a5", 20, BOOK),
        ("a6-book", "A6 notebook", "a6", 12, BOOK),
        ("b5-book", "B5 book", "b5", 25, BOOK),
        ("a4-book", "A4 book", "a4", 15, BOOK),
    ];
    let fit = |(id, title, sheet, thickness, source)| {
        let sheet = find_sheet(sheet)?;
        let (width, height) = (sheet.width, sheet.height);
        Some(Fit { id, title, width, height, thickness: Length::mm(thickness), source })
    };
    sheets.into_iter().filter_map(fit).collect()
}

const fn fixed(
    id: &'static str,
    title: &'static str,
    [width, height, thickness]: [i64; 3],
    source: &'static str,
) -> Fit {
    let (width, height) = (Length::mm(width), Length::mm(height));
    Fit { id, title, width, height, thickness: Length::mm(thickness), source }
}

const GASTRONORM: &str =
    "EN 631 gastronorm module, from memory; the box's height is one of the usual ones";
const BOTTLE: &str = "no standard; a common size, from memory";

/// Things with sizes of their own, in mm.
const FIXED: [Fit; 9] = [
    fixed("a4-folder", "A4 folder", [225, 312, 15], "holds ISO 216 A4; outer size from memory"),
    fixed("letter-folder", "US Letter folder", [242, 299, 15], "9 1/2 × 11 3/4 in, from memory"),
    fixed("a4-binder", "A4 lever-arch file", [290, 320, 80], "holds ISO 216 A4; from memory"),
    fixed("lunch-box-quarter", "Lunch box, gastronorm 1/4", [265, 65, 162], GASTRONORM),
    fixed("lunch-box-sixth", "Lunch box, gastronorm 1/6", [176, 100, 162], GASTRONORM),
    fixed("lunch-box-ninth", "Lunch box, gastronorm 1/9", [176, 100, 108], GASTRONORM),
    fixed("bottle-half-litre", "Bottle, 0.5 L", [70, 220, 70], BOTTLE),
    fixed("bottle-litre", "Bottle, 1 L", [90, 280, 90], BOTTLE),
    fixed("wine-bottle", "Wine bottle, 0.75 L", [82, 320, 82], BOTTLE),
];

/// Laptops by the diagonal of their screens, in tenths of an inch.
fn laptops() -> Vec<Fit> {
    const SOURCE: &str = "screen from its diagonal and ratio; 16 mm more in width and 40 mm in \
                          height for the frame, and the thickness, from memory";
    let laptops = [
        ("laptop-13", "Laptop, 13.3 in (16:10)", 133, (16, 10), 18),
        ("laptop-14", "Laptop, 14 in (16:10)", 140, (16, 10), 20),
        ("laptop-15", "Laptop, 15.6 in (16:9)", 156, (16, 9), 25),
        ("laptop-16", "Laptop, 16 in (16:10)", 160, (16, 10), 25),
    ];
    let fit = |(id, title, tenths, ratio, thickness)| {
        let (width, height) = screen(Length::inch_frac(tenths, 10), ratio);
        Fit {
            id,
            title,
            width: width + FRAME_WIDTH,
            height: height + FRAME_HEIGHT,
            thickness: Length::mm(thickness),
            source: SOURCE,
        }
    };
    laptops.into_iter().map(fit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn screens_from_their_diagonals() {
        // By Pythagoras, to a hundredth: 14 in 16:10 is 11.87 × 7.42 in, 15.6 in 16:9 is
        // 13.60 × 7.65 in. A 5 in screen of 4:3 is the 3-4-5 triangle.
        assert_eq!(screen(Length::inch(5), (4, 3)), (Length::inch(4), Length::inch(3)));
        let inches = |(width, height): (Length, Length)| {
            format!("{:.2} × {:.2}", width.to_inch(), height.to_inch())
        };
        assert_eq!(inches(screen(Length::inch(14), (16, 10))), "11.87 × 7.42");
        assert_eq!(inches(screen(Length::inch_frac(156, 10), (16, 9))), "13.60 × 7.65");
        assert_eq!(screen(Length::inch(5), (0, 0)), (Length::ZERO, Length::ZERO));
    }

    #[test]
    fn every_thing_has_a_size_an_id_of_its_own_and_a_source() {
        let fits = fits();
        for (index, fit) in fits.iter().enumerate() {
            assert!(
                fit.id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
            );
            assert!(fit.width.is_positive() && fit.height.is_positive(), "{}", fit.id);
            assert!(fit.thickness.is_positive() && !fit.source.is_empty(), "{}", fit.id);
            assert!(fits[index + 1..].iter().all(|other| other.id != fit.id), "{}", fit.id);
        }
        // Six kinds of paper, nine fixed, four laptops: none was lost for want of its sheet.
        assert_eq!(fits.len(), 19);
    }

    #[test]
    fn what_holds_a_sheet_is_larger_than_the_sheet() {
        let a4 = find_sheet("a4").unwrap();
        for id in ["a4-folder", "a4-binder"] {
            let fit = find_fit(id).unwrap();
            assert!(fit.width > a4.width && fit.height > a4.height, "{id}");
        }
        let letter = find_sheet("letter").unwrap();
        let folder = find_fit("letter-folder").unwrap();
        assert!(folder.width > letter.width && folder.height > letter.height);
        assert_eq!(find_fit("a4-paper").map(|fit| fit.width), Some(a4.width));
        assert_eq!(find_fit("piano"), None);
    }

    #[test]
    fn gastronorm_modules_add_up() {
        // EN 631: the whole module is 530 × 325 mm; two quarters make its length, two make its
        // width less a millimetre; three sixths make its length less 2 mm (from memory).
        let quarter = find_fit("lunch-box-quarter").unwrap();
        assert_eq!(quarter.width.times(2), Length::mm(530));
        assert_eq!(quarter.thickness.times(2), Length::mm(324));
        let sixth = find_fit("lunch-box-sixth").unwrap();
        assert_eq!(sixth.width.times(3), Length::mm(528));
    }
}
