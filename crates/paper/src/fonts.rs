//! The typeface of everything printed, carried inside the program: Atkinson Hyperlegible Next, drawn
//! for legibility by the Braille Institute, under the SIL Open Font License (`fonts/OFL.txt`).

use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;

/// The four faces.
pub(crate) static FILES: [&[u8]; 4] = [
    include_bytes!("../fonts/AtkinsonHyperlegibleNext-Regular.ttf"),
    include_bytes!("../fonts/AtkinsonHyperlegibleNext-Bold.ttf"),
    include_bytes!("../fonts/AtkinsonHyperlegibleNext-Italic.ttf"),
    include_bytes!("../fonts/AtkinsonHyperlegibleNext-BoldItalic.ttf"),
];

/// The faces, read once.
pub(crate) static FONTS: LazyLock<Vec<Font>> =
    LazyLock::new(|| FILES.iter().flat_map(|data| Font::iter(Bytes::new(*data))).collect());

/// What the typesetter looks faces up in.
pub(crate) static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));

/// Whether every face has a glyph for `letter`.
pub(crate) fn has_glyph(letter: char) -> bool {
    FONTS.iter().all(|font| font.info().coverage.contains(u32::from(letter)))
}

#[cfg(test)]
mod tests {
    use drawing::Weight;
    use typst::layout::Abs;
    use typst::text::{FontVariant, FontVariations};

    use super::*;

    /// Family name, as the files give it.
    const FAMILY: &str = "Atkinson Hyperlegible Next";

    #[test]
    fn four_faces_of_one_family_that_drawings_ask_for_first() {
        assert_eq!(FONTS.len(), 4);
        for font in FONTS.iter() {
            assert_eq!(font.info().family, FAMILY);
        }
        assert!(drawing::text::FAMILY.starts_with(FAMILY));
        assert!(include_str!("booklet.typ").contains(FAMILY));
    }

    /// The drawings' table of widths against the font files themselves.
    #[test]
    fn drawings_know_the_widths_of_letters() {
        let letters = (' '..='~').chain("½¼¾×−–—°²³·…’é".chars());
        for (weight, font) in [(Weight::Regular, &FONTS[0]), (Weight::Bold, &FONTS[1])] {
            let font = font.clone().instantiate(
                FontVariant::default(),
                Abs::pt(10.0),
                &FontVariations::default(),
            );
            let face = font.ttf();
            for letter in letters.clone() {
                let glyph = face.glyph_index(letter).unwrap();
                let advance = f64::from(face.glyph_hor_advance(glyph).unwrap())
                    / f64::from(face.units_per_em());
                let table = drawing::text::width(&letter.to_string(), 1.0, weight);
                assert!((advance - table).abs() < 0.0011, "{letter:?}: {advance}, not {table}");
            }
            let capital = f64::from(face.capital_height().unwrap());
            let share = capital / f64::from(face.units_per_em());
            assert!((share - drawing::text::CAP_HEIGHT).abs() < 1e-3);
        }
    }
}
