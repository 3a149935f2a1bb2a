//! Pictures as PNG, drawn with the program's own typeface.

use std::sync::{Arc, LazyLock};

use drawing::{Scene, svg};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};

use crate::fonts::FILES;
use crate::typeset::PaperError;

/// The widest and highest picture that is drawn, in pixels.
const MOST: f64 = 8_000.0;

/// The faces, read once.
static FACES: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut faces = Database::new();
    for file in FILES {
        faces.load_font_data(file.to_vec());
    }
    Arc::new(faces)
});

/// A picture as PNG on white, with so many pixels to the mm of paper; fewer if it became too large.
/// The same picture gives the same bytes.
///
/// # Errors
/// Only for faults of the program itself.
pub fn png(scene: &Scene, pixels_per_mm: f64) -> Result<Vec<u8>, PaperError> {
    let fault = |error: &dyn std::fmt::Display| {
        PaperError::Drawing(format!("`{}` cannot be drawn as PNG: {error}", scene.id))
    };
    let options = Options { fontdb: Arc::clone(&FACES), ..Options::default() };
    let tree = Tree::from_str(&svg::file(scene), &options).map_err(|error| fault(&error))?;
    let bounds = scene.bounds();
    let (wide, high) = (bounds.width(), bounds.height());
    let scale = pixels_per_mm.min(MOST / wide.max(high).max(1.0));
    let size = tree.size();
    // Whole pixels: the picture is stretched by less than one.
    let pixels = |mm: f64| format!("{:.0}", (mm * scale).max(1.0)).parse::<u32>().unwrap_or(1);
    let (across, down) = (pixels(wide), pixels(high));
    let mut page = Pixmap::new(across, down).ok_or_else(|| fault(&"it has no size"))?;
    page.fill(Color::WHITE);
    let to_page = Transform::from_scale(across as f32 / size.width(), down as f32 / size.height());
    resvg::render(&tree, to_page, &mut page.as_mut());
    page.encode_png().map_err(|error| fault(&error))
}

#[cfg(test)]
mod tests {
    use drawing::{LineKind, Text};
    use kurbo::Point;

    use super::*;

    /// Width and height of a PNG: the two numbers after `IHDR` (PNG specification, 11.2.2).
    fn size(bytes: &[u8]) -> (u32, u32) {
        let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
        assert_eq!(&bytes[12..16], b"IHDR");
        (number(16), number(20))
    }

    #[test]
    fn a_picture_has_the_size_that_was_asked_and_its_lettering() {
        let draw = |words: &str| {
            let mut scene = Scene::new("bit", "A bit", "A line and words.");
            let ends = [Point::new(0.0, 0.0), Point::new(40.0, 20.0)];
            scene.layer("line").line(ends, LineKind::Cut);
            scene.layer("words").text(Text::new(words, Point::new(20.0, 10.0)));
            png(&scene, 10.0).unwrap()
        };
        assert_eq!(size(&draw("fold")), (445, 245));
        assert_eq!(draw("fold"), draw("fold"));
        assert_ne!(draw("fold"), draw("told"));
    }
}
