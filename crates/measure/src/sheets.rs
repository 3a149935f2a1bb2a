//! Sheets of paper, and the widths of paper rolls and of cloth on the bolt.

use crate::{Length, System};

/// A sheet of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// A stable name, kebab-case: `a4`, `letter`.
    pub id: &'static str,
    /// Its name for people: `A4`, `US Letter`.
    pub title: &'static str,
    /// The shorter side.
    pub width: Length,
    /// The longer side.
    pub height: Length,
    /// Where its size is laid down.
    pub source: &'static str,
}

const fn iso(id: &'static str, title: &'static str, width: i64, height: i64) -> Sheet {
    let (width, height) = (Length::mm(width), Length::mm(height));
    Sheet { id, title, width, height, source: "ISO 216" }
}

/// Sizes in half inches.
const fn us(
    id: &'static str,
    title: &'static str,
    [width, height]: [i64; 2],
    source: &'static str,
) -> Sheet {
    let (width, height) = (Length::inch_frac(width, 2), Length::inch_frac(height, 2));
    Sheet { id, title, width, height, source }
}

const ANSI: &str = "ANSI/ASME Y14.1";
const ARCH: &str = "US architectural sizes";

/// The sheets known by name: ISO 216 A and B, and the US sizes.
pub const SHEETS: &[Sheet] = &[
    iso("a0", "A0", 841, 1189),
    iso("a1", "A1", 594, 841),
    iso("a2", "A2", 420, 594),
    iso("a3", "A3", 297, 420),
    iso("a4", "A4", 210, 297),
    iso("a5", "A5", 148, 210),
    iso("a6", "A6", 105, 148),
    iso("a7", "A7", 74, 105),
    iso("a8", "A8", 52, 74),
    iso("a9", "A9", 37, 52),
    iso("a10", "A10", 26, 37),
    iso("b4", "B4", 250, 353),
    iso("b5", "B5", 176, 250),
    iso("b6", "B6", 125, 176),
    us("letter", "US Letter", [17, 22], ANSI),
    us("legal", "US Legal", [17, 28], "US office size"),
    us("tabloid", "US Tabloid", [22, 34], ANSI),
    us("ansi-c", "ANSI C", [34, 44], ANSI),
    us("ansi-d", "ANSI D", [44, 68], ANSI),
    us("ansi-e", "ANSI E", [68, 88], ANSI),
    us("arch-a", "Arch A", [18, 24], ARCH),
    us("arch-b", "Arch B", [24, 36], ARCH),
    us("arch-c", "Arch C", [36, 48], ARCH),
    us("arch-d", "Arch D", [48, 72], ARCH),
    us("arch-e", "Arch E", [72, 96], ARCH),
    us("arch-e1", "Arch E1", [60, 84], ARCH),
];

/// The sheet of this id.
pub fn find_sheet(id: &str) -> Option<&'static Sheet> {
    SHEETS.iter().find(|sheet| sheet.id == id)
}

/// The widths of the rolls that copy shops print large sheets on: 24, 36 and 42 in. (The 36 in
/// roll is sold as "A0+" too.)
pub const PAPER_ROLLS: [Length; 3] = [Length::inch(24), Length::inch(36), Length::inch(42)];

/// A width in which cloth is commonly sold, from selvedge to selvedge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BoughtWidth {
    /// As the label on the bolt says it: `44/45 in`, `110 cm`.
    pub title: &'static str,
    /// The width to plan with; where the label gives two, the narrower.
    pub width: Length,
    /// The system in which cloth of this width is labelled.
    pub system: System,
}

const fn inches(title: &'static str, width: i64) -> BoughtWidth {
    BoughtWidth { title, width: Length::inch(width), system: System::Inch }
}

const fn centimetres(title: &'static str, width: i64) -> BoughtWidth {
    BoughtWidth { title, width: Length::mm(width * 10), system: System::Metric }
}

/// The usual widths of cloth, common practice in the trade: 36, 44/45, 54 and 60 in, and 90, 110,
/// 140 and 150 cm. 44 in and 110 cm are not the same.
pub const BOUGHT_WIDTHS: [BoughtWidth; 8] = [
    inches("36 in", 36),
    inches("44/45 in", 44),
    inches("54 in", 54),
    inches("60 in", 60),
    centimetres("90 cm", 90),
    centimetres("110 cm", 110),
    centimetres("140 cm", 140),
    centimetres("150 cm", 150),
];

/// The usual widths of cloth in one system.
pub fn bought_widths(system: System) -> impl Iterator<Item = BoughtWidth> {
    BOUGHT_WIDTHS.into_iter().filter(move |width| width.system == system)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Area, Rounding, Ruler, show_size};

    #[test]
    fn each_a_size_is_the_one_before_halved() {
        // ISO 216: the longer side is halved and rounded down to a millimetre; A0 is 841 × 1189.
        let sizes: Vec<_> = (0..=10).map(|n| find_sheet(&format!("a{n}")).unwrap()).collect();
        assert_eq!(show_size(sizes[0].width, sizes[0].height, System::Metric), "841 × 1189 mm");
        for pair in sizes.windows(2) {
            assert_eq!(pair[1].height, pair[0].width, "{}", pair[1].title);
            let half = Ruler::MM.round(pair[0].height.half(), Rounding::Down);
            assert_eq!(pair[1].width, half, "{}", pair[1].title);
        }
        for pair in ["b4", "b5", "b6"].map(|id| find_sheet(id).unwrap()).windows(2) {
            assert_eq!(pair[1].height, pair[0].width, "{}", pair[1].title);
            assert_eq!(pair[1].width, Ruler::MM.round(pair[0].height.half(), Rounding::Down));
        }
    }

    #[test]
    fn us_sizes_agree_with_published_millimetres() {
        // UNC Charlotte's plotter page, mm: ANSI A–E and Arch A–E1.
        let published = [
            ("letter", 216, 279),
            ("tabloid", 279, 432),
            ("ansi-c", 432, 559),
            ("ansi-d", 559, 864),
            ("ansi-e", 864, 1118),
            ("arch-a", 229, 305),
            ("arch-b", 305, 457),
            ("arch-c", 457, 610),
            ("arch-d", 610, 914),
            ("arch-e", 914, 1219),
            ("arch-e1", 762, 1067),
        ];
        for (id, width, height) in published {
            let sheet = find_sheet(id).unwrap();
            let near = |length| Ruler::MM.round(length, Rounding::Nearest);
            assert_eq!(near(sheet.width), Length::mm(width), "{id}");
            assert_eq!(near(sheet.height), Length::mm(height), "{id}");
        }
        // Letter is 612 × 792 points of 1/72 in exactly (CSS Values and Units).
        let letter = find_sheet("letter").unwrap();
        assert_eq!(letter.width, Length::inch_frac(612, 72));
        assert_eq!(letter.height, Length::inch_frac(792, 72));
    }

    #[test]
    fn every_sheet_is_upright_and_has_its_own_id() {
        for (index, sheet) in SHEETS.iter().enumerate() {
            assert!(sheet.width < sheet.height && sheet.width.is_positive(), "{}", sheet.id);
            assert!(SHEETS[index + 1..].iter().all(|other| other.id != sheet.id), "{}", sheet.id);
        }
        assert_eq!(find_sheet("foolscap"), None);
        // A0 has the area of one square metre, less what rounding takes (ISO 216).
        let a0 = find_sheet("a0").unwrap();
        assert!((Area::rectangle(a0.width, a0.height).to_m2() - 1.0).abs() < 1e-3);
    }

    #[test]
    fn the_widths_of_cloth_run_upwards_in_each_system() {
        // Column heads of the classic width-conversion chart ("Fabric conversion chart",
        // sewwithsarah.com): 35-36, 44-45, 52-54, 58-60 in; metric widths from memory.
        for system in [System::Inch, System::Metric] {
            let widths: Vec<_> = bought_widths(system).map(|width| width.width).collect();
            assert_eq!(widths.len(), 4);
            assert!(widths.windows(2).all(|pair| pair[0] < pair[1]));
        }
        assert_eq!(BOUGHT_WIDTHS[1].width, Length::inch(44));
        assert_ne!(BOUGHT_WIDTHS[1].width, BOUGHT_WIDTHS[5].width);
    }
}
